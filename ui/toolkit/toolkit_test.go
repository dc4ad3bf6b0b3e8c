package toolkit

import (
	"testing"

	"fyne.io/fyne/v2/lang"

	"abut/internal/words"
)

func TestSpeak_TheToolkitSaysItInTheChosenLanguage(t *testing.T) {
	for _, c := range []struct{ tag, cancel, name, parent string }{
		{"de", "Abbrechen", "Name der Datei", "Übergeordneter Ordner"}, {"en", "Cancel", "File name", "Folder above"}, {"de", "Abbrechen", "Name der Datei", "Übergeordneter Ordner"},
	} {
		Speak(words.For(c.tag))
		if got := lang.L("Cancel"); got != c.cancel {
			t.Errorf("%s: %q", c.tag, got)
		}
		if got := lang.L("Enter filename"); got != c.name {
			t.Errorf("%s: %q", c.tag, got)
		}
		if got := lang.X("file.parent", "Parent"); got != c.parent {
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
