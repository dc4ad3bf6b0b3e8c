package controls

import (
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"

	"abut/ui/theme"
)

// Names that differ in their last word alone can be told apart however little room they have;
// where there is none for both, one reads how they end.
func TestLine_KeepsWhatTellsNamesApart(t *testing.T) {
	test.NewTempApp(t)
	for width := float32(150); width >= 20; width-- {
		got := shortenFirst("Lighthouse, gold", width, theme.Body, fyne.TextStyle{})
		if fyne.MeasureText(got, theme.Body, fyne.TextStyle{}).Width > width {
			t.Fatalf("%q is broader than %g", got, width)
		}
		if width >= 50 && !strings.HasSuffix(got, "gold") || width >= 85 && !strings.HasSuffix(got, ", gold") {
			t.Errorf("of %g: %q", width, got)
		}
	}
	// Room beside a layer that is listed with all its signs.
	for name, want := range map[string]string{"Katze, dark brown (2)": "…brown (2)", "Katze, dark brown": "…brown", "Katze, dark pink": "…dark pink", "Katze, dunkelbraun (2)": "dunkelb… (2)", "Turm, dunkelgrau 2 (3)": "dunke… 2 (3)", "Turm, rot 2 (3)": "…rot 2 (3)", "Turm, 2 (3)": "Turm, 2 (3)", "A very long name indeed, ": "A very lon…, ", "Katze, dunkelrosarot": "dunkelrosa…"} {
		if got := shortenFirst(name, 86, theme.Body, fyne.TextStyle{}); got != want {
			t.Errorf("%q of %q, want %q", got, name, want)
		}
	}
}

// However long a word is, only some more of it is measured than fits.
func TestFitting_MeasuresNoMoreThanItMust(t *testing.T) {
	word := make([]rune, 10_000)
	for _, room := range []int{0, 1, 2, 3, 7, 8, 9, 100, 9_999, 10_000, 20_000} {
		most := 0
		got := fitting(word, func(part []rune) bool {
			most = max(most, len(part))
			return len(part) <= room
		})
		if want := min(max(1, room), len(word)); got != want || most > max(wholeWord, 2*room) {
			t.Errorf("room for %d: %d fit, %d measured", room, got, most)
		}
	}
	if fitting(nil, nil) != 0 || fitting(word[:1], nil) != 1 {
		t.Error("an empty text or a single letter is cut")
	}
}

// A number stays with its unit.
func TestUnbroken_IsANumberWithItsUnit(t *testing.T) {
	got := unbroken("11 spaces, the narrowest 0.2 mm, 5.8 mm²: 30 % less in all")
	want := []string{"11", "spaces,", "the", "narrowest", "0.2 mm,", "5.8 mm²:", "30 %", "less", "in", "all"}
	if !slices.Equal(got, want) {
		t.Errorf("%q", got)
	}
}

// A label that is cut short is said whole when the pointer rests on it.
func TestPress_SaysWhatItsLabelHasNoRoomFor(t *testing.T) {
	test.NewTempApp(t)
	p := NewFramed("", "Bolder and further apart", "Changes 81.4 mm².", nil)
	p.Fills = true
	for _, c := range []struct {
		width float32
		want  string
	}{{p.Whole(), p.Hint}, {p.Whole() - 1, "Bolder and further apart. Changes 81.4 mm²."}} {
		p.Resize(fyne.NewSize(c.width, p.Height))
		if got := p.hint(); got != c.want {
			t.Errorf("%g wide: %q, want %q", c.width, got, c.want)
		}
	}
}

// A paragraph is broken where the next word has no room, whether that is measured word by
// word or line by line.
func TestWrapped_FillsItsLines(t *testing.T) {
	test.NewTempApp(t)
	measure := func(s string) float32 { return fyne.MeasureText(s, theme.Body, fyne.TextStyle{}).Width }
	const text = "AV To. \"Wave\", Yacht: Donaudampfschifffahrtsgesellschaft 12\u00a0mm LT Y."
	for width := float32(30); width < 700; width += 3 {
		lines := wrapped(text, width, measure)
		rest := text
		for i, l := range lines {
			if measure(l) > width {
				t.Fatalf("%q is broader than %g", l, width)
			}
			rest = strings.TrimPrefix(strings.TrimPrefix(rest, l), " ")
			if i+1 == len(lines) {
				continue
			}
			next, _, _ := strings.Cut(rest, " ")
			if measure(l+" "+next) <= width && measure(next) <= width {
				t.Errorf("at %g %q has room after %q", width, next, l)
			}
		}
		if rest != "" {
			t.Fatalf("at %g %q is left", width, rest)
		}
	}
}

// A heading beside a sign is set in smaller letters before it is cut short.
func TestPress_AHeadingIsSetSmallerBeforeItIsCutShort(t *testing.T) {
	test.NewTempApp(t)
	s := NewSection("Was übereinanderliegt", "")
	s.SetHelp(NewHelp("", func() {}))
	texts := func(width float32) (string, float32) {
		s.head.Resize(fyne.NewSize(width, s.head.Height))
		for _, o := range test.WidgetRenderer(s.head).Objects() {
			if c, is := o.(*canvas.Text); is {
				return c.Text, c.TextSize
			}
		}
		return "", 0
	}
	whole := s.head.Whole()
	for _, c := range []struct {
		width, size float32
		whole       bool
	}{{whole, theme.Heading, true}, {whole - 4, theme.Body, true}, {whole / 2, theme.Body, false}, {whole, theme.Heading, true}} {
		if text, size := texts(c.width); size != c.size || (text == s.head.Label) != c.whole {
			t.Errorf("%g wide: %q of %g", c.width, text, size)
		}
	}
}

// Whatever a name is made of, it is cut short somehow.
func TestLine_CutsNamesOfAnyKind(t *testing.T) {
	test.NewTempApp(t)
	for _, name := range []string{"", ", ", ",  ", "a, ", ", a", "a, (2)", "aaaaaaaaaaaa, (2)", "a, b, c, d, e, f, g", "Ähre, (ä) (ö)"} {
		for width := float32(0); width < 120; width += 7 {
			if got := shortenFirst(name, width, theme.Body, fyne.TextStyle{}); width > 20 && fyne.MeasureText(got, theme.Body, fyne.TextStyle{}).Width > width {
				t.Errorf("%q of %g: %q", name, width, got)
			}
		}
	}
}
