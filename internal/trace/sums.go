package trace

import "math"

// table holds sums over all that is dotted above and to the left of each place (a summed-area table): of the
// channels, how many there are, and, where that is asked for, of the squares. What they wrap around by is
// gone from the difference, which is that over a part of a picture.
type table struct {
	w, h    int
	sums    []tally
	squares []uint64
}

type tally [5]uint32

func (s tally) mean() (c rgba) {
	for k := range c {
		c[k] = uint8((s[k] + s[4]/2) / max(s[4], 1))
	}
	return c
}

func (p *picture) table(is []uint8, squares bool) *table {
	t := &table{w: p.w, h: p.h, sums: make([]tally, (p.w+1)*(p.h+1))}
	if squares {
		t.squares = make([]uint64, len(t.sums))
	}
	for y := range p.h {
		var row tally
		square := uint64(0)
		for x := range p.w {
			if i := y*p.w + x; is[i] == dotted {
				for k, v := range p.pix[i] {
					row[k] += uint32(v)
					square += uint64(v) * uint64(v)
				}
				row[4]++
			}
			up, at := y*(p.w+1)+x+1, (y+1)*(p.w+1)+x+1
			for k := range row {
				t.sums[at][k] = t.sums[up][k] + row[k]
			}
			if squares {
				t.squares[at] = t.squares[up] + square
			}
		}
	}
	return t
}

// corners are where the sums over a rectangle are read, as far as it lies within the picture.
func (t *table) corners(l, top, r, b int) [4]int {
	l, top, r, b = max(l, 0), max(top, 0), min(r, t.w), min(b, t.h)
	w := t.w + 1
	return [4]int{b*w + r, top*w + r, b*w + l, top*w + l}
}

// in returns the sums over a rectangle.
func (t *table) in(l, top, r, b int) (sum tally) {
	c := t.corners(l, top, r, b)
	for k := range sum {
		sum[k] = t.sums[c[0]][k] - t.sums[c[1]][k] - t.sums[c[2]][k] + t.sums[c[3]][k]
	}
	return sum
}

// squaresIn returns the sum of the squares over a rectangle.
func (t *table) squaresIn(l, top, r, b int) uint64 {
	c := t.corners(l, top, r, b)
	return t.squares[c[0]] - t.squares[c[1]] - t.squares[c[2]] + t.squares[c[3]]
}

func (t *table) mean(x, y, reach int, sharp bool) rgba {
	sum := t.in(x-reach, y-reach, x+reach+1, y+reach+1)
	if sharp {
		least := math.Inf(1)
		for _, d := range [4][2]int{{-reach, -reach}, {0, -reach}, {-reach, 0}, {0, 0}} {
			l, top := x+d[0], y+d[1]
			s := t.in(l, top, l+reach+1, top+reach+1)
			if s[4] == 0 {
				continue
			}
			n := float64(s[4])
			v := float64(t.squaresIn(l, top, l+reach+1, top+reach+1)) / n
			for k := range 4 {
				v -= float64(s[k]) / n * (float64(s[k]) / n)
			}
			if v < least {
				least, sum = v, s
			}
		}
	}
	return sum.mean()
}
