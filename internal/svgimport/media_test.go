package svgimport

import "testing"

func TestOnScreen(t *testing.T) {
	for list, want := range map[string][2]bool{
		"": {true, true}, "all": {true, true}, "screen": {true, true}, "print": {false, true}, "not print": {true, true}, "only screen": {true, true}, "not all": {false, true},
		"print, screen": {true, true}, "SCREEN and (Color)": {true, true}, "nowhere": {false, false}, "nowhere, screen": {true, true}, "print and (nowhere)": {false, true},
		"(min-width: 600px)": {true, true}, "(min-width:2000px)": {false, true}, "(max-width: 37.5em)": {false, true}, "screen and (min-width: 20em) and (max-width: 100em)": {true, true},
		"(width >= 600px)": {true, true}, "(600px<=width<=800px)": {false, true}, "(600px < width < 2000px)": {true, true}, "(800px > width)": {false, true}, "(width = 3px)": {false, true},
		"(orientation: landscape)": {true, true}, "(orientation: portrait)": {false, true}, "(min-aspect-ratio: 4/3)": {true, true}, "(monochrome)": {false, true}, "(color)": {true, true},
		"(prefers-color-scheme: light)": {true, true}, "screen and (prefers-color-scheme:dark)": {false, true}, "(prefers-reduced-motion)": {false, true}, "(prefers-reduced-motion: no-preference)": {true, true},
		"not (prefers-color-scheme: dark)": {true, true}, "(hover: hover) and (pointer: fine)": {true, true}, "(hover: none) or (pointer: coarse)": {false, true}, "((color) and (not (hover)))": {false, true},
		"not screen and (min-width: 3000px)": {true, true}, "not screen and (min-width: 300px)": {false, true},
		"(min-resolution: 2dppx)": {false, true}, "(-webkit-min-device-pixel-ratio: 1.5), (min-resolution: 144dpi)": {false, true}, "(resolution: 1x)": {true, true}, "(color-gamut: p3)": {false, true},
		"(nothing-known: 3)": {false, false}, "(min-width: wide)": {false, false}, "(color) and (hover) or (grid)": {false, false}, "screen (color)": {false, false}, "(1px < 2px < width)": {false, false}, "(": {false, false}, "not": {false, false},
	} {
		if applies, known := onScreen(list); [2]bool{applies, known} != want {
			t.Errorf("%q: applies %v, known %v", list, applies, known)
		}
	}
}

func TestSupported(t *testing.T) {
	for rule, want := range map[string]verdict{
		"(fill: red)": holds, "(fill:oklch(0.6 0.2 30))": holds, "(color: color(display-p3 1 1 1))": holds, "(fill: nonsense)": fails, "not (fill: red)": fails,
		"(mask-type: alpha) and (paint-order: stroke)": holds, "(paint-order: sideways) or (fill:red)": holds, "(backdrop-filter: blur(3px))": holds, "(--a: b)": holds, "(display: grid)": holds,
		"selector(rect > g)": holds, "selector(a::b)": unsure, "(glitter: 3px)": unsure, "(glitter: 3px) or (fill: red)": holds, "not (glitter: 3px)": unsure, "(fill)": unsure, "": unsure,
		"((fill: red) and (stroke: none))": holds, "(fill: red) and": unsure, "font-tech(color-COLRv1)": unsure,
	} {
		if got := supported(rule); got != want {
			t.Errorf("%q: %d, want %d", rule, got, want)
		}
	}
}
