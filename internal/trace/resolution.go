package trace

import (
	"context"
	"math"
	"slices"

	"abut/geometry/parallel"
)

// A picture that was scaled up, or that a lens blurred, has more pixels than it shows:
// between two areas lie so many blends that these make areas of their own. It is traced
// at the resolution that it has, and what comes out is scaled back.

const (
	// broadest is how many pixels an edge takes at most that was smoothed by area: its
	// steepest step is half of it at least, as a square that a slanting line crosses shows.
	// Broader ones are made usual: of 1.5, 1.75 and 2 the middle loses and adds least, over
	// 60 open drawings scaled up in three ways, blurred, and photographed.
	broadest, usual = 2.0, 1.75
	// leastShown is how many pixels the longer side of what is made usual has at least: one that was
	// drawn on 28 and scaled up has them. What would have fewer are gradients, and no edges.
	leastShown = 48
	// mostGrainy is how many pixels of a scan or a photograph are traced: 0.15 mm each
	// where it fills a sheet of 12 × 12 in, and an edge is found to some tenths of that.
	mostGrainy = 4_000_000
)

// resolved returns the picture at its resolution: itself, or made smaller by a factor.
func (p *picture) resolved(ctx context.Context) (*picture, error) {
	if side := p.blocks(); side > 1 && p.hasBlends() {
		return p.reduced(ctx, float64(side))
	}
	factor := 1.0
	if width := p.edgeWidth(); width > broadest && float64(max(p.w, p.h)) >= leastShown*width/usual {
		factor = width / usual
	}
	if len(p.pix) > mostGrainy && p.isNoisy() && !p.isEven() {
		factor = math.Max(factor, math.Sqrt(float64(len(p.pix))/mostGrainy))
	}
	if factor <= 1 {
		return p, nil
	}
	return p.reduced(ctx, factor)
}

// blocks returns the side of the squares of one colour that the picture consists of, 1 where
// these are its pixels: so it is when each pixel was repeated.
func (p *picture) blocks() int {
	side := gcd(p.w, p.h)
	for y := range p.h {
		row, up := p.row(y), p.row(max(y-1, 0))
		for x, c := range row {
			if x > 0 && c != row[x-1] {
				side = gcd(side, x)
			}
			if c != up[x] {
				side = gcd(side, y)
			}
		}
		if side == 1 {
			break
		}
	}
	return side
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// hasBlends reports whether there are more colours than anyone draws with: blends along edges
// are among them. What was drawn of squares has none, and is meant to show them.
func (p *picture) hasBlends() bool { return p.hasMoreColours(most) }

// hasMoreColours reports whether there are more colours than so many.
func (p *picture) hasMoreColours(than int) bool {
	seen := map[rgba]bool{}
	for i, c := range p.pix {
		if i > 0 && c == p.pix[i-1] {
			continue // as most are
		}
		if seen[c] = true; len(seen) > than {
			return true
		}
	}
	return false
}

// edgeWidth returns how many pixels the sharpest tenth of edges take at most: the height of
// a step over the steepest of what it is made of. 0 where there are few edges.
func (p *picture) edgeWidth() float64 {
	const enough, lines = 32, 400
	var widths []float64
	for _, of := range [2]func(c rgba) int{func(c rgba) int { return c.brightness() + 255 - int(c[3]) }, func(c rgba) int { return int(c[3]) }} {
		for y := 0; y < p.h; y += max(1, p.h/lines) {
			widths = p.steps(widths, of, y*p.w, 1, p.w, p.w)
		}
		for x := 0; x < p.w; x += max(1, p.w/lines) {
			widths = p.steps(widths, of, x, p.w, p.h, 1)
		}
	}
	if len(widths) < enough {
		return 0
	}
	slices.Sort(widths)
	return widths[len(widths)/10]
}

// steps appends the width of each step of what is looked at along n pixels from one on, each
// so many further on in the picture, of those that run across that line more than along it.
// beside is how many further on the pixels next to the line are.
func (p *picture) steps(dst []float64, of func(c rgba) int, from, along, n, beside int) []float64 {
	var s step
	end := func() {
		if s.height < plainContrast {
			return
		}
		if i := from + s.place*along; i >= beside && i+beside < len(p.pix) {
			if across := of(p.pix[i-beside]) - of(p.pix[i+beside]); max(across, -across) <= s.steepest {
				dst = append(dst, float64(s.height)/float64(s.steepest))
			}
		}
	}
	last := of(p.pix[from])
	for k := 1; k < n; k++ {
		next := of(p.pix[from+k*along])
		if d := next - last; !s.goesOn(d) {
			end()
			s = step{rising: d > 0}
			s.add(k, d)
		} else {
			s.add(k, d)
		}
		last = next
	}
	end()
	return dst
}

// step is a run of differences of one sign, of which the middle ones are the steepest. A thin
// line whose brightness is between those of what is on both sides is two of them.
type step struct {
	rising                  bool
	height, steepest, place int
	least                   int // since the steepest
}

func (s *step) goesOn(d int) bool {
	if !s.rising {
		d = -d
	}
	return d > 0 && (2*s.least >= s.steepest || d <= 2*s.least)
}

func (s *step) add(k, d int) {
	d = max(d, -d)
	s.height += d
	if d > s.steepest {
		s.steepest, s.place, s.least = d, k, d
	}
	s.least = min(s.least, d)
}

// overshoot returns how far brightness goes beyond that of the areas on both sides of an
// edge, as a share of its step: of nine in ten clear edges at most. Sharpening does it, making
// smaller with a filter that has negative lobes, and JPEG. 0 where most edges have none, as in
// what was painted: some thin lines look like that, too.
func (p *picture) overshoot() float64 {
	const enough, lines = 32, 400
	var shares []float64
	for y := 0; y < p.h; y += max(1, p.h/lines) {
		shares = p.overshoots(shares, y*p.w, 1, p.w)
	}
	for x := 0; x < p.w; x += max(1, p.w/lines) {
		shares = p.overshoots(shares, x, p.w, p.h)
	}
	slices.Sort(shares)
	if len(shares) < enough || shares[len(shares)/2] == 0 {
		return 0
	}
	return shares[len(shares)*9/10]
}

// overshoots appends that of both sides of each edge along n pixels from one on, each so many
// further on in the picture: the step back right beside it as a share of it. What goes back
// by half is a thin line.
func (p *picture) overshoots(dst []float64, from, along, n int) []float64 {
	const clear = 2 * plainContrast
	bright := func(k int) int { c := p.pix[from+k*along]; return c.brightness() + 255 - int(c[3]) }
	was, on := 0, 0 // the height of the run of one sign before, and of this one
	compare := func(edge, back int) {
		if max(edge, -edge) < clear {
			return
		}
		share := math.Max(0, -float64(back)/float64(edge))
		if share < 0.5 {
			dst = append(dst, share)
		}
	}
	next := func(height int) {
		compare(was, on)
		compare(on, was)
		was, on = on, height
	}
	last := bright(0)
	for k := 1; k < n; k++ {
		d := bright(k) - last
		last += d
		switch {
		case (d > 0) == (on > 0) && (d < 0) == (on < 0):
			on += d
		default:
			next(d)
		}
	}
	next(0)
	return dst
}

// reduced returns the picture made smaller by a factor, each pixel the mean of what it
// covers: so the shares of an edge's pixels still add up to where it runs.
func (p *picture) reduced(ctx context.Context, factor float64) (*picture, error) {
	size := func(n int) int { return max(1, int(math.Round(float64(n)/factor))) }
	q := newPicture(size(p.w), size(p.h))
	q.several, q.profiled = p.several, p.profiled
	columns, rows := coverage(p.w, q.w), coverage(p.h, q.h)
	err := parallel.Ranges(ctx, q.h, 16, func(_, lo, hi int) error {
		for y := lo; y < hi; y++ {
			if err := ctx.Err(); err != nil {
				return err
			}
			for x := range q.w {
				var sum [4]float64
				weight := 0.0
				for j, wy := range rows[y].share {
					row := p.pix[(rows[y].from+j)*p.w+columns[x].from:]
					for i, wx := range columns[x].share {
						share := wx * wy
						weight += share
						for k, v := range row[i] {
							sum[k] += share * float64(v)
						}
					}
				}
				for k := range sum {
					q.pix[y*q.w+x][k] = uint8(math.Round(sum[k] / weight))
				}
			}
		}
		return nil
	})
	return q, err
}

// covered says which pixels of a line another, larger one covers, and how much of each.
type covered struct {
	from  int
	share []float64
}

// coverage divides n pixels evenly among m.
func coverage(n, m int) []covered {
	out := make([]covered, m)
	for i := range out {
		lo, hi := float64(i)*float64(n)/float64(m), float64(i+1)*float64(n)/float64(m)
		out[i].from = int(lo)
		for k := int(lo); k < n && float64(k) < hi-1e-9; k++ {
			out[i].share = append(out[i].share, math.Min(hi, float64(k+1))-math.Max(lo, float64(k)))
		}
	}
	return out
}
