package packing

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"slices"

	"abut/geometry"
)

// Rectangle is a rectangle to pack, in millimetres.
type Rectangle struct {
	Width, Height float64
	// Turns: it may be laid with a quarter turn too.
	Turns bool
	// Value is what it is worth where there is no room for all; 0 stands for its
	// area.
	Value float64
}

// Rectangles packs rectangles on as little of the sheets as it finds in its time,
// or with too few sheets as much value as it finds. When the context ends, that is
// the best layout so far; the error is the context's where there is none yet. Around
// what is blocked they are packed as shapes are, whatever they are worth.
func Rectangles(ctx context.Context, items []Rectangle, o Options) (Packing, error) {
	if len(items) == 0 {
		return Packing{}, ctx.Err()
	}
	if len(o.Blocked) > 0 {
		return around(ctx, items, o)
	}
	s := newSkyline(items, o)
	rng := rand.New(rand.NewPCG(o.Seed, 1))
	order := make([]gene, len(items))
	for i := range order {
		order[i] = gene{int32(i), anyTurn}
	}
	// What is large comes first: the rest fits between.
	slices.SortStableFunc(order, func(a, b gene) int {
		p, q := &s.items[a.item], &s.items[b.item]
		return cmp.Or(cmp.Compare(q.w*q.h, p.w*p.h), cmp.Compare(q.h, p.h))
	})
	climb(ctx, s, order, rng, o.Steps, o.Tried)
	if s.best.Step == 0 {
		return Packing{}, ctx.Err()
	}
	return s.best, nil
}

// around packs rectangles as shapes: a skyline knows of nothing that hangs above it.
func around(ctx context.Context, items []Rectangle, o Options) (Packing, error) {
	shapes := make([]Shape, len(items))
	for i, r := range items {
		shapes[i].Outline = geometry.Path{geometry.Polygon(geometry.Pt(0, 0), geometry.Pt(r.Width, 0), geometry.Pt(r.Width, r.Height), geometry.Pt(0, r.Height))}
		if r.Turns {
			shapes[i].Turns = []float64{0, math.Pi / 2}
		}
	}
	return Shapes(ctx, shapes, o)
}

type rect struct {
	w, h  int64 // with the gap
	turns bool
	value float64
}

// skyline lays rectangles out. What an order costs is the value of what finds no
// place before the end: a sheet, or a length of the last one, that is a little
// less than the best layout needed.
type skyline struct {
	items []rect
	all   []bin
	gap   int32
	told  func(Packing)

	// bins are those that may be used at present, the last one shortened.
	bins []bin
	// target is what share of what may be saved at the most is asked for next.
	target float64
	tries  int
	used   int64 // of the last sheet, by the best layout
	bound  int64 // no layout uses less of it

	edges []edge
	rest  []gene
	at    []spot // by item
	best  Packing
	least float64 // what finds no place in it
	full  bool    // the best layout has all
	// choosy: what comes first in the order goes first, fit or not. Where there is no
	// room for all, what fits best may be worth little.
	choosy bool
}

// edge is a stretch of the skyline: what lies across from y to the next edge's y
// is filled up to x.
type edge struct{ x, y, h int64 }

// spot is where an item lies: in no bin with −1.
type spot struct {
	bin    int32
	x, y   int32
	turned bool
}

func newSkyline(items []Rectangle, o Options) *skyline {
	s := &skyline{gap: up(o.GapMM), told: o.Progress, at: make([]spot, len(items)), target: 0.5}
	for _, r := range items {
		v := r.Value
		if v == 0 {
			v = r.Width * r.Height
		}
		s.items = append(s.items, rect{int64(up(r.Width) + s.gap), int64(up(r.Height) + s.gap), r.Turns && r.Width != r.Height, v})
	}
	s.all = bins(o.Sheets, len(items), s.gap)
	s.bins = slices.Clone(s.all)
	return s
}

func (s *skyline) same(a, b int32) bool { return s.items[a] == s.items[b] }

func (s *skyline) turns(item int32) int {
	if s.items[item].turns {
		return 2
	}
	return 1
}

func (s *skyline) keep() {}

func (s *skyline) lay(ctx context.Context, order []gene, _ int, _ float64) float64 {
	if s.full {
		if s.tries++; s.tries > 150*len(order) && s.target > 1e-3 {
			s.tries = 0
			s.aim(s.target / 2)
		}
	}
	for i := range s.at {
		s.at[i].bin = -1
	}
	s.rest = append(s.rest[:0], order...)
	for b := range s.bins {
		if len(s.rest) == 0 || ctx.Err() != nil {
			break
		}
		s.fill(ctx, int32(b))
	}
	return s.worth()
}

// fill packs one bin with what is left.
func (s *skyline) fill(ctx context.Context, b int32) {
	width, height := int64(s.bins[b].width), int64(s.bins[b].height)
	s.edges = append(s.edges[:0], edge{0, 0, height})
	for len(s.rest) > 0 && ctx.Err() == nil {
		low := 0
		for i, e := range s.edges {
			if e.x < s.edges[low].x {
				low = i
			}
		}
		n := niche{edge: s.edges[low], width: width, before: width, after: width}
		if n.x >= width {
			return
		}
		if low > 0 {
			n.before = s.edges[low-1].x
		}
		if low+1 < len(s.edges) {
			n.after = s.edges[low+1].x
		}
		best, turned := s.choose(n)
		if best < 0 {
			s.raise(low, min(n.before, n.after))
			continue
		}
		g := s.rest[best]
		s.rest = slices.Delete(s.rest, best, best+1)
		r := s.items[g.item]
		if turned {
			r.w, r.h = r.h, r.w
		}
		y := n.y
		if n.higher(r) {
			y = n.y + n.h - r.h
		}
		s.at[g.item] = spot{b, int32(n.x), int32(y), turned}
		s.put(low, y, r)
	}
}

// niche is the lowest edge of a skyline, in a bin so wide, with the walls beside it.
type niche struct {
	edge
	width, before, after int64
}

// score says how well a rectangle suits a niche, -1 where it does not fit: what fills
// the place, or is flush with a wall, leaves fewer corners.
func (n niche) score(w, h int64) int {
	if h > n.h || n.x+w > n.width {
		return -1
	}
	score := 0
	if h == n.h {
		score += 2
	}
	if n.x+w == n.before || n.x+w == n.after {
		score++
	}
	if h == n.h && n.before == n.after && n.x+w == n.before {
		score++
	}
	return score
}

// mostScore is that of what fills a niche, and is flush with both walls.
const mostScore = 4

// higher reports whether a rectangle stands at the far end of a niche: at the higher
// wall, unless only the lower one is flush.
func (n niche) higher(r rect) bool {
	switch end := n.x + r.w; {
	case end == n.after:
		return n.after != n.before
	case end == n.before:
		return false
	}
	return n.after > n.before
}

// choose returns which of what is left suits a niche best, -1 where nothing fits, and
// whether it is turned.
func (s *skyline) choose(n niche) (best int, turned bool) {
	best, most := -1, -1
	for i, g := range s.rest {
		r := &s.items[g.item]
		for t := range int32(2) {
			if t == 1 && !r.turns || g.turn >= 0 && r.turns && g.turn != t {
				continue
			}
			w, h := r.w, r.h
			if t == 1 {
				w, h = h, w
			}
			if score := n.score(w, h); score > most {
				best, most, turned = i, score, t == 1
			}
		}
		if most == mostScore || s.choosy && best >= 0 {
			break
		}
	}
	return best, turned
}

// put raises the skyline over a rectangle that stands on edge i.
func (s *skyline) put(i int, y int64, r rect) {
	e := s.edges[i]
	top, rest := edge{e.x + r.w, y, r.h}, edge{e.x, e.y, e.h - r.h}
	switch {
	case r.h == e.h:
		s.edges[i] = top
	case y == e.y:
		rest.y += r.h
		s.edges = slices.Replace(s.edges, i, i+1, top, rest)
	default:
		s.edges = slices.Replace(s.edges, i, i+1, rest, top)
	}
	s.join()
}

// raise gives up the room over edge i up to x.
func (s *skyline) raise(i int, x int64) {
	s.edges[i].x = x
	s.join()
}

func (s *skyline) join() {
	out := s.edges[:1]
	for _, e := range s.edges[1:] {
		if last := &out[len(out)-1]; last.x == e.x {
			last.h += e.h
		} else {
			out = append(out, e)
		}
	}
	s.edges = out
}

// worth is that of what found no place.
func (s *skyline) worth() (left float64) {
	for _, g := range s.rest {
		left += s.items[g.item].value
	}
	return left
}

func (s *skyline) better(ctx context.Context, order []gene, step int) float64 {
	for {
		left := s.worth()
		if s.full && left > 0 { // nearer to the end asked for, but not there
			return left
		}
		if s.best.Step == 0 || s.full || left < s.least {
			s.best, s.least = s.packing(step), left
			if s.told != nil {
				s.told(s.best)
			}
		}
		if left > 0 && s.choosy {
			return left
		}
		if s.choosy = left > 0; !s.choosy {
			if s.shorten(); s.used <= s.bound {
				return 0
			}
		}
		s.lay(ctx, order, 0, 0)
		if ctx.Err() != nil {
			return left
		}
	}
}

// shorten brings the end nearer: all lie on a sheet, and now with less.
func (s *skyline) shorten() {
	last, area := int32(0), int64(0)
	for i, p := range s.at {
		last = max(last, p.bin)
		area += s.items[i].w * s.items[i].h
	}
	s.used = 0
	for i, p := range s.at {
		if p.bin == last {
			w := s.items[i].w
			if p.turned {
				w = s.items[i].h
			}
			s.used = max(s.used, int64(p.x)+w)
		}
	}
	for _, b := range s.all[:last] {
		area -= int64(b.width) * int64(b.height)
	}
	across := int64(s.all[last].height)
	s.bound = max(0, (area+across-1)/across)
	s.bins = slices.Clone(s.all[:last+1])
	s.full, s.tries = true, 0
	s.aim(s.target)
}

// aim asks for a layout that uses less of the last sheet, by this share of what
// there is to save at the most.
func (s *skyline) aim(share float64) {
	s.target = share
	s.bins[len(s.bins)-1].width = int32(s.used - max(1, int64(share*float64(s.used-s.bound))))
}

func (s *skyline) packing(step int) Packing {
	p := Packing{Step: step}
	sheet := map[int32]int{}
	for b := range int32(len(s.bins)) {
		for _, at := range s.at {
			if at.bin == b {
				sheet[b] = len(p.Sheets)
				p.Sheets = append(p.Sheets, Used{Kind: s.bins[b].kind, Nth: s.bins[b].nth})
				break
			}
		}
	}
	for i, at := range s.at {
		if at.bin < 0 {
			p.Left = append(p.Left, i)
			continue
		}
		w, h := s.items[i].w, s.items[i].h
		placed := Placed{Item: i, Sheet: sheet[at.bin], Shift: geometry.Pt(mm(at.x), mm(at.y))}
		if at.turned {
			w, h = h, w
			placed.Turn = math.Pi / 2
			placed.Shift.X = mm(at.x + int32(w) - s.gap) // the turn takes it to the left of the origin
		}
		u := &p.Sheets[placed.Sheet]
		p.Placed = append(p.Placed, placed)
		u.Extent.X = max(u.Extent.X, mm(at.x+int32(w)-s.gap))
		u.Extent.Y = max(u.Extent.Y, mm(at.y+int32(h)-s.gap))
	}
	return p
}
