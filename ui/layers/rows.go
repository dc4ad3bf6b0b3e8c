package layers

import (
	"slices"

	"abut/internal/colour"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/words"
	"abut/ui/paint"
)

// maxNamed is how many layers a sentence names.
const maxNamed = 3

// RowsOf lists the layers, the top one first.
func RowsOf(j job.Job, p *fit.Plan) []Row {
	stacks := stackedWith(j, p)
	pieces, bare := map[int]string{}, map[colour.RGB]bool{} // said and asked once for very many layers
	var rows []Row
	for i := len(j.Items) - 1; i >= 0; i-- {
		it := &j.Items[i]
		for k := len(it.Layers) - 1; k >= 0; k-- {
			l := &it.Layers[k]
			r := Row{
				ID: l.ID, Name: words.Capital(l.Name), Colour: l.Colour, Bare: isBare(j, l, bare),
				Shown: l.Shown, Knocks: l.Knocks, Locked: l.Locked, Groups: groupsOf(it, l),
			}
			if l.Use != job.Cut {
				r.Use = words.Say("ui-use-" + l.Use.String())
			} else if p != nil && p.PiecesOf[l.ID] > 0 {
				r.Pieces = p.PiecesOf[l.ID]
				if pieces[r.Pieces] == "" {
					pieces[r.Pieces] = words.Say("ui-pieces", "count", words.Count(r.Pieces))
				}
				r.Use = pieces[r.Pieces]
			}
			if with := stacks[l.ID]; len(with) > maxNamed {
				r.Stacks = words.Say("ui-layer-stacks-many")
			} else if len(with) > 0 {
				r.Stacks = words.Say("ui-layer-stacks", "layers", words.List(with))
			}
			rows = append(rows, r)
		}
	}
	return rows
}

// isBare is paint.IsBare, which is known already for the colours of layers that are cut and
// let nothing through.
func isBare(j job.Job, l *job.Layer, known map[colour.RGB]bool) bool {
	if l.Use != job.Cut || l.Opacity() < 1 {
		return paint.IsBare(j, l)
	}
	is, asked := known[l.Colour]
	if !asked {
		is = paint.IsBare(j, l)
		known[l.Colour] = is
	}
	return is
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
				if len(with) > maxNamed {
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

// groupsOf returns the groups that the list shows around a layer: those of the
// art's file, and the gradient that it is a band of.
func groupsOf(it *job.Item, l *job.Layer) (g Groups) {
	n := min(len(l.Folders), len(g))
	for i, name := range l.Folders[:n] {
		g[i] = Group{Name: words.Capital(name), Of: uint32(it.ID)}
	}
	if l.Band.Of != 0 {
		g[min(n, len(g)-1)] = Group{Name: words.Capital(l.Band.Name), Of: uint32(l.Band.Of)}
	}
	return g
}

// Sum says what is in a group, at length and shortly.
func Sum(n, pieces int) (long, short string) {
	long = words.Say("list-layers", "count", words.Count(n))
	if pieces == 0 {
		return long, ""
	}
	return long + " · " + words.Say("ui-pieces", "count", words.Count(pieces)), words.Say("list-sum-short", "layers", n, "count", words.Count(pieces))
}
