package corpus

import (
	"context"
	"fmt"
	"math"
	"os"
	"testing"

	"abut/geometry"
	"abut/geometry/planar"
)

// curveCount is what TestCurves adds up over the emoji.
type curveCount struct {
	written, visible, meeting int
	whole                     int     // source segments that came through whole
	kept                      int     // flat ones that stayed the chord they were: something is near
	worst                     float64 // their furthest distance from the source, mm
}

// The seams of real art as curves: few nodes, true to the art, nothing shared.
// Nodes written are held to 1.1 × (source segments visible at least in part +
// places where three owners or more meet).
func TestCurves_AreFewAndTrue(t *testing.T) {
	names, s := openArt(t, 60, 500, emoji)
	var sum curveCount
	for _, file := range names {
		b, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		layers, _ := layersOf(t, file, b)
		if layers == nil {
			continue
		}
		if err := countCurves(mapOf(t, file, layers), layers, &sum); err != nil {
			t.Errorf("%s: %v", file, err)
		}
	}
	ratio := float64(sum.written) / float64(sum.visible+sum.meeting)
	t.Logf("seed %d: %d nodes written for %d visible segments and %d meeting places: %.3f; %d segments came through whole, at most %.5f mm off; %d flat ones kept their chord",
		s, sum.written, sum.visible, sum.meeting, ratio, sum.whole, sum.worst, sum.kept)
	if ratio > 1.1 {
		t.Errorf("%.3f nodes for each that the art asks for, want 1.1 at most", ratio)
	}
	if sum.worst > 0.001 {
		t.Errorf("a curve that came through whole is %.5f mm off its source", sum.worst)
	}
}

// source names a segment of a layer's path.
type source struct{ layer, figure, contour, segment int32 }

func countCurves(m *planar.Map, layers []planar.Layer, sum *curveCount) error {
	labels := topmost(m)
	const healMM = 0.02 // as package fit does
	if _, err := m.Heal(context.Background(), labels, healMM); err != nil {
		return err
	}
	d, err := m.Divide(context.Background(), labels)
	if err == nil {
		err = d.Smooth(context.Background())
	}
	if err != nil {
		return err
	}
	seen := map[source]bool{}
	ends := map[planar.Point]int{}
	for i := range d.Seams {
		seam := &d.Seams[i]
		sum.written += len(seam.Curve)
		ends[seam.Points[0]]++
		ends[seam.Points[len(seam.Points)-1]]++
		runs := runsOf(m, seam)
		for _, r := range runs {
			seen[r.source] = true
		}
		if len(runs) != len(seam.Curve) {
			continue // chords were kept somewhere
		}
		from := seam.Points[0].MM()
		for k, c := range seam.Curve {
			if r := runs[k]; r.layer >= 0 && math.Abs(r.t1-r.t0) == 1 {
				off := strays(layers, r, from, c)
				if off > 0.001 && !c.Cubic {
					sum.kept++
				} else {
					sum.whole++
					sum.worst = math.Max(sum.worst, off)
				}
			}
			from = c.End
		}
	}
	sum.visible += len(seen)
	for _, n := range ends {
		if n > 2 {
			sum.meeting++
		}
	}
	return sharesNothing(d)
}

type run struct {
	source
	t0, t1 float64
}

// runsOf groups a seam's edges by the source segment that they follow.
func runsOf(m *planar.Map, s *planar.Seam) []run {
	var out []run
	for _, h := range s.Edges {
		tag := m.Tag(max(h, ^h))
		if h < 0 {
			tag.T0, tag.T1 = tag.T1, tag.T0
		}
		r := run{source{tag.Layer, tag.Figure, tag.Contour, tag.Segment}, tag.T0, tag.T1}
		if n := len(out); n > 0 && out[n-1].source == r.source && out[n-1].t1 == r.t0 {
			out[n-1].t1 = r.t1
		} else {
			out = append(out, r)
		}
	}
	return out
}

// strays returns how far a written curve is from its whole source segment at
// the same parameters.
func strays(layers []planar.Layer, r run, from geometry.Point, c geometry.Segment) float64 {
	contour := layers[r.layer].Figures[r.figure].Path[r.contour]
	if int(r.segment) >= len(contour.Segments) {
		return 0 // the straight line that closes a contour
	}
	start := contour.Start
	if r.segment > 0 {
		start = contour.Segments[r.segment-1].End
	}
	worst := 0.0
	for i := range 33 {
		u := float64(i) / 32
		want := contour.Segments[r.segment].At(start, r.t0+(r.t1-r.t0)*u)
		worst = math.Max(worst, c.At(from, u).Sub(want).Len())
	}
	return worst
}

// sharesNothing puts the pieces' curves on a map of their own, each flattened
// once and far finer, and looks for places that two pieces cover.
func sharesNothing(d *planar.Division) error {
	var pieces []planar.Layer
	length := 0.0
	for i := range d.Pieces {
		pieces = append(pieces, planar.Enclosed(d.Outline(i)))
		length += d.CutLengthMM(i)
	}
	again, err := planar.Build(context.Background(), pieces, planar.Options{SagittaMM: sagittaMM / 10})
	if err != nil {
		return err
	}
	overlap := 0.0
	for f := range again.NumFaces() {
		if len(again.Cover(planar.FaceID(f))) > 1 {
			overlap += again.AreaMM2(planar.FaceID(f))
		}
	}
	if overlap > maxOverlapMM2 {
		return fmt.Errorf("pieces as curves share %g mm²", overlap)
	}
	return nil
}
