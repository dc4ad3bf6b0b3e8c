package trace

import (
	"bytes"
	"context"
	"image/color"
	"math"
	"testing"

	"abut/internal/job"
	"abut/internal/oracle"
)

// piecesOf counts the pieces of each drawn colour of which there is a twentieth of a
// per cent at least; others are counted under nil.
func piecesOf(res *Result, drawn []color.NRGBA) map[any]int {
	out := map[any]int{}
	least := 0.0005 * res.Canvas.Width() * res.Canvas.Height()
	for _, l := range res.Layers {
		best, near := any(nil), 9.0 // ΔE: what grain and light leave
		for _, c := range drawn {
			if d := l.Colour.DeltaE(rgba{c.R, c.G, c.B, 255}.onWhite()); d < near {
				best, near = c, d
			}
		}
		for _, s := range job.Shapes(l.Content) {
			if s.Path.SignedArea() >= least {
				out[best]++
			}
		}
	}
	return out
}

// The colours of a scanned drawing and what hangs together of them come back, the
// sheet cut out, and its turn is found.
func TestTrace_BringsScansBack(t *testing.T) {
	drawn := []color.NRGBA{sky, sea, red, soot, light, amber, paper}
	img := lighthouse(560)
	want := piecesOf(traced(t, img, Options{}), drawn)
	right, n := 0, 6
	for seed := range n {
		file, err := oracle.Scan(img, uint64(seed))
		if err != nil {
			t.Fatal(err)
		}
		p, err := Read(context.Background(), bytes.NewReader(file))
		if err != nil {
			t.Fatal(err)
		}
		res, err := p.Trace(context.Background(), Options{Tracing: job.Tracing{Sheet: true, KeepGround: true}})
		if err != nil {
			t.Fatal(err)
		}
		if res.Sheet == nil || math.Abs(res.Sheet.TurnDeg-oracle.ScanTurnDeg) > 0.3 {
			t.Errorf("seed %d: the sheet is %+v", seed, res.Sheet)
			continue
		}
		got := piecesOf(res, drawn)
		same := got[nil] == 0
		for c, k := range want {
			if c == any(paper) { // the sheet is one more
				k++
			}
			same = same && got[c] == k
		}
		if same {
			right++
		} else {
			t.Logf("seed %d: %v, drawn %v", seed, got, want)
		}
		for _, k := range res.Inks {
			if k.Ground && k.Colour.DeltaE(rgba{255, 255, 255, 255}.onWhite()) > 6 {
				t.Errorf("seed %d: the ground is %s", seed, k.Colour)
			}
		}
	}
	if 10*right < 9*n {
		t.Errorf("%d of %d scans come back", right, n)
	}
}

// Under even light, and with no grain, nothing is a scan.
func TestTrace_TakesNoDrawingForAScan(t *testing.T) {
	p, err := Read(context.Background(), bytes.NewReader(asJPEG(t, lighthouse(400), 60)))
	if err != nil {
		t.Fatal(err)
	}
	res, err := p.Trace(context.Background(), Options{})
	if err != nil || res.Sheet != nil || p.found[asked{}].scanned {
		t.Errorf("a sheet %+v, %v", res.Sheet, err)
	}
}

// The white paper of a scan is left bare, so that the size is that of the drawing; it can be kept.
func TestTrace_LeavesPaperBare(t *testing.T) {
	file, err := oracle.Scan(lighthouse(400), 1)
	if err != nil {
		t.Fatal(err)
	}
	for _, keep := range []bool{false, true} {
		res, err := Trace(context.Background(), bytes.NewReader(file), Options{Tracing: job.Tracing{Sheet: true, KeepGround: keep}})
		if err != nil {
			t.Fatal(err)
		}
		for _, k := range res.Inks {
			if k.Ground && (!k.Paper || k.Bare == keep) {
				t.Errorf("kept %v: the ground is %+v", keep, k)
			}
		}
		white := false
		for _, l := range res.Layers {
			white = white || l.Colour.DeltaE(rgba{255, 255, 255, 255}.onWhite()) <= job.BareDeltaE
		}
		if white != keep {
			t.Errorf("kept %v: a white layer %v", keep, white)
		}
	}
}
