package session

import (
	"errors"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"abut/geometry"
	"abut/internal/job"
)

// However art comes in where there is no document, the new one has the units,
// the cutter and the sheets that new ones are to have.
func TestSession_NewDocumentsHaveTheSettingsOfNewOnes(t *testing.T) {
	const svg = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M0 0H9V9Z"/></svg>`
	dir := t.TempDir()
	paths := []string{filepath.Join(dir, "a.svg"), filepath.Join(dir, "b.svg")}
	for _, p := range paths {
		if err := os.WriteFile(p, []byte(svg), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	for name, bring := range map[string]func(b *bench){
		"open":        func(b *bench) { b.Open(paths[0]) },
		"add one":     func(b *bench) { b.Add(paths[:1], nil) },
		"add several": func(b *bench) { b.Add(paths, nil) },
		"paste":       func(b *bench) { b.Paste(svg, "pasted", geometry.EmptyRect()) },
	} {
		b := newBench(t)
		b.Units, b.CutterMM, b.SheetMM = job.Inches, 210, [2]float64{200, 250}
		bring(b)
		b.settle()
		s := b.Job().Settings
		if len(b.errs) > 0 || s.Units != job.Inches || s.CutterMM != 210 || s.SheetWidthMM != 200 || s.SheetHeightMM != 250 {
			t.Errorf("%s: %v, %+v", name, b.errs, s)
		}
	}
}

// Of several files that are dropped at once those that can be read come in, and the others
// are told, each by its name.
func TestSession_AddTellsWhatCannotBeRead(t *testing.T) {
	dir := t.TempDir()
	file := func(name, text string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	svg := `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M0 0H9V9Z"/></svg>`
	a, b := file("a.svg", svg), file("b.svg", svg)
	note, list := file("note.txt", "hello"), file("list.txt", "hello")
	for name, c := range map[string]struct {
		paths  []string
		failed []string
		items  int
	}{
		"one of three": {[]string{note, a, b}, []string{"note.txt"}, 2},
		"two of four":  {[]string{a, note, list, b}, []string{"note.txt", "list.txt"}, 2},
		"all":          {[]string{note, list}, []string{"note.txt", "list.txt"}, 0},
	} {
		for _, opened := range []bool{false, true} {
			s := newBench(t)
			items := c.items
			if opened {
				s.Open(a)
				s.settle()
				items++
			}
			s.Add(c.paths, nil)
			s.settle()
			if got := len(s.Job().Items); got != items {
				t.Errorf("%s, open before: %v: %d items, want %d", name, opened, got, items)
			}
			if got := unopened(s.errs); !slices.Equal(got, c.failed) {
				t.Errorf("%s, open before: %v: told %v, want %v", name, opened, got, c.failed)
			}
			if opened && s.CanUndo() != (c.items > 0) {
				t.Errorf("%s: a step to undo: %v", name, s.CanUndo())
			}
			if c.items > 0 && !opened && s.Name() != "a" {
				t.Errorf("%s: named %q, want that of the first that was read", name, s.Name())
			}
		}
	}
}

// unopened returns the names of the files that one trouble tells.
func unopened(errs []error) (names []string) {
	var several OpenErrors
	var one *OpenError
	switch {
	case len(errs) != 1:
	case errors.As(errs[0], &several):
		for _, e := range several {
			names = append(names, e.File)
		}
	case errors.As(errs[0], &one):
		names = append(names, one.File)
	}
	return names
}
