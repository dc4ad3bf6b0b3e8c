package session

import (
	"cmp"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/fit"
	"abut/internal/fit/assemble"
	"abut/internal/fit/mend"
	"abut/internal/fit/own"
	"abut/internal/job"
)

// hairline is a blue line of half a millimetre in a red field, and a green bar
// that is broad enough.
const hairline = `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">
<rect width="60" height="40" fill="#d03020"/><rect x="10" y="10" width="30" height="0.5" fill="#2040c0"/>
<rect x="10" y="20" width="30" height="4" fill="#20a040"/></svg>`

func (b *bench) svg(text string) {
	b.t.Helper()
	b.OpenSVG("art", strings.NewReader(text))
	b.settle()
	if len(b.errs) > 0 || !b.Opened() {
		b.t.Fatal("opening: ", b.errs)
	}
}

func (b *bench) knockOut() {
	b.t.Helper()
	if err := b.Do("knock", job.KnockOutAll); err != nil {
		b.t.Fatal(err)
	}
	b.settle()
}

// options waits for all that can be done about a spot.
func (b *bench) options(spot fit.WeakSpot) []MendOption {
	b.t.Helper()
	var out []MendOption
	ended := false
	b.Options(spot, func(o MendOption) {
		if i := slices.IndexFunc(out, func(x MendOption) bool { return x.Plan == o.Plan }); i >= 0 && o.Usual {
			out[i].Usual = true
			return
		}
		out = append(out, o)
	}, func() { ended = true })
	b.settle()
	if !ended {
		b.t.Error("the options have no end")
	}
	return out
}

func TestWeak_IsFoundOnceNothingStacks(t *testing.T) {
	b := newBench(t)
	b.svg(hairline)
	if w := b.Weak(); w.State != WeakUnknown || len(w.Spots) != 0 {
		t.Errorf("while colours stack: %+v", w)
	}
	b.changes = 0
	b.knockOut()
	w := b.Weak()
	if w.State != WeakFound || len(w.Spots) != 1 || w.Open() != 1 || w.Spots[0].Kind != job.Sliver || b.changes&WeakChanged == 0 {
		t.Fatalf("%+v", w)
	}
	// What was found is known again once a preview is given up, and is not
	// shown with it.
	b.try(func(j job.Job) (job.Job, error) { return job.MoveLayers(j, []job.LayerID{3}, 1, 0) })
	if w := b.Weak(); w.State != WeakUnknown {
		t.Errorf("during a preview: %+v", w)
	}
	b.settle()
	if w := b.Weak(); w.State != WeakUnknown {
		t.Errorf("with the plan of a preview: %+v", w)
	}
	b.drop()
	b.settle()
	if w := b.Weak(); w.State != WeakFound || len(w.Spots) != 1 {
		t.Errorf("after a preview: %+v", w)
	}
	b.Undo()
	if w := b.Weak(); w.State != WeakUnknown {
		t.Errorf("before there is a plan: %+v", w)
	}
	b.settle()
	if w := b.Weak(); w.State != WeakUnknown {
		t.Errorf("stacked again: %+v", w)
	}
}

func TestWeak_SearchIsGivenUpAndBegunAgain(t *testing.T) {
	b := newBench(t)
	b.svg(hairline)
	if err := b.Do("knock", job.KnockOutAll); err != nil {
		t.Fatal(err)
	}
	for b.weak.running == nil { // until the plan has come
		(<-b.queue)()
	}
	if w := b.Weak(); w.State != WeakLooking {
		t.Errorf("%+v", w)
	}
	b.StopLooking()
	b.settle()
	// It may have been through already; then there is nothing to begin again.
	if w := b.Weak(); w.State == WeakStopped {
		b.LookAgain()
		b.settle()
	}
	if w := b.Weak(); w.State != WeakFound || len(w.Spots) != 1 {
		t.Errorf("%+v", w)
	}
	b.Close()
	if w := b.Weak(); w.State != WeakUnknown {
		t.Errorf("without a document: %+v", w)
	}
}

// A search that a preview interrupts begins anew after it, and what comes late of
// the first is nobody's.
func TestWeak_SearchBeginsAnewAfterAPreview(t *testing.T) {
	b := newBench(t)
	b.demo("rich") // enough for the search to notice that it is given up
	if err := b.Do("knock", job.KnockOutAll); err != nil {
		t.Fatal(err)
	}
	for b.weak.running == nil {
		(<-b.queue)()
	}
	b.try(job.KnockOutAll)
	b.drop()
	for b.Busy() {
		(<-b.queue)()
		if s := b.Weak().State; s != WeakLooking && s != WeakFound {
			t.Errorf("state %d", s)
		}
	}
	if w := b.Weak(); w.State != WeakFound {
		t.Errorf("%+v", w)
	}
}

func TestOptions_AreWhatCanBeDoneWithWhatItChanges(t *testing.T) {
	b := newBench(t)
	b.svg(hairline)
	b.knockOut()
	spot := b.Weak().Spots[0]
	got := map[job.MendKind]MendOption{}
	for _, o := range b.options(spot) {
		got[o.Mend.Do] = o
		if o.Plan.Stacked.AreaMM2 > 0 {
			t.Errorf("%v stacks", o.Mend.Do)
		}
		if dropped := o.Mend.Do == job.Drop; (o.UncoveredMM2 > 0) != dropped {
			t.Errorf("%v leaves %g mm² bare", o.Mend.Do, o.UncoveredMM2)
		}
	}
	for do, area := range map[job.MendKind]float64{job.Give: 15, job.Drop: 15, job.Recolour: 15} {
		if o, ok := got[do]; !ok || o.AreaMM2 < area-0.01 || o.AreaMM2 > area+0.01 {
			t.Errorf("%v changes %g mm²", do, o.AreaMM2)
		}
	}
	if o, ok := got[job.Widen]; !ok || o.AreaMM2 < 14 || o.AreaMM2 > 18 {
		t.Errorf("widening changes %g mm²", o.AreaMM2)
	}
	if _, ok := got[job.Broaden]; !ok || len(got) != 5 { // no speck, so nothing to join
		t.Errorf("%d kinds", len(got))
	}
	plan, _ := b.Plan()
	if len(plan.Mends) != 0 {
		t.Error("trying is not doing")
	}
	give := got[job.Give]
	if err := b.Do("mend", func(j job.Job) (job.Job, error) { return job.AddMend(j, give.Mend) }); err != nil {
		t.Fatal(err)
	}
	b.settle()
	plan, _ = b.Plan()
	if w := b.Weak(); len(w.Spots) != 0 || len(plan.Mends) != 1 || len(plan.Separations) != 2 {
		t.Errorf("%+v, %+v", w, plan.Mends)
	}
}

func TestMendAll_IsOneStepAndKeepingAnother(t *testing.T) {
	b := newBench(t)
	b.svg(hairline)
	b.knockOut()
	b.MendAll()
	b.settle()
	if w := b.Weak(); w.State != WeakFound || w.Open() != 0 || b.UndoLabel() != "ui-step-mend-all" {
		t.Errorf("%+v after %s", w, b.UndoLabel())
	}
	b.Undo()
	b.settle()
	w := b.Weak()
	if w.Open() != 1 {
		t.Fatalf("%+v", w)
	}
	b.Keep(w.Spots[0])
	b.settle()
	if w := b.Weak(); w.Open() != 0 || len(w.Spots) != 1 || !w.Spots[0].Kept {
		t.Errorf("kept: %+v", w)
	}
	if len(b.errs) > 0 {
		t.Error(b.errs)
	}
}

func TestDrawWithPen_MendsAnewWhatWasMended(t *testing.T) {
	b := newBench(t)
	b.svg(`<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">
<rect width="60" height="40" fill="#ffd0c0"/><rect x="10" y="10" width="30" height="0.5" fill="#203080"/>
<rect x="10" y="20" width="30" height="0.4" fill="#206040"/></svg>`)
	b.knockOut()
	blue := b.Job().Items[0].Layers[1].ID
	b.DrawWithPen([]job.LayerID{blue})
	b.settle()
	if w := b.Weak(); w.Open() != 1 || b.UndoLabel() != "ui-step-pen" {
		t.Fatalf("nothing was mended before, and after %s there is %+v", b.UndoLabel(), w)
	}
	b.Undo()
	b.MendAll()
	b.settle()
	b.DrawWithPen([]job.LayerID{blue})
	b.settle()
	if w := b.Weak(); w.Open() != 0 || b.UndoLabel() != "ui-step-pen" {
		t.Errorf("after %s: %+v", b.UndoLabel(), w)
	}
	if l, _, _ := b.Job().Layer(blue); l.Use != job.Drawn {
		t.Errorf("%+v", l)
	}
	plan, _ := b.Plan()
	for _, m := range plan.Mends {
		if m.State == mend.Lapsed || m.Layer == blue {
			t.Errorf("%+v", m)
		}
	}
	b.Undo() // it is one step
	b.settle()
	if l, _, _ := b.Job().Layer(blue); l.Use == job.Drawn || b.UndoLabel() != "ui-step-mend-all" {
		t.Errorf("undone, it is %v, and before that comes %s", l.Use, b.UndoLabel())
	}
	if len(b.errs) > 0 {
		t.Error(b.errs)
	}
}

func TestCut_IsThePlanWithItsClearance(t *testing.T) {
	b := newBench(t)
	b.svg(hairline)
	b.knockOut()
	plan, _ := b.Plan()
	if b.Cut() != plan {
		t.Error("without a clearance something else is cut")
	}
	if err := b.Do("clearance", func(j job.Job) (job.Job, error) { return job.SetClearance(j, 0.2) }); err != nil {
		t.Fatal(err)
	}
	b.settle()
	plan, _ = b.Plan()
	cut := b.Cut()
	if got, want := cut.Separations[1].AreaMM2, plan.Separations[1].AreaMM2; got >= want {
		t.Errorf("cut %g of %g mm²", got, want)
	}
	// It is that of what is shown, and until it is known the plan itself.
	b.try(func(j job.Job) (job.Job, error) { return job.MoveLayers(j, []job.LayerID{3}, 1, 0) })
	b.settle()
	if shown, _ := b.Plan(); shown == plan || b.Cut() != shown {
		t.Error("while something is being made, what was cut before is shown")
	}
	b.drop()
	b.settle()
	if b.Cut() != cut {
		t.Error("given up, and what is cut is another plan")
	}
	if err := b.Do("move", func(j job.Job) (job.Job, error) { return job.MoveLayers(j, []job.LayerID{3}, 1, 0) }); err != nil {
		t.Fatal(err)
	}
	for b.weak.running == nil { // until the plan has come
		(<-b.queue)()
	}
	if b.Cut() == nil {
		t.Error("nothing is cut while that is worked out")
	}
	b.settle()
}

func TestOptions_ListWhatIsWorthTrying(t *testing.T) {
	// Of seven others, five reds are likest to the spot's.
	var p fit.Plan
	for _, c := range []colour.RGB{{R: 120}, {B: 200}, {R: 190}, {G: 200}, {R: 200}, {R: 200, G: 200}, {R: 150}, {R: 170}, {R: 200, G: 200, B: 200}, {R: 90}} {
		p.Separations = append(p.Separations, assemble.Separation{Of: own.OwnSheet(c), Colour: c})
	}
	about := job.Mend{Layer: 3, At: geometry.Pt(1, 2), Reason: "was kept"}
	at := func(i int) own.Material { return p.Separations[i].Of }
	beside := []mend.Neighbour{{Of: own.Bare}, {Of: at(3)}, {Of: at(4)}, {Of: at(5)}, {Of: at(3)}}
	want := func(do job.MendKind, to int) job.Mend {
		m := about
		m.Reason, m.ByHand, m.Do = "", true, do
		if to >= 0 {
			m.To, m.Chosen = p.Separations[to].Colour, true
		}
		return m
	}
	give := []job.Mend{want(job.Give, 3), want(job.Give, 5)}
	recolour := []job.Mend{want(job.Recolour, 2), want(job.Recolour, 7), want(job.Recolour, 6), want(job.Recolour, 0), want(job.Recolour, 9)}
	for name, c := range map[string]struct {
		spot fit.WeakSpot
		want []job.Mend
	}{
		"a gap":    {fit.WeakSpot{Kind: job.Gap, Piece: fit.PieceID{Of: own.Bare}, Neighbours: beside[:2]}, []job.Mend{give[0], want(job.Widen, -1)}},
		"a sliver": {fit.WeakSpot{Kind: job.Sliver, Piece: fit.PieceID{Of: at(4)}, Neighbours: beside}, slices.Concat(give, []job.Mend{want(job.Widen, -1), want(job.Drop, -1)}, recolour)},
		"a speck":  {fit.WeakSpot{Kind: job.Speck, Piece: fit.PieceID{Of: at(4)}, Neighbours: beside}, slices.Concat(give, []job.Mend{want(job.Widen, -1), want(job.Join, -1), want(job.Drop, -1)}, recolour)},
	} {
		if got := candidates(&p, c.spot, about); !slices.Equal(got, c.want) {
			t.Errorf("%s:\ngot  %+v\nwant %+v", name, got, c.want)
		}
	}
}

// What is called usual about a spot, and highlighted, is what MendAll then does about it: the outlines there are the same.
func TestOptions_TheUsualOneIsWhatMendAllDoes(t *testing.T) {
	for name, svg := range map[string]string{
		"a hairline": hairline,
		"a gap": `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">
<rect width="29.8" height="40" fill="#d03020"/><rect x="30.2" width="29.8" height="40" fill="#2040c0"/></svg>`,
		"a speck": `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">
<rect width="60" height="40" fill="#d03020"/><circle cx="20" cy="20" r="0.4" fill="#2040c0"/></svg>`,
	} {
		b := newBench(t)
		b.svg(svg)
		b.knockOut()
		spots := b.Weak().Spots
		if len(spots) != 1 {
			t.Errorf("%s: %d spots", name, len(spots))
			continue
		}
		var first *MendOption
		options := b.options(spots[0])
		for i := range options {
			if options[i].Usual {
				if first != nil {
					t.Errorf("%s: two are usual", name)
				}
				first = &options[i]
			}
		}
		asked := b.weak.choice
		b.MendAll()
		b.settle()
		if !reflect.DeepEqual(b.Job(), asked.job) {
			t.Errorf("%s: MendAll makes something else than was told before", name)
		}
		now, _ := b.Plan()
		if first == nil || !cutsAlike(first.Plan, now) {
			t.Errorf("%s: of %d options %+v is usual, and MendAll does %+v", name, len(options), first, mend.More(job.Job{}, b.Job()))
		}
	}
}

// What mending does is worked out as soon as it is what comes next: the first choice about a spot is
// that one, and mending itself goes on with it.
func TestOptions_TheUsualComesFirstWhereItIsKnown(t *testing.T) {
	b := newBench(t)
	b.svg(hairline)
	if b.weak.choice != nil {
		t.Error("mends are worked out while colours stack")
	}
	b.knockOut()
	c := b.weak.choice
	if c == nil || !c.done() || c.wanted {
		t.Fatalf("not worked out ahead: %+v", c)
	}
	var usual []bool
	b.Options(b.Weak().Spots[0], func(o MendOption) { usual = append(usual, o.Usual) }, func() {})
	b.settle()
	if len(usual) < 3 || !usual[0] || slices.Contains(usual[1:], true) {
		t.Errorf("usual, in the order in which they came: %v", usual)
	}
	if b.weak.choice != c || !c.wanted {
		t.Error("it was worked out twice")
	}
	b.MendAll()
	b.settle()
	if b.UndoLabel() != "ui-step-mend-all" || !reflect.DeepEqual(b.Job(), c.job) || b.weak.choice != c && b.weak.choice != nil {
		t.Errorf("after %q mending did something else", b.UndoLabel())
	}
}

// What is worked out ahead ends with the document, with an edit, and after a while unless somebody waits for it.
func TestChoice_AheadIsGivenUp(t *testing.T) {
	b := newBench(t)
	begun := func() *choice {
		t.Helper()
		b.svg(hairline)
		b.knockOut()
		b.dropChoice()
		b.lookAhead()
		if b.weak.choice == nil || !b.Busy() {
			t.Fatal("nothing is worked out ahead")
		}
		return b.weak.choice
	}
	c := begun()
	b.giveUp(c)
	if b.settle(); b.weak.choice != nil || b.Busy() {
		t.Error("goes on though nobody came")
	}
	c = begun()
	b.choose()
	b.giveUp(c)
	if b.settle(); b.weak.choice != c || c.err != nil {
		t.Error("given up though somebody waits for it")
	}
	c = begun()
	if err := b.Do("move", func(j job.Job) (job.Job, error) { return job.MoveLayers(j, []job.LayerID{3}, 1, 0) }); err != nil {
		t.Fatal(err)
	}
	if b.settle(); b.weak.choice == c {
		t.Error("an edit leaves what was worked out before it")
	}
	begun()
	b.dropChoice()
	many := b.weak.weak
	b.weak.weak.Spots = make([]fit.WeakSpot, mostAhead+1)
	if b.lookAhead(); b.weak.choice != nil {
		t.Error("a picture of noise is mended without being asked for")
	}
	b.weak.weak = many
	begun()
	b.Close()
	if b.settle(); b.weak.choice != nil || b.Busy() {
		t.Error("goes on without a document")
	}
}

// Mending that somebody asks for while it is worked out ahead tells how far that is, and what is stopped keeps what is
// mended by then.
func TestMendAll_GoesOnWithWhatWasBegunAhead(t *testing.T) {
	b := newBench(t)
	b.svg(hairline)
	b.knockOut()
	mended := b.weak.choice.job
	c := b.weak.choice
	c.known = make(chan struct{}) // as if it were under way
	c.reached(0.25, mended)
	b.MendAll()
	if b.mending.Percent != 25 {
		t.Errorf("begins with %d %%", b.mending.Percent)
	}
	c.reached(0.5, mended)
	if b.mending.Percent != 50 {
		t.Errorf("goes on with %d %%", b.mending.Percent)
	}
	b.mending.Stop()
	b.settle()
	if b.UndoLabel() != "ui-step-mend-all" || len(b.Job().Items[0].Mends) != 1 {
		t.Errorf("stopped: last step %q", b.UndoLabel())
	}
}

// What MendAll keeps as it is has no usual mend.
func TestOptions_NothingIsUsualWhereMendAllKeepsASpot(t *testing.T) {
	b := newBench(t)
	b.demo("rich")
	b.knockOut()
	spots := b.Weak().Spots
	offered := make([][]MendOption, len(spots))
	for i := range spots[:min(len(spots), 8)] {
		offered[i] = b.options(spots[i])
	}
	b.MendAll()
	b.settle()
	kept := 0
	for i := range offered {
		usual := slices.ContainsFunc(offered[i], func(o MendOption) bool { return o.Usual })
		left := slices.ContainsFunc(b.Weak().Spots, func(s fit.WeakSpot) bool { return s.Kind == spots[i].Kind && s.At == spots[i].At && s.Stuck() })
		if left && usual {
			t.Errorf("the %v at %v is kept, and a mend of it is usual", spots[i].Kind, spots[i].At)
		}
		if left {
			kept++
		}
	}
	if kept == 0 {
		t.Error("nothing is kept: another picture is needed")
	}
}

// What changes nothing about a spot is not offered: a plate is no broader around a letter for being drawn broader.
func TestOptions_AllChangeTheSpot(t *testing.T) {
	b := newBench(t)
	b.svg(`<svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="40mm" viewBox="0 0 90 40">
<rect width="90" height="40" rx="4" fill="#f7dece"/><rect x="5" y="8" width="80" height="24" fill="none" stroke="#c33" stroke-width="1.2"/>
<text x="45" y="23" font-family="DejaVu Sans" font-size="9" text-anchor="middle" fill="#1c3a4f">Harbour Lights</text></svg>`)
	b.knockOut()
	spot, offered := b.Weak().Spots[0], 0
	before, _ := b.Plan()
	for _, o := range b.options(spot) {
		offered++
		same := true
		for i := range before.Separations {
			was, _ := o.Plan.Find(before.Separations[i].Of)
			same = same && was != nil && slices.Equal(cornersBy(before.Separations[i].Outline, spot.Bounds), cornersBy(was.Outline, spot.Bounds))
		}
		if same {
			t.Errorf("%v of layer %d changes nothing at %v", o.Mend.Do, o.Mend.Layer, spot.At)
		}
	}
	if offered < 3 {
		t.Errorf("only %d are offered", offered)
	}
}

// cornersBy lists the corners of an outline that lie near a place, in one order.
func cornersBy(outline geometry.Path, place geometry.Rect) (out []geometry.Point) {
	for _, c := range outline {
		for _, s := range c.Segments {
			if place.Grow(1).Contains(s.End) {
				out = append(out, s.End)
			}
		}
	}
	slices.SortFunc(out, func(a, b geometry.Point) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) })
	return out
}

// The gap between two shapes can be given to either, or become wider.
func TestOptions_OfAGap(t *testing.T) {
	b := newBench(t)
	b.svg(`<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">
<rect width="29.8" height="40" fill="#d03020"/><rect x="30.2" width="29.8" height="40" fill="#2040c0"/></svg>`)
	b.knockOut()
	w := b.Weak()
	if len(w.Spots) != 1 || w.Spots[0].Kind != job.Gap {
		t.Fatalf("%+v", w)
	}
	options := b.options(w.Spots[0])
	to := map[colour.RGB]bool{}
	for _, o := range options {
		if o.Mend.Do == job.Widen {
			if o.AreaMM2 != o.UncoveredMM2 || math.Abs(o.AreaMM2-0.62*40) > 1 { // from 0.4 to 1.02 mm
				t.Errorf("wider, it changes %g mm², leaves %g bare", o.AreaMM2, o.UncoveredMM2)
			}
			continue
		}
		if o.Mend.Chosen { // or both, as MendAll does
			to[o.Mend.To] = true
		}
		if o.Mend.Do != job.Give || o.AreaMM2 < 15 || o.AreaMM2 > 17 || o.UncoveredMM2 != 0 { // 0.4 × 40 mm
			t.Errorf("%v changes %g mm², leaves %g bare", o.Mend, o.AreaMM2, o.UncoveredMM2)
		}
	}
	if len(options) != 4 || len(to) != 2 {
		t.Errorf("%d options", len(options))
	}
}

// What cannot be done about a spot is not offered: a speck that has no like of it
// cannot be joined to one.
func TestOptions_LeaveOutWhatCannotBeDone(t *testing.T) {
	const field = `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40"><rect width="60" height="40" fill="#d03020"/><rect x="20" y="20" width="0.6" height="0.6" fill="#2040c0"/>`
	for svg, joins := range map[string]bool{
		field + `</svg>`: false,
		field + `<rect x="22" y="10" width="20" height="20" fill="#2040c0"/></svg>`: true,
	} {
		b := newBench(t)
		b.svg(svg)
		b.knockOut()
		w := b.Weak()
		if len(w.Spots) != 1 || w.Spots[0].Kind != job.Speck {
			t.Fatalf("%+v", w)
		}
		got := false
		for _, o := range b.options(w.Spots[0]) {
			got = got || o.Mend.Do == job.Join
			if o.Plan == nil || o.AreaMM2 == 0 {
				t.Errorf("%v changes nothing", o.Mend.Do)
			}
		}
		if got != joins {
			t.Errorf("joining is offered: %v, want %v", got, joins)
		}
	}
}

// An edit makes the options of what was there before void: nobody is told of
// them any more. So does stopping them.
func TestOptions_AreVoidAfterAnEdit(t *testing.T) {
	for name, end := range map[string]func(b *bench, stop func()){
		"edited":  func(b *bench, _ func()) { b.rename("other") },
		"stopped": func(_ *bench, stop func()) { stop() },
	} {
		b := newBench(t)
		b.svg(hairline)
		b.knockOut()
		spot := b.Weak().Spots[0]
		stop := b.Options(spot, func(MendOption) { t.Errorf("%s: an option", name) }, func() { t.Errorf("%s: the end", name) })
		end(b, stop)
		b.settle()
		if len(b.errs) > 0 {
			t.Errorf("%s: told %v", name, b.errs)
		}
	}
}

// Where there is more outline than can be looked through, that is what is said of
// weak spots: nobody is told that there are none.
func TestWeak_WhatIsTooMuchToLookThroughIsSaid(t *testing.T) {
	b := newBench(t)
	// A thousand metres of outline.
	var red, blue strings.Builder
	for x := 0; x < 2000; x += 16 {
		fmt.Fprintf(&red, "M%d 0h8v2000h-8z", x)
		fmt.Fprintf(&blue, "M%d 0h8v2000h-8z", x+8)
	}
	b.svg(`<svg xmlns="http://www.w3.org/2000/svg" width="2000mm" height="2000mm" viewBox="0 0 2000 2000"><path fill="#d03020" d="` + red.String() + `"/><path fill="#2040c0" d="` + blue.String() + `"/></svg>`)
	if w := b.Weak(); w.State != WeakTooMany || w.Crowded.ID != "weak-not-looked-for" {
		t.Errorf("%+v", w)
	}
	// Coarser places lie farther apart.
	if err := b.Do("narrowest", func(j job.Job) (job.Job, error) { return job.SetNarrowest(j, 6, 0) }); err != nil {
		t.Fatal(err)
	}
	b.settle()
	if w := b.Weak(); w.State != WeakFound || len(w.Spots) > 0 {
		t.Errorf("%+v", w)
	}
}

// While a change is being made the spots that were found may be gone: then nothing
// is offered, and nobody waits.
func TestOptions_AreNoneWhileSomethingIsBeingMade(t *testing.T) {
	b := newBench(t)
	b.svg(hairline)
	b.knockOut()
	spot := b.Weak().Spots[0]
	b.try(func(j job.Job) (job.Job, error) { return job.MoveLayers(j, []job.LayerID{3}, 1, 0) })
	b.settle()
	ended := false
	b.Options(spot, func(MendOption) { t.Error("an option") }, func() { ended = true })
	if !ended || b.Busy() {
		t.Errorf("ended: %v, busy: %v", ended, b.Busy())
	}
	b.settle()
	b.drop()
	b.settle()
	if len(b.options(spot)) == 0 {
		t.Error("given up, and nothing is offered")
	}
}
