package main

import (
	"bytes"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"abut/internal/oracle"
)

// The program without the window is linked to nothing, and cuts the same to the byte:
// the demos and, where they were fetched, flags and emoji of the open art.
func TestStatic_CutsTheSame(t *testing.T) {
	if testing.Short() {
		t.Skip("it is built anew")
	}
	dir := t.TempDir()
	program := filepath.Join(dir, "abut")
	build := exec.Command("go", "build", "-tags", "cli", "-trimpath", "-ldflags", "-s -w", "-o", program, ".")
	build.Env = append(os.Environ(), "CGO_ENABLED=0")
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("it does not build: %v\n%s", err, out)
	}
	if f, err := os.Stat(program); err != nil || f.Size() > 25<<20 {
		t.Errorf("it is too large for a download between two lessons: %v, %v", f, err)
	}
	files, err := filepath.Glob("../../assets/demos/*.svg")
	if err != nil || len(files) == 0 {
		t.Fatal("no demos", err)
	}
	step := 200
	if os.Getenv("ABUT_CORPUS") == "all" {
		step = 20
	}
	art := append(oracle.Art(t, "flag-icons/flags/4x3/*.svg"), oracle.Art(t, "@twemoji/svg/*.svg")...)
	for i := 0; i < len(art); i += step {
		files = append(files, art[i])
	}
	args := func(to string) []string {
		return append([]string{"--lang", "en", "cut", "--width", "80mm", "--mend", "-o", filepath.Join(dir, to)}, files...)
	}
	want, _, _ := abut(args("full")...)
	c := exec.Command(program, args("static")...)
	out, _ := c.CombinedOutput() // the status is looked at below
	if got := c.ProcessState.ExitCode(); got != want {
		t.Fatalf("it ends with %d, with a window with %d:\n%s", got, want, out)
	}
	compared := 0
	err = filepath.WalkDir(filepath.Join(dir, "full"), func(path string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		name, err := filepath.Rel(filepath.Join(dir, "full"), path)
		if err != nil {
			return err
		}
		a, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		b, err := os.ReadFile(filepath.Join(dir, "static", name))
		if err != nil || !bytes.Equal(a, b) {
			t.Errorf("%s is another: %v", name, err)
		}
		compared++
		return nil
	})
	if err != nil || compared < len(files) {
		t.Fatalf("%d files compared of %d pictures: %v", compared, len(files), err)
	}
	t.Logf("%d pictures, %d files the same", len(files), compared)
}
