package svgimport

import (
	"math"
	"math/rand"
	"testing"

	"abut/geometry"
	"abut/internal/job"
)

// Inside the rectangle the windings are those of the untrimmed path; nothing is
// left beyond it.
func TestTrim_KeepsWindingsInside(t *testing.T) {
	const seed = 11
	rnd := rand.New(rand.NewSource(seed))
	r := geometry.RectXYWH(0, 0, 100, 80)
	pt := func() geometry.Point { return geometry.Pt(rnd.NormFloat64()*150+50, rnd.NormFloat64()*150+40) }
	for n := range rounds(150, 50) {
		c := geometry.Contour{Start: pt(), Closed: n%2 == 0}
		for range 1 + n%5 {
			if rnd.Intn(3) == 0 {
				c.Segments = append(c.Segments, geometry.LineTo(pt()))
			} else {
				c.Segments = append(c.Segments, geometry.CubicTo(pt(), pt(), pt()))
			}
		}
		p := geometry.Path{c}
		got := trim(p, r)
		if b := got.Bounds(); len(got) > 0 && !r.Grow(1e-9).Encloses(b) {
			t.Fatalf("seed %d, path %d reaches to %v", seed, n, b)
		}
		a, b := p.Flatten(1e-3), got.Flatten(1e-3)
		for range 60 {
			q := geometry.Pt(rnd.Float64()*99.9+.05, rnd.Float64()*79.9+.05)
			if onEdge(a, q, 0.01) {
				continue
			}
			if wa, wb := winding(a, q), winding(b, q); wa != wb {
				t.Fatalf("seed %d, path %d: wound %d times around %v, %d times before\n%s", seed, n, wb, q, wa, text(p))
			}
		}
	}
}

// What is moved onto a line lies on it to the last bit: nothing reaches beyond.
func TestTrim_LeavesNoEndBeyondALine(t *testing.T) {
	const seed = 4
	rnd := rand.New(rand.NewSource(seed))
	pt := func() geometry.Point { return geometry.Pt(rnd.NormFloat64(), rnd.NormFloat64()) }
	for n := range 200 {
		c := geometry.Contour{Start: pt(), Segments: []geometry.Segment{geometry.CubicTo(pt(), pt(), pt()), geometry.LineTo(pt())}, Closed: true}
		c.Segments = append(c.Segments, geometry.LineTo(c.Start))
		limit := rnd.NormFloat64() / 3
		for _, vertical := range []bool{false, true} {
			for _, sign := range []float64{1, -1} {
				got := cutOff(c, limit, sign, vertical)
				ends := []geometry.Point{got.Start}
				for _, s := range got.Segments {
					ends = append(ends, s.End)
				}
				for _, p := range ends {
					v := p.X
					if vertical {
						v = p.Y
					}
					if sign*v < sign*limit {
						t.Fatalf("seed %d, path %d: %v lies beyond %g (sign %g, vertical %v)", seed, n, p, limit, sign, vertical)
					}
				}
			}
		}
	}
}

// onEdge reports whether q is within d of the flattened path.
func onEdge(flat geometry.Path, q geometry.Point, d float64) bool {
	for _, c := range flat {
		from := c.Start
		for _, s := range append(append([]geometry.Segment{}, c.Segments...), geometry.LineTo(c.Start)) {
			v := s.End.Sub(from)
			k := 0.0
			if l := v.Dot(v); l > 0 {
				k = math.Max(0, math.Min(1, q.Sub(from).Dot(v)/l))
			}
			if from.Add(v.Mul(k)).Sub(q).Len() < d {
				return true
			}
			from = s.End
		}
	}
	return false
}

// What is inside is not touched, and a rectangle stays one.
func TestTrim_LeavesWhatIsInside(t *testing.T) {
	r := geometry.RectXYWH(0, 0, 100, 100)
	p := geometry.Path{geometry.Ellipse(geometry.Pt(50, 50), 20, 30)}
	if got := trim(p, r); text(got) != text(p) {
		t.Errorf("%s became %s", text(p), text(got))
	}
	got := trim(geometry.RectXYWH(-1e9, 20, 2e9, 1e8).Path(), r)
	if !isRect(got) || got.Bounds() != geometry.RectXYWH(0, 20, 100, 80) {
		t.Errorf("%s", text(got))
	}
	if got := trim(geometry.RectXYWH(200, 20, 20, 20).Path(), r); len(got) != 0 {
		t.Errorf("outside: %s", text(got))
	}
}

// A background that reaches far beyond the canvas must not push the picture off
// the grid; the part that shows stays exactly where it was.
func TestImport_TrimsFarBeyondTheCanvas(t *testing.T) {
	far := geometry.RectXYWH(0, 0, 100, 100).Grow(math.Hypot(100, 100) * trimDiagonals * 1.001)
	for name, inner := range map[string]string{
		"rect":        `<rect x="-1e8" y="40" width="2e8" height="20" fill="red"/>`,
		"path":        `<path d="M50 -9e8L9e8 9e8H-9e8z" fill="red"/>`,
		"stroke":      `<path d="M-1e7 50H1e7" stroke="red" stroke-width="10"/>`,
		"wide stroke": `<path d="M50 -1e6V1" stroke="red" stroke-width="4e6"/>`,
		"circle":      `<circle cx="50" cy="1e8" r="1e8" fill="red"/>`,
		"clip":        `<clipPath id="c"><path d="M50 -9e8L9e8 9e8H-9e8z"/></clipPath><rect x="-1e8" y="40" width="2e8" height="20" fill="red" clip-path="url(#c)"/>`,
		"mask":        `<mask id="m" maskUnits="userSpaceOnUse" x="-1e8" y="-1e8" width="2e8" height="2e8"><rect x="-1e8" y="-1e8" width="2e8" height="2e8" fill="#fff"/><circle r="10"/></mask><rect x="-1e8" y="40" width="2e8" height="20" fill="red" mask="url(#m)"/>`,
		"nested":      `<svg x="-1e8" y="-1e8" width="2e8" height="2e8"><rect x="1e8" y="1e8" width="100%" height="50" fill="red"/></svg>`,
		"dashes":      `<path d="M-1e7 50H1e7" stroke="red" stroke-width="10" stroke-dasharray="1e6 1e3"/>`,
	} {
		res := read(t, page100(inner))
		for _, s := range shapes(res) {
			for _, k := range append([]geometry.Path{s.Path}, clipPaths(s)...) {
				if b := k.Bounds(); !far.Grow(2 * far.Width()).Encloses(b) {
					t.Errorf("%s: reaches to %v", name, b)
				}
			}
		}
		if len(res.Warnings) > 0 {
			t.Errorf("%s: %v", name, res.Warnings)
		}
	}
	probe(t, "rect", `<rect x="-1e8" y="40" width="2e8" height="20" fill="red"/>`, "1,50=#ff0000 99,41=#ff0000 50,39=- 50,61=-")
	probe(t, "wedge", `<path d="M50 50L9e8 9e8H-9e8z" fill="red"/>`, "50,60=#ff0000 90,91=#ff0000 90,89=- 10,91=#ff0000 10,89=-")
	probe(t, "circle", `<circle cx="50" cy="50000050" r="5e7" fill="red"/>`, "50,51=#ff0000 50,49=- 1,99=#ff0000")
}

// clipPaths returns the paths of a shape's clips, and of theirs.
func clipPaths(s job.Shape) []geometry.Path {
	var out []geometry.Path
	for _, c := range s.Clips {
		for _, k := range c.Shapes {
			out = append(append(out, k.Path), clipPaths(k)...)
		}
	}
	return out
}
