package fit

import (
	"context"
	"slices"

	"abut/geometry"
	"abut/geometry/parallel"
	"abut/geometry/planar"
	"abut/internal/fit/own"
	"abut/internal/job"
	"abut/internal/message"
)

const (
	// clearanceSagittaMM keeps a gap right to 0.01 mm: chords of both sides and
	// of the line between add up to three times this.
	clearanceSagittaMM = 0.002
	// clearanceMitre is how far, in clearances, a corner's offset may reach: to
	// 60° corners stay sharp, so that matched corners stay matched; what is
	// sharper is rounded, which keeps the gap.
	clearanceMitre = 2
)

var clearanceJoin = geometry.Join{MitreLimit: clearanceMitre, RoundBeyond: true}

// Cut returns what is cut of a fitted plan: with the job's clearance, a gap of
// that width between neighbours, taken from the piece that is laid later. The
// base and all borders on what nothing is cut for stay as they are. Without a
// clearance, or where colours stack, it is the plan itself. Pieces no broader
// than the clearance are gone; a warning counts them.
func Cut(ctx context.Context, p *Plan, s job.Settings) (*Plan, error) {
	c := s.ClearanceMM
	if !(c > 0) || len(p.Separations) < 2 || len(p.Stacked.Places) > 0 {
		return p, nil
	}
	d, err := pulledBack(ctx, p, c)
	if err != nil {
		return nil, err
	}
	out := *p
	out.Separations = slices.Clone(p.Separations[:1])
	lost, piece := 0, 0
	left := map[int][]Piece{} // of each piece but the base's, what is left
	for i := range d.Pieces {
		l := int(d.Pieces[i].Label)
		left[l] = append(left[l], own.PieceOf(d, i))
	}
	for _, s := range p.Separations[1:] {
		all := len(s.Pieces)
		s.Pieces, s.Bounds, s.AreaMM2, s.CutMM = nil, geometry.EmptyRect(), 0, 0
		for range all {
			if len(left[piece]) == 0 {
				lost++
			}
			for _, q := range left[piece] {
				s.Pieces = append(s.Pieces, q)
				s.Bounds = s.Bounds.Union(q.Bounds)
				s.AreaMM2 += q.AreaMM2
				s.CutMM += q.CutMM
			}
			piece++
		}
		if s.Outline = own.Order(s.Pieces); len(s.Pieces) > 0 {
			out.Separations = append(out.Separations, s)
		}
	}
	out.Beyond = slices.DeleteFunc(slices.Clone(p.Beyond), func(b Beyond) bool {
		_, i := out.Find(b.Of)
		return b.Of != own.Bare && i < 0
	})
	out.SetCarry()
	out.addDrawings()
	if lost > 0 {
		out.Warnings = append(slices.Clone(p.Warnings), job.Warning{Message: message.Message{
			ID: "clearance-lost", Values: map[string]any{"count": message.Count(lost)},
		}})
	}
	return &out, nil
}

// pulledBack divides all pieces but the base's, less what lies within the
// clearance of a separation that is laid earlier. Labels count those pieces, in
// order of assembly.
func pulledBack(ctx context.Context, p *Plan, c float64) (*planar.Division, error) {
	var layers []planar.Layer
	var order []int // of each piece, its separation's place
	for k, s := range p.Separations[1:] {
		for _, q := range s.Pieces {
			layers = append(layers, planar.Enclosed(q.Outline))
			order = append(order, k+1)
		}
	}
	n, earlier := len(layers), len(p.Separations)-1
	layers = append(layers, make([]planar.Layer, earlier)...)
	errs := make([]error, earlier)
	err := parallel.Do(ctx, earlier, func(k int) {
		near, err := within(ctx, &p.Separations[k], c)
		layers[n+k].Figures, errs[k] = []planar.Figure{{Path: near, Rule: geometry.EvenOdd}}, err
	})
	for _, err := range append(errs, err) {
		if err != nil {
			return nil, err
		}
	}
	m, err := planar.Build(ctx, layers, clearanceMap)
	if err != nil {
		return nil, own.Explain(err, nil)
	}
	labels := m.Label(func(cover []int32) int32 {
		if len(cover) == 0 || int(cover[0]) >= n {
			return planar.None
		}
		for _, l := range cover[1:] {
			if int(l) >= n && int(l)-n < order[cover[0]] {
				return planar.None
			}
		}
		return cover[0]
	})
	if _, err := m.Heal(ctx, labels, own.HealMM); err != nil {
		return nil, err
	}
	d, err := m.Divide(ctx, labels)
	if err == nil && hasCurves(p) {
		err = d.Smooth(ctx)
	}
	return d, err
}

// clearanceMap is how finely the maps of a clearance are made. Bands along fine
// detail cross each other often: ten times the usual budget, some seconds, is
// what the densest flags take.
var clearanceMap = planar.Options{SagittaMM: clearanceSagittaMM, MaxCrossings: 40_000_000}

// within returns the outline of all that lies within c of a separation's edges.
// Each separation's bands are united by themselves, for bands of two separations
// that meet would cross each other all along.
func within(ctx context.Context, s *Separation, c float64) (geometry.Path, error) {
	var l planar.Layer
	for _, p := range s.Pieces {
		flat := p.Outline.Flatten(clearanceSagittaMM)
		l.Figures = append(l.Figures, planar.Figure{Path: geometry.OffsetBand(flat, c, clearanceJoin)})
	}
	d, err := planar.Region(ctx, l, planar.RegionOptions{Options: clearanceMap})
	if err != nil {
		return nil, own.Explain(err, nil)
	}
	return d.All(), nil
}

func hasCurves(p *Plan) bool {
	for i := range p.Separations {
		for _, c := range p.Separations[i].Outline {
			if slices.ContainsFunc(c.Segments, func(s geometry.Segment) bool { return s.Cubic }) {
				return true
			}
		}
	}
	return false
}
