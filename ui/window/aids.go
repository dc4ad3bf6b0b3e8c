package window

import (
	"strconv"

	"fyne.io/fyne/v2"

	"abut/internal/job"
	"abut/internal/words"
	"abut/ui/ask"
	"abut/ui/board"
	"abut/ui/command"
)

// aids are what helps to place layers: the grid and what edges snap to. They
// belong to whoever works, not to the document, and stay as they were left.
type aids struct {
	grid, snap bool
	to         board.Snapping
	// step chooses the grid's spacing among those of the unit in use.
	step int
}

// gridSteps are the grid's spacings in each unit, in millimetres.
var gridSteps = [2][5]float64{job.Millimetres: {1, 2, 5, 10, 20}, job.Inches: {2.54, 6.35, 12.7, 25.4, 50.8}}

// usualStep is the spacing at first: 5 mm, half an inch.
const usualStep = 2

// Names of preferences.
const (
	prefGrid       = "grid"
	prefGridStep   = "grid-spacing"
	prefSnap       = "snap"
	prefSnapLayers = "snap-layers"
	prefSnapBlank  = "snap-blank"
	prefSnapGrid   = "snap-grid"
)

// take takes the aids as they were left.
func (a *aids) take(p fyne.Preferences) {
	a.grid, a.snap = p.Bool(prefGrid), p.BoolWithFallback(prefSnap, true)
	a.to.Layers = p.BoolWithFallback(prefSnapLayers, true)
	a.to.Blank = p.BoolWithFallback(prefSnapBlank, true)
	a.to.Grid = p.BoolWithFallback(prefSnapGrid, true)
	a.step = max(0, min(p.IntWithFallback(prefGridStep, usualStep), len(gridSteps[0])-1))
}

// addAids takes the aids as they were left and puts their commands into the
// table.
func (w *Window) addAids(art []*command.Condition, snapping *command.Condition) {
	a := &w.aids
	a.take(w.prefs)
	toggle := func(id, label, pref string, key fyne.Shortcut, on *bool, when []*command.Condition) {
		w.commands.Add(&command.Command{ID: id, Label: label, Key: key, When: when, On: func() bool { return *on }, Run: func() {
			*on = !*on
			w.prefs.SetBool(pref, *on)
			w.useAids()
			w.bar.Update()
		}})
	}
	toggle("grid", "board-grid", prefGrid, command.Ctrl(fyne.KeyG), &a.grid, art)
	toggle("snap", "board-snap", prefSnap, command.CtrlShift(fyne.KeyG), &a.snap, art)
	for i, id := range gridIDs() {
		w.commands.Add(&command.Command{
			ID: id, Says: func() string { u := w.ask.Units(); return words.Length(gridSteps[u][i], u) }, When: art,
			On: func() bool { return a.step == i },
			Run: func() {
				a.step, a.grid = i, true
				w.prefs.SetInt(prefGridStep, i)
				w.prefs.SetBool(prefGrid, true)
				w.useAids()
				w.bar.Update()
			},
		})
	}
	to := append(art[:1:1], snapping)
	toggle("board-snap-layers", "board-snap-layers", prefSnapLayers, nil, &a.to.Layers, to)
	toggle("board-snap-blank", "board-snap-blank", prefSnapBlank, nil, &a.to.Blank, to)
	toggle("board-snap-grid", "board-snap-grid", prefSnapGrid, nil, &a.to.Grid, to)
	w.useAids()
}

// TakePreferences brings the window up to what was chosen in another one. The
// document keeps its own units; language and size of type come by Rebuild.
func (w *Window) TakePreferences() {
	w.session.Units = ask.UnitsOf(w.prefs)
	w.aids.take(w.prefs)
	w.useAids()
	w.bar.Update()
}

// gridIDs name the commands for the grid's spacings.
func gridIDs() []string {
	var ids []string
	for i := range gridSteps[0] {
		ids = append(ids, "grid-"+strconv.Itoa(i))
	}
	return ids
}

// gridMM is the grid's spacing in the unit in use.
func (w *Window) gridMM() float64 {
	return gridSteps[w.session.Job().Settings.Units][w.aids.step]
}

// useAids tells the board.
func (w *Window) useAids() {
	a := &w.aids
	to, mm := a.to, 0.0
	if a.grid {
		mm = w.gridMM()
	}
	if !a.snap {
		to = board.Snapping{}
	}
	w.board.SetSnapping(to)
	w.board.SetGrid(mm)
}
