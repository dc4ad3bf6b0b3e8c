package planar

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"abut/geometry"
	"abut/internal/motif"
)

// extremePoint returns points where overflow would show: corners of the grid,
// points beside them, near each other and anywhere.
func extremePoint(rng *rand.Rand, near Point) Point {
	pick := func(around int32) int32 {
		switch rng.IntN(5) {
		case 0:
			return maxSteps - int32(rng.IntN(3))
		case 1:
			return -maxSteps + int32(rng.IntN(3))
		case 2:
			return min(max(around+int32(rng.IntN(9))-4, -maxSteps), maxSteps)
		case 3:
			return int32(rng.IntN(5)) - 2
		}
		return int32(rng.Int64N(2*maxSteps+1) - maxSteps)
	}
	return Point{pick(near.X), pick(near.Y)}
}

func bigCross(a, b, c Point) *big.Int {
	d := func(p, q int32) *big.Int { return new(big.Int).Sub(big.NewInt(int64(p)), big.NewInt(int64(q))) }
	l := new(big.Int).Mul(d(b.X, a.X), d(c.Y, a.Y))
	return l.Sub(l, new(big.Int).Mul(d(b.Y, a.Y), d(c.X, a.X)))
}

func rounds(short, full int) int {
	if testing.Short() {
		return short
	}
	return full
}

func TestCross_IsExactAtTheLimits(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range rounds(100_000, 1_000_000) {
		a := extremePoint(rng, Point{})
		b, c := extremePoint(rng, a), extremePoint(rng, a)
		if got, want := cross(a, b, c), bigCross(a, b, c); !want.IsInt64() || got != want.Int64() {
			t.Fatalf("cross(%v, %v, %v) = %d, want %v", a, b, c, got, want)
		}
	}
}

// floorHalf returns floor(r + ½).
func floorHalf(r *big.Rat) *big.Int {
	r = new(big.Rat).Add(r, big.NewRat(1, 2))
	q, m := new(big.Int), new(big.Int)
	q.DivMod(r.Num(), r.Denom(), m) // Euclidean: rounds down, the denominator is positive
	return q
}

func TestRoundedShare_IsExactAtTheLimits(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 2))
	for range rounds(50_000, 300_000) {
		den := rng.Int64N(1<<uint(2+rng.IntN(61))-2) + 2
		num := rng.Int64N(den-1) + 1
		d := rng.Int64N(1<<31+1) - 1<<30
		if rng.IntN(4) == 0 { // exact halves
			den = den/2*2 + 2
			num = den / 2
			if num <= 0 || den <= num {
				continue
			}
		}
		if rng.IntN(4) == 0 && abs64(d) > 1 { // as near to a half as may be, on either side
			half := new(big.Rat).Mul(big.NewRat(2*rng.Int64N(abs64(d))+1, 2*abs64(d)), big.NewRat(den, 1))
			num = floorHalf(half).Int64() + rng.Int64N(3) - 1
			if num <= 0 || den <= num {
				continue
			}
		}
		want := floorHalf(new(big.Rat).Mul(big.NewRat(d, 1), big.NewRat(num, den)))
		if got := roundedShare(d, num, den); got != want.Int64() {
			t.Fatalf("roundedShare(%d, %d, %d) = %d, want %v", d, num, den, got, want)
		}
		if got := nearestShare(d, num, den, float64(num)/float64(den)); got != want.Int64() {
			t.Fatalf("nearestShare(%d, %d, %d) = %d, want %v", d, num, den, got, want)
		}
	}
}

// The crossing by Cramer's rule in fractions, rounded in fractions.
func TestCrossing_IsExactAtTheLimits(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	proper := 0
	for range rounds(50_000, 500_000) {
		a := extremePoint(rng, Point{})
		b, c := extremePoint(rng, a), extremePoint(rng, a)
		d := extremePoint(rng, c)
		o1, o2 := bigCross(a, b, c), bigCross(a, b, d)
		o3, o4 := bigCross(c, d, a), bigCross(c, d, b)
		want := o1.Sign()*o2.Sign() < 0 && o3.Sign()*o4.Sign() < 0
		p, got := crossing(a, b, c, d)
		if got != want {
			t.Fatalf("crossing(%v, %v, %v, %v) = %v, want %v", a, b, c, d, got, want)
		}
		if !want {
			continue
		}
		proper++
		// a + (b − a) · o3 / (o3 − o4)
		s := new(big.Rat).SetFrac(o3, new(big.Int).Sub(o3, o4))
		along := func(from, to int32) int64 {
			r := new(big.Rat).Mul(s, big.NewRat(int64(to)-int64(from), 1))
			return floorHalf(r.Add(r, big.NewRat(int64(from), 1))).Int64()
		}
		if x, y := along(a.X, b.X), along(a.Y, b.Y); int64(p.X) != x || int64(p.Y) != y {
			t.Fatalf("crossing(%v, %v, %v, %v) = %v, want %d, %d", a, b, c, d, p, x, y)
		}
		if q, _ := crossing(c, d, a, b); q != p {
			t.Fatalf("%v–%v and %v–%v cross at %v or %v, by who comes first", a, b, c, d, p, q)
		}
		if q, _ := crossing(b, a, d, c); q != p {
			t.Fatalf("%v–%v and %v–%v cross at %v or, run backwards, at %v", a, b, c, d, p, q)
		}
	}
	if proper < 1000 {
		t.Fatalf("only %d proper crossings drawn", proper)
	}
}

// The pixel [x−½, x+½) × [y−½, y+½), clipped against in fractions: the segment
// passes it if and only if some parameter lies within all four sides.
func TestInHotPixel_IsExactAtTheLimits(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	hits, touches := 0, 0
	check := func(a, b, c Point) (want bool) {
		got, want := inHotPixel(a, b, c), passesPixel(a, b, c)
		if got != want || inHotPixel(b, a, c) != want {
			t.Fatalf("inHotPixel(%v, %v, %v) = %v, want %v", a, b, c, got, want)
		}
		return want
	}
	for range rounds(50_000, 400_000) {
		a := extremePoint(rng, Point{})
		b := extremePoint(rng, a)
		// Points near the segment, and some exactly where it touches a corner.
		s := rng.Float64()
		c := Point{
			int32(math.Round(float64(a.X)+s*(float64(b.X)-float64(a.X)))) + int32(rng.IntN(3)) - 1,
			int32(math.Round(float64(a.Y)+s*(float64(b.Y)-float64(a.Y)))) + int32(rng.IntN(3)) - 1,
		}
		if within(a, b, c) && check(a, b, c) {
			hits++
		}
	}
	// Small ones, every one: corners are touched often.
	const n = 6
	var small []Point
	for i := range int32((n + 1) * (n + 1)) {
		small = append(small, Point{i / (n + 1), i % (n + 1)})
	}
	for _, a := range small {
		for _, b := range small {
			for _, c := range small {
				if within(a, b, c) {
					check(a, b, c)
					touches++
				}
			}
		}
	}
	if hits < 1000 || touches < 1000 {
		t.Fatalf("%d hits, %d small cases: too few to tell", hits, touches)
	}
}

// within reports whether c lies in the bounds of a segment, and is no end of it.
func within(a, b, c Point) bool {
	return a != b && c != a && c != b && c.X >= min(a.X, b.X) && c.X <= max(a.X, b.X) && c.Y >= min(a.Y, b.Y) && c.Y <= max(a.Y, b.Y)
}

// passesPixel clips the segment to the half-open pixel around c. In doubled
// coordinates the pixel is [2x−1, 2x+1) × [2y−1, 2y+1).
func passesPixel(a, b, c Point) bool {
	// The feasible parameters are an interval; each end is open or closed.
	type end struct {
		t    *big.Rat
		open bool
	}
	lo, hi := end{big.NewRat(0, 1), false}, end{big.NewRat(1, 1), false}
	for _, axis := range [2][3]int64{
		{2 * int64(a.X), 2 * (int64(b.X) - int64(a.X)), 2 * int64(c.X)},
		{2 * int64(a.Y), 2 * (int64(b.Y) - int64(a.Y)), 2 * int64(c.Y)},
	} {
		from, d, at := axis[0], axis[1], axis[2]
		if d == 0 {
			if from < at-1 || from >= at+1 {
				return false
			}
			continue
		}
		closed, open := end{big.NewRat(at-1-from, d), false}, end{big.NewRat(at+1-from, d), true}
		enter, leave := closed, open
		if d < 0 {
			enter, leave = open, closed
		}
		if k := enter.t.Cmp(lo.t); k > 0 || k == 0 && enter.open {
			lo = enter
		}
		if k := leave.t.Cmp(hi.t); k < 0 || k == 0 && leave.open {
			hi = leave
		}
	}
	k := lo.t.Cmp(hi.t)
	return k < 0 || k == 0 && !lo.open && !hi.open
}

// The largest picture that the grid holds, with areas that no rounding helps.
func TestAreas_AreExactAtTheLimits(t *testing.T) {
	for _, side := range []int32{20_000_000, maxSteps} { // 2 m, and all there is
		name := fmt.Sprintf("±%.1f mm", Point{side, 0}.MM().X)
		at := func(x, y int32) geometry.Point { return Point{x, y}.MM() }
		square := geometry.Path{geometry.Polygon(at(-side, -side), at(side, -side), at(side, side), at(-side, side))}
		slanted := geometry.Path{geometry.Polygon(at(-side, -side), at(side, side), at(-side, side))}
		corner := geometry.Path{geometry.Polygon(at(side, -side), at(side-1, -side), at(side, -side+1))}
		line := geometry.Path{geometry.Polygon(at(-side, side-1), at(side, side-1), at(side, side), at(-side, side))}
		m := build(t, layer(geometry.NonZero, square), layer(geometry.NonZero, slanted), layer(geometry.NonZero, line), layer(geometry.NonZero, corner))
		checkMap(t, m)
		whole := 8 * int64(side) * int64(side)
		sums := make([]int64, 4)
		for f := range m.NumFaces() {
			for _, l := range m.Cover(FaceID(f)) {
				sums[l] += m.Area2(FaceID(f))
			}
		}
		for l, want := range []int64{whole, whole / 2, 4 * int64(side), 1} {
			if sums[l] != want {
				t.Errorf("%s: layer %d has twice-area %d, want %d", name, l, sums[l], want)
			}
		}
		d := divided(m, topmost(m))
		checkDivision(t, m, d, whole)
		if got, want := d.Outline(0).Bounds(), square.Bounds(); !want.Encloses(got) {
			t.Errorf("%s: piece 0 reaches %v, beyond %v", name, got, want)
		}
	}
}

// Random chords from rim to rim: every face's area, summed, is the square's.
func TestBuild_ChordsAcrossTheWholeGrid(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	for _, side := range []int32{20_000_000, maxSteps} {
		var path geometry.Path
		for range 12 {
			var pts []geometry.Point
			for range 3 {
				along, edge := int32(rng.Int64N(2*int64(side)+1)-int64(side)), rng.IntN(4)
				p := Point{along, side}
				if edge&1 != 0 {
					p.Y = -side
				}
				if edge&2 != 0 {
					p.X, p.Y = p.Y, p.X
				}
				pts = append(pts, p.MM())
			}
			path = append(path, geometry.Polygon(pts...))
		}
		s := Point{side, side}.MM().X
		square := geometry.RectXYWH(-s, -s, 2*s, 2*s).Path()
		m := build(t, layer(geometry.NonZero, square), layer(geometry.EvenOdd, path))
		checkMap(t, m)
		var sum int64
		for f := range m.NumFaces() {
			sum += m.Area2(FaceID(f))
		}
		if want := 8 * int64(side) * int64(side); sum != want {
			t.Errorf("±%v mm: faces sum to %d, want %d", s, sum, want)
		}
		checkCovers(t, rng, m, []Layer{layer(geometry.NonZero, square), layer(geometry.EvenOdd, path)}, 200)
	}
}

// What is written of a vertex has four decimals and is the vertex when read again.
func TestPoint_IsExactWithFourDecimals(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 6))
	for range rounds(50_000, 500_000) {
		p := extremePoint(rng, Point{})
		text := strconv.FormatFloat(p.MM().X, 'f', 4, 64)
		read, err := strconv.ParseFloat(text, 64)
		if err != nil || read != p.MM().X {
			t.Fatalf("%v is written %s and read %v", p, text, read)
		}
		if q, ok := toGrid(p.MM()); !ok || q != p {
			t.Fatalf("%v comes back as %v", p, q)
		}
	}
}

// Two metres either way, at the resolution of a step, is the promise; the grid
// itself reaches 53.7 m.
func TestBuild_HoldsWhatTheGridReaches(t *testing.T) {
	edge := Point{maxSteps, maxSteps}.MM().X
	for _, at := range []float64{2000, edge} {
		if _, err := Build(context.Background(), []Layer{rect(at-1, -at, 1, 1)}, Options{}); err != nil {
			t.Errorf("a square at %v: %v", at, err)
		}
	}
}

func TestBuild_RefusesWhatTheGridCannotHold(t *testing.T) {
	edge := Point{maxSteps, maxSteps}.MM().X
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e30, math.MaxFloat64, edge + 0.00006, -edge - 0.00006} {
		straight := rect(0, 0, 1, 1)
		straight.Figures[0].Path[0].Segments[1].End.Y = v
		start := rect(0, 0, 1, 1)
		start.Figures[0].Path[0].Start.X = v
		curve := func(c1, c2, end geometry.Point) Layer {
			return layer(geometry.NonZero, geometry.Path{{Segments: []geometry.Segment{geometry.CubicTo(c1, c2, end)}}})
		}
		bad, good := geometry.Pt(v, 1), geometry.Pt(1, 2)
		for name, l := range map[string]Layer{
			"an end": straight, "a start": start, "a curve's end": curve(good, good, bad),
			"its clip's end": {Figures: []Figure{{Path: rect(0, 0, 1, 1).Figures[0].Path, Clips: []*Clip{{Figures: straight.Figures}}}}},
		} {
			_, err := Build(context.Background(), []Layer{rect(0, 0, 1, 1), l}, Options{})
			want := 1
			if name == "its clip's end" {
				want = -1
			}
			var re *RangeError
			if !errors.As(err, &re) || re.Layer != want || re.Figure != 0 || re.At.X != v && re.At.Y != v && !math.IsNaN(v) {
				t.Errorf("%s at %g: got %v, want a *RangeError in layer %d that says where", name, v, err, want)
			}
		}
		// Controls may lie anywhere as long as the curve does not leave the grid.
		for name, l := range map[string]Layer{"first": curve(bad, good, good), "second": curve(good, bad, good)} {
			_, err := Build(context.Background(), []Layer{l}, Options{})
			var re *RangeError
			if err != nil && !errors.As(err, &re) || err == nil && math.Abs(v) > 1e9 {
				t.Errorf("a curve with its %s control at %g: %v", name, v, err)
			}
		}
	}
}

func TestBuild_NoSagittaIsTheUsualOne(t *testing.T) {
	disc := layer(geometry.NonZero, geometry.Path{geometry.Ellipse(geometry.Pt(0, 0), 10, 10)})
	want := build(t, disc).NumEdges()
	for _, s := range []float64{0, -1, math.NaN(), defaultSagittaMM} {
		m, err := Build(context.Background(), []Layer{disc}, Options{SagittaMM: s})
		if err != nil || m.NumEdges() != want {
			t.Errorf("sagitta %v: %d edges, want %d (%v)", s, m.NumEdges(), want, err)
		}
	}
}

// A star's sides all cross: within the budget it is built, past it there is an
// error that says where.
func TestBuild_StopsAtTheCrossingBudget(t *testing.T) {
	const spikes = 301
	crossings := spikes * (spikes - 3) / 2
	var ce *ComplexityError
	_, err := Build(context.Background(), star(spikes), Options{MaxCrossings: crossings / 4})
	if !errors.As(err, &ce) {
		t.Fatalf("got %v, want a *ComplexityError", err)
	}
	if ce.At.Len() > 50.001 || ce.Budget != crossings/4 || !strings.Contains(ce.Error(), fmt.Sprint(crossings/4)) {
		t.Errorf("the error points at %v, budget %d: %v", ce.At, ce.Budget, ce)
	}
	if _, err := Build(context.Background(), star(spikes), Options{MaxCrossings: crossings}); err != nil {
		t.Errorf("within the budget: %v", err)
	}
}

// Every segment passes through the pixels of all the vertices of those that
// nearly coincide with it, though few of them cross.
func TestBuild_StopsAtTheBudgetOfHits(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 1))
	var path geometry.Path
	for range 60 {
		path = append(path, poly(0, rng.Float64()*0.0004, 100, 0.0004*rng.Float64(), 40+rng.Float64()*20, 0.0004*rng.Float64()))
	}
	layers := []Layer{layer(geometry.EvenOdd, path)}
	in, err := quantise(context.Background(), layers, defaultSagittaMM, new(scratch))
	if err != nil {
		t.Fatal(err)
	}
	crossings := 0
	for i, s := range in.segments {
		for _, o := range in.segments[i+1:] {
			if _, ok := crossing(s.a, s.b, o.a, o.b); ok {
				crossings++
			}
		}
	}
	var ce *ComplexityError
	if _, err := Build(context.Background(), layers, Options{MaxCrossings: crossings + 1}); !errors.As(err, &ce) {
		t.Errorf("%d crossings within the budget: got %v, want a *ComplexityError for the hits", crossings, err)
	}
	if _, err := Build(context.Background(), layers, Options{}); err != nil {
		t.Errorf("the usual budget: %v", err)
	}
}

// Squares that lie over one spot, each a little aside, make about as many faces
// as the square of their number, and each of these has a winding state of its own.
func TestBuild_StopsAtTheBudgetOfWindings(t *testing.T) {
	var layers []Layer
	for i := range 40 {
		layers = append(layers, rect(float64(i)*0.1, float64(i*7%40)*0.1, 20, 20))
	}
	in, err := quantise(context.Background(), layers, defaultSagittaMM, new(scratch))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		limit int
		stops bool
	}{{5000, true}, {maxWindings, false}} {
		deltas := newDeltas(len(in.terms))
		arr, err := snap(context.Background(), in, deltas, defaultMaxCrossings, new(scratch))
		if err != nil {
			t.Fatal(err)
		}
		pl := &plane{limit: c.limit}
		if err := pl.take(context.Background(), arr, new(scratch)); err != nil {
			t.Fatal(err)
		}
		_, err = pl.sweep(context.Background(), deltas, new(scratch))
		var ce *ComplexityError
		if stops := errors.As(err, &ce); stops != c.stops || stops && ce.Budget != c.limit || !stops && err != nil {
			t.Errorf("a limit of %d entries: %v", c.limit, err)
		}
	}
}

// patience is a context that ends after it has been asked so many times; it
// notes who asked.
type patience struct {
	context.Context
	mu    sync.Mutex
	left  int
	asked map[string]int
}

func endsAfter(times int) *patience {
	return &patience{Context: context.Background(), left: times, asked: map[string]int{}}
}

func (p *patience) Err() error {
	p.mu.Lock()
	defer p.mu.Unlock()
	pcs := make([]uintptr, 8)
	frames := runtime.CallersFrames(pcs[:runtime.Callers(2, pcs)])
	for f, more := frames.Next(); ; f, more = frames.Next() {
		// Whoever counts its work with a pace asks through it.
		if name := f.Function[strings.LastIndex(f.Function, "/")+1:]; !strings.HasPrefix(name, "planar.(*pace).") || !more {
			p.asked[name]++
			break
		}
	}
	if p.left--; p.left < 0 {
		return context.Canceled
	}
	return nil
}

// Whenever the context ends, Build and Smooth end with it: every pass asks again
// and again, the more the more it has to do, and heeds the answer.
func TestBuild_EveryPassListensToItsContext(t *testing.T) {
	layers := slices.Concat(star(251), layersOf(motif.Sunburst(600, 10, 0.5)))
	for i := range 2 { // of many chords, beside the rest
		layers = append(layers, layer(geometry.NonZero, blob(rand.New(rand.NewPCG(2, 2)), 20_000, 200+100*float64(i), 0, 20)))
	}
	curved := build(t, append(star(101), scales(16)...)...)
	pass := func(ctx context.Context) error {
		if _, err := Build(ctx, layers, Options{}); err != nil {
			return err
		}
		return divided(curved, topmost(curved)).Smooth(ctx)
	}
	patient := endsAfter(math.MaxInt)
	if err := pass(patient); err != nil {
		t.Fatal(err)
	}
	for _, who := range []string{
		"(*chords).cut", "(*filling).list", "(*index).crossings", "(*fan).crossings",
		"sortKeyed", "(*arrangement).sorted", "(*router).route.func1",
		"(*sweeper).run", "(*Map).nameFaces", "(*smoother).keepChords.func1",
	} {
		if patient.asked["planar."+who] < 2 {
			t.Errorf("%s asks %d times: %v", who, patient.asked["planar."+who], patient.asked)
		}
	}
	asked := math.MaxInt - patient.left
	for times := 0; times < asked; times += 1 + asked/rounds(10, 50) {
		if err := pass(endsAfter(times)); !errors.Is(err, context.Canceled) {
			t.Errorf("ended at question %d of %d: %v, want context.Canceled", times+1, asked, err)
		}
	}
	if _, err := Build(endsAfter(0), nil, Options{}); !errors.Is(err, context.Canceled) {
		t.Errorf("nothing to do, ended before: %v, want context.Canceled", err)
	}
}
