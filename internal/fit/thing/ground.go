package thing

import (
	"context"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/job"
)

// Ground is a layer beneath others.
type Ground struct {
	Shapes    []job.Shape
	Transform geometry.Affine // to the board
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
func (t *Thing) endOn(ctx context.Context, fresh geometry.Path, width float64, grounds []Ground) (geometry.Path, error) {
	looked := 0
	for i := len(grounds) - 1; i >= 0 && looked < mostGrounds; i-- {
		ground := planar.Layer{}
		bounds := geometry.EmptyRect()
		for _, s := range grounds[i].Shapes {
			path := s.Path.Transform(grounds[i].Transform)
			bounds = bounds.Union(path.Bounds())
			ground.Figures = append(ground.Figures, planar.Figure{Path: path, Rule: s.Rule})
		}
		if !bounds.Grow(t.WidthMM).Encloses(t.Bounds) {
			continue
		}
		looked++
		on, over, err := t.over(ctx, fresh, ground)
		if err != nil {
			return nil, err
		}
		if on && over {
			return endWithin(ctx, fresh, width, ground)
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
	m, err := planar.Build(ctx, []planar.Layer{anew: figure(fresh), under: ground, was: figure(t.Outline)}, planar.Options{SagittaMM: sagittaMM})
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

// endWithin returns what of a line lies where its ground has room for it, or on all of that where no
// width is given; all of it where that is too little, or not in one piece.
func endWithin(ctx context.Context, fresh geometry.Path, width float64, ground planar.Layer) (geometry.Path, error) {
	opt := planar.Options{SagittaMM: sagittaMM}
	clip := &planar.Clip{Figures: ground.Figures}
	if r := groundTimes * width / 2; r > 0 {
		core, err := planar.Offset(ctx, ground, -r, geometry.Join{}, opt)
		if err != nil {
			return nil, err
		}
		roomy, err := planar.Offset(ctx, figure(core), r, geometry.Join{}, opt)
		if err != nil {
			return nil, err
		}
		clip.Figures = figure(roomy).Figures
	}
	d, err := planar.Region(ctx, planar.Layer{Figures: []planar.Figure{{Path: fresh, Rule: geometry.EvenOdd, Clips: []*planar.Clip{clip}}}}, planar.RegionOptions{Options: opt})
	if err != nil {
		return nil, err
	}
	if len(d.Pieces) != 1 || d.Pieces[0].AreaMM2() < keptShare*math.Abs(fresh.SignedArea()) {
		return fresh, nil
	}
	return d.All(), nil
}

func figure(p geometry.Path) planar.Layer {
	return planar.Layer{Figures: []planar.Figure{{Path: p, Rule: geometry.EvenOdd}}}
}
