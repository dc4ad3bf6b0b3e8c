package window

import (
	"fmt"
	"math"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"abut/assets"
	"abut/internal/job"
	"abut/ui/board"
	"abut/ui/theme"
)

// menu is the main menu and those of its items that change.
type menu struct {
	main *fyne.MainMenu
	// Items that can be done or not, are on or off, or change their words.
	group                       *fyne.MenuItem
	undo, redo, export, close   *fyne.MenuItem
	save, saveAs                *fyne.MenuItem
	raise, lower, shown, delete *fyne.MenuItem
	toTop, toBottom, duplicate  *fyne.MenuItem
	rename, lock, use, lines    *fyne.MenuItem
	usesItems                   [4]*fyne.MenuItem
	views                       [4]*fyne.MenuItem
	needSelection               []*fyne.MenuItem
	knock, knockOne, frame      *fyne.MenuItem
	mend, nextSpot              *fyne.MenuItem
	all, blank, in, out         *fyne.MenuItem
	layers, details             *fyne.MenuItem
	frames, modes               [3]*fyne.MenuItem
	marks                       *fyne.MenuItem
	units                       [2]*fyne.MenuItem
	merge, split, outline       *fyne.MenuItem
	recolour, editText          *fyne.MenuItem
	surround                    *fyne.MenuItem
	cut, copy, paste            *fyne.MenuItem
	needArt                     []*fyne.MenuItem
	// seen is how the menu looked when it was last laid out.
	seen string
}

func ctrl(k fyne.KeyName) fyne.Shortcut {
	return &desktop.CustomShortcut{KeyName: k, Modifier: fyne.KeyModifierShortcutDefault}
}

func (w *Window) newMenu() {
	m := &w.menu
	item := func(id string, s fyne.Shortcut, f func()) *fyne.MenuItem {
		i := fyne.NewMenuItem(say(id), f)
		i.Shortcut = s
		return i
	}
	art := func(i *fyne.MenuItem) *fyne.MenuItem {
		f := i.Action
		// The toolkit runs a disabled item's shortcut all the same, and those of the
		// window behind a dialog.
		i.Action = func() {
			if w.session.Opened() && !w.desk.Open() {
				f()
			}
		}
		m.needArt = append(m.needArt, i)
		return i
	}
	sub := func(id string, items ...*fyne.MenuItem) *fyne.MenuItem {
		i := fyne.NewMenuItem(say(id), nil)
		i.ChildMenu = fyne.NewMenu("", items...)
		return i
	}

	var demos []*fyne.MenuItem
	for _, d := range assets.Demos() {
		demos = append(demos, fyne.NewMenuItem(say("demo-"+d.ID), func() { w.openDemo(d) }))
	}
	m.save = art(item("ui-save", ctrl(fyne.KeyS), w.save))
	m.saveAs = art(item("ui-menu-save-as", &desktop.CustomShortcut{KeyName: fyne.KeyS, Modifier: fyne.KeyModifierShortcutDefault | fyne.KeyModifierShift}, w.saveAs))
	m.export = art(item("ui-menu-export", ctrl(fyne.KeyE), w.export))
	m.close = art(item("ui-menu-close", ctrl(fyne.KeyW), func() { w.leaving(w.session.Close) }))
	quit := item("ui-menu-quit", ctrl(fyne.KeyQ), w.quit)
	quit.IsQuit = true

	m.undo = item("ui-undo", &fyne.ShortcutUndo{}, func() { w.orEntry(&fyne.ShortcutUndo{}, w.undo) })
	m.redo = item("ui-redo", &fyne.ShortcutRedo{}, func() { w.orEntry(&fyne.ShortcutRedo{}, w.redo) })
	withShift := func(k fyne.KeyName) fyne.Shortcut {
		return &desktop.CustomShortcut{KeyName: k, Modifier: fyne.KeyModifierShortcutDefault | fyne.KeyModifierShift}
	}
	steps := art(item("ui-menu-steps", withShift(fyne.KeyH), w.showSteps))
	picked := func(i *fyne.MenuItem) *fyne.MenuItem {
		m.needSelection = append(m.needSelection, i)
		return art(i)
	}
	all := art(item("ui-menu-select-all", &fyne.ShortcutSelectAll{}, func() { w.orEntry(&fyne.ShortcutSelectAll{}, w.selectAll) }))
	m.group = picked(item("ui-select-group-any", withShift(fyne.KeyJ), w.selectGroup))
	m.raise = picked(item("ui-menu-raise", ctrl(fyne.KeyPageUp), func() { w.arrange(job.Up) }))
	m.lower = picked(item("ui-menu-lower", ctrl(fyne.KeyPageDown), func() { w.arrange(job.Down) }))
	m.toTop = picked(item("ui-menu-to-top", ctrl(fyne.KeyHome), func() { w.arrange(job.ToTop) }))
	m.toBottom = picked(item("ui-menu-to-bottom", ctrl(fyne.KeyEnd), func() { w.arrange(job.ToBottom) }))
	m.shown = picked(item("ui-menu-shown", ctrl(fyne.KeyH), w.toggleShown))
	m.duplicate = picked(item("ui-menu-duplicate", ctrl(fyne.KeyD), w.duplicate))
	m.rename = picked(item("ui-menu-rename", ctrl(fyne.KeyR), w.askName))
	m.lock = picked(item("ui-menu-lock", ctrl(fyne.KeyL), w.toggleLock))
	m.delete = picked(item("ui-menu-delete", nil, w.deleteSelected))
	for i, u := range uses {
		m.usesItems[i] = picked(item("ui-use-"+u.String(), nil, func() { w.setUse(u) }))
	}
	m.use = sub("ui-menu-use", m.usesItems[:]...)
	var lines []*fyne.MenuItem
	for _, a := range alignments {
		lines = append(lines, picked(item(a.id, nil, func() { w.align(a.to) })))
	}
	lines = append(lines, fyne.NewMenuItemSeparator(),
		picked(item("ui-menu-spread-across", nil, func() { w.spread(false) })),
		picked(item("ui-menu-spread-down", nil, func() { w.spread(true) })), fyne.NewMenuItemSeparator(),
		picked(item("ui-menu-centre", ctrl(fyne.KeyM), w.centre)))
	m.lines = sub("ui-menu-lines", lines...)
	turns := sub("ui-menu-turn",
		picked(item("ui-menu-turn-left", ctrl(fyne.KeyLeftBracket), func() { w.turn(-math.Pi / 2) })),
		picked(item("ui-menu-turn-right", ctrl(fyne.KeyRightBracket), func() { w.turn(math.Pi / 2) })),
		picked(item("ui-menu-flip-sides", nil, func() { w.flip(false) })),
		picked(item("ui-menu-flip-upright", nil, func() { w.flip(true) })))

	m.knock = art(item("ui-knock-all", ctrl(fyne.KeyK), w.knockOut))
	m.knockOne = picked(item("ui-menu-knock-one", nil, w.toggleKnock))
	m.mend = art(item("ui-mend-all", ctrl(fyne.KeyJ), w.mendAll))
	m.nextSpot = art(item("ui-menu-next-spot", ctrl(fyne.KeyN), w.nextSpot))
	for i, id := range []string{"ui-frame-auto", "ui-frame-always", "ui-frame-never"} {
		m.frames[i] = art(item(id, nil, func() { w.setFrame(frameModes[i]) }))
	}
	m.frame = sub("ui-frame", m.frames[:]...)
	m.marks = art(item("ui-marks", nil, w.toggleMarks))

	for i, id := range []string{"ui-view-art", "ui-view-fitted", "ui-view-sheets", "ui-view-assembly"} {
		key := []fyne.KeyName{fyne.Key1, fyne.Key2, fyne.Key3, fyne.Key4}[i]
		m.views[i] = art(item(id, ctrl(key), func() { w.showView(board.Mode(i)) }))
	}
	m.all = art(item("ui-show-all", ctrl(fyne.Key0), w.board.ShowAll))
	m.blank = art(item("board-show-blank", ctrl(fyne.Key9), w.board.ShowBlank))
	real := []*fyne.MenuItem{art(item("board-true-size", ctrl(fyne.Key8), w.trueSize)), item("board-screen", nil, w.askScreen)}
	m.in = art(item("ui-zoom-in", ctrl(fyne.KeyEqual), func() { w.board.Zoom(1.25) }))
	m.out = art(item("ui-zoom-out", ctrl(fyne.KeyMinus), func() { w.board.Zoom(1 / 1.25) }))
	m.layers = art(item("ui-layers", nil, func() {
		l, r := w.panels.Open()
		w.fold(!l, r)
	}))
	m.details = art(item("ui-details", nil, func() {
		l, r := w.panels.Open()
		w.fold(l, !r)
	}))
	for i, mode := range []theme.Mode{theme.System, theme.AlwaysLight, theme.AlwaysDark} {
		id := []string{"ui-look-system", "ui-look-light", "ui-look-dark"}[i]
		m.modes[i] = item(id, nil, func() { w.setMode(mode) })
	}

	for i, u := range []job.Units{job.Millimetres, job.Inches} {
		m.units[i] = art(item([]string{"ui-units-mm", "ui-units-in"}[i], nil, func() { w.setUnits(u) }))
	}

	aids, mixed := w.newAids(art), w.newMixedMenu(art)
	find := art(item("board-find-layer", ctrl(fyne.KeyF), w.findLayer))
	m.merge = picked(item("ui-menu-merge", withShift(fyne.KeyM), func() { w.session.Merge(w.session.Selection()) }))
	m.split = picked(item("ui-menu-split", withShift(fyne.KeyK), w.split))
	m.outline = picked(item("ui-menu-outline", nil, w.outline))
	m.recolour = picked(item("ui-menu-recolour", withShift(fyne.KeyC), w.askColour))
	m.editText = picked(item("ui-menu-edit-text", withShift(fyne.KeyF), w.editText))
	m.cut = picked(item("ui-menu-cut-out", &fyne.ShortcutCut{}, func() { w.orEntry(&fyne.ShortcutCut{Clipboard: clipboard()}, w.cutSelected) }))
	m.copy = picked(item("ui-menu-copy", &fyne.ShortcutCopy{}, func() { w.orEntry(&fyne.ShortcutCopy{Clipboard: clipboard()}, func() { w.copySelected() }) }))
	m.paste = item("ui-menu-paste", &fyne.ShortcutPaste{}, func() { w.orEntry(&fyne.ShortcutPaste{Clipboard: clipboard()}, w.paste) })
	var adds []*fyne.MenuItem
	for _, a := range w.addables() {
		i := item(a.id, a.shortcut, a.add)
		if a.around {
			m.surround = picked(i)
			adds = append(adds, fyne.NewMenuItemSeparator(), m.surround)
			continue
		}
		adds = append(adds, art(i))
	}

	var windows []*fyne.MenuItem
	if w.options.NewWindow != nil {
		windows = append(windows, item("board-new-window", withShift(fyne.KeyN), func() { w.options.NewWindow("") }), item("board-open-window", nil, w.askOpenNew))
	}
	m.main = fyne.NewMainMenu(
		fyne.NewMenu(say("ui-menu-file"), append(windows, item("ui-start-empty", withShift(fyne.KeyB), w.startEmpty), item("ui-menu-open", ctrl(fyne.KeyO), w.askOpen), art(item("ui-menu-add", withShift(fyne.KeyO), w.askAdd)), sub("ui-menu-demos", demos...), fyne.NewMenuItemSeparator(), m.save, m.saveAs, m.export, m.close, fyne.NewMenuItemSeparator(), quit)...),
		fyne.NewMenu(say("ui-menu-edit"), m.undo, m.redo, steps, fyne.NewMenuItemSeparator(), m.cut, m.copy, m.paste, m.duplicate, m.delete, all, m.group, fyne.NewMenuItemSeparator(), m.rename, m.recolour, m.editText, m.lock, m.shown),
		fyne.NewMenu(say("ui-add"), adds...),
		fyne.NewMenu(say("ui-menu-arrange"), m.toTop, m.raise, m.lower, m.toBottom, fyne.NewMenuItemSeparator(), m.lines, turns, fyne.NewMenuItemSeparator(), m.merge, m.split, m.outline),
		fyne.NewMenu(say("ui-menu-cut"), m.knock, m.knockOne, m.mend, m.nextSpot, fyne.NewMenuItemSeparator(), m.use,
			art(item("ui-menu-base", ctrl(fyne.KeyI), w.askBase)),
			m.frame, m.marks, art(item("ui-menu-blank", ctrl(fyne.KeyB), w.askBlank)), art(item("ui-menu-fit-blank", nil, w.fitBlank)), fyne.NewMenuItemSeparator(),
			art(item("ui-menu-colours", ctrl(fyne.KeyT), w.sheets.Colours)), art(item("ui-menu-fewer", withShift(fyne.KeyT), w.sheets.Fewer)), mixed[0], mixed[1], item("ui-menu-drawer", withShift(fyne.KeyD), w.sheets.Drawer), art(item("ui-menu-mark-cut", nil, w.sheets.MarkCut))),
		fyne.NewMenu(say("ui-menu-view"), m.views[0], m.views[1], m.views[2], m.views[3], fyne.NewMenuItemSeparator(), m.all, m.blank, real[0], m.in, m.out, real[1], fyne.NewMenuItemSeparator(), aids[0], aids[1], aids[2], aids[3], fyne.NewMenuItemSeparator(), find, m.layers, m.details, fyne.NewMenuItemSeparator(), item("settings-menu", ctrl(fyne.KeyComma), w.askSettings), sub("ui-menu-look", m.modes[:]...), sub("ui-menu-units", m.units[:]...)),
		fyne.NewMenu(say("ui-menu-help"), item("ui-menu-keys", nil, w.showKeys), item("ui-menu-about", nil, w.showAbout)),
	)
	w.win.SetMainMenu(m.main)
	w.win.Canvas().AddShortcut(&desktop.CustomShortcut{KeyName: fyne.KeyZ, Modifier: fyne.KeyModifierShortcutDefault | fyne.KeyModifierShift}, func(fyne.Shortcut) { w.redo() })
}

// shortcut gets what the board and the list have no use for.
func (w *Window) shortcut(s fyne.Shortcut) {
	if c, ok := s.(*desktop.CustomShortcut); ok && c.KeyName == fyne.KeyZ && c.Modifier == fyne.KeyModifierShortcutDefault|fyne.KeyModifierShift {
		w.redo()
	}
}

// orEntry gives a shortcut to the entry that is being typed into, which a
// menu's shortcut would otherwise beat; without one it does the other thing.
func (w *Window) orEntry(s fyne.Shortcut, otherwise func()) {
	type typed interface {
		fyne.Shortcutable
		SelectedText() string
	}
	if e, ok := w.win.Canvas().Focused().(typed); ok {
		e.TypedShortcut(s)
		return
	}
	otherwise()
}

// updateMenu sets what can be done and what is on.
func (w *Window) updateMenu() {
	m, s := &w.menu, w.session
	if m.main == nil {
		return
	}
	open := s.Opened()
	for _, i := range m.needArt {
		i.Disabled = !open
	}
	m.undo.Disabled, m.redo.Disabled = !s.CanUndo(), !s.CanRedo()
	m.undo.Label, m.redo.Label = say("ui-undo"), say("ui-redo")
	if s.CanUndo() {
		m.undo.Label = say("ui-undo-what", "step", say(s.UndoLabel()))
	}
	if s.CanRedo() {
		m.redo.Label = say("ui-redo-what", "step", say(s.RedoLabel()))
	}
	m.mend.Disabled = !open || s.Weak().Open() == 0
	m.nextSpot.Disabled = m.mend.Disabled
	w.mixed.update(w)
	ids := s.Selection()
	for _, i := range m.needSelection {
		i.Disabled = !open || len(ids) == 0
	}
	showGroup(s.Job(), ids, nil, m.group)
	m.rename.Disabled = !open || len(ids) != 1
	w.updateContentMenu(open, ids)
	m.knock.Checked = open && allKnock(s.Job())
	m.knockOne.Checked, m.shown.Checked, m.lock.Checked = len(ids) > 0, len(ids) > 0, false
	for _, i := range m.usesItems {
		i.Checked = len(ids) > 0
	}
	for _, id := range ids {
		l, _, ok := s.Job().Layer(id)
		if !ok {
			continue
		}
		m.knockOne.Checked = m.knockOne.Checked && l.Knocks
		m.shown.Checked = m.shown.Checked && l.Shown
		m.lock.Checked = m.lock.Checked || l.Locked
		for i, u := range uses {
			m.usesItems[i].Checked = m.usesItems[i].Checked && l.Use == u
		}
	}
	for i := range m.units {
		m.units[i].Checked = open && s.Job().Settings.Units == job.Units(i)
	}
	for i, v := range m.views {
		v.Checked = open && w.board.Mode() == board.Mode(i)
	}
	m.layers.Checked, m.details.Checked = w.panels.Open()
	w.updateAids()
	mode := s.Job().Settings.Frame.Mode
	m.marks.Checked = open && s.Job().Settings.Marks
	for i, f := range m.frames {
		f.Checked = open && frameModes[i] == mode
	}
	for i, mode := range []theme.Mode{theme.System, theme.AlwaysLight, theme.AlwaysDark} {
		m.modes[i].Checked = w.mode() == mode
	}
	// Laying the menu out again is slow: only when something looks different.
	if now := m.look(); now != m.seen {
		m.seen = now
		m.main.Refresh()
	}
}

// look is everything about the menu that can change, as text.
func (m *menu) look() string {
	var b strings.Builder
	var walk func([]*fyne.MenuItem)
	walk = func(items []*fyne.MenuItem) {
		for _, i := range items {
			fmt.Fprintf(&b, "%s %t %t|", i.Label, i.Disabled, i.Checked)
			if i.ChildMenu != nil {
				walk(i.ChildMenu.Items)
			}
		}
	}
	for _, x := range m.main.Items {
		walk(x.Items)
	}
	return b.String()
}

// selected returns the one selected layer.
func (w *Window) selected() (l job.Layer, it job.Item, ok bool) {
	ids := w.session.Selection()
	if len(ids) != 1 {
		return l, it, false
	}
	return w.session.Job().Layer(ids[0])
}

func (w *Window) deleteSelected() {
	if ids := w.session.Selection(); len(ids) > 0 {
		w.do("ui-step-delete", func(j job.Job) (job.Job, error) { return job.DeleteLayers(j, ids) })
	}
}

// fold opens or folds the panels, and keeps that for the next time.
func (w *Window) fold(left, right bool) {
	w.panels.Fold(left, right)
	w.prefs.SetBool(prefLeftFolded, !left)
	w.prefs.SetBool(prefRightFolded, !right)
	w.updateMenu()
}

// toggleShown hides the selection, or shows it when something in it is hidden.
func (w *Window) toggleShown() { w.showLayers(w.session.Selection(), !w.menu.shown.Checked) }

func (w *Window) showLayers(ids []job.LayerID, on bool) {
	w.doTo(ids, "ui-step-hide", "ui-step-show", on, job.SetShown)
}

// toggleKnock lets the selection knock out, or not when all of it does.
func (w *Window) toggleKnock() { w.setKnocks(w.session.Selection(), !w.menu.knockOne.Checked) }

func (w *Window) setKnocks(ids []job.LayerID, on bool) {
	w.doTo(ids, "ui-step-lay-over", "ui-step-knock", on, job.SetKnocks)
}

// doTo switches something about layers on or off, as one step of that name.
func (w *Window) doTo(ids []job.LayerID, off, on string, to bool, edit func(job.Job, []job.LayerID, bool) (job.Job, error)) {
	label := off
	if to {
		label = on
	}
	if len(ids) > 0 {
		w.do(label, func(j job.Job) (job.Job, error) { return edit(j, ids, to) })
	}
}

func (w *Window) setMode(mode theme.Mode) {
	w.prefs.SetString(prefMode, string(mode))
	if w.options.SetMode != nil {
		w.options.SetMode(mode)
	}
	w.updateMenu()
}

// mode is the look that was chosen last, in whatever window.
func (w *Window) mode() theme.Mode {
	return Mode(w.prefs)
}

// Mode returns the look that was chosen last.
func Mode(p fyne.Preferences) theme.Mode { return theme.Mode(p.String(prefMode)) }

// setUnits shows and takes lengths in other units, in this document and in
// those that are opened later.
func (w *Window) setUnits(u job.Units) {
	w.prefs.SetInt(prefUnits, int(u))
	w.session.Units = u
	if w.session.Job().Settings.Units != u {
		w.do("ui-step-units", func(j job.Job) (job.Job, error) { return job.SetUnits(j, u) })
	}
}
