package layering

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
)

// A schedule draws everything once, each after what it lies over, and one kind at
// a time; the better of the four needs hardly more goes than the fewest that
// there are, which small pictures let one find by trying all.
func TestSchedule_NeedsHardlyMoreThanTheFewest(t *testing.T) {
	const seed, rounds = 8, 300
	r := rand.New(rand.NewPCG(seed, 0))
	needed, least := 0, 0
	for n := range rounds {
		bunches := make([]bunch, 6+r.IntN(6))
		for i := range bunches {
			bunches[i] = bunch{items: []int{i}, key: layerKey{label: string(rune('a' + r.IntN(4)))}}
		}
		after := make([][]int, len(bunches))
		for u := range bunches {
			for v := u + 1; v < len(bunches); v++ {
				if bunches[u].key != bunches[v].key && r.IntN(5) == 0 {
					after[u] = append(after[u], v)
				}
			}
		}
		best := len(bunches)
		for _, backward := range []bool{false, true} {
			for _, share := range []bool{false, true} {
				order := schedule(bunches, after, backward, share)
				if !drawsAll(bunches, after, order) {
					t.Fatalf("seed %d, picture %d, backward %v, share %v: %v of %+v, after %v", seed, n, backward, share, order, bunches, after)
				}
				best = min(best, len(order))
			}
		}
		needed, least = needed+best, least+fewest(bunches, after)
	}
	t.Logf("figures: %d goes where %d are the fewest", needed, least)
	if float64(needed) > 1.01*float64(least) {
		t.Errorf("%d goes, the fewest are %d", needed, least)
	}
}

// What would take too long stays in the order of the file.
func TestReorder_KnowsItsLimits(t *testing.T) {
	drawn := func(shapes, colours int) *drawing {
		d := &drawing{ctx: t.Context()}
		for i := range shapes {
			x, y := float64(i%100), float64(i/100)
			p := geometry.Path{geometry.Polygon(geometry.Pt(x, y), geometry.Pt(x+1, y), geometry.Pt(x+1, y+1))}
			c := i % colours * 20
			d.areas = append(d.areas, Area{Shape: job.Shape{Path: p}, Bounds: p.Bounds(), Colour: colour.RGB{R: uint8(c >> 16), G: uint8(c >> 8), B: uint8(c)}, Alpha: 1})
		}
		return d
	}
	for _, c := range []struct {
		shapes, colours int
		ok              bool
	}{{600, maxKinds, true}, {600, maxKinds + 1, false}, {maxReordered, 2, true}, {maxReordered + 1, 2, false}} {
		list, ok := drawn(c.shapes, c.colours).reorder()
		shapes := 0
		for _, l := range list {
			shapes += len(l.shapes)
		}
		if ok != c.ok || ok && shapes != c.shapes || !ok && list != nil {
			t.Errorf("%d shapes in %d colours: %v, %d layers of %d shapes", c.shapes, c.colours, ok, len(list), shapes)
		}
	}
	d := drawn(100, 2)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	d.ctx = ctx
	if _, ok := d.reorder(); ok {
		t.Error("went on after it was cancelled")
	}
}

// Every place that a shape covers lies in a cell that it marks, and a thin line
// marks few others.
func TestGrid_MarksTheCellsThatAShapeTouches(t *testing.T) {
	const seed = 6
	r := rand.New(rand.NewPCG(seed, 0))
	some := func() (out []float64) {
		for range 60 {
			out = append(out, r.Float64()*100)
		}
		return lines(append(out, 0, 100))
	}
	for n := range 60 {
		g := gridOf(some(), some())
		pt := func() geometry.Point { return geometry.Pt(r.Float64()*100, r.Float64()*100) }
		a, b := pt(), pt()
		side := geometry.Pt(b.Y-a.Y, a.X-b.X).Mul(0.1 / b.Sub(a).Len())
		for name, p := range map[string]geometry.Path{
			"triangle": {geometry.Polygon(pt(), pt(), pt())},
			"ellipse":  {geometry.Ellipse(geometry.Pt(50, 50), 1+r.Float64()*49, 1+r.Float64()*49)},
			"line":     {geometry.Polygon(a, b, b.Add(side), a.Add(side))},
		} {
			marked := map[int]bool{}
			g.mark(&Area{Shape: job.Shape{Path: p}, Bounds: p.Bounds()})
			g.marked(func(cell, length int32) {
				for c := cell; c < cell+length; c++ {
					if marked[int(c)] {
						t.Fatalf("seed %d, picture %d: %s: a cell is there twice", seed, n, name)
					}
					marked[int(c)] = true
				}
			})
			box := p.Bounds()
			for range 300 {
				q := geometry.Pt(box.Min.X+r.Float64()*box.Width(), box.Min.Y+r.Float64()*box.Height())
				if name == "line" {
					q = a.Lerp(b, r.Float64()).Add(side.Mul(0.5))
				}
				if cell := lineAt(g.ys, q.Y)*gridSide + lineAt(g.xs, q.X); !marked[cell] && windings(p, q) != 0 {
					t.Fatalf("seed %d, picture %d: %s %v covers %v, whose cell is not marked", seed, n, name, p, q)
				}
			}
			if name == "line" && len(marked) > 3*(len(g.xs)+len(g.ys)) {
				t.Fatalf("seed %d, picture %d: a line marks %d cells of %d × %d", seed, n, len(marked), len(g.xs), len(g.ys))
			}
		}
	}
}

// Past its budget a grid of heights knows nothing, so that shapes join the layer
// drawn last or none.
func TestHeights_KnowNothingPastTheirBudget(t *testing.T) {
	unit := geometry.RectXYWH(0, 0, 1, 1)
	h := &heights{box: geometry.RectXYWH(0, 0, 100, 100), cells: make([]int32, heightsSide*heightsSide), budget: 1000}
	h.raise(unit, 3)
	if got := h.top(unit, 9); got != 3 {
		t.Errorf("where layer 3 is: %d", got)
	}
	if got := h.top(geometry.RectXYWH(50, 50, 1, 1), 9); got != 0 {
		t.Errorf("where none is: %d", got)
	}
	if got := h.top(h.box, 9); got != 9 {
		t.Errorf("past the budget: %d", got)
	}
	if got := h.top(unit, 9); got != 9 {
		t.Errorf("and ever after: %d", got)
	}
}

func drawsAll(bunches []bunch, after [][]int, order [][]int) bool {
	at, count := make([]int, len(bunches)), 0
	for k, drawn := range order {
		for _, u := range drawn {
			if bunches[u].key != bunches[drawn[0]].key {
				return false
			}
			at[u] = k
			count++
		}
	}
	for u, list := range after {
		for _, v := range list {
			if at[u] >= at[v] {
				return false
			}
		}
	}
	return count == len(bunches)
}

// fewest tries every choice of the next kind, breadth first.
func fewest(bunches []bunch, after [][]int) int {
	before := make([]int, len(bunches)) // a bit for each that must be drawn first
	for u, list := range after {
		for _, v := range list {
			before[v] |= 1 << u
		}
	}
	seen := map[int]bool{0: true}
	all := 1<<len(bunches) - 1
	for goes, reached := 0, []int{0}; ; goes++ {
		var next []int
		for _, done := range reached {
			if done == all {
				return goes
			}
			for i := range bunches {
				with := done
				for k := range bunches {
					if bunches[k].key == bunches[i].key && before[k]&^done == 0 {
						with |= 1 << k
					}
				}
				if !seen[with] {
					seen[with] = true
					next = append(next, with)
				}
			}
		}
		reached = next
	}
}

// windings counts how often a path turns around a point, by adding up angles:
// slow and obvious.
func windings(p geometry.Path, at geometry.Point) int {
	turn := 0.0
	for _, c := range p.Flatten(1e-3) {
		from := c.Start.Sub(at)
		for _, s := range append(c.Segments[:len(c.Segments):len(c.Segments)], geometry.LineTo(c.Start)) {
			to := s.End.Sub(at)
			turn += math.Atan2(from.Cross(to), from.Dot(to))
			from = to
		}
	}
	return int(math.Round(turn / (2 * math.Pi)))
}
