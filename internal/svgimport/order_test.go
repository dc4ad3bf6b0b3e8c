package svgimport

import (
	"context"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/job"
	"abut/internal/layering"
)

// mixAt is the colour at a place over white, with everything beneath: of an
// opacity group only the topmost layer counts.
func mixAt(r *Result, p geometry.Point) [3]float64 {
	c := [3]float64{255, 255, 255}
	for i := 0; i < len(r.Layers); {
		k := i + 1
		for k < len(r.Layers) && r.Layers[i].Group != 0 && r.Layers[k].Group == r.Layers[i].Group {
			k++
		}
		for n := k - 1; n >= i; n-- {
			l := r.Layers[n]
			hit := false
			for _, s := range l.Content.(job.Outlines).Shapes {
				if s.Path.Bounds().Contains(p) && covers(s, p) {
					hit = true
					break
				}
			}
			if hit {
				for x, v := range [3]uint8{l.Colour.R, l.Colour.G, l.Colour.B} {
					c[x] = l.Alpha*float64(v) + (1-l.Alpha)*c[x]
				}
				break
			}
		}
		i = k
	}
	return c
}

// Another order of the shapes is the same picture at every place: opaque,
// see-through and grouped ones, with holes and clips.
func TestReorder_KeepsThePicture(t *testing.T) {
	shorter := 0
	seeds := rounds(12, 3)
	for seed := range uint64(seeds) {
		r := rand.New(rand.NewPCG(seed, 1))
		var b strings.Builder
		b.WriteString(`<clipPath id="c"><circle cx="50" cy="50" r="40"/></clipPath>`)
		shape := func() {
			colour := []string{"#d22", "#2a2", "#22d", "#111"}[r.IntN(4)]
			x, y, s := r.Float64()*90, r.Float64()*90, 2+r.Float64()*8
			more := ""
			switch r.IntN(12) {
			case 0:
				more = ` opacity=".5"`
			case 1:
				more = ` clip-path="url(#c)"`
			}
			switch r.IntN(4) {
			case 0:
				fmt.Fprintf(&b, `<circle cx="%.2f" cy="%.2f" r="%.2f" fill="%s"%s/>`, x, y, s/2, colour, more)
			case 1:
				fmt.Fprintf(&b, `<path d="M%.2f %.2fl%.2f %.2fl%.2f %.2fz" fill="%s"%s/>`, x, y, s, s*r.Float64(), -s*r.Float64(), s, colour, more)
			case 2:
				fmt.Fprintf(&b, `<path d="M%.2f %.2fh%.2fv%.2fh%.2fz" fill="none" stroke="%s"%s/>`, x, y, s, s, -s, colour, more)
			default:
				fmt.Fprintf(&b, `<path d="M%.2f %.2fL%.2f %.2f" stroke-width=".8" stroke="%s"%s/>`, x, y, x+r.Float64()*20, y+r.Float64()*20, colour, more)
			}
		}
		for i := range 400 {
			if i%30 == 7 {
				b.WriteString(`<g opacity=".6">`)
				shape()
				shape()
				shape()
				b.WriteString(`</g>`)
			}
			shape()
		}
		svg := page100(b.String())
		plain, err := Import(context.Background(), strings.NewReader(svg), Options{Groups: layering.Kept})
		if err != nil {
			t.Fatal(err)
		}
		again := read(t, svg)
		if len(again.Layers) < len(plain.Layers) {
			shorter++
		}
		for range 300 {
			p := geometry.Pt(r.Float64()*100, r.Float64()*100)
			if a, b := mixAt(plain, p), mixAt(again, p); a != b {
				t.Fatalf("seed %d: at %v %v, in the file's order %v\n%s", seed, p, b, a, svg)
			}
		}
	}
	if shorter < seeds {
		t.Errorf("only %d lists became shorter", shorter)
	}
}

// Outlines that alternate with fills, each over the one before it, are two
// layers where they lie apart; what lies over each other stays in order.
func TestReorder_OutlinesAndFills(t *testing.T) {
	var b strings.Builder
	for i := range 100 {
		fmt.Fprintf(&b, `<path d="M%d %dh4v4h-4z" fill="#%02x0" stroke="#000" stroke-width=".5"/>`, i%20*5, i/20*5+i%20/10*40, i%50)
	}
	res := read(t, page100(b.String()))
	// Fifty fills in fifty colours, and one outline.
	if n := len(res.Layers); n > 52 {
		t.Errorf("%d layers: %s", n, layerNames(res))
	}
}
