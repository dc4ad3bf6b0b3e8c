package gradient

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"abut/geometry"
	"abut/internal/colour"
)

var (
	red   = colour.RGB{R: 255}
	green = colour.RGB{G: 200}
	blue  = colour.RGB{B: 255}
)

func stops(at ...float64) (out []Stop) {
	for i, t := range at {
		out = append(out, Stop{At: t, Colour: []colour.RGB{red, green, blue}[i%3], Alpha: 1})
	}
	return out
}

func close(a, b float64) bool { return math.Abs(a-b) <= 1e-9 }

func TestAt_MixesTheStopsAroundAPlace(t *testing.T) {
	g := &Gradient{Stops: []Stop{
		{At: 0.2, Colour: red, Alpha: 1}, {At: 0.6, Colour: blue, Alpha: 0.5}, {At: 0.6, Colour: green, Alpha: 0}, {At: 0.9, Colour: green, Alpha: 1},
	}}
	for _, c := range []struct {
		at   float64
		want Tint
	}{
		{0, Tint{255, 0, 0, 1}}, {0.2, Tint{255, 0, 0, 1}}, {0.3, Tint{255 * 0.75, 0, 255 * 0.25, 0.875}}, {0.4, Tint{127.5, 0, 127.5, 0.75}},
		{0.6, Tint{0, 200, 0, 0}}, {0.75, Tint{0, 200, 0, 0.5}}, {0.9, Tint{0, 200, 0, 1}}, {1, Tint{0, 200, 0, 1}},
	} {
		got := g.At(c.at)
		if !close(got.R, c.want.R) || !close(got.G, c.want.G) || !close(got.B, c.want.B) || !close(got.Alpha, c.want.Alpha) {
			t.Errorf("at %g: %v, want %v", c.at, got, c.want)
		}
	}
	if got := (Tint{R: 127.5, G: 0.4, B: 254.6}).RGB(); got != (colour.RGB{R: 128, B: 255}) {
		t.Errorf("rounded to %v", got)
	}
}

// How a gradient goes on beyond its ends: SVG 2, 14.2.2.1, spreadMethod.
func TestAlong_GoesOnAsItsSpreadSays(t *testing.T) {
	for spread, want := range map[Spread][]float64{
		Pad:     {before, before, 0, 0.25, 1, after, after},
		Repeat:  {0.75, 0.25, 0, 0.25, 0, 0.25, 0.5},
		Reflect: {0.75, 0.75, 0, 0.25, 1, 0.75, 0.5},
	} {
		along := (&Gradient{From: geometry.Pt(2, 1), To: geometry.Pt(6, 1), Spread: spread, Map: geometry.Translate(1, 1)}).Along()
		for i, x := range []float64{-5, -3, 0, 1, 4, 5, 10} {
			w := want[i]
			if spread == Reflect && x == -5 {
				w = 0.75 // −1.25 and 1.25 are alike
			}
			if got, ok := along(geometry.Pt(3+x, 17)); !ok || !close(got, w) {
				t.Errorf("spread %d, %g of 4 along: %g, want %g", spread, x, got, w)
			}
		}
		if got := spread.bring(math.NaN()); got != 0 {
			t.Errorf("spread %d: no number is brought to %g", spread, got)
		}
	}
	for name, g := range map[string]*Gradient{
		"a line without a length": {From: geometry.Pt(1, 1), To: geometry.Pt(1, 1), Map: geometry.Identity()},
		"circles without a size":  {Radial: true, To: geometry.Pt(1, 1), Map: geometry.Identity()},
		"a map that collapses":    {To: geometry.Pt(1, 1), Map: geometry.Scale(0, 1)},
	} {
		if g.Along() != nil {
			t.Errorf("%s has places", name)
		}
	}
}

// Between two circles a place has the parameter of the last that runs through it,
// of those whose radius is not negative (SVG 2, 14.2.3; HTML, 4.12.5.1.10,
// createRadialGradient): looked for step by step.
func TestAlong_OfCirclesIsTheLastThroughAPlace(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.IntRange(-20, 20)
		r := rapid.IntRange(0, 12)
		g := &Gradient{
			Radial: true, From: geometry.Pt(float64(c.Draw(t, "x0")), float64(c.Draw(t, "y0"))), FromR: float64(r.Draw(t, "r0")),
			To: geometry.Pt(float64(c.Draw(t, "x1")), float64(c.Draw(t, "y1"))), ToR: 1 + float64(r.Draw(t, "r1")), Map: geometry.Identity(),
		}
		p := geometry.Pt(float64(c.Draw(t, "x"))+0.31, float64(c.Draw(t, "y"))+0.17)
		// How far outside the circle at u the place lies; NaN where there is none.
		outside := func(u float64) float64 {
			radius := g.FromR + u*(g.ToR-g.FromR)
			if radius < 0 {
				return math.NaN()
			}
			return p.Sub(g.From.Lerp(g.To, u)).Len() - radius
		}
		const far, step = 60, 1.0 / 512
		want, found := 0.0, false
		for u := far + step; u > -far && !found; u -= step {
			// A sign changes between circles that are there.
			if a, b := outside(u), outside(u-step); a*b <= 0 {
				want, found = u, true
			}
		}
		got, ok := g.own()(p)
		if found && (!ok || got < want-2*step) {
			t.Fatalf("%+v at %v: %g, %v; a circle runs through it at %g", g, p, got, ok, want)
		}
		if ok && (math.Abs(outside(got)) > 1e-6*(1+math.Abs(got)) || found && got > want+2*step && got < far && outside(got+step)*outside(got-step) < 0) {
			t.Fatalf("%+v at %v: %g, %v outside; the last is at %g", g, p, got, outside(got), want)
		}
	})
}

// encloses tells by the winding number of a path of chords.
func encloses(path geometry.Path, p geometry.Point) bool {
	w := 0
	for _, h := range path.ScanLine(p.Y) {
		if h.X <= p.X {
			w += h.Winding
		}
	}
	return geometry.EvenOdd.Encloses(w)
}

var turned = geometry.Translate(5, 5).Mul(geometry.Rotate(0.4)).Mul(geometry.Scale(1, 0.6)).Mul(geometry.Translate(-5, -5))

// kinds are gradients of all kinds over a square of 10.
var kinds = map[string]*Gradient{
	"straight":            {From: geometry.Pt(2, 1), To: geometry.Pt(7, 4)},
	"straight, turned":    {From: geometry.Pt(2, 1), To: geometry.Pt(7, 4), Map: turned},
	"straight, repeated":  {From: geometry.Pt(2, 1), To: geometry.Pt(4, 1.5), Spread: Repeat},
	"straight, reflected": {From: geometry.Pt(2, 1), To: geometry.Pt(4, 1.5), Spread: Reflect, Map: turned},
	"round":               {Radial: true, From: geometry.Pt(5, 5), To: geometry.Pt(5, 5), ToR: 6},
	"round, in a corner":  {Radial: true, From: geometry.Pt(0, 0), To: geometry.Pt(0, 0), FromR: 2, ToR: 3},
	"round, off side":     {Radial: true, From: geometry.Pt(4, 3), To: geometry.Pt(5, 5), FromR: 0.5, ToR: 5, Map: turned},
	"round, repeated":     {Radial: true, From: geometry.Pt(4, 4), To: geometry.Pt(5, 5), ToR: 3, Spread: Repeat},
	"round, mirrored":     {Radial: true, From: geometry.Pt(20, 5), To: geometry.Pt(20, 5), ToR: 3, Spread: Reflect},
	"cone, growing":       {Radial: true, From: geometry.Pt(0, 2), To: geometry.Pt(5, 5), FromR: 0.5, ToR: 3},
	"cone, from a tip":    {Radial: true, From: geometry.Pt(1, 5), To: geometry.Pt(11, 5), ToR: 5, Map: turned},
	"cone, shrinking":     {Radial: true, From: geometry.Pt(1, 4), To: geometry.Pt(8, 5), FromR: 3, ToR: 1},
	"cone, even":          {Radial: true, From: geometry.Pt(1, 4), To: geometry.Pt(8, 5), FromR: 2, ToR: 2},
	"cone, repeated":      {Radial: true, From: geometry.Pt(1, 5), To: geometry.Pt(3, 5), ToR: 0.8, Spread: Repeat},
	"cone, reflected":     {Radial: true, From: geometry.Pt(8, 8), To: geometry.Pt(6, 7), FromR: 2, ToR: 1.5, Spread: Reflect, Map: turned},
}

func init() {
	for _, g := range kinds {
		g.Stops, g.MeanAlpha = stops(0, 0.4, 1), 1
		if g.Map == (geometry.Affine{}) {
			g.Map = geometry.Identity()
		}
	}
}

// A strip is all places of the shape between two parameters, and no other.
func TestStrips_HoldTheirPlacesAndNoOthers(t *testing.T) {
	square := geometry.RectXYWH(0, 0, 10, 10)
	for name, g := range kinds {
		t.Run(name, func(t *testing.T) {
			if !g.Bandable(square) {
				t.Fatal("has no strips")
			}
			along := g.Along()
			for _, ends := range [][2]float64{{math.Inf(-1), math.Inf(1)}, {math.Inf(-1), 0.3}, {0.3, 0.55}, {0.55, 0.9}, {0.9, math.Inf(1)}} {
				var strips []geometry.Path
				for _, s := range g.Strips(square, ends[0], ends[1]) {
					strips = append(strips, s.Flatten(1e-4))
				}
				for x := 0.137; x < 10; x += 0.29 {
					for y := 0.1017; y < 10; y += 0.31 {
						p := geometry.Pt(x, y)
						at, painted := along(p)
						if math.Abs(at-ends[0]) < 1e-3 || math.Abs(at-ends[1]) < 1e-3 || at < 1e-3 || at > 1-1e-3 {
							continue // on an edge, or where rounds of a spread meet
						}
						n := 0
						for _, s := range strips {
							if encloses(s, p) {
								n++
							}
						}
						if want := painted && at > ends[0] && at < ends[1]; n > 1 || (n == 1) != want {
							t.Fatalf("%v, %g along (%v), is in %d strips from %g to %g", p, at, painted, n, ends[0], ends[1])
						}
					}
				}
			}
		})
	}
}

// Where a padded gradient ends its first and last strips go on.
func TestStrips_OfPaddedEndsGoOn(t *testing.T) {
	g := &Gradient{From: geometry.Pt(4, 0), To: geometry.Pt(6, 0), Stops: stops(0, 1), MeanAlpha: 1, Map: geometry.Identity()}
	for x, want := range map[float64][2]bool{0.5: {true, false}, 4.9: {true, false}, 5.1: {false, true}, 9.5: {false, true}} {
		for i, ends := range [][2]float64{{math.Inf(-1), 0.5}, {0.5, math.Inf(1)}} {
			strips := g.Strips(geometry.RectXYWH(0, 0, 10, 10), ends[0], ends[1])
			if len(strips) != 1 || encloses(strips[0], geometry.Pt(x, 5)) != want[i] {
				t.Errorf("%g from %g to %g: not %v", x, ends[0], ends[1], want[i])
			}
		}
	}
	if got := g.Strips(geometry.RectXYWH(20, 0, 10, 10), math.Inf(-1), 0.5); len(got) != 0 {
		t.Errorf("a shape beyond the end has %v of the beginning", got)
	}
}

func TestBandable_RefusesWhatHasNoCleanEdges(t *testing.T) {
	square := geometry.RectXYWH(0, 0, 10, 10)
	for name, g := range map[string]*Gradient{
		"no length":               {From: geometry.Pt(1, 1), To: geometry.Pt(1, 1)},
		"no stops":                {To: geometry.Pt(1, 1), Stops: []Stop{}},
		"circles that touch":      {Radial: true, From: geometry.Pt(1, 5), To: geometry.Pt(5, 5), ToR: 4},
		"circles that nearly do":  {Radial: true, From: geometry.Pt(1, 5), To: geometry.Pt(5, 5), ToR: 3.999},
		"too many rounds":         {To: geometry.Pt(0.19, 0), Spread: Repeat},
		"too many the other way":  {To: geometry.Pt(0.19, 0), Spread: Reflect},
		"none of it in the shape": {Radial: true, From: geometry.Pt(30, 0), To: geometry.Pt(40, 0), ToR: 1},
	} {
		g.MeanAlpha, g.Map = 1, geometry.Identity()
		if g.Stops == nil {
			g.Stops = stops(0, 1)
		}
		if g.Bandable(square) {
			t.Errorf("%s: can be cut into bands", name)
		}
	}
	fine := &Gradient{To: geometry.Pt(0.21, 0), Spread: Repeat, MeanAlpha: 1, Map: geometry.Identity(), Stops: stops(0, 1)}
	if !fine.Bandable(square) {
		t.Error("48 rounds are refused")
	}
	once := *fine
	once.To, once.Spread = geometry.Pt(0.001, 0), Pad
	if !once.Bandable(square) {
		t.Error("a short gradient that goes on in its last colour is refused")
	}
	if fine.Bandable(geometry.EmptyRect()) {
		t.Error("nothing can be cut into bands")
	}
}

func TestFlatStripes_AreHardEdgesAlone(t *testing.T) {
	at := func(a float64, c colour.RGB, alpha float64) Stop { return Stop{a, c, alpha} }
	for _, c := range []struct {
		stops []Stop
		n     int
		ok    bool
	}{
		{[]Stop{at(0, red, 1)}, 1, false},
		{[]Stop{at(0, red, 1), at(1, red, 1)}, 1, false},
		{[]Stop{at(0, red, 1), at(0.5, red, 1), at(0.5, blue, 1), at(1, blue, 1)}, 2, true},
		{[]Stop{at(0, red, 1), at(0.5, red, 1), at(0.5, red, 0.5)}, 2, true},
		{[]Stop{at(0.3, red, 1), at(0.3, green, 1), at(0.7, green, 1), at(0.7, blue, 1)}, 3, true},
		{[]Stop{at(0, red, 1), at(0.5, red, 1), at(0.6, blue, 1)}, 0, false},
		{[]Stop{at(0, red, 1), at(0.5, red, 0.9)}, 0, false},
	} {
		if n, ok := (&Gradient{Stops: c.stops}).FlatStripes(); n != c.n || ok != c.ok {
			t.Errorf("%v: %d, %v; want %d, %v", c.stops, n, ok, c.n, c.ok)
		}
	}
}

func TestSound_RefusesWhatIsNoGradient(t *testing.T) {
	good := Gradient{Radial: true, To: geometry.Pt(1, 0), FromR: 1, ToR: 2, Stops: stops(0, 0.5, 0.5, 1), Map: geometry.Identity(), MeanAlpha: 0.5}
	if !good.Sound() {
		t.Fatal("a good one is refused")
	}
	nan, inf := math.NaN(), math.Inf(1)
	for name, change := range map[string]func(*Gradient){
		"no stops":          func(g *Gradient) { g.Stops = nil },
		"stops in no order": func(g *Gradient) { g.Stops = stops(0.5, 0.4) },
		"a stop before":     func(g *Gradient) { g.Stops = stops(-0.1, 1) },
		"a stop behind":     func(g *Gradient) { g.Stops = stops(0, 1.1) },
		"a stop nowhere":    func(g *Gradient) { g.Stops = stops(0, nan) },
		"thinner than air":  func(g *Gradient) { g.Stops = []Stop{{Alpha: -0.1}} },
		"more than opaque":  func(g *Gradient) { g.Stops = []Stop{{Alpha: 1.1}} },
		"another spread":    func(g *Gradient) { g.Spread = Reflect + 1 },
		"a start nowhere":   func(g *Gradient) { g.From.X = nan },
		"an end nowhere":    func(g *Gradient) { g.To.Y = inf },
		"a hole":            func(g *Gradient) { g.FromR = -1 },
		"less than a dot":   func(g *Gradient) { g.ToR = -1 },
		"no end":            func(g *Gradient) { g.ToR = inf },
		"no end of either":  func(g *Gradient) { g.FromR, g.ToR = inf, inf },
		"a map to a line":   func(g *Gradient) { g.Map = geometry.Scale(1, 0) },
		"a map nowhere":     func(g *Gradient) { g.Map.E = nan },
		"nothing painted":   func(g *Gradient) { g.MeanAlpha = 0 },
		"painted twice":     func(g *Gradient) { g.MeanAlpha = 1.1 },
	} {
		bad := good
		if change(&bad); bad.Sound() {
			t.Errorf("%s is taken", name)
		}
	}
}

func TestTransform_TakesThePlacesAlong(t *testing.T) {
	var none *Gradient
	if none.Transform(turned) != nil {
		t.Error("no gradient became one")
	}
	for name, g := range kinds {
		before, after := g.Along(), g.Transform(turned).Along()
		for _, p := range []geometry.Point{{X: 1.3, Y: 2.2}, {X: 6.1, Y: 4.7}, {X: 9.3, Y: 8.9}} {
			a, in := before(p)
			b, still := after(turned.Apply(p))
			if in != still || in && math.Abs(a-b) > 1e-7 {
				t.Errorf("%s: %g, %v along before and %g, %v after", name, a, in, b, still)
			}
		}
	}
}

func TestDivide_JoinsWhatIsAlikeAndKeepsTheEnds(t *testing.T) {
	square := geometry.RectXYWH(0, 0, 10, 10).Path()
	area := func(s ...Stop) []Area {
		return []Area{{&Gradient{To: geometry.Pt(10, 0), Stops: s, Map: geometry.Identity(), MeanAlpha: 1}, square, geometry.NonZero}}
	}
	for _, c := range []struct {
		name  string
		areas []Area
		n     int
		want  []Band
	}{
		{"one", area(stops(0, 1)...), 1, []Band{{To: 1, Tint: Tint{127.5, 100, 0, 1}}}},
		{"one colour", area(Stop{0, red, 1}, Stop{1, red, 1}), 5, []Band{{To: 1, Tint: Tint{255, 0, 0, 1}}}},
		{"fewer colours", area(Stop{0.25, red, 1}, Stop{0.25, blue, 1}), 4, []Band{{To: 0.25, Tint: Tint{255, 0, 0, 1}}, {From: 0.25, Tint: Tint{0, 0, 255, 1}}}},
		{"one colour, fading", area(Stop{0.5, red, 1}, Stop{0.5, red, 0.2}), 3, []Band{{To: 0.5, Tint: Tint{255, 0, 0, 1}}, {From: 0.5, Tint: Tint{255, 0, 0, 0.2}}}},
		{"edges at the ends", area(Stop{0, red, 1}, Stop{0, blue, 1}, Stop{1, blue, 1}, Stop{1, red, 1}), 3, []Band{{To: 0, Tint: Tint{255, 0, 0, 1}}, {To: 1, Tint: Tint{0, 0, 255, 1}}, {From: 1, Tint: Tint{255, 0, 0, 1}}}},
		// What is not painted has no say in the colour.
		{"half of it nothing", area(Stop{0.5, blue, 0}, Stop{0.5, red, 1}), 1, []Band{{Tint: Tint{255, 0, 0, 0.5}}}},
		{"all of it nothing", area(Stop{0, blue, 0}), 2, []Band{{}}},
	} {
		got := Divide(c.areas, c.n)
		if len(got) != len(c.want) || !math.IsInf(got[0].From, -1) || !math.IsInf(got[len(got)-1].To, 1) {
			t.Errorf("%s: %+v, want %+v", c.name, got, c.want)
			continue
		}
		for i, b := range got {
			w := c.want[i]
			if i > 0 && b.From != w.From || i > 0 && b.From != got[i-1].To {
				t.Errorf("%s: band %d from %g, want %g", c.name, i, b.From, w.From)
			}
			if math.Abs(b.R-w.R)+math.Abs(b.G-w.G)+math.Abs(b.B-w.B) > 1 || math.Abs(b.Alpha-w.Alpha) > 0.01 {
				t.Errorf("%s: band %d is %v, want %v", c.name, i, b.Tint, w.Tint)
			}
		}
	}
}

// Only what the shapes show counts: where most of them has one colour most bands
// are elsewhere, and a second shape is looked at as the first is.
func TestDivide_GoesByWhatIsShown(t *testing.T) {
	g := &Gradient{To: geometry.Pt(10, 0), Stops: stops(0, 1), Map: geometry.Identity(), MeanAlpha: 1}
	left, right := geometry.RectXYWH(0, 0, 2, 10).Path(), geometry.RectXYWH(8, 0, 2, 10).Path()
	edge := func(areas ...Area) float64 { return Divide(areas, 2)[1].From }
	a, b := edge(Area{g, left, geometry.NonZero}), edge(Area{g, right, geometry.NonZero})
	if !(a < 0.2 && b > 0.8) {
		t.Errorf("of the left fifth the edge is at %g, of the right one at %g", a, b)
	}
	if both := edge(Area{g, left, geometry.NonZero}, Area{g, right, geometry.NonZero}); !(both >= 0.2 && both <= 0.8) {
		t.Errorf("of both the edge is at %g", both)
	}
}
