package corpus

import (
	"context"
	"math"
	"path/filepath"
	"reflect"
	"testing"

	"abut/geometry"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/oracle"
)

// clearanceMM is the clearance asked for.
const clearanceMM = 0.2

// clearOfCorners is how far, in clearances, a place lies from a corner at least
// to be asked: nearer to them, gaps turn corners.
const clearOfCorners = 0.5

// Clearance of 0.2 mm on flags: at random places along the borders of two
// separations as fitted, the piece laid earlier is where it was and the one laid
// later 0.2 mm away, by GEOS.
func TestFlags_ClearanceIsAGapOfThatWidth(t *testing.T) {
	names, s := openArt(t, 14, 60, flags)
	g := oracle.StartGeos(t)
	asked, worst := 0, 0.0
	for _, name := range names {
		base := filepath.Base(name)
		ctx, cancel := context.WithTimeout(context.Background(), hangs)
		fitted, cut, err := cleared(ctx, name)
		cancel()
		if err != nil {
			t.Errorf("%s: %v", base, err)
			continue
		}
		if len(fitted.Separations) > 0 && !reflect.DeepEqual(fitted.Separations[0].Outline, cut.Separations[0].Outline) {
			t.Errorf("%s: the base is changed", base)
		}
		if len(cut.Separations) < 2 || len(cut.Separations) < len(fitted.Separations) {
			continue
		}
		gaps, err := gapsBetween(g, fitted, cut)
		if err != nil {
			t.Errorf("%s: %v", base, err)
			continue
		}
		for _, x := range gaps {
			asked++
			off := math.Abs(x.widthMM - clearanceMM)
			worst = math.Max(worst, off)
			if off > 0.01 {
				t.Errorf("%s: the gap between sheets %d and %d at %.3f, %.3f is %.4f mm", base, x.earlier+1, x.later+1, x.at.X, x.at.Y, x.widthMM)
			}
		}
	}
	if asked < 100 {
		t.Errorf("only %d places asked", asked)
	}
	t.Logf("seed %d: %d places, worst off by %.4f mm", s, asked, worst)
}

// gap is how far two separations lie apart where they met before.
type gap struct {
	border
	widthMM float64
}

// gapsBetween asks GEOS for gaps where nothing but two pieces is near.
func gapsBetween(g *oracle.Geos, fitted, cut *fit.Plan) ([]gap, error) {
	list := borders(fitted, 100)
	if len(list) == 0 {
		return nil, nil
	}
	places := make([]geometry.Point, len(list))
	for i, b := range list {
		places[i] = b.at
	}
	after, err := g.Distances(outlinesOf(cut), places)
	if err != nil {
		return nil, err
	}
	alone, err := pairsAlone(g, outlinesOf(fitted), list, places)
	if err != nil {
		return nil, err
	}
	var out []gap
	for i, b := range list {
		if alone[i] {
			out = append(out, gap{b, after[b.earlier][i] + after[b.later][i]})
		}
	}
	return out, nil
}

// pairsAlone tells of each border whether a disc of a clearance and a half that
// touches it there lies in the later piece alone, which is broad enough, and
// whether the earlier piece is where it was: unless one that is laid before it is
// near; then it has drawn back itself.
func pairsAlone(g *oracle.Geos, fitted []geometry.Path, list []border, places []geometry.Point) ([]bool, error) {
	const discs = 4 // places in the later piece for each border: middle, far side, both flanks
	var inside []geometry.Point
	for _, b := range list {
		middle, across := b.at.Add(b.inward.Mul(1.5*clearanceMM)), b.at.Add(b.inward.Mul(3*clearanceMM))
		flank := across.Sub(middle)
		flank = geometry.Pt(-flank.Y, flank.X)
		inside = append(inside, middle, across, middle.Add(flank), middle.Sub(flank))
	}
	room, err := g.Distances(fitted, inside)
	if err != nil {
		return nil, err
	}
	atBorder, err := g.Distances(fitted, places)
	if err != nil {
		return nil, err
	}
	alone := make([]bool, len(list))
	for i, b := range list {
		alone[i] = true
		for q := range discs {
			alone[i] = alone[i] && room[b.later][discs*i+q] == 0
		}
		for k := range room {
			alone[i] = alone[i] && (k == b.later || room[k][discs*i] > 1.5*clearanceMM-0.005)
		}
		for k := range b.earlier {
			alone[i] = alone[i] && atBorder[k][i] > clearanceMM+0.005
		}
	}
	return alone, nil
}

func outlinesOf(p *fit.Plan) []geometry.Path {
	out := make([]geometry.Path, len(p.Separations))
	for i := range out {
		out[i] = p.Separations[i].Outline
	}
	return out
}

func cleared(ctx context.Context, name string) (fitted, cut *fit.Plan, err error) {
	j, err := emojiJob(ctx, name)
	if err != nil {
		return nil, nil, err
	}
	if j, err = job.SetClearance(j, clearanceMM); err != nil {
		return nil, nil, err
	}
	if fitted, err = new(fit.Cache).ComputeCurves(ctx, j); err != nil {
		return nil, nil, err
	}
	cut, err = fit.Cut(ctx, fitted, j.Settings)
	return fitted, cut, err
}

// border is the middle of a side that pieces of two separations share.
type border struct {
	at             geometry.Point
	inward         geometry.Point // unit normal into the later piece
	earlier, later int            // separations, by the order in which they are laid
}

// borders returns at most so many of a plan's. Sides are straight or chords of
// curves; short ones are left out.
func borders(p *fit.Plan, most int) []border {
	type line struct{ a, b geometry.Point }
	owner := map[line]int{}
	var all []border
	for own := range p.Separations {
		for _, c := range p.Separations[own].Outline.Flatten(0.002) {
			for a, b := range c.Sides() {
				if other, ok := owner[line{b, a}]; ok && other != own && b.Sub(a).Len() > 2*clearOfCorners*clearanceMM {
					d := b.Sub(a)
					n := geometry.Pt(-d.Y, d.X).Mul(1 / d.Len()) // into this piece
					if other > own {
						n = n.Mul(-1)
					}
					all = append(all, border{a.Lerp(b, 0.5), n, min(own, other), max(own, other)})
				}
				owner[line{a, b}] = own
			}
		}
	}
	var out []border
	for i := 0; i < len(all); i += len(all)/most + 1 {
		out = append(out, all[i])
	}
	return out
}
