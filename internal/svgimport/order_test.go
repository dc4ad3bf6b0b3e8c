package svgimport

import (
	"context"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/job"
)

// mixAt is the colour at a place over white, with everything beneath: of an
// opacity group only the topmost layer counts.
func mixAt(r *Result, p geometry.Point) [3]float64 {
	c := [3]float64{255, 255, 255}
	for i := 0; i < len(r.Layers); {
		k := i + 1
		for k < len(r.Layers) && r.Layers[i].Group != 0 && r.Layers[k].Group == r.Layers[i].Group {
			k++
		}
		for n := k - 1; n >= i; n-- {
			l := r.Layers[n]
			hit := false
			for _, s := range l.Content.(job.Outlines).Shapes {
				if s.Path.Bounds().Contains(p) && covers(s, p) {
					hit = true
					break
				}
			}
			if hit {
				for x, v := range [3]uint8{l.Colour.R, l.Colour.G, l.Colour.B} {
					c[x] = l.Alpha*float64(v) + (1-l.Alpha)*c[x]
				}
				break
			}
		}
		i = k
	}
	return c
}

// Another order of the shapes is the same picture at every place: opaque,
// see-through and grouped ones, with holes and clips.
func TestReorder_KeepsThePicture(t *testing.T) {
	shorter := 0
	seeds := rounds(12, 3)
	for seed := range uint64(seeds) {
		r := rand.New(rand.NewPCG(seed, 1))
		var b strings.Builder
		b.WriteString(`<clipPath id="c"><circle cx="50" cy="50" r="40"/></clipPath>`)
		shape := func() {
			colour := []string{"#d22", "#2a2", "#22d", "#111"}[r.IntN(4)]
			x, y, s := r.Float64()*90, r.Float64()*90, 2+r.Float64()*8
			more := ""
			switch r.IntN(12) {
			case 0:
				more = ` opacity=".5"`
			case 1:
				more = ` clip-path="url(#c)"`
			}
			switch r.IntN(4) {
			case 0:
				fmt.Fprintf(&b, `<circle cx="%.2f" cy="%.2f" r="%.2f" fill="%s"%s/>`, x, y, s/2, colour, more)
			case 1:
				fmt.Fprintf(&b, `<path d="M%.2f %.2fl%.2f %.2fl%.2f %.2fz" fill="%s"%s/>`, x, y, s, s*r.Float64(), -s*r.Float64(), s, colour, more)
			case 2:
				fmt.Fprintf(&b, `<path d="M%.2f %.2fh%.2fv%.2fh%.2fz" fill="none" stroke="%s"%s/>`, x, y, s, s, -s, colour, more)
			default:
				fmt.Fprintf(&b, `<path d="M%.2f %.2fL%.2f %.2f" stroke-width=".8" stroke="%s"%s/>`, x, y, x+r.Float64()*20, y+r.Float64()*20, colour, more)
			}
		}
		for i := range 400 {
			if i%30 == 7 {
				b.WriteString(`<g opacity=".6">`)
				shape()
				shape()
				shape()
				b.WriteString(`</g>`)
			}
			shape()
		}
		svg := page100(b.String())
		plain, err := Import(context.Background(), strings.NewReader(svg), Options{Groups: GroupsKept})
		if err != nil {
			t.Fatal(err)
		}
		again := read(t, svg)
		if len(again.Layers) < len(plain.Layers) {
			shorter++
		}
		for range 300 {
			p := geometry.Pt(r.Float64()*100, r.Float64()*100)
			if a, b := mixAt(plain, p), mixAt(again, p); a != b {
				t.Fatalf("seed %d: at %v %v, in the file's order %v\n%s", seed, p, b, a, svg)
			}
		}
	}
	if shorter < seeds {
		t.Errorf("only %d lists became shorter", shorter)
	}
}

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
	drawn := func(shapes, colours int) *importer {
		t.Helper()
		var b strings.Builder
		for i := range shapes {
			fmt.Fprintf(&b, `<path fill="#%06x" d="M%d %dh1v1z"/>`, i%colours*20, i%100, i/100)
		}
		doc, err := parseTree(context.Background(), []byte(page100(b.String())), 512)
		if err != nil {
			t.Fatal(err)
		}
		im := newImporter(context.Background(), Options{}.withDefaults(), doc)
		if err := im.root(readPage(doc.root, initialStyle())); err != nil {
			t.Fatal(err)
		}
		return im
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
	im := drawn(100, 2)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	im.ctx = ctx
	if _, ok := im.reorder(); ok {
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
		g := grid{some(), some()}
		pt := func() geometry.Point { return geometry.Pt(r.Float64()*100, r.Float64()*100) }
		a, b := pt(), pt()
		side := geometry.Pt(b.Y-a.Y, a.X-b.X).Mul(0.1 / b.Sub(a).Len())
		for name, p := range map[string]geometry.Path{
			"triangle": {geometry.Polygon(pt(), pt(), pt())},
			"ellipse":  {geometry.Ellipse(geometry.Pt(50, 50), 1+r.Float64()*49, 1+r.Float64()*49)},
			"line":     {geometry.Polygon(a, b, b.Add(side), a.Add(side))},
		} {
			marked := map[int]bool{}
			g.mark(&painted{shape: job.Shape{Path: p}, bounds: p.Bounds()}, func(cell int) { marked[cell] = true })
			box := p.Bounds()
			for range 300 {
				q := geometry.Pt(box.Min.X+r.Float64()*box.Width(), box.Min.Y+r.Float64()*box.Height())
				if name == "line" {
					q = a.Lerp(b, r.Float64()).Add(side.Mul(0.5))
				}
				if cell := lineAt(g.ys, q.Y)*gridSide + lineAt(g.xs, q.X); !marked[cell] && covers(job.Shape{Path: p}, q) {
					t.Fatalf("seed %d, picture %d: %s %s covers %v, whose cell is not marked", seed, n, name, text(p), q)
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

// Outlines that alternate with fills, each over the one before it, are two
// layers where they lie apart; what lies over each other stays in order.
func TestReorder_OutlinesAndFills(t *testing.T) {
	var b strings.Builder
	for i := range 100 {
		fmt.Fprintf(&b, `<path d="M%d %dh4v4h-4z" fill="#%02x0" stroke="#000" stroke-width=".5"/>`, i%20*5, i/20*5+i%20/10*40, i%50)
	}
	res := read(t, page100(b.String()))
	// Fifty fills in fifty colours, and one outline.
	if n := len(res.Layers); n > 52 {
		t.Errorf("%d layers: %s", n, layerNames(res))
	}
}
