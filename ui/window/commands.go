package window

import (
	"math"
	"slices"

	"fyne.io/fyne/v2"

	"abut/assets"
	"abut/internal/job"
	"abut/internal/session"
	"abut/internal/show"
	"abut/internal/words"
	"abut/ui/ask"
	"abut/ui/board"
	"abut/ui/command"
	"abut/ui/controls"
	"abut/ui/files"
	"abut/ui/inspect"
)

// conditions are what commands need.
type conditions struct {
	art, selected, one, two, three, unlocked, text, drawn, group, apart, looked, spots, weak, mendable, cut, blank, gradients, seeThrough, pixels, snap, source, picture, stopped *command.Condition
}

func (w *Window) conditions() conditions {
	when := func(why string, holds func() bool) *command.Condition {
		return &command.Condition{Why: why, Holds: holds}
	}
	s := w.session
	least := func(n int) func() bool { return func() bool { return len(s.Selection()) >= n } }
	content := func() job.Content { l, _, _ := w.selected(); return l.Content }
	return conditions{
		art:      when("ui-needs-art", s.Opened),
		selected: when("ui-needs-selection", least(1)),
		one:      when("ui-needs-one", func() bool { return len(s.Selection()) == 1 }),
		two:      when("ui-needs-two", least(2)),
		three:    when("ui-needs-three", least(3)),
		unlocked: when("ui-needs-unlocked", func() bool { return !w.someLayer(func(l *job.Layer) bool { return l.Locked }) }),
		text:     when("ui-needs-text", func() bool { _, is := content().(job.Text); return is }),
		drawn:    when("ui-needs-shape", func() bool { _, is := content().(job.Outlines); return content() != nil && !is }),
		group:    when("ui-needs-group", func() bool { _, members := job.Around(s.Job(), s.Selection()); return members != nil }),
		apart:    when("ui-needs-apart", func() bool { p, _ := s.Plan(); return p == nil || p.Stacked.AreaMM2 == 0 }),
		looked: when("ui-needs-looked", func() bool {
			k := s.Weak().State
			return k != session.WeakUnknown && k != session.WeakLooking
		}),
		spots: when("ui-needs-spots", func() bool { return s.Weak().Open()+s.Weak().Stuck() > 0 }),
		weak: when("ui-needs-spots", func() bool {
			k := s.Weak()
			return k.Open()+k.Stuck() > 0 || k.State == session.WeakTooMany || k.State == session.WeakStopped
		}),
		mendable: when("ui-needs-spots", func() bool { k := s.Weak(); return k.Open() > 0 || k.State == session.WeakTooMany }),
		cut: when("ui-needs-cut", func() bool {
			p, _ := s.Plan()
			return p != nil && len(p.Separations) > 0
		}),
		stopped:    when("ui-needs-stopped", s.FitStopped),
		blank:      when("ui-needs-blank", func() bool { return s.Job().Settings.BlankShape != nil }),
		pixels:     when("ui-needs-pixels", func() bool { return len(s.Traced()) > 0 }),
		source:     when("ui-needs-source", func() bool { return s.HasSource(w.picture()) }),
		picture:    when("ui-needs-art", func() bool { return w.picture() != 0 }),
		gradients:  when("ui-needs-gradient", func() bool { return len(w.chosenOr(gradients)) > 0 }),
		seeThrough: when("ui-needs-see-through", func() bool { return len(w.chosenOr(seeThrough)) > 0 }),
		snap:       when("ui-needs-snap", func() bool { return w.aids.Snaps() }),
	}
}

// newCommands fills the table: everything that can be asked of the window.
func (w *Window) newCommands() {
	t := &command.Table{Covered: w.covered, Entry: w.typingIn, Settle: w.settle}
	w.commands = t
	c := w.conditions()
	w.documentCommands(t, c)
	w.editingCommands(t, c)
	w.arrangingCommands(t, c)
	w.cuttingCommands(t, c)
	w.lookingCommands(t, c)
}

// on does something to what is selected.
func (w *Window) on(do func([]job.LayerID)) func() { return func() { do(w.session.Selection()) } }

// documentCommands adds what is about the document as a whole.
func (w *Window) documentCommands(t *command.Table, c conditions) {
	s, art := w.session, []*command.Condition{c.art}
	for _, d := range assets.Demos() {
		t.Add(&command.Command{ID: "demo-" + d.ID, Label: "demo-" + d.ID, Run: func() { w.openDemo(d) }})
	}
	for i, id := range recentIDs() {
		there := &command.Condition{Why: "ui-needs-recent", Holds: func() bool { return i < len(w.ask.Recent()) }}
		t.Add(&command.Command{ID: id, Label: "ui-start-recent", Says: func() string { return w.ask.RecentName(i) }, When: []*command.Condition{there}, Fades: true, Run: func() { w.Open(w.ask.Recent()[i]) }})
	}
	if w.options.NewWindow != nil {
		t.Add(
			&command.Command{ID: "new-window", Key: command.CtrlShift(fyne.KeyN), Label: "board-new-window", Over: true, Run: func() { w.options.NewWindow("") }},
			&command.Command{ID: "open-window", Label: "board-open-window", Run: func() { w.files.Open(files.Pictures, w.options.NewWindow) }})
	}
	t.Add(
		&command.Command{ID: "start-empty", Key: command.CtrlShift(fyne.KeyB), Label: "ui-start-empty", Run: w.askEmpty},
		&command.Command{ID: "open", Icon: "open", Key: command.Ctrl(fyne.KeyO), Label: "ui-menu-open", Tool: "ui-open", Hint: "ui-open-hint", Run: w.askOpen},
		&command.Command{ID: "add-picture", Key: command.CtrlShift(fyne.KeyO), Label: "ui-menu-add", When: art, Run: func() { w.files.Open(files.Pictures, func(path string) { s.Add([]string{path}, nil) }) }},
		&command.Command{ID: "renew", Label: "ui-menu-renew", Hint: "ui-renew-take-hint", When: append(art[:1:1], c.source), Run: func() { s.Renew(w.picture(), w.renewed(w.picture())) }},
		&command.Command{ID: "replace-picture", Label: "ui-menu-replace", Hint: "ui-replace-hint", When: append(art[:1:1], c.picture), Run: w.replacePicture},
		&command.Command{ID: "save", Icon: "save", Key: command.Ctrl(fyne.KeyS), Label: "ui-save", Hint: "ui-save-hint", When: art, Run: func() { w.ask.Save(func() {}) }},
		&command.Command{ID: "save-as", Key: command.CtrlShift(fyne.KeyS), Label: "ui-menu-save-as", When: art, Run: func() { w.ask.SaveAs(func() {}) }},
		&command.Command{ID: "export", Icon: "export", Key: command.Ctrl(fyne.KeyE), Label: "ui-menu-export", Tool: "ui-export", Hint: "ui-export-hint", When: art, Whole: true, Run: w.ask.Export},
		&command.Command{ID: "class", Icon: "class", Key: command.Ctrl(fyne.KeyP), Label: "class-menu", Tool: "class-tool", Hint: "class-hint", When: append(art[:1:1], c.cut), Whole: true, Run: w.showClass},
		&command.Command{ID: "class-steps", Label: "class-steps", When: append(art[:1:1], c.cut), Whole: true, Run: w.arrangeClass},
		&command.Command{ID: "class-handout", Label: "class-handout-menu", When: append(art[:1:1], c.cut), Whole: true, Run: w.takeHome},
		&command.Command{ID: "close", Key: command.Ctrl(fyne.KeyW), Label: "ui-menu-close", When: art, Run: func() { w.leaving(s.Close) }},
		&command.Command{ID: "quit", Key: command.Ctrl(fyne.KeyQ), Label: "ui-menu-quit", Run: w.quit})

	for _, r := range show.ReadyLessons {
		if i := slices.IndexFunc(assets.Demos(), func(d assets.Demo) bool { return d.ID == r.ID }); i >= 0 {
			t.Add(&command.Command{ID: "lesson-" + r.ID, Label: "lesson-" + r.ID, Run: func() { w.showReady(r, assets.Demos()[i]) }})
		}
	}
}

// editingCommands adds what changes, adds or takes away layers.
func (w *Window) editingCommands(t *command.Table, c conditions) {
	s, on := w.session, w.on
	art, selected := []*command.Condition{c.art}, []*command.Condition{c.art, c.selected}
	movable := []*command.Condition{c.art, c.selected, c.unlocked}
	undoable := []*command.Condition{c.art, {Why: "ui-needs-undo", Holds: s.CanUndo}}
	redoable := []*command.Condition{c.art, {Why: "ui-needs-redo", Holds: s.CanRedo}}
	t.Add(
		&command.Command{ID: "undo", Icon: "undo", Key: &fyne.ShortcutUndo{}, Label: "ui-undo", Tool: "ui-undo", Says: func() string { return stepSaid("ui-undo", s.UndoLabel()) }, When: undoable, Typing: true, Steps: true, Run: s.Undo},
		&command.Command{ID: "redo", Icon: "redo", Key: &fyne.ShortcutRedo{}, Label: "ui-redo", Tool: "ui-redo", Says: func() string { return stepSaid("ui-redo", s.RedoLabel()) }, When: redoable, Typing: true, Steps: true, Run: s.Redo},
		&command.Command{ID: "steps", Key: command.CtrlShift(fyne.KeyH), Label: "ui-menu-steps", When: art, Run: w.ask.History},
		&command.Command{ID: "cut-out", Key: &fyne.ShortcutCut{Clipboard: clipboard()}, Label: "ui-menu-cut-out", When: movable, Typing: true, Run: w.cutSelected},
		&command.Command{ID: "copy", Icon: "copy", Key: &fyne.ShortcutCopy{Clipboard: clipboard()}, Label: "ui-menu-copy", When: selected, Typing: true, Run: func() { w.copySelected() }},
		&command.Command{ID: "paste", Key: &fyne.ShortcutPaste{Clipboard: clipboard()}, Label: "ui-menu-paste", Typing: true, Run: w.paste},
		&command.Command{ID: "duplicate", Icon: "copy", Key: command.Ctrl(fyne.KeyD), Label: "ui-menu-duplicate", When: selected, Run: on(s.Duplicate)},
		&command.Command{ID: "delete", Icon: "delete", Label: "ui-menu-delete", When: movable, Run: on(s.Delete)},
		&command.Command{ID: "select-all", Key: &fyne.ShortcutSelectAll{}, Label: "ui-menu-select-all", When: art, Typing: true, Run: w.selectAll},
		&command.Command{ID: "select-group", Icon: "layers", Key: command.CtrlShift(fyne.KeyJ), Label: "ui-select-group-any", Hint: "ui-select-group-hint", Says: w.groupSaid, When: append(selected[:2:2], c.group), Run: w.selectGroup},
		&command.Command{ID: "rename", Icon: "rename", Key: command.Ctrl(fyne.KeyR), Label: "ui-menu-rename", When: []*command.Condition{c.art, c.one}, Run: w.ask.Name},
		&command.Command{ID: "recolour", Key: command.CtrlShift(fyne.KeyC), Label: "ui-menu-recolour", When: selected, Run: w.ask.Colour},
		&command.Command{ID: "edit-text", Key: command.CtrlShift(fyne.KeyF), Label: "ui-menu-edit-text", When: []*command.Condition{c.art, c.one, c.text}, Run: w.editText},
		&command.Command{ID: "lock", Icon: "lock", Key: command.Ctrl(fyne.KeyL), Label: "ui-menu-lock", When: selected, On: func() bool { return w.someLayer(func(l *job.Layer) bool { return l.Locked }) }, Run: w.toggleLock},
		&command.Command{ID: "shown", Key: command.Ctrl(fyne.KeyH), Label: "ui-menu-shown", When: selected, On: func() bool { return w.everyLayer(func(l *job.Layer) bool { return l.Shown }) }, Run: w.toggleShown})
	t.Add(&command.Command{ID: "add", Icon: "add", Label: "ui-add", Hint: "ui-add-hint", When: art, Run: func() { w.add.Menu(w.tools.beside[1].(*controls.Press), w.win.Canvas()) }})
	for _, a := range w.add.Things() {
		when := art
		if a.Around {
			when = selected
		}
		t.Add(&command.Command{ID: a.ID, Icon: a.Icon, Key: a.Key, Label: a.ID, When: when, Run: a.Add})
	}
}

// arrangingCommands adds what moves and turns layers and parts them otherwise.
func (w *Window) arrangingCommands(t *command.Table, c conditions) {
	s, on := w.session, w.on
	movable := []*command.Condition{c.art, c.selected, c.unlocked}
	for _, x := range []struct {
		id  string
		key fyne.KeyName
		to  job.Step
	}{{"to-top", fyne.KeyHome, job.ToTop}, {"raise", fyne.KeyPageUp, job.Up}, {"lower", fyne.KeyPageDown, job.Down}, {"to-bottom", fyne.KeyEnd, job.ToBottom}} {
		t.Add(&command.Command{ID: x.id, Key: command.Ctrl(x.key), Label: "ui-menu-" + x.id, When: movable, Run: func() { w.arrange(x.to) }})
	}
	for _, a := range inspect.Alignments {
		t.Add(&command.Command{ID: a.Icon, Icon: a.Icon, Label: a.ID, When: movable, Run: on(func(ids []job.LayerID) { s.Align(ids, a.To) })})
	}
	several := append(movable[:3:3], c.three)
	one := []*command.Condition{c.art, c.one, c.unlocked}
	t.Add(
		&command.Command{ID: "spread-across", Icon: "spread-across", Label: "ui-menu-spread-across", When: several, Run: on(func(ids []job.LayerID) { s.Spread(ids, false) })},
		&command.Command{ID: "spread-down", Icon: "spread-down", Label: "ui-menu-spread-down", When: several, Run: on(func(ids []job.LayerID) { s.Spread(ids, true) })},
		&command.Command{ID: "centre", Icon: "centre-page", Key: command.Ctrl(fyne.KeyM), Label: "ui-menu-centre", When: movable, Run: on(s.Centre)},
		&command.Command{ID: "turn-left", Icon: "turn-left", Key: command.Ctrl(fyne.KeyLeftBracket), Label: "ui-menu-turn-left", When: movable, Run: on(func(ids []job.LayerID) { s.Turn(ids, -math.Pi/2) })},
		&command.Command{ID: "turn-right", Icon: "turn-right", Key: command.Ctrl(fyne.KeyRightBracket), Label: "ui-menu-turn-right", When: movable, Run: on(func(ids []job.LayerID) { s.Turn(ids, math.Pi/2) })},
		&command.Command{ID: "flip-sides", Icon: "flip-sides", Label: "ui-menu-flip-sides", When: movable, Run: on(func(ids []job.LayerID) { s.Flip(ids, false) })},
		&command.Command{ID: "flip-upright", Icon: "flip-upright", Label: "ui-menu-flip-upright", When: movable, Run: on(func(ids []job.LayerID) { s.Flip(ids, true) })},
		&command.Command{ID: "merge", Key: command.CtrlShift(fyne.KeyM), Label: "ui-menu-merge", When: append(movable[:3:3], c.two), Run: on(s.Merge)},
		&command.Command{ID: "split", Key: command.CtrlShift(fyne.KeyK), Label: "ui-menu-split", When: one, Run: on(func(ids []job.LayerID) { s.Split(ids[0]) })},
		&command.Command{ID: "outline", Label: "ui-menu-outline", When: append(one[:3:3], c.drawn), Run: on(func(ids []job.LayerID) { s.Outline(ids[0]) })})
}

// cuttingCommands adds what decides on what is cut.
func (w *Window) cuttingCommands(t *command.Table, c conditions) {
	s, on := w.session, w.on
	art, selected := []*command.Condition{c.art}, []*command.Condition{c.art, c.selected}
	t.Add(
		&command.Command{ID: "knock-all", Icon: "knock-out", Key: command.Ctrl(fyne.KeyK), Label: "ui-knock-all", Tool: "ui-knock", Hint: "ui-knock-hint", When: art, On: func() bool { return s.Opened() && s.KnocksAll() }, Run: w.knockOut},
		&command.Command{ID: "knock-one", Label: "ui-menu-knock-one", When: selected, On: func() bool { return w.everyLayer(func(l *job.Layer) bool { return l.Knocks }) }, Run: w.toggleKnock},
		&command.Command{ID: "mend", Icon: "mend", Label: "ui-mend", Hint: "ui-mend-hint", When: append(art[:1:1], c.apart, c.looked, c.weak), Run: w.mend},
		&command.Command{ID: "mend-all", Icon: "mend", Key: command.Ctrl(fyne.KeyJ), Label: "ui-mend-all", Hint: "ui-mend-hint", When: append(art[:1:1], c.apart, c.looked, c.mendable), Run: w.mendAll},
		&command.Command{ID: "next-spot", Key: command.Ctrl(fyne.KeyN), Label: "ui-menu-next-spot", When: append(art[:1:1], c.apart, c.looked, c.spots), Run: w.nextSpot},
		&command.Command{ID: "frame", Icon: "frame", Label: "ui-frame", Hint: "ui-frame-hint", When: append(art[:1:1], c.cut), On: w.framed, Run: w.toggleFrame},
		&command.Command{ID: "marks", Label: "ui-marks", When: art, On: func() bool { return s.Opened() && s.Job().Settings.Marks }, Run: func() { s.SetMarks(!s.Job().Settings.Marks) }},
		&command.Command{ID: "trace", Label: "ui-menu-trace", When: append(art[:1:1], c.pixels), Run: func() { w.askTraced(s.Traced(), func() {}) }},
		&command.Command{ID: "base", Key: command.Ctrl(fyne.KeyI), Label: "ui-menu-base", When: append(art[:1:1], c.cut), Whole: true, Run: w.ask.Base},
		&command.Command{ID: "blank", Key: command.Ctrl(fyne.KeyB), Label: "ui-menu-blank", When: art, Whole: true, Run: w.ask.Blank},
		&command.Command{ID: "fit", Label: "ui-menu-fit", Hint: "ui-menu-fit-hint", When: append(art[:1:1], c.stopped), Run: s.FitAgain},
		&command.Command{ID: "fit-blank", Label: "ui-menu-fit-blank", Hint: "ui-blank-fit-hint", When: append(art[:1:1], c.blank), Run: s.FitBlank},
		&command.Command{ID: "press", Icon: "press", Label: "ui-menu-press", Hint: "ui-press-hint", When: art, Whole: true, Run: w.ask.Press},
		&command.Command{ID: "size", Icon: "size", Label: "ui-menu-size", Tool: "ui-tool-size", Hint: "ui-size-hint", When: art, Whole: true, Run: w.ask.Size},
		&command.Command{ID: "sheets", Icon: "sheet", Label: "ui-menu-sheets", Tool: "ui-tool-sheets", Hint: "ui-sheets-hint", When: append(art[:1:1], c.cut), Whole: true, Run: w.sheetsStep},
		&command.Command{ID: "colours", Icon: "sheet", Key: command.Ctrl(fyne.KeyT), Label: "ui-menu-colours", Hint: "ui-colours-hint", When: art, Whole: true, Run: w.sheets.Colours},
		&command.Command{ID: "fewer", Key: command.CtrlShift(fyne.KeyT), Label: "ui-menu-fewer", When: art, Whole: true, Run: w.sheets.Fewer},
		&command.Command{ID: "list", Icon: "text", Label: "ui-menu-list", Hint: "ui-list-hint", When: append(art[:1:1], c.cut), Whole: true, On: func() bool { return s.Opened() && s.Job().Settings.List != nil }, Run: func() { w.sheets.List("") }},
		&command.Command{ID: "layout", Icon: "sheet", Label: "ui-menu-layout", Hint: "ui-layout-hint", When: append(art[:1:1], c.cut), Whole: true, On: func() bool { return s.Opened() && s.Job().Settings.Layout.On() }, Run: w.sheets.LayOut},
		&command.Command{ID: "drawer", Key: command.CtrlShift(fyne.KeyD), Label: "ui-menu-drawer", Run: w.sheets.Drawer},
		&command.Command{ID: "mark-cut", Label: "ui-menu-mark-cut", When: append(art[:1:1], c.cut), Whole: true, Run: w.sheets.MarkCut})
	for i, id := range []string{"ui-frame-auto", "ui-frame-always", "ui-frame-never"} {
		t.Add(&command.Command{ID: id, Label: id, When: art, On: func() bool { return s.Opened() && s.Job().Settings.Frame.Mode == inspect.FrameModes[i] }, Run: func() { s.SetFrame(inspect.FrameModes[i]) }})
	}
	for _, u := range inspect.Uses {
		t.Add(&command.Command{ID: "use-" + u.String(), Icon: u.String(), Label: "ui-use-" + u.String(), When: selected, On: func() bool { return w.everyLayer(func(l *job.Layer) bool { return l.Use == u }) }, Run: on(func(ids []job.LayerID) { s.SetUse(ids, u) })})
	}
	for _, n := range inspect.BandCounts {
		is := func(l *job.Layer) bool { return max(1, int(l.Band.Count)) == n }
		t.Add(&command.Command{ID: bandID(n), Label: "ui-choice-average", Says: func() string { return inspect.BandLabel(n) }, When: append(art[:1:1], c.gradients), On: func() bool { return w.all(w.chosenOr(gradients), is) }, Run: func() { s.SetBands(w.chosenOr(gradients), n) }})
	}
	for _, solid := range []bool{false, true} {
		is := func(l *job.Layer) bool { return l.Solid == solid }
		id := map[bool]string{false: "ui-choice-mix", true: "ui-choice-own"}[solid]
		t.Add(&command.Command{ID: id, Label: id, When: append(art[:1:1], c.seeThrough), On: func() bool { return w.all(w.chosenOr(seeThrough), is) }, Run: func() { s.SetSolid(w.chosenOr(seeThrough), solid) }})
	}
}

// lookingCommands adds what changes only how things are looked at, and help.
func (w *Window) lookingCommands(t *command.Table, c conditions) {
	s, art := w.session, []*command.Condition{c.art}
	for i, id := range []string{"ui-view-art", "ui-view-fitted", "ui-view-sheets", "ui-view-assembly"} {
		key := []fyne.KeyName{fyne.Key1, fyne.Key2, fyne.Key3, fyne.Key4}[i]
		t.Add(&command.Command{ID: id, Key: command.Ctrl(key), Label: id, When: art, On: func() bool { return s.Opened() && w.board.Mode() == board.Mode(i) }, Run: func() { w.showView(board.Mode(i)) }})
	}
	t.Add(
		&command.Command{ID: "see", Icon: "eye", Label: "ui-menu-see", Tool: "ui-tool-see", Hint: "ui-see-hint", When: art, Run: w.see},
		&command.Command{ID: "compare", Icon: "compare", Key: command.Ctrl(fyne.Key5), Label: "board-compare", Hint: "board-compare-hint", When: append(art[:1:1], c.cut), On: w.board.Comparing, Run: func() { w.board.Compare(!w.board.Comparing()) }},
		&command.Command{ID: "show-all", Icon: "fit", Key: command.Ctrl(fyne.Key0), Label: "ui-show-all", When: art, Run: w.board.ShowAll},
		&command.Command{ID: "show-blank", Key: command.Ctrl(fyne.Key9), Label: "board-show-blank", When: art, Run: w.board.ShowBlank},
		&command.Command{ID: "true-size", Key: command.Ctrl(fyne.Key8), Label: "board-true-size", When: art, Run: w.ask.TrueSize},
		&command.Command{ID: "screen", Label: "board-screen", Run: w.ask.Screen},
		&command.Command{ID: "zoom-in", Icon: "zoom-in", Key: command.Ctrl(fyne.KeyEqual), Label: "ui-zoom-in", When: art, Run: func() { w.board.Zoom(1.25) }},
		&command.Command{ID: "zoom-out", Icon: "zoom-out", Key: command.Ctrl(fyne.KeyMinus), Label: "ui-zoom-out", When: art, Run: func() { w.board.Zoom(1 / 1.25) }},
		&command.Command{ID: "find-layer", Key: command.Ctrl(fyne.KeyF), Label: "board-find-layer", When: art, Run: w.findLayer},
		&command.Command{ID: "layers", Label: "ui-layers", When: art, On: func() bool { l, _ := w.panels.Open(); return l }, Run: func() { l, _ := w.panels.Open(); w.openLayers(!l) }},
		&command.Command{ID: "details", Label: "ui-details", When: art, On: func() bool { _, r := w.panels.Open(); return r }, Run: func() { _, r := w.panels.Open(); w.openDetails(!r) }},
		&command.Command{ID: "settings", Key: command.Ctrl(fyne.KeyComma), Label: "settings-menu", Run: w.ask.Settings},
		&command.Command{ID: "guide", Icon: "help", Label: "manual-menu", Over: true, Run: func() { w.showGuide("") }},
		&command.Command{ID: "walk", Label: "walk-menu", Run: w.beginWalk},
		&command.Command{ID: "find-action", Key: command.CtrlShift(fyne.KeyP), Label: "ui-find-menu", Run: w.ask.FindAction},
		&command.Command{ID: "keys", Label: "ui-menu-keys", Run: w.ask.Keys},
		&command.Command{ID: "about", Label: "ui-menu-about", Run: w.ask.About})
	for i, mode := range ask.Looks {
		id := []string{"ui-look-system", "ui-look-light", "ui-look-dark"}[i]
		t.Add(&command.Command{ID: id, Label: id, Over: true, On: func() bool { return w.ask.Look() == mode }, Run: func() { w.ask.SetLook(mode) }})
	}
	for i, u := range []job.Units{job.Millimetres, job.Inches} {
		id := []string{"ui-units-mm", "ui-units-in"}[i]
		t.Add(&command.Command{ID: id, Label: id, On: func() bool { return w.ask.Units() == u }, Run: func() { w.ask.SetUnits(u) }})
	}
	w.aids.Commands(t, art, c.snap, w.ask.Units, func() {
		w.useAids()
		w.bar.Update()
	})
}

// stepSaid names what undoing or redoing does.
func stepSaid(id, step string) string {
	if step == "" {
		return say(id)
	}
	return say(id+"-what", "step", say(step))
}

// settle makes what was typed and asked for before count.
func (w *Window) settle(whole bool, run func()) {
	if whole {
		w.session.Ready(run)
		return
	}
	w.session.Settle(run)
}

// covered reports whether a dialog lies over the window.
func (w *Window) covered() bool { return w.win.Canvas().Overlays().Top() != nil }

// typingIn returns the entry that is typed into, nil without one.
func (w *Window) typingIn() fyne.Shortcutable {
	type typed interface {
		fyne.Shortcutable
		SelectedText() string
	}
	if e, ok := w.win.Canvas().Focused().(typed); ok {
		return e
	}
	return nil
}

// all reports whether there are layers and something is true of each.
func (w *Window) all(ids []job.LayerID, is func(*job.Layer) bool) bool {
	there := false
	for l := range w.session.Job().Named(ids) {
		if there = true; !is(l) {
			return false
		}
	}
	return there
}

// everyLayer is all for what is selected; someLayer reports whether it is true of
// any.
func (w *Window) everyLayer(is func(*job.Layer) bool) bool { return w.all(w.session.Selection(), is) }

func (w *Window) someLayer(is func(*job.Layer) bool) bool {
	return len(w.session.Selection()) > 0 && !w.everyLayer(func(l *job.Layer) bool { return !is(l) })
}

// groupSaid says which group would be selected.
func (w *Window) groupSaid() string {
	name, members := job.Around(w.session.Job(), w.session.Selection())
	if members == nil {
		return say("ui-select-group-any")
	}
	return say("ui-select-group", "name", words.Capital(name))
}
