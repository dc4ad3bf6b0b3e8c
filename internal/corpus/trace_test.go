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
	"regexp"
	"slices"
	"testing"
	"time"

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
// the other. Another tracer does the same, which stacks shapes over each other.
func TestTrace_ComesNearTheDrawing(t *testing.T) {
	for _, c := range []struct {
		name    string
		pattern string
		side    int
		quality int // of a JPEG, 0 for PNG
		// most is the median share of wrong pixels that may be; least the share of
		// pictures with just the colours that were drawn, of the whole of the art: few
		// may by chance be harder.
		most, least float64
	}{
		{"emoji at 512", emoji, 512, 0, 0.0015, 0.97},
		{"emoji at 160", emoji, 160, 0, 0.008, 0.88},
		{"emoji at 512, JPEG 80", emoji, 512, 80, 0.003, 0.92},
		{"flags at 512", flags, 512, 0, 0.0015, 0.85},
	} {
		t.Run(c.name, func(t *testing.T) {
			names, s := openArt(t, 20, 500, c.pattern)
			r, other := oracle.StartRenderer(t), oracle.StartTracer(t)
			var wrong, others, took []float64
			var nodes, otherNodes []int
			right := 0
			for _, name := range names {
				art, err := os.ReadFile(name)
				if err != nil {
					t.Fatal(err)
				}
				d, err := traceOne(r, other, art, c.side, c.quality)
				if err != nil {
					t.Errorf("seed %d, %s: %v", s, filepath.Base(name), err)
					continue
				}
				wrong, nodes = append(wrong, d.wrong), append(nodes, d.nodes)
				others, otherNodes, took = append(others, d.otherWrong), append(otherNodes, d.otherNodes), append(took, d.took)
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
			n := len(wrong)
			if n == 0 {
				return
			}
			for _, list := range [][]float64{wrong, others, took} {
				slices.Sort(list)
			}
			slices.Sort(nodes)
			slices.Sort(otherNodes)
			share := float64(right) / float64(n)
			t.Logf("figures: %s: %d pictures, wrong pixels median %.3f %%, 90th %.3f %%; just the colours drawn in %.0f %%; %d nodes (median)",
				c.name, n, 100*wrong[n/2], 100*wrong[n*9/10], 100*share, nodes[n/2])
			t.Logf("figures: the other tracer: wrong pixels median %.3f %%, %d nodes; it takes %.2f times as long", 100*others[n/2], otherNodes[n/2], 1/took[n/2])
			least := c.least
			if n < 100 {
				least -= 0.12
			}
			if wrong[n/2] > c.most || share < least {
				t.Errorf("seed %d: half have more than %.3f %% wrong pixels, or too few just their colours", s, 100*wrong[n/2])
			}
			if c.side == 512 && c.quality == 0 && float64(nodes[n/2]) > 1.1*float64(otherNodes[n/2]) {
				t.Errorf("seed %d: %d nodes (median), the other tracer has %d", s, nodes[n/2], otherNodes[n/2])
			}
		})
	}
}

// What is traced never stacks and leaves no gap, by GEOS too, which takes curves as
// chords: where two come nearer than these stray, they cross a little.
func TestTrace_NeitherStacksNorLeavesGapsByGEOS(t *testing.T) {
	for _, c := range []struct {
		pattern       string
		side, quality int
	}{{emoji, 160, 0}, {emoji, 512, 80}, {flags, 512, 0}} {
		names, s := openArt(t, 8, 100, c.pattern)
		r, geos := oracle.StartRenderer(t), oracle.StartGeos(t)
		for _, name := range names {
			art, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			file, err := pixels(r, art, c.side, c.quality)
			if err != nil {
				t.Fatal(err)
			}
			res, err := trace.Trace(context.Background(), bytes.NewReader(file), trace.Options{})
			if err != nil {
				t.Fatal(err)
			}
			var areas []geometry.Path
			sum := 0.0
			for _, l := range res.Layers {
				var area geometry.Path
				for _, s := range job.Shapes(l.Content) {
					area = append(area, s.Path...)
				}
				area = chords(area)
				sum += area.SignedArea()
				areas = append(areas, area)
			}
			overlaps, err := geos.Overlaps(areas)
			if err != nil {
				t.Fatal(err)
			}
			stacked := 0.0
			for _, o := range overlaps {
				stacked += o.AreaMM2
			}
			if all := res.Canvas.Width() * res.Canvas.Height(); stacked > 1e-3 || math.Abs(sum-all) > 1e-6*all {
				t.Errorf("seed %d, %s: %g square pixels stack; all cover %g of %g", s, filepath.Base(name), stacked, sum, all)
			}
		}
	}
}

// chords are sixty-four of each curve, the same whichever way it is followed.
func chords(p geometry.Path) (out geometry.Path) {
	for _, c := range p {
		d := geometry.Contour{Start: c.Start, Closed: true}
		from := c.Start
		for _, s := range c.Segments {
			const n = 64
			back := geometry.CubicTo(s.C2, s.C1, from)
			for i := 1.0; s.Cubic && i < n; i++ {
				q := s.At(from, i/n)
				if i > n/2 {
					q = back.At(s.End, (n-i)/n)
				}
				d.Segments = append(d.Segments, geometry.LineTo(q))
			}
			d.Segments = append(d.Segments, geometry.LineTo(s.End))
			from = s.End
		}
		out = append(out, d)
	}
	return out
}

// pixels paints art over white with smooth edges, as a PNG or as a JPEG.
func pixels(r *oracle.Renderer, art []byte, side, quality int) ([]byte, error) {
	img, err := r.Render(art, side, false)
	if err != nil {
		return nil, err
	}
	var file bytes.Buffer
	if quality > 0 {
		err = jpeg.Encode(&file, onWhite(img), &jpeg.Options{Quality: quality})
	} else {
		err = png.Encode(&file, onWhite(img))
	}
	return file.Bytes(), err
}

type retraced struct {
	wrong             float64
	missing, invented int
	nodes             int
	stacked, gap      float64
	// What another tracer makes of it, and how long ours takes as a share of that.
	otherWrong float64
	otherNodes int
	took       float64
}

func traceOne(r *oracle.Renderer, other *oracle.Tracer, art []byte, side, quality int) (retraced, error) {
	const large = 1024
	want, err := r.Render(art, large, true)
	if err != nil {
		return retraced{}, err
	}
	want = onWhite(want)
	file, err := pixels(r, art, side, quality)
	if err != nil {
		return retraced{}, err
	}
	began := time.Now()
	res, err := trace.Trace(context.Background(), bytes.NewReader(file), trace.Options{})
	if err != nil {
		return retraced{}, err
	}
	took := time.Since(began)
	var svg bytes.Buffer
	if err := res.WriteSVG(&svg); err != nil {
		return retraced{}, err
	}
	got, err := r.Render(svg.Bytes(), large, true)
	if err != nil {
		return retraced{}, err
	}
	d := retraced{wrong: wrongShare(onWhite(got), want)}
	drawing, longer, err := other.Trace(file)
	if err != nil {
		return retraced{}, err
	}
	if got, err = r.Render(drawing, large, true); err != nil {
		return retraced{}, err
	}
	d.otherWrong, d.took = wrongShare(onWhite(got), want), float64(took)/float64(longer)
	for _, path := range regexp.MustCompile(` d="[^"]*"`).FindAll(drawing, -1) {
		d.otherNodes += len(regexp.MustCompile(`[MLCQHVAZ]`).FindAll(path, -1))
	}
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
	const fine = 0.003 // of a pixel: neighbours may come nearer than coarser chords stray
	m, err := planar.Build(context.Background(), append(layers, planar.Layer{Figures: []planar.Figure{{Path: res.Canvas.Path(), Rule: geometry.NonZero}}}), planar.Options{SagittaMM: fine})
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

// sameColour is how far apart (ΔE 2000) colours look less than and are one.
const sameColour = 4

// colourErrors counts the colours of more than 0.08 % of the drawing that were not
// found, and those found that are nowhere in it.
func colourErrors(res *trace.Result, drawn *image.RGBA) (missing, invented int) {
	count := map[colour.RGB]int{}
	for i := 0; i < len(drawn.Pix); i += 4 {
		count[colour.RGB{R: drawn.Pix[i], G: drawn.Pix[i+1], B: drawn.Pix[i+2]}]++
	}
	found := map[colour.RGB]bool{}
	for _, l := range res.Layers {
		found[l.Colour] = true
	}
	for c, n := range count {
		if float64(n) < 0.0008*float64(len(drawn.Pix)/4) {
			continue
		}
		known := false
		for f := range found {
			known = known || c.DeltaE(f) < sameColour
		}
		if !known {
			missing++
		}
	}
	for f := range found {
		known := false
		for c := range count {
			known = known || c.DeltaE(f) < sameColour
		}
		if !known {
			invented++
		}
	}
	return missing, invented
}
