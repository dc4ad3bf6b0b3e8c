package svgimport

import (
	"reflect"
	"testing"
)

// What every property says, one value that is not its first; and whether
// children take it over by themselves (SVG 2, appendix on properties; CSS Text
// Decoration 3, CSS Inline 3, CSS Masking 1, Compositing 1).
var said = []struct {
	name, value string
	inherited   bool
}{
	{"color", "red", true},
	{"fill", "red", true},
	{"stroke", "red", true},
	{"fill-opacity", ".5", true},
	{"stroke-opacity", ".5", true},
	{"fill-rule", "evenodd", true},
	{"clip-rule", "evenodd", true},
	{"stroke-width", ".25", true},
	{"stroke-width", "0", true},
	{"stroke-linejoin", "bevel", true},
	{"stroke-linecap", "square", true},
	{"stroke-miterlimit", "1", true},
	{"stroke-dasharray", "0 1", true},
	{"stroke-dashoffset", "-1", true},
	{"visibility", "collapse", true},
	{"font-family", "'Tide', serif", true},
	{"font-weight", "bold", true},
	{"font-style", "oblique", true},
	{"font-variant", "small-caps", true},
	{"font-stretch", "condensed", true},
	{"font-kerning", "none", true},
	{"font", "italic bold 12px/2 Tide", true},
	{"text-anchor", "middle", true},
	{"direction", "rtl", true},
	{"writing-mode", "vertical-rl", true},
	{"white-space", "pre", true},
	{"letter-spacing", "1", true},
	{"word-spacing", "-.5em", true},
	{"dominant-baseline", "hanging", true},
	{"paint-order", "stroke", true},
	{"marker", "url(#m)", true},
	{"marker-start", "url(#m)", true},
	{"marker-mid", "url(#m)", true},
	{"marker-end", "url(#m)", true},
	{"display", "none", false},
	{"opacity", "50%", false},
	{"clip-path", "url(#c)", false},
	{"clip-path", "circle(5px)", false},
	{"mask", "url(#m)", false},
	{"mask-type", "alpha", false},
	{"filter", "blur(5px)", false},
	{"mix-blend-mode", "multiply", false},
	{"overflow", "visible", false},
	{"transform", "scale(2)", false},
	{"transform-origin", "center", false},
	{"transform-box", "fill-box", false},
	{"stop-color", "red", false},
	{"stop-opacity", "0", false},
	{"vector-effect", "non-scaling-stroke", false},
	{"text-decoration", "underline overline", false},
	{"text-decoration-line", "line-through", false},
	{"baseline-shift", "super", false},
	{"alignment-baseline", "middle", false},
}

// with is the first style with one property set, under a parent.
func with(from *style, name, value string, parent *style) *style {
	st := *from
	if d := newDeclaration(name, value); d.property != nil {
		st.set(d, parent)
	}
	return &st
}

func TestStyle_KeywordsThatTakeOverAndThatBeginAnew(t *testing.T) {
	first := initialStyle()
	for _, p := range said {
		parent := with(first, p.name, p.value, first)
		if reflect.DeepEqual(parent, first) {
			t.Errorf("%s: %s says nothing", p.name, p.value)
		}
		for keyword, want := range map[string]*style{
			"inherit": parent, " Inherit ": parent, "initial": first,
			"unset":  map[bool]*style{true: parent, false: first}[p.inherited],
			"revert": map[bool]*style{true: parent, false: first}[p.inherited],
		} {
			for _, before := range []*style{first, parent} {
				if got := with(before, p.name, keyword, parent); !reflect.DeepEqual(got, want) {
					t.Errorf("%s: %s after %s is\n%+v\nwant %+v", p.name, keyword, p.value, got, want)
				}
			}
		}
	}
}

// Children begin with what is inherited of their parent, and with nothing else.
func TestStyle_ChildrenInheritWhatIsInherited(t *testing.T) {
	first := initialStyle()
	im := newImporter(t.Context(), Options{}.withDefaults(), &document{})
	for _, p := range said {
		parent := with(first, p.name, p.value, first)
		want := first
		if p.inherited {
			want = parent
		}
		if got := im.compute(&node{name: "g"}, parent); !reflect.DeepEqual(got, want) {
			t.Errorf("%s: a child of %s has\n%+v\nwant %+v", p.name, p.value, got, want)
		}
	}
}

// CSS drops declarations whose value makes no sense: what was there stays (CSS
// Syntax 3, 2.2).
func TestStyle_NonsenseLeavesWhatWasThere(t *testing.T) {
	first := initialStyle()
	for name, values := range map[string][]string{
		"color":             {"nonsense", "12"},
		"fill":              {"nonsense"},
		"stroke":            {"#12", "url(#g", "url", "rgb(1 2)"},
		"stop-color":        {"url"},
		"fill-opacity":      {"half", "1em", "5mm", ""},
		"opacity":           {"half"},
		"fill-rule":         {"odd"},
		"clip-rule":         {"odd"},
		"stroke-width":      {"-1", "thick", "1 2"},
		"stroke-linejoin":   {"square"},
		"stroke-linecap":    {"bevel"},
		"stroke-miterlimit": {"0.5", "-4", "4 5", "four"},
		"stroke-dasharray":  {"1 -2", "one", "", " "},
		"stroke-dashoffset": {"one", "1parsec"},
		"visibility":        {"gone"},
		"font-stretch":      {"wide", "0%", "-5%", "5px"},
		"font":              {"12px", "bold Tide", "-1px Tide"},
		"text-anchor":       {"centre"},
		"white-space":       {"keep"},
		"no-such-property":  {"5"},
	} {
		for _, v := range values {
			if got := with(first, name, v, first); !reflect.DeepEqual(got, first) {
				t.Errorf("%s: %q made it %+v", name, v, got)
			}
		}
	}
}

func TestStyle_ALaterValueReplacesTheEarlier(t *testing.T) {
	first := initialStyle()
	for _, c := range []struct {
		name   string
		values [2]string
	}{
		{"text-decoration", [2]string{"underline", "overline"}}, {"clip-path", [2]string{"circle(5px)", "url(#c)"}}, {"marker", [2]string{"url(#a)", "none"}},
		{"fill", [2]string{"url(#g) red", "blue"}}, {"stroke-dasharray", [2]string{"1 2 3", "4"}}, {"stroke-dasharray", [2]string{"1 2 3", "none"}},
		{"font", [2]string{"italic bold condensed 9px Tide", "9px Buoy"}}, {"font-family", [2]string{"Tide, Buoy", "Puffin"}}, {"mask", [2]string{"url(#m)", "none"}},
		{"stroke-linejoin", [2]string{"bevel", "miter"}}, {"stroke-linejoin", [2]string{"round", "arcs"}}, {"stroke-linejoin", [2]string{"round", "miter-clip"}}, {"stroke-linejoin", [2]string{"bevel", "round"}},
		{"stroke-linecap", [2]string{"round", "butt"}}, {"stroke-linecap", [2]string{"square", "round"}}, {"color", [2]string{"red", "currentColor"}},
		{"paint-order", [2]string{"stroke", "normal"}}, {"paint-order", [2]string{"markers stroke fill", "fill stroke"}}, {"paint-order", [2]string{"stroke", "markers"}},
		{"font-kerning", [2]string{"none", "auto"}}, {"direction", [2]string{"rtl", "ltr"}}, {"letter-spacing", [2]string{"5", "normal"}}, {"word-spacing", [2]string{"5", "1e12"}},
		{"writing-mode", [2]string{"tb-rl", "horizontal-tb"}}, {"writing-mode", [2]string{"sideways-rl", "lr"}}, {"visibility", [2]string{"hidden", "visible"}},
		{"text-anchor", [2]string{"end", "start"}}, {"white-space", [2]string{"break-spaces", "nowrap"}}, {"font-style", [2]string{"italic", "normal"}}, {"fill-rule", [2]string{"evenodd", "nonzero"}},
		{"display", [2]string{"none", "inline"}}, {"filter", [2]string{"blur(1px)", "none"}}, {"mix-blend-mode", [2]string{"screen", "normal"}}, {"vector-effect", [2]string{"non-scaling-stroke", "none"}},
		{"mask-type", [2]string{"alpha", "luminance"}}, {"font-variant", [2]string{"small-caps", "normal"}},
	} {
		name, values := c.name, c.values
		once := with(first, name, values[1], first)
		if got := with(with(first, name, values[0], first), name, values[1], first); !reflect.DeepEqual(got, once) {
			t.Errorf("%s: %s after %s is\n%+v\nwant %+v", name, values[1], values[0], got, once)
		}
		if got := with(with(first, name, values[1], first), name, values[0], first); reflect.DeepEqual(got, once) {
			t.Errorf("%s: %s after %s says nothing", name, values[0], values[1])
		}
	}
}

func TestStyle_OpacityIsAShareOfOne(t *testing.T) {
	first := initialStyle()
	for v, want := range map[string]float64{"0": 0, ".25": 0.25, "1": 1, "7": 1, "-1": 0, "25%": 0.25, "100%": 1, "250%": 1, "-5%": 0, " 50% ": 0.5} {
		if got := with(first, "opacity", v, first).own.opacity; got != want {
			t.Errorf("%q is %g, want %g", v, got, want)
		}
	}
}

// Lengths in em are those of the element that they are said of, whatever size
// its children have.
func TestStyle_EmIsOfTheElementThatSaysIt(t *testing.T) {
	probe(t, "em", `<g font-size="10" stroke-width=".2em" stroke-dasharray="2em 1ex" stroke-dashoffset="1em" stroke="red"><path font-size="50" d="M5 50H95"/></g>`,
		"14,50.9=#ff0000 14,51.1=- 16,50=- 19,50=- 21,50=#ff0000 39,50=#ff0000 41,50=-")
}

func TestStyle_SizesOfFonts(t *testing.T) {
	// CSS Fonts 4, 2.5: medium is 16 px, the others stand in fixed proportions.
	for v, want := range map[string]float64{
		"xx-small": 9.6, "x-small": 12, "small": 14.2222, "medium": 16, "large": 19.2, "x-large": 24, "xx-large": 32, "xxx-large": 48,
		"larger": 24, "smaller": 16.6667, "200%": 40, "1.5em": 30, "2ex": 20, "12pt": 16, "1in": 96, "0": 0, "5": 5,
		"-5": 20, "huge": 20, "1e999": 20, "inherit": 20, "unset": 20, "initial": 16, "LARGE": 19.2,
	} {
		st := initialStyle()
		st.fontSize = 3 // of another declaration
		parent := initialStyle()
		parent.fontSize = 20
		if v == "-5" || v == "huge" || v == "1e999" {
			want = 3
		}
		st.setSize(newDeclaration("font-size", v), parent)
		near(t, v, st.fontSize, want, 1e-4)
	}
}

// CSS Fonts 4, 2.2.1: what bolder and lighter make of an inherited weight.
func TestStyle_WeightsOfFonts(t *testing.T) {
	for _, c := range []struct {
		v         string
		inherited int
		want      int
	}{
		{"normal", 700, 400}, {"", 700, 400}, {"bold", 100, 700}, {"1", 0, 1}, {"1000", 0, 1000}, {"450.5", 0, 450},
		{"0", 300, 300}, {"1001", 300, 300}, {"fat", 0, 400},
		{"bolder", 0, 700}, {"bolder", 100, 400}, {"bolder", 300, 400}, {"bolder", 400, 700}, {"bolder", 500, 700}, {"bolder", 600, 900}, {"bolder", 800, 900}, {"bolder", 950, 950},
		{"lighter", 0, 100}, {"lighter", 400, 100}, {"lighter", 500, 100}, {"lighter", 600, 400}, {"lighter", 700, 400}, {"lighter", 800, 700}, {"lighter", 900, 700},
	} {
		if got, _ := weight(c.v, c.inherited); got != c.want {
			t.Errorf("%q of %d is %d, want %d", c.v, c.inherited, got, c.want)
		}
	}
}

// CSS Fonts 4, 2.3.
func TestStyle_WidthsOfFonts(t *testing.T) {
	for v, want := range map[string]float64{
		"ultra-condensed": .5, "extra-condensed": .625, "condensed": .75, "semi-condensed": .875, "normal": 1,
		"semi-expanded": 1.125, "expanded": 1.25, "extra-expanded": 1.5, "ultra-expanded": 2, "62.5%": .625, "1%": .01,
	} {
		if got, ok := stretchOf(v); !ok || got != want {
			t.Errorf("%s: %g, %v", v, got, ok)
		}
	}
}

// CSS Fonts 4, 2.7: the parts of the shorthand.
func TestStyle_TheFontShorthand(t *testing.T) {
	tide := []string{"Tide"}
	for v, want := range map[string]shorthand{
		"12px Tide":                          {size: "12px", families: tide},
		"12px/1.5 Tide":                      {size: "12px", families: tide},
		"12px / 1.5 Tide":                    {size: "12px", families: tide},
		"12px/ 1.5 Tide":                     {size: "12px", families: tide},
		"12px /1.5 Tide":                     {size: "12px", families: tide},
		"0 Tide":                             {size: "0", families: tide},
		"1 0.5 Tide":                         {size: "0.5", weight: "1", families: tide},
		"1000 1001px Tide":                   {size: "1001px", weight: "1000", families: tide},
		"italic 12px Tide":                   {size: "12px", families: tide, italic: true},
		"small-caps BOLD oblique 1.5em Tide": {size: "1.5em", families: tide, italic: true, smallCaps: true, weight: "bold"},
		"normal normal 300 semi-condensed medium Tide":   {size: "medium", families: tide, weight: "300", stretch: 0.875},
		"lighter 80% 'Tide, old', \"Buoy\"  Type ,serif": {size: "80%", weight: "lighter", families: []string{"Tide, old", "Buoy Type", "serif"}},
	} {
		if got, ok := parseFont(v); !ok || !reflect.DeepEqual(got, want) {
			t.Errorf("%q: %+v, %v", v, got, ok)
		}
	}
	for _, v := range []string{"", "bold", "12px", "Tide 12px", "12px/2", "caption", "italic Tide"} {
		if got, ok := parseFont(v); ok {
			t.Errorf("%q: %+v", v, got)
		}
	}
}
