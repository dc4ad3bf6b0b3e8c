package trace

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"testing"

	"abut/internal/job"
)

// scanned makes a scan of a drawing on white: turned by two degrees on a sheet that
// lies on a brown table, blurred, under light that falls off by a quarter, with
// grain, saved as a JPEG of quality 60.
func scanned(t *testing.T, drawn *image.NRGBA, seed uint64) []byte {
	t.Helper()
	const turned = 2 * math.Pi / 180
	b := drawn.Bounds()
	w := b.Dx() * 7 / 5
	sheet := float64(b.Dx()) * 0.62
	at := func(x, y float64) [3]float64 {
		if math.Abs(x) > sheet || math.Abs(y) > sheet {
			return [3]float64{110, 85, 70}
		}
		u, v := int(math.Floor(x))+b.Dx()/2, int(math.Floor(y))+b.Dy()/2
		c := color.NRGBA{255, 255, 255, 255}
		if image.Pt(u, v).In(b) {
			c = drawn.NRGBAAt(u, v)
		}
		return [3]float64{float64(c.R), float64(c.G), float64(c.B)}
	}
	r := rand.New(rand.NewPCG(seed, 0))
	img := image.NewRGBA(image.Rect(0, 0, w, w))
	sin, cos := math.Sincos(turned)
	for y := range w {
		for x := range w {
			// A tent of nine points over two pixels is the blur.
			var sum [3]float64
			for k := range 9 {
				du, dv := float64(k%3-1)*0.7, float64(k/3-1)*0.7
				weight := (2 - math.Abs(float64(k%3-1))) * (2 - math.Abs(float64(k/3-1))) / 16
				p, q := float64(x)+0.5+du-float64(w)/2, float64(y)+0.5+dv-float64(w)/2
				for i, v := range at(p*cos+q*sin, q*cos-p*sin) {
					sum[i] += weight * v
				}
			}
			light := 0.97 - 0.22*float64(x)/float64(w) - 0.06*float64(y*y)/float64(w*w)
			var c [3]uint8
			for i, v := range sum {
				c[i] = uint8(math.Max(0, math.Min(255, v*light+4*r.NormFloat64())))
			}
			img.SetRGBA(x, y, color.RGBA{c[0], c[1], c[2], 255})
		}
	}
	var out bytes.Buffer
	if err := jpeg.Encode(&out, img, &jpeg.Options{Quality: 60}); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

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
		p, err := Read(context.Background(), bytes.NewReader(scanned(t, img, uint64(seed))))
		if err != nil {
			t.Fatal(err)
		}
		res, err := p.Trace(context.Background(), Options{Tracing: job.Tracing{Sheet: true}})
		if err != nil {
			t.Fatal(err)
		}
		if res.Sheet == nil || math.Abs(res.Sheet.TurnDeg-2) > 0.3 {
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
