package trace

import (
	"context"
	"math"
	"slices"

	"abut/geometry/parallel"
)

// Printed comics and newspapers show tints by screens: dots, or holes, in rows that are evenly apart, of one
// ink or several. To the eye they are tints; cut as drawn they are thousands of dots of less than
// a millimetre. So each pixel of a screen becomes the mean of the screen around it, and what is drawn over it
// (outlines, eyes, lettering) stays as it is.

const (
	// fewestDots is how many dots in rows make a screen, and finest how many fit beside each other into the
	// longer side at least: at 100 mm they are 1.5 mm apart then, and narrower than a blade can cut. Coarser ones
	// are a pattern that is meant, as polka dots are.
	fewestDots, finest = 600, 64
	// leastPitch is how many pixels dots are apart at least: finer ones are taken as strewn.
	leastPitch = 3.5
	// inRows is the share of dots whose nearest neighbour is as far away as that of others, within evenly of
	// that: of screens it is 0.87 at least, of strewn dots 0.6 at most.
	inRows, evenly = 0.8, 0.2
	// inkedBy is how far from the paper's colour a channel is that counts as ink, likeDots how far a spot's
	// colour may be from that of dots that have run together.
	inkedBy, likeDots = 64, 60
)

// screen is what one channel shows of a screen: that of a printer's ink, as other inks hardly show there.
type screen struct {
	w, h int
	ink  []bool
	// of is the spot of each pixel, spots of ink and of paper between it.
	of    []int32
	spots []spot
	// pitch is how far dots are apart, in pixels.
	pitch float64
}

// spot is a connected region of ink or of paper.
type spot struct {
	ink                    bool
	n                      int
	left, top, right, down int
	x, y                   float64 // of its middle
	colour                 [4]int  // the sum of its pixels'
	// dot: it is one of a screen.
	dot bool
}

func (s *spot) mean() (c rgba) {
	for k := range c {
		c[k] = uint8(s.colour[k] / s.n)
	}
	return c
}

func (s *spot) size() int { return max(s.right-s.left, s.down-s.top) + 1 }

// isRound reports whether it may be a dot, up to a size.
func (s *spot) isRound(most float64) bool {
	w, h := s.right-s.left+1, s.down-s.top+1
	return float64(max(w, h)) <= most && max(w, h) <= 2*min(w, h) && 5*s.n >= 2*w*h
}

// descreened returns the picture with the tints that its screens show, and whether it had any.
func (p *picture) descreened(ctx context.Context) (q *picture, was bool, err error) {
	if float64(max(p.w, p.h)) < leastPitch*float64(finest) {
		return p, false, nil
	}
	paper := p.commonest()
	var found []*screen
	for channel := range paper {
		if err := ctx.Err(); err != nil {
			return nil, false, err
		}
		s := &screen{w: p.w, h: p.h, ink: make([]bool, len(p.pix))}
		for i, c := range p.pix {
			s.ink[i] = max(c[channel], paper[channel])-min(c[channel], paper[channel]) > inkedBy
		}
		if !s.mayHaveDots() {
			continue
		}
		if err := s.part(ctx, p); err != nil {
			return nil, false, err
		}
		if s.findDots() {
			found = append(found, s)
		}
	}
	if len(found) == 0 {
		return p, false, nil
	}
	// What is left of a screen are tints, which need fewer pixels than dots; but they must be told.
	factor := math.Sqrt(float64(len(p.pix)) / mostGrainy)
	for _, s := range found {
		factor = math.Min(factor, s.pitch/(2*leastPitch))
	}
	if factor > 1 {
		small, err := p.reduced(ctx, factor)
		if err != nil {
			return nil, false, err
		}
		return small.descreened(ctx)
	}
	if q, err = p.tinted(ctx, paper, found); err != nil {
		return nil, false, err
	}
	return q, true, nil
}

// mayHaveDots reports whether there are as many short beginnings of ink, or of paper, from above as a screen has: a
// glance that spares most pictures the rest.
func (s *screen) mayHaveDots() bool {
	most := max(s.w, s.h) / finest
	tops := map[bool]int{}
	for y := 1; y < s.h; y++ {
		up, row := s.ink[(y-1)*s.w:y*s.w], s.ink[y*s.w:(y+1)*s.w]
		for from, x := 0, 1; x < len(row); x++ {
			if row[x] == row[x-1] {
				continue
			}
			if x-from <= most && !slices.Contains(up[from:x], row[from]) {
				tops[row[from]]++
			}
			from = x
		}
	}
	return max(tops[true], tops[false]) >= fewestDots
}

// commonest is the colour that most pixels have, about.
func (p *picture) commonest() rgba {
	coarse := func(c rgba) int { return int(c[0]>>4)<<12 | int(c[1]>>4)<<8 | int(c[2]>>4)<<4 | int(c[3]>>4) }
	counts := make([]int, 1<<16)
	best := 0
	for _, c := range p.pix {
		counts[coarse(c)]++
	}
	for c, n := range counts {
		if n > counts[best] {
			best = c
		}
	}
	var sum [4]int
	for _, c := range p.pix {
		if coarse(c) == best {
			for k := range sum {
				sum[k] += int(c[k])
			}
		}
	}
	var mean rgba
	for k := range mean {
		mean[k] = uint8(sum[k] / max(counts[best], 1))
	}
	return mean
}

// part finds the spots: ink is joined where it touches along a side, paper too.
func (s *screen) part(ctx context.Context, p *picture) error {
	s.of = make([]int32, len(s.ink))
	for i := range s.of {
		s.of[i] = -1
	}
	var stack []int32
	for i := range s.ink {
		if i%s.w == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		if s.of[i] >= 0 {
			continue
		}
		id := int32(len(s.spots))
		t := spot{ink: s.ink[i], left: s.w, top: s.h, right: -1, down: -1}
		s.of[i] = id
		stack = append(stack[:0], int32(i))
		for len(stack) > 0 {
			k := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			t.add(int(k)%s.w, int(k)/s.w, p.pix[k])
			stack = s.beside(k, id, stack)
		}
		t.x /= float64(t.n)
		t.y /= float64(t.n)
		s.spots = append(s.spots, t)
	}
	return nil
}

func (s *spot) add(x, y int, c rgba) {
	s.n++
	s.left, s.right, s.top, s.down = min(s.left, x), max(s.right, x), min(s.top, y), max(s.down, y)
	s.x += float64(x)
	s.y += float64(y)
	for k, v := range c {
		s.colour[k] += int(v)
	}
}

// beside gives the pixels beside one that are of the same spot to it.
func (s *screen) beside(k, id int32, stack []int32) []int32 {
	x := int(k) % s.w
	for _, d := range [4]struct {
		by int
		is bool
	}{{-1, x > 0}, {1, x+1 < s.w}, {-s.w, int(k) >= s.w}, {s.w, int(k)+s.w < len(s.ink)}} {
		if n := int(k) + d.by; d.is && s.of[n] < 0 && s.ink[n] == s.ink[k] {
			s.of[n] = id
			stack = append(stack, int32(n))
		}
	}
	return stack
}

// findDots finds which spots are dots of a screen, or holes in one, and reports whether there is any.
func (s *screen) findDots() bool {
	most := float64(max(s.w, s.h)) / finest
	for _, ink := range []bool{true, false} {
		var round []int
		for i := range s.spots {
			if t := &s.spots[i]; t.ink == ink && t.isRound(most) {
				round = append(round, i)
			}
		}
		c := newCells(s, round)
		if c == nil {
			continue
		}
		pitch, is := c.pitch(s.spots)
		if !is || pitch > most {
			continue
		}
		s.pitch = max(s.pitch, pitch)
		for _, i := range round { // a dot has others beside it, in the row and in the next one
			n := 0
			c.around(s.spots, i, 1.6*pitch, func(float64) { n++ })
			s.spots[i].dot = n >= 3
		}
	}
	return s.pitch > 0
}

// likeADot reports of each pixel of ink whether it is of the screen although its spot is none of its dots, since dots have
// run together there, or into a line: it is no broader than a dot and of the colour of those around it.
func (s *screen) likeADot(p *picture) func(i int) bool {
	paper, dots, ink := make([]bool, len(s.ink)), make([]uint8, len(s.ink)), make([]uint8, len(s.ink))
	for i, is := range s.ink {
		paper[i] = !is
		if is {
			ink[i] = dotted
		}
		if t := &s.spots[s.of[i]]; t.ink && t.dot {
			dots[i] = dotted
		}
	}
	half := int(math.Ceil(0.6 * s.pitch))
	core := grown(paper, s.w, half)
	for i := range core {
		core[i] = !core[i]
	}
	broad := grown(core, s.w, half+1)
	ofDots, ofInk := p.table(dots, false), p.table(ink, false)
	far, near := int(4*s.pitch), int(1.5*s.pitch)
	return func(i int) bool {
		if broad[i] {
			return false
		}
		x, y := i%s.w, i/s.w
		sum := ofDots.in(x-far, y-far, x+far+1, y+far+1)
		if sum[4] == 0 || apart(p.pix[i], sum.mean()) > likeDots {
			return false
		}
		t := &s.spots[s.of[i]]
		return float64(t.size()) <= 8*s.pitch || apart(p.pix[i], t.mean()) > likeDots ||
			5*int(ofInk.in(x-near, y-near, x+near+1, y+near+1)[4]) >= 2*(2*near+1)*(2*near+1)
	}
}

// cells are spots by where their middle is, of a size that about one falls into each.
type cells struct {
	side float64
	all  []int
	in   map[[2]int][]int
}

// newCells returns those of spots, nil where they are too few or too close for a screen.
func newCells(s *screen, all []int) *cells {
	if len(all) < fewestDots {
		return nil
	}
	c := &cells{side: math.Sqrt(float64(s.w) * float64(s.h) / float64(len(all))), all: all, in: map[[2]int][]int{}}
	if c.side < leastPitch {
		return nil
	}
	for _, i := range all {
		at := c.at(&s.spots[i])
		c.in[at] = append(c.in[at], i)
	}
	return c
}

func (c *cells) at(t *spot) [2]int { return [2]int{int(t.x / c.side), int(t.y / c.side)} }

// around calls f with the distance of each other spot whose middle is at most so far from that of one.
func (c *cells) around(spots []spot, i int, most float64, f func(d float64)) {
	t := &spots[i]
	at, reach := c.at(t), int(most/c.side)+1
	for y := at[1] - reach; y <= at[1]+reach; y++ {
		for x := at[0] - reach; x <= at[0]+reach; x++ {
			for _, k := range c.in[[2]int{x, y}] {
				if d := math.Hypot(spots[k].x-t.x, spots[k].y-t.y); k != i && d <= most {
					f(d)
				}
			}
		}
	}
}

// pitch returns how far most spots are from the nearest other one, and whether they lie as a screen's do.
func (c *cells) pitch(spots []spot) (pitch float64, is bool) {
	const asked = 4000 // as many tell as much as all
	var near []float64
	for k := 0; k < len(c.all); k += 1 + len(c.all)/asked {
		least := math.Inf(1)
		c.around(spots, c.all[k], 2*c.side, func(d float64) { least = min(least, d) })
		near = append(near, least)
	}
	slices.Sort(near)
	pitch = near[len(near)/2]
	even := 0
	for _, d := range near {
		if math.Abs(d-pitch) <= evenly*pitch {
			even++
		}
	}
	return pitch, pitch >= leastPitch && float64(even) >= inRows*float64(len(near))
}

// What a pixel is where there are screens.
const (
	plain  = iota // as it is
	dotted        // of a screen
	drawn         // drawn over one
	beside        // a blend of what is drawn and what is not
)

// tinted returns the picture with each pixel of a screen the mean of those around it.
func (p *picture) tinted(ctx context.Context, paper rgba, found []*screen) (*picture, error) {
	pitch := 0.0
	for _, s := range found {
		pitch = max(pitch, s.pitch)
	}
	is := p.kinds(paper, found)
	q := newPicture(p.w, p.h)
	copy(q.pix, p.pix)
	// Twice the mean over a square of some more than a dot's own is about a bell, of which no row is left.
	// Then borders of tints are made sharp again.
	for _, reach := range []float64{0.7 * pitch, 0.7 * pitch, -1.4 * pitch} {
		m, err := q.means(ctx, is, int(math.Round(math.Abs(reach))), reach < 0)
		if err != nil {
			return nil, err
		}
		for i, kind := range is {
			if kind == dotted {
				q.pix[i] = m[i]
			}
		}
		if reach < 0 {
			q.beneathLines(p, paper, is, m)
		}
	}
	return q, nil
}

// kinds tells what each pixel is.
func (p *picture) kinds(paper rgba, found []*screen) []uint8 {
	is := make([]uint8, len(p.pix))
	line, inked := make([]bool, len(p.pix)), make([]bool, len(p.pix))
	for _, s := range found {
		s.mark(p, is, line)
		for i, ink := range s.ink {
			inked[i] = inked[i] || ink
		}
	}
	for i, c := range p.pix {
		if line[i] || !inked[i] && apart(c, paper) > 2*inkedBy {
			is[i], line[i] = drawn, true
		}
	}
	for i, by := range grown(line, p.w, 1) {
		if by && is[i] == dotted {
			is[i] = beside
		}
	}
	return is
}

// mark marks what is of the screen, and ink that is not.
func (s *screen) mark(p *picture, is []uint8, line []bool) {
	dots, holes := make([]bool, len(is)), make([]bool, len(is))
	for i, k := range s.of {
		if t := &s.spots[k]; t.dot {
			dots[i], holes[i] = true, !t.ink
		}
	}
	like := s.likeADot(p)
	near, perforated := grown(dots, s.w, int(math.Ceil(0.75*s.pitch))), grown(holes, s.w, int(math.Ceil(s.pitch)))
	for i, k := range s.of {
		if near[i] {
			is[i] = dotted
		}
		t := &s.spots[k]
		line[i] = line[i] || t.ink && !t.dot && !perforated[i] && !like(i)
	}
}

// beneathLines gives what lies beside a drawn line the mean of the screen there in place of the paper.
func (p *picture) beneathLines(was *picture, paper rgba, is []uint8, tint []rgba) {
	for i, kind := range is {
		if kind != beside || tint[i] == (rgba{}) {
			continue
		}
		over, most := was.pix[i], 0
		for _, by := range [4]int{-1, 1, -p.w, p.w} {
			if n := i + by; n >= 0 && n < len(is) && is[n] == drawn && apart(was.pix[n], paper) > most {
				over, most = was.pix[n], apart(was.pix[n], paper)
			}
		}
		share := 0.0
		if most > 0 {
			share = min(1, float64(apart(was.pix[i], paper))/float64(most))
		}
		for k := range over {
			p.pix[i][k] = uint8(math.Round(share*float64(over[k]) + (1-share)*float64(tint[i][k])))
		}
	}
}

// grown returns what lies within a square of so many pixels around what is marked.
func grown(marked []bool, w, reach int) []bool {
	h := len(marked) / w
	out := make([]bool, len(marked))
	for y := range h { // along rows, then along columns
		last := -1 << 30
		for x := range w {
			if marked[y*w+x] {
				for b := max(last+reach+1, x-reach, 0); b < x; b++ {
					out[y*w+b] = true
				}
				last = x
			}
			out[y*w+x] = out[y*w+x] || x-last <= reach
		}
	}
	rows := slices.Clone(out)
	for x := range w {
		last := -1 << 30
		for y := range h {
			if rows[y*w+x] {
				for b := max(last+reach+1, y-reach, 0); b < y; b++ {
					out[b*w+x] = true
				}
				last = y
			}
			out[y*w+x] = out[y*w+x] || y-last <= reach
		}
	}
	return out
}

// means are the means of the dotted pixels within a square around each that is dotted or beside a
// line, no colour where there are none. With sharp it is that quarter of the square whose pixels are
// most alike: M. Kuwahara et al., "Processing of RI-angiocardiographic images", 1976.
func (p *picture) means(ctx context.Context, is []uint8, reach int, sharp bool) ([]rgba, error) {
	t := p.table(is, sharp)
	out := make([]rgba, len(p.pix))
	err := parallel.Ranges(ctx, p.h, 64, func(_, lo, hi int) error {
		for y := lo; y < hi; y++ {
			if err := ctx.Err(); err != nil {
				return err
			}
			for x := range p.w {
				if i := y*p.w + x; is[i] == dotted || is[i] == beside {
					out[i] = t.mean(x, y, reach, sharp)
				}
			}
		}
		return nil
	})
	return out, err
}
