package window

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"abut/internal/job"
	"abut/internal/words"
	"abut/ui/board"
)

// aids are what helps to place layers: the grid and what edges snap to. They
// belong to whoever works, not to the document, and stay as they were left.
type aids struct {
	grid, snap bool
	to         board.Snapping
	// step chooses the grid's spacing among those of the unit in use.
	step int

	gridItem, snapItem, spacing *fyne.MenuItem
	toItems                     [3]*fyne.MenuItem
	steps                       [5]*fyne.MenuItem
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
	a.step = max(0, min(p.IntWithFallback(prefGridStep, usualStep), len(a.steps)-1))
}

// newAids takes the aids as they were left and makes their part of the menu;
// art makes an item one that needs an open document.
func (w *Window) newAids(art func(*fyne.MenuItem) *fyne.MenuItem) []*fyne.MenuItem {
	a := &w.aids
	*a = aids{snap: true, to: board.Snapping{Layers: true, Blank: true, Grid: true}, step: usualStep}
	a.take(w.prefs)
	toggle := func(id, pref string, on *bool) *fyne.MenuItem {
		return art(fyne.NewMenuItem(say(id), func() {
			*on = !*on
			w.prefs.SetBool(pref, *on)
			w.useAids()
			w.updateMenu()
		}))
	}
	a.gridItem = toggle("board-grid", prefGrid, &a.grid)
	a.gridItem.Shortcut = ctrl(fyne.KeyG)
	a.snapItem = toggle("board-snap", prefSnap, &a.snap)
	a.snapItem.Shortcut = &desktop.CustomShortcut{KeyName: fyne.KeyG, Modifier: fyne.KeyModifierShortcutDefault | fyne.KeyModifierShift}
	for i := range a.steps {
		a.steps[i] = art(fyne.NewMenuItem("", func() {
			a.step, a.grid = i, true
			w.prefs.SetInt(prefGridStep, i)
			w.prefs.SetBool(prefGrid, true)
			w.useAids()
			w.updateMenu()
		}))
	}
	a.spacing = fyne.NewMenuItem(say("board-grid-spacing"), nil)
	a.spacing.ChildMenu = fyne.NewMenu("", a.steps[:]...)
	a.toItems = [3]*fyne.MenuItem{
		toggle("board-snap-layers", prefSnapLayers, &a.to.Layers),
		toggle("board-snap-blank", prefSnapBlank, &a.to.Blank),
		toggle("board-snap-grid", prefSnapGrid, &a.to.Grid),
	}
	to := fyne.NewMenuItem(say("board-snap-to"), nil)
	to.ChildMenu = fyne.NewMenu("", a.toItems[:]...)
	w.useAids()
	return []*fyne.MenuItem{a.gridItem, a.spacing, a.snapItem, to}
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

// updateAids sets what is on in the menu.
func (w *Window) updateAids() {
	a := &w.aids
	a.gridItem.Checked, a.snapItem.Checked = a.grid, a.snap
	for i, on := range []bool{a.to.Layers, a.to.Blank, a.to.Grid} {
		a.toItems[i].Checked = on
		a.toItems[i].Disabled = a.toItems[i].Disabled || !a.snap
	}
	units := w.session.Job().Settings.Units
	for i, s := range a.steps {
		s.Label, s.Checked = words.Length(gridSteps[units][i], units), i == a.step
	}
}
