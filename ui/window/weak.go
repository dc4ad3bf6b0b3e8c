package window

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/geometry"
	"abut/internal/fit"
	"abut/internal/job"
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

// action is a small labelled thing to press in the panel.
func action(icon, id, hint string, tapped func()) *controls.Press {
	a := controls.NewAction(icon, say(id), hint, tapped)
	a.Framed, a.IconSide, a.Height = true, 18, 32
	return a
}

// showState says how far the search is and offers what concerns all spots.
func (p *weakPanel) showState(j job.Job) {
	s := p.w.session
	switch k := &p.known; {
	case p.stale:
		stop := action("", "ui-stop", say("ui-stop-hint"), s.StopLooking)
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
		p.object.Add(container.NewHBox(action("", "ui-weak-look", "", s.LookAgain)))
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
		row := container.New(&controls.Flow{Gap: 6}, action("mend", "ui-mend-all", say("ui-mend-hint"), p.w.mendAll))
		if n > 1 {
			row.Add(action("", "ui-weak-next", "", p.next))
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
	if s.Separation >= 0 && s.Separation < len(plan.Separations) {
		out += " · " + capital(called(&plan.Separations[s.Separation]))
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
	if s.Piece >= 0 {
		out += " · " + say("ui-piece", "number", words.Count(s.Piece+1))
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

// newCard makes the card of the spot that is looked at, without options yet.
func (p *weakPanel) newCard(s *fit.WeakSpot) {
	p.card, p.offers = container.New(&controls.Stack{Gap: 4}), container.New(&controls.Stack{Gap: 4})
	p.more = controls.NewPara(say("ui-weak-trying"), controls.Quiet)
	if s.Kept && s.Reason != "" {
		text, remedy := p.w.words().Warning(job.Warning{Message: job.Message{ID: s.Reason, Values: map[string]any{"count": words.Count(1)}}})
		p.card.Add(controls.NewPara(strings.TrimSpace(text+" "+remedy), controls.Quiet))
	}
	p.card.Add(p.offers)
	p.card.Add(p.more)
	if !s.Kept {
		spot := *s
		keep := action("", "ui-mend-keep", say("ui-mend-keep-hint"), func() {
			p.leave()
			p.w.session.Keep(spot)
		})
		keep.Fills = true
		p.card.Add(keep)
	}
}

// offer adds an option. It is shown on the board while the pointer or the
// keyboard rests on it.
func (p *weakPanel) offer(o session.MendOption) {
	plan, _ := p.w.session.Plan()
	if p.card == nil || plan == nil {
		return
	}
	p.options = append(p.options, o)
	press := action("", p.optionID(&o), p.optionEffect(&o), func() { p.accept(o) })
	press.Label = p.optionLabel(plan, &o)
	press.Fills = true
	press.OnRest = func(on bool) {
		if on {
			p.w.board.Try(o.Plan)
		} else {
			p.w.board.Try(nil)
		}
	}
	amount := controls.NewLine(p.w.words().Area(o.AreaMM2), controls.Quiet)
	p.offers.Add(controls.NewDock(nil, nil, nil, container.New(&controls.Inset{X: 8}, container.NewCenter(amount)), press))
	p.relay()
	if p.byKeys {
		p.byKeys = false
		p.w.win.Canvas().Focus(press)
	}
}

// optionID is the sentence of what a mend does.
func (p *weakPanel) optionID(o *session.MendOption) string { return "ui-mend-" + o.Mend.Do.String() }

func (p *weakPanel) optionLabel(plan *fit.Plan, o *session.MendOption) string {
	return say(p.optionID(o), "name", capital(nameOf(plan, o.Plan, o.Mend.To)))
}

// nameOf returns the name of the separation of a colour in any of the plans.
func nameOf(a, b *fit.Plan, c job.Colour) string {
	for _, p := range []*fit.Plan{a, b} {
		for i := range p.Separations {
			if p.Separations[i].Colour == c {
				return called(&p.Separations[i])
			}
		}
	}
	return words.Colour(fit.ColourWord(c))
}

// optionEffect says what a mend changes.
func (p *weakPanel) optionEffect(o *session.MendOption) string {
	if o.UncoveredMM2 > 0 {
		return say("ui-mend-bares", "area", p.w.words().Area(o.AreaMM2))
	}
	return say("ui-mend-changes", "area", p.w.words().Area(o.AreaMM2))
}

// accept makes a mend.
func (p *weakPanel) accept(o session.MendOption) {
	p.leave()
	p.w.do("ui-step-mend", func(j job.Job) (job.Job, error) { return job.AddMend(j, o.Mend) })
	p.w.focusBoard()
}

// showMends lists the mends: those that could not be made first, with what can
// be done, then those that were, each with its way back.
func (p *weakPanel) showMends(j job.Job, plan *fit.Plan) {
	var done, not []fit.MadeMend
	for _, m := range plan.Mends {
		switch {
		case m.State != fit.MendDone:
			not = append(not, m)
		case m.Do != job.Keep || m.Reason == "":
			done = append(done, m)
		}
	}
	if len(not) > 0 {
		for _, state := range []struct {
			of fit.MendState
			id string
		}{{fit.MendLapsed, "mends-lapsed"}, {fit.MendRefused, "mends-refused"}} {
			var of []fit.MadeMend
			for _, m := range not {
				if m.State == state.of {
					of = append(of, m)
				}
			}
			if len(of) == 0 {
				continue
			}
			text, remedy := p.w.words().Warning(job.Warning{Message: job.Message{ID: state.id, Values: map[string]any{"count": words.Count(len(of))}}})
			p.object.Add(container.New(&controls.Stack{Gap: 2}, controls.NewPara(text, controls.Text), controls.NewPara(remedy, controls.Quiet)))
			p.mendRows(j, plan, of)
		}
		lost := make([]job.Mend, len(not))
		for i, m := range not {
			lost[i] = m.Mend
		}
		p.object.Add(container.NewHBox(action("delete", "ui-mends-forget", say("ui-mends-forget-hint"), func() {
			p.w.do("ui-step-forget-mends", func(j job.Job) (job.Job, error) { return job.ForgetMends(j, lost) })
		})))
	}
	if len(done) == 0 {
		return
	}
	head := controls.NewLine(say("ui-mends", "count", words.Count(len(done))), controls.Text)
	head.Bold, head.Shrinks = true, true
	p.object.Add(head)
	p.mendRows(j, plan, done)
	p.object.Add(container.NewHBox(action("undo", "ui-mends-clear", say("ui-mends-clear-hint"), func() {
		p.w.do("ui-step-unmend-all", job.ClearMends)
	})))
}

func (p *weakPanel) mendRows(j job.Job, plan *fit.Plan, list []fit.MadeMend) {
	most := 3
	if p.allMends {
		most = manyRows
	}
	for i, m := range list {
		if i == most {
			if p.allMends {
				p.object.Add(controls.NewPara(say("ui-details-more", "count", words.Count(len(list)-i)), controls.Quiet))
			} else {
				p.object.Add(container.NewHBox(controls.NewAction("", say("ui-details-all", "count", words.Count(len(list))), "", func() {
					p.allMends = true
					p.show()
				})))
			}
			return
		}
		p.object.Add(p.mendRow(j, plan, m))
	}
}

// mendRow is one mend with its place and its way back.
func (p *weakPanel) mendRow(j job.Job, plan *fit.Plan, m fit.MadeMend) fyne.CanvasObject {
	at := geometry.Rect{Min: m.At, Max: m.At}
	zoom := controls.NewIconPress("zoom-in", say("ui-details-place"), func() { p.w.board.ZoomTo(at) })
	hint := say("ui-mend-undo")
	back := func(j job.Job) (job.Job, error) { return job.RemoveMend(j, m.Mend) }
	switch {
	case m.State != fit.MendDone:
		back = func(j job.Job) (job.Job, error) { return job.ForgetMends(j, []job.Mend{m.Mend}) }
	case p.rests(plan, m):
		hint = say("ui-mend-undo-more")
	}
	undo := controls.NewIconPress("undo", hint, func() { p.w.do("ui-step-unmend", back) })
	name := controls.NewLine(say("ui-spot-"+m.Spot.String())+" · "+p.done(plan, m), controls.Text)
	name.Shrinks = true
	texts := container.New(&controls.Stack{}, name)
	if m.State == fit.MendDone {
		facts := words.Fine(m.SpotMM, j.Settings.Units)
		if m.AreaMM2 > 0 {
			facts += " · " + p.w.words().Area(m.AreaMM2)
		}
		line := controls.NewLine(facts, controls.Quiet)
		line.Shrinks = true
		texts.Add(line)
	}
	return controls.NewDock(nil, nil, nil, container.NewCenter(undo), container.New(&controls.Lead{Gap: 8}, container.NewCenter(zoom), texts))
}

// rests reports whether mends of later rounds may rest on a mend.
func (p *weakPanel) rests(plan *fit.Plan, m fit.MadeMend) bool {
	for _, o := range plan.Mends {
		if o.Round > m.Round {
			return true
		}
	}
	return false
}

// done says what a mend did.
func (p *weakPanel) done(plan *fit.Plan, m fit.MadeMend) string {
	name := say("ui-mend-neighbour")
	if m.Chosen {
		name = capital(nameOf(plan, plan, m.To))
	}
	return say("ui-mended-"+m.Do.String(), "name", name)
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
		out.Verdict.Message = job.Message{ID: "ui-verdict-weak-many"}
	}
	return &out
}
