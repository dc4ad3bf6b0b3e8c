package planar

import (
	"context"
	"math"

	"abut/geometry"
	"abut/geometry/parallel"
)

// Smooth gives every seam its Curve: the Béziers that came in, cut to the part
// that the seam follows, with the seam's own grid vertices for ends. Both
// neighbours read the same curve, so they still share no area and leave no gap.
//
// A stretch keeps its chords where a curve could meet anything else: where the
// hull of some edge's part of the curve touches another edge's hull, other than
// at a vertex that both end in. Chords are disjoint, so this settles.
//
// A curve strays from its source by at most the sagitta where it was cut at a
// crossing (which lies on a chord), and by less than a grid step where a whole
// source segment came through.
func (d *Division) Smooth(ctx context.Context) error {
	s := &smoother{d: d, m: d.m, reach: d.m.in.sagitta * 4 * StepsPerMM}
	s.number()
	for {
		s.findRuns()
		s.findHulls()
		again, err := s.keepChords(ctx)
		if err != nil {
			return err
		}
		if !again {
			break
		}
	}
	s.write()
	return nil
}

// smoother works in grid steps, as floats.
type smoother struct {
	d *Division
	m *Map
	// reach is how far from its chord, in steps, a curve may lie; one that
	// strays further (a cusp cut short) keeps its chords.
	reach float64
	// Per border edge, numbered along the seams:
	segs  []segment // its chord in seam direction
	from  []VertexID
	to    []VertexID
	chord []bool // keeps its chord whatever it came from
	run   []int32
	hull  [][4]geometry.Point
	box   []geometry.Rect // of the hull
	first []int32         // per seam: number of its first edge
	runs  []curveRun
}

// curveRun is a stretch of a seam that follows one source segment.
type curveRun struct {
	start geometry.Point // in steps
	curve geometry.Segment
	t0    float64
	span  float64
}

func (s *smoother) number() {
	for i := range s.d.Seams {
		seam := &s.d.Seams[i]
		s.first = append(s.first, int32(len(s.segs)))
		for _, h := range seam.Edges {
			from, to := s.d.ends(h)
			s.from, s.to = append(s.from, from), append(s.to, to)
			s.segs = append(s.segs, segment{a: s.m.vertices[from], b: s.m.vertices[to]})
		}
	}
	s.first = append(s.first, int32(len(s.segs)))
	s.chord = make([]bool, len(s.segs))
	s.run = make([]int32, len(s.segs))
	s.hull = make([][4]geometry.Point, len(s.segs))
	s.box = make([]geometry.Rect, len(s.segs))
}

// findRuns parts every seam into runs along one source segment, and into single
// chords where need be.
func (s *smoother) findRuns() {
	s.runs = s.runs[:0]
	for i := range s.d.Seams {
		edges := s.d.Seams[i].Edges
		base := s.first[i]
		for k := 0; k < len(edges); {
			o, t0, t1 := s.m.parameters(edges[k])
			if t0 == t1 { // snapped across its curve: there is no part to follow
				s.chord[base+int32(k)] = true
			}
			n := k + 1
			for n < len(edges) && !s.chord[base+int32(k)] && !s.chord[base+int32(n)] {
				next, u0, u1 := s.m.parameters(edges[n])
				if next != o || u0 != t1 || (u1-u0)*(t1-t0) <= 0 {
					break
				}
				t1, n = u1, n+1
			}
			id := int32(len(s.runs))
			for e := k; e < n; e++ {
				s.run[base+int32(e)] = id
			}
			from, to := s.segs[base+int32(k)].a, s.segs[base+int32(n)-1].b
			if s.chord[base+int32(k)] {
				s.runs = append(s.runs, curveRun{start: steps(from), curve: geometry.LineTo(steps(to)), span: 1})
			} else {
				s.runs = append(s.runs, s.cut(o, t0, t1, from, to))
				// Straight between two vertices: no need to ask what is near.
				s.chord[base+int32(k)] = n == k+1 && !s.runs[id].curve.Cubic
			}
			k = n
		}
	}
}

// cut returns the part of a source segment between two parameters, moved so
// that it runs exactly from one grid vertex to another: each control goes with
// the end that it belongs to. Controls are grid points, so that every writer
// prints them alike.
func (s *smoother) cut(o int32, t0, t1 float64, from, to Point) curveRun {
	src := &s.m.in.origins[o]
	a, b := steps(from), steps(to)
	run := curveRun{start: a, curve: geometry.LineTo(b), t0: t0, span: t1 - t0}
	if src.curve < 0 {
		return run
	}
	c := &s.m.in.curves[src.curve]
	start, part := geometry.CubicTo(c.c1, c.c2, c.end).Sub(c.start, t0, t1)
	c1 := part.C1.Sub(start).Mul(StepsPerMM).Add(a)
	c2 := part.C2.Sub(part.End).Mul(StepsPerMM).Add(b)
	if offLine(a, b, c1) > slack || offLine(a, b, c2) > slack {
		run.curve = geometry.CubicTo(onGrid(c1), onGrid(c2), b)
	}
	return run
}

func onGrid(p geometry.Point) geometry.Point {
	return geometry.Pt(math.Floor(p.X+0.5), math.Floor(p.Y+0.5))
}

// findHulls works out, for every edge, four points whose hull holds its part of
// its run.
func (s *smoother) findHulls() {
	for i := range s.d.Seams {
		edges := s.d.Seams[i].Edges
		for k, h := range edges {
			e := s.first[i] + int32(k)
			r := &s.runs[s.run[e]]
			if s.chord[e] {
				a, b := steps(s.segs[e].a), steps(s.segs[e].b)
				s.hull[e] = [4]geometry.Point{a, a, b, b}
				continue
			}
			_, t0, t1 := s.m.parameters(h)
			u0, u1 := (t0-r.t0)/r.span, (t1-r.t0)/r.span
			start, part := r.curve.Sub(r.start, u0, u1)
			if !part.Cubic {
				part.C1, part.C2 = start, part.End
			}
			s.hull[e] = [4]geometry.Point{start, part.C1, part.C2, part.End}
		}
	}
	for e, h := range s.hull {
		s.box[e] = geometry.EmptyRect().Include(h[0]).Include(h[1]).Include(h[2]).Include(h[3])
	}
}

// keepChords marks the edges whose curves come too near to something, and
// reports whether there were any.
func (s *smoother) keepChords(ctx context.Context) (bool, error) {
	if len(s.segs) == 0 {
		return false, nil
	}
	far, again := 0.0, false
	for i := range s.segs {
		if r := s.strays(int32(i)); r <= s.reach {
			far = math.Max(far, r)
		} else {
			again = s.keep(int32(i)) || again
		}
	}
	if again {
		return true, nil
	}
	pace := unhurried(ctx)
	grid, err := s.cells(pace, int32(far)+snapMargin)
	if err != nil {
		return false, err
	}
	err = grid.leaves(0, grid.nx*grid.ny, func(leaf leafCell) error {
		members := leaf.members()
		for _, a := range members {
			if s.chord[^a] {
				continue // chords are apart; what comes near one finds it
			}
			again = s.keepNear(^a, members) || again
			if err := pace.spend(apartEffort * len(members)); err != nil {
				return err
			}
		}
		return nil
	})
	return again, err
}

// cells files the edges' chords, so wide that whatever their curves meet is near.
func (s *smoother) cells(pace *pace, margin int32) (*cells, error) {
	lo, hi := s.segs[0].a, s.segs[0].a
	lines := make([]line, len(s.segs))
	for i := range s.segs {
		seg := &s.segs[i]
		lines[i] = line{seg.a, seg.b}.ordered()
		for _, p := range [2]Point{seg.a, seg.b} {
			lo, hi = Point{min(lo.X, p.X), min(lo.Y, p.Y)}, Point{max(hi.X, p.X), max(hi.Y, p.Y)}
		}
	}
	var rs runs
	return newCells(pace, &rs, rs.single(lines), lo, hi, margin, new([parallel.Workers]cellScratch))
}

// keep has an edge keep its chord, and reports whether it did not already.
func (s *smoother) keep(e int32) bool {
	kept := s.chord[e]
	s.chord[e] = true
	return !kept
}

// keepNear has an edge and those in its cell that its curve may meet keep their chords, and
// reports whether there were any. Of two curves the one with the lower number looks.
func (s *smoother) keepNear(a int32, members []int32) (found bool) {
	for _, b := range members {
		b = ^b
		if a == b || b < a && !s.chord[b] || s.apart(a, b) {
			continue
		}
		found = s.keep(a) || found
		found = s.keep(b) || found
	}
	return found
}

// apartEffort is what telling two hulls apart takes, in the units of pace.
const apartEffort = 8

// strays returns how far the hull of an edge's curve reaches from its chord.
func (s *smoother) strays(e int32) float64 {
	a, b := steps(s.segs[e].a), steps(s.segs[e].b)
	far := 0.0
	for _, p := range s.hull[e] {
		far = math.Max(far, offLine(a, b, p))
	}
	return far
}

// apart reports whether the curves of two edges surely share nothing but a
// vertex that both end in.
func (s *smoother) apart(a, b int32) bool {
	if r, q := &s.box[a], &s.box[b]; r.Max.X+slack < q.Min.X || q.Max.X+slack < r.Min.X || r.Max.Y+slack < q.Min.Y || q.Max.Y+slack < r.Min.Y {
		return true
	}
	if s.run[a] == s.run[b] && (a == b+1 || b == a+1) {
		return true // one curve
	}
	var shared []geometry.Point
	for _, p := range [2]Point{s.segs[a].a, s.segs[a].b} {
		if p == s.segs[b].a || p == s.segs[b].b {
			shared = append(shared, steps(p))
		}
	}
	switch len(shared) {
	case 0:
		return disjoint(s.hull[a], s.hull[b])
	case 1:
		return inOwnWedges(s.hull[a], s.hull[b], shared[0])
	}
	return false
}

// slack covers what the hulls leave out, in steps: ends that were moved to the
// grid, and float rounding.
const slack = 2

// disjoint reports whether two hulls lie more than slack apart along some
// direction: the normal of an edge of either.
func disjoint(a, b [4]geometry.Point) bool {
	return partedBySide(a, b) || partedBySide(b, a)
}

func partedBySide(a, b [4]geometry.Point) bool {
	for i := range a {
		for k := range i {
			d := a[i].Sub(a[k])
			l := d.Len()
			if l == 0 {
				continue
			}
			n := geometry.Pt(-d.Y/l, d.X/l)
			a0, a1 := extent(a, n)
			b0, b1 := extent(b, n)
			if b0 > a1+slack || a0 > b1+slack {
				return true
			}
		}
	}
	return false
}

func extent(h [4]geometry.Point, n geometry.Point) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, p := range h {
		v := p.Dot(n)
		lo, hi = min(lo, v), max(hi, v)
	}
	return lo, hi
}

// inOwnWedges reports whether two hulls with a common vertex lie in wedges from
// it that share nothing else.
func inOwnWedges(a, b [4]geometry.Point, vertex geometry.Point) bool {
	da, wa := wedge(a, vertex)
	db, wb := wedge(b, vertex)
	between := math.Abs(math.Atan2(da.Cross(db), da.Dot(db)))
	const margin = 1e-3 // rounding of controls turns a wedge of 1 mm by less
	return between > wa+wb+margin
}

// wedge returns the direction from a vertex to the hull's furthest point and
// the half-angle around it that holds the others.
func wedge(h [4]geometry.Point, vertex geometry.Point) (direction geometry.Point, half float64) {
	length := 0.0
	for _, p := range h {
		if d := p.Sub(vertex); d.Len() > length {
			direction, length = d, d.Len()
		}
	}
	for _, p := range h {
		if d := p.Sub(vertex); d.Len() > slack {
			half = math.Max(half, math.Abs(math.Atan2(direction.Cross(d), direction.Dot(d))))
		}
	}
	return direction, half
}

// write stores the runs as the seams' curves, in millimetres.
func (s *smoother) write() {
	for i := range s.d.Seams {
		seam := &s.d.Seams[i]
		seam.Curve = nil
		last := int32(-1)
		for e := s.first[i]; e < s.first[i+1]; e++ {
			if s.run[e] == last {
				continue
			}
			last = s.run[e]
			c := s.runs[last].curve
			seam.Curve = append(seam.Curve, geometry.Segment{
				C1: mmOf(c.C1), C2: mmOf(c.C2), End: mmOf(c.End), Cubic: c.Cubic,
			})
		}
	}
}

// mmOf converts whole steps to millimetres, by the same division as Point.MM.
func mmOf(p geometry.Point) geometry.Point {
	return geometry.Pt(p.X/StepsPerMM, p.Y/StepsPerMM)
}
