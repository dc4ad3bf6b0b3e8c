package svgimport

import (
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
		c, ok := parseColour(s)
		got := c.colour().String()
		if c.a != 1 {
			got += "/" + trim3(c.a)
		}
		if !ok || got != want {
			t.Errorf("%q: got %s %v, want %s", s, got, ok, want)
		}
	}
	for _, s := range []string{"", "#", "#12", "#12345", "#1234567", "#ggg", "redd", "rgb()", "rgb(1,2)", "rgb(1 2 3 4 5)", "rgb(a b c)",
		"rgb(1,2,3", "lab(1 2 3)", "rgb(1 2 / 3)", "url(#a)", "hsl(1 2)", "var(--a)"} {
		if c, ok := parseColour(s); ok {
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
