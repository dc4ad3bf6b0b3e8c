package svgimport

import (
	"math"
	"testing"

	"abut/geometry"
)

// SVG 2, 8.6 (worked example): nested translate(50,90), rotate(−45),
// translate(130,160).
func TestTransform_WorkedExample(t *testing.T) {
	m, ok := parseTransform("translate(50,90) rotate(-45) translate(130,160)")
	if !ok {
		t.Fatal("not read")
	}
	for i, c := range []struct{ got, want float64 }{
		{m.A, 0.70710678}, {m.B, -0.70710678}, {m.C, 0.70710678}, {m.D, 0.70710678}, {m.E, 255.0609665}, {m.F, 111.2132034},
	} {
		near(t, string(rune('a'+i)), c.got, c.want, 1e-7)
	}
	s := only(t, page100(`<g transform="translate(50,90)"><g transform="rotate(-45)"><g transform="translate(130,160)">
		<path d="M-130-160h5v5z"/></g></g></g>`))
	nearPoint(t, "nested", s.Path[0].Start, m.Apply(geometry.Pt(-130, -160)), 1e-9)
}

func TestTransform_Functions(t *testing.T) {
	r := math.Pi / 180
	for s, want := range map[string]geometry.Affine{
		"":                              geometry.Identity(),
		"none":                          geometry.Identity(),
		"matrix(1 2 3 4 5 6)":           {A: 1, B: 2, C: 3, D: 4, E: 5, F: 6},
		"matrix(1,2,3,4,5,6)":           {A: 1, B: 2, C: 3, D: 4, E: 5, F: 6},
		"translate(3)":                  geometry.Translate(3, 0),
		"translate(3-4)":                geometry.Translate(3, -4),
		" scale( 2 ) ":                  geometry.Scale(2, 2),
		"scale(2,3)":                    geometry.Scale(2, 3),
		"rotate(90)":                    {B: 1, C: -1},
		"rotate(90 10 20)":              {B: 1, C: -1, E: 30, F: 10},
		"rotate(-180)":                  {A: -1, D: -1},
		"skewX(30)":                     geometry.SkewX(30 * r),
		"skewY(30)":                     geometry.SkewY(30 * r),
		"translate(1 2)scale(3)":        {A: 3, D: 3, E: 1, F: 2},
		"translate(1 2),,scale(3)":      {A: 3, D: 3, E: 1, F: 2},
		"translate(1 2) , scale(3)":     {A: 3, D: 3, E: 1, F: 2},
		"rotate(0.25turn)":              {B: 1, C: -1},
		"rotate(100grad)":               {B: 1, C: -1},
		"translate(1in, 0)":             geometry.Translate(96, 0),
		"translate(25.4mm 2.54cm)":      geometry.Translate(96, 96),
		"translate(72pt, 1PX)":          geometry.Translate(96, 1),
		"rotate(1.5707963267948966rad)": {B: 1, C: -1},
		"rotate(270)":                   {B: -1, C: 1},
		"rotate(-90deg)":                {B: -1, C: 1},
		"rotate(720)":                   geometry.Identity(),
		"rotate(180, 5, 0)":             {A: -1, D: -1, E: 10},
		"scaleX(3)":                     geometry.Scale(3, 1),
		"scaleY(3)":                     geometry.Scale(1, 3),
		"translateX(4px) translateY(5)": geometry.Translate(4, 5),
	} {
		got, ok := parseTransform(s)
		if !ok {
			t.Errorf("%q: not read", s)
		}
		for i, d := range []float64{got.A - want.A, got.B - want.B, got.C - want.C, got.D - want.D, got.E - want.E, got.F - want.F} {
			if math.Abs(d) > 1e-12 {
				t.Errorf("%q: number %d off by %g", s, i, d)
			}
		}
	}
	for _, s := range []string{"rotate", "rotate(", "rotate()", "scale(1 2 3)", "matrix(1 2 3 4 5)", "turn(4)", "scale(x)", "scale(2", "rotate(1 2)", "scale(2) what", "translate(1em)", "scaleX(1 2)", "translateY()"} {
		if m, ok := parseTransform(s); ok || m != geometry.Identity() {
			t.Errorf("%q was read as %v", s, m)
		}
	}
}

// SVG 2, 8.2 (worked example): a viewBox of 30 × 40 in viewports of 50 × 30 and
// 30 × 60.
func TestViewBox_WorkedExample(t *testing.T) {
	box := geometry.RectXYWH(0, 0, 30, 40)
	for v, want := range map[string]geometry.Affine{
		"xMinYMin meet":  {A: 0.75, D: 0.75},
		"xMidYMid":       {A: 0.75, D: 0.75, E: 13.75},
		"":               {A: 0.75, D: 0.75, E: 13.75},
		"nonsense":       {A: 0.75, D: 0.75, E: 13.75},
		"xMaxYMax meet":  {A: 0.75, D: 0.75, E: 27.5},
		"xMinYMin slice": {A: 5.0 / 3, D: 5.0 / 3},
		"xMidYMid slice": {A: 5.0 / 3, D: 5.0 / 3, F: -18.333333333},
		"xMaxYMax slice": {A: 5.0 / 3, D: 5.0 / 3, F: -36.666666667},
		"none":           {A: 5.0 / 3, D: 0.75},
	} {
		m := parseAspect(v).fit(box, 50, 30)
		for i, d := range []float64{m.A - want.A, m.B, m.C, m.D - want.D, m.E - want.E, m.F - want.F} {
			if math.Abs(d) > 1e-8 {
				t.Errorf("%q: number %d off by %g", v, i, d)
			}
		}
	}
}

// The root: which part of the picture is the canvas, and how large it is.
func TestPage_CanvasAndPhysicalSize(t *testing.T) {
	const mm = 25.4 / 96
	for _, c := range []struct {
		root   string
		canvas geometry.Rect
		w, h   float64 // mm; 0 for none
	}{
		{`viewBox="0 0 640 480"`, geometry.RectXYWH(0, 0, 640, 480), 0, 0},
		{`viewBox="-5 -6 10 20"`, geometry.RectXYWH(-5, -6, 10, 20), 0, 0},
		{`width="40" height="30"`, geometry.RectXYWH(0, 0, 40, 30), 0, 0},
		{`width="40px" height="30px" viewBox="0 0 4 3"`, geometry.RectXYWH(0, 0, 4, 3), 0, 0},
		{`width="80mm" height="60mm" viewBox="0 0 4 3"`, geometry.RectXYWH(0, 0, 4, 3), 80, 60},
		{`width="8cm" viewBox="0 0 4 3"`, geometry.RectXYWH(0, 0, 4, 3), 80, 60},
		{`height="72pt" viewBox="0 0 4 2"`, geometry.RectXYWH(0, 0, 4, 2), 50.8, 25.4},
		{`width="1in" height="6pc"`, geometry.RectXYWH(0, 0, 96, 96), 25.4, 25.4},
		{`width="40Q" height="40Q"`, geometry.RectXYWH(0, 0, 10/mm, 10/mm), 10, 10},
		{`width="100%" height="100%" viewBox="0 0 4 3"`, geometry.RectXYWH(0, 0, 4, 3), 0, 0},
		{`width="auto" viewBox="0 0 4 3"`, geometry.RectXYWH(0, 0, 4, 3), 0, 0},
		{`width="80mm" height="40mm" viewBox="0 0 10 10"`, geometry.RectXYWH(-5, 0, 20, 10), 80, 40},
		{`width="80mm" height="40mm" viewBox="0 0 10 10" preserveAspectRatio="xMinYMin slice"`, geometry.RectXYWH(0, 0, 10, 5), 80, 40},
		{`width="80mm" height="40mm" viewBox="0 0 10 10" preserveAspectRatio="none"`, geometry.RectXYWH(0, 0, 10, 5), 80, 40},
		// A side that says nothing follows from the other; what cannot be a side
		// says nothing.
		{`width="80mm" height="0" viewBox="0 0 4 3"`, geometry.RectXYWH(0, 0, 4, 3), 80, 60},
		{`width="-3cm" height="60mm" viewBox="0 0 4 3"`, geometry.RectXYWH(0, 0, 4, 3), 80, 60},
		{`width="80mm" height="1e999mm" viewBox="0 0 4 3"`, geometry.RectXYWH(0, 0, 4, 3), 80, 60},
		{`width="1e999mm" height="50%" viewBox="0 0 4 3"`, geometry.RectXYWH(0, 0, 4, 3), 0, 0},
		{`width="0" height="0" viewBox="0 0 4 3"`, geometry.RectXYWH(0, 0, 4, 3), 0, 0},
		{`width="1in" height="48" viewBox="0 0 4 2"`, geometry.RectXYWH(0, 0, 4, 2), 0, 0},
		{`width="80mm"`, geometry.RectXYWH(1, 1, 2, 2), 0, 0},
		{`width="80mm" height="50%"`, geometry.RectXYWH(1, 1, 2, 2), 0, 0},
		{``, geometry.RectXYWH(1, 1, 2, 2), 0, 0},
		{`viewBox="0 0 0 10"`, geometry.RectXYWH(1, 1, 2, 2), 0, 0},
	} {
		r := read(t, `<svg xmlns="http://www.w3.org/2000/svg" `+c.root+`><path d="M1 1h2v2h-2z"/></svg>`)
		nearPoint(t, c.root+" min", r.Canvas.Min, c.canvas.Min, 1e-9)
		nearPoint(t, c.root+" max", r.Canvas.Max, c.canvas.Max, 1e-9)
		nearPoint(t, c.root+" mm", r.PhysicalMM, geometry.Pt(c.w, c.h), 1e-9)
	}
	// Squeezed by preserveAspectRatio="none", our units are square.
	s := only(t, `<svg xmlns="http://www.w3.org/2000/svg" width="80" height="40" viewBox="0 0 10 10" preserveAspectRatio="none"><path d="M1 1h2v2h-2z"/></svg>`)
	near(t, "squeezed", s.Path.SignedArea(), 2, 1e-12)
}

// Where a square viewBox lies in a viewport that is wider, or higher (SVG 2, 8.2):
// its corner and its side.
func TestViewport_AlignsTheViewBox(t *testing.T) {
	box := geometry.RectXYWH(5, -5, 10, 10)
	for value, c := range map[string]struct{ wide, high geometry.Rect }{
		"":                    {geometry.RectXYWH(10, 0, 20, 20), geometry.RectXYWH(0, 10, 20, 20)},
		"xMidYMid":            {geometry.RectXYWH(10, 0, 20, 20), geometry.RectXYWH(0, 10, 20, 20)},
		"defer xMinYMin meet": {geometry.RectXYWH(0, 0, 20, 20), geometry.RectXYWH(0, 0, 20, 20)},
		"xMaxYMin":            {geometry.RectXYWH(20, 0, 20, 20), geometry.RectXYWH(0, 0, 20, 20)},
		"xMinYMid":            {geometry.RectXYWH(0, 0, 20, 20), geometry.RectXYWH(0, 10, 20, 20)},
		"xMinYMax meet":       {geometry.RectXYWH(0, 0, 20, 20), geometry.RectXYWH(0, 20, 20, 20)},
		"xMidYMid slice":      {geometry.RectXYWH(0, -10, 40, 40), geometry.RectXYWH(-10, 0, 40, 40)},
		"xMaxYMax slice":      {geometry.RectXYWH(0, -20, 40, 40), geometry.RectXYWH(-20, 0, 40, 40)},
		"xMinYMin slice":      {geometry.RectXYWH(0, 0, 40, 40), geometry.RectXYWH(0, 0, 40, 40)},
		"none":                {geometry.RectXYWH(0, 0, 40, 20), geometry.RectXYWH(0, 0, 20, 40)},
		"none slice":          {geometry.RectXYWH(0, 0, 40, 20), geometry.RectXYWH(0, 0, 20, 40)},
		"xMinyMin":            {geometry.RectXYWH(10, 0, 20, 20), geometry.RectXYWH(0, 10, 20, 20)}, // not understood
		"yMinYMin":            {geometry.RectXYWH(10, 0, 20, 20), geometry.RectXYWH(0, 10, 20, 20)},
		"xMinYMinimum":        {geometry.RectXYWH(10, 0, 20, 20), geometry.RectXYWH(0, 10, 20, 20)},
		"x":                   {geometry.RectXYWH(10, 0, 20, 20), geometry.RectXYWH(0, 10, 20, 20)},
		"xMidyMid":            {geometry.RectXYWH(10, 0, 20, 20), geometry.RectXYWH(0, 10, 20, 20)},
		"xAbcYMax":            {geometry.RectXYWH(10, 0, 20, 20), geometry.RectXYWH(0, 10, 20, 20)},
		"xMaxYAbc":            {geometry.RectXYWH(10, 0, 20, 20), geometry.RectXYWH(0, 10, 20, 20)},
	} {
		a := parseAspect(value)
		if got := a.fit(box, 40, 20).MapRect(box); got != c.wide {
			t.Errorf("%q in 40 × 20: %v, want %v", value, got, c.wide)
		}
		if got := a.fit(box, 20, 40).MapRect(box); got != c.high {
			t.Errorf("%q in 20 × 40: %v, want %v", value, got, c.high)
		}
	}
}

// Where a transform's origin lies (CSS Transforms 1, chapters 4 and 6): halved
// about it, a rectangle from (20, 30) to (60, 50) begins at the place given.
func TestTransform_OriginAndBox(t *testing.T) {
	for style, at := range map[string]geometry.Point{
		"":                           geometry.Pt(10, 15),
		"transform-origin:10px 20px": geometry.Pt(15, 25),
		"transform-origin:center":    geometry.Pt(35, 40), // of the viewport
		"transform-origin:100% 0":    geometry.Pt(60, 15),
		"transform-box:view-box;transform-origin:right":                            geometry.Pt(60, 40),
		"transform-box:fill-box":                                                   geometry.Pt(20, 30),
		"transform-box:fill-box;transform-origin:center":                           geometry.Pt(30, 35),
		"transform-box:fill-box;transform-origin:50% 50%":                          geometry.Pt(30, 35),
		"transform-box:fill-box;transform-origin:right bottom":                     geometry.Pt(40, 40),
		"transform-box:fill-box;transform-origin:BOTTOM right":                     geometry.Pt(40, 40),
		"transform-box:fill-box;transform-origin:top":                              geometry.Pt(30, 30),
		"transform-box:fill-box;transform-origin:left":                             geometry.Pt(20, 35),
		"transform-box:fill-box;transform-origin:center left":                      geometry.Pt(20, 35),
		"transform-box:fill-box;transform-origin:5px bottom":                       geometry.Pt(22.5, 40),
		"transform-box:fill-box;transform-origin:top 5px":                          geometry.Pt(22.5, 30),
		"transform-box:fill-box;transform-origin:25% 10px 3px":                     geometry.Pt(25, 35),
		"transform-box:fill-box;transform-origin:left 10px top 5px":                geometry.Pt(25, 32.5),
		"transform-box:fill-box;transform-origin:bottom 5px right 10px":            geometry.Pt(35, 37.5),
		"transform-box:stroke-box;transform-origin:0 0;stroke:red;stroke-width:10": geometry.Pt(17.5, 27.5),
	} {
		svg := page100(`<rect x="20" y="30" width="40" height="20" fill="red" style="transform:scale(.5);` + style + `"/>`)
		b := shapes(read(t, svg))[0].Path.Bounds()
		nearPoint(t, style, b.Min, at, 1e-9)
		near(t, style+" width", b.Width(), 20, 1e-9)
	}
}
