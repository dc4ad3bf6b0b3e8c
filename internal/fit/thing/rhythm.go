package thing

import (
	"math"
	"slices"
)

// rhythm is what comes again and again along a line: dashes, and the gap behind each. Lengths
// are those of the line, without what round ends add to a dash and take from a gap.
type rhythm struct{ dashes, gaps []float64 }

const (
	// longestRhythm is how many dashes one has at most: a dash and two dots.
	longestRhythm = 3
	// likeDashes is by how much those may differ that are as long, of the longer one.
	likeDashes = 0.1
)

// rhythm returns the shortest rhythm that dashes have all along their line, the first and the last
// one left out: those may be cut off. It begins with the first dash. Where there is none, it is a
// dash and a gap of middling length.
func (l *dashedLine) rhythm() rhythm {
	var all rhythm
	for i, d := range l.dashes {
		all.dashes = append(all.dashes, d[1]-d[0])
		if i+1 < len(l.dashes) {
			all.gaps = append(all.gaps, l.dashes[i+1][0]-d[1])
		}
	}
	for n := 1; n <= longestRhythm && 2*n+2 <= len(all.dashes); n++ {
		if inner := all.dashes[1 : len(all.dashes)-1]; repeats(inner, n) && repeats(all.gaps[1:], n) {
			r := rhythm{slices.Clone(inner[:n]), slices.Clone(all.gaps[1 : 1+n])}
			last := n - 1 // the first dash is as the last one of it
			r.dashes = append([]float64{r.dashes[last]}, r.dashes[:last]...)
			r.gaps = append([]float64{r.gaps[last]}, r.gaps[:last]...)
			return r
		}
	}
	return rhythm{[]float64{median(all.dashes)}, []float64{median(all.gaps)}}
}

// repeats reports whether lengths come again after n of them.
func repeats(lengths []float64, n int) bool {
	for i := n; i < len(lengths); i++ {
		if !near(lengths[i], lengths[i-n], likeDashes) {
			return false
		}
	}
	return true
}

// pace is how long it is.
func (r rhythm) pace() (sum float64) {
	for i := range r.dashes {
		sum += r.dashes[i] + r.gaps[i]
	}
	return sum
}

// atLeast returns the rhythm with each dash and each gap at least as long as those, and no longer on
// the whole than that needs: what gaps gain is taken from the dashes that are longer.
func (r rhythm) atLeast(dashes []float64, gap float64) rhythm {
	before := r.pace()
	out := rhythm{slices.Clone(r.dashes), slices.Clone(r.gaps)}
	spare := 0.0
	for i := range out.dashes {
		out.gaps[i] = math.Max(out.gaps[i], gap)
		out.dashes[i] = math.Max(out.dashes[i], dashes[i])
		spare += out.dashes[i] - dashes[i]
	}
	if more := math.Min(out.pace()-before, spare); more > 0 {
		for i := range out.dashes {
			out.dashes[i] -= more * (out.dashes[i] - dashes[i]) / spare
		}
	}
	return out
}

// stretch is a rhythm that becomes a little longer so that it ends where its line does: its gaps do,
// and its dashes, if they are no dots.
type stretch struct {
	rhythm
	dots bool
	// corner is how far a dash around a corner reaches to both sides of it.
	corner float64
}

// longer makes its dashes so many times as long.
func (r *stretch) longer(times float64) {
	for i := range r.dashes {
		r.dashes[i] *= times
	}
	r.corner *= times
}

// apart makes its gaps longer.
func (r *stretch) apart(by float64) {
	for i := range r.gaps {
		r.gaps[i] += by
	}
}

// on returns where the dashes of a rhythm begin and end on a line.
func (r *stretch) on(l *dashedLine) [][2]float64 {
	if out := r.betweenCorners(l); out != nil {
		return out
	}
	if l.closed {
		n := max(1, math.Floor((l.length+nothingMM)/r.pace()))
		return r.lay(int(n)*len(r.dashes), l.length-n*r.pace(), n*r.pace())
	}
	return r.along(l.length)
}

// along returns the dashes that fit in a length: as many as there is room for, at least one, the first
// from its start on and the last to its end.
func (r *stretch) along(length float64) [][2]float64 {
	n, used := 0, 0.0
	for next := 0.0; ; n++ {
		if n > 0 {
			next += r.gaps[(n-1)%len(r.gaps)]
		}
		next += r.dashes[n%len(r.dashes)]
		if n > 0 && next > length+nothingMM {
			break
		}
		used = next
	}
	if n == 1 {
		return [][2]float64{{0, length}}
	}
	return r.lay(n, length-used, used)
}

// lay returns n dashes that, with the gaps between them, take up a length, with some more of it.
func (r *stretch) lay(n int, more, used float64) (out [][2]float64) {
	dash, gap := 1+more/used, 1+more/used
	if r.dots {
		points := 0.0
		for i := range n {
			points += r.dashes[i%len(r.dashes)]
		}
		dash, gap = 1, 1+more/(used-points)
	}
	at := 0.0
	for i := range n {
		k := i % len(r.dashes)
		out = append(out, [2]float64{at, at + dash*r.dashes[k]})
		at += dash*r.dashes[k] + gap*r.gaps[k]
	}
	return out
}

// betweenCorners returns the dashes of a rhythm of one on a line with corners: around each corner lies
// one, and between two they are spread evenly. Where a side is too short for that, nothing.
func (r *stretch) betweenCorners(l *dashedLine) (out [][2]float64) {
	corners := l.corners()
	if len(r.dashes) > 1 || len(corners) == 0 {
		return nil
	}
	dash, gap := r.dashes[0], r.gaps[0]
	marks := make([][2]float64, 0, len(corners)+2)
	for _, at := range corners {
		marks = append(marks, [2]float64{at - r.corner, at + r.corner})
	}
	if l.closed {
		marks = append(marks, [2]float64{marks[0][0] + l.length, marks[0][1] + l.length})
	} else {
		marks = slices.Insert(marks, 0, [2]float64{0, dash})
		marks = append(marks, [2]float64{l.length - dash, l.length})
	}
	for i := 1; i < len(marks); i++ {
		from, side := marks[i-1][1], marks[i][0]-marks[i-1][1]
		n := math.Floor((side + dash + nothingMM) / (dash + gap))
		if n < 1 {
			return nil
		}
		out = append(out, marks[i-1])
		space := (side - (n-1)*dash) / n
		for k := 1.0; k < n; k++ {
			out = append(out, [2]float64{from + k*space + (k-1)*dash, from + k*(space+dash)})
		}
	}
	if !l.closed {
		out = append(out, marks[len(marks)-1])
	}
	return out
}
