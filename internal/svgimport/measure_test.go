package svgimport

import (
	"cmp"
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/job"
)

// read imports a hand-written picture and fails the test on an error.
func read(t *testing.T, svg string) *Result {
	t.Helper()
	res, err := Import(context.Background(), strings.NewReader(svg), Options{})
	if err != nil {
		t.Fatalf("import: %v\n%s", err, svg)
	}
	return res
}

// rounds is how often a test tries something: seldom in quick tests.
func rounds(all, quick int) int {
	if testing.Short() {
		return quick
	}
	return all
}

// page wraps elements in a root of 100 × 100 units.
func page100(inner string) string {
	return `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" viewBox="0 0 100 100">` + inner + `</svg>`
}

// shapes returns all shapes of a result, bottom first.
func shapes(r *Result) []job.Shape {
	var out []job.Shape
	for _, l := range r.Layers {
		out = append(out, l.Content.(job.Outlines).Shapes...)
	}
	return out
}

// only returns the one shape of a one-shape picture.
func only(t *testing.T, svg string) job.Shape {
	t.Helper()
	s := shapes(read(t, svg))
	if len(s) != 1 {
		t.Fatalf("%d shapes instead of 1:\n%s", len(s), svg)
	}
	return s[0]
}

// crossing is where a horizontal line meets an outline.
type crossing struct {
	x   float64
	dir int
}

func crossings(p geometry.Path, y float64) []crossing {
	var out []crossing
	edge := func(a, b geometry.Point) {
		if (a.Y <= y) == (b.Y <= y) {
			return
		}
		dir := 1
		if a.Y > b.Y {
			dir = -1
		}
		out = append(out, crossing{a.X + (b.X-a.X)*(y-a.Y)/(b.Y-a.Y), dir})
	}
	for _, c := range p {
		from := c.Start
		for _, s := range c.Segments {
			edge(from, s.End)
			from = s.End
		}
		edge(from, c.Start)
	}
	return out
}

// fillArea measures what a path covers under a rule by scan lines between the
// heights of its vertices: slow, obvious, exact for polygons that do not cross
// themselves, else good to about 1e-6 of the height squared.
func fillArea(p geometry.Path, rule geometry.FillRule) float64 {
	flat := p.Flatten(1e-4)
	var ys []float64
	for _, c := range flat {
		ys = append(ys, c.Start.Y)
		for _, s := range c.Segments {
			ys = append(ys, s.End.Y)
		}
	}
	slices.Sort(ys)
	sum := 0.0
	for k := 1; k < len(ys); k++ {
		slab := ys[k] - ys[k-1]
		lines := math.Ceil(slab / (ys[len(ys)-1] - ys[0]) * 4000)
		for i := 0.5; i < lines; i++ {
			sum += covered(flat, rule, ys[k-1]+i*slab/lines) * slab / lines
		}
	}
	return sum
}

// covered is the length that a horizontal line has inside the path.
func covered(flat geometry.Path, rule geometry.FillRule, y float64) float64 {
	w, sum := 0, 0.0
	cs := crossings(flat, y)
	slices.SortFunc(cs, func(a, b crossing) int { return cmp.Compare(a.x, b.x) })
	for k, c := range cs {
		if k > 0 && rule.Encloses(w) {
			sum += c.x - cs[k-1].x
		}
		w += c.dir
	}
	return sum
}

// winding returns the winding number of a flattened path around p.
func winding(flat geometry.Path, p geometry.Point) int {
	w := 0
	for _, c := range crossings(flat, p.Y) {
		if c.x > p.X {
			w += c.dir
		}
	}
	return w
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.9g, want %.9g (off by %.3g)", what, got, want, got-want)
	}
}

func nearPoint(t *testing.T, what string, got, want geometry.Point, tolerance float64) {
	t.Helper()
	if !(got.Sub(want).Len() <= tolerance) {
		t.Errorf("%s: got %v, want %v", what, got, want)
	}
}
