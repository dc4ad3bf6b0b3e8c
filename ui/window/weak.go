package window

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/session"
	"abut/internal/words"
	"abut/internal/workshop"
	"abut/ui/board"
	"abut/ui/controls"
)

// weakPanel is the part of Details about weak spots: the one that is looked at
// with what can be done about it, all others, and the mends that were made.
type weakPanel struct {
	w      *Window
	object *fyne.Container

	// known is what the list shows; it stays while a search goes on.
	known session.Weak
	// of is the plan that known belongs to; stale: the plan is another one by now.
	of    *fit.Plan
	stale bool
	// chosen is the spot that is looked at, an index into known.Spots; −1 for
	// none. options are what can be done about it, as far as they are known.
	chosen  int
	options []session.MendOption
	// card shows them; it is not made anew while they come in, so that pointer and
	// keyboard rest where they were. more says that others are being tried.
	card, offers *fyne.Container
	more         *controls.Para
	// byKeys: the keyboard goes on with the first option.
	byKeys bool
	// stop gives working options out up.
	stop func()
	// allSpots and allMends: the lists are unfolded.
	allSpots, allMends bool
}

func newWeakPanel(w *Window) *weakPanel {
	return &weakPanel{w: w, object: container.New(&controls.Stack{Gap: 8}), chosen: -1, stop: func() {}}
}

const (
	// fewRows is how many spots or mends are listed before the list unfolds,
	// manyRows how many then: laying out more would be felt.
	fewRows  = 6
	manyRows = 80
)

// update takes over what the session knows now. While it is not known what
// follows from an edit, the list of before stays, so that the panel does not
// jump about; nothing is marked then.
func (p *weakPanel) update() {
	k := p.w.session.Weak()
	plan, exact := p.w.session.Plan()
	coming := plan != nil && !exact && p.w.session.PlanError() == nil
	switch {
	case k.State == session.WeakUnknown && coming || k.State == session.WeakLooking:
		p.leave()
		p.stale = true
		if p.known.State == session.WeakUnknown {
			p.known.State = k.State
		}
	case k.State != p.known.State || p.stale || len(k.Spots) != len(p.known.Spots) || len(k.Spots) > 0 && &k.Spots[0] != &p.known.Spots[0]:
		p.leave()
		p.known, p.of, p.stale = k, plan, false
	}
	p.mark()
	p.show()
}

// leave takes the eyes off the spot that was looked at.
func (p *weakPanel) leave() {
	p.stop()
	p.stop = func() {}
	if p.chosen >= 0 {
		p.w.board.Try(nil)
	}
	p.chosen, p.options, p.card, p.byKeys = -1, nil, nil, false
}

// mark tells the board what to mark.
func (p *weakPanel) mark() {
	var marks []board.Spot
	if p.known.State == session.WeakFound && !p.stale {
		marks = make([]board.Spot, len(p.known.Spots))
		for i := range p.known.Spots {
			s := &p.known.Spots[i]
			marks[i] = board.Spot{Outline: s.Outline, Bounds: s.Bounds, At: s.At, Kept: s.Kept, Chosen: i == p.chosen}
		}
	}
	p.w.board.SetSpots(marks)
}

// choose looks at a spot: it is brought into view, and what can be done about
// it is worked out.
func (p *weakPanel) choose(i int) {
	if p.known.State != session.WeakFound || p.stale || i < 0 || i >= len(p.known.Spots) {
		return
	}
	p.leave()
	w := p.w
	if len(w.session.Selection()) > 0 {
		w.session.Select(nil) // Details are about the job
	}
	s := p.known.Spots[i]
	p.chosen = i
	if m := w.board.Mode(); m != board.Art && m != board.Fitted {
		w.showView(board.Fitted)
	}
	w.board.ZoomTo(s.Bounds)
	p.mark()
	p.newCard(&s)
	p.show()
	p.stop = w.session.Options(s, p.offer, func() {
		p.more.Hide()
		p.relay()
	})
}

// relay lays the panel out again after its card grew.
func (p *weakPanel) relay() {
	p.object.Refresh()
	p.w.details.column.Refresh()
	p.w.details.object.Refresh()
}

// next looks at the spot after the one that is looked at, or the first, of
// those that are open.
func (p *weakPanel) next() {
	n := len(p.known.Spots)
	for k := 1; k <= n; k++ {
		if i := (p.chosen + k + n) % n; !p.known.Spots[i].Kept {
			p.choose(i)
			return
		}
	}
}

// show fills the panel.
func (p *weakPanel) show() {
	o := p.object
	o.RemoveAll()
	plan, _ := p.w.session.Plan()
	j := p.w.session.Job()
	p.w.details.weakPart.SetShown(plan != nil && p.known.State != session.WeakUnknown || plan != nil && len(plan.Mends) > 0)
	if plan != nil {
		p.showState(j)
		p.showSpots(j)
		p.showMends(j, plan)
	}
	p.relay()
}

// showState says how far the search is and offers what concerns all spots.
func (p *weakPanel) showState(j job.Job) {
	s := p.w.session
	switch k := &p.known; {
	case p.stale:
		stop := controls.NewFramed("", say("ui-stop"), say("ui-stop-hint"), s.StopLooking)
		stop.SetEnabled(s.Weak().State == session.WeakLooking)
		line := controls.NewLine(say("ui-weak-looking"), controls.Quiet)
		line.Shrinks = true
		p.object.Add(controls.NewDock(nil, nil, stop, nil, container.New(&controls.Inset{X: 10}, line)))
	default:
		p.showKnown(j, k)
	}
}

// showKnown says what is known, and offers what concerns all spots.
func (p *weakPanel) showKnown(j job.Job, k *session.Weak) {
	s := p.w.session
	switch k.State {
	case session.WeakStopped:
		p.object.Add(controls.NewPara(say("ui-weak-stopped"), controls.Text))
		p.object.Add(container.NewHBox(controls.NewFramed("", say("ui-weak-look"), "", s.LookAgain)))
	case session.WeakTooMany:
		text, remedy := p.w.words().Warning(k.Crowded)
		p.object.Add(controls.NewPara(text, controls.Text))
		p.object.Add(controls.NewPara(remedy, controls.Quiet))
	case session.WeakFound:
		n := k.Open()
		if n == 0 {
			text := say("ui-weak-none", "width", words.Fine(j.Settings.Narrowest(), j.Settings.Units))
			if kept := len(k.Spots); kept > 0 {
				text = say("ui-weak-only-kept", "count", words.Count(kept))
			}
			p.object.Add(controls.NewPara(text, controls.Quiet))
			break
		}
		row := container.New(&controls.Flow{Gap: 6}, controls.NewFramed("mend", say("ui-mend-all"), say("ui-mend-hint"), p.w.mendAll))
		if n > 1 {
			row.Add(controls.NewFramed("", say("ui-weak-next"), "", p.next))
		}
		p.object.Add(row)
	}
}

// showSpots lists the spots, and after the one that is looked at what can be
// done about it.
func (p *weakPanel) showSpots(j job.Job) {
	if p.known.State != session.WeakFound || p.of == nil {
		return
	}
	spots := p.known.Spots
	most := fewRows
	if p.allSpots {
		most = manyRows
	}
	first := 0
	if p.chosen >= most { // what is looked at is in the list
		first = p.chosen - most + 1
	}
	for i := first; i < len(spots) && i < first+most; i++ {
		p.object.Add(p.spotRow(j, i))
		if i == p.chosen && p.card != nil {
			p.object.Add(container.New(&controls.Inset{X: 4}, p.card))
		}
	}
	if rest := len(spots) - min(most, len(spots)); rest > 0 {
		if p.allSpots {
			p.object.Add(controls.NewPara(say("ui-details-more", "count", words.Count(rest)), controls.Quiet))
		} else {
			p.object.Add(container.NewHBox(controls.NewAction("", say("ui-details-all", "count", words.Count(len(spots))), "", func() {
				p.allSpots = true
				p.show()
			})))
		}
	}
}

// spotRow is one spot: pressing it looks at it.
func (p *weakPanel) spotRow(j job.Job, i int) fyne.CanvasObject {
	s := &p.known.Spots[i]
	zoom := controls.NewIconPress("zoom-in", say("ui-details-place"), func() { p.choose(i) })
	zoom.SetOn(i == p.chosen)
	name := controls.NewLine(p.title(p.of, s), controls.Text)
	name.Shrinks, name.Bold = true, i == p.chosen
	facts := controls.NewLine(p.facts(j, s), controls.Quiet)
	facts.Shrinks = true
	return container.New(&controls.Lead{Gap: 8}, container.NewCenter(zoom), container.New(&controls.Stack{}, name, facts))
}

// title says what is weak of what: "Sliver · Wing".
func (p *weakPanel) title(plan *fit.Plan, s *fit.WeakSpot) string {
	out := say("ui-spot-" + s.Kind.String())
	if of, _ := plan.Find(s.Piece.Of); of != nil {
		out += " · " + words.Capital(words.Chosen().Put(of.Called()))
	}
	if s.Kept {
		out += " · " + say("ui-weak-kept")
	}
	return out
}

// facts are a spot's true measures and its piece: "0.45 × 12 mm · Piece 3".
func (p *weakPanel) facts(j job.Job, s *fit.WeakSpot) string {
	u := j.Settings.Units
	unit := map[job.Units]string{job.Millimetres: " mm", job.Inches: " in"}[u]
	wide := strings.TrimSuffix(words.Fine(s.WidthMM, u), unit) // it is said once
	out := wide + " × " + words.Fine(s.LengthMM, u)
	if p.of.Piece(s.Piece) != nil {
		out += " · " + say("ui-piece", "number", words.Count(p.of.Ordinal(s.Piece)))
	}
	return out
}

// spotText says what is weak under the pointer.
func (w *Window) spotText(i int) string {
	p := w.weak
	if p.of == nil || p.stale || i >= len(p.known.Spots) {
		return ""
	}
	s := &p.known.Spots[i]
	return p.title(p.of, s) + " · " + p.facts(w.session.Job(), s)
}

// mendAll mends every weak spot that has no mend yet.
func (w *Window) mendAll() {
	if w.session.Weak().Open() > 0 {
		w.weak.leave()
		w.session.MendAll()
	}
}

// nextSpot looks at the next weak spot, and lets the keyboard choose a mend.
func (w *Window) nextSpot() {
	w.weak.next()
	w.weak.byKeys = w.weak.chosen >= 0
}

// verdictOf is the verdict with the weak spots.
func (w *Window) verdictOf(plan *fit.Plan) *fit.Plan {
	k := w.session.Weak()
	if plan == nil || plan.Verdict.State != fit.Ready {
		return plan
	}
	out := *plan
	switch k.State {
	case session.WeakFound:
		out.Verdict = workshop.Verdict(plan, k.Spots)
	case session.WeakTooMany:
		out.Verdict.Message = message.Message{ID: "ui-verdict-weak-many"}
	}
	return &out
}
