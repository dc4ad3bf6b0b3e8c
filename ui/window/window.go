// Package window is the main window: what surrounds the board, and the wiring
// between what is pressed and what the session does. It decides nothing about
// art or cutting.
package window

import (
	"context"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"

	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/session"
	"abut/internal/words"
	"abut/internal/workshop"
	"abut/ui/add"
	"abut/ui/aids"
	"abut/ui/ask"
	"abut/ui/board"
	"abut/ui/class"
	"abut/ui/command"
	"abut/ui/controls"
	"abut/ui/dialogs"
	"abut/ui/files"
	"abut/ui/inspect"
	"abut/ui/layers"
	"abut/ui/manual"
	"abut/ui/pick"
	"abut/ui/sheets"
	"abut/ui/start"
	"abut/ui/theme"
	"abut/ui/toolkit"
	"abut/ui/verdict"
)

// Options are what the surroundings provide.
type Options struct {
	// Deliver runs a function on the event thread, later.
	Deliver func(func())
	// PaintNow paints the board on the spot instead of in the background.
	PaintNow bool
	// Home is where files go that belong beside no file.
	Home string
	// File is opened at once; empty opens none.
	File string
	// State is a folder for work that is not saved yet; empty keeps none.
	State string
	// Drawer is the file that keeps the user's own sheets; empty keeps them only
	// while the window is open.
	Drawer string
	// Prefs keeps what was chosen once and for all: the look, units, widths of
	// panels and so on. All windows share them.
	Prefs fyne.Preferences
	// SetMode changes the look between light, dark and the desktop's.
	SetMode func(theme.Mode)
	// OpenFolder shows a folder, or opens a file, in the desktop's own way; nil where
	// there is none.
	OpenFolder func(path string) error
	// Pixels returns the picture of pixels on the clipboard as the bytes of its file, nil
	// where there is none; it is itself nil where there is no such clipboard.
	Pixels func(context.Context) ([]byte, error)
	// NewWindow opens another window, with the file in it if it is not empty; nil
	// where there is only this one.
	NewWindow func(file string)
	// OnClosed is told that this window closed; Quit closes all of them, nil only
	// this one.
	OnClosed, Quit func()
	// Rebuild builds every window anew; nil only this one.
	Rebuild func()
	// Show puts the window on screen; nil where somebody else does. It is empty then: what
	// takes the system as long as filling it goes on beside reading the file.
	Show func()
	// Shown is told of every window that has come on screen, that of the guide and the
	// teacher's too; nil tells nobody.
	Shown func(fyne.Window)
	// Version is said by About.
	Version string
}

// Window is the main window.
type Window struct {
	win fyne.Window
	// root is what the toolkit has for the window's content. What build makes goes into it: content
	// that is replaced while a window is on screen is drawn anew twice.
	root    *fyne.Container
	options Options
	prefs   fyne.Preferences
	session *session.Session

	board   *board.Board
	list    *layers.List
	details *inspect.Panel
	verdict *verdict.Bar
	// start is the page before any art, nil until it is shown first.
	start  *start.Page
	panels *controls.Panels
	middle *fyne.Container
	tools  *tools
	views  *controls.Choice
	// commands is the table of all that can be asked of the window, bar the menu
	// made from it.
	commands *command.Table
	bar      *command.Bar
	aids     *aids.Aids
	add      *add.Host
	hints    *controls.Hints
	ready    func()
	// late: list and verdict are to follow a plan with the board's next picture.
	late   bool
	desk   *dialogs.Desk
	sheets *sheets.Host
	ask    *ask.Host
	files  *files.Host
	pick   *pick.Host
	// dragged is the draft of what the pointer drags on the board.
	dragged *session.Draft
	// class is the lesson that goes on, nil without one.
	class *class.Class
	// manual is the window of the guide, nil while it is closed.
	manual *manual.Manual
	// walk leads newcomers through a picture.
	walk *verdict.Walk
	// notice tells what has come up beside the work; noted says it, nil where there is nothing;
	// passing: it goes with the next step, and asked comes back.
	notice       *verdict.Notice
	noted, asked func()
	passing      bool
	// planned, where it is set, says more once the next plan is there.
	planned func(*fit.Plan)
	// about is the picture that is asked about, 0 for none.
	about job.ItemID
	// given: the window was opened with a file, and nobody was told yet of work that was left behind.
	given bool
	// first is done once the first picture is on screen; nil where nothing is.
	first func()
	// blank: neither art nor the page before any art is shown, since a file is being opened.
	blank bool
	// state is what was shown last, kinds the layers of it that commands are about.
	state session.State
	kinds kinds
}

// New fills a window. ready is called once its first picture is on screen.
func New(win fyne.Window, o Options, ready func()) *Window {
	w := &Window{win: win, root: container.NewStack(), options: o, prefs: o.Prefs, ready: ready, aids: aids.New(o.Prefs)}
	w.desk = dialogs.NewDesk(win.Canvas(), w.focusBoard)
	w.desk.Help = w.showGuide
	w.session = session.New(o.Deliver)
	w.files = &files.Host{Desk: w.desk, Session: w.session, Prefs: w.prefs, Home: o.Home}
	w.pick = &pick.Host{Desk: w.desk, Session: w.session, Files: w.files}
	w.sheets = &sheets.Host{Desk: w.desk, Session: w.session, Trouble: w.trouble, Files: w.files, Pick: w.pick, Care: func() workshop.WriteOptions { return w.ask.Care() }}
	w.session.OnTrouble = w.trouble
	w.session.OnArrived = w.arrived
	w.session.OnTraced = func(id job.ItemID) { w.askTraced([]job.ItemID{id}, func() {}) }
	w.session.KeepIn(o.State)
	w.keepTyped()
	w.session.KeepDrawerIn(o.Drawer)
	w.session.Units = ask.UnitsOf(w.prefs)
	w.add = &add.Host{
		Session: w.session, Board: func() *board.Board { return w.board }, ShowArt: func() { w.showView(board.Art) },
		EditText: w.editText, Refocus: w.focusBoard, Trouble: w.trouble,
	}
	w.newAsk()
	w.takeOutfit()
	if ready != nil && o.File != "" { // what comes first is that its picture is seen
		seen := make(chan struct{})
		w.session.HoldPlan(seen)
		w.ready = func() {
			close(seen)
			ready()
		}
	}
	if w.given = o.File != ""; w.given { // it is read while the window is being made
		w.session.Open(o.File)
	}
	win.SetPadded(false)
	win.SetContent(w.root)
	if o.Show != nil {
		o.Show()
	}
	w.build()
	if ready != nil && o.File != "" {
		w.details.Hold()
	}
	w.session.OnChange = w.changed
	w.changed(session.OpenedChanged)
	return w
}

// build makes everything in the window, in the language and the size of type
// that are chosen.
func (w *Window) build() {
	win, o := w.win, w.options
	toolkit.Speak(words.Chosen())
	deliver := o.Deliver
	if o.PaintNow {
		deliver = nil
	}
	w.board = board.New(deliver)
	w.newCommands()
	w.ask.Commands, w.add.Commands = w.commands, w.commands
	w.wireBoard()
	w.list = layers.New(layers.Hints{
		Hide: say("ui-layer-hide"), Show: say("ui-layer-show"),
		KnocksOn: say("ui-layer-knocks"), KnocksOff: say("ui-layer-lies"), Unlock: say("ui-layer-unlock"),
		Filter: say("board-filter"), NoneFound: say("board-filter-none"),
		Fold: say("list-fold"), Unfold: say("list-unfold"), Sum: layers.Sum,
		Stack:  func(n int) string { return say("list-stack", "count", words.Count(n)) },
		Moving: func(n int) string { return say("list-layers", "count", words.Count(n)) },
	})
	w.wireList()
	w.details = inspect.New(&inspect.Host{
		Session: w.session, Commands: w.commands,
		Folded:    func(id string) bool { return w.prefs.Bool(prefFolded + id) },
		SetFolded: func(id string, on bool) { w.prefs.SetBool(prefFolded+id, on) },
		Look:      w.board.ZoomTo, LookAtPieces: w.lookAtPieces,
		Mark: w.board.SetSpots, Try: w.board.Try, Offers: w.offers,
		Recolour: w.add.Recolour, AskFamily: w.askFamily, Refocus: w.focusBoard, Help: w.showGuide,
	})
	w.verdict = verdict.NewBar(w.commands)
	w.newWalk()
	if w.notice = verdict.NewNotice(); w.noted != nil {
		w.noted()
	}

	w.views = controls.NewChoice(func(i int) { w.showView(board.Mode(i)) }, say("ui-view-art"), say("ui-view-fitted"), say("ui-view-sheets"), say("ui-view-assembly"))
	compare := w.commands.IconPress("compare")
	compare.OnHeld = w.board.Compare
	zoom := container.NewHBox(
		compare, w.commands.IconPress("zoom-out"), w.commands.IconPress("zoom-in"), w.commands.IconPress("show-all"),
	)
	head := container.New(&controls.Inset{X: 8, Y: 6}, container.New(&controls.Ends{Gap: 4}, w.views, zoom))
	table := container.NewStack(controls.NewFill(controls.Ground), controls.NewDock(head, nil, nil, nil, w.board))

	listHead := container.New(&controls.Inset{X: 16, Y: 8}, controls.NewDock(nil, nil, nil,
		controls.NewHelp(say("manual-about", "title", say("ui-layers")), func() { w.showGuide("knock-out") }), controls.NewHeading(say("ui-layers"))))
	left := controls.NewDock(listHead, nil, nil, nil, w.list)
	lw, rw := float32(232), float32(280)
	lw = float32(w.prefs.FloatWithFallback(prefLeft, float64(lw)))
	rw = float32(w.prefs.FloatWithFallback(prefRight, float64(rw)))
	w.panels = controls.NewPanels(left, table, w.details.Object, lw, theme.Scaled(rw))
	w.panels.OnResized = func(l, r float32) {
		w.prefs.SetFloat(prefLeft, float64(l))
		w.prefs.SetFloat(prefRight, float64(r/theme.Scaled(1)))
	}
	// The menu says which are open; while the window is being laid out is no time to lay that out.
	w.panels.OnRoom = func() { go o.Deliver(func() { w.bar.Update() }) }
	w.panels.Hide()
	w.panels.Fold(!w.prefs.Bool(prefLeftFolded), !w.prefs.Bool(prefRightFolded))
	w.start = nil
	w.middle = container.NewStack(w.panels)

	if w.hints != nil {
		w.hints.Drop() // built anew
	}
	hints := controls.NewHints()
	hints.Use()
	w.hints = hints
	bar := w.newTools()
	w.root.RemoveAll()
	w.root.Add(controls.NewDock(bar, controls.NewDock(container.New(&controls.Stack{}, w.notice.Object, w.walk.Object), nil, nil, nil, w.verdict.Object), nil, nil, w.middle))
	w.root.Add(hints.Layer())
	canvas.Refresh(w.root)
	win.SetCloseIntercept(func() { w.Close(nil) })
	win.SetOnDropped(w.dropped)
	win.Canvas().SetOnTypedKey(w.typedKey)
	win.Canvas().SetOnTypedRune(func(r rune) {
		if w.session.Opened() && win.Canvas().Overlays().Top() == nil {
			w.board.TypedRune(r)
		}
	})
	if c, is := win.Canvas().(desktop.Canvas); is {
		held := func(do func(*fyne.KeyEvent)) func(*fyne.KeyEvent) {
			return func(k *fyne.KeyEvent) {
				if w.session.Opened() && !w.covered() {
					do(k)
				}
			}
		}
		c.SetOnKeyDown(held(w.board.KeyDown))
		c.SetOnKeyUp(held(w.board.KeyUp))
	}
	w.newMenu()
}

// Rebuild builds everything in the window anew, after the language or the size
// of type changed. The document, what is selected and what is seen of it stay.
func (w *Window) Rebuild() {
	w.desk.Clear()
	before, list, s := w.board, w.list, w.session
	w.endGuide()
	w.build()
	w.list.FoldAs(list)
	if !s.Opened() {
		w.changed(session.OpenedChanged)
		return
	}
	w.panels.Show()
	w.changed(session.JobChanged | session.PlanChanged | session.SelectionChanged | session.WeakChanged | session.SavedChanged | session.WorkChanged)
	w.showView(before.Mode())
	w.board.SeeAs(before)
	w.focusBoard()
}

// Names of preferences.
const (
	prefLeft        = "panel-left"
	prefRight       = "panel-right"
	prefWidth       = "window-width"
	prefHeight      = "window-height"
	prefLeftFolded  = "panel-left-folded"
	prefRightFolded = "panel-right-folded"
	prefFolded      = "folded-" // and the id of the part's heading
)

// say returns a sentence; pairs are its placeholders and what fills them.
func say(id string, pairs ...any) string { return words.Say(id, pairs...) }
