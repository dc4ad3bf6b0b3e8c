package svgimport

import (
	"strings"
	"testing"
)

// CSS Color 4: the notations and, where it prints them, its own examples.
func TestParseColour(t *testing.T) {
	for s, want := range map[string]string{
		"red": "#ff0000", "ReD": "#ff0000", " rebeccapurple ": "#663399", "grey": "#808080", "darkslategray": "#2f4f4f",
		"#f09": "#ff0099", "#F09": "#ff0099", "#f09a": "#ff0099/0.667", "#357": "#335577", "#3579": "#335577/0.6", "#12345633": "#123456/0.2", "#ff0099": "#ff0099", "#ff009980": "#ff0099/0.502",
		"rgb(255,0,153)": "#ff0099", "rgb(255, 0, 153.0)": "#ff0099", "rgb(100%,0%,60%)": "#ff0099", "rgb(100% 0% 60%)": "#ff0099",
		"rgb(255 0 153)": "#ff0099", "rgb(255 0 153 / .5)": "#ff0099/0.5", "rgb(255 0 153/50%)": "#ff0099/0.5",
		"rgba(255,0,153,.5)": "#ff0099/0.5", "rgba(255,0,153)": "#ff0099", "rgb(300,-5,153)": "#ff0099", "RGB(2.55e2 0 153)": "#ff0099",
		"rgb(none 0 153)": "#000099", "transparent": "#000000/0",
		// 7.1, examples of hsl(): hue 120 is green, angles in any unit.
		"hsl(120deg 100% 50%)": "#00ff00", "hsl(120, 100%, 25%)": "#008000", "hsl(120deg 75% 75%)": "#8fef8f",
		"hsl(0.333333333turn, 100%, 50%)": "#00ff00", "hsl(133.3333333grad 100% 50%)": "#00ff00", "hsl(-240 100% 50%)": "#00ff00",
		"hsl(270, 60%, 50%, .15)": "#8033cc/0.15", "hsla(270 60% 50% / 15%)": "#8033cc/0.15", "hsl(2.0943951rad 100% 50%)": "#00ff00",
		"hsl(0 0% 50%)": "#808080", "hwb(120 20% 40%)": "#339933", "hwb(120 20% 40% / .5)": "#339933/0.5", "hwb(0 60% 60%)": "#808080",
		"hsl(1e999 100% 50%)": "#ff0000", // no angle at all
	} {
		c, ok := parseColour(s, black)
		got := c.colour().String()
		if c.a != 1 {
			got += "/" + trim3(c.a)
		}
		if !ok || got != want {
			t.Errorf("%q: got %s %v, want %s", s, got, ok, want)
		}
	}
	for _, s := range []string{"", "#", "#12", "#12345", "#1234567", "#ggg", "redd", "rgb()", "rgb(1,2)", "rgb(1 2 3 4 5)", "rgb(a b c)",
		"rgb(1,2,3", "rgb(1 2 / 3)", "url(#a)", "hsl(1 2)", "var(--a)"} {
		if c, ok := parseColour(s, black); ok {
			t.Errorf("%q was read as %v", s, c)
		}
	}
}

func trim3(v float64) string {
	s := []byte("0.000")
	n := int(v*1000 + 0.5)
	s[2], s[3], s[4] = byte('0'+n/100%10), byte('0'+n/10%10), byte('0'+n%10)
	for len(s) > 1 && (s[len(s)-1] == '0' || s[len(s)-1] == '.') && string(s) != "0" {
		s = s[:len(s)-1]
	}
	return string(s)
}

func TestNamedColours_AreAllThere(t *testing.T) {
	if n := len(namedColours); n != 148 { // CSS Color 4, 6.1
		t.Errorf("%d names", n)
	}
}

// The values are those of colorjs.io 0.7.1, each channel cut off at what sRGB has.
func TestParseColour_OfOtherSpaces(t *testing.T) {
	for s, want := range map[string]string{
		"oklch(0.6 0.2 30)":                                               "#de3e2d",
		"oklch(70% 0.15 150)":                                             "#4cb86a",
		"oklch(62.3% 0.214 259.815)":                                      "#2b7fff",
		"oklch(0.7 50% 200deg)":                                           "#00c0cf",
		"oklch(0.9 0.3 140)":                                              "#4bff00",
		"oklab(59% 0.1 0.1)":                                              "#c05d2b",
		"oklab(0.5 -50% 25%)":                                             "#00830d",
		"oklab(0.5 -.1 .05 / 30%)":                                        "#207544/0.3",
		"lab(29.2345% 39.3825 20.0664)":                                   "#7d2329",
		"lab(50% 40 20)":                                                  "#b95857",
		"lab(50 -25% 50%)":                                                "#548400",
		"lch(52.2345% 72.2 56.2)":                                         "#c65d06",
		"lch(50 40% 180deg)":                                              "#008f75",
		"lch(80 120 20)":                                                  "#ff0084",
		"color(srgb 1 0.5 0)":                                             "#ff8000",
		"color(srgb 100% 50% 0%)":                                         "#ff8000",
		"color(srgb-linear 0.5 0.2 0.1)":                                  "#bc7c59",
		"color(display-p3 0.9 0.4 0.2)":                                   "#f85b1a",
		"color(display-p3 1 0 0)":                                         "#ff0000",
		"color(display-p3 0.4 0.7 0.6 / 0.5)":                             "#46b598/0.5",
		"color(a98-rgb 0.6 0.5 0.4)":                                      "#a38165",
		"color(prophoto-rgb 0.4 0.3 0.5)":                                 "#815798",
		"color(prophoto-rgb 0.01 0.3 0.5)":                                "#006998",
		"color(rec2020 0.05 0.5 0.6)":                                     "#007f97",
		"color(rec2020 0.4 0.5 0.6)":                                      "#407b97",
		"color(xyz 0.3 0.3 0.2)":                                          "#ac9072",
		"color(xyz-d50 0.3 0.3 0.2)":                                      "#a19285",
		"color(xyz-d65 0.2 0.25 0.3)":                                     "#5f9290",
		"color(display-p3-linear 0.4 0.3 0.2)":                            "#ae9478",
		"color-mix(in srgb, red, blue 50%)":                               "#800080",
		"color-mix(in oklab, red, blue 50%)":                              "#8c53a2",
		"color-mix(in oklch, red, blue 50%)":                              "#ba00c2",
		"color-mix(in hsl, red, lime 25%)":                                "#ff8000",
		"color-mix(in lab, purple, plum 50%)":                             "#af5cae",
		"color-mix(in lch, purple, plum 70%)":                             "#c177c1",
		"color-mix(in xyz, red, white 50%)":                               "#ffbcbc",
		"color-mix(in srgb-linear, black, white 50%)":                     "#bcbcbc",
		"color-mix(in display-p3, teal, gold 30%)":                        "#659b6a",
		"color-mix(in oklab, rgb(255 0 0 / 20%), rgb(0 0 255 / 80%) 50%)": "#4441db/0.5",
		"color-mix(in prophoto-rgb, teal, gold 50%)":                      "#a8ae5c",
		"color-mix(in a98-rgb, teal, gold 50%)":                           "#9aac52",
		"color-mix(in rec2020, teal, gold 50%)":                           "#9bac5a",
		"color-mix(in xyz-d50, teal, gold 50%)":                           "#bcb25c",
		"color-mix(in hwb, teal, gold 50%)":                               "#0fc000",
		"color-mix(in oklch longer hue, teal, gold 50%)":                  "#ce83d2",
		"color-mix(in lch decreasing hue, teal, gold 50%)":                "#4eba5f",
		"color-mix(in oklch increasing hue, gold, teal 25%)":              "#b1cc47",
	} {
		c, ok := parseColour(s, black)
		got := c.colour().String()
		if c.a != 1 {
			got += "/" + trim3(c.a)
		}
		if !ok || got != want {
			t.Errorf("%q: got %s %v, want %s", s, got, ok, want)
		}
	}
}

func TestParseColour_OfMixtures(t *testing.T) {
	teal := rgba{0, 128.0 / 255, 128.0 / 255, 1}
	for s, want := range map[string]string{
		// CSS Color 5, 3.2: shares that are not said are the rest, others count by their sum, and what is missing is clear.
		"color-mix(in srgb, red 25%, blue)": "#4000bf", "color-mix(in srgb, 25% red, blue)": "#4000bf", "color-mix(in srgb, red, 75% blue)": "#4000bf",
		"color-mix(in srgb, red 30%, blue 90%)": "#4000bf", "color-mix(in srgb, red 10%, blue 30%)": "#4000bf/0.4", "color-mix(in srgb, red 0%, blue 0%)": "#000000/0",
		"color-mix(in srgb,red,transparent 60%)": "#ff0000/0.4", "COLOR-MIX(IN SRGB,\n\tRed ,\tBlue\n)": "#800080",
		"color-mix(in srgb, currentColor 50%, white)": "#80c0c0", "color-mix(in srgb, 100% rgb(10 20 30), white)": "#0a141e",
		"color-mix(in srgb, color-mix(in srgb, red, blue), white)": "#bf80bf", "color-mix(in srgb, rgb(255 0 0 / 25%), blue)": "#3300cc/0.625", "color-mix(red, blue)": "#8c53a2", "light-dark(rgb(1, 2, 3), white)": "#010203", "light-dark( currentColor, red)": "#008080", "color-mix(in srgb, light-dark(red, white), blue)": "#800080",
		"color(display-p3 1 none 0)": "#ff0000", "color(srgb\n1\t0 0)": "#ff0000", "oklch(none 0.1 30)": "#010000", "lab(300 0 0)": "#ffffff", "oklch(0.5 -3 20)": "#636363",
	} {
		c, ok := parseColour(s, teal)
		got := c.colour().String()
		if c.a != 1 {
			got += "/" + trim3(c.a)
		}
		if !ok || got != want {
			t.Errorf("%q: got %s %v, want %s", s, got, ok, want)
		}
	}
	for _, s := range []string{"lab(1,2,3)", "oklch(1 2)", "oklch(.5 .1 30px)", "lab(1deg 2 3)", "color(1 2 3)", "color(lab 1 2 3)", "color(nowhere 1 2 3)", "color(srgb 1 2)", "color(srgb 1,2,3)",
		"color-mix(in srgb, red)", "color-mix(in srgb, red, blue, lime)", "color-mix(in nowhere, red, blue)", "color-mix(in oklch any hue, red, blue)", "color-mix(in srgb, red 200%, blue)",
		"color-mix(in srgb, red -2%, blue)", "color-mix(in srgb, red, url(#a))", "color-mix()", "light-dark(red)", "color-mix(in srgb, red, blue", "oklch(from red l c h)", "rgb(1px 2 3)",
		strings.Repeat("color-mix(red,", 40) + "red" + strings.Repeat(")", 40)} {
		if c, ok := parseColour(s, teal); ok {
			t.Errorf("%q was read as %v", s, c)
		}
	}
}
