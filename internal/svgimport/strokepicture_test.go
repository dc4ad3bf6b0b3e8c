//go:build oracle

package svgimport

import (
	"context"
	"fmt"
	"image"
	"strings"
	"testing"

	"abut/internal/oracle"
)

// Every join with every cap and dash pattern on every kind of subpath, drawn as
// a stroke by resvg and as our outline of it: at most 0.5 % of the pixels differ
// by more than 48 of 255.
//
// A dash of no length with square caps lies along the path (SVG 2, 13.5.6),
// while resvg sets it upright and librsvg leaves it out beside longer dashes;
// both draw a dash of next to no length as we draw one of none, so that is what
// it is compared with. And resvg measures curves only to half a pixel, so that
// dashes along them are misplaced by up to that: of those, librsvg is the judge
// where it matters.
func TestStroke_LooksAsOthersDrawIt(t *testing.T) {
	r := oracle.StartRenderer(t)
	paths := []struct{ name, d string }{
		{"corners", "M20 120L60 30L100 120L180 100L110 80L170 20"},
		{"sharp", "M20 30L180 40L20 50M30 120L170 100L60 140"},
		{"triangle", "M30 30L170 40L80 130z"},
		{"closed by hand", "M30 30L170 40L80 130L30 30"},
		{"curve", "M20 75C60 -60 90 220 180 40S60 140 40 130"},
		{"closed curve", "M40 75C40 10 160 10 160 75S40 140 40 75z"},
		{"loop", "M30 120C220 0 -20 0 170 120Q100 60 30 60"},
		{"cusp", "M40 120C180 20 20 20 160 120"},
		{"tight", "M60 75C60 60 64 60 64 75S68 90 68 75L140 75A3 3 0 0 0 140 69z"},
		{"arcs", "M40 75A60 40 20 1 1 100 130A30 50 0 0 1 40 75"},
		{"and back", "M30 40H150H60M30 100C90 60 150 140 170 100C150 140 90 60 30 100"},
		{"dots", "M30 40h0M80 40zM130 40L130 40zM30 90c0 0 0 0 0 0M80 90H80V90M130 90a5 5 0 1 0 0 0"},
	}
	dashes := []struct {
		name    string
		lengths []float64
		offset  float64
	}{
		{name: "solid"},
		{"dashed", []float64{22, 14}, 0},
		{"odd", []float64{15, 9, 4}, 7},
		{"long", []float64{90, 30}, -35},
		{"dotted", []float64{0, 25}, 0},
		{"dots and dashes", []float64{20, 16, 0, 16}, 1000},
	}
	curved := map[string]bool{"curve": true, "closed curve": true, "arcs": true}
	stroke := func(lengths []float64, offset float64) string {
		if len(lengths) == 0 {
			return ""
		}
		var list []string
		for _, l := range lengths {
			list = append(list, fmt.Sprint(l))
		}
		return fmt.Sprintf(`stroke-dasharray="%s" stroke-dashoffset="%g"`, strings.Join(list, " "), offset)
	}
	const page = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 150"><g fill="none" stroke="#000" %s><path d="%s" stroke-width="11" %s/></g></svg>`
	count, worst, disputed := 0, 0.0, map[string]float64{}
	for _, p := range paths {
		for _, d := range dashes {
			for _, join := range []string{"miter", `miter" stroke-miterlimit="20`, `miter" stroke-miterlimit="1`, "round", "bevel"} {
				for _, ends := range []string{"butt", "round", "square"} {
					attrs := fmt.Sprintf(`stroke-linejoin="%s" stroke-linecap="%s"`, join, ends)
					shown := append([]float64{}, d.lengths...)
					for i := range shown {
						if shown[i] == 0 && ends != "butt" {
							shown[i], shown[i+1] = 0.01, shown[i+1]-0.01
						}
					}
					ours := `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 150"/>`
					svg := fmt.Sprintf(page, attrs, p.d, stroke(d.lengths, d.offset))
					if res, err := Import(context.Background(), strings.NewReader(svg), Options{}); err == nil {
						ours = asPaths(res)
					}
					art := fmt.Sprintf(page, attrs, p.d, stroke(shown, d.offset))
					off := inkOff(t, ours, art, func(svg []byte) (*image.RGBA, error) { return r.Render(svg, 256, false) })
					if off > 0.005 && curved[p.name] && len(d.lengths) > 0 {
						disputed[p.name+", "+d.name+", "+ends] = off
						off = inkOff(t, ours, art, func(svg []byte) (*image.RGBA, error) { return oracle.SecondSmooth(svg, 256, 192) })
					}
					count++
					worst = max(worst, off)
					if off > 0.005 {
						t.Errorf("%s, %s, %s, %s: %.2f %% of the pixels are off", p.name, d.name, join, ends, 100*off)
					}
				}
			}
		}
	}
	t.Logf("figures: %d strokes, the worst with %.2f %% of the pixels off", count, 100*worst)
	for kind, off := range disputed {
		t.Logf("figures: %s: resvg misplaces dashes along the curve (%.2f %% of the pixels); librsvg agrees with us", kind, 100*off)
	}
}

// inkOff draws two pictures and returns the share of the pixels whose opacity
// differs by more than 48 of 255: all is black.
func inkOff(t *testing.T, a, b string, render func([]byte) (*image.RGBA, error)) float64 {
	t.Helper()
	one, err := render([]byte(a))
	if err != nil {
		t.Fatal(err)
	}
	two, err := render([]byte(b))
	if err != nil {
		t.Fatal(err)
	}
	off := 0
	for i := 3; i < len(one.Pix); i += 4 {
		if d := int(one.Pix[i]) - int(two.Pix[i]); d > 48 || d < -48 {
			off++
		}
	}
	return float64(off) / float64(len(one.Pix)/4)
}
