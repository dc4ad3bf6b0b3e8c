package window

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"abut/assets"
	"abut/internal/job"
	"abut/internal/show"
	"abut/ui/aids"
	"abut/ui/command"
	"abut/ui/inspect"
)

// newMenu makes the main menu from the table of commands.
func (w *Window) newMenu() {
	items := command.Items
	within := func(label string, ids ...string) command.Item {
		return command.Item{Within: &command.Menu{Label: label, Items: items(ids...)}}
	}
	var demos []string
	for _, d := range assets.Demos() {
		demos = append(demos, "demo-"+d.ID)
	}
	var file []command.Item
	if w.options.NewWindow != nil {
		file = items("new-window", "open-window")
	}
	file = append(file, items("start-empty", "open", "add-picture", "renew", "replace-picture")...)
	file = append(file, within("ui-menu-demos", demos...))
	file = append(file, items(append([]string{""}, recentIDs()...)...)...)
	file = append(file, items("", "save", "save-as", "export", "close", "", "quit")...)
	var adds []string
	for _, a := range w.add.Things() {
		if a.Around {
			adds = append(adds, "")
		}
		adds = append(adds, a.ID)
	}
	var ready []string
	for _, r := range show.ReadyLessons {
		ready = append(ready, "lesson-"+r.ID)
	}
	lines := []string{"align-left", "align-middle", "align-right", "align-top", "align-centre", "align-bottom", "", "spread-across", "spread-down", "", "centre"}
	var bands []string
	for _, n := range inspect.BandCounts {
		bands = append(bands, bandID(n))
	}
	cut := items("fit", "knock-all", "knock-one", "mend-all", "next-spot", "")
	cut = append(cut, within("ui-menu-use", useIDs()...))
	cut = append(cut, items("base")...)
	cut = append(cut, within("ui-frame", "ui-frame-auto", "ui-frame-always", "ui-frame-never"))
	cut = append(cut, items("marks", "", "trace", "size", "blank", "fit-blank", "press", "", "colours", "fewer")...)
	cut = append(cut, within("ui-menu-gradients", bands...), within("ui-menu-see-through", "ui-choice-mix", "ui-choice-own"))
	cut = append(cut, items("list", "layout", "", "drawer", "mark-cut")...)
	view := items("ui-view-art", "ui-view-fitted", "ui-view-sheets", "ui-view-assembly", "compare", "", "show-all", "show-blank", "true-size", "zoom-in", "zoom-out", "screen", "", "grid")
	view = append(view, within("board-grid-spacing", aids.GridIDs()...))
	view = append(view, items("snap")...)
	view = append(view, within("board-snap-to", "board-snap-layers", "board-snap-blank", "board-snap-grid"))
	view = append(view, items("", "find-layer", "layers", "details", "", "settings")...)
	view = append(view, within("ui-menu-look", "ui-look-system", "ui-look-light", "ui-look-dark"), within("ui-menu-units", "ui-units-mm", "ui-units-in"))
	arrange := items("to-top", "raise", "lower", "to-bottom", "")
	arrange = append(arrange, within("ui-menu-lines", lines...), within("ui-menu-turn", "turn-left", "turn-right", "flip-sides", "flip-upright"))
	arrange = append(arrange, items("", "merge", "split", "outline")...)
	w.bar = w.commands.NewBar("quit",
		command.Menu{Label: "ui-menu-file", Items: file},
		command.Menu{Label: "ui-menu-edit", Items: items("undo", "redo", "steps", "", "cut-out", "copy", "paste", "duplicate", "delete", "select-all", "select-group", "", "rename", "recolour", "edit-text", "lock", "shown")},
		command.Menu{Label: "ui-add", Items: items(adds...)},
		command.Menu{Label: "ui-menu-arrange", Items: arrange},
		command.Menu{Label: "ui-menu-cut", Items: cut},
		command.Menu{Label: "ui-menu-view", Items: view},
		command.Menu{Label: "class-tool", Items: append(items("class", "class-steps", "class-handout", ""), within("class-ready", ready...))},
		command.Menu{Label: "ui-menu-help", Items: items("guide", "walk", "", "find-action", "keys", "about")})
	w.win.SetMainMenu(w.bar.Main)
	w.win.Canvas().AddShortcut(redoToo, func(fyne.Shortcut) { w.commands.Run("redo") })
}

// redoToo is the other key for Redo, which many hands know.
var redoToo = &desktop.CustomShortcut{KeyName: fyne.KeyZ, Modifier: fyne.KeyModifierShortcutDefault | fyne.KeyModifierShift}

// recentIDs are the commands that open the files that were open last.
func recentIDs() []string {
	return []string{"recent-1", "recent-2", "recent-3", "recent-4", "recent-5"}
}

func useIDs() []string {
	var ids []string
	for _, u := range inspect.Uses {
		ids = append(ids, "use-"+u.String())
	}
	return ids
}

// shortcut gets what the board and the list have no use for.
func (w *Window) shortcut(s fyne.Shortcut) {
	if s.ShortcutName() == redoToo.ShortcutName() {
		w.commands.Run("redo")
	}
}

// showContext shows what can be done with the selection beside the pointer.
func (w *Window) showContext(at fyne.Position) {
	if len(w.session.Selection()) == 0 {
		return
	}
	use := command.Item{Within: &command.Menu{Label: "ui-menu-use", Items: command.Items(useIDs()...)}}
	list := append(command.Items("knock-one"), use)
	list = append(list, command.Items("", "to-top", "raise", "lower", "to-bottom", "", "rename", "lock", "shown", "",
		"edit-text", "recolour", "ui-add-surround", "merge", "split", "outline", "", "cut-out", "copy", "paste", "duplicate", "delete")...)
	widget.ShowPopUpMenuAtPosition(w.commands.Context(list...), w.win.Canvas(), at)
}

// selected returns the one selected layer.
func (w *Window) selected() (l job.Layer, it job.Item, ok bool) {
	ids := w.session.Selection()
	if len(ids) != 1 {
		return l, it, false
	}
	return w.session.Job().Layer(ids[0])
}

// fold opens or folds the panels, and keeps that for the next time.
func (w *Window) fold(left, right bool) {
	w.panels.Fold(left, right)
	w.prefs.SetBool(prefLeftFolded, !left)
	w.prefs.SetBool(prefRightFolded, !right)
	w.bar.Update()
}

// openLayers opens or folds the list, and openDetails Details.
func (w *Window) openLayers(on bool) {
	_, right := w.panels.Wanted()
	w.fold(on, right)
}

func (w *Window) openDetails(on bool) {
	left, _ := w.panels.Wanted()
	w.fold(left, on)
}

// showDetails opens Details.
func (w *Window) showDetails() {
	if _, right := w.panels.Open(); !right {
		w.openDetails(true)
	}
}

// toggleShown hides the selection, or shows it when something in it is hidden.
func (w *Window) toggleShown() {
	w.session.SetShown(w.session.Selection(), !w.commands.Get("shown").IsOn())
}

// toggleKnock lets the selection knock out, or not when all of it does.
func (w *Window) toggleKnock() {
	w.session.SetKnocks(w.session.Selection(), !w.commands.Get("knock-one").IsOn())
}

// toggleLock locks the selection, or unlocks it when something in it is locked.
func (w *Window) toggleLock() {
	w.session.SetLocked(w.session.Selection(), !w.commands.Get("lock").IsOn())
}

// arrange moves the selection up or down in the order; a step may lead into a
// group.
func (w *Window) arrange(s job.Step) {
	w.session.Arrange(w.session.Selection(), s)
	w.list.Unfold(w.session.Selection())
}

// selectAll selects every layer that the pointer could catch.
func (w *Window) selectAll() {
	var ids []job.LayerID
	for _, it := range w.session.Job().Items {
		for i := range it.Layers {
			if l := &it.Layers[i]; !l.Locked && l.Shown {
				ids = append(ids, l.ID)
			}
		}
	}
	w.session.Select(ids)
}

// selectGroup selects all of the smallest group around what is selected, as the
// art's file has them; again, the next larger one.
func (w *Window) selectGroup() {
	if _, members := job.Around(w.session.Job(), w.session.Selection()); members != nil {
		w.session.Select(members)
	}
}
