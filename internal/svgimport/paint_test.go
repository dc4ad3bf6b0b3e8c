package svgimport

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/gradient"
	"abut/internal/job"
	"abut/internal/layering"
)

func TestGradient_MeanOverTheArea(t *testing.T) {
	const stops = `<stop stop-color="#000"/><stop offset="1" stop-color="#fff"/>`
	for name, c := range map[string]struct{ def, shape, want string }{
		// Linear from black to white over the box: its mean is the middle.
		"linear":      {`<linearGradient id="g">` + stops + `</linearGradient>`, `<rect width="50" height="20" fill="url(#g)"/>`, "#808080"},
		"user space":  {`<linearGradient id="g" gradientUnits="userSpaceOnUse" x1="0" x2="100">` + stops + `</linearGradient>`, `<rect width="50" height="20" fill="url(#g)"/>`, "#404040"},
		"padded":      {`<linearGradient id="g" gradientUnits="userSpaceOnUse" x1="0" x2="10">` + stops + `</linearGradient>`, `<rect x="10" width="50" height="20" fill="url(#g)"/>`, "#ffffff"},
		"transform":   {`<linearGradient id="g" gradientUnits="userSpaceOnUse" x1="0" x2="1" gradientTransform="scale(100 1)">` + stops + `</linearGradient>`, `<rect width="50" height="20" fill="url(#g)"/>`, "#404040"},
		"repeat":      {`<linearGradient id="g" gradientUnits="userSpaceOnUse" x1="0" x2="10" spreadMethod="repeat">` + stops + `</linearGradient>`, `<rect width="50" height="20" fill="url(#g)"/>`, "#808080"},
		"chain":       {`<linearGradient id="h">` + stops + `</linearGradient><linearGradient id="g" href="#h" gradientUnits="userSpaceOnUse" x2="100"/>`, `<rect width="50" height="20" fill="url(#g)"/>`, "#404040"},
		"of a stroke": {`<linearGradient id="g" gradientUnits="userSpaceOnUse" x2="100">` + stops + `</linearGradient>`, `<path d="M0 10h50" stroke-width="5" stroke="url(#g)"/>`, "#404040"},
		"triangle":    {`<linearGradient id="g">` + stops + `</linearGradient>`, `<path d="M0 0L60 0L60 60z" fill="url(#g)"/>`, "#aaaaaa"},
		// ∫ t·2πt dt / π over the unit disc is 2/3.
		"radial":         {`<radialGradient id="g">` + stops + `</radialGradient>`, `<circle cx="50" cy="50" r="40" fill="url(#g)"/>`, "#aaaaaa"},
		"current colour": {`<g color="red"><linearGradient id="g"><stop stop-color="currentColor"/></linearGradient></g>`, `<rect width="50" height="20" fill="url(#g)"/>`, "#ff0000"},
	} {
		res := read(t, page100(c.def+c.shape))
		got := res.Layers[0].Colour
		want, _ := colour.Parse(c.want)
		if d := got.DeltaE(want); d > 0.8 {
			t.Errorf("%s: %s, want %s", name, got, want)
		}
		even := name == "current colour" || name == "padded"
		if n := len(res.Warnings); even != (n == 0) {
			t.Errorf("%s: warnings %v", name, res.Warnings)
		}
	}
}

// Where a gradient lies, as its file says it (SVG 2, 14.2): in units of the picture,
// or of the box of a shape of 40 × 20 at (10, 30); and what is not said.
func TestGradient_Geometry(t *testing.T) {
	const stops = `<stop stop-color="#000"/><stop offset="1" stop-color="#fff"/>`
	p := geometry.Pt
	for attrs, want := range map[string]gradient.Gradient{
		`linear`: {From: p(10, 30), To: p(50, 30)},
		`linear x1=".25" y1="50%" x2="75%" y2="1"`:                                             {From: p(20, 40), To: p(40, 50)},
		`linear gradientUnits="userSpaceOnUse" x1="5" y1="6" x2="70" y2="80"`:                  {From: p(5, 6), To: p(70, 80)},
		`linear gradientUnits="userSpaceOnUse" y1="10%" y2="20%"`:                              {From: p(0, 10), To: p(100, 20)},
		`linear gradientUnits="userSpaceOnUse" x1="1em" x2="70" spreadMethod="repeat"`:         {From: p(16, 0), To: p(70, 0), Spread: gradient.Repeat},
		`linear spreadMethod="reflect" gradientTransform="translate(.5 .5)"`:                   {From: p(30, 40), To: p(70, 40), Spread: gradient.Reflect},
		`linear spreadMethod="bounce" x2="nonsense"`:                                           {From: p(10, 30), To: p(50, 30)},
		`radial gradientUnits="userSpaceOnUse"`:                                                {Radial: true, From: p(50, 50), To: p(50, 50), ToR: 50},
		`radial gradientUnits="userSpaceOnUse" cx="20" cy="30" r="40"`:                         {Radial: true, From: p(20, 30), To: p(20, 30), ToR: 40},
		`radial gradientUnits="userSpaceOnUse" cx="20" cy="30" r="40%" fx="21" fy="32" fr="3"`: {Radial: true, From: p(21, 32), To: p(20, 30), FromR: 3, ToR: 40},
		`radial gradientUnits="userSpaceOnUse" fr="-5" fx="60"`:                                {Radial: true, From: p(60, 50), To: p(50, 50), ToR: 50},
		`radial gradientUnits="userSpaceOnUse" gradientTransform="scale(.5)" fy="60"`:          {Radial: true, From: p(25, 30), To: p(25, 25), ToR: 50},
	} {
		name, rest, _ := strings.Cut(attrs, " ")
		res := read(t, page100(`<`+name+`Gradient id="g" `+rest+`>`+stops+`</`+name+`Gradient><rect x="10" y="30" width="40" height="20" fill="url(#g)"/>`))
		g := shapes(res)[0].Gradient
		if g == nil {
			t.Errorf("%s: no gradient", attrs)
			continue
		}
		nearPoint(t, attrs+" from", g.Map.Apply(g.From), want.From, 1e-9)
		nearPoint(t, attrs+" to", g.Map.Apply(g.To), want.To, 1e-9)
		near(t, attrs+" r", g.ToR, want.ToR, 1e-9)
		near(t, attrs+" fr", g.FromR, want.FromR, 1e-9)
		if g.Radial != want.Radial || g.Spread != want.Spread {
			t.Errorf("%s: %+v", attrs, g)
		}
	}
}

// Stops are in order, within 0 and 1, and have the colours that they are given
// where they stand.
func TestGradient_Stops(t *testing.T) {
	res := read(t, page100(`<g color="lime"><linearGradient id="h"><stop offset="-5" stop-color="red"/><desc/><stop offset="50%" stop-color="currentColor" stop-opacity=".5"/>
		<stop offset=".25" stop-color="rgb(0 0 255 / 50%)" stop-opacity=".5"/><stop offset="7"/></linearGradient></g>
		<linearGradient id="g" href="#h" x2=".5"/><rect width="40" height="20" fill="url(#g)"/>`))
	if got := fmt.Sprint(shapes(res)[0].Gradient.Stops); got != "[{0 #ff0000 1} {0.5 #00ff00 0.5} {0.5 #0000ff 0.25} {1 #000000 1}]" {
		t.Error(got)
	}
}

// A cone of circles covers a part of the plane only; a gradient that ends nowhere is
// as it begins.
func TestGradient_CoversWhatItCovers(t *testing.T) {
	const stops = `<stop stop-color="#f00"/><stop offset="1" stop-color="#00f"/>`
	res := read(t, page100(`<radialGradient id="g" gradientUnits="userSpaceOnUse" cx="50" cy="50" r="10" fx="90" fy="50">`+stops+`</radialGradient><rect width="100" height="100" fill="url(#g)"/>`))
	if a := res.Layers[0].Alpha; a < 0.1 || a > 0.9 {
		t.Errorf("a cone covers %g", a)
	}
	probe(t, "without end", `<linearGradient id="g" x2="1e999">`+stops+`</linearGradient><rect width="50" height="50" fill="url(#g)"/>`, "5,5=#ff0000")
}

func TestGradient_Edges(t *testing.T) {
	const r = `<rect width="50" height="20" fill="url(#g)"/>`
	probe(t, "one stop", `<linearGradient id="g"><stop stop-color="red"/></linearGradient>`+r, "5,5=#ff0000")
	probe(t, "equal stops", `<radialGradient id="g"><stop stop-color="red"/><stop offset="1" stop-color="red"/></radialGradient>`+r, "5,5=#ff0000")
	probe(t, "no stops", `<linearGradient id="g"/>`+r, "")
	probe(t, "stop opacity", `<linearGradient id="g"><stop stop-color="red" stop-opacity=".5"/></linearGradient>`+r, "5,5=#ff0000/0.5")
	probe(t, "style", `<style>.s{stop-color:red}</style><linearGradient id="g"><stop class="s"/></linearGradient>`+r, "5,5=#ff0000")
	probe(t, "no length", `<linearGradient id="g" x2="0"><stop stop-color="blue"/><stop offset="1" stop-color="red"/></linearGradient>`+r, "5,5=#ff0000")
	probe(t, "chain of itself", `<linearGradient id="g" href="#g"/>`+r, "")
	probe(t, "missing", r+`<rect x="50" width="9" height="9"/>`, "5,5=- 55,5=#000000", WarnPaint)
	probe(t, "fallback", `<rect width="50" height="20" fill="url(#g) red"/>`, "5,5=#ff0000")
	probe(t, "fallback none", `<rect width="50" height="20" fill="url(#g) none"/><rect x="50" width="9" height="9"/>`, "5,5=-")
	probe(t, "no paint server", `<rect id="g" width="9" height="9" fill="url(#g) red"/>`, "5,5=#ff0000")
	probe(t, "outside", `<rect width="9" height="9" fill="url(other.svg#g) red"/>`, "5,5=#ff0000", WarnExternal)
}

// A pattern of more tiles than could be cut is one colour.
func TestPattern_MeanOfTheTile(t *testing.T) {
	for name, c := range map[string]struct {
		def, want string
		alpha     float64
	}{
		"half":    {`<pattern id="g" patternUnits="userSpaceOnUse" width="1" height="1"><rect width="1" height="1" fill="#fff"/><rect width=".5" height="1"/></pattern>`, "#808080", 1},
		"sparse":  {`<pattern id="g" patternUnits="userSpaceOnUse" width="1" height="1"><rect width=".5" height="1" fill="red"/></pattern>`, "#ff0000", 0.5},
		"viewBox": {`<pattern id="g" width=".04" height=".04" viewBox="0 0 4 4"><rect width="4" height="4" fill="#fff"/><rect width="4" height="1"/></pattern>`, "#bfbfbf", 1},
		"href":    {`<pattern id="h"><rect width="10" height="10" fill="red"/></pattern><pattern id="g" href="#h" patternUnits="userSpaceOnUse" width="5" height="5"/>`, "#ff0000", 1},
		"box":     {`<pattern id="g" width=".02" height=".02" patternContentUnits="objectBoundingBox"><rect width=".02" height=".02" fill="#fff"/><rect width=".01" height=".02"/></pattern>`, "#808080", 1},
		"clear":   {`<pattern id="g" patternUnits="userSpaceOnUse" width="10" height="10"><rect width="10" height="10" fill="#f84" opacity=".5"/></pattern>`, "#ff8844", 0.5},
		"corner":  {`<pattern id="g" x="25" y="25" patternUnits="userSpaceOnUse" width="1" height="1"><rect x="25" y="25" width="1" height=".5" fill="red"/></pattern>`, "#ff0000", 0.5},
		"evenodd": {`<pattern id="g" patternUnits="userSpaceOnUse" width="1" height="1"><path fill-rule="evenodd" d="M0 0H1V1H0ZM0 0H.5V1H0Z" fill="red"/></pattern>`, "#ff0000", 0.5},
		"faded":   {`<pattern id="g" patternUnits="userSpaceOnUse" width="10" height="10"><rect width="10" height="10" fill="#fff"/><rect width="10" height="10" fill="#000" opacity=".5"/></pattern>`, "#808080", 1},
		"itself":  {`<pattern id="g" patternUnits="userSpaceOnUse" width="10" height="10"><rect width="10" height="10" fill="#fff"/><rect width="5" height="10" fill="url(#g)"/></pattern>`, "#ffffff", 1},
	} {
		res := read(t, page100(c.def+`<rect width="50" height="50" fill="url(#g)"/>`))
		l := res.Layers[0]
		want, _ := colour.Parse(c.want)
		if l.Colour.DeltaE(want) > 0.8 || l.Alpha < c.alpha-0.01 || l.Alpha > c.alpha+0.01 {
			t.Errorf("%s: %s at %g, want %s at %g", name, l.Colour, l.Alpha, want, c.alpha)
		}
	}
}

func TestPattern_OfNothingPaintsNothing(t *testing.T) {
	for name, def := range map[string]string{
		"no tile":    `<pattern id="g" patternUnits="userSpaceOnUse" height="10"><rect width="10" height="10"/></pattern>`,
		"no content": `<pattern id="g" patternUnits="userSpaceOnUse" width="10" height="10"/>`,
		"clear":      `<pattern id="g" patternUnits="userSpaceOnUse" width="10" height="10"><rect width="10" height="10" fill="none"/></pattern>`,
		"of itself":  `<pattern id="g" patternUnits="userSpaceOnUse" width="10" height="10" href="#g"/>`,
	} {
		probe(t, name, def+`<rect width="50" height="50" fill="url(#g)"/><rect x="60" width="9" height="9" fill="red"/>`, "25,25=- 65,5=#ff0000", WarnNoPaint)
	}
	probe(t, "even", `<pattern id="g" patternUnits="userSpaceOnUse" width="10" height="10"><rect width="10" height="10" fill="red"/></pattern><rect width="50" height="50" fill="url(#g)"/>`, "25,25=#ff0000")
}

func TestWarnings_TheRestIsCounted(t *testing.T) {
	res := read(t, page100("<rect width='9' height='9'/>"+strings.Repeat("<text><textPath>x</textPath></text>", 500)))
	if last := res.Warnings[len(res.Warnings)-1]; len(res.Warnings) != maxWarnings+1 || last.ID != WarnMore || last.Args["count"] != "300" {
		t.Errorf("%d warnings, last %+v", len(res.Warnings), last)
	}
}

func TestLayers_RunsOfOneColourAndNames(t *testing.T) {
	const r = `<rect x="%" width="9" height="9" `
	at := func(x string) string { return strings.Replace(r, "%", x, 1) }
	res := read(t, page100(at("0")+`fill="red"/>`+at("20")+`fill="#f00"/>`+at("40")+`fill="blue"/>`+at("60")+`fill="red"/>`+
		`<g id="left_wing">`+at("70")+`fill="blue"/></g><g><title>Beak</title>`+at("80")+`fill="red"/></g>`+
		at("0")+`id="path4711" fill="lime"/>`+at("1")+`fill="lime" opacity=".5"/>`+at("2")+`fill="lime" opacity=".5"/>`+at("50")+`fill="lime" opacity=".5"/>`))
	var got []string
	for i, l := range res.Layers {
		got = append(got, l.Name)
		if l.ID != job.LayerID(i+1) || l.Transform != geometry.Identity() || !l.Shown || l.Knocks || l.Use != job.Cut {
			t.Errorf("layer %d: %+v", i, l)
		}
	}
	want := "Red, Blue, Red (2), left wing, Beak, Bright green, Bright green (2), Bright green (3)"
	if s := strings.Join(got, ", "); s != want {
		t.Errorf("layers %s\nwant   %s", s, want)
	}
	if n := len(res.Layers[0].Content.(job.Outlines).Shapes); n != 2 {
		t.Errorf("%d shapes in the first run", n)
	}
}

func TestNames_GeneratedIdsAreNoNames(t *testing.T) {
	for id, want := range map[string]bool{
		"beak": true, "Left_wing": true, "body-main": true, "path123": false, "g10": false, "SVGID_1_": false, "SVGftQuUbyO": false, "svg": false, "a": false, "": false,
		"Layer_1": false, "rect-4": false, "um-a": false, "flag-icons-um": true, "Ellipse 12": false, "x1a2b3c4": false, "eye2": true, "clip0_12_34": false,
		"glyph0-1": false, "glyph-0-12": false, "surface1": false, "patch_3": false, "Ebene_1": false, "Calque 2": false, "Frame 7": false, "Rectangle-3": false,
		"frame": true, "patch": true, "Frame-of-gold 2": true,
	} {
		if chosen(id) != want {
			t.Errorf("%q: chosen %v", id, !want)
		}
	}
}

func TestImport_CancelledBeforeItStarts(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Import(ctx, strings.NewReader(page100("")), Options{}); err != context.Canceled {
		t.Errorf("got %v", err)
	}
}

// A long list is made shorter by joining what may be drawn together: the picture
// stays the same, named groups stay apart while the list is readable.
func TestLayers_LongListsAreJoined(t *testing.T) {
	var b strings.Builder
	// Forty pairs of leaves and berries, apart from each other; a stem over all.
	for i := range 40 {
		fmt.Fprintf(&b, `<rect x="%d" y="%d" width="6" height="6" fill="green"/><circle cx="%d" cy="%d" r="2" fill="red"/>`, i%8*12, i/8*12, i%8*12+3, i/8*12+3)
	}
	b.WriteString(`<rect width="100" height="2" y="3" fill="brown"/><rect x="80" y="80" width="6" height="6" fill="green"/><rect width="9" height="9" fill="green"/>`)
	res := read(t, page100(b.String()))
	if got := layerNames(res); got != "Green, Red, Dark red, Green (2)" {
		t.Errorf("layers %s", got)
	}
	for p, want := range map[geometry.Point]string{{X: 3, Y: 3}: "#008000", {X: 15, Y: 3}: "#a52a2a", {X: 15, Y: 15}: "#ff0000", {X: 83, Y: 83}: "#008000"} {
		if got := at(res, p); got != want {
			t.Errorf("at %v %s, want %s", p, got, want)
		}
	}
	// Named groups: kept apart while that is readable.
	group := func(n int, names int) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, `<g id="%s"><rect x="%d" y="%d" width="3" height="3" fill="%s"/><rect x="%d" y="%d" width="1" height="1" fill="blue"/></g>`,
				[]string{"Beak", "Left wing", "Tail"}[i%names]+strings.Repeat("x", i/names), i%20*5, i/20*5, []string{"red", "lime"}[i%2], i%20*5+1, i/20*5+1)
		}
		return page100(b.String())
	}
	if got := layerNames(read(t, group(3, 3))); got != "Beak, red, Beak, blue, Left wing, bright green, Left wing, blue, Tail, red, Tail, blue" {
		t.Errorf("layers %s", got)
	}
	// A group around everything tells nothing apart.
	whole := strings.Replace(strings.Replace(group(14, 3), `viewBox="0 0 100 100">`, `viewBox="0 0 100 100"><g id="Bird">`, 1), `</svg>`, `</g></svg>`, 1)
	if got := len(read(t, whole).Layers); got != 28 {
		t.Errorf("%d layers for 14 groups in one", got)
	}
	if got := len(read(t, group(28, 3)).Layers); got != 56 {
		t.Errorf("%d layers for 28 groups", got)
	}
	if got := len(read(t, group(100, 3)).Layers); got > 4 {
		t.Errorf("%d layers for 100 groups", got)
	}
	kept, err := Import(context.Background(), strings.NewReader(group(100, 3)), Options{Groups: layering.Kept})
	if err != nil || len(kept.Layers) != 200 {
		t.Errorf("%v, %d layers of 100 groups kept", err, len(kept.Layers))
	}
	joined, err := Import(context.Background(), strings.NewReader(group(3, 3)), Options{Groups: layering.Joined})
	if err != nil || len(joined.Layers) != 4 {
		t.Errorf("%v, %d layers of 3 groups joined", err, len(joined.Layers))
	}
}

// Layers know the named groups around them; groups of one name are told apart.
func TestLayers_KnowTheirGroups(t *testing.T) {
	res := read(t, page100(`<rect width="9" height="9" fill="lime"/><g id="bird"><g id="wing"><rect x="20" width="9" height="9" fill="red"/><rect x="22" width="9" height="9" fill="blue"/></g>
		<g><rect x="40" width="9" height="9" fill="red"/></g><g id="wing"><rect x="60" width="9" height="9" fill="blue"/></g></g>
		<g id="tree"><g id="leaf"><rect x="20" y="50" width="9" height="9" fill="lime"/></g><g id="fruit"><rect x="50" y="50" width="9" height="9" fill="lime"/></g></g>`))
	var got []string
	for _, l := range res.Layers {
		got = append(got, strings.Join(l.Folders, "/"))
	}
	// Where shapes of several groups are one layer, it is in the group around them.
	if s := strings.Join(got, ", "); s != ", bird/wing, bird/wing, bird, bird/wing 2, tree" {
		t.Errorf("%s: %s", layerNames(res), s)
	}
}

func layerNames(r *Result) string {
	var out []string
	for _, l := range r.Layers {
		out = append(out, l.Name)
	}
	return strings.Join(out, ", ")
}

// See-through shapes never come to lie over each other in one layer, and an
// opacity group stays in one run.
func TestLayers_JoiningKeepsSeeThroughShapesApart(t *testing.T) {
	var b strings.Builder
	for i := range 40 {
		fmt.Fprintf(&b, `<rect x="%d" y="%d" width="20" height="6" fill="green" fill-opacity=".5"/><circle cx="%d" cy="%d" r="2" fill="red"/>`, i%8*12, i/8*12, i%8*12+3, i/8*12+3)
		if i%9 == 0 {
			fmt.Fprintf(&b, `<g opacity=".5"><rect x="%d" y="70" width="4" height="9" fill="green"/><rect x="%d" y="72" width="4" height="9" fill="blue"/><rect x="%d" y="90" width="4" height="4" fill="green"/></g>`, i*2, i*2+2, i*2)
		}
	}
	res := read(t, page100(b.String()))
	for _, l := range res.Layers {
		ss := l.Content.(job.Outlines).Shapes
		for i := range ss {
			for j := range ss[:i] {
				if l.Alpha < 1 && l.Group == 0 && !ss[i].Path.Bounds().Intersect(ss[j].Path.Bounds()).Empty() {
					t.Fatalf("%s: shapes %d and %d overlap", l.Name, j, i)
				}
			}
		}
	}
	seen := map[job.GroupID]int{}
	for i, l := range res.Layers {
		if last, ok := seen[l.Group]; ok && l.Group != 0 && last != i-1 {
			t.Errorf("group %d is in two runs", l.Group)
		}
		seen[l.Group] = i
	}
}

func TestImport_GradientsKeepTheirStops(t *testing.T) {
	res := read(t, page100(`<linearGradient id="g"><stop stop-color="red"/><stop offset=".25" stop-color="#00f" stop-opacity=".5"/><stop offset="100%" stop-color="lime"/></linearGradient>
		<rect width="40" height="40" fill="black"/><rect id="sky" x="50" width="40" height="40" fill="url(#g)"/><rect y="50" width="40" height="40" fill="url(#g)"/>`))
	if len(res.Layers) != 2 {
		t.Fatalf("layers %v", layerNames(res))
	}
	shapes := res.Layers[1].Content.(job.Outlines).Shapes
	g := shapes[0].Gradient
	if len(shapes) != 2 || g == nil || shapes[0].Element != "rect #sky" || fmt.Sprint(g.Stops) != "[{0 #ff0000 1} {0.25 #0000ff 0.5} {1 #00ff00 1}]" {
		t.Fatalf("%+v", g)
	}
	// Each shape has the gradient over its own box.
	for i, at := range []geometry.Point{geometry.Pt(60, 20), geometry.Pt(10, 60)} {
		if d, ok := shapes[i].Gradient.Along()(at); !ok || math.Abs(d-0.25) > 1e-12 {
			t.Errorf("shape %d: %v lies %g along", i, at, d)
		}
	}
	if g.Mean != res.Layers[1].Colour || g.MeanAlpha != res.Layers[1].Alpha {
		t.Errorf("the mean is %v %v, the layer %v %v", g.Mean, g.MeanAlpha, res.Layers[1].Colour, res.Layers[1].Alpha)
	}
}

// Stripes that would be too many layers' shapes are a gradient like any other.
func TestStripes_TooManyAreAveraged(t *testing.T) {
	const stripes = `<linearGradient id="g"><stop offset=".5" stop-color="#f00"/><stop offset=".5" stop-color="#00f"/></linearGradient>`
	many := func(n int) *Result {
		return read(t, page100(stripes+`<g fill="url(#g)">`+strings.Repeat(`<rect width="9" height="9"/>`, n)+`</g>`))
	}
	if res := many(100); len(res.Layers) != 2 || len(res.Warnings) != 0 {
		t.Errorf("%d layers %s, warnings %v", len(res.Layers), layerNames(res), res.Warnings)
	}
	res := many(30_000)
	if n := len(shapes(res)); n > 50_000 || len(res.Warnings) == 0 {
		t.Errorf("%d shapes, %d warnings", n, len(res.Warnings))
	}
}
