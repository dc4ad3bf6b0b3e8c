package thing

import (
	"cmp"
	"math"
	"slices"

	"abut/geometry"
)

const (
	// evenSpacing is by how much, in widths, all letters of a word move apart alike at most, as a typesetter spaces a
	// word (common practice): two that need more, such as an f and an é, get that by themselves.
	evenSpacing = 0.5
	// mostSpacing is by how much, in widths, one letter moves away from the next at most.
	mostSpacing = 1.5
	// flatBaseLine is how far the feet of letters are from a straight line, in the height of the highest, where they may not stand
	// on a wide circle: round ones reach a little further down.
	flatBaseLine = 0.04
	// Joined is how near to each other, in widths, letters are that touch as they were drawn, and stay so.
	Joined = 0.05
	// spacingStep is by how much, in widths, one moves on at least while it is looked for where it is far enough.
	spacingStep = 0.02
)

// Spacing returns where each letter of a group comes to lie so that no two beside each other, nor a letter and its dot, are
// nearer to each other than a width: those move apart along the line that they stand on, straight or around a circle, all by as
// much where that is not much and about the middle of the word, and these across it. members are their indexes, fresh is how all
// things are drawn by now, and way is where a straight line goes, on the board. It is nil where there is nothing to move, or
// where they stand on no such line. What touches as it was drawn goes on touching.
func Spacing(things []Thing, members []int, fresh []geometry.Path, way geometry.Point, width float64) []geometry.Affine {
	s := &spacing{width: width, by: make([]geometry.Point, len(members))}
	high := 0.0
	for _, i := range members {
		s.drawn, s.fresh = append(s.drawn, things[i].Outline), append(s.fresh, fresh[i])
		b := fresh[i].Bounds()
		s.places = append(s.places, b.Centre())
		high = math.Max(high, b.Shorter())
	}
	var line []glyph
	straight := along(way)
	for _, c := range [...]struct {
		line *baseline
		like float64
	}{{straight, flatBaseLine}, {around(s.places, high), likeBaseLine}, {straight, likeBaseLine}} {
		if line = s.on(c.line, c.like); line != nil {
			break
		}
	}
	if line == nil {
		return nil
	}
	s.accents(line)
	s.apart(line)
	if !slices.ContainsFunc(s.by, func(by geometry.Point) bool { return by != geometry.Point{} }) {
		return nil
	}
	var out []geometry.Affine
	for k := range members {
		out = append(out, s.moved(s.places[k], s.by[k]))
	}
	return out
}

// spacing parts letters.
type spacing struct {
	*baseline
	width        float64
	drawn, fresh []geometry.Path
	places       []geometry.Point // the middles of those that are fresh
	boxes        []geometry.Rect  // as drawn, where the line goes to the right
	by           []geometry.Point // there
}

// glyph is a letter with what stands over and beneath it, such as its dots.
type glyph struct {
	letters []int // the first is the letter itself
	box     geometry.Rect
}

// on returns the glyphs from left to right on a line, most to within a share of the highest; nil where they do not stand on it.
func (s *spacing) on(l *baseline, like float64) (line []glyph) {
	if l == nil {
		return nil
	}
	s.baseline, s.boxes = l, s.boxes[:0]
	for _, p := range s.drawn {
		s.boxes = append(s.boxes, s.flat(p).Bounds())
	}
	order := make([]int, len(s.boxes))
	for k := range order {
		order[k] = k
	}
	// The largest is the letter, and its accents join it.
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(s.boxes[b].Height(), s.boxes[a].Height()) })
	for _, k := range order {
		b := s.boxes[k]
		if n := slices.IndexFunc(line, func(g glyph) bool { return stacks(s.boxes[g.letters[0]], b) }); n >= 0 {
			line[n].letters, line[n].box = append(line[n].letters, k), line[n].box.Union(b)
			continue
		}
		line = append(line, glyph{[]int{k}, b})
	}
	slices.SortStableFunc(line, func(a, b glyph) int { return cmp.Compare(a.box.Centre().X, b.box.Centre().X) })
	if len(line) < 2 || !s.stand(line, like) {
		return nil
	}
	return line
}

// stacks reports whether one stands over or beneath the other.
func stacks(a, b geometry.Rect) bool {
	beside := math.Min(a.Max.X, b.Max.X) - math.Max(a.Min.X, b.Min.X)
	above := math.Min(a.Max.Y, b.Max.Y) - math.Max(a.Min.Y, b.Min.Y)
	return beside >= letterWithin*math.Min(a.Width(), b.Width()) && above <= 0
}

// stand reports whether most glyphs stand on one line, each to the right of the one before.
func (s *spacing) stand(line []glyph, like float64) bool {
	high, most := 0.0, 0
	for _, g := range line {
		high = math.Max(high, s.boxes[g.letters[0]].Height())
	}
	for i, g := range line {
		feet, heads := 0, 0 // around the lower half of a rim feet are outside
		a := s.boxes[g.letters[0]]
		for k, o := range line {
			b := s.boxes[o.letters[0]]
			if math.Abs(a.Max.Y-b.Max.Y) <= like*high {
				feet++
			}
			if math.Abs(a.Min.Y-b.Min.Y) <= like*high {
				heads++
			}
			if k == i+1 && g.box.Max.X-o.box.Min.X > letterWithin*math.Min(g.box.Width(), o.box.Width()) {
				return false
			}
		}
		most = max(most, feet, heads)
	}
	return 2*most > len(line)
}

// accents moves what stands over or beneath letters away from them, all of a line alike.
func (s *spacing) accents(line []glyph) {
	each := func(f func(letter, k int, way geometry.Point)) {
		for _, g := range line {
			for _, k := range g.letters[1:] {
				way := geometry.Pt(0, math.Copysign(1, s.boxes[k].Centre().Y-s.boxes[g.letters[0]].Centre().Y))
				if !nearer(s.drawn[g.letters[0]], s.drawn[k], Joined*s.width) {
					f(g.letters[0], k, way)
				}
			}
		}
	}
	need := map[geometry.Point]float64{}
	each(func(letter, k int, way geometry.Point) {
		need[way] = math.Max(need[way], s.needs(letter, k, way))
	})
	each(func(_, k int, way geometry.Point) {
		s.by[k] = way.Mul(need[way])
	})
	s.pairs(line)
}

// pairs parts accents that stand beside each other, such as the dots of an ü, all of a line alike.
func (s *spacing) pairs(line []glyph) {
	each := func(f func(left, right int)) {
		for _, g := range line {
			accents := g.letters[1:]
			for n, i := range accents {
				for _, k := range accents[n+1:] {
					if stacks(s.boxes[i], s.boxes[k]) || nearer(s.drawn[i], s.drawn[k], Joined*s.width) {
						continue
					}
					if s.boxes[i].Centre().X > s.boxes[k].Centre().X {
						f(k, i)
					} else {
						f(i, k)
					}
				}
			}
		}
	}
	need := 0.0
	each(func(left, right int) { need = math.Max(need, s.needs(left, right, geometry.Pt(1, 0))) })
	each(func(left, right int) {
		s.by[left].X -= need / 2
		s.by[right].X += need / 2
	})
}

// apart moves glyphs apart.
func (s *spacing) apart(line []glyph) {
	need, all := make([]float64, len(line)), 0.0
	touch := make([]bool, len(line))
	for i := 1; i < len(line); i++ {
		need[i], touch[i] = s.between(line[i-1], line[i])
		all = math.Max(all, math.Min(need[i], evenSpacing*s.width))
	}
	total := 0.0
	for i := range need {
		if i > 0 && !touch[i] {
			need[i] = math.Max(need[i], all)
		}
		total += need[i]
	}
	at := -total / 2
	for i, g := range line {
		at += need[i]
		for _, k := range g.letters {
			s.by[k].X += at
		}
	}
}

// between returns how much further apart two glyphs have to be, and whether they touch.
func (s *spacing) between(a, b glyph) (need float64, touch bool) {
	for _, i := range a.letters {
		for _, k := range b.letters {
			if s.boxes[i].Grow(Joined*s.width).Intersect(s.boxes[k]).Empty() || !nearer(s.drawn[i], s.drawn[k], Joined*s.width) {
				need = math.Max(need, s.needs(i, k, geometry.Pt(1, 0)))
				continue
			}
			return 0, true
		}
	}
	return need, false
}

// needs returns how much further k has to move on a way to be a width away from i.
func (s *spacing) needs(i, k int, way geometry.Point) (by float64) {
	a := s.fresh[i].Transform(s.moved(s.places[i], s.by[i]))
	near := a.Bounds().Grow(s.width)
	for by < mostSpacing*s.width {
		b := s.fresh[k].Transform(s.moved(s.places[k], s.by[k].Add(way.Mul(by))))
		if near.Intersect(b.Bounds()).Empty() {
			return by
		}
		gap := closer(a, b, s.width)
		if gap >= s.width {
			return by
		}
		by += math.Max(s.width-gap, spacingStep*s.width)
	}
	return mostSpacing * s.width
}
