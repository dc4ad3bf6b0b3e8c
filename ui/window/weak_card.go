package window

import (
	"abut/internal/colour"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/session"
	"abut/internal/words"
	"abut/ui/controls"
	"strings"

	"fyne.io/fyne/v2/container"
)

// newCard makes the card of the spot that is looked at, without options yet.
func (p *weakPanel) newCard(s *fit.WeakSpot) {
	p.card, p.offers = container.New(&controls.Stack{Gap: 4}), container.New(&controls.Stack{Gap: 4})
	p.more = controls.NewPara(say("ui-weak-trying"), controls.Quiet)
	if s.Kept && s.Reason != "" {
		text, remedy := p.w.words().Warning(job.Warning{Message: message.Message{ID: s.Reason, Values: map[string]any{"count": words.Count(1)}}})
		p.card.Add(controls.NewPara(strings.TrimSpace(text+" "+remedy), controls.Quiet))
	}
	p.card.Add(p.offers)
	p.card.Add(p.more)
	if !s.Kept {
		spot := *s
		keep := controls.NewFramed("", say("ui-mend-keep"), say("ui-mend-keep-hint"), func() {
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
	press := controls.NewFramed("", say(p.optionID(&o)), p.optionEffect(&o), func() { p.accept(o) })
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
	return say(p.optionID(o), "name", words.Capital(nameOf(plan, o.Plan, o.Mend.To)))
}

// nameOf returns the name of the separation of a colour in any of the plans.
func nameOf(a, b *fit.Plan, c colour.RGB) string {
	for _, p := range []*fit.Plan{a, b} {
		for i := range p.Separations {
			if p.Separations[i].Colour == c {
				return words.Chosen().Put(p.Separations[i].Called())
			}
		}
	}
	return words.Colour(colour.Word(c))
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
