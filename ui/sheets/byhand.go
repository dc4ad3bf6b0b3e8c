package sheets

import (
	"slices"
	"strconv"

	"abut/geometry"
	"abut/internal/job"
	"abut/internal/words"
	"abut/internal/workshop"
)

// What lies on the sheets can be changed by hand: moved, turned, pinned, and places kept free.
// Each change is asked for anew, and can be taken back.

// things are those of the sheet that is shown, as they are kept, by what the view calls
// them.
func (d *layoutDialog) things() (all job.Laid, of []int) {
	all = d.laid.Kept()
	for i, t := range all.Things {
		if t.Sheet == d.at {
			of = append(of, i)
		}
	}
	return all, of
}

// told says what is chosen and what can be done about it.
func (d *layoutDialog) told() {
	v := d.view
	var text, short string
	pinned := false
	switch {
	case d.laid == nil:
	case v.drawing:
		text = words.Say("ui-layout-draw")
	case v.chosen >= 0:
		all, of := d.things()
		t := all.Things[of[v.chosen]]
		what := words.Say("ui-layout-copy", "n", strconv.Itoa(t.Copy))
		if list := d.h.Session.Job().Settings.List; list != nil {
			what = workshop.RowName(list, t.Row-1)
		}
		if t.Piece > 0 {
			what = words.Say("ui-layout-piece", "what", what, "n", strconv.Itoa(t.Piece))
		}
		if pinned = t.Pinned; pinned {
			what = words.Say("ui-layout-pinned", "what", what)
		}
		text = what
	case v.chosenFree >= 0:
		text = words.Say("ui-layout-kept-free")
	default:
		text, short = words.Say("ui-layout-hand"), words.Say("ui-layout-hand-short")
	}
	d.thing.SetTexts(text, short)
	d.pin.Label = words.Say(map[bool]string{false: "ui-layout-pin", true: "ui-layout-unpin"}[pinned])
	d.pin.IconName = map[bool]string{false: "lock", true: "unlock"}[pinned]
	d.pin.SetEnabled(d.laid != nil && v.chosen >= 0)
	d.pin.Refresh()
	d.turned.SetEnabled(d.laid != nil && v.chosen >= 0 && d.laid.Turns(d.at))
	d.free.SetEnabled(d.laid != nil)
	d.free.SetOn(v.drawing)
	if v.chosenFree >= 0 && !v.drawing {
		d.free.Label, d.free.IconName = words.Say("ui-layout-unfree"), "delete"
	} else {
		d.free.Label, d.free.IconName = words.Say("ui-layout-free"), "rectangle"
	}
	d.free.Refresh()
	decided := d.laid != nil && len(d.laid.Kept().Decided().Sheets) > 0
	d.again.SetEnabled(decided)
	d.undo.SetEnabled(len(d.past) > 0)
	d.redo.SetEnabled(len(d.future) > 0)
}

// command does what a key or a button asks for, where it can.
func (d *layoutDialog) command(c laidCommand) {
	if d.laid == nil {
		return
	}
	v := d.view
	switch c {
	case pinIt:
		d.pinChosen()
	case turnIt:
		if v.chosen >= 0 && d.laid.Turns(d.at) {
			d.move(v.chosen, 1, geometry.Point{})
		}
	case drawFree, removeFree:
		if v.chosenFree >= 0 {
			d.unfree()
		} else if c == drawFree {
			v.drawing = !v.drawing
			d.told()
			d.Focus(v)
		}
	case layAgain:
		d.step(d.laid.Kept().Decided())
	case sheetBefore:
		d.leaf(-1)
	case sheetAfter:
		d.leaf(1)
	case undoIt:
		d.back(&d.past, &d.future)
	case redoIt:
		d.back(&d.future, &d.past)
	}
}

// pinChosen pins what is chosen where it is, or lets it go.
func (d *layoutDialog) pinChosen() {
	if d.view.chosen < 0 {
		return
	}
	all, of := d.things()
	all.Things = slices.Clone(all.Things)
	t := &all.Things[of[d.view.chosen]]
	t.Pinned = !t.Pinned
	d.step(all)
}

// unfree lets things lie in the place that is chosen, which was kept free.
func (d *layoutDialog) unfree() {
	v := d.view
	all := d.laid.Kept()
	all.Free = slices.DeleteFunc(slices.Clone(all.Free), func(f job.LaidFree) bool { return f == v.free[v.chosenFree] })
	v.chosenFree = -1
	d.step(all)
}

// back takes what was done last, if anything was, from one list to the other.
func (d *layoutDialog) back(from, to *[]job.Laid) {
	if len(*from) == 0 {
		return
	}
	*to = append(*to, d.laid.Kept())
	d.keep, *from = (*from)[len(*from)-1], (*from)[:len(*from)-1]
	d.ask()
}

// step has all lie like that; it can be taken back.
func (d *layoutDialog) step(all job.Laid) {
	d.past, d.future = append(d.past, d.laid.Kept()), nil
	d.keep = all
	d.ask()
}

// move moves and turns a thing, and pins it there, unless something is in the way.
func (d *layoutDialog) move(k, quarters int, by geometry.Point) {
	laid, at := d.laid, d.at
	d.l.Stop() // what is shown is what is changed
	d.l.Move(*laid, at, k, quarters, by, func(t job.LaidThing, why workshop.Obstacle) {
		if !d.Shown() || d.laid != laid {
			return
		}
		if why != 0 {
			d.wrong.SetText(words.Say(map[workshop.Obstacle]string{
				workshop.OffSheet: "ui-layout-off-sheet", workshop.TooNear: "ui-layout-too-near", workshop.OnFree: "ui-layout-on-free",
			}[why]))
			d.fit()
			return
		}
		all, of := d.things()
		all.Things = slices.Clone(all.Things)
		all.Things[of[k]] = t
		d.step(all)
	})
}

// keepFree keeps a place of the sheet that is shown free: what lies there and is not
// pinned is laid somewhere else.
func (d *layoutDialog) keepFree(r geometry.Rect) {
	all := d.laid.Kept()
	all.Free = append(slices.Clone(all.Free), job.LaidFree{Sheet: d.at, Min: r.Min, Max: r.Max})
	d.step(all)
}
