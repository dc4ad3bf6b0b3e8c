// Package aids holds what helps to place layers: the grid, and what edges snap to.
package aids

import (
	"strconv"

	"fyne.io/fyne/v2"

	"abut/internal/job"
	"abut/internal/words"
	"abut/ui/board"
	"abut/ui/command"
)

// Aids are the grid and what edges snap to. They belong to whoever works, not to the
// document, and stay as they were left.
type Aids struct {
	prefs      fyne.Preferences
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

// New returns the aids as they were left.
func New(prefs fyne.Preferences) *Aids {
	a := &Aids{prefs: prefs}
	a.Take()
	return a
}

// Snaps reports whether anything snaps.
func (a *Aids) Snaps() bool { return a.snap }

// Take takes the aids as another window left them.
func (a *Aids) Take() {
	p := a.prefs
	a.grid, a.snap = p.Bool(prefGrid), p.BoolWithFallback(prefSnap, true)
	a.to.Layers = p.BoolWithFallback(prefSnapLayers, true)
	a.to.Blank = p.BoolWithFallback(prefSnapBlank, true)
	a.to.Grid = p.BoolWithFallback(prefSnapGrid, true)
	a.step = max(0, min(p.IntWithFallback(prefGridStep, usualStep), len(gridSteps[0])-1))
}

// Commands puts the commands of the aids into a table. They need art and, to choose
// what snaps, that anything does; changed is told of a change, units are those in use.
func (a *Aids) Commands(t *command.Table, art []*command.Condition, snapping *command.Condition, units func() job.Units, changed func()) {
	toggle := func(id, label, pref string, key fyne.Shortcut, on *bool, when []*command.Condition) {
		t.Add(&command.Command{ID: id, Label: label, Key: key, When: when, On: func() bool { return *on }, Run: func() {
			*on = !*on
			a.prefs.SetBool(pref, *on)
			changed()
		}})
	}
	toggle("grid", "board-grid", prefGrid, command.Ctrl(fyne.KeyG), &a.grid, art)
	toggle("snap", "board-snap", prefSnap, command.CtrlShift(fyne.KeyG), &a.snap, art)
	for i, id := range GridIDs() {
		t.Add(&command.Command{
			ID: id, Says: func() string { u := units(); return words.Length(gridSteps[u][i], u) }, When: art,
			On: func() bool { return a.step == i },
			Run: func() {
				a.step, a.grid = i, true
				a.prefs.SetInt(prefGridStep, i)
				a.prefs.SetBool(prefGrid, true)
				changed()
			},
		})
	}
	to := append(art[:1:1], snapping)
	toggle("board-snap-layers", "board-snap-layers", prefSnapLayers, nil, &a.to.Layers, to)
	toggle("board-snap-blank", "board-snap-blank", prefSnapBlank, nil, &a.to.Blank, to)
	toggle("board-snap-grid", "board-snap-grid", prefSnapGrid, nil, &a.to.Grid, to)
}

// GridIDs name the commands for the grid's spacings.
func GridIDs() []string {
	var ids []string
	for i := range gridSteps[0] {
		ids = append(ids, "grid-"+strconv.Itoa(i))
	}
	return ids
}

// Use tells a board, whose job is in these units.
func (a *Aids) Use(b *board.Board, u job.Units) {
	to, mm := a.to, 0.0
	if a.grid {
		mm = gridSteps[u][a.step]
	}
	if !a.snap {
		to = board.Snapping{}
	}
	b.SetSnapping(to)
	b.SetGrid(mm)
}
