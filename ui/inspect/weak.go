package inspect

import (
	"fmt"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/session"
	"abut/internal/words"
	"abut/ui/board"
	"abut/ui/controls"
	"abut/ui/entry"
)

// weak is the part about weak spots: the one that is looked at with what can be
// done about it, all others, and the mends that were made.
type weak struct {
	p    *Panel
	part *controls.Section
	rows *controls.Rows

	// known is what the list shows; it stays while a search goes on.
	known session.Weak
	// of is the plan that known belongs to; stale: the plan is another one by now.
	of    *fit.Plan
	stale bool
	// chosen is the spot that is looked at, an index into known.Spots; −1 for
	// none. card shows what can be done about it.
	chosen int
	card   *card
	// byKeys: the keyboard goes on with the first option.
	byKeys bool
	// allSpots and allMends: the lists are unfolded.
	allSpots, allMends bool
}

func newWeak(p *Panel) *weak {
	k := &weak{p: p, rows: controls.NewRows(8), chosen: -1}
	k.part = p.section("ui-details-weak", k.rows.Object)
	k.part.SetShown(false)
	return k
}

const (
	// fewRows is how many spots or mends are listed before the list unfolds,
	// manyRows how many then: laying out more would be felt.
	fewRows  = 6
	manyRows = 80
)

// forget drops what is known, as another document is open.
func (k *weak) forget() {
	k.leave()
	k.known, k.of, k.stale, k.allSpots, k.allMends = session.Weak{}, nil, false, false, false
}

// update takes over what is known now. While it is not known what follows from an
// edit, the list of before stays, so that the panel does not jump about; nothing
// is marked then.
func (k *weak) update(st session.State) {
	now := st.Weak
	coming := st.Plan != nil && !st.Exact && st.Err == nil
	switch {
	case now.State == session.WeakUnknown && coming || now.State == session.WeakLooking:
		k.leave()
		k.stale = true
		if k.known.State == session.WeakUnknown {
			k.known.State = now.State
		}
	case now.State != k.known.State || k.stale || len(now.Spots) != len(k.known.Spots) || len(now.Spots) > 0 && &now.Spots[0] != &k.known.Spots[0]:
		k.leave()
		k.known, k.of, k.stale = now, st.Plan, false
	}
	k.mark()
	k.show(st)
}

// leave takes the eyes off the spot that was looked at.
func (k *weak) leave() {
	if k.card != nil {
		k.card.stop()
		k.p.h.Try(nil)
		k.p.h.Offers(false)
	}
	k.chosen, k.card, k.byKeys = -1, nil, false
}

// mark tells the board what to mark.
func (k *weak) mark() {
	var marks []board.Spot
	if k.known.State == session.WeakFound && !k.stale {
		marks = make([]board.Spot, len(k.known.Spots))
		for i := range k.known.Spots {
			s := &k.known.Spots[i]
			marks[i] = board.Spot{Outline: s.Outline, Bounds: s.Bounds, At: s.At, Kept: s.Accepted(), Chosen: i == k.chosen}
		}
	}
	k.p.h.Mark(marks)
}

// choose looks at a spot: it is brought into view, and what can be done about it
// is worked out.
func (k *weak) choose(i int) {
	if k.known.State != session.WeakFound || k.stale || i < 0 || i >= len(k.known.Spots) {
		return
	}
	k.leave()
	k.p.h.Session.Select(nil) // the panel is about the job
	k.chosen = i
	s := k.known.Spots[i]
	k.p.h.LookAtPieces(s.Bounds)
	k.card = newSpotCard(k, s)
	k.mark()
	k.show(k.p.state)
	k.p.relay()
	k.card.work()
}

// next looks at the spot after the one that is looked at, or the first, of those
// that are open.
func (k *weak) next() {
	n := len(k.known.Spots)
	for d := 1; d <= n; d++ {
		if i := (k.chosen + d + n) % n; !k.known.Spots[i].Accepted() {
			k.choose(i)
			return
		}
	}
}

// show fills the part.
func (k *weak) show(st session.State) {
	k.part.SetShown(st.Plan != nil && (k.known.State != session.WeakUnknown || len(st.Plan.Mends) > 0))
	if st.Plan == nil {
		k.rows.Show()
		return
	}
	rows := k.stateRows(st)
	rows = append(rows, k.spotRows(st)...)
	k.rows.Show(append(rows, k.mendRows(st)...)...)
}

// para is a row of a paragraph.
func para(text string, tone controls.Tone) controls.Row {
	return controls.Row{Key: text, Make: func() fyne.CanvasObject { return controls.NewPara(text, tone) }}
}

// stateRows say how far the search is and offer what concerns all spots.
func (k *weak) stateRows(st session.State) []controls.Row {
	s := k.p.h.Session
	if k.stale {
		looking := st.Weak.State == session.WeakLooking
		return []controls.Row{{Key: fmt.Sprint("looking ", looking), Make: func() fyne.CanvasObject {
			stop := controls.NewFramed("", say("ui-stop"), say("ui-stop-hint"), s.StopLooking)
			stop.SetEnabled(looking)
			line := controls.NewLine(say("ui-weak-looking"), controls.Quiet)
			line.Shrinks = true
			return controls.NewDock(nil, nil, stop, nil, container.New(&controls.Inset{X: 10}, line))
		}}}
	}
	switch k.known.State {
	case session.WeakStopped:
		return []controls.Row{para(say("ui-weak-stopped"), controls.Text), {Key: "look again", Make: func() fyne.CanvasObject {
			return container.NewHBox(controls.NewFramed("", say("ui-weak-look"), "", s.LookAgain))
		}}}
	case session.WeakTooMany:
		text, remedy := in(st.Job).Warning(k.known.Crowded)
		return []controls.Row{para(text, controls.Text), para(remedy, controls.Quiet)}
	case session.WeakFound:
		n := k.known.Open() + k.known.Stuck()
		if n == 0 {
			text := say("ui-weak-none", "width", words.Fine(st.Job.Settings.Narrowest(), st.Job.Settings.Units))
			if kept := len(k.known.Spots); kept > 0 {
				text = say("ui-weak-only-kept", "count", words.Count(kept))
			}
			return []controls.Row{para(text, controls.Quiet)}
		}
		pens := k.pens()
		return []controls.Row{{Key: fmt.Sprint("all ", n > 1, pens), Make: func() fyne.CanvasObject {
			all := k.p.h.Commands.Press("mend")
			all.Framed, all.IconSide, all.Height = true, 18, 32
			row := container.New(&controls.Flow{Gap: 6}, all)
			if n > 1 {
				row.Add(controls.NewFramed("", say("ui-weak-next"), "", k.next))
			}
			if len(pens) > 0 {
				hint := say("ui-mend-pens-hint", "layers", words.List(names(st.Job, pens)))
				row.Add(controls.NewFramed("", say("ui-mend-pens", "count", words.Count(len(pens))), hint, func() {
					k.leave()
					s.DrawWithPen(pens)
				}))
			}
			return row
		}}}
	}
	return nil
}

// spotRows list the spots, and after the one that is looked at what can be done
// about it.
func (k *weak) spotRows(st session.State) []controls.Row {
	if k.known.State != session.WeakFound || k.of == nil {
		return nil
	}
	spots := k.known.Spots
	most := fewRows
	if k.allSpots {
		most = manyRows
	}
	first := 0 // what is looked at is in the list
	// Spots stand beneath the thing that they belong to.
	var order []int
	heads := map[int]string{}
	for t := range k.known.Things {
		x := &k.known.Things[t]
		heads[x.Spots[0]] = in(st.Job).Message(x.Message())
		order = append(order, x.Spots...)
	}
	if len(order) != len(spots) {
		order = order[:0]
		for i := range spots {
			order = append(order, i)
		}
	}
	if at := slices.Index(order, k.chosen); at >= most {
		first = at - most + 1
	}
	var rows []controls.Row
	for _, i := range order[first:min(len(order), first+most)] {
		if text := heads[i]; text != "" {
			rows = append(rows, controls.Row{Key: "thing " + text, Make: func() fyne.CanvasObject {
				head := controls.NewPara(text, controls.Text)
				head.Bold = true
				return head
			}})
		}
		rows = append(rows, k.spotRow(st.Job, i))
		if i == k.chosen && k.card != nil {
			card := k.card.object
			rows = append(rows, controls.Row{Key: fmt.Sprintf("card %p", k.card), Make: func() fyne.CanvasObject {
				return container.New(&controls.Inset{X: 4}, card)
			}})
		}
	}
	if rest := len(spots) - min(most, len(spots)); rest > 0 {
		rows = append(rows, k.unfold(&k.allSpots, len(spots), rest))
	}
	return rows
}

// thingOf returns the thing that a spot belongs to, nil for what nobody drew.
func (k *weak) thingOf(s fit.WeakSpot) *fit.WeakThing {
	for t := range k.known.Things {
		x := &k.known.Things[t]
		if x.Layer != 0 && slices.ContainsFunc(x.Spots, func(i int) bool { return k.known.Spots[i].At == s.At && k.known.Spots[i].Kind == s.Kind }) {
			return x
		}
	}
	return nil
}

// pens lists the layers that a pen could draw once Mend all found nothing more to do.
func (k *weak) pens() []job.LayerID {
	if k.known.Open() > 0 {
		return nil
	}
	return fit.PenLayers(slices.DeleteFunc(slices.Clone(k.known.Things), func(t fit.WeakThing) bool {
		return !slices.ContainsFunc(t.Spots, func(i int) bool { return k.known.Spots[i].Stuck() })
	}))
}

// unfold is the row that unfolds a list or, where that is done, says how many
// others there are.
func (k *weak) unfold(all *bool, n, rest int) controls.Row {
	if *all {
		return more(rest)
	}
	text := say("ui-details-all", "count", words.Count(n))
	return controls.Row{Key: fmt.Sprintf("%p %s", all, text), Make: func() fyne.CanvasObject {
		return container.NewHBox(controls.NewAction("", text, "", func() {
			*all = true
			k.show(k.p.state)
			k.p.relay()
		}))
	}}
}

// spotRow is one spot: pressing it looks at it.
func (k *weak) spotRow(j job.Job, i int) controls.Row {
	s := &k.known.Spots[i]
	title, facts, on := k.title(s), k.facts(j, s), i == k.chosen
	return controls.Row{Key: fmt.Sprint("spot ", i, title, facts, on), Make: func() fyne.CanvasObject {
		zoom := controls.NewIconPress("zoom-in", say("ui-details-place"), func() { k.choose(i) })
		zoom.SetOn(on)
		name, what := controls.NewLine(title, controls.Text), controls.NewLine(facts, controls.Quiet)
		name.Shrinks, what.Shrinks, name.Bold = true, true, on
		return container.New(&controls.Lead{Gap: 8}, container.NewCenter(zoom), container.New(&controls.Stack{}, name, what))
	}}
}

// title says what is weak of what: "Sliver · Wing".
func (k *weak) title(s *fit.WeakSpot) string {
	out := say("ui-spot-" + s.Kind.String())
	if of, _ := k.of.Find(s.Piece.Of); of != nil {
		out += " · " + words.Capital(words.Chosen().Put(of.Called()))
	}
	if s.Accepted() {
		out += " · " + say("ui-weak-kept")
	}
	return out
}

// facts are a spot's true measures and its piece: "0.45 × 12 mm · Piece 3".
func (k *weak) facts(j job.Job, s *fit.WeakSpot) string {
	u := j.Settings.Units
	wide := strings.TrimSuffix(words.Fine(s.WidthMM, u), " "+entry.UnitName(u)) // it is said once
	out := wide + " × " + words.Fine(s.LengthMM, u)
	if k.of.Piece(s.Piece) != nil {
		out += " · " + say("ui-piece", "number", words.Count(k.of.Ordinal(s.Piece)))
	}
	return out
}

// text says what is weak at a spot that is marked on the board.
func (k *weak) text(i int) string {
	if k.of == nil || k.stale || i >= len(k.known.Spots) {
		return ""
	}
	s := &k.known.Spots[i]
	return k.title(s) + " · " + k.facts(k.p.state.Job, s)
}
