package cutfile

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"abut/geometry"
)

// nested draws up to n contours that lie beside and in one another, as pieces and
// their holes do, in any order; depth says how deep each lies.
func nested(t *rapid.T, n int) (out []Contour) {
	type room struct{ x, y, r int64 }
	rooms := []room{{500_000, 500_000, 450_000}}
	for range n {
		k := rapid.IntRange(0, len(rooms)-1).Draw(t, "room")
		m := rooms[k]
		if m.r < 4000 {
			continue
		}
		// A contour in a quarter of the room; the room's other three stay free.
		q, half := rapid.IntRange(0, 3).Draw(t, "quarter"), m.r/2
		rooms[k] = rooms[len(rooms)-1]
		rooms = rooms[:len(rooms)-1]
		for i := range 4 {
			c := room{m.x + half*int64(2*(i%2)-1), m.y + half*int64(2*(i/2)-1), half - 700}
			if i != q {
				rooms = append(rooms, c)
				continue
			}
			out = append(out, shape(t, c.x, c.y, c.r))
			rooms = append(rooms, room{c.x, c.y, c.r / 2}) // holds what comes to lie in it
		}
	}
	order := rapid.Permutation(out).Draw(t, "order")
	return order
}

// shape is a square, a disc or a triangle that holds the middle half of its room.
func shape(t *rapid.T, x, y, r int64) Contour {
	at := func(dx, dy float64) Point {
		return Point{Steps(x) + Steps(dx*float64(r)), Steps(y) + Steps(dy*float64(r))}
	}
	switch rapid.IntRange(0, 2).Draw(t, "shape") {
	case 0:
		return Contour{Start: at(-1, -1), Segments: []Segment{{End: at(1, -1)}, {End: at(1, 1)}, {End: at(-1, 1)}}}
	case 1:
		return Contour{Start: at(-0.99, -0.97), Segments: []Segment{{End: at(0.98, -0.95)}, {End: at(0.9, 0.97)}, {End: at(-1, 0.91)}}}
	}
	const k = 0.5523
	return Contour{Start: at(1, 0), Segments: []Segment{
		{C1: at(1, k), C2: at(k, 1), End: at(0, 1), Cubic: true}, {C1: at(-k, 1), C2: at(-1, k), End: at(-1, 0), Cubic: true},
		{C1: at(-1, -k), C2: at(-k, -1), End: at(0, -1), Cubic: true}, {C1: at(k, -1), C2: at(1, -k), End: at(1, 0), Cubic: true}}}
}

func travel(cs []Contour) (sum float64) {
	for i := 1; i < len(cs); i++ {
		sum += distance(cs[i-1].Start, cs[i].Start)
	}
	return sum
}

// corners are the ends of all segments, in an order of their own.
func corners(c Contour) []Point {
	var out []Point
	for _, s := range closing(c) {
		out = append(out, s.End)
	}
	slices.SortFunc(out, func(a, b Point) int {
		if a.X != b.X {
			return int(a.X - b.X)
		}
		return int(a.Y - b.Y)
	})
	return out
}

func TestInOrder_HoldsAndMovesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := nested(t, 40)
		out := inOrder(context.Background(), in)
		if len(out) != len(in) {
			t.Fatalf("%d contours of %d", len(out), len(in))
		}
		for i, a := range out {
			box := geometry.Path{a.MM()}.Bounds()
			for _, b := range out[i+1:] {
				// Here what lies in another lies in its bounds, and boxes do not cross.
				if box.Encloses(geometry.Path{b.MM()}.Bounds()) {
					t.Fatalf("what is cut as number %d holds a later one", i+1)
				}
			}
		}
		// Every contour comes back once, through all its corners, and one more at most
		// that lies exactly on a side.
		left := slices.Clone(in)
		for _, c := range out {
			k := slices.IndexFunc(left, func(d Contour) bool {
				have := corners(c)
				for _, p := range corners(d) {
					if i := slices.Index(have, p); i < 0 {
						return false
					} else {
						have = slices.Delete(have, i, i+1)
					}
				}
				return len(have) == 0 || len(have) == 1 && have[0] == c.Start && liesOn(have[0], d)
			})
			if k < 0 {
				t.Fatalf("%v is none of those that came in", c)
			}
			left = slices.Delete(left, k, k+1)
		}
	})
}

// liesOn reports whether a point lies exactly on one of the straight sides.
func liesOn(p Point, c Contour) bool {
	from := c.Start
	for _, s := range closing(c) {
		a, b := Point{s.End.X - from.X, s.End.Y - from.Y}, Point{p.X - from.X, p.Y - from.Y}
		if !s.Cubic && a.X*b.Y == a.Y*b.X && b.X*(b.X-a.X) <= 0 && b.Y*(b.Y-a.Y) <= 0 {
			return true
		}
		from = s.End
	}
	return false
}

// Against the best of all orders, for few contours side by side.
func TestInOrder_TravelsLittleMoreThanTheBestOrder(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	worst := 0.0
	for range 30 {
		var in []Contour
		for range 7 {
			x, y := Steps(r.IntN(1_000_000)), Steps(r.IntN(1_000_000))
			// Too small for their starts to matter.
			in = append(in, Contour{Start: Point{x, y}, Segments: []Segment{{End: Point{x + 2, y}}, {End: Point{x + 2, y + 2}}, {End: Point{x, y + 2}}}})
		}
		best := math.Inf(1)
		permute(in, 0, func(order []Contour) { best = math.Min(best, travel(order)) })
		worst = math.Max(worst, travel(inOrder(context.Background(), in))/best)
	}
	if worst > 1.1 {
		t.Errorf("%.3f of the shortest way", worst)
	}
}

func permute(cs []Contour, k int, f func([]Contour)) {
	if k == len(cs) {
		f(cs)
		return
	}
	for i := k; i < len(cs); i++ {
		cs[k], cs[i] = cs[i], cs[k]
		permute(cs, k+1, f)
		cs[k], cs[i] = cs[i], cs[k]
	}
}

func TestGrid_FindsTheNearest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		coord := rapid.Int64Range(-50, 50)
		point := func() Point { return Point{Steps(coord.Draw(t, "x")), Steps(coord.Draw(t, "y"))} }
		all := make([][]place, rapid.IntRange(1, 20).Draw(t, "n"))
		for i := range all {
			for range rapid.IntRange(1, 3).Draw(t, "places") {
				all[i] = append(all[i], place{Point: point()})
			}
		}
		g := newGrid(all)
		left := map[int]bool{}
		for i := range all {
			g.add(i, all[i])
			left[i] = true
		}
		for range all {
			from := point()
			best, of := math.Inf(1), -1
			for i := range all {
				for _, p := range all[i] {
					if d := distance(from, p.Point); left[i] && d < best {
						best, of = d, i
					}
				}
			}
			if got, at := g.take(from); got != of || distance(from, at.Point) != best {
				t.Fatalf("%d at %v, want %d %g away from %v", got, at, of, best, from)
			}
			delete(left, of)
		}
	})
}

func TestStarts_AreOnStraightRuns(t *testing.T) {
	mm := func(x, y float64) Point { return Point{Steps(x * StepsPerMM), Steps(y * StepsPerMM)} }
	square := Contour{Start: mm(0, 0), Segments: []Segment{{End: mm(20, 0)}, {End: mm(20, 10)}, {End: mm(0, 10)}}}
	for _, p := range starts(square) {
		if !p.within || distance(p.Point, mm(10, 5)) < distance(mm(0, 0), mm(4, 0)) {
			t.Errorf("a rectangle begins at %v", p)
		}
	}
	// A stadium: two straight sides that go over into half circles of two curves each.
	const k = 0.5523 * 5
	stadium := Contour{Start: mm(5, 0), Segments: []Segment{
		{End: Point{mm(15, 0).X + 1, 0}}, // of a length without a grid point in its middle
		{C1: mm(15+k, 0), C2: mm(20, 5-k), End: mm(20, 5), Cubic: true}, {C1: mm(20, 5+k), C2: mm(15+k, 10), End: mm(15, 10), Cubic: true}, {End: mm(5, 10)},
		{C1: mm(5-k, 10), C2: mm(0, 5+k), End: mm(0, 5), Cubic: true}, {C1: mm(0, 5-k), C2: mm(5-k, 0), End: mm(5, 0), Cubic: true}}}
	for _, p := range starts(stadium) {
		if p.Y != 0 && p.Y != mm(0, 10).Y && p.X != 0 && p.X != mm(20, 0).X {
			t.Errorf("a stadium begins at %v", p)
		}
	}
	// With a corner and a curve, it is not the corner.
	drop := Contour{Start: mm(0, 0), Segments: []Segment{
		{C1: mm(8, 4), C2: mm(8, 12), End: mm(0, 12), Cubic: true}, {C1: mm(-8, 12), C2: mm(-8, 4), End: mm(0, 0), Cubic: true}}}
	if got := starts(drop); len(got) != 1 || got[0].Point != mm(0, 12) {
		t.Errorf("a drop begins at %v", got)
	}
	// Where there are corners only, and no grid point between them, at one of them.
	prime := Contour{Start: Point{0, 0}, Segments: []Segment{{End: Point{10007, 3}}, {End: Point{4, 20011}}}}
	for _, p := range starts(prime) {
		if !slices.Contains(corners(prime), p.Point) {
			t.Errorf("a start at %v, beside the line", p)
		}
	}
}
