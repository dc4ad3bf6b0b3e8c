package fit

import (
	"context"
	"sync"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/colour"
	"abut/internal/fit/own"
	"abut/internal/job"
)

// PenMM is how broad a fine pen's line is (common practice): pens for cutters have
// tips of 0.3 to 1 mm.
const PenMM = 0.5

const (
	// onePass is how many times as broad as the pen a stroke is at most that it draws in one
	// go, along its middle: one would see that a broader one became thinner.
	onePass = 1.5
	// penStepMM is how far apart a pen's lines go that fill in what is small: where there
	// is no room for one more, those on both sides meet.
	penStepMM = PenMM / 2
	// penFillMM is how broad a shape is that is filled in. A broader one gets its outline
	// alone: filled in, it would be a wet patch.
	penFillMM = 3.5
	// penSagittaMM is how finely curves become chords where a pen's lines are inset or
	// cross the edge of a piece; its own line is far wider.
	penSagittaMM = 0.01
	// penMissed is how many times as far as it lies within an outline a pen's line may be
	// from a place there: at a corner of 47°.
	penMissed = 2.5
)

// penLine is a line of a drawn layer, before it is known what it lies on.
type penLine struct {
	contour geometry.Contour
	layer   job.LayerID
	name    string
	colour  colour.RGB
	// behind is what hides it, nil for nothing.
	behind *geometry.Enclosure
}

// pens remembers how a pen draws layers, as long as their outlines stay as they are. The zero
// value is ready; it may be used from several goroutines.
type pens struct {
	// hollow: nothing is filled in, which is enough to tell what a pen would draw on.
	hollow bool

	mu   sync.Mutex
	made map[job.LayerID]penned
}

type penned struct {
	shapes    *job.Shape
	count     int
	transform geometry.Affine
	lines     geometry.Path
}

// lines lists the lines of the layers that are drawn. Errors as Compute.
func (b *pens) lines(ctx context.Context, placed []own.Placed) ([]penLine, error) {
	b.mu.Lock()
	old := b.made
	b.mu.Unlock()
	var out []penLine
	made := map[job.LayerID]penned{}
	for i, p := range placed {
		if p.Layer.Use != job.Drawn || len(p.Shapes) == 0 {
			continue
		}
		d, ok := old[p.Layer.ID]
		if !ok || d.shapes != &p.Shapes[0] || d.count != len(p.Shapes) || d.transform != p.Transform {
			d = penned{shapes: &p.Shapes[0], count: len(p.Shapes), transform: p.Transform}
			var err error
			if d.lines, err = drawnBy(ctx, p, b.hollow); err != nil {
				return nil, own.Explain(err, []own.Placed{p})
			}
		}
		made[p.Layer.ID] = d
		behind, err := hiding(ctx, placed[i+1:], d.lines.Bounds())
		if err != nil {
			return nil, err
		}
		for _, c := range d.lines {
			out = append(out, penLine{c, p.Layer.ID, p.Layer.Name, p.Layer.Colour, behind})
		}
	}
	b.mu.Lock()
	b.made = made
	b.mu.Unlock()
	return out, nil
}

// hiding is what layers hide of all that lies beneath them in a rectangle, nil for nothing. Ink and
// what is translucent hide nothing.
func hiding(ctx context.Context, above []own.Placed, within geometry.Rect) (*geometry.Enclosure, error) {
	var figures own.Figures
	var all []planar.Figure
	for _, p := range above {
		if a := p.Layer.Opacity(); p.Layer.Use == job.Drawn || a > 0 && a < 1 {
			continue
		}
		for i := range p.Shapes {
			if f, b := figures.Of(p.Shapes[i:i+1], p.Transform); !b.Intersect(within).Empty() {
				all = append(all, f...)
			}
		}
	}
	if len(all) == 0 {
		return nil, nil
	}
	d, err := planar.Region(ctx, planar.Layer{Figures: all}, planar.RegionOptions{HealMM: own.HealMM})
	if err != nil {
		return nil, own.Explain(err, nil)
	}
	var outline geometry.Path
	for i := range d.Pieces {
		outline = append(outline, d.Outline(i)...)
	}
	return geometry.NewEnclosure(outline.Flatten(penSagittaMM)), nil
}

// drawnBy returns the lines that draw a layer: the centres of strokes that are no broader than
// it takes, and of all else that it covers the outline, filled in where that is narrow unless
// it is to be hollow.
func drawnBy(ctx context.Context, p own.Placed, hollow bool) (out geometry.Path, _ error) {
	var figures own.Figures
	region := func(shapes ...job.Shape) (*planar.Division, error) {
		all, _ := figures.Of(shapes, p.Transform)
		return planar.Region(ctx, planar.Layer{Figures: all}, planar.RegionOptions{HealMM: own.HealMM, Curves: true})
	}
	var filled []job.Shape
	for i := range p.Shapes {
		s := &p.Shapes[i]
		if s.Centre == nil || len(s.Clips) > 0 { // what is seen of one is not all of the line
			filled = append(filled, *s)
			continue
		}
		centre := s.Centre.Transform(p.Transform)
		d, err := region(*s)
		if err != nil {
			return nil, err
		}
		area, length := 0.0, 0.0
		for i := range d.Pieces {
			area += d.Pieces[i].AreaMM2()
		}
		for _, c := range centre {
			length += lengthMM(c)
		}
		if area > onePass*PenMM*length {
			filled = append(filled, *s)
		} else {
			out = append(out, centre...)
		}
	}
	if len(filled) == 0 {
		return out, nil
	}
	d, err := region(filled...)
	if err != nil {
		return nil, err
	}
	for i := range d.Pieces {
		lines := d.Outline(i)
		if !hollow {
			if lines, err = filledIn(ctx, lines); err != nil {
				return nil, err
			}
		}
		for _, c := range lines {
			c.Closed = true
			out = append(out, c)
		}
	}
	return out, nil
}

// filledIn returns the lines by which a pen fills an outline in: the first within it by half
// the pen's width, or by as little as nothing narrow needs, the others each a step further in. What is
// too broad for that has its outline alone.
func filledIn(ctx context.Context, around geometry.Path) (geometry.Path, error) {
	within := func(d float64) (geometry.Path, error) {
		return planar.Offset(ctx, planar.Enclosed(around), -d, geometry.Join{}, planar.Options{})
	}
	if b := around.Bounds(); min(b.Width(), b.Height()) > penFillMM {
		middle, err := within(penFillMM / 2)
		if err != nil || len(middle) > 0 {
			return around, err
		}
	}
	out, at := around, 0.0
	for _, share := range []float64{1, 0.75, 0.5, 0.25} {
		d := share * PenMM / 2
		first, err := within(d)
		if err != nil {
			return nil, err
		}
		if reaches(first, around, penMissed*d) {
			out, at = first, d
			break
		}
	}
	for {
		at += penStepMM
		next, err := within(at)
		if err != nil || len(next) == 0 {
			return out, err
		}
		out = append(out, next...)
	}
}

// reaches reports whether lines come as near as that to all of an outline.
func reaches(lines, outline geometry.Path, within float64) bool {
	for _, c := range outline.Flatten(penSagittaMM) {
		for a, b := range c.Sides() {
			for n, i := int(b.Sub(a).Len()/within), 0; i <= n; i++ {
				if !lines.Nears(a.Lerp(b, float64(i)/float64(n+1)), within) {
					return false
				}
			}
		}
	}
	return true
}

func lengthMM(c geometry.Contour) float64 {
	sum := 0.0
	flat := geometry.Path{c}.Flatten(penSagittaMM)[0]
	from := flat.Start
	for _, s := range flat.Segments {
		sum += s.End.Sub(from).Len()
		from = s.End
	}
	if c.Closed {
		sum += flat.Start.Sub(from).Len()
	}
	return sum
}
