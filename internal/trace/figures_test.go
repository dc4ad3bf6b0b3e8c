package trace

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
)

// paint paints paths over each other, smoothed by area: 16 × 16 points for each
// pixel. What none covers is transparent.
func paint(w, h int, paths []geometry.Path, colours []color.NRGBA) *image.NRGBA {
	const fine = 16
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	inside := make([]*geometry.Enclosure, len(paths))
	for i, p := range paths {
		inside[i] = geometry.NewEnclosure(p.Flatten(0.005))
	}
	top := func(x, y float64) int {
		for i := len(inside) - 1; i >= 0; i-- {
			if inside[i].Holds(geometry.Pt(x, y)) {
				return i
			}
		}
		return -1
	}
	for y := range h {
		for x := range w {
			var sum [4]float64
			even, first := true, top(float64(x)+0.01, float64(y)+0.01)
			for k := range 9 { // whether all of it is one colour
				even = even && top(float64(x)+float64(k%3)*0.49+0.01, float64(y)+float64(k/3)*0.49+0.01) == first
			}
			n := fine
			if even {
				n = 1
			}
			for v := range n {
				for u := range n {
					i := top(float64(x)+(float64(u)+0.5)/float64(n), float64(y)+(float64(v)+0.5)/float64(n))
					if i >= 0 {
						c := colours[i]
						sum[0], sum[1], sum[2], sum[3] = sum[0]+float64(c.R), sum[1]+float64(c.G), sum[2]+float64(c.B), sum[3]+255
					}
				}
			}
			if a := sum[3] / 255; a > 0 {
				to := func(v float64) uint8 { return uint8(math.Round(v / a)) }
				img.SetNRGBA(x, y, color.NRGBA{to(sum[0]), to(sum[1]), to(sum[2]), uint8(math.Round(sum[3] / float64(n*n)))})
			}
		}
	}
	return img
}

func traced(t *testing.T, img image.Image, opt Options) *Result {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	res, err := Trace(context.Background(), &b, opt)
	if err != nil {
		t.Fatal(err)
	}
	return res
}

// layerOf returns the outlines of the layer of a colour.
func layerOf(res *Result, c color.NRGBA) (out geometry.Path) {
	for _, l := range res.Layers {
		if l.Colour.DeltaE(colour.RGB{R: c.R, G: c.G, B: c.B}) < 1 {
			for _, s := range job.Shapes(l.Content) {
				out = append(out, s.Path...)
			}
		}
	}
	return out
}

// far is how far the farthest of some points on one path is from another.
func far(a, b geometry.Path) (worst float64) {
	b = b.Flatten(0.002)
	for _, c := range a {
		from := c.Start
		for _, s := range c.Segments {
			for k := range 9 {
				worst = math.Max(worst, b.Distance(s.At(from, float64(k)/8)))
			}
			from = s.End
		}
	}
	return worst
}

// cornersOf counts the places where a contour turns by more than 20°.
func cornersOf(p geometry.Path) (n int) {
	for _, c := range p {
		var in, out []geometry.Point
		from := c.Start
		for _, s := range append(c.Segments[:len(c.Segments):len(c.Segments)], geometry.LineTo(c.Start)) {
			if s.End.Sub(from).Len() > 1e-6 {
				out = append(out, s.At(from, 1e-3).Sub(from))
				in = append(in, s.End.Sub(s.At(from, 1-1e-3)))
			}
			from = s.End
		}
		for i := range in {
			if math.Abs(turn(in[i], out[(i+1)%len(out)])) > 20*math.Pi/180 {
				n++
			}
		}
	}
	return n
}

func regular(n int, centre geometry.Point, radii ...float64) geometry.Path {
	var p []geometry.Point
	for k := range n * len(radii) {
		a := 2*math.Pi*float64(k)/float64(n*len(radii)) + 0.3
		p = append(p, centre.Add(geometry.Pt(math.Cos(a), math.Sin(a)).Mul(radii[k%len(radii)])))
	}
	return geometry.Path{geometry.Polygon(p...)}
}

// letter is a polygon in a square of a side.
func letter(side float64, v ...float64) geometry.Path {
	var p []geometry.Point
	for i := 0; i < len(v); i += 2 {
		p = append(p, geometry.Pt(v[i], v[i+1]).Mul(side))
	}
	return geometry.Path{geometry.Polygon(p...)}
}

func roundedRect(x, y, w, h, r float64) geometry.Path {
	at := geometry.Pt
	c := geometry.Contour{Start: at(x+r, y), Closed: true}
	corner := func(to, next geometry.Point) {
		c.Segments = append(c.Segments, geometry.LineTo(to))
		c.Segments = append(c.Segments, geometry.ArcTo(to, r, r, 0, false, true, next)...)
	}
	corner(at(x+w-r, y), at(x+w, y+r))
	corner(at(x+w, y+h-r), at(x+w-r, y+h))
	corner(at(x+r, y+h), at(x, y+h-r))
	corner(at(x, y+r), at(x+r, y))
	return geometry.Path{c}
}

// Known figures come back where they were, from few pixels and from many, on
// white and on nothing, with the corners that they have and no others.
func TestTrace_FindsFiguresWhereTheyWere(t *testing.T) {
	const limit = 0.35 // pixels
	red, white := color.NRGBA{200, 30, 40, 255}, color.NRGBA{255, 255, 255, 255}
	for _, side := range []int{64, 160, 512} {
		s := float64(side)
		c := geometry.Pt(0.503*s, 0.491*s)
		for _, f := range []struct {
			name    string
			path    geometry.Path
			corners int
		}{
			{"circle", geometry.Path{geometry.Ellipse(c, 0.371*s, 0.371*s)}, 0},
			{"small circle", geometry.Path{geometry.Ellipse(c, 6.3, 6.3)}, 0},
			{"ellipse", geometry.Path{geometry.Ellipse(c, 0.41*s, 0.23*s)}, 0},
			{"triangle", regular(3, c, 0.4*s), 3},
			{"square", regular(4, c, 0.4*s), 4},
			{"upright square", geometry.RectXYWH(0.213*s, 0.187*s, 0.5*s, 0.6*s).Path(), 4},
			{"heptagon", regular(7, c, 0.4*s), 7},
			{"star", regular(5, c, 0.44*s, 0.18*s), 10},
			{"rounded rectangle", roundedRect(0.11*s, 0.23*s, 0.77*s, 0.51*s, 0.1*s), 0},
			{"letter E", letter(s, 0.25, 0.15, 0.77, 0.15, 0.77, 0.29, 0.42, 0.29, 0.42, 0.43, 0.71, 0.43, 0.71, 0.56, 0.42, 0.56, 0.42, 0.71, 0.79, 0.71, 0.79, 0.85, 0.25, 0.85), 12},
			{"letter A", append(letter(s, 0.16, 0.86, 0.42, 0.13, 0.59, 0.13, 0.85, 0.86, 0.67, 0.86, 0.62, 0.71, 0.38, 0.71, 0.33, 0.86),
				letter(s, 0.43, 0.57, 0.57, 0.57, 0.505, 0.36).Reverse()...), 11},
			{"letter K", letter(s, 0.22, 0.14, 0.39, 0.14, 0.39, 0.43, 0.63, 0.14, 0.84, 0.14, 0.55, 0.47, 0.86, 0.86, 0.65, 0.86, 0.39, 0.53, 0.39, 0.86, 0.22, 0.86), 11},
			{"ring", append(geometry.Path{geometry.Ellipse(c, 0.4*s, 0.4*s)}, geometry.Path{geometry.Ellipse(c, 0.2*s, 0.2*s)}.Reverse()...), 0},
		} {
			for _, ground := range []bool{false, true} {
				paths, colours := []geometry.Path{f.path}, []color.NRGBA{red}
				if ground {
					all := geometry.RectXYWH(0, 0, s, s).Path()
					paths, colours = []geometry.Path{all, f.path}, []color.NRGBA{white, red}
				}
				res := traced(t, paint(side, side, paths, colours), Options{})
				if len(res.Layers) != len(paths) {
					t.Errorf("%s at %d px: %d colours of %d", f.name, side, len(res.Layers), len(paths))
					continue
				}
				got := layerOf(res, red)
				there, back := far(got, f.path), far(f.path, got)
				if math.Max(there, back) > limit {
					t.Errorf("%s at %d px, ground %v: %.2f px beyond, %.2f px short", f.name, side, ground, there, back)
				}
				if n := cornersOf(got); n != f.corners {
					t.Errorf("%s at %d px, ground %v: %d corners of %d", f.name, side, ground, n, f.corners)
				}
				t.Logf("figures: %s at %d px, ground %v: %.3f px, %d corners of %d", f.name, side, ground, math.Max(there, back), cornersOf(got), f.corners)
			}
		}
	}
}

// How long a picture of many edges takes, reading it included.
func BenchmarkTrace(b *testing.B) {
	for _, side := range []int{512, 1448} {
		var file bytes.Buffer
		if err := png.Encode(&file, lighthouse(side)); err != nil {
			b.Fatal(err)
		}
		b.Run(fmt.Sprintf("lighthouse %d px", side), func(b *testing.B) {
			for b.Loop() {
				if _, err := Trace(context.Background(), bytes.NewReader(file.Bytes()), Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
