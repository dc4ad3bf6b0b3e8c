// Package inspect is Details: what is selected, with all that can be typed and
// chosen about it; without a selection the job, with what there is to know and to
// decide. It is drawn from one state of the session; what is typed into it is a
// draft there.
package inspect

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/session"
	"abut/internal/words"
	"abut/ui/board"
	"abut/ui/command"
	"abut/ui/controls"
)

// Host is the window that the panel is part of.
type Host struct {
	Session  *session.Session
	Commands *command.Table
	// Folded tells whether a section is folded away, and SetFolded keeps it.
	Folded    func(section string) bool
	SetFolded func(section string, on bool)
	// Look brings a place on the board into view; LookAtPieces does where pieces
	// are to be seen.
	Look, LookAtPieces func(geometry.Rect)
	// Mark marks weak spots on the board, Try shows what a mend would lead to, nil
	// what there is.
	Mark func([]board.Spot)
	Try  func(*fit.Plan)
	// Offers tells whether the panel highlights what to do next, so that nothing
	// else does.
	Offers func(bool)
	// Recolour gives what is selected another colour.
	Recolour func(colour.RGB)
	// AskFamily asks for a font: try is told of each that is looked at, use that the
	// last one counts, drop that none does.
	AskFamily func(now string, try func(string), use, drop func())
	// Help shows what the guide says under a heading.
	Help func(heading string)
	// Refocus gives the keyboard back to the board.
	Refocus func()
}

// Panel is Details.
type Panel struct {
	Object fyne.CanvasObject
	h      *Host
	scroll *container.Scroll
	column *fyne.Container
	ofJob  *fyne.Container

	size    *size
	layer   *layer
	stacked *stacked
	weak    *weak
	notes   *notes
	cards   *cards
	base    *base
	frame   *frame
	outfit  *outfit
	limits  *limits

	state session.State
	// held: only the head is shown; missed is what has changed since.
	held   bool
	missed session.Change
}

// Hold leaves away all but the head until Release: the first picture on screen comes
// sooner without what is too much to read at once anyway.
func (p *Panel) Hold() {
	p.held = true
	p.scroll.Hide()
}

// Release shows all of the panel, as things are by now.
func (p *Panel) Release() {
	if !p.held {
		return
	}
	missed := p.missed
	p.held, p.missed = false, 0
	p.scroll.Show()
	p.Show(missed)
}

// New returns the panel of a window.
func New(h *Host) *Panel {
	p := &Panel{h: h}
	p.size = newSize(h)
	p.layer = newLayer(p)
	p.ofJob = container.New(&controls.Stack{Gap: 10})
	p.stacked = newStacked(p)
	p.weak = newWeak(p)
	p.notes = newNotes(p)
	p.cards = newCards(p)
	p.base = newBase(p)
	p.frame = newFrame(p)
	p.outfit = newOutfit(p)
	p.limits = newLimits(p)
	p.notes.last(p)
	p.column = container.New(&controls.Stack{Gap: 14}, p.layer.object, p.ofJob)
	p.scroll = controls.NewScroll(container.New(&controls.Inset{X: 16, Y: 14}, p.column))
	head := container.New(&controls.Stack{}, container.New(&controls.Inset{X: 16, Y: 12}, p.size.object), controls.NewRule())
	p.Object = controls.NewDock(head, nil, nil, nil, p.scroll)
	return p
}

// wheel is what the wheel turns over any part of the panel.
func (p *Panel) wheel() fyne.Scrollable {
	if p.scroll == nil {
		return nil
	}
	return p.scroll
}

// help returns the sign that shows what the guide says under a heading; title is the id
// of what it stands beside.
func (h *Host) help(title, heading string) *controls.Mark {
	return controls.NewHelp(say("manual-about", "title", say(title)), func() { h.Help(heading) })
}

// headings are those of the guide that tell of a section.
var headings = map[string]string{
	"ui-details-stacked": "what-stacks", "ui-details-weak": "weak-spots-and-mending", "ui-details-limits": "weak-spots-and-mending",
	"ui-details-sheets": "sheets-and-colours", "ui-details-base": "base-and-frame", "ui-details-frame": "base-and-frame",
	"ui-outfit-part": "size-and-blank", "ui-details-not-as-drawn": "art-in", "ui-details-choices": "art-in", "ui-details-notes": "art-in",
}

// section adds a section that stays folded as it was left.
func (p *Panel) section(id string, o ...fyne.CanvasObject) *controls.Section {
	s := controls.NewSection(say(id), say("ui-details-fold"), o...)
	s.Fold(p.h.Folded(id))
	s.OnFolded = func(folded bool) { p.h.SetFolded(id, folded) }
	s.SetHelp(p.h.help(id, headings[id]))
	p.ofJob.Add(s.Object)
	return s
}

// Show brings the panel up to date after a change.
func (p *Panel) Show(c session.Change) {
	st := p.h.Session.State()
	other := p.state.At != st.At
	p.state = st
	p.size.show(st)
	if p.held {
		p.missed |= c
		return
	}
	if c&(session.SelectionChanged|session.JobChanged|session.ShownChanged|session.OpenedChanged) != 0 {
		p.layer.show(st)
		p.layer.object.Hidden = len(st.Selection) == 0
		p.ofJob.Hidden = len(st.Selection) > 0
	}
	if c&session.OpenedChanged != 0 {
		p.weak.forget()
		p.cards.all = false
		p.scroll.ScrollToTop()
	}
	if other || c&(session.JobChanged|session.PlanChanged|session.OpenedChanged|session.WeakChanged|session.ShownChanged) != 0 {
		p.stacked.show(st)
		p.notes.show(st)
		p.cards.show(st)
		p.base.show(st)
		p.frame.show(st)
		p.outfit.show(st)
		p.limits.show(st)
		p.weak.update(st)
	}
	p.relay()
}

// relay lays the panel out again after something in it has another height.
func (p *Panel) relay() {
	p.scroll.Refresh()
}

// do makes what a row does a step of the document that it was shown of; anything
// else has become of it by then.
func (p *Panel) do(label string, edit session.Edit) {
	s := p.h.Session
	if err := s.DoAt(p.state.At, label, edit); err != nil && err != session.ErrStale {
		s.OnTrouble(err)
	}
}

// EditText takes whoever types to the words of the selected text, all of them
// marked.
func (p *Panel) EditText() { p.layer.content.text.edit() }

// Choose looks at a weak spot, Next at the next that is open; with keys, the
// keyboard goes on with what can be done.
func (p *Panel) Choose(i int) { p.weak.choose(i) }

// Next looks at the next weak spot that is open, and lets the keyboard choose.
func (p *Panel) Next() {
	p.weak.next()
	p.weak.byKeys = p.weak.chosen >= 0
	if c := p.weak.card; c != nil && c.stuck() {
		c.focus(c.keep)
	}
}

// Leave takes the eyes off the weak spot that was looked at.
func (p *Panel) Leave() { p.weak.leave() }

// Named returns the parts in which names of layers and sheets stand, which are as
// long as someone made them.
func (p *Panel) Named() []fyne.CanvasObject {
	return []fyne.CanvasObject{p.stacked.rows.Object, p.cards.rows.Object}
}

// SpotText says what is weak at a spot of the board.
func (p *Panel) SpotText(i int) string { return p.weak.text(i) }

// focus gives the keyboard to an entry, with all of it marked.
func (p *Panel) focus(o fyne.Focusable, mark bool) {
	// Of what was never drawn yet the toolkit does not know where it is.
	c := fyne.CurrentApp().Driver().CanvasForObject(p.Object)
	if c == nil {
		return
	}
	c.Focus(o)
	if e, is := o.(fyne.Shortcutable); is && mark {
		e.TypedShortcut(&fyne.ShortcutSelectAll{})
	}
}

// say returns a sentence; pairs are its placeholders and what fills them.
func say(id string, pairs ...any) string { return words.Say(id, pairs...) }

// in writes lengths and areas in the units of a job.
func in(j job.Job) *words.Words { return words.Chosen().In(j.Settings.Units) }
