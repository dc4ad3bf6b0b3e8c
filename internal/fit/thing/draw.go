package thing

import (
	"context"
	"math"
	"slices"

	"abut/geometry"
	"abut/internal/job"
)

// Made is a mend of a thing that was found.
type Made struct {
	job.Mend
	// AreaMM2 is by how much what is alike grew, whatever lies over it.
	AreaMM2 float64
}

// Layer is a layer that mends are about.
type Layer struct {
	Shapes    []job.Shape
	Transform geometry.Affine // to the board
	Text      bool            // it is lettering
	// Beneath are the layers that it lies over, bottom first.
	Beneath []Ground
}

// foundMM is how far from its place a thing may lie that a mend is about: rounding
// moves it by far less.
const foundMM = 0.1

// Draw returns the layer's shapes with its things as the mends would have them, in
// the layer's own units, and the mends whose thing is there. What is alike is
// treated alike. Nothing comes to lie outside of page, the extent of the art, that
// was within: it moves in, or is cut off there. Errors as planar.Build.
func Draw(ctx context.Context, l Layer, page geometry.Rect, mends []job.Mend) ([]job.Shape, []Made, error) {
	back, ok := l.Transform.Invert()
	if !ok {
		return l.Shapes, nil, nil
	}
	things, err := Find(ctx, l.Shapes, l.Transform, l.Text)
	if err != nil {
		return nil, nil, err
	}
	fresh := make([]geometry.Path, len(things))
	for i := range things {
		fresh[i] = things[i].Outline
	}
	scale := math.Sqrt(math.Abs(l.Transform.Det()))
	// Larger comes before broader, which is in true millimetres.
	order := slices.Clone(mends)
	slices.SortStableFunc(order, func(a, b job.Mend) int { return int(b.Do) - int(a.Do) })
	var made []Made
	changed, moved := map[int]bool{}, map[int]bool{}
	for _, m := range order {
		at := At(things, l.Transform.Apply(m.At), foundMM)
		if at < 0 {
			continue
		}
		var members []int
		about := geometry.EmptyRect()
		for i := range things {
			if things[i].Group == things[at].Group {
				members = append(members, i)
				about = about.Union(things[i].Bounds)
			}
		}
		area, drawn := 0.0, m.Drawn*scale
		if things[at].Kind == Dash && len(members) > 1 && m.Do == job.Broaden && m.WidthMM > drawn { // one alone has no pace: it is a stroke
			var run []*Thing
			for _, i := range members {
				run = append(run, &things[i])
				area -= things[i].AreaMM2
				fresh[i] = nil
				changed[i], moved[things[i].Shape] = true, true
			}
			if fresh[members[0]], err = dashed(ctx, run, m.WidthMM); err != nil {
				return nil, nil, err
			}
			made = append(made, Made{m, math.Abs(area + fresh[members[0]].SignedArea())})
			continue
		}
		for _, i := range members {
			t := &things[i]
			before := fresh[i]
			switch {
			case m.WidthMM <= drawn:
			case m.Do == job.Enlarge:
				centre := t.Bounds.Centre()
				if t.Kind == Letter {
					centre = about.Centre()
				} else if m.Together {
					centre = Cluster(things, i).Centre()
				}
				by := l.Transform.Apply(m.Moved).Sub(l.Transform.Apply(geometry.Point{}))
				fresh[i] = before.Transform(geometry.Translate(by.X, by.Y).Mul(larger(centre, m.WidthMM/drawn)))
				moved[things[i].Shape] = true
			case t.strands != nil:
				if fresh[i], err = t.strongly(ctx, m.WidthMM); err != nil {
					return nil, nil, err
				}
			default:
				if fresh[i], err = t.broader(ctx, before, (m.WidthMM-drawn)/2, m.Side); err != nil {
					return nil, nil, err
				}
				if t.Stroke && t.Kind == Line {
					if fresh[i], err = t.endOn(ctx, fresh[i], m.WidthMM, l.Beneath); err != nil {
						return nil, nil, err
					}
				}
			}
			if m.WidthMM > drawn {
				changed[i] = true
				area += math.Abs(fresh[i].SignedArea()) - math.Abs(before.SignedArea())
			}
		}
		made = append(made, Made{m, area})
	}
	if len(changed) == 0 {
		return l.Shapes, made, nil
	}
	if err := keepInside(ctx, things, fresh, changed, page); err != nil {
		return nil, nil, err
	}
	out := slices.Clone(l.Shapes)
	for i := 0; i < len(things); {
		s, other := things[i].Shape, false
		var path geometry.Path
		for ; i < len(things) && things[i].Shape == s; i++ {
			path = append(path, fresh[i]...)
			other = other || changed[i]
		}
		if other {
			out[s].Path, out[s].Rule = path.Transform(back), geometry.NonZero
			if moved[s] {
				out[s].Centre = nil // no longer what a pen would follow
			}
		}
	}
	return out, made, nil
}

// keepInside moves what grew out of the page in again, letters of a word together,
// and cuts off what has no room.
func keepInside(ctx context.Context, things []Thing, fresh []geometry.Path, changed map[int]bool, page geometry.Rect) error {
	bounds := map[int]geometry.Rect{}
	key := func(i int) int {
		if things[i].Kind == Letter {
			return things[i].Group
		}
		return i
	}
	for i := range things {
		if changed[i] {
			b, ok := bounds[key(i)]
			if !ok {
				b = geometry.EmptyRect()
			}
			bounds[key(i)] = b.Union(fresh[i].Bounds())
		}
	}
	for i := range things {
		if !changed[i] || !page.Grow(foundMM).Encloses(things[i].Bounds) || page.Encloses(bounds[key(i)]) {
			continue
		}
		move := inside(bounds[key(i)], page)
		fresh[i] = fresh[i].Transform(geometry.Translate(move.X, move.Y))
		if !page.Encloses(fresh[i].Bounds()) {
			var err error
			if fresh[i], err = within(ctx, fresh[i], page); err != nil {
				return err
			}
		}
	}
	return nil
}
