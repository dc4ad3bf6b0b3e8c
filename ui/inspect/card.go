package inspect

import (
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/internal/colour"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/session"
	"abut/internal/words"
	"abut/ui/controls"
)

// card is what can be done about the spot that is looked at. It is not made anew
// while the options come in, so that pointer and keyboard rest where they were.
type card struct {
	k      *weak
	spot   fit.WeakSpot
	object *fyne.Container
	offers *fyne.Container
	// more says that others are being tried; stop gives that up.
	more *controls.Para
	stop func()
	// offered are the presses of the offers, by the plans that they lead to; keep accepts the spot, other
	// has more tried.
	offered     map[*fit.Plan]*controls.Press
	keep, other *controls.Press
	// usual: what Mend all does about the spot is among the offers.
	usual bool
	// next is what is highlighted about a spot that no mend was found for.
	next *controls.Press
}

func newSpotCard(k *weak, s fit.WeakSpot) *card {
	c := &card{k: k, spot: s, stop: func() {}, offered: map[*fit.Plan]*controls.Press{}}
	c.object, c.offers = container.New(&controls.Stack{Gap: 4}), container.New(&controls.Stack{Gap: 4})
	c.more = controls.NewPara(say("ui-weak-trying"), controls.Quiet)
	pen := k.thingOf(s)
	if pen != nil && !pen.Pen {
		pen = nil
	}
	if c.stuck() {
		m := message.Message{ID: s.Reason, Args: map[string]string{"here": "here"}, Values: map[string]any{"count": words.Count(1)}}
		if pen == nil {
			m.Args["penless"] = "penless"
		}
		text, remedy := in(k.p.state.Job).Warning(job.Warning{Message: m})
		c.object.Add(controls.NewPara(strings.TrimSpace(text+" "+remedy), controls.Quiet))
	}
	c.object.Add(c.offers)
	if c.stuck() {
		c.other = controls.NewFramed("", say("ui-mend-other"), say("ui-mend-other-hint"), func() {
			c.object.Remove(c.other)
			c.object.Add(c.more)
			c.search()
			k.p.relay()
		})
		c.other.Fills = true
	} else {
		c.object.Add(c.more)
	}
	if pen != nil {
		press := controls.NewFramed("", say("ui-mend-pen"), say("ui-mend-pen-hint", "layer", pen.Name), func() {
			k.leave()
			k.p.h.Session.DrawWithPen([]job.LayerID{pen.Layer})
		})
		press.Fills = true
		c.object.Add(press)
	}
	if !s.Accepted() {
		keep := controls.NewFramed("", say("ui-mend-keep"), say("ui-mend-keep-hint"), func() {
			k.leave()
			k.p.h.Session.Keep(s)
		})
		keep.Fills = true
		c.keep, c.next = keep, keep
		c.object.Add(keep)
	}
	if n := k.known.Stuck(); c.stuck() && n > 1 {
		all := controls.NewFramed("", say("ui-mend-keep-all", "count", words.Count(n)), say("ui-mend-keep-all-hint"), func() {
			k.leave()
			k.p.h.Session.KeepAll()
		})
		all.Fills = true
		c.next = all
		c.object.Add(all)
	}
	if c.other != nil {
		c.object.Add(c.other)
	}
	return c
}

// stuck reports whether Mend all found nothing for the spot.
func (c *card) stuck() bool { return c.spot.Kept && !c.spot.Accepted() }

// work works out what can be done. What Mend all found nothing for is not searched
// again unasked: by each thing that it tried a neighbour becomes thin, and whoever
// follows these goes from spot to spot in a circle.
func (c *card) work() {
	if !c.stuck() {
		c.search()
		return
	}
	c.highlight(c.next)
}

// search tries what can be done.
func (c *card) search() {
	c.stop = c.k.p.h.Session.Options(c.spot, c.offer, func() {
		c.more.Hide()
		if !c.usual && c.keep != nil {
			c.highlight(c.next)
			c.focus(c.next)
		}
		c.k.p.relay()
	})
}

// focus gives a press the keyboard where the keyboard chose the spot.
func (c *card) focus(press *controls.Press) {
	if c.k.byKeys {
		c.k.byKeys = false
		c.k.p.focus(press, false)
	}
}

// highlight marks what to do next about the spot.
func (c *card) highlight(press *controls.Press) {
	press.SetNext(true)
	c.k.p.h.Offers(true)
}

// offer adds an option, or highlights one that was added as what Mend all takes. It is shown on the board
// while the pointer or the keyboard rests on it.
func (c *card) offer(o session.MendOption) {
	p := c.k.p
	plan := p.state.Plan
	if c.k.card != c || plan == nil {
		return
	}
	if press := c.offered[o.Plan]; press != nil {
		c.take(press)
		return
	}
	press := controls.NewFramed("", c.named(plan, &o), c.effect(&o), func() { c.accept(o) })
	press.Fills = true
	c.offered[o.Plan] = press
	press.OnRest = func(on bool) {
		if on {
			p.h.Try(o.Plan)
		} else {
			p.h.Try(nil)
		}
	}
	amount := controls.NewLine(in(p.state.Job).Area(o.AreaMM2), controls.Quiet)
	c.offers.Add(controls.NewBeside(press, container.New(&controls.Inset{X: 8}, amount)))
	p.relay()
	if o.Usual {
		c.take(press)
	}
}

// take highlights what Mend all takes.
func (c *card) take(press *controls.Press) {
	c.usual = true
	if !c.stuck() {
		c.highlight(press)
	}
	c.focus(press)
}

// named says what an option does.
func (c *card) named(plan *fit.Plan, o *session.MendOption) string {
	to := o.Mend.To
	if o.Mend.Do == job.Give && !o.Mend.Chosen {
		var beside []fit.Material
		for _, n := range c.spot.Neighbours {
			if n.Of != (fit.Material{}) && n.Of != c.spot.Piece.Of && !slices.Contains(beside, n.Of) {
				beside = append(beside, n.Of)
			}
		}
		if len(beside) != 1 {
			return say("ui-mend-given")
		}
		to = beside[0].Colour
	}
	return say("ui-mend-"+doing(o.Mend), "name", words.Capital(nameOf(plan, o.Plan, to)))
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

// effect says what a mend changes.
func (c *card) effect(o *session.MendOption) string {
	id := "ui-mend-changes"
	if o.UncoveredMM2 > 0 {
		id = "ui-mend-bares"
	}
	return say(id, "area", in(c.k.p.state.Job).Area(o.AreaMM2))
}

// accept makes a mend.
func (c *card) accept(o session.MendOption) {
	p := c.k.p
	c.k.leave()
	p.do("ui-step-mend", func(j job.Job) (job.Job, error) { return o.AddTo(j) })
	p.h.Refocus()
}
