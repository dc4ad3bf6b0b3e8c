package fit

import (
	"context"
	"fmt"
	"math"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/fit/mend"
	"abut/internal/job"
)

func weakSpots(t testing.TB, j job.Job) []WeakSpot {
	t.Helper()
	spots, err := new(Cache).Weak(context.Background(), mustPlan(t, j), j)
	if err != nil {
		t.Fatal(err)
	}
	return spots
}

func mendedWith(t testing.TB, j job.Job, spot WeakSpot, do job.MendKind, change func(*job.Mend)) job.Job {
	t.Helper()
	m, err := NewMend(context.Background(), j, spot, do)
	if err != nil {
		t.Fatal(err)
	}
	if change != nil {
		change(&m)
	}
	return must(t)(job.AddMend(j, m))
}

func mendAll(t testing.TB, j job.Job) job.Job {
	t.Helper()
	k, err := mend.All(context.Background(), j, nil)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

// hairline is a red and a green field with a blue line of 0.5 mm between them
// that ends inside the red: it has 20 mm of red above it and 12 of green below.
func hairline(t testing.TB) job.Job {
	return knockAll(t, art(t, "red rect 0 0 30 20", "green rect 8 10.5 12 8", "blue rect 5 10 20 0.5"))
}

func TestWeak_IsNamedByPieceAndSeparation(t *testing.T) {
	j := hairline(t)
	p := mustPlan(t, j)
	spots := weakSpots(t, j)
	if len(spots) != 1 {
		t.Fatalf("%+v", spots)
	}
	s := spots[0]
	if s.Kind != job.Sliver || !s.Whole || !near(s.WidthMM, 0.5, 1e-6) || s.Piece.Of.Colour != palette["blue"] || p.Piece(s.Piece) == nil {
		t.Errorf("%+v", s)
	}
	if !near(s.AreaMM2, 10, 1e-6) || len(s.Neighbours) != 2 || s.Neighbours[0].Of.Colour != palette["red"] {
		t.Errorf("%+v", s)
	}
	wide := must(t)(job.SetNarrowest(j, 0.4, 0))
	if spots := weakSpots(t, wide); len(spots) != 0 {
		t.Errorf("with 0.4 mm: %+v", spots)
	}
}

func TestMends_GiveDropWidenRecolourKeep(t *testing.T) {
	j := hairline(t)
	before := mustPlan(t, j)
	spot := weakSpots(t, j)[0]
	area := func(p *Plan, c string) float64 {
		for _, s := range p.Separations {
			if s.Colour == palette[c] {
				return s.AreaMM2
			}
		}
		return 0
	}
	red, green := area(before, "red"), area(before, "green")
	for _, c := range []struct {
		name             string
		do               job.MendKind
		change           func(*job.Mend)
		red, green, blue float64
		bare             float64
	}{
		{"give: to the longest seam", job.Give, nil, red + 10, green, 0, 0},
		{"give to a chosen one", job.Give, func(m *job.Mend) { m.To, m.Chosen = palette["green"], true }, red, green + 10, 0, 0},
		{"drop", job.Drop, nil, red, green, 0, 10},
		{"recolour", job.Recolour, func(m *job.Mend) { m.To, m.Chosen = palette["green"], true }, red, green + 10, 0, 0},
		{"keep", job.Keep, nil, red, green, 10, 0},
	} {
		p := mustPlan(t, mendedWith(t, j, spot, c.do, c.change))
		if len(p.Mends) != 1 || p.Mends[0].State != mend.Done {
			t.Errorf("%s: %+v", c.name, p.Mends)
		}
		if !near(area(p, "red"), c.red, 1e-4) || !near(area(p, "green"), c.green, 1e-4) || !near(area(p, "blue"), c.blue, 1e-4) || !near(p.BareMM2, c.bare, 1e-4) {
			t.Errorf("%s: %v", c.name, summary(p))
		}
		changed := 10.0
		if c.do == job.Keep {
			changed = 0
		}
		if !near(p.Proof.MendedMM2, changed, 1e-4) || !near(p.Proof.MendedPercent(), 100*changed/600, 1e-4) || p.Proof.SamePercent() != 100 {
			t.Errorf("%s: %+v", c.name, p.Proof)
		}
	}

	p := mustPlan(t, mendedWith(t, j, spot, job.Widen, nil))
	// A line of 20 mm becomes 1.02 mm broad, with round ends that cover its own.
	if got := area(p, "blue"); got < 20*1.0 || got > 20.6*1.03+0.2 {
		t.Errorf("widened to %g mm²", got)
	}
	if spots := weakSpots(t, mendedWith(t, j, spot, job.Widen, nil)); len(spots) != 0 {
		t.Errorf("still weak: %+v", spots)
	}
	if p.Proof.UncoveredMM2 != 0 || p.Stacked.AreaMM2 != 0 {
		t.Errorf("%+v", p.Proof)
	}
}

// Mending all anew uses the rounds up that lapsed mends had taken.
func TestMendAll_ForgetsWhatLapsedOnceItMends(t *testing.T) {
	j := hairline(t)
	spot := weakSpots(t, j)[0]
	k := mendedWith(t, j, spot, job.Give, func(m *job.Mend) { m.At, m.Round = geometry.Pt(1, 1), 7 })
	k = mendAll(t, k)
	if got := k.Items[0].Mends; len(got) != 1 || got[0].Round != 0 {
		t.Errorf("%+v", got)
	}
	// Without anything to mend the job stays as it is, lapsed mends too.
	wide := must(t)(job.SetNarrowest(k, 0.3, 0))
	if got := mendAll(t, wide); !reflect.DeepEqual(got, wide) {
		t.Errorf("%+v", got.Items[0].Mends)
	}
}

// A dot grows, however small a thing it is, rather than vanish; a crumb goes to its
// neighbour.
func TestMendAll_GrowsADot(t *testing.T) {
	for size, pieces := range map[string]int{"1.7": 2, "0.8": 2, "0.3": 1} {
		j := knockAll(t, art(t, "red rect 0 0 30 20", "blue rect 5 5 "+size+" "+size))
		k := mendAll(t, j)
		if p := mustPlan(t, k); p.NumPieces() != pieces || len(weakSpots(t, k)) != 0 {
			t.Errorf("%s: %v", size, summary(p))
		}
	}
}

// Dots that were made as large as they must be stay round, though the space between them is
// narrow: that is listed.
func TestMendAll_TakesNothingFromDots(t *testing.T) {
	k := mendAll(t, knockAll(t, art(t, "green circle 10 10 9", "red circle 10 10 4.7", "blue circle 10.94 8.37 0.94 + circle 9.06 11.63 0.94 + circle 8.37 9.06 0.94 + circle 11.63 10.94 0.94")))
	p := mustPlan(t, k)
	dots := 0
	for i := range p.Separations {
		for _, q := range p.Separations[i].Pieces {
			if b := q.Bounds; b.Width() < 4 {
				dots++
				if d := b.Width(); d < 2 || math.Abs(q.Outline.SignedArea()-math.Pi/4*d*d) > 0.01*d*d {
					t.Errorf("%v mm² of a dot of %.3f mm", q.Outline.SignedArea(), d)
				}
			}
		}
	}
	if dots != 4 {
		t.Errorf("%v", summary(p))
	}
}

// Colours that are cut from a sheet are named by the sheet's, or by their own.
func TestMends_GoToTheSheetOfAColour(t *testing.T) {
	j, id, err := job.AddSheet(hairline(t), job.Sheet{Name: "Leaf", Pressed: colour.RGB{R: 1, G: 200, B: 3}})
	if err != nil {
		t.Fatal(err)
	}
	j = must(t)(job.Assign(j, palette["green"], job.Target{Sheet: id}))
	spot := weakSpots(t, j)[0]
	for _, do := range []job.MendKind{job.Give, job.Recolour} {
		for _, to := range []colour.RGB{{R: 1, G: 200, B: 3}, palette["green"]} {
			p := mustPlan(t, mendedWith(t, j, spot, do, func(m *job.Mend) { m.To, m.Chosen = to, true }))
			if p.Mends[0].State != mend.Done || len(p.Separations) != 2 || p.Proof.MendedMM2 < 9.9 {
				t.Errorf("%v to %v: %v, %v", do, to, p.Mends, summary(p))
			}
		}
	}
}

func TestMends_SpecksAreJoinedGrownOrGivenAway(t *testing.T) {
	j := knockAll(t, art(t, "red rect 0 0 30 20", "blue rect 5 5 5 5 + rect 12 7 1.2 1.2"))
	spots := weakSpots(t, j)
	if len(spots) != 1 || spots[0].Kind != job.Speck {
		t.Fatalf("%+v", spots)
	}
	for _, c := range []struct {
		do     job.MendKind
		pieces int
	}{{job.Join, 1}, {job.Widen, 2}, {job.Give, 1}} {
		k := mendedWith(t, j, spots[0], c.do, nil)
		p := mustPlan(t, k)
		if n := len(separation(t, p, "blue").Pieces); n != c.pieces || len(weakSpots(t, k)) != 0 {
			t.Errorf("%v: %d pieces, %v, still weak: %+v", c.do, n, p.Mends, weakSpots(t, k))
		}
	}
}

func TestMends_FollowTheirLayerOrLapse(t *testing.T) {
	j := hairline(t)
	spot := weakSpots(t, j)[0]
	k := mendedWith(t, j, spot, job.Give, nil)
	all := []job.LayerID{1, 2, 3}
	moved := must(t)(job.MoveLayers(k, all, 13.7, -4.1))
	turned := must(t)(job.TransformLayers(moved, all, geometry.Rotate(0.3)))
	larger := scaled(turned, 1.5)
	for name, x := range map[string]job.Job{"moved": moved, "turned": turned, "150 %": larger} {
		p := mustPlan(t, x)
		if p.Mends[0].State != mend.Done || len(p.Separations) != 2 {
			t.Errorf("%s: %+v %v", name, p.Mends, summary(p))
		}
	}
	// At 300 % the line is 1.5 mm broad: nothing to mend.
	huge := scaled(k, 3)
	p := mustPlan(t, huge)
	if p.Mends[0].State != mend.Lapsed || len(p.Separations) != 3 || !warned(p, "mends-lapsed") {
		t.Errorf("%+v %v", p.Mends, summary(p))
	}
	// Its layer is deleted.
	p = mustPlan(t, must(t)(job.DeleteLayers(k, []job.LayerID{3})))
	if p.Mends[0].State != mend.Lapsed {
		t.Errorf("%+v", p.Mends)
	}
	if back := must(t)(job.RemoveMend(k, k.Items[0].Mends[0])); !reflect.DeepEqual(mustPlan(t, back), mustPlan(t, j)) {
		t.Error("a mend taken away leaves something")
	}
}

func TestMends_CurvesAndChordsAgree(t *testing.T) {
	j := mendAll(t, knockAll(t, art(t, "red circle 20 20 18", "blue ring 20 20 10 9.4", "green circle 20 20 5")))
	p := mustPlan(t, j)
	q, err := computeCurves(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(summary(p), summary(q)) || !reflect.DeepEqual(p.Mends, q.Mends) || p.Proof != q.Proof {
		t.Errorf("%v\n%v", summary(p), summary(q))
	}
	cubic := 0
	for _, s := range q.Separations {
		for _, c := range s.Outline {
			for _, g := range c.Segments {
				if g.Cubic {
					cubic++
				}
			}
		}
	}
	if cubic == 0 {
		t.Error("no curve is left")
	}
}

// outlined returns how long the outlines of all that is cut are together, in mm.
func outlined(p *Plan) (mm float64) {
	for i := range p.Separations {
		for _, c := range p.Separations[i].Outline.Flatten(0.01) {
			for a, b := range c.Sides() {
				mm += b.Sub(a).Len()
			}
		}
	}
	return mm
}

// What must hold whatever is drawn.
func TestLaw_MendAll(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		if rapid.IntRange(0, 3).Draw(rt, "one in four") > 0 {
			return // mending takes its time
		}
		j := knockAll(t, drawArt(t, rt))
		j.Settings.NarrowestMM = rapid.SampledFrom([]float64{0, 0, 0.3, 5, 50}).Draw(rt, "narrowest")
		before := mustPlan(t, j)
		var c Cache
		k, err := c.MendAll(context.Background(), j, nil)
		if err != nil {
			rt.Fatal(err)
		}
		written(rt, k)
		p := mustPlan(t, k)
		if known, err := c.Compute(context.Background(), k); err != nil || !reflect.DeepEqual(known, p) {
			rt.Fatalf("what mending hands on: %v\n%v\n%v", err, summary(known), summary(p))
		}
		if p.Stacked.AreaMM2 != before.Stacked.AreaMM2 {
			rt.Fatalf("%g mm² stack, %g before", p.Stacked.AreaMM2, before.Stacked.AreaMM2)
		}
		blunted := 0.0 // ends at the edge of the picture, those of small pieces too, and spaces that became wider
		for _, m := range p.Mends {
			if m.State != mend.Done {
				rt.Fatalf("%+v", m)
			}
			if m.Do == job.Drop || m.Do == job.Give && m.Spot == job.Tip || m.Do == job.Widen && (m.Spot == job.Gap || m.Whole) {
				blunted += m.AreaMM2
			}
		}
		// Each end of an edge lies on a grid of 0.1 µm, that of a thing drawn anew or moved once more: √½ of a step along all outlines.
		if p.Proof.UncoveredMM2 > blunted+1e-4+math.Sqrt2/2*1e-4*outlined(p) {
			rt.Fatalf("%g mm² are uncovered", p.Proof.UncoveredMM2)
		}
		for _, s := range weakSpots(t, k) {
			if !s.Kept || s.Reason == "" {
				rt.Fatalf("left without a reason: %+v", s)
			}
		}
		if again := mendAll(t, k); !reflect.DeepEqual(again, k) {
			rt.Fatalf("mending twice changes something: %d mends, %d", len(k.Items[0].Mends), len(again.Items[0].Mends))
		}
		// Nothing lies nowhere: pieces add up to separations, none is lost.
		sum := 0.0
		for _, s := range p.Separations {
			sum += s.AreaMM2
		}
		if math.IsNaN(sum) {
			rt.Fatal(sum)
		}
	})
}

// Colours, names and frames change; the mends are remembered and the plan is
// what it would be from scratch.
func TestCache_RemembersMends(t *testing.T) {
	var c Cache
	check := func(j job.Job) {
		t.Helper()
		for _, compute := range []struct {
			cached, fresh func(context.Context, job.Job) (*Plan, error)
		}{{c.Compute, Compute}, {c.ComputeCurves, computeCurves}} {
			got, err1 := compute.cached(context.Background(), j)
			want, err2 := compute.fresh(context.Background(), j)
			if err1 != nil || err2 != nil || !reflect.DeepEqual(got, want) {
				t.Errorf("%v %v\n%v\n%v", err1, err2, summary(got), summary(want))
			}
		}
	}
	j := hairline(t)
	check(j)
	k := mendedWith(t, j, weakSpots(t, j)[0], job.Recolour, func(m *job.Mend) { m.To, m.Chosen = palette["orange"], true })
	check(k)
	check(must(t)(job.SetFrame(k, job.FrameRule{Mode: job.FrameAlways})))
	check(must(t)(job.Rename(k, 1, "Field")))
	check(must(t)(job.SetColour(k, []job.LayerID{2}, palette["purple"])))
	check(must(t)(job.SetNarrowest(k, 0.4, 0)))
	check(must(t)(job.MoveLayers(k, []job.LayerID{3}, 0, 1)))
	check(j)
}

// A widening may name a sheet that nothing is cut from, before a mend that needs
// another such sheet: what is remembered must not take the one for the other.
func TestCache_RemembersWhichSheetAMendAskedFor(t *testing.T) {
	j := knockAll(t, art(t, "green rect 0 0 20 25", "blue rect 0 5 20 0.4", "blue rect 0 15 20 0.4", "yellow rect 0 20 20 0.4"))
	for i, edit := range []struct {
		do job.MendKind
		to string
	}{{job.Widen, "purple"}, {job.Recolour, "orange"}, {job.Recolour, "black"}} {
		j = mendedWith(t, j, weakSpots(t, j)[min(i, len(weakSpots(t, j))-1)], edit.do, func(m *job.Mend) {
			m.To, m.Chosen = palette[edit.to], true
		})
	}
	var c Cache
	for range 2 {
		got, err := c.Compute(context.Background(), j)
		if err != nil {
			t.Fatal(err)
		}
		if want := mustPlan(t, j); !reflect.DeepEqual(got, want) {
			t.Errorf("\n got %v\nwant %v", summary(got), summary(want))
		}
		j = must(t)(job.Rename(j, 1, "Field"))
	}
}

// Whatever is edited, and whatever is remembered of the plans before: a plan is
// what it would be from scratch. Mends ask for sheets that nothing else needs.
func TestLaw_CacheGivesWhatComputeDoes(t *testing.T) {
	words := []string{"red", "blue", "orange", "purple", "yellow"}
	rapid.Check(t, func(rt *rapid.T) {
		var lines []string
		for i := range rapid.IntRange(1, 3).Draw(rt, "lines") {
			lines = append(lines, fmt.Sprintf("%s rect 0 %d 20 %g knock", rapid.SampledFrom(words).Draw(rt, "colour"), 5+5*i, rapid.SampledFrom([]float64{0.4, 0.7, 3}).Draw(rt, "width")))
		}
		j := art(t, append([]string{"green rect 0 0 20 25"}, lines...)...)
		var c Cache
		for range 4 {
			for _, compute := range []struct {
				cached, fresh func(context.Context, job.Job) (*Plan, error)
			}{{c.Compute, Compute}, {c.ComputeCurves, computeCurves}} {
				got, err1 := compute.cached(context.Background(), j)
				want, err2 := compute.fresh(context.Background(), j)
				if err1 != nil || err2 != nil || !reflect.DeepEqual(got, want) {
					rt.Fatalf("%v %v\n%v\n%v", err1, err2, summary(got), summary(want))
				}
			}
			layer := []job.LayerID{job.LayerID(rapid.IntRange(1, len(lines)+1).Draw(rt, "layer"))}
			other := palette[rapid.SampledFrom(words).Draw(rt, "other")]
			switch rapid.IntRange(0, 6).Draw(rt, "edit") {
			case 0:
				j = must(t)(job.SetColour(j, layer, other))
			case 1:
				j = must(t)(job.Rename(j, layer[0], "Renamed"))
			case 2:
				j = must(t)(job.SetKnocks(j, layer, rapid.Bool().Draw(rt, "knocks")))
			case 3:
				j = must(t)(job.SetFrame(j, job.FrameRule{Mode: job.FrameAlways}))
			case 4:
				j = must(t)(job.MoveLayers(j, layer, 0, 1))
			default:
				spots := weakSpots(t, j)
				if len(spots) == 0 {
					continue
				}
				spot := rapid.SampledFrom(spots).Draw(rt, "spot")
				do := rapid.SampledFrom([]job.MendKind{job.Recolour, job.Widen, job.Give, job.Keep}).Draw(rt, "do")
				j = mendedWith(t, j, spot, do, func(m *job.Mend) {
					m.To, m.Chosen = other, do == job.Recolour || rapid.Bool().Draw(rt, "chosen")
				})
			}
		}
	})
}

// Who stops it has what is mended by then: each time more, and the last of all is what
// the whole made of it.
func TestMendAll_TellsWhatIsMendedSoFar(t *testing.T) {
	j := knockAll(t, art(t, "red rect 0 0 60 40", "blue rect 5 5 20 0.5", "green rect 5 20 10 8 + rect 15.1 20 10 8 + rect 35 20 8 8 + rect 43.1 20 8 8"))
	before := len(weakSpots(t, j))
	var told []int
	last := j
	k, err := mend.All(context.Background(), j, func(_ float64, sofar job.Job) {
		told, last = append(told, len(sofar.Items[0].Mends)), sofar
	})
	if err != nil {
		t.Fatal(err)
	}
	open := func(j job.Job) (n int) {
		for _, s := range weakSpots(t, j) {
			if !s.Kept {
				n++
			}
		}
		return n
	}
	if len(told) < 2 || !slices.IsSorted(told) || told[0] == 0 {
		t.Errorf("told of %v mends", told)
	}
	if open(last) >= before || open(k) > open(last) {
		t.Errorf("%d spots, %d open when last told, %d in the end", before, open(last), open(k))
	}
}

// A spot that is kept no longer moves all mends after it up in the list: what they
// changed is theirs all the same.
func TestCompute_MendsAreThemselvesWhenWhatIsKeptComesAndGoes(t *testing.T) {
	ctx := context.Background()
	j := knockAll(t, art(t, "green rect 0 0 80 60", "blue rect 10 10 20 0.4 + rect 10 50 20 0.4"))
	spots := weakSpots(t, j)
	if len(spots) != 2 {
		t.Fatalf("%d spots", len(spots))
	}
	keep, err := NewMend(ctx, j, spots[0], job.Keep)
	if err != nil {
		t.Fatal(err)
	}
	widen, err := NewMend(ctx, j, spots[1], job.Widen)
	if err != nil {
		t.Fatal(err)
	}
	both := j
	for _, m := range []job.Mend{keep, widen} {
		if both, err = job.AddMend(both, m); err != nil {
			t.Fatal(err)
		}
	}
	without, err := job.ForgetMends(both, []job.Mend{keep})
	if err != nil {
		t.Fatal(err)
	}
	var cache Cache
	for _, k := range []job.Job{both, without, both} {
		p, err := cache.Compute(ctx, k)
		if err != nil {
			t.Fatal(err)
		}
		if want := mustPlan(t, k); !reflect.DeepEqual(p.Mends, want.Mends) || p.Proof != want.Proof {
			t.Errorf("%+v,\nwant %+v", p.Mends, want.Mends)
		}
	}
}

// A neck that somebody keeps is all of a sliver once the picture is smaller: it is kept still.
func TestWeak_WhatIsKeptMayBeOfAnotherKindAtAnotherSize(t *testing.T) {
	j := knockAll(t, art(t, "green rect 0 0 40 20", "blue rect 8 9 6 1.4 + rect 14 9.3 6 0.8 + rect 20 9 6 1.4"))
	spots := weakSpots(t, j)
	if len(spots) != 1 || spots[0].Kind != job.Neck {
		t.Fatalf("%+v", spots)
	}
	j = mendedWith(t, j, spots[0], job.Keep, nil)
	small := must(t)(job.Resize(j, geometry.RectXYWH(0, 0, 40, 20), 24, 0))
	spots = weakSpots(t, small)
	if len(spots) != 1 || spots[0].Kind != job.Sliver || !spots[0].Accepted() || spots[0].By != j.Items[0].Mends[0] {
		t.Errorf("%+v", spots)
	}
}
