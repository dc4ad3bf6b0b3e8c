package mend

import (
	"context"
	"math"
	"slices"
	"testing"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/own"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// spotOf is the only weak spot of a job, and the job's map.
func spotOf(t *testing.T, j job.Job) (*mending, Spot) {
	t.Helper()
	m, err := start(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	spots, err := m.spots(context.Background(), j.Settings, nil)
	if err != nil || len(spots) != 1 {
		t.Fatalf("%v, %d spots", err, len(spots))
	}
	return m, spots[0]
}

// A line of 20 × 0.4 mm that widens to 1 mm takes 20 × 0.6 mm, and a half disc at
// either end that is free.
func TestWidening_IsTheStrokeLessWhatIsThere(t *testing.T) {
	for _, scale := range []float64{1, 2, 5} {
		line := geometry.RectXYWH(0, 0, 20*scale, 0.4*scale).Path()
		s := Spot{Spot: weak.Spot{Outline: line, AreaMM2: 8 * scale * scale, Spine: [][2]geometry.Point{{geometry.Pt(0, 0.2*scale), geometry.Pt(20*scale, 0.2*scale)}}}}
		for _, c := range []struct {
			kind  weak.Kind
			whole bool
			ends  float64 // discs
		}{{weak.Neck, false, 0}, {weak.Sliver, false, 0.5}, {weak.Point, false, 0.5}, {weak.Sliver, true, 1}} {
			s.Kind, s.Whole = c.kind, c.whole
			want := (12 + c.ends*math.Pi/4) * scale * scale
			if got := new(mending).widening(&s, scale); math.Abs(got-want) > 1e-9 {
				t.Errorf("%v, whole %v, at %g: %.4f mm², want %.4f", c.kind, c.whole, scale, got, want)
			}
		}
		s.AreaMM2 = 100 * scale * scale
		if got := new(mending).widening(&s, scale); got != 0 {
			t.Errorf("what is broad enough takes %g mm²", got)
		}
	}
}

func TestInwards_KeepsWhatIsAtTheEdgeOnThePictureAndTheSpotAsItIs(t *testing.T) {
	m, spot := spotOf(t, sketch.Art(t, "green rect 0 0 40 30 knock", "blue rect 10 0 20 0.4 knock"))
	before := slices.Clone(spot.Spine)
	moved := m.inwards(&spot, 2)
	if !slices.Equal(spot.Spine, before) {
		t.Error("the spot itself was changed")
	}
	for _, l := range moved.Spine {
		for _, p := range l {
			if p.Y < m.page.Min.Y+1-1e-9 {
				t.Errorf("%v is nearer than 1 mm to the edge", p)
			}
		}
	}
	if len(moved.Spine) == 0 || len(moved.Spine) != len(before) {
		t.Errorf("%d lines of %d", len(moved.Spine), len(before))
	}
}

func TestLook_CountsWhatReachesIntoTheArea(t *testing.T) {
	j := sketch.Art(t, "green rect 0 0 80 60 knock", "blue rect 10 10 20 0.4 + rect 10 50 20 0.4 knock")
	m, err := start(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	v := &solver{mending: m, settings: j.Settings, area: geometry.RectXYWH(5, 5, 30, 10)}
	var s state
	if err := v.look(context.Background(), &s); err != nil {
		t.Fatal(err)
	}
	if len(s.spots) != 1 || s.spots[0].Of != own.OwnSheet(sketch.Palette["blue"]) || s.spots[0].At.Y > 20 || s.left != m.toDo(&s.spots[0], j.Settings) {
		t.Errorf("%d spots, %g mm² left", len(s.spots), s.left)
	}
}

// Widening the blue line makes the yellow one beside it thin, which has room on its
// other side.
func TestFollow_MendsWhatAMendMadeWeak(t *testing.T) {
	j := sketch.Art(t, "green rect 0 0 40 30 knock", "yellow rect 0 10 40 1.1 knock", "blue rect 0 11.1 40 0.6 knock")
	m, spot := spotOf(t, j)
	v := &solver{mending: m, settings: j.Settings, area: m.page, spent: new(int)}
	ctx := context.Background()
	outlines, err := m.outlines(ctx)
	if err != nil {
		t.Fatal(err)
	}
	v.before = sidesIn(outlines)
	if err := v.look(ctx, &v.start); err != nil {
		t.Fatal(err)
	}
	widen := v.about(&spot, 0)
	widen.Do = job.Widen
	layers, err := v.layer(ctx, &spot, widen, j.Settings)
	if err != nil || len(layers) == 0 {
		t.Fatal(layers, err)
	}
	next, err := v.try(ctx, &v.start, &spot, widen, layers)
	if err != nil || next == nil || len(next.spots) == 0 {
		t.Fatalf("%v, %+v: the yellow line is not thin", err, next)
	}
	last, err := v.follow(ctx, next, &problem{spot: &spot, own: v.start.left})
	if err != nil || len(last.mends) < 2 || len(last.spots) != 0 {
		t.Errorf("%v: %d mends, %d spots are left", err, len(last.mends), len(last.spots))
	}
}

// Nobody sees a hairline, however long it is: it goes to whom it lies beside rather than become something new.
func TestRemedies_AHairlineIsGivenAwayFirst(t *testing.T) {
	j := sketch.Art(t, "green rect 0 0 40 15 knock", "yellow rect 0 15 40 15 knock", "blue rect 0 0 1 1 knock")
	for name, path := range map[string]geometry.Path{
		"sliver": geometry.RectXYWH(5, 14.97, 30, 0.06).Path(),
		"point":  {geometry.Polygon(geometry.Pt(5, 20), geometry.Pt(25, 19.97), geometry.Pt(25, 16), geometry.Pt(35, 16), geometry.Pt(35, 24), geometry.Pt(25, 24), geometry.Pt(25, 20.03))},
	} {
		j.Items[0].Layers[2].Content = job.Outlines{Shapes: []job.Shape{{Path: path}}}
		m, spot := spotOf(t, j)
		if all, _ := m.remedies(&spot, j.Settings); !hair(&spot) || spot.Of != sheet("blue") || all[0].Do != job.Give {
			t.Errorf("%s of %g mm: %+v", name, spot.LengthMM, all[0])
		}
	}
}

// A strip of yellow that a mend gave to green is made broad by no mend that follows; what of it green had before may be.
func TestGaveMost_IsWhatAMendHasMadeThin(t *testing.T) {
	m, spot := spotOf(t, sketch.Art(t, "green rect 0 0 40 30 knock", "yellow rect 0 14.8 40 0.4 knock"))
	v := &solver{mending: m}
	if v.gaveMost(&spot, job.Mend{}) {
		t.Error("it is as it was drawn")
	}
	spot.Of = sheet("green")
	if !v.gaveMost(&spot, job.Mend{}) {
		t.Error("green was given all of it")
	}
	half := spot
	half.Spine = append(slices.Clone(spot.Spine), [2]geometry.Point{geometry.Pt(1, 20), geometry.Pt(37, 20)})
	if !v.gaveMost(&half, job.Mend{}) {
		t.Error("it had less than half of it before")
	}
	half.Spine = append(half.Spine, [2]geometry.Point{geometry.Pt(1, 5), geometry.Pt(39, 5)})
	if v.gaveMost(&half, job.Mend{}) {
		t.Error("it had more than half of it before")
	}
	spot.Of = own.Bare
	if v.gaveMost(&spot, job.Mend{}) {
		t.Error("a space may be opened")
	}
	spot.Kind = weak.Gap
	if v.gaveMost(&spot, job.Mend{Do: job.Give}) || !v.gaveMost(&spot, job.Mend{Do: job.Drop}) {
		t.Error("a space in which a tip was left to the blank may not")
	}
}

// Of a point between two others all that is thin may go where it is 1.5 mm long, and only its end where it
// is 2.5 mm long.
func TestRemedies_CutNoLongPointOffWhole(t *testing.T) {
	red, blue, green := sheet("red"), sheet("blue"), sheet("green")
	for length, want := range map[float64]bool{1.5: true, 2.5: false} {
		spot := &Spot{Spot: weak.Spot{Kind: weak.Point, LengthMM: length, WidthMM: 0.5, AreaMM2: length / 2}, Of: red,
			Neighbours: []Neighbour{{blue, length}, {green, length}}, whole: geometry.RectXYWH(0, 0, 30, 30).Path()}
		r := &remedies{spot: spot, w: 1, beside: spot.Neighbours}
		r.end()
		if got := slices.ContainsFunc(r.list, func(m job.Mend) bool { return m.Do == job.Give && m.WidthMM >= r.w }); got != want {
			t.Errorf("%g mm: %t", length, got)
		}
		if !slices.ContainsFunc(r.list, func(m job.Mend) bool { return m.Do == job.Give && m.WidthMM == 0 }) {
			t.Errorf("%g mm: not even its end", length)
		}
	}
}
