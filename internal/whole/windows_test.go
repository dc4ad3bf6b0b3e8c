package whole

import (
	"context"
	"errors"
	"io"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"abut/internal/message"
	"abut/internal/tree"
)

// windowsFiles refuses as Windows does what is asked of files that this process has
// open, or of folders in which it has any: system error 32, a sharing violation.
type windowsFiles struct {
	t       *testing.T
	refused int
}

func (w *windowsFiles) open(path string) bool {
	handles, err := os.ReadDir("/proc/self/fd")
	if err != nil {
		w.t.Skip("it cannot be seen here what is open: ", err)
	}
	for _, h := range handles {
		at, err := os.Readlink(filepath.Join("/proc/self/fd", h.Name()))
		if err == nil && (at == path || strings.HasPrefix(at, path+"/")) {
			w.refused++
			return true
		}
	}
	return false
}

func (w *windowsFiles) Rename(from, to string) error {
	if w.open(from) || w.open(to) {
		return &os.LinkError{Op: "rename", Old: from, New: to, Err: syscall.Errno(32)}
	}
	return os.Rename(from, to)
}

func (w *windowsFiles) Remove(path string) error {
	if w.open(path) {
		return &os.PathError{Op: "remove", Path: path, Err: syscall.Errno(32)}
	}
	return os.Remove(path)
}

// onWindows has the rules of Windows followed until the test ends.
func onWindows(t *testing.T) *windowsFiles {
	before := here
	t.Cleanup(func() { here = before })
	files := &windowsFiles{t: t}
	here.Kind, here.Files = "windows", files
	return files
}

// Nothing is renamed while it is open, and locks are gone all the same.
func TestWindows_FilesAreWrittenAndReplaced(t *testing.T) {
	files := onWindows(t)
	dir := t.TempDir()
	out, list := filepath.Join(dir, "new", "out"), filepath.Join(dir, "list.csv")
	for _, version := range []string{"old", "new"} {
		if err := write(context.Background(), out, killedFiles(version)); err != nil {
			t.Fatal(err)
		}
		if err := WriteFile(list, func(w io.Writer) error { _, err := io.WriteString(w, version); return err }); err != nil {
			t.Fatal(err)
		}
	}
	got := tree.Of(t, dir)
	for _, f := range killedFiles("new") {
		if got["new/out/"+f.Name] != string(f.Data) {
			t.Errorf("%s: %q", f.Name, got["new/out/"+f.Name])
		}
	}
	if want := 1 + 2 + 1 + len(killedFiles("new")); got["list.csv"] != "new" || len(got) != want { // folders, list, files
		t.Errorf("something was left: %v", got)
	}
	if files.refused != 2 { // a lock is first removed while it is held, once in each run
		t.Errorf("refused %d times", files.refused)
	}
}

// What another program shows is not replaced, then or half; once it is closed, it is.
func TestWindows_WhatIsOpenElsewhereStays(t *testing.T) {
	onWindows(t)
	dir := earlier(t)
	shown := filepath.Join(dir, "steps.html")
	before := tree.Of(t, dir)
	f, err := os.Open(shown)
	if err != nil {
		t.Fatal(err)
	}
	err = write(context.Background(), dir, killedFiles("new"))
	var e *Error
	if !errors.As(err, &e) || e.ID != "target-unwritable" || !errors.Is(err, syscall.Errno(32)) {
		t.Error(err)
	}
	one := WriteFile(shown, func(w io.Writer) error { _, err := io.WriteString(w, "new"); return err })
	if !errors.Is(one, syscall.Errno(32)) {
		t.Error(one)
	}
	if after := tree.Of(t, dir); !maps.Equal(before, after) {
		t.Errorf("%v", after)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	if err := write(context.Background(), dir, killedFiles("new")); err != nil {
		t.Error(err)
	}
}

func TestWindows_NamesThatItCannotHaveAreToldBeforeAnything(t *testing.T) {
	onWindows(t)
	dir := t.TempDir()
	for _, name := range []string{"nul", "Con.abut", "mug: red", "ends."} {
		path := filepath.Join(dir, name)
		for what, err := range map[string]error{
			"check":  to(path).Check(),
			"folder": write(context.Background(), path, killedFiles("new")),
			"file":   WriteFile(path, func(io.Writer) error { t.Error("it is written"); return nil }),
		} {
			if m, said := message.In(err); !said || m.ID != "target-name" || m.Args["path"] != path {
				t.Errorf("%s, %s: %v", what, name, err)
			}
		}
	}
	if got := tree.Of(t, dir); len(got) != 1 {
		t.Errorf("%v", got)
	}
}
