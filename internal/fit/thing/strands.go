package thing

import (
	"context"
	"math"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/job"
)

// strand is one of several narrow contours that lie over each other or side by side in a
// shape: the mast and the stays of a ship's rigging, the posts of a railing. Each has a
// width of its own, where that of the whole is only a mean.
type strand struct {
	outline geometry.Path
	widthMM float64
	ends    []end
}

const (
	// mostStrands is how many contours a thing may have that are looked at one by one.
	mostStrands = 64
	// sameArea is the share by which the area of strands together may differ from that of
	// the thing: else there are holes among them.
	sameArea = 0.01
	// endTimes is how many times as long as a strand is broad its straight end is at most:
	// that of a slanting one is a little longer than across.
	endTimes = 1.5
)

// strandsOf returns the strands that a line of a shape is made of, nil where it is not. Errors
// as planar.Build.
func strandsOf(ctx context.Context, t *Thing, shape geometry.Path) ([]strand, error) {
	if t.Kind != Line || len(shape) < 2 || len(shape) > mostStrands {
		return nil, nil
	}
	var out []strand
	var all planar.Layer
	for _, c := range shape {
		s, is, err := t.strand(ctx, geometry.Path{c})
		if err != nil || is == noLine {
			return nil, err
		}
		if is == elsewhere {
			continue
		}
		out = append(out, s)
		all.Figures = append(all.Figures, planar.Figure{Path: s.outline, Rule: geometry.EvenOdd})
	}
	if len(out) < 2 {
		return nil, nil
	}
	d, err := planar.Region(ctx, all, planar.RegionOptions{})
	if err != nil {
		return nil, err
	}
	area := 0.0
	for i := range d.Pieces {
		area += d.Pieces[i].AreaMM2()
	}
	if math.Abs(area-t.AreaMM2) > sameArea*t.AreaMM2 {
		return nil, nil
	}
	return out, nil
}

// role is what a contour of a shape is to a line.
type role int

const (
	ofLine    role = iota // a strand of it
	noLine                // what shows that it is not made of strands, such as a hole
	elsewhere             // another thing's
)

// strand returns what a line has of a contour of its shape.
func (t *Thing) strand(ctx context.Context, contour geometry.Path) (_ strand, is role, _ error) {
	if t.Bounds.Intersect(contour.Bounds()).Empty() {
		return strand{}, elsewhere, nil
	}
	d, err := planar.Region(ctx, planar.Layer{Figures: []planar.Figure{{Path: contour}}}, planar.RegionOptions{Options: planar.Options{SagittaMM: sagittaMM}})
	if err != nil || len(d.Pieces) == 0 {
		return strand{}, elsewhere, err
	}
	s := Thing{Outline: d.Outline(0), Bounds: d.Pieces[0].Bounds, AreaMM2: d.Pieces[0].AreaMM2()}
	if !t.insideOf().Holds(d.Inside(0)) {
		if t.Bounds.Encloses(s.Bounds) {
			return strand{}, noLine, nil // a hole, as far as one can tell
		}
		return strand{}, elsewhere, nil
	}
	s.WidthMM = stripWidth(s.AreaMM2, d.CutLengthMM(0), false)
	if len(d.Pieces) > 1 || len(d.Pieces[0].Rings) > 1 || s.look() != Line {
		return strand{}, noLine, nil
	}
	return strand{s.Outline, s.WidthMM, straightEnds(s.Outline, s.WidthMM)}, ofLine, nil
}

// straightEnds returns where a narrow outline is cut off straight: short sides, square to
// those beside them but for 45°.
func straightEnds(outline geometry.Path, width float64) (out []end) {
	for _, c := range outline {
		var p []geometry.Point
		for a := range c.Sides() {
			p = append(p, a)
		}
		n := len(p)
		for i := range p {
			a, b := p[i], p[(i+1)%n]
			side, before, after := b.Sub(a), a.Sub(p[(i+n-1)%n]), p[(i+2)%n].Sub(b)
			long := side.Len()
			if long == 0 || long > endTimes*width || before.Len() < long || after.Len() < long {
				continue
			}
			square := func(u, v geometry.Point) bool { return u.Cross(v) > math.Sqrt2/2*u.Len()*v.Len() }
			if square(before, side) && square(side, after) { // outer contours are clockwise on screen
				out = append(out, end{a.Lerp(b, 0.5), geometry.Pt(side.Y, -side.X).Mul(1 / long)})
			}
		}
	}
	return out
}

// strongly returns the outline with each strand as broad as a width, those that are broader as
// they are.
func (t *Thing) strongly(ctx context.Context, width float64) (geometry.Path, error) {
	all := planar.Enclosed(t.Outline)
	for _, s := range t.strands {
		if s.widthMM >= width {
			continue
		}
		one := Thing{WidthMM: s.widthMM, ends: s.ends}
		grown, err := one.broader(ctx, s.outline, (width-s.widthMM)/2, job.BothSides)
		if err != nil {
			return nil, err
		}
		all.Figures = append(all.Figures, planar.Figure{Path: grown, Rule: geometry.EvenOdd})
	}
	d, err := planar.Region(ctx, all, planar.RegionOptions{})
	if err != nil {
		return nil, err
	}
	return d.All(), nil
}

// insideOf tells what the outline encloses.
func (t *Thing) insideOf() *geometry.Enclosure {
	if t.inside == nil {
		t.inside = geometry.NewEnclosure(t.Outline)
	}
	return t.inside
}
