package trace

import (
	"context"
	"math"

	"abut/geometry"
	"abut/geometry/parallel"
)

// knot is where two pieces of a course meet, or where it ends.
type knot struct {
	at geometry.Point
	// smooth: the course runs through it in the direction along.
	smooth bool
	along  geometry.Point
}

const (
	// sharp is the turn from which on a person sees a corner between curves;
	// bentLines that between two straight lines, where any bend shows.
	sharp     = 32 * math.Pi / 180
	bentLines = 6 * math.Pi / 180
	// farthest is how far from the points next to it a corner may lie, in pixels: the
	// tip of a spike of 20° is lost over some three.
	farthest = 4.0
	// straight is the length from which on a line between curves is one that was
	// meant, not a part of the curve.
	straight = 8.0
)

// settle fits the network: the courses, then where they meet, then their curves.
func (n *network) settle(ctx context.Context) error {
	// What stops a chain is that the context ends, which Do tells as well.
	err := parallel.Do(ctx, len(n.chains), func(i int) {
		if c := n.chains[i]; !c.isBorder() {
			_ = n.divide(c, ctx.Err)
		}
	})
	if err != nil {
		return err
	}
	for j := range n.junctions {
		n.place(j)
	}
	return parallel.Do(ctx, len(n.chains), func(i int) { n.draw(n.chains[i]) })
}

const (
	// plainContrast is how much lighter one ink is than another, of 255, for an edge between
	// them to be as sharp in a lossy file as any.
	plainContrast = 48
	// mostNoise is how many times as far off points of an edge are at most.
	mostNoise = 4
)

// noise is how far off points of a chain are, in pixels. Lossy files keep colour at half
// the resolution of brightness, and less exactly (ITU-T T.81, T.871): where only colour
// tells an edge it wavers.
func (n *network) noise(c *chain) float64 {
	t := n.t
	if c.stepped > 0 {
		return c.stepped * t.noise
	}
	if !t.noisy || c.left <= bare || c.right <= bare {
		return t.noise
	}
	return t.noise * math.Max(1, math.Min(mostNoise, plainContrast/math.Abs(t.contrast(c.left, c.right))))
}

// divide finds the course of a chain. A closed one begins where two pieces meet.
func (n *network) divide(c *chain, poll func() error) (err error) {
	c.points = n.points(c)
	if c.fit, err = divide(c.points, n.noise(c), poll); err != nil {
		return err
	}
	if k := len(c.fit); c.closed() && k > 0 && c.fit[k/2].from > 0 {
		at := c.fit[k/2].from
		c.points = append(append([]geometry.Point{}, c.points[at:]...), c.points[:at]...)
		if c.fit, err = divide(c.points, n.noise(c), poll); err != nil {
			return err
		}
	}
	c.fit = c.fit.joined(c.points, n.noise(c)).blunt(c.points, c.closed())
	return nil
}

// joined returns the course with lines made one that only the longest length of a
// piece had parted.
func (c course) joined(points []geometry.Point, noise float64) (out course) {
	for _, p := range c {
		if k := len(out) - 1; k >= 0 && p.r == 0 && out[k].r == 0 {
			last := &out[k]
			if math.Abs(turn(last.along(last.b), p.along(p.a))) < 0.02 && last.foot(p.b).Sub(p.b).Len() < 3*noise {
				*last = pieceOf(points, last.from, p.to, 1/(noise*noise*float64(p.to-last.from)))
				continue
			}
		}
		out = append(out, p)
	}
	return out
}

// blunt returns the course with an end put to lines: where it turns back beside
// itself, the two pieces never meet, and a short line lies across.
func (c course) blunt(points []geometry.Point, closed bool) (out course) {
	k := len(c)
	for i := range c {
		out = append(out, c[i])
		if i+1 == k && (!closed || k < 2) {
			break
		}
		a, b := &c[i], &c[(i+1)%k]
		last, first := points[a.to], points[b.from]
		da, db := a.along(last), b.along(first)
		if math.Abs(turn(da, db)) < 2.6 {
			continue
		}
		if at := crossing(a, b, last.Lerp(first, 0.5)); at.Sub(a.foot(at)).Len() < 0.05 {
			continue // a tip
		}
		// The end lies half a pixel beyond the row that was seen last.
		end := piece{from: a.to, to: a.to, a: a.foot(last).Add(da.Mul(0.5)), b: b.foot(first).Sub(db.Mul(0.5))}
		if end.b.Sub(end.a).Len() > 0.2 {
			out = append(out, end)
		}
	}
	return out
}

// place puts a junction where the pieces that end there meet, by least squares, or
// leaves it where pixels meet when that is far away.
func (n *network) place(j int) {
	x := &n.junctions[j]
	x.at = x.corner.point()
	if x.pinned {
		return
	}
	w, h := int32(n.t.pic.w), int32(n.t.pic.h)
	onX, onY := x.corner.x == 0 || x.corner.x == w, x.corner.y == 0 || x.corner.y == h
	at := x.at
	for range 3 {
		// A little weight on the corner of the pixels decides what the pieces leave open.
		const open = 0.02
		aa, ab, bb := open, 0.0, open
		ra, rb := open*x.at.X, open*x.at.Y
		for _, o := range x.out {
			p, ok := n.lastPiece(o)
			if !ok {
				continue
			}
			foot, d := p.foot(at), p.along(at)
			nx, ny := -d.Y, d.X
			k := math.Min(1, float64(p.to-p.from+1)/5)
			r := foot.X*nx + foot.Y*ny
			aa, ab, bb = aa+k*nx*nx, ab+k*nx*ny, bb+k*ny*ny
			ra, rb = ra+k*r*nx, rb+k*r*ny
		}
		switch {
		case onX:
			at.Y = (rb - ab*at.X) / bb
		case onY:
			at.X = (ra - ab*at.Y) / aa
		default:
			det := aa*bb - ab*ab
			at = geometry.Pt((ra*bb-rb*ab)/det, (rb*aa-ra*ab)/det)
		}
	}
	// Blends of three inks hide where they meet within a pixel or so.
	if at.Sub(x.at).Len() < 1.8 && at.X >= 0 && at.Y >= 0 && at.X <= float64(w) && at.Y <= float64(h) {
		x.at = at
	}
}

// lastPiece is the piece of a chain next to a junction that it leaves.
func (n *network) lastPiece(out int) (piece, bool) {
	switch {
	case out > 0 && len(n.chains[out-1].fit) > 0:
		return n.chains[out-1].fit[0], true
	case out < 0 && len(n.chains[-out-1].fit) > 0:
		f := n.chains[-out-1].fit
		return f[len(f)-1], true
	}
	return piece{}, false
}

// draw makes the curve of a chain from its course.
func (n *network) draw(c *chain) {
	switch {
	case c.isBorder():
		c.curve = n.along(c, nil)
		return
	case c.plain || len(c.fit) == 0 && (c.closed() || len(c.path) > 2):
		c.curve = n.along(c, n.rows(c))
		return
	case len(c.fit) == 0:
		c.curve = n.along(c, nil)
	default:
		n.fitted(c)
	}
	if len(c.patches) > 0 && !n.patched(c) {
		c.plain = true
		c.curve = n.along(c, n.rows(c))
	}
	// What is thinner than its noise may come out the wrong way round.
	if c.closed() && !c.plain {
		if rows := n.along(c, n.rows(c)); (geometry.Path{rows}).SignedArea()*(geometry.Path{c.curve}).SignedArea() <= 0 {
			c.plain, c.curve = true, rows
		}
	}
}

// along is a chain of straight lines: between its junctions, if it has any.
func (n *network) along(c *chain, list []geometry.Point) (out geometry.Contour) {
	if c.closed() {
		out = geometry.Polygon(list...)
		out.Segments = append(out.Segments, geometry.LineTo(out.Start))
		return out
	}
	out.Start = n.junctions[c.from].at
	for _, p := range list {
		out.Segments = append(out.Segments, geometry.LineTo(p))
	}
	out.Segments = append(out.Segments, geometry.LineTo(n.junctions[c.to].at))
	return out
}

// fitted joins the pieces of a course.
func (n *network) fitted(c *chain) {
	k := len(c.fit)
	if p := &c.fit[0]; c.closed() && k == 1 {
		if p.r > 0 {
			c.curve = geometry.Contour{Start: p.a, Segments: p.swept(p.a, p.a, math.Copysign(2*math.Pi, p.bend))}
			n.keepInside(c)
			return
		}
		c.curve = n.along(c, n.rows(c))
		return
	}
	knots := make([]knot, k+1)
	for i := 1; i < k; i++ {
		knots[i] = meet(&c.fit[i-1], &c.fit[i], c.fit[i-1].b, c.fit[i].a)
	}
	if c.closed() {
		knots[0] = meet(&c.fit[k-1], &c.fit[0], c.fit[k-1].b, c.fit[0].a)
		knots[k] = knots[0]
	} else {
		knots[0].at, knots[k].at = n.junctions[c.from].at, n.junctions[c.to].at
	}
	defer n.keepInside(c)
	r := run{c: c, tolerance: 2.5 * n.noise(c)}
	c.curve = geometry.Contour{Start: knots[0].at, Closed: false}
	for i := 0; i < k; {
		if c.isStraight(knots, i) {
			c.curve.Segments = append(c.curve.Segments, geometry.LineTo(knots[i+1].at))
			i++
			continue
		}
		j := i
		for j+1 < k && knots[j+1].smooth && !c.isStraight(knots, j+1) {
			j++
		}
		c.curve.Segments = r.curves(c.curve.Segments, knots, i, j)
		i = j + 1
	}
}

// keepInside moves what a curve reaches beyond the picture, as a circle may that
// touches its border, onto the border.
func (n *network) keepInside(c *chain) {
	canvas := geometry.RectXYWH(0, 0, float64(n.t.pic.w), float64(n.t.pic.h))
	b := geometry.Path{c.curve}.Bounds()
	if canvas.Contains(b.Min) && canvas.Contains(b.Max) {
		return
	}
	in := func(p geometry.Point) geometry.Point {
		return geometry.Pt(math.Max(0, math.Min(canvas.Max.X, p.X)), math.Max(0, math.Min(canvas.Max.Y, p.Y)))
	}
	c.curve.Start = in(c.curve.Start)
	for i, s := range c.curve.Segments {
		c.curve.Segments[i] = geometry.Segment{C1: in(s.C1), C2: in(s.C2), End: in(s.End), Cubic: s.Cubic}
	}
}

// isStraight reports whether piece i is a line that was meant as one.
func (c *chain) isStraight(knots []knot, i int) bool {
	p := &c.fit[i]
	if p.r > 0 {
		return false
	}
	return !knots[i].smooth || !knots[i+1].smooth || p.b.Sub(p.a).Len() >= straight
}

// meet returns where two pieces meet that follow each other, given the points next
// to that place.
func meet(a, b *piece, last, first geometry.Point) knot {
	mid := last.Lerp(first, 0.5)
	da, db := a.along(last), b.along(first)
	angle := math.Abs(turn(da, db))
	limit := sharp
	if a.r == 0 && b.r == 0 {
		limit = bentLines
	}
	if angle > limit {
		return knot{at: crossing(a, b, mid)}
	}
	out := knot{at: a.foot(mid).Lerp(b.foot(mid), 0.5), smooth: true, along: unit(da.Add(db))}
	// A straight line goes on as it is; the curve follows it.
	la, lb := a.b.Sub(a.a).Len(), b.b.Sub(b.a).Len()
	switch {
	case a.r == 0 && b.r > 0 && la >= straight:
		out.along, out.at = da, a.foot(mid)
	case b.r == 0 && a.r > 0 && lb >= straight:
		out.along, out.at = db, b.foot(mid)
	case a.r == 0 && b.r == 0:
		out.at = crossing(a, b, mid)
	}
	return out
}

// crossing returns the place near mid where two pieces cross when they are drawn
// on, by Newton's method, and mid where there is none.
func crossing(a, b *piece, mid geometry.Point) geometry.Point {
	at := mid
	for range 8 {
		p, q := a.foot(at), b.foot(at)
		d, e := a.along(at), b.along(at)
		det := d.Cross(e)
		if math.Abs(det) < 0.03 {
			return p.Lerp(q, 0.5)
		}
		next := p.Add(d.Mul(q.Sub(p).Cross(e) / det))
		if next.Sub(mid).Len() > farthest {
			return a.foot(mid).Lerp(b.foot(mid), 0.5)
		}
		if next.Sub(at).Len() < 1e-6 {
			return next
		}
		at = next
	}
	return at
}
