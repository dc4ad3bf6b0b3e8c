package window

import (
	"slices"

	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/words"
	"abut/ui/board"
	"abut/ui/inspect"
	"abut/ui/layers"
	"abut/ui/paint"
)

// rowsOf lists the layers, the top one first.
func rowsOf(j job.Job, p *fit.Plan) []layers.Row {
	stacks := stackedWith(j, p)
	var rows []layers.Row
	for i := len(j.Items) - 1; i >= 0; i-- {
		it := &j.Items[i]
		for k := len(it.Layers) - 1; k >= 0; k-- {
			l := &it.Layers[k]
			r := layers.Row{
				ID: l.ID, Name: words.Capital(l.Name), Colour: l.Colour, Bare: paint.IsBare(j, l),
				Shown: l.Shown, Knocks: l.Knocks, Locked: l.Locked, Groups: groupsOf(it, l),
			}
			if l.Use != job.Cut {
				r.Use = say("ui-use-" + l.Use.String())
			} else if p != nil && p.PiecesOf[l.ID] > 0 {
				r.Pieces = p.PiecesOf[l.ID]
				r.Use = say("ui-pieces", "count", words.Count(r.Pieces))
			}
			if with := stacks[l.ID]; len(with) > inspect.MaxNamed {
				r.Stacks = say("ui-layer-stacks-many")
			} else if len(with) > 0 {
				r.Stacks = say("ui-layer-stacks", "layers", words.List(with))
			}
			rows = append(rows, r)
		}
	}
	return rows
}

// stackedWith returns for each layer the names of those that it stacks with, at
// most one more than are named: a pile of hundreds needs no more.
func stackedWith(j job.Job, p *fit.Plan) map[job.LayerID][]string {
	if p == nil || len(p.Stacked.Places) == 0 {
		return nil
	}
	names := map[job.LayerID]string{}
	for _, it := range j.Items {
		for k := range it.Layers {
			names[it.Layers[k].ID] = it.Layers[k].Name
		}
	}
	out := map[job.LayerID][]string{}
	for _, place := range p.Stacked.Places {
		for _, id := range place.Layers {
			with := out[id]
			for _, other := range place.Layers {
				if len(with) > inspect.MaxNamed {
					break
				}
				if name := names[other]; other != id && name != "" && !slices.Contains(with, name) {
					with = append(with, name)
				}
			}
			out[id] = with
		}
	}
	return out
}

// showStacked brings the largest place where a layer stacks into view.
func (w *Window) showStacked(id job.LayerID) {
	plan, _ := w.session.Plan()
	if plan == nil {
		return
	}
	for _, p := range plan.Stacked.Places {
		if slices.Contains(p.Layers, id) {
			w.showView(board.Art)
			w.board.ZoomTo(p.Bounds)
			return
		}
	}
}

// findLayer opens the list, if it is folded, and lets one type a name.
func (w *Window) findLayer() {
	if l, r := w.panels.Open(); !l {
		w.fold(true, r)
	}
	w.list.FocusFilter()
}
