package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"abut/internal/handout"
)

func TestClass_WritesALessonOrNothing(t *testing.T) {
	file, dir := art(t, sized, overlapping), filepath.Join(t.TempDir(), "lesson")
	must(t, "class", file, "-o", dir)
	for _, name := range handout.Files {
		b, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		if begin := map[bool]string{true: "%PDF-", false: "<!DOCTYPE html>"}[strings.HasSuffix(name, ".pdf")]; !bytes.HasPrefix(b, []byte(begin)) {
			t.Errorf("%s begins with %q", name, b[:12])
		}
	}
	if status, _, errs := abut("class", file, "-o", dir); status != exitFailed || !strings.Contains(errs, "--overwrite") {
		t.Errorf("a folder that is there: %d %s", status, errs)
	}
	must(t, "class", file, "-o", dir, "--overwrite", "--paper", "letter", "--per-page", "6")
	if status, _, _ := abut("class", filepath.Join(t.TempDir(), "gone.abut"), "-o", filepath.Join(t.TempDir(), "x")); status != exitFailed {
		t.Errorf("a job that is not there: %d", status)
	}
}
