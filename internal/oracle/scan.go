package oracle

import (
	"bytes"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
	"math"
	"math/rand/v2"
)

const (
	// ScanSheet is how wide the sheet of a scan is, as a multiple of the drawing.
	ScanSheet = 1.24
	// ScanTurnDeg is how far it lies turned, clockwise on screen.
	ScanTurnDeg = 2.0
)

// Scan makes a scan of a drawing, as a JPEG of quality 60: the drawing, on white, in the
// middle of a sheet that lies turned on a brown table, blurred over two pixels, under
// light that falls off by a quarter, with grain. The seed is the grain's.
func Scan(drawn image.Image, seed uint64) ([]byte, error) {
	art := image.NewRGBA(image.Rectangle{Max: drawn.Bounds().Size()})
	draw.Draw(art, art.Rect, image.White, image.Point{}, draw.Src)
	draw.Draw(art, art.Rect, drawn, drawn.Bounds().Min, draw.Over)
	size := art.Rect.Dx()
	w, sheet := size*7/5, float64(size)*ScanSheet/2
	at := func(x, y float64) [3]float64 {
		if math.Abs(x) > sheet || math.Abs(y) > sheet {
			return [3]float64{110, 85, 70}
		}
		p := image.Pt(int(math.Floor(x))+size/2, int(math.Floor(y))+art.Rect.Dy()/2)
		if !p.In(art.Rect) {
			return [3]float64{255, 255, 255}
		}
		c := art.RGBAAt(p.X, p.Y)
		return [3]float64{float64(c.R), float64(c.G), float64(c.B)}
	}
	r := rand.New(rand.NewPCG(seed, 0))
	img := image.NewRGBA(image.Rect(0, 0, w, w))
	sin, cos := math.Sincos(ScanTurnDeg * math.Pi / 180)
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
	err := jpeg.Encode(&out, img, &jpeg.Options{Quality: 60})
	return out.Bytes(), err
}
