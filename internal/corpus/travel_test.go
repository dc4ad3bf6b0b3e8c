package corpus

import (
	"bytes"
	"cmp"
	"context"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"abut/geometry"
	"abut/internal/cutfile"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/oracle"
	"abut/internal/workshop"
)

// The knife's way between contours on the busiest flags, against the order in which
// they come: six tenths of it at most.
func TestTravel_OfTheBusiestFlagsIsShort(t *testing.T) {
	if testing.Short() {
		t.Skip("the open art takes a while: ./run test runs it")
	}
	names := oracle.Art(t, flags)
	size := func(name string) int64 {
		info, err := os.Stat(name)
		if err != nil {
			t.Fatal(err)
		}
		return info.Size()
	}
	slices.SortStableFunc(names, func(a, b string) int { return cmp.Compare(size(b), size(a)) })
	for _, name := range names[:10] {
		p := planOf(t, name)
		start := time.Now()
		page, err := cutfile.New(p)
		if err == nil {
			page, err = page.ForCutting(context.Background(), cutfile.Care{})
		}
		if err != nil {
			t.Fatal(err)
		}
		took := time.Since(start)
		before, after, n := 0.0, 0.0, 0
		for i, s := range page.Separations {
			var in, out []geometry.Point
			for _, c := range p.Separations[i].Outline {
				in = append(in, c.Start)
			}
			for _, c := range s.Contours {
				out = append(out, c.Start.MM())
			}
			if len(in) != len(out) {
				t.Fatalf("%s: %d contours of %d", name, len(out), len(in))
			}
			before, after, n = before+lengthBetween(in), after+lengthBetween(out), n+len(in)
		}
		t.Logf("%s: %d contours on %d sheets, %.0f mm between them, %.0f before (%.2f); %v", filepath.Base(name), n, len(page.Separations), after, before, after/before, took)
		if after > 0.6*before {
			t.Errorf("%s: the knife travels %.2f of the way before", filepath.Base(name), after/before)
		}
	}
}

func lengthBetween(stops []geometry.Point) (sum float64) {
	for i := 1; i < len(stops); i++ {
		sum += stops[i].Sub(stops[i-1]).Len()
	}
	return sum
}

// planOf is what is cut of a picture 100 mm wide, all knocked out.
func planOf(t *testing.T, name string) *fit.Plan {
	t.Helper()
	art, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	ctx := context.Background()
	j, err := workshop.OpenSVG(ctx, name, bytes.NewReader(art))
	if err == nil {
		j, err = workshop.Size(ctx, j, 100, 0)
	}
	if err == nil {
		j, err = job.KnockOutAll(j)
	}
	var p *fit.Plan
	if err == nil {
		p, err = new(fit.Cache).ComputeCurves(ctx, j)
	}
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Lines in the waste touch no piece, by an engine that is not ours: as broad as
// their clearance on both sides, they have nothing in common with any.
func TestWeedingLines_TouchNoPiece(t *testing.T) {
	names, s := openArt(t, 8, 200, flags, emoji)
	g := oracle.StartGeos(t)
	lines, length := 0, 0.0
	for _, name := range names {
		page, err := cutfile.New(planOf(t, name))
		if err == nil {
			page, err = page.ForCutting(context.Background(), cutfile.Care{Weeding: true})
		}
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range page.Separations {
			var pieces, bars geometry.Path
			for _, c := range s.Contours {
				pieces = append(pieces, c.MM())
			}
			for _, w := range s.Weeding {
				a, b := w.Start.MM(), w.Segments[0].End.MM()
				d := b.Sub(a).Mul(cutfile.ClearMM / b.Sub(a).Len())
				side := geometry.Pt(-d.Y, d.X)
				bars = append(bars, geometry.Polygon(a.Add(side), b.Add(side), b.Sub(side), a.Sub(side)))
				lines, length = lines+1, length+b.Sub(a).Len()
			}
			if len(bars) == 0 {
				continue
			}
			pairs, err := g.Overlaps([]geometry.Path{pieces.Flatten(0.001), bars})
			if err != nil {
				t.Fatal(err)
			}
			if len(pairs) > 0 {
				t.Errorf("%s, sheet %d: %g mm² of pieces lie within %g mm of a line", filepath.Base(name), s.Order, pairs[0].AreaMM2, cutfile.ClearMM)
			}
		}
	}
	t.Logf("figures: seed %d, %d files, %d lines of %.0f mm in all", s, len(names), lines, length)
	if lines == 0 {
		t.Error("no lines at all")
	}
}
