package dxf

import (
	"math"

	"abut/geometry"
	"abut/internal/cutfile"
)

// sagittaMM is how far a chord or an arc may lie from the curve that it stands for.
// Cutters place their knife to some 0.025 mm; a tenth of that is lost on none.
const sagittaMM = 0.0025

// vertex is a corner of a polyline. Bulge makes an arc of the line to the next:
// the tangent of a quarter of its angle, positive where it turns to the left.
type vertex struct {
	geometry.Point
	Bulge float64
}

// polyline is a line of straight lines and arcs, in millimetres, y up. A closed
// one goes from its last vertex back to the first.
type polyline struct {
	vertices []vertex
	closed   bool
}

// tracer makes polylines of contours, which have y down, on a page of this height.
// With chords there are no arcs.
type tracer struct {
	heightMM float64
	chords   bool
}

// contour returns what is cut along a closed contour.
func (t tracer) contour(c cutfile.Contour) polyline {
	segments, closes := c.Cut()
	p := t.line(c.Start, segments)
	if n := len(p.vertices); closes && p.vertices[n-1].Point == p.vertices[0].Point {
		p.vertices = p.vertices[:n-1]
	}
	p.closed = closes
	return p
}

// line returns an open line.
func (t tracer) line(start cutfile.Point, segments []cutfile.Segment) (p polyline) {
	from := start.MM()
	for _, step := range segments {
		s := step.MM()
		switch {
		case !s.Cubic:
			p.add(t.up(from), 0)
		case t.chords:
			n := s.Chords(from, sagittaMM)
			for k := range n {
				p.add(t.up(s.Chord(from, k, n)), 0)
			}
		default:
			up := geometry.CubicTo(t.up(s.C1), t.up(s.C2), t.up(s.End))
			p.arcs(t.up(from), up, 0, 1, 0)
		}
		from = s.End
	}
	p.add(t.up(from), 0)
	return p
}

// up turns y up: how the picture looks stays as it is.
func (t tracer) up(q geometry.Point) geometry.Point { return geometry.Pt(q.X, t.heightMM-q.Y) }

func (p *polyline) add(q geometry.Point, bulge float64) {
	q = geometry.Pt(onGrid(q.X), onGrid(q.Y))
	if n := len(p.vertices); n > 0 && p.vertices[n-1].Point == q {
		p.vertices[n-1].Bulge = bulge
		return
	}
	p.vertices = append(p.vertices, vertex{q, bulge})
}

// onGrid rounds to the page's steps.
func onGrid(mm float64) float64 { return math.Round(mm*cutfile.StepsPerMM) / cutfile.StepsPerMM }

const (
	// probes are where an arc is compared with its curve, which is of the third
	// degree: it leaves the arc and comes back a few times at most between its ends.
	probes = 16
	// deepest halving of a curve: a 4,096th of it is a chord whatever it does there.
	deepest = 12
	// widest is the largest bulge of one arc, that of a quarter circle and a little.
	widest = 0.4143
)

// arcs adds the arcs that follow the curve between two parameters, each the one
// through its ends and its middle: halving at the middle makes them the same for
// a neighbour that comes from the other side.
func (p *polyline) arcs(from geometry.Point, s geometry.Segment, t0, t1 float64, depth int) {
	mid := (t0 + t1) / 2
	a, m, b := s.At(from, t0), s.At(from, mid), s.At(from, t1)
	u, v := m.Sub(a), b.Sub(m)
	bulge := u.Cross(v) / (u.Len()*v.Len() + u.Dot(v))
	if u.Len()*v.Len() == 0 {
		bulge = 0
	}
	if depth < deepest && !(math.Abs(bulge) <= widest && follows(from, s, t0, t1, bulge)) {
		p.arcs(from, s, t0, mid, depth+1)
		p.arcs(from, s, mid, t1, depth+1)
		return
	}
	if depth == deepest || math.Abs(bulge)*b.Sub(a).Len()/2 < 1.0/cutfile.StepsPerMM {
		bulge = 0 // the arc rises by less than a step
	}
	p.add(a, bulge)
}

// follows reports whether the arc of this bulge lies along the curve.
func follows(from geometry.Point, s geometry.Segment, t0, t1, bulge float64) bool {
	a, b := s.At(from, t0), s.At(from, t1)
	chord := b.Sub(a)
	length := chord.Len()
	if length == 0 {
		return false
	}
	across := geometry.Pt(-chord.Y, chord.X).Mul(1 / length) // to the left of the chord
	along := 0.0
	for k := 1; k < probes; k++ {
		q := s.At(from, t0+(t1-t0)*float64(k)/probes).Sub(a)
		x, y := q.Dot(chord)/length, q.Dot(across)
		if x < along { // it turns back
			return false
		}
		along = x
		if math.Abs(rise(x, length, bulge)-y) > sagittaMM {
			return false
		}
	}
	return along <= length
}

// rise is how far the arc of this bulge over a chord lies to the left of it at x
// along the chord. A positive bulge turns to the left, so its arc lies to the right.
func rise(x, length, bulge float64) float64 {
	if math.Abs(bulge) < 1e-9 {
		return 0
	}
	r := length * (1 + bulge*bulge) / (4 * math.Abs(bulge))
	h := r - math.Abs(bulge)*length/2 // from the centre to the chord
	d := x - length/2
	return -math.Copysign(math.Sqrt(math.Max(r*r-d*d, 0))-h, bulge)
}
