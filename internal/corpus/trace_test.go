package corpus

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/colour"
	"abut/internal/job"
	"abut/internal/oracle"
	"abut/internal/trace"
)

// How near a traced picture comes to the drawing that it was a picture of: the
// drawing is painted over white with smooth edges, traced, the trace painted again
// with crisp ones at 1024 pixels and held against the drawing painted the same way.
// A pixel is wrong when its colour in either is not found in the 5 × 5 around it in
// the other.
func TestTrace_ComesNearTheDrawing(t *testing.T) {
	for _, c := range []struct {
		name    string
		pattern string
		side    int
		quality int // of a JPEG, 0 for PNG
		// most is the median share of wrong pixels that may be; least the share of
		// pictures with just the colours that were drawn.
		most, least float64
	}{
		{"emoji at 512", emoji, 512, 0, 0.0005, 0.85},
		{"emoji at 160", emoji, 160, 0, 0.002, 0.75},
		{"emoji at 512, JPEG 80", emoji, 512, 80, 0.001, 0.5},
		{"flags at 512", flags, 512, 0, 0.0005, 0.6},
	} {
		t.Run(c.name, func(t *testing.T) {
			names, s := openArt(t, 20, 500, c.pattern)
			r := oracle.StartRenderer(t)
			var wrong []float64
			right, nodes := 0, []int{}
			for _, name := range names {
				art, err := os.ReadFile(name)
				if err != nil {
					t.Fatal(err)
				}
				d, err := traceOne(r, art, c.side, c.quality)
				if err != nil {
					t.Errorf("seed %d, %s: %v", s, filepath.Base(name), err)
					continue
				}
				wrong, nodes = append(wrong, d.wrong), append(nodes, d.nodes)
				if d.missing+d.invented == 0 {
					right++
				}
				if d.stacked > 1e-3 || d.gap > 1e-2 {
					t.Errorf("seed %d, %s: %.4f square pixels stack, %.4f are in no layer", s, filepath.Base(name), d.stacked, d.gap)
				}
				if d.wrong > 0.01 || d.missing+d.invented > 0 {
					t.Logf("%s: %.2f %% wrong, %d colours missing, %d invented", filepath.Base(name), 100*d.wrong, d.missing, d.invented)
				}
			}
			slices.Sort(wrong)
			slices.Sort(nodes)
			n := len(wrong)
			if n == 0 {
				return
			}
			share := float64(right) / float64(n)
			t.Logf("figures: %s: %d pictures, wrong pixels median %.3f %%, 90th %.3f %%; just the colours drawn in %.0f %%; %d nodes (median)",
				c.name, n, 100*wrong[n/2], 100*wrong[n*9/10], 100*share, nodes[n/2])
			if wrong[n/2] > c.most || share < c.least {
				t.Errorf("seed %d: half have more than %.3f %% wrong pixels, or too few just their colours", s, 100*wrong[n/2])
			}
		})
	}
}

type retraced struct {
	wrong             float64
	missing, invented int
	nodes             int
	stacked, gap      float64
}

func traceOne(r *oracle.Renderer, art []byte, side, quality int) (retraced, error) {
	const large = 1024
	want, err := r.Render(art, large, true)
	if err != nil {
		return retraced{}, err
	}
	small, err := r.Render(art, side, false)
	if err != nil {
		return retraced{}, err
	}
	want, small = onWhite(want), onWhite(small)
	var file bytes.Buffer
	if quality > 0 {
		err = jpeg.Encode(&file, small, &jpeg.Options{Quality: quality})
	} else {
		err = png.Encode(&file, small)
	}
	if err != nil {
		return retraced{}, err
	}
	res, err := trace.Trace(context.Background(), &file, trace.Options{})
	if err != nil {
		return retraced{}, err
	}
	var svg bytes.Buffer
	if err := res.WriteSVG(&svg); err != nil {
		return retraced{}, err
	}
	got, err := r.Render(svg.Bytes(), large, true)
	if err != nil {
		return retraced{}, err
	}
	d := retraced{wrong: wrongShare(onWhite(got), want)}
	d.missing, d.invented = colourErrors(res, want)
	var layers []planar.Layer
	for _, l := range res.Layers {
		var figures []planar.Figure
		for _, s := range job.Shapes(l.Content) {
			figures = append(figures, planar.Figure{Path: s.Path, Rule: s.Rule})
			for _, c := range s.Path {
				d.nodes += len(c.Segments) + 2
			}
		}
		layers = append(layers, planar.Layer{Figures: figures})
	}
	m, err := planar.Build(context.Background(), append(layers, planar.Layer{Figures: []planar.Figure{{Path: res.Canvas.Path(), Rule: geometry.NonZero}}}), planar.Options{})
	if err != nil {
		return retraced{}, err
	}
	for f := range planar.FaceID(m.NumFaces()) {
		switch k := len(m.Cover(f)); {
		case k > 2:
			d.stacked += m.AreaMM2(f)
		case k == 1: // the canvas alone
			d.gap += m.AreaMM2(f)
		}
	}
	return d, nil
}

func onWhite(img *image.RGBA) *image.RGBA {
	out := image.NewRGBA(img.Rect)
	draw.Draw(out, out.Rect, image.White, image.Point{}, draw.Src)
	draw.Draw(out, out.Rect, img, img.Rect.Min, draw.Over)
	return out
}

// wrongShare is how many pixels of what is not white are wrong.
func wrongShare(a, b *image.RGBA) float64 {
	const around = 2
	box := a.Rect.Intersect(b.Rect)
	unlike := func(p, q color.RGBA) bool {
		far := func(v, w uint8) bool { return math.Abs(float64(v)-float64(w)) > tolerance }
		return far(p.R, q.R) || far(p.G, q.G) || far(p.B, q.B)
	}
	lone := func(p, q *image.RGBA, x, y int) bool {
		c := p.RGBAAt(x, y)
		near := image.Rect(x-around, y-around, x+around+1, y+around+1).Intersect(box)
		for v := near.Min.Y; v < near.Max.Y; v++ {
			for u := near.Min.X; u < near.Max.X; u++ {
				if !unlike(c, q.RGBAAt(u, v)) {
					return false
				}
			}
		}
		return true
	}
	art, wrong := 0, 0
	for y := box.Min.Y; y < box.Max.Y; y++ {
		for x := box.Min.X; x < box.Max.X; x++ {
			p, q := a.RGBAAt(x, y), b.RGBAAt(x, y)
			if min(q.R, q.G, q.B) < 250 {
				art++
			}
			if unlike(p, q) && (lone(a, b, x, y) || lone(b, a, x, y)) {
				wrong++
			}
		}
	}
	return float64(wrong) / float64(max(art, 1))
}

// colourErrors counts the colours of more than 0.08 % of the drawing that were not
// found, and those found that are nowhere in it, within ΔE 4.
func colourErrors(res *trace.Result, drawn *image.RGBA) (missing, invented int) {
	count := map[colour.RGB]int{}
	for i := 0; i < len(drawn.Pix); i += 4 {
		count[colour.RGB{R: drawn.Pix[i], G: drawn.Pix[i+1], B: drawn.Pix[i+2]}]++
	}
	found := map[colour.RGB]bool{}
	for _, l := range res.Layers {
		found[l.Colour] = true
	}
	const same = 4
	for c, n := range count {
		if float64(n) < 0.0008*float64(len(drawn.Pix)/4) {
			continue
		}
		known := false
		for f := range found {
			known = known || c.DeltaE(f) < same
		}
		if !known {
			missing++
		}
	}
	for f := range found {
		known := false
		for c := range count {
			known = known || c.DeltaE(f) < same
		}
		if !known {
			invented++
		}
	}
	return missing, invented
}
