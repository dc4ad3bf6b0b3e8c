package trace

import (
	"context"
	"math"
	"slices"

	"abut/geometry/parallel"
)

// A scan or a photograph of a drawing has grain all over and light that falls off
// to one side. Both are taken away before inks are looked for.

// grain returns the standard deviation of what differs from pixel to pixel where
// nothing is drawn, from the median, so that edges do not count: 0 for what was
// painted by a program, whatever its file did to it.
func (p *picture) grain() float64 {
	var count [256]int
	total := 0
	step := max(1, len(p.pix)/200_000)
	for i := 1; i < len(p.pix); i += step {
		if i%p.w != 0 {
			count[apart(p.pix[i], p.pix[i-1])]++
			total++
		}
	}
	below := 0
	for d, n := range count {
		if below += n; 2*below > total {
			// The median of the largest of three differences of two normal values each.
			return float64(d) / 1.8
		}
	}
	return 0
}

// isEven reports whether most of what is nearly of one colour some way apart is of
// just one: areas that a program filled, under no light.
func (p *picture) isEven() bool {
	const apartBy, nearly = 16, 12
	same, near := 0, 0
	for y := 0; y < p.h; y += max(1, p.h/400) {
		row := p.pix[y*p.w : (y+1)*p.w]
		for x := apartBy; x < len(row); x += 3 {
			if d := apart(row[x], row[x-apartBy]); d <= 1 {
				same++
				near++
			} else if d <= nearly {
				near++
			}
		}
	}
	return 2*same > near
}

// smoothed returns the picture with each pixel made the mean of those near it that
// look like it, twice, so that grain goes and edges stay: J.-S. Lee, "Digital image
// smoothing and the sigma filter", 1983.
func (p *picture) smoothed(ctx context.Context) (*picture, error) {
	const around, rounds = 2, 2
	// What is within some three deviations of both is alike.
	within := int(math.Max(14, math.Min(40, 4.5*p.grain())))
	for range rounds {
		q := p.blank()
		err := parallel.Ranges(ctx, p.h, 16, func(_, lo, hi int) error {
			for y := lo; y < hi; y++ {
				if err := ctx.Err(); err != nil {
					return err
				}
				for x := range p.w {
					c := p.pix[y*p.w+x]
					var sum [4]int
					n := 0
					for v := max(y-around, 0); v <= min(y+around, p.h-1); v++ {
						for _, d := range p.pix[v*p.w+max(x-around, 0) : v*p.w+min(x+around+1, p.w)] {
							if apart(c, d) <= within {
								for k := range sum {
									sum[k] += int(d[k])
								}
								n++
							}
						}
					}
					for k := range sum {
						q.pix[y*p.w+x][k] = uint8((sum[k] + n/2) / n)
					}
				}
			}
			return nil
		})
		if err != nil {
			return nil, err
		}
		p = q
	}
	return p, nil
}

// sample is the logarithm of how bright a place of a picture is, both its sides counted as 1.
type sample struct{ x, y, v float64 }

// bright returns how bright the brightest of each square of a picture is, but for a fifth of
// its pixels.
func (p *picture) bright() (all []sample) {
	side := max(8, max(p.w, p.h)/32)
	bright := make([]int, 0, side*side)
	for y := 0; y+side <= p.h; y += side {
		for x := 0; x+side <= p.w; x += side {
			bright = bright[:0]
			for v := y; v < y+side; v++ {
				for _, c := range p.pix[v*p.w+x : v*p.w+x+side] {
					bright = append(bright, c.brightness())
				}
			}
			slices.Sort(bright)
			if v := bright[len(bright)*4/5]; v > 0 {
				all = append(all, sample{float64(x+side/2) / float64(p.w), float64(y+side/2) / float64(p.h), math.Log(float64(v))})
			}
		}
	}
	return all
}

// paperOf returns those that may be of paper, the brightest there is much of; light may fall
// to a half.
func paperOf(all []sample) []sample {
	values := make([]float64, len(all))
	for i, s := range all {
		values[i] = s.v
	}
	slices.Sort(values)
	top := values[len(values)*9/10]
	return slices.DeleteFunc(slices.Clone(all), func(s sample) bool { return s.v <= top-math.Ln2 })
}

// lightOn fits a surface to paper; false where less than a sixth of so many squares follow
// it. Art is darker than paper, and nothing is much brighter: so what lies below the surface
// counts for a hundredth, for there may be more of light art than of paper, and in the end
// what is far from it counts for nothing. That is done once: done again and again it would
// draw the surface down to such art, a little more of it each time.
func lightOn(paper []sample, of int) (k [6]float64, ok bool) {
	const rounds, strays, below = 12, 0.04, 0.01
	for round := range rounds - 1 {
		// Light seldom bends much. Without this it would bend into a bowl over light art in
		// the middle of the paper, which touches the paper all round. It weighs as much as a
		// third of one of the thousand squares, so that paper decides where it is seen.
		const bends = 0.3
		was := k
		if k, ok = fitted(paper, bends, func(off float64) float64 {
			if round > 0 && off < 0 {
				return below
			}
			return 1
		}, was); !ok {
			return k, false
		}
	}
	near, was := 0, k
	k, ok = fitted(paper, 0, func(off float64) float64 {
		if math.Abs(off) > strays {
			return 0
		}
		near++
		return 1
	}, was)
	return k, ok && near*6 >= of
}

// fitted fits a surface by least squares, each sample weighed by how far it lies off another
// surface; bends weighs down its terms of the second degree. False when there are too few.
func fitted(samples []sample, bends float64, weigh func(off float64) float64, was [6]float64) ([6]float64, bool) {
	var m [6][7]float64
	for i := 3; i < len(m); i++ {
		m[i][i] = bends
	}
	for _, s := range samples {
		f := terms(s.x, s.y)
		weight := weigh(s.v - dot(was, f))
		if weight == 0 {
			continue
		}
		for i := range f {
			for j := range f {
				m[i][j] += weight * f[i] * f[j]
			}
			m[i][6] += weight * f[i] * s.v
		}
	}
	return solved(m)
}

// falls returns by how much light falls off, as a logarithm.
func falls(k [6]float64) float64 {
	least, most := math.Inf(1), math.Inf(-1)
	for y := 0.0; y <= 1; y += 0.125 {
		for x := 0.0; x <= 1; x += 0.125 {
			v := dot(k, terms(x, y))
			least, most = math.Min(least, v), math.Max(most, v)
		}
	}
	return most - least
}

// brightness is how bright a colour is, 0 to 255.
func (c rgba) brightness() int { return (299*int(c[0]) + 587*int(c[1]) + 114*int(c[2])) / 1000 }

// terms are those of a surface of the second degree.
func terms(x, y float64) [6]float64 { return [6]float64{1, x, y, x * x, x * y, y * y} }

func dot(a, b [6]float64) (sum float64) {
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

// solved solves six linear equations, by elimination; false when they have no one
// solution.
func solved(m [6][7]float64) (out [6]float64, ok bool) {
	for i := range m {
		best := i
		for j := i; j < 6; j++ {
			if math.Abs(m[j][i]) > math.Abs(m[best][i]) {
				best = j
			}
		}
		m[i], m[best] = m[best], m[i]
		if math.Abs(m[i][i]) < 1e-9 {
			return out, false
		}
		for j := range m {
			if j == i {
				continue
			}
			f := m[j][i] / m[i][i]
			for c := i; c < 7; c++ {
				m[j][c] -= f * m[i][c]
			}
		}
	}
	for i := range out {
		out[i] = m[i][6] / m[i][i]
	}
	return out, true
}
