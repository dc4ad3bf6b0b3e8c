package corpus

import (
	"context"
	"path/filepath"
	"testing"

	"abut/geometry"
	"abut/internal/fit"
	"abut/internal/fit/mend"
	"abut/internal/job"
	"abut/internal/workshop"
)

// piecesOf opens art at 90 mm, knocks out, and returns what is cut.
func piecesOf(ctx context.Context, name string) ([]mend.Piece, job.Job, error) {
	j, err := workshop.Open(ctx, name)
	if err != nil {
		return nil, j, err
	}
	if j, err = workshop.Size(ctx, j, 90, 0); err != nil {
		return nil, j, err
	}
	if j, err = job.KnockOutAll(j); err != nil {
		return nil, j, err
	}
	p, err := fit.Compute(ctx, j)
	if err != nil {
		return nil, j, err
	}
	var out []mend.Piece
	for i := range p.Separations {
		for _, q := range p.Separations[i].Pieces {
			out = append(out, mend.Piece{Of: p.Separations[i].Of, Outline: q.Outline, Bounds: q.Bounds})
		}
	}
	return out, j, nil
}

// Weak spots of pieces are read off their outlines; where it is said in which places
// to look, off a map of the whole picture. Neither finds one that the other lacks,
// but for what is no longer than the width and so does not count.
func TestWeakSpots_AreThoseOfAMapOfThePicture(t *testing.T) {
	few, s := openArt(t, 12, 60, flags)
	more, _ := openArt(t, 24, 200, emoji)
	spots, alone := 0, 0
	for _, name := range append(few, more...) {
		ctx, cancel := context.WithTimeout(context.Background(), hangs)
		pieces, j, err := piecesOf(ctx, name)
		if err != nil {
			cancel()
			continue // other tests tell
		}
		o := mend.Limits(j.Settings)
		followed, err := mend.Find(ctx, pieces, false, o)
		if err == nil {
			box := geometry.EmptyRect()
			for _, p := range pieces {
				box = box.Union(p.Bounds)
			}
			o.Within = []geometry.Rect{box.Grow(10 * o.WidthMM)}
			var mapped []mend.Spot
			if mapped, err = mend.Find(ctx, pieces, false, o); err == nil {
				spots += len(mapped)
				alone += lacking(t, name, "a map", followed, mapped, o.WidthMM) + lacking(t, name, "the outlines", mapped, followed, o.WidthMM)
			}
		}
		cancel()
		if err != nil {
			t.Errorf("%s: %v", filepath.Base(name), err)
		}
	}
	// Rounding decides which corners of a map's thin parts are sharp.
	if spots == 0 || float64(alone) > 0.005*float64(spots) {
		t.Errorf("%d of %d spots were found one way only (seed %d)", alone, spots, s)
	}
}

// lacking counts the spots of pieces that only one way finds.
func lacking(t *testing.T, name, of string, some, others []mend.Spot, width float64) (n int) {
	for i := range some {
		a := &some[i]
		if job.SpotKind(a.Kind) == job.Gap || max(a.Bounds.Width(), a.Bounds.Height()) <= 1.2*width {
			continue
		}
		found := false
		for k := range others {
			b := &others[k]
			found = found || b.Piece == a.Piece && !b.Bounds.Intersect(a.Bounds).Empty()
		}
		if !found {
			n++
			t.Logf("%s: %s lacks %v at %.2f, %.2f", filepath.Base(name), of, a.Kind, a.At.X, a.At.Y)
		}
	}
	return n
}
