package controls

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"abut/ui/theme"
)

// Names that differ in their last word alone can be told apart however little room they have;
// where there is none for both, one reads how they begin.
func TestLine_KeepsWhatTellsNamesApart(t *testing.T) {
	test.NewTempApp(t)
	for width := float32(150); width >= 20; width-- {
		got := shortenFirst("Lighthouse, gold", width, theme.Body, fyne.TextStyle{})
		if fyne.MeasureText(got, theme.Body, fyne.TextStyle{}).Width > width {
			t.Fatalf("%q is broader than %g", got, width)
		}
		if !strings.HasPrefix(got, "Li") && width > 40 || width >= 85 && !strings.HasSuffix(got, ", gold") {
			t.Errorf("of %g: %q", width, got)
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
		if want := min(max(1, room), len(word)); got != want || most > max(2, 2*room) {
			t.Errorf("room for %d: %d fit, %d measured", room, got, most)
		}
	}
	if fitting(nil, nil) != 0 || fitting(word[:1], nil) != 1 {
		t.Error("an empty text or a single letter is cut")
	}
}
