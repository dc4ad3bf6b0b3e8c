package workshop

import (
	"path/filepath"
	"strings"
	"testing"

	"abut/internal/tree"
)

func TestCut_WritesATestStripBeside(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "boat")
	source := Source{Path: "boat.svg", Art: strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40"><rect width="60" height="40" fill="#124"/><circle cx="30" cy="20" r="12" fill="#fc3"/></svg>`)}
	r, err := Cut(t.Context(), source, Options{Folder: dir, TestStrip: true})
	if err != nil {
		t.Fatal(err)
	}
	strip := tree.Of(t, StripFolder(dir))
	for _, s := range r.Manifest.Separations {
		if !strings.Contains(strip[s.File], "mirrored") {
			t.Errorf("no strip of %s", s.File)
		}
	}
	if !strings.Contains(strip["steps.html"], "tenths of a millimetre") || strip["job.json"] == "" || len(strip) != 2+2+1 {
		t.Errorf("%d files", len(strip))
	}
}

// A strip that is there already stops the run before anything is written.
func TestCut_StripNeverReplacesUnasked(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "boat")
	art := `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40"><rect width="60" height="40" fill="#124"/></svg>`
	cut := func(to string, o Options) error {
		o.Folder, o.TestStrip = to, true
		_, err := Cut(t.Context(), Source{Path: "boat.svg", Art: strings.NewReader(art)}, o)
		return err
	}
	if err := cut(dir, Options{}); err != nil {
		t.Fatal(err)
	}
	before := tree.Of(t, filepath.Dir(dir))
	if err := cut(dir, Options{}); err == nil {
		t.Error("replaced unasked")
	}
	if after := tree.Of(t, filepath.Dir(dir)); len(after) != len(before) {
		t.Error("something was written")
	}
	if err := cut(dir, Options{WriteOptions: WriteOptions{Overwrite: true}}); err != nil {
		t.Error(err)
	}
}
