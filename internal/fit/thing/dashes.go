package thing

import (
	"context"
	"math"

	"abut/geometry"
	"abut/geometry/planar"
)

const (
	// dashTimes is how long a dash is at least, in its width: as one that is as broad
	// is no speck.
	dashTimes = 2
	// gapTimes is how wide the gaps between dashes are at least, in their width, ends
	// and all: a little more than can be cut.
	gapTimes = 1.05
)

// dashed returns the dashes of a shape drawn with another width, as few and as long
// as that needs, in runs that reach as far as they did.
func dashed(ctx context.Context, things []*Thing, width float64) (geometry.Path, error) {
	round := len(things[0].ends) == 0
	var out geometry.Path
	for _, line := range joined(things) {
		length := lengthOf(line)
		reach, gap := 0.0, gapTimes*width
		if round {
			reach = width // of both ends together, beyond the line's own
			gap += width
		}
		period := math.Max(gap+math.Max(0, dashTimes*width-reach), pace(things))
		n := math.Max(1, math.Floor((length+gap)/period))
		dash := (length - (n-1)*gap) / n
		if own := lengthOf(things[0].dash); n > 1 && dash > own && own+gap >= period {
			dash = own // there is room: as long as they were, with wider gaps
			gap = (length - n*dash) / (n - 1)
		}
		for k := 0.0; k < n; k++ {
			out = append(out, band(part(line, k*(dash+gap), k*(dash+gap)+dash), width/2, round)...)
		}
	}
	d, err := planar.Region(ctx, planar.Layer{Figures: []planar.Figure{{Path: out}}}, planar.RegionOptions{Options: planar.Options{SagittaMM: sagittaMM}})
	if err != nil {
		return nil, err
	}
	return d.All(), nil
}

// pace is how far one dash is from the next, both ways from start to start.
func pace(things []*Thing) float64 {
	a, b := things[0].dash, things[1].dash
	return lengthOf(a) + b[0].Sub(a[len(a)-1]).Len()
}

// joined returns the lines that dashes follow, straight across their gaps.
func joined(things []*Thing) [][]geometry.Point {
	far := runTimes * pace(things)
	var out [][]geometry.Point
	for i, t := range things {
		if n := len(out); i > 0 && t.dash[0].Sub(out[n-1][len(out[n-1])-1]).Len() < far {
			out[n-1] = append(out[n-1], t.dash...)
			continue
		}
		out = append(out, append([]geometry.Point(nil), t.dash...))
	}
	return out
}

// nothingMM is a length that is but rounding, and has no direction.
const nothingMM = 1e-9

// part returns what of a line lies between two distances from its start.
func part(line []geometry.Point, from, to float64) []geometry.Point {
	var out []geometry.Point
	at := 0.0
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		l := b.Sub(a).Len()
		if l == 0 {
			continue
		}
		if lo, hi := math.Max(from, at), math.Min(to, at+l); hi-lo > nothingMM {
			if out == nil {
				out = append(out, a.Lerp(b, (lo-at)/l))
			}
			out = append(out, a.Lerp(b, (hi-at)/l))
		}
		at += l
	}
	return out
}

// band returns what a pen of radius r covers along a line, to be filled nonzero.
func band(line []geometry.Point, r float64, round bool) geometry.Path {
	var out geometry.Path
	add := func(c geometry.Contour) {
		if p := (geometry.Path{c}); p.SignedArea() < 0 {
			c = p.Reverse()[0]
		}
		out = append(out, c)
	}
	across := func(i int) geometry.Point {
		way := line[i].Sub(line[i-1])
		return geometry.Pt(way.Y, -way.X).Mul(r / way.Len())
	}
	for i := 1; i < len(line); i++ {
		a, b, n := line[i-1], line[i], across(i)
		add(geometry.Polygon(a.Add(n), b.Add(n), b.Sub(n), a.Sub(n)))
		if i > 1 { // the chords turn by little: a triangle fills the corner
			was := across(i - 1)
			add(geometry.Polygon(a, a.Add(was), a.Add(n)))
			add(geometry.Polygon(a, a.Sub(was), a.Sub(n)))
		}
	}
	if round && len(line) > 0 {
		add(geometry.Ellipse(line[0], r, r))
		add(geometry.Ellipse(line[len(line)-1], r, r))
	}
	return out
}
