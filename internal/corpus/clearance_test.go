package corpus

import (
	"context"
	"math"
	"path/filepath"
	"reflect"
	"testing"
	"time"

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
		ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
		fitted, cut, err := cleared(ctx, name)
		cancel()
		if err != nil {
			t.Errorf("%s: %v", base, err)
			continue
		}
		if len(fitted.Separations) > 0 && !reflect.DeepEqual(fitted.Separations[0].Outline, cut.Separations[0].Outline) {
			t.Errorf("%s: the base is changed", base)
		}
		outlines := make([]geometry.Path, len(cut.Separations))
		for i := range outlines {
			outlines[i] = cut.Separations[i].Outline
		}
		if len(outlines) < 2 || len(outlines) < len(fitted.Separations) {
			continue
		}
		places, inside, earlier, later := borders(fitted, 100)
		if len(places) == 0 {
			continue
		}
		d, err := g.Distances(outlines, places)
		if err != nil {
			t.Errorf("%s: %v", base, err)
			continue
		}
		before := make([]geometry.Path, len(outlines))
		for i := range before {
			before[i] = fitted.Separations[i].Outline
		}
		n := len(inside)
		for i := range n {
			across := places[i].Add(inside[i].Mul(3 * clearanceMM))
			inside[i] = places[i].Add(inside[i].Mul(1.5 * clearanceMM))
			inside = append(inside, across)
			side := across.Sub(inside[i])
			side = geometry.Pt(-side.Y, side.X)
			inside = append(inside, inside[i].Add(side), inside[i].Sub(side))
		}
		room, err := g.Distances(before, inside)
		if err != nil {
			t.Errorf("%s: %v", base, err)
			continue
		}
		atBorder, err := g.Distances(before, places)
		if err != nil {
			t.Errorf("%s: %v", base, err)
			continue
		}
		for i, p := range places {
			a, b := d[earlier[i]][i], d[later[i]][i]
			// A disc of a clearance and a half that touches the border there lies in
			// the later piece alone: nothing else is near, and the piece broad enough.
			alone := true
			for _, q := range []int{i, n + 3*i, n + 3*i + 1, n + 3*i + 2} {
				alone = alone && room[later[i]][q] == 0
			}
			for k := range room {
				alone = alone && (k == later[i] || room[k][i] > 1.5*clearanceMM-0.005)
			}
			// The earlier piece is where it was unless one that is laid before it is
			// near: then it has drawn back itself.
			for k := range earlier[i] {
				alone = alone && atBorder[k][i] > clearanceMM+0.005
			}
			if !alone {
				continue
			}
			asked++
			worst = math.Max(worst, math.Abs(a+b-clearanceMM))
			if math.Abs(a+b-clearanceMM) > 0.01 {
				t.Errorf("%s: the gap between sheets %d and %d at %.3f, %.3f is %.4f mm", base, earlier[i]+1, later[i]+1, p.X, p.Y, a+b)
			}
		}
	}
	if asked < 100 {
		t.Errorf("only %d places asked", asked)
	}
	t.Logf("seed %d: %d places, worst off by %.4f mm", s, asked, worst)
}

func cleared(ctx context.Context, name string) (fitted, cut *fit.Plan, err error) {
	j, err := emojiJob(ctx, name)
	if err != nil {
		return nil, nil, err
	}
	if j, err = job.SetClearance(j, clearanceMM); err != nil {
		return nil, nil, err
	}
	if fitted, err = fit.ComputeCurves(ctx, j); err != nil {
		return nil, nil, err
	}
	cut, err = fit.Cut(ctx, fitted, j.Settings)
	return fitted, cut, err
}

// borders returns places in the middle of sides of pieces that another
// separation shares, with the two that meet there, the one laid earlier first,
// and the unit normal into the later one. Sides are straight or chords of curves;
// short ones are left out.
func borders(p *fit.Plan, most int) (places, inside []geometry.Point, earlier, later []int) {
	type line struct{ a, b geometry.Point }
	owner := map[line]int{}
	for i := range p.Pieces {
		for _, c := range p.Pieces[i].Outline.Flatten(0.002) {
			for a, b := range c.Sides() {
				own := p.Pieces[i].Separation
				if other, ok := owner[line{b, a}]; ok && other != own && b.Sub(a).Len() > 2*clearOfCorners*clearanceMM {
					places = append(places, a.Lerp(b, 0.5))
					d := b.Sub(a)
					n := geometry.Pt(-d.Y, d.X).Mul(1 / d.Len()) // into this piece
					if other > own {
						n = n.Mul(-1)
					}
					inside = append(inside, n)
					earlier, later = append(earlier, min(own, other)), append(later, max(own, other))
				}
				owner[line{a, b}] = own
			}
		}
	}
	if step := len(places)/most + 1; step > 1 {
		k := 0
		for i := 0; i < len(places); i += step {
			places[k], inside[k], earlier[k], later[k] = places[i], inside[i], earlier[i], later[i]
			k++
		}
		places, inside, earlier, later = places[:k], inside[:k], earlier[:k], later[:k]
	}
	return places, inside, earlier, later
}
