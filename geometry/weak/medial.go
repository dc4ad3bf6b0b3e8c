package weak

import (
	"math"
	"sync"

	"abut/geometry"
)

// facing is the cosine that the directions to the two places where a disc
// touches must stay below: what a corner of 2·atan ½ has, cos(180° − 53.13°) =
// −0.6. The discs of a blunter corner touch at a smaller angle.
const facing = -0.6

// blunt is the cosine up to which discs count as the opening of a waist: 75°.
const blunt = 0.26

// disc is a medial disc: the largest one inside that touches side s, and side t
// on the other side of the piece.
type disc struct {
	c    geometry.Point
	r    float64
	s, t int32
	at   int32 // which place of the side it touches: a sample, or after these a normal at its end
	run  int32 // discs that follow each other along the outline share it
}

// shrink returns the largest disc inside the piece that touches the outline at
// p, on side s with normal n there, as long as its radius is below most
// (the shrinking ball of Ma, Bae and Choi, 3D medial axis point approximation
// using nearest neighbors and the normal field, 2012). It is looked for from
// radius guess downwards first, which is quick where it lies below. The disc's t is
// −1 when nothing is near, and a side that it touches or crosses when it is none.
func (g *grid) shrink(p, n geometry.Point, s int32, most, guess float64, l *lengths) (disc, bool) {
	if guess < most {
		if d, ok := g.shrink(p, n, s, guess, guess, l); ok {
			return d, true
		}
	}
	return g.shrinkAbove(p, n, s, most, 0, l)
}

// shrinkAbove is shrink without a guess, for who wants a disc larger than least: it stops, and the
// disc is none, where it becomes no larger than that.
func (g *grid) shrinkAbove(p, n geometry.Point, s int32, most, least float64, l *lengths) (disc, bool) {
	d := disc{r: most, s: s, t: -1}
	for range 40 {
		d.c = p.Add(n.Mul(d.r))
		t, q, ok := g.nearest(d.c, d.r-l.close, s)
		if !ok {
			break
		}
		v := q.Sub(p)
		along := v.Dot(n)
		d.t = t
		if along <= l.straightOn {
			return d, false // a neighbour in line, or a corner: no disc at all
		}
		// The disc through p and q that is tangent at p.
		r := v.Dot(v) / (2 * along)
		if r > d.r-l.close {
			break
		}
		if d.r = r; r <= least {
			return d, false
		}
	}
	return d, d.t >= 0 && d.r < most
}

// medial are the discs of a shape.
type medial struct {
	// thin touch both sides of a thin place, in order along the outline.
	thin []disc
	// opening touch at a blunter angle, as where a waist opens or in a corner.
	opening []disc
	// pinched are the corners, by the side that ends there, that are in a pinch,
	// and pinches those that are open somewhere.
	pinched []int32
	pinches []*pinch
	// changes are where discs become smaller than half the width, or larger again;
	// whole are the contours, by their first side, along which all are smaller.
	changes []change
	whole   []int32
}

// turnStep is by how much at most normals follow each other around a corner.
const turnStep = 5 * math.Pi / 180

// around returns the box of the disc that touches the outline at p, with normal n.
func around(p, n geometry.Point, r float64) geometry.Rect {
	c := p.Add(n.Mul(r))
	return geometry.Rect{Min: c, Max: c}.Grow(r)
}

// workspace is what discs are gathered in: a picture has hundreds of shapes, one after the
// other.
type workspace struct {
	walls         facingWalls
	thin, opening []disc
	answers       []answer
}

var workspaces = sync.Pool{New: func() any { return new(workspace) }}

// answer is what a place of the outline answers: the largest disc that touches it.
type answer struct {
	disc
	fit fit
}

// fit says how a disc lies in the shape.
type fit uint8

const (
	sturdy   fit = iota // no smaller than half the width
	cornered            // smaller, and where it touches lies close together, as in a corner
	opens               // that lies further apart, as where a waist opens
	faces               // that faces each other
	pinches             // no disc: the corner lies in a pinch
)

// asker asks the places of an outline for their discs, side by side.
type asker struct {
	*grid
	*lengths
	pace    *pace
	walls   *facingWalls
	take    func(answer)
	crowded bool // with too many walls to ask them all
	guess   float64
	before  disc // the last one
	// At a sharp corner all walls within 2·reach were gathered.
	reach   float64
	normals []geometry.Point
}

// try asks one place: at x along the side, or at its end where that is below 0.
func (a *asker) try(p, n geometry.Point, s, at int32, x float64) {
	g, l, walls := a.grid, a.lengths, a.walls
	d := answer{disc: disc{s: s}}
	var ok bool
	if !a.crowded && x >= 0 {
		d.r, d.t = walls.least(x, l.thin)
	} else if !a.crowded {
		if d.r, d.t = walls.leastAt(n, l.thin, l); d.r > a.reach {
			a.reach = l.thin
			if a.crowded = !g.gather(geometry.Rect{Min: p, Max: p}.Grow(l.width), s, walls); !a.crowded {
				walls.faceFrom(g, p, g.sides[s].next, l)
				d.r, d.t = walls.leastAt(n, l.thin, l)
			}
		}
	}
	if a.crowded {
		d.disc, ok = g.shrink(p, n, s, l.thin, a.guess, l)
		a.guess = 1.25 * d.r // the next place along the outline is much the same
	} else {
		d.c, ok = p.Add(n.Mul(d.r)), d.t >= 0
	}
	d.at = at
	a.before = d.disc
	if ok {
		q := g.sides[d.t].nearest(d.c)
		u, v := p.Sub(d.c), q.Sub(d.c)
		switch cos := u.Dot(v) / (u.Len() * v.Len()); {
		case cos <= facing:
			d.fit = faces
		case cos <= blunt:
			d.fit = opens
		default:
			d.fit = cornered
		}
	}
	a.take(d)
}

// sampled is a side whose places are asked, with what all of them need.
type sampled struct {
	*side
	id      int32
	normal  geometry.Point
	long    float64
	samples int
	turn    float64 // of the walk at its end
}

// side asks the places of a side, and those of the corner at its end.
func (a *asker) side(id int32) error {
	s := &a.grid.sides[id]
	q := sampled{side: s, id: id, normal: s.inward(), long: s.length(), samples: a.samples(s), turn: a.turning(id)}
	if err := a.along(&q); err != nil || q.turn <= 0 {
		return err
	}
	return a.bend(&q)
}

// along asks the samples of a side.
func (a *asker) along(q *sampled) error {
	for j := range q.samples {
		if err := a.pace.spend(1); err != nil {
			return err
		}
		if j%together == 0 {
			a.prepare(q, j)
		}
		share := sampleAt(j, q.samples)
		a.try(q.a.Lerp(q.b, share), q.normal, q.id, int32(j), q.long*share)
	}
	return nil
}

// prepare gathers the walls that the samples of a side from one on can meet, so many
// together, and with the last of them a slight corner at its end.
func (a *asker) prepare(q *sampled, first int) {
	g, l := a.grid, a.lengths
	last := min(first+together, q.samples)
	x0, x1 := q.long*sampleAt(first, q.samples), q.long*sampleAt(last-1, q.samples)
	corner := last == q.samples && 0 < q.turn && q.turn <= slight
	most := l.thin
	if a.before.t >= 0 {
		most = g.atMost(q, first, last, corner, a.before.t, l)
	}
	box := around(q.a.Lerp(q.b, x0/q.long), q.normal, most).Union(around(q.a.Lerp(q.b, x1/q.long), q.normal, most))
	if corner {
		box = box.Union(around(q.b, q.normal, most)).Union(around(q.b, g.sides[q.next].inward(), most))
	}
	if a.crowded = !g.gather(box, q.id, a.walls); !a.crowded {
		a.walls.face(g, q.id, q.normal, x0, x1, l)
	}
	a.guess = l.thin
}

// bend asks the normals of the corner at the end of a side, or what is open of the pinch
// in which that lies.
func (a *asker) bend(q *sampled) error {
	g, l := a.grid, a.lengths
	a.normals = a.normals[:0]
	for j := range fan(q.turn) {
		a.normals = append(a.normals, turnedBy(q.normal, fanned(q.turn, j)))
	}
	at := q.samples
	sharp := q.turn > slight
	a.reach = l.thin
	if sharp && a.before.t >= 0 {
		a.reach = min(l.thin, 1.25*a.before.r)
	}
	if p := g.pinchAt(q.b); p != nil {
		a.take(answer{disc{s: q.id}, pinches})
		a.guess = l.thin
		if p.seen {
			return nil // who has a pinch is not walked around
		}
		p.seen = true
		a.normals = append(a.normals[:0], p.open()...)
		at = int(math.MaxInt32) / 2 // no place of the side's own corner
		sharp, a.reach = true, l.thin
	}
	if sharp {
		a.crowded = !g.gather(geometry.Rect{Min: q.b, Max: q.b}.Grow(2*a.reach), q.id, a.walls)
	}
	if !a.crowded {
		a.walls.faceFrom(g, q.b, q.next, l)
	}
	for j, n := range a.normals {
		a.try(q.b, n, q.id, int32(at+j), -1)
	}
	return a.pace.spend(len(a.normals))
}

// atMost returns how large the discs of samples first to last−1 of a side can be, and
// those of the slight corner at its end: no larger than what touches side t, as the one
// before does, nor than l.thin. What is further off than that need not be looked at.
func (g *grid) atMost(q *sampled, first, last int, corner bool, t int32, l *lengths) float64 {
	if t == q.id || t == q.next {
		return l.thin
	}
	most := 0.0
	ask := func(p, n geometry.Point) {
		if r := g.tangent(p, n, t); r > most {
			most = r
		} else if r == 0 { // it ends there
			most = l.thin
		}
	}
	for j := first; j < last && most < l.thin; j++ {
		ask(q.a.Lerp(q.b, sampleAt(j, q.samples)), q.normal)
	}
	if corner {
		for j := 0; j < fan(q.turn) && most < l.thin; j++ {
			ask(q.b, turnedBy(q.normal, fanned(q.turn, j)))
		}
	}
	return min(l.thin, most+l.close)
}

// walker follows the outline from one place that was asked to the next.
type walker struct {
	grid  *grid
	space *workspace
	m     *medial
	run   int32 // of the last disc of a thin place, and the side that this touches; −2 for none
	last  int32
	// The contour's first place and the last one so far.
	begun, changed      bool
	first, at           asked
	firstThin, lastThin bool
}

// pass comes to the next place.
func (w *walker) pass(d answer) {
	if d.fit == pinches {
		w.m.pinched = append(w.m.pinched, d.s)
		w.last = -2
		return
	}
	to, thin := asked{d.s, d.at}, d.fit != sturdy
	if !w.begun {
		w.begun, w.first, w.firstThin = true, to, thin
	} else if thin != w.lastThin {
		w.changed = true
		w.m.changes = append(w.m.changes, change{w.at, to, thin})
	}
	w.at, w.lastThin = to, thin
	if d.fit == opens {
		d.run = -1 - d.s
		w.space.opening = append(w.space.opening, d.disc)
	}
	if d.fit != faces {
		w.last = -2
		return
	}
	if w.last != d.s && !(w.last >= 0 && w.grid.sides[w.last].next == d.s) {
		w.run++
	}
	w.last, d.run = d.s, w.run
	w.space.thin = append(w.space.thin, d.disc)
}

// end comes to the end of a side, and of a contour where it is the last one.
func (w *walker) end(side int32) {
	if w.grid.sides[side].next > side {
		return
	}
	if w.begun && !w.changed && w.firstThin {
		w.m.whole = append(w.m.whole, w.first.side)
	} else if w.begun && w.firstThin != w.lastThin {
		w.m.changes = append(w.m.changes, change{w.at, w.first, w.firstThin})
	}
	w.begun, w.changed = false, false
}

// samples is how often a side is asked, and sampleAt where, as a share of it.
func (l *lengths) samples(s *side) int { return int(math.Ceil(s.length() / l.sample)) }

func sampleAt(j, samples int) float64 { return (float64(j) + 0.5) / float64(samples) }

// slight is the turn up to which a corner counts as one between chords of a curve.
const slight = 3 * turnStep

// fan is how many normals of a corner that points inwards are asked for their discs.
func fan(turn float64) int {
	n := int(math.Ceil(turn / turnStep))
	if turn > slight {
		n++
	}
	return n
}

// fanned returns one of them: from the side's own normal to the next one's, but of a
// slight turn those within, for the samples of both sides are near enough.
func fanned(turn float64, j int) float64 {
	if turn > slight {
		return turn * float64(j) / float64(fan(turn)-1)
	}
	return turn * (float64(j) + 0.5) / float64(fan(turn))
}

// turning returns by how much the walk turns where a side ends, in radians: more
// than 0 where the corner points inwards.
func (g *grid) turning(side int32) float64 {
	s := &g.sides[side]
	next := &g.sides[s.next]
	u, v := s.b.Sub(s.a), next.b.Sub(next.a)
	return -math.Atan2(u.Cross(v), u.Dot(v))
}

// turnedBy returns a normal after a turn of the walk.
func turnedBy(n geometry.Point, turn float64) geometry.Point {
	sin, cos := math.Sincos(-turn)
	return geometry.Pt(n.X*cos-n.Y*sin, n.X*sin+n.Y*cos)
}

// corner returns normals all around the corner where a side ends, if that points
// inwards: from the side's own to the next one's.
func (g *grid) corner(id int32) []geometry.Point {
	s := &g.sides[id]
	n, next := s.inward(), g.sides[s.next].inward()
	turn := n.Cross(next)
	if turn >= 0 {
		return nil
	}
	angle := math.Atan2(turn, n.Dot(next))
	steps := int(math.Ceil(-angle / turnStep))
	out := make([]geometry.Point, 0, steps+1)
	for j := range steps + 1 {
		sin, cos := math.Sincos(angle * float64(j) / float64(steps))
		out = append(out, geometry.Pt(n.X*cos-n.Y*sin, n.X*sin+n.Y*cos))
	}
	return out
}
