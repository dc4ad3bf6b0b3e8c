package fit

import (
	"context"
	"slices"

	"abut/geometry"
	"abut/geometry/planar"
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
	out.Separations = slices.Clone(p.Separations)
	out.Pieces = nil
	lost := 0
	left := make([][]int, len(p.Pieces)) // of each piece, what is left
	for i := range d.Pieces {
		l := d.Pieces[i].Label
		left[l] = append(left[l], i)
	}
	for k := range out.Separations {
		s := &out.Separations[k]
		var pieces []Piece
		if k > 0 {
			s.Bounds, s.AreaMM2, s.CutMM = geometry.EmptyRect(), 0, 0
		}
		for _, old := range s.Pieces {
			if k == 0 {
				pieces = append(pieces, p.Pieces[old])
				continue
			}
			if len(left[old]) == 0 {
				lost++
			}
			for _, i := range left[old] {
				q := &d.Pieces[i]
				pieces = append(pieces, Piece{Separation: k, Outline: d.Outline(i), Bounds: q.Bounds, Inside: d.Inside(i), AreaMM2: q.AreaMM2(), CutMM: d.CutLengthMM(i)})
				s.Bounds = s.Bounds.Union(q.Bounds)
				s.AreaMM2 += q.AreaMM2()
				s.CutMM += d.CutLengthMM(i)
			}
		}
		s.Pieces = nil
		if k > 0 {
			slices.SortStableFunc(pieces, outerFirst)
			s.Outline = nil
			for i := len(pieces) - 1; i >= 0; i-- {
				s.Outline = append(s.Outline, pieces[i].Outline...)
			}
		}
		for i := range pieces {
			s.Pieces = append(s.Pieces, len(out.Pieces))
			out.Pieces = append(out.Pieces, pieces[i])
		}
	}
	out.Separations = slices.DeleteFunc(out.Separations, func(s Separation) bool { return len(s.Pieces) == 0 })
	for k := range out.Separations {
		for _, i := range out.Separations[k].Pieces {
			out.Pieces[i].Separation = k
		}
	}
	out.setCarry()
	out.addDrawings()
	if lost > 0 {
		out.Warnings = append(slices.Clone(p.Warnings), job.Warning{Message: message.Message{
			ID: "clearance-lost", Values: map[string]any{"count": message.Count(lost)},
		}})
	}
	return &out, nil
}

// pulledBack divides all pieces but the base's, less what lies within the
// clearance of a separation that is laid earlier. Labels index Plan.Pieces.
func pulledBack(ctx context.Context, p *Plan, c float64) (*planar.Division, error) {
	n := len(p.Pieces)
	layers := make([]planar.Layer, n+len(p.Separations))
	for i := range p.Pieces {
		layers[i].Figures = []planar.Figure{{Path: p.Pieces[i].Outline, Rule: geometry.EvenOdd}}
	}
	for k := range len(p.Separations) - 1 {
		near, err := within(ctx, p, k, c)
		if err != nil {
			return nil, err
		}
		layers[n+k].Figures = []planar.Figure{{Path: near, Rule: geometry.EvenOdd}}
	}
	m, err := planar.Build(ctx, layers, clearanceMap)
	if err != nil {
		return nil, explain(err, nil)
	}
	labels := m.Label(func(cover []int32) int32 {
		if len(cover) == 0 || int(cover[0]) >= n {
			return planar.None
		}
		own := p.Pieces[cover[0]].Separation
		if own == 0 {
			return planar.None
		}
		for _, l := range cover[1:] {
			if int(l) >= n && int(l)-n < own {
				return planar.None
			}
		}
		return cover[0]
	})
	if _, err := m.Heal(ctx, labels, HealMM); err != nil {
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
func within(ctx context.Context, p *Plan, k int, c float64) (geometry.Path, error) {
	var l planar.Layer
	for _, i := range p.Separations[k].Pieces {
		flat := p.Pieces[i].Outline.Flatten(clearanceSagittaMM)
		l.Figures = append(l.Figures,
			planar.Figure{Path: geometry.OffsetBand(flat, c, geometry.Join{})},
			planar.Figure{Path: geometry.OffsetBand(flat, c, geometry.Join{MitreLimit: clearanceMitre})})
	}
	d, err := planar.Region(ctx, l, planar.RegionOptions{Options: clearanceMap})
	if err != nil {
		return nil, explain(err, nil)
	}
	return d.All(), nil
}

func hasCurves(p *Plan) bool {
	for i := range p.Pieces {
		for _, c := range p.Pieces[i].Outline {
			for k := range c.Segments {
				if c.Segments[k].Cubic {
					return true
				}
			}
		}
	}
	return false
}
