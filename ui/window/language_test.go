package window

import (
	"testing"

	"abut/assets"
	"abut/internal/words"
)

// The pictures that come along have a name and a line in every language.
func TestDemos_AreNamedInEveryLanguage(t *testing.T) {
	for _, l := range words.Languages() {
		w := words.For(l.Tag)
		for _, d := range assets.Demos() {
			for _, id := range []string{"demo-" + d.ID, "demo-" + d.ID + "-line"} {
				if !w.Has(id) {
					t.Errorf("%s: no %s", l.Tag, id)
				}
			}
			if name, line := w.Say("demo-"+d.ID, nil), w.Say("demo-"+d.ID+"-line", nil); l.Tag == "en" && (name != d.Name || line != d.Line) {
				t.Errorf("%s: %q, %q", d.ID, name, line)
			}
		}
	}
}
