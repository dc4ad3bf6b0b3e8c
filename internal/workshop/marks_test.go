package workshop

import (
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"abut/internal/job"
	"abut/internal/tree"
)

func TestWrite_MarksAreAtTheSamePlaceInEveryFile(t *testing.T) {
	j, err := job.SetMarks(knockedOut(t, open(t, discInSquare)), true)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	m := written(t, j, filepath.Join(dir, "out"), WriteOptions{})
	files := tree.Of(t, filepath.Join(dir, "out"))
	marks := regexp.MustCompile(`<path id="marks"[^>]* d="([^"]*)"`)
	first := ""
	for i, s := range m.Separations {
		got := marks.FindStringSubmatch(files[s.File])
		if got == nil || strings.Count(got[1], "Z") != 3 || i > 0 && got[1] != first {
			t.Fatalf("%s: %v", s.File, got)
		}
		first = got[1]
	}
	if !m.Marks || !strings.Contains(files["steps.html"], "Take the alignment marks off.") {
		t.Error("job.json or steps.html is silent")
	}
	none := written(t, knockedOut(t, open(t, discInSquare)), filepath.Join(dir, "none"), WriteOptions{})
	files = tree.Of(t, filepath.Join(dir, "none"))
	if none.Marks || strings.Contains(files[none.Separations[0].File], "marks") || strings.Contains(files["steps.html"], "Take the alignment marks off.") {
		t.Error("marks that nobody asked for")
	}
	if m.PageMM[0] != none.PageMM[0]+16 || m.WidthMM != none.WidthMM {
		t.Errorf("page %v, without marks %v", m.PageMM, none.PageMM)
	}
}
