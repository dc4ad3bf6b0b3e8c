package toolkit

import (
	"testing"

	"fyne.io/fyne/v2/lang"

	"abut/internal/words"
)

func TestSpeak_TheToolkitSaysItInTheChosenLanguage(t *testing.T) {
	for _, c := range []struct{ tag, paste, redo string }{
		{"de", "Einfügen", "Wiederholen"}, {"en", "Paste", "Redo"}, {"de", "Einfügen", "Wiederholen"},
	} {
		Speak(words.For(c.tag))
		if got := lang.L("Paste"); got != c.paste {
			t.Errorf("%s: %q", c.tag, got)
		}
		if got := lang.L("Redo"); got != c.redo {
			t.Errorf("%s: %q", c.tag, got)
		}
	}
}

func TestIDs_HaveSentences(t *testing.T) {
	for key, id := range ids {
		if !words.English().Has(id) {
			t.Errorf("%s: no sentence %q", key, id)
		}
	}
}
