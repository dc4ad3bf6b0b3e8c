package cutfile

import "math"

// distance is in steps.
func distance(a, b Point) float64 {
	x, y := float64(a.X-b.X), float64(a.Y-b.Y)
	return math.Sqrt(x*x + y*y)
}

// grid finds the nearest of the places that are in it.
type grid struct {
	min   Point
	size  Steps // of a cell
	w, h  int
	cells [][]held
	left  map[int]bool // whose places count still
}

type held struct {
	place
	of int
}

// newGrid returns an empty grid for these places, with cells for some two of them
// each if they are spread evenly.
func newGrid(all [][]place) *grid {
	g := &grid{min: Point{math.MaxInt64, math.MaxInt64}, left: map[int]bool{}}
	most := Point{math.MinInt64, math.MinInt64}
	n := 0
	for _, ps := range all {
		for _, p := range ps {
			g.min = Point{min(g.min.X, p.X), min(g.min.Y, p.Y)}
			most = Point{max(most.X, p.X), max(most.Y, p.Y)}
			n++
		}
	}
	w, h := float64(most.X-g.min.X)+1, float64(most.Y-g.min.Y)+1
	g.size = max(1, Steps(math.Sqrt(w*h*2/float64(n))), Steps(max(w, h)/float64(n)))
	g.w, g.h = int((most.X-g.min.X)/g.size)+1, int((most.Y-g.min.Y)/g.size)+1
	g.cells = make([][]held, g.w*g.h)
	return g
}

func (g *grid) cell(p Point) (x, y int) {
	x, y = int((p.X-g.min.X)/g.size), int((p.Y-g.min.Y)/g.size)
	return min(max(x, 0), g.w-1), min(max(y, 0), g.h-1)
}

func (g *grid) add(of int, places []place) {
	g.left[of] = true
	for _, p := range places {
		x, y := g.cell(p.Point)
		g.cells[y*g.w+x] = append(g.cells[y*g.w+x], held{p, of})
	}
}

// take returns the place nearest to a point and whose it is, which counts no more. Of
// two as near it is the one of the lower number.
func (g *grid) take(from Point) (of int, at place) {
	x, y := g.cell(from)
	best := math.Inf(1)
	for ring := 0; ring <= max(g.w, g.h); ring++ {
		// All in a ring is at least so far from the cell in its middle.
		if float64(ring-1)*float64(g.size) > best {
			break
		}
		g.ring(x, y, ring, func(h held) {
			if d := distance(from, h.Point); d < best || d == best && h.of < of {
				best, of, at = d, h.of, h.place
			}
		})
	}
	delete(g.left, of)
	return of, at
}

// ring calls f with all that counts in the cells around one.
func (g *grid) ring(x, y, r int, f func(held)) {
	for yy := max(y-r, 0); yy <= min(y+r, g.h-1); yy++ {
		step := 1
		if yy != y-r && yy != y+r {
			step = max(2*r, 1) // of the rows between, both ends
		}
		for xx := x - r; xx <= x+r; xx += step {
			if xx < 0 || xx >= g.w {
				continue
			}
			kept := g.cells[yy*g.w+xx][:0]
			for _, h := range g.cells[yy*g.w+xx] {
				if g.left[h.of] {
					kept = append(kept, h)
					f(h)
				}
			}
			g.cells[yy*g.w+xx] = kept
		}
	}
}
