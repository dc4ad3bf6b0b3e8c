package thing

import (
	"context"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/job"
)

// Ground is a layer beneath others, or over them.
type Ground struct {
	Shapes    []job.Shape
	Transform geometry.Affine // to the board
}

// grounds are the layers beneath a layer on the board, or those over it, each laid there once it is asked for.
type grounds struct {
	of    []Ground
	laid  []*laidGround // nil where nobody asked
	roomy map[roomKey]geometry.Path
}

// roomKey is all that it depends on where a ground has room for lines of a width.
type roomKey struct {
	ground   int
	width    float64
	contours string // those that matter
}

// laidGround is one of them.
type laidGround struct {
	shapes []geometry.Path
	bounds geometry.Rect
	// contours are the bounds of the contours of each shape.
	contours [][]geometry.Rect
}

// at returns ground i.
func (g *grounds) at(i int) *laidGround {
	if g.laid == nil {
		g.laid = make([]*laidGround, len(g.of))
	}
	if g.laid[i] == nil {
		l := &laidGround{bounds: geometry.EmptyRect()}
		for _, s := range g.of[i].Shapes {
			path := s.Path.Transform(g.of[i].Transform)
			bounds := make([]geometry.Rect, len(path))
			for k := range path {
				bounds[k] = path[k : k+1].Bounds()
				l.bounds = l.bounds.Union(bounds[k])
			}
			l.shapes, l.contours = append(l.shapes, path), append(l.contours, bounds)
		}
		g.laid[i] = l
	}
	return g.laid[i]
}

// near returns what of ground i matters within a rectangle: contours elsewhere enclose nothing there.
func (g *grounds) near(i int, r geometry.Rect) (out planar.Layer) {
	l := g.at(i)
	for k, path := range l.shapes {
		var some geometry.Path
		for n := range path {
			if !l.contours[k][n].Intersect(r).Empty() {
				some = append(some, path[n])
			}
		}
		if len(some) > 0 {
			out.Figures = append(out.Figures, planar.Figure{Path: some, Rule: g.of[i].Shapes[k].Rule})
		}
	}
	return out
}

// roomOn returns where of what matters of ground i within a rectangle lines of a width have room: all of
// it where that is 0. Lines side by side ask for the same. Errors as planar.Build.
func (g *grounds) roomOn(ctx context.Context, i int, r geometry.Rect, width float64) ([]planar.Figure, error) {
	ground := g.near(i, r)
	if width <= 0 {
		return ground.Figures, nil
	}
	var which []byte
	for _, bounds := range g.at(i).contours {
		for _, b := range bounds {
			which = append(which, '0')
			if !b.Intersect(r).Empty() {
				which[len(which)-1] = '1'
			}
		}
	}
	key := roomKey{i, width, string(which)}
	roomy, known := g.roomy[key]
	if !known {
		opt, d := planar.Options{SagittaMM: sagittaMM}, groundTimes*width/2
		core, err := planar.Offset(ctx, ground, -d, geometry.Join{}, opt)
		if err != nil {
			return nil, err
		}
		if roomy, err = planar.Offset(ctx, planar.Enclosed(core), d, geometry.Join{}, opt); err != nil {
			return nil, err
		}
		if g.roomy == nil {
			g.roomy = map[roomKey]geometry.Path{}
		}
		g.roomy[key] = roomy
	}
	return planar.Enclosed(roomy).Figures, nil
}

const (
	// onShare is the share of a line that lies on a ground where it was drawn on it: its ends
	// may touch the ground's edge.
	onShare = 0.9
	// overShare is the share of what a line has grown by that lies over its ground's edge at
	// most where that is only its ends. A line along an edge grows over it.
	overShare = 0.35
	// mostGrounds is how many layers one looks at from the top.
	mostGrounds = 8
	// groundTimes is how many times as broad as the line its ground must be, and keptShare
	// how much of the line must be left where it ends for want of that.
	groundTimes = 1.8
	keptShare   = 0.55
)

// endOn has a line that was drawn broader end where the uppermost ground that it lies on is still
// broader than it, if it would stick out of the ground's end otherwise: as the line between the
// halves of a beak at its tip; with no width it ends at the ground's edge, as the shade on a neck
// does. Errors as planar.Build.
func (t *Thing) endOn(ctx context.Context, fresh geometry.Path, width float64, g *grounds) (geometry.Path, error) {
	looked := 0
	around := fresh.Bounds().Union(t.Bounds).Grow(2 * groundTimes * width)
	for i := len(g.of) - 1; i >= 0 && looked < mostGrounds; i-- {
		if !g.at(i).bounds.Grow(t.WidthMM).Encloses(t.Bounds) {
			continue
		}
		looked++
		ground := g.near(i, around)
		on, over, err := t.over(ctx, fresh, ground)
		if err != nil {
			return nil, err
		}
		if on && over {
			return g.endWithin(ctx, fresh, width, i, around)
		}
		if on {
			break
		}
	}
	return fresh, nil
}

// over reports whether a line as it was drawn lies on a ground, and whether an end of it, drawn anew,
// lies over the ground's edge.
func (t *Thing) over(ctx context.Context, fresh geometry.Path, ground planar.Layer) (on, over bool, _ error) {
	const anew, under, was = 0, 1, 2
	m, err := planar.Build(ctx, []planar.Layer{anew: planar.Enclosed(fresh), under: ground, was: planar.Enclosed(t.Outline)}, planar.Options{SagittaMM: sagittaMM})
	if err != nil {
		return false, false, err
	}
	all, inside, grown, beyond := 0.0, 0.0, 0.0, 0.0
	for f := range planar.FaceID(m.NumFaces()) {
		cover, area := m.Cover(f), m.AreaMM2(f)
		has := func(k int32) bool { return slices.Contains(cover, k) }
		switch {
		case has(was):
			if all += area; has(under) {
				inside += area
			}
		case has(anew):
			if grown += area; !has(under) {
				beyond += area
			}
		}
	}
	return inside >= onShare*all, beyond > 0 && beyond <= overShare*grown, nil
}

// endWithin returns what of a line lies where ground i has room for it, or on all of that where no
// width is given; all of it where that is too little, or not in one piece.
func (g *grounds) endWithin(ctx context.Context, fresh geometry.Path, width float64, i int, around geometry.Rect) (geometry.Path, error) {
	room, err := g.roomOn(ctx, i, around, width)
	if err != nil {
		return nil, err
	}
	clips := []*planar.Clip{{Figures: room}}
	d, err := planar.Region(ctx, planar.Layer{Figures: []planar.Figure{{Path: fresh, Rule: geometry.EvenOdd, Clips: clips}}}, planar.RegionOptions{Options: planar.Options{SagittaMM: sagittaMM}})
	if err != nil {
		return nil, err
	}
	if len(d.Pieces) != 1 || d.Pieces[0].AreaMM2() < keptShare*math.Abs(fresh.SignedArea()) {
		return fresh, nil
	}
	return d.All(), nil
}
