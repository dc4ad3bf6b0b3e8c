package session

import (
	"os"
	"path/filepath"
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
