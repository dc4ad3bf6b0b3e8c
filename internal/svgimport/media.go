package svgimport

import (
	"slices"
	"strings"
)

// onScreen reads a list of media (Media Queries 4, 3) as a browser does that shows
// a file by itself on a screen; known is false where a query asks for something else
// than is known of one, and that decides.
func onScreen(list string) (applies, known bool) {
	if strings.TrimSpace(list) == "" {
		return true, true
	}
	v := fails
	for _, q := range splitArgs(strings.ToLower(list)) {
		v = max(v, onMedium(q))
	}
	return v == holds, v != unsure
}

// onMedium reads one query: a medium, conditions, or both.
func onMedium(q string) verdict {
	words := bracketedWords(q)
	if len(words) == 0 {
		return unsure
	}
	not := words[0] == "not" && len(words) > 1 && !strings.HasPrefix(words[1], "(")
	if not || words[0] == "only" {
		words = words[1:]
	}
	if len(words) == 0 {
		return unsure
	}
	var v verdict
	switch {
	case strings.HasPrefix(words[0], "(") || words[0] == "not":
		v = condition(strings.Join(words, " "), screenFeature)
	default:
		v = medium(words[0])
		if len(words) > 1 {
			if words[1] != "and" {
				return unsure
			}
			v = min(v, condition(strings.Join(words[2:], " "), screenFeature))
		}
	}
	if not {
		return -v
	}
	return v
}

func medium(name string) verdict {
	switch name {
	case "all", "screen":
		return holds
	case "print", "speech", "tty", "tv", "projection", "handheld", "braille", "embossed", "aural":
		return fails
	}
	return unsure
}

// The window of a browser, in pixels: as that of an ordinary screen. Pictures that ask for
// one are made so that they say the same in all that are not much smaller.
const (
	windowWidth  = 1280.0
	windowHeight = 720.0
)

// screenNumbers are what a light screen in colour says of itself, lengths in pixels and
// resolutions in dots per pixel.
var screenNumbers = map[string]float64{
	"width": windowWidth, "device-width": windowWidth, "height": windowHeight, "device-height": windowHeight,
	"aspect-ratio": windowWidth / windowHeight, "device-aspect-ratio": windowWidth / windowHeight,
	"resolution": 1, "-webkit-device-pixel-ratio": 1, "color": 8, "color-index": 0, "monochrome": 0, "grid": 0,
}

// screenWords are what it says in words.
var screenWords = map[string]string{
	"orientation": "landscape", "hover": "hover", "any-hover": "hover", "pointer": "fine", "any-pointer": "fine",
	"prefers-color-scheme": "light", "prefers-reduced-motion": "no-preference", "prefers-contrast": "no-preference",
	"prefers-reduced-transparency": "no-preference", "prefers-reduced-data": "no-preference", "forced-colors": "none",
	"inverted-colors": "none", "color-gamut": "srgb", "dynamic-range": "standard", "display-mode": "browser",
	"update": "fast", "overflow-block": "scroll", "overflow-inline": "scroll", "scripting": "none",
}

// screenFeature reads one feature of a query.
func screenFeature(s string) verdict {
	name, v, ok := strings.Cut(s, ":")
	name, v = strings.TrimSpace(name), strings.TrimSpace(v)
	if !ok {
		return screenRange(s)
	}
	is := func(c int) bool { return c == 0 }
	for _, from := range []string{"", "-webkit-"} {
		if rest, least := strings.CutPrefix(name, from+"min-"); least {
			name, is = from+rest, func(c int) bool { return c >= 0 }
		} else if rest, most := strings.CutPrefix(name, from+"max-"); most {
			name, is = from+rest, func(c int) bool { return c <= 0 }
		}
	}
	if have, there := screenNumbers[name]; there {
		return compared(have, v, is)
	}
	if have, there := screenWords[name]; there {
		return verdictOf(have == v)
	}
	return unsure
}

// compared reports whether a number is to another, as written, as is asked; is is given
// their order.
func compared(have float64, written string, is func(int) bool) verdict {
	v, ok := mediaNumber(written)
	switch {
	case !ok:
		return unsure
	case have < v:
		return verdictOf(is(-1))
	case have > v:
		return verdictOf(is(1))
	}
	return verdictOf(is(0))
}

// screenRange reads a feature alone, or between its bounds: '300px <= width < 80em'.
func screenRange(s string) verdict {
	for _, sign := range []string{"<=", ">=", "<", ">", "="} {
		s = strings.ReplaceAll(s, sign, " "+sign+" ")
	}
	words := strings.Fields(strings.NewReplacer("<  =", "<=", ">  =", ">=").Replace(s))
	order := map[string]func(int) bool{
		"<": func(c int) bool { return c < 0 }, "<=": func(c int) bool { return c <= 0 }, "=": func(c int) bool { return c == 0 },
		">": func(c int) bool { return c > 0 }, ">=": func(c int) bool { return c >= 0 },
	}
	at := slices.IndexFunc(words, func(w string) bool { _, is := screenNumbers[w]; return is })
	switch {
	case len(words) == 1 && at == 0:
		return verdictOf(screenNumbers[s] != 0)
	case len(words) == 1:
		word, is := screenWords[s]
		if !is {
			return unsure
		}
		return verdictOf(word != "none" && word != "no-preference")
	case at < 0 || len(words)%2 == 0 || len(words) > 5:
		return unsure
	}
	v := holds
	for i := 1; i < len(words); i += 2 {
		is, known := order[words[i]]
		switch {
		case !known:
			return unsure
		case i == at+1:
			v = min(v, compared(screenNumbers[words[at]], words[i+1], is))
		case i == at-1: // the feature is on the right of the sign
			v = min(v, compared(screenNumbers[words[at]], words[i-1], func(c int) bool { return is(-c) }))
		default:
			return unsure
		}
	}
	return v
}

// mediaNumber reads a length, a ratio, a resolution or a plain number.
func mediaNumber(s string) (float64, bool) {
	if a, b, ratio := strings.Cut(s, "/"); ratio {
		x, okX := mediaNumber(strings.TrimSpace(a))
		y, okY := mediaNumber(strings.TrimSpace(b))
		return x / y, okX && okY && y > 0
	}
	for _, u := range []struct {
		name string
		dots float64
	}{{"dppx", 1}, {"dpi", 1 / pxPerIn}, {"dpcm", 2.54 / pxPerIn}, {"x", 1}} {
		v, is := strings.CutSuffix(s, u.name)
		if is && !strings.HasSuffix(s, "px") || u.name == "dppx" && is {
			f, ok := numberList(v)
			return u.dots * first(f), ok && len(f) == 1
		}
	}
	l, ok := parseLength(s)
	return l.user(viewport{}, alongX, 16), ok && l.unit != unitPercent
}

func first(f []float64) float64 {
	if len(f) == 0 {
		return 0
	}
	return f[0]
}
