package svgimport

import (
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
)

// Shares of the viewport are those of each element that is clipped, also where
// two viewports of different sizes have one corner and one scale.
func TestClipPath_SharesAreOfTheViewportAroundWhatIsClipped(t *testing.T) {
	r := read(t, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100">
		<clipPath id="c"><rect width="50%" height="100%"/></clipPath>
		<rect width="80" height="10" fill="red" clip-path="url(#c)"/>
		<svg width="40" height="100"><rect width="30" y="20" height="10" fill="blue" clip-path="url(#c)"/></svg></svg>`)
	want := map[colour.RGB]float64{{R: 255}: 50, {B: 255}: 20}
	for _, l := range r.Layers {
		box := geometry.RectXYWH(0, 0, 100, 100)
		for _, s := range l.Content.(job.Outlines).Shapes {
			for _, c := range s.Clips {
				b := geometry.EmptyRect()
				for _, k := range c.Shapes {
					b = b.Union(k.Path.Bounds())
				}
				box = box.Intersect(b)
			}
		}
		if got := box.Max.X; got != want[l.Colour] {
			t.Errorf("%v is clipped at %g, want %g", l.Colour, got, want[l.Colour])
		}
	}
	if len(r.Layers) != 2 {
		t.Errorf("%d layers", len(r.Layers))
	}
}

// What basic shapes cover of a rectangle from (20, 30) to (60, 50) (CSS Shapes 1,
// chapter 3; CSS Masking 1, 5.1).
func TestClipPath_BasicShapes(t *testing.T) {
	for shape, probes := range map[string]string{
		"circle()":                                        "40,31=#ff0000 31,40=#ff0000 29,40=- 51,40=-",
		"circle(5px at 5px 5px)":                          "25,35=#ff0000 29,35=#ff0000 31,35=- 25,39=#ff0000 25,41=-",
		"circle(closest-side at 30px 5px)":                "46,35=#ff0000 44,35=- 50,39=#ff0000 50,41=-",
		"circle(closest-side at 38px 10px)":               "57,40=#ff0000 55,40=- 58,43=-",
		"circle(farthest-side at 10px 10px)":              "59,40=#ff0000 21,40=#ff0000 59,31=-",
		"circle(farthest-side at 10px 0)":                 "59,31=#ff0000 55,49=-",
		"circle(50%)":                                     "25,40=#ff0000 24,40=-", // of hypot(40, 20)/√2
		"circle(0)":                                       "",
		"ellipse()":                                       "21,40=#ff0000 40,31=#ff0000 22,32=-",
		"ellipse(25% 50%)":                                "31,40=#ff0000 29,40=- 40,31=#ff0000 34,31=-",
		"ellipse(farthest-side 5px at 10px 5px)":          "59,35=#ff0000 30,39=#ff0000 30,41=-",
		"ellipse(closest-side farthest-side at 10px 5px)": "21,35=#ff0000 39,35=#ff0000 41,35=- 30,49=#ff0000 23,49=-",
		"ellipse(0 5px)":                                  "",
		"inset(5px)":                                      "26,36=#ff0000 54,44=#ff0000 24,40=- 56,40=- 40,34=- 40,46=-",
		"inset(2px 4px 6px 8px)":                          "29,33=#ff0000 55,43=#ff0000 27,40=- 57,40=- 40,31=- 40,45=-",
		"inset(2px 4px 6px)":                              "25,33=#ff0000 55,43=#ff0000 23,40=- 57,40=- 40,31=- 40,45=-",
		"inset(2px 4px)":                                  "25,33=#ff0000 55,47=#ff0000 23,40=- 57,40=- 40,31=- 40,49=-",
		"inset(10%)":                                      "25,33=#ff0000 23,40=- 57,40=- 40,31.5=- 40,48.5=-",
		"inset(12px)":                                     "",
		"inset(0 21px)":                                   "",
		"inset(0 round 10px)":                             "23.5,34=#ff0000 21,31=- 59,31=- 59,49=- 21,49=-",
		"inset(0 round 10px 0 0)":                         "21,31=- 59,31=#ff0000 59,49=#ff0000 21,49=#ff0000",
		"inset(0 round 0 10px 0 0)":                       "21,31=#ff0000 59,31=- 59,49=#ff0000 21,49=#ff0000",
		"inset(0 round 0 0 10px 0)":                       "21,31=#ff0000 59,31=#ff0000 59,49=- 21,49=#ff0000",
		"inset(0 round 0 0 0 10px)":                       "21,31=#ff0000 59,31=#ff0000 59,49=#ff0000 21,49=-",
		"inset(0 round 10px / 5px)":                       "21,31=- 23,34=#ff0000 21,34=#ff0000 24,31=-",
		"inset(0 round 50%)":                              "21,40=#ff0000 40,31=#ff0000 22,32=-", // the ellipse
		"inset(0 round 30px 30px 0 0 / 5px 5px 0 0)":      "40,30.2=#ff0000 21,30.5=-",           // of each side both corners shrink alike
		"inset(0 round 0 0 30px 30px / 0 0 5px 5px)":      "40,49.8=#ff0000 21,49.5=-",
		"inset(0 round 5px 0 0 5px / 15px 0 0 15px)":      "20.2,40=#ff0000 20.5,31=-",
		"inset(0 round 0 5px 5px 0 / 0 15px 15px 0)":      "59.8,40=#ff0000 59.5,31=-",
		"inset(0 round 40px)":                             "23.5,34=#ff0000 21,31=- 59,49=- 40,31=#ff0000", // shrunk to 10
		"inset(0 round 30px 0 0 / 10px 0 0)":              "26,33=- 49,31=#ff0000 59,31=#ff0000 21,49=#ff0000",
		"polygon(0 0, 100% 0, 0 100%)":                    "21,31=#ff0000 50,33=#ff0000 59,49=- 41,40=- 39,40=#ff0000",
		"polygon(0 0, 40px 0, 40px 20px, 0 20px, 0 0, 10px 5px, 30px 5px, 30px 15px, 10px 15px, 10px 5px)":          "22,32=#ff0000 40,40=#ff0000",
		"polygon(evenodd, 0 0, 40px 0, 40px 20px, 0 20px, 0 0, 10px 5px, 30px 5px, 30px 15px, 10px 15px, 10px 5px)": "22,32=#ff0000 40,40=-",
		"polygon(nonzero, 0 0, 40px 0, 40px 20px)":                                                                  "58,32=#ff0000 22,49=-",
		"path('M0 0H10V10H0Z')":                          "25,35=#ff0000 35,35=- 25,42=-",
		"path(evenodd, 'M0 0H40V20H0Z M10 5H30V15H10Z')": "22,32=#ff0000 40,40=-",
		"view-box inset(0 50% 0 0)":                      "49,40=#ff0000 51,40=-",
		"INSET(0 50% 0 0) View-Box":                      "49,40=#ff0000 51,40=-",
		"view-box":                                       "21,31=#ff0000 59,49=#ff0000",
	} {
		if probes != "" {
			probes += " 19,40=- 40,29=- 61,40=- 40,51=-"
		}
		probe(t, shape, `<rect x="20" y="30" width="40" height="20" fill="red" style="clip-path:`+shape+`"/>`, probes)
	}
	// The box is that of the fill, or of the stroke unless another is named.
	const stroked = `<rect x="20" y="30" width="40" height="20" fill="red" stroke="blue" stroke-width="10" style="clip-path:`
	probe(t, "fill", stroked+`fill-box"/>`, "21,40=#0000ff 40,40=#ff0000 18,40=-")
	probe(t, "stroke", stroked+`stroke-box"/>`, "16,26=#0000ff 64,54=#0000ff 40,40=#ff0000")
	probe(t, "stroke by itself", stroked+`inset(0 0 0 50%)"/>`, "41,40=#ff0000 64,54=#0000ff 39,40=-")
	probe(t, "fill of a group", `<g style="clip-path:inset(0 0 0 50%) fill-box"><rect x="20" y="30" width="10" height="20" fill="red"/><rect x="50" y="30" width="10" height="20" fill="red"/></g>`, "25,40=- 55,40=#ff0000")
	probe(t, "moved", `<g transform="translate(10 5)"><rect x="20" y="30" width="40" height="20" fill="red" style="clip-path:inset(5px)"/></g>`, "36,41=#ff0000 34,45=- 50,39=-")
}

// A clip is known for a rectangle whichever way and from whichever corner it runs,
// and nothing else is.
func TestClipPath_RectanglesAreKnown(t *testing.T) {
	for d, want := range map[string]bool{
		"M0 0H4V3H0Z": true, "M0 0V3H4V0Z": true, "M4 3H0V0H4Z": true, "M4 3V0H0V3Z": true, "M0 0H4V3H0V0Z": true, "M0 0H4V3H0V0": true, "M0 0H4V3V3H0Z": true,
		"M0 0H4V3H1Z": false, "M0 0H4V3H0L1 1Z": false, "M0 0V3H4V1Z": false, "M0 0L4 1V3H0Z": false, "M0 0H4L3 3H0Z": false, "M1 0H4V3H0Z": false, "M0 1H4V3H0V0Z": false,
		"M0 0V3L4 4V0Z": false, "M0 0L1 3H4V0Z": false, "M0 1V3H4V0Z": false,
		"M0 0H4V3Z": false, "M0 0H4V3H2V2H0Z": false, "M0 0C1 0 2 0 4 0V3H0Z": false, "M0 0H4V3H0ZM1 1H2V2H1Z": false, "": false,
	} {
		if got := isRect(mustPath(t, d)); got != want {
			t.Errorf("%q: %v", d, got)
		}
	}
}

func TestClipPath_ShapesThatMakeNoSenseClipNothing(t *testing.T) {
	for _, shape := range []string{
		"circle(1px 2px)", "circle(-1px)", "circle(at)", "circle(5px at middle)", "ellipse(5px)", "ellipse(5px 5px 5px)", "ellipse(5px -5px)",
		"inset()", "inset(1px 2px 3px 4px 5px)", "inset(one)", "inset(0 round one)", "inset(0 round 5px / one)", "polygon(1px)", "polygon(0 0, 1px one)", "polygon(0 0, one 1px)",
		"path(M0 0)", "path('M0 0H10X')", "star(5px)", "circle(1e12px)",
	} {
		probe(t, shape, `<rect x="20" y="30" width="40" height="20" fill="red" style="clip-path:`+shape+`"/>`, "21,31=#ff0000 59,49=#ff0000", WarnClipShape)
	}
}
