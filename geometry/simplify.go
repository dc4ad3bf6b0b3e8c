package geometry

// Simplified returns closed polygons with fewer corners that stray from the path's
// own by at most off (Douglas and Peucker, Algorithms for the reduction of the number
// of points required to represent a digitized line or its caricature, 1973). Those
// that would enclose nothing are dropped. Curves count as their chords: flatten first.
func (p Path) Simplified(off float64) Path {
	out := make(Path, 0, len(p))
	for _, c := range p {
		pts := []Point{c.Start}
		for _, s := range c.Segments {
			pts = append(pts, s.End)
		}
		if len(pts) > 1 && pts[0] == pts[len(pts)-1] {
			pts = pts[:len(pts)-1]
		}
		// Halves between the first corner and the one furthest from it.
		far := 0
		for i := range pts {
			if pts[i].Sub(pts[0]).Len() > pts[far].Sub(pts[0]).Len() {
				far = i
			}
		}
		if far == 0 {
			continue
		}
		kept := reduce(pts[:far+1], off)
		kept = append(kept, reduce(append(append([]Point{}, pts[far:]...), pts[0]), off)[1:]...)
		kept = kept[:len(kept)-1]
		if len(kept) >= 3 {
			out = append(out, Polygon(kept...))
		}
	}
	return out
}

// reduce keeps both ends.
func reduce(pts []Point, off float64) []Point {
	keep := make([]bool, len(pts))
	keep[0], keep[len(pts)-1] = true, true
	stack := [][2]int{{0, len(pts) - 1}}
	for len(stack) > 0 {
		i, k := stack[len(stack)-1][0], stack[len(stack)-1][1]
		stack = stack[:len(stack)-1]
		worst, at := off, -1
		for m := i + 1; m < k; m++ {
			if d := Nearest(pts[i], pts[k], pts[m]).Sub(pts[m]).Len(); d > worst {
				worst, at = d, m
			}
		}
		if at >= 0 {
			keep[at] = true
			stack = append(stack, [2]int{i, at}, [2]int{at, k})
		}
	}
	var out []Point
	for i, p := range pts {
		if keep[i] {
			out = append(out, p)
		}
	}
	return out
}
