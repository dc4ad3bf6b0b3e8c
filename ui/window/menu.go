package window

import (
	"fmt"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"abut/assets"
	"abut/internal/job"
	"abut/ui/controls"
	"abut/ui/dialogs"
	"abut/ui/theme"
)

// menu is the main menu and those of its items that change.
type menu struct {
	main *fyne.MainMenu
	// Items that can be done or not, are on or off, or change their words.
	undo, redo, export, close   *fyne.MenuItem
	save, saveAs                *fyne.MenuItem
	raise, lower, shown, delete *fyne.MenuItem
	knock, knockOne, frame      *fyne.MenuItem
	art, fitted, all, in, out   *fyne.MenuItem
	layers, details             *fyne.MenuItem
	frames, modes               [3]*fyne.MenuItem
	needArt                     []*fyne.MenuItem
	mode                        theme.Mode
	// seen is how the menu looked when it was last laid out.
	seen string
}

func ctrl(k fyne.KeyName) fyne.Shortcut {
	return &desktop.CustomShortcut{KeyName: k, Modifier: fyne.KeyModifierShortcutDefault}
}

func (w *Window) newMenu() {
	m := &w.menu
	if w.options.Prefs != nil {
		m.mode = theme.Mode(w.options.Prefs.String(prefMode))
	}
	item := func(id string, s fyne.Shortcut, f func()) *fyne.MenuItem {
		i := fyne.NewMenuItem(say(id), f)
		i.Shortcut = s
		return i
	}
	art := func(i *fyne.MenuItem) *fyne.MenuItem {
		f := i.Action
		// The toolkit runs a disabled item's shortcut all the same.
		i.Action = func() {
			if w.session.Opened() {
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
		demos = append(demos, fyne.NewMenuItem(d.Name, func() { w.openDemo(d) }))
	}
	m.save = art(item("ui-save", ctrl(fyne.KeyS), w.save))
	m.saveAs = art(item("ui-menu-save-as", &desktop.CustomShortcut{KeyName: fyne.KeyS, Modifier: fyne.KeyModifierShortcutDefault | fyne.KeyModifierShift}, w.saveAs))
	m.export = art(item("ui-menu-export", ctrl(fyne.KeyE), w.export))
	m.close = art(item("ui-menu-close", ctrl(fyne.KeyW), func() { w.leaving(w.session.Close) }))
	quit := item("ui-menu-quit", ctrl(fyne.KeyQ), w.quit)
	quit.IsQuit = true

	m.undo = item("ui-undo", &fyne.ShortcutUndo{}, func() { w.orEntry(&fyne.ShortcutUndo{}, w.undo) })
	m.redo = item("ui-redo", &fyne.ShortcutRedo{}, func() { w.orEntry(&fyne.ShortcutRedo{}, w.redo) })
	m.raise = art(item("ui-menu-raise", ctrl(fyne.KeyPageUp), func() { w.shift(1) }))
	m.lower = art(item("ui-menu-lower", ctrl(fyne.KeyPageDown), func() { w.shift(-1) }))
	m.shown = art(item("ui-menu-shown", ctrl(fyne.KeyH), w.toggleShown))
	m.delete = art(item("ui-menu-delete", nil, w.deleteSelected))

	m.knock = art(item("ui-knock-all", ctrl(fyne.KeyK), w.knockOut))
	m.knockOne = art(item("ui-menu-knock-one", nil, w.toggleKnock))
	for i, id := range []string{"ui-frame-auto", "ui-frame-always", "ui-frame-never"} {
		m.frames[i] = art(item(id, nil, func() { w.setFrame(frameModes[i]) }))
	}
	m.frame = sub("ui-frame", m.frames[:]...)

	m.art = art(item("ui-view-art", ctrl(fyne.Key1), func() { w.showFitted(false) }))
	m.fitted = art(item("ui-view-fitted", ctrl(fyne.Key2), func() { w.showFitted(true) }))
	m.all = art(item("ui-show-all", ctrl(fyne.Key0), w.board.ShowAll))
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

	m.main = fyne.NewMainMenu(
		fyne.NewMenu(say("ui-menu-file"), item("ui-menu-open", ctrl(fyne.KeyO), w.askOpen), sub("ui-menu-demos", demos...), fyne.NewMenuItemSeparator(), m.save, m.saveAs, m.export, m.close, fyne.NewMenuItemSeparator(), quit),
		fyne.NewMenu(say("ui-menu-edit"), m.undo, m.redo, fyne.NewMenuItemSeparator(), m.raise, m.lower, m.shown, m.delete),
		fyne.NewMenu(say("ui-menu-cut"), m.knock, m.knockOne, fyne.NewMenuItemSeparator(), m.frame),
		fyne.NewMenu(say("ui-menu-view"), m.art, m.fitted, fyne.NewMenuItemSeparator(), m.all, m.in, m.out, fyne.NewMenuItemSeparator(), m.layers, m.details, fyne.NewMenuItemSeparator(), sub("ui-menu-look", m.modes[:]...)),
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
	one := len(s.Selection()) == 1
	for _, i := range []*fyne.MenuItem{m.raise, m.lower, m.shown, m.knockOne} {
		i.Disabled = !open || !one
	}
	m.delete.Disabled = !open || len(s.Selection()) == 0
	m.knock.Checked = open && allKnock(s.Job())
	m.knockOne.Checked = false
	if one {
		if l, _, ok := s.Job().Layer(s.Selection()[0]); ok {
			m.knockOne.Checked = l.Knocks
			m.shown.Checked = l.Shown
		}
	}
	m.art.Checked, m.fitted.Checked = open && !w.board.Fitted(), open && w.board.Fitted()
	m.layers.Checked, m.details.Checked = w.panels.Open()
	mode := s.Job().Settings.Frame.Mode
	for i, f := range m.frames {
		f.Checked = open && frameModes[i] == mode
	}
	for i, mode := range []theme.Mode{theme.System, theme.AlwaysLight, theme.AlwaysDark} {
		m.modes[i].Checked = m.mode == mode
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

// shift moves the selected layer up or down in the order.
func (w *Window) shift(by int) {
	l, it, ok := w.selected()
	if !ok {
		return
	}
	for i := range it.Layers {
		if it.Layers[i].ID == l.ID && i+by >= 0 && i+by < len(it.Layers) {
			w.do("ui-step-order", func(j job.Job) (job.Job, error) { return job.Reorder(j, l.ID, i+by) })
			return
		}
	}
}

func (w *Window) deleteSelected() {
	if ids := w.session.Selection(); len(ids) > 0 {
		w.do("ui-step-delete", func(j job.Job) (job.Job, error) { return job.DeleteLayers(j, ids) })
	}
}

// fold opens or folds the panels, and keeps that for the next time.
func (w *Window) fold(left, right bool) {
	w.panels.Fold(left, right)
	if p := w.options.Prefs; p != nil {
		p.SetBool(prefLeftFolded, !left)
		p.SetBool(prefRightFolded, !right)
	}
	w.updateMenu()
}

func (w *Window) toggleShown() {
	if l, _, ok := w.selected(); ok {
		w.list.OnShown(l.ID, !l.Shown)
	}
}

func (w *Window) toggleKnock() {
	if l, _, ok := w.selected(); ok {
		w.list.OnKnocks(l.ID, !l.Knocks)
	}
}

func (w *Window) setMode(mode theme.Mode) {
	w.menu.mode = mode
	if w.options.Prefs != nil {
		w.options.Prefs.SetString(prefMode, string(mode))
	}
	if w.options.SetMode != nil {
		w.options.SetMode(mode)
	}
	w.updateMenu()
}

// Mode returns the look that was chosen last.
func Mode(p fyne.Preferences) theme.Mode { return theme.Mode(p.String(prefMode)) }

func (w *Window) showAbout() {
	w.show(dialogs.Message(w.win.Canvas(), say("ui-title"), "about", controls.Accent, say("ui-about", "version", w.options.Version), say("ui-about-licence"), say("ui-ok")))
}

func (w *Window) showKeys() {
	d := dialogs.New(w.win.Canvas(), 520, say("ui-menu-keys"))
	for _, k := range []string{"ui-keys-pick", "ui-keys-move", "ui-keys-nudge", "ui-keys-pan", "ui-keys-zoom", "ui-keys-order", "ui-keys-undo"} {
		d.Body.Add(controls.NewPara(say(k), controls.Text))
	}
	d.SetButtons(dialogs.Button(say("ui-ok"), d.Hide))
	d.Show(nil)
	w.show(d)
}
