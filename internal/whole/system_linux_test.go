package whole

import (
	"bytes"
	"context"
	"errors"
	"io"
	"maps"
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"abut/internal/tree"
)

// mounted returns a folder that is a small file system of its own. Only root can
// make one.
func mounted(t *testing.T) (dir string) {
	t.Helper()
	dir = t.TempDir()
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=64k"); err != nil {
		t.Skip("no file system can be mounted here: ", err)
	}
	t.Cleanup(func() { _ = syscall.Unmount(dir, 0) })
	return dir
}

func TestWrite_AFullDiskLeavesEverythingAsItWas(t *testing.T) {
	dir := mounted(t)
	old, new := filepath.Join(dir, "old"), filepath.Join(dir, "above", "new")
	list := filepath.Join(dir, "list.csv")
	tree.Put(t, list, "mine")
	if err := write(context.Background(), old, killedFiles("old")); err != nil {
		t.Fatal(err)
	}
	before := tree.Of(t, dir)
	large := append(killedFiles("new"), File{"05-green-mirrored.svg", bytes.Repeat([]byte("x"), 1<<20)})
	for _, out := range []string{old, new} {
		err := write(context.Background(), out, large)
		var e *Error
		if !errors.As(err, &e) || e.ID != "target-unwritable" || !errors.Is(err, syscall.ENOSPC) {
			t.Error(err)
		}
	}
	err := WriteFile(list, func(w io.Writer) error { _, err := w.Write(large[4].Data); return err })
	if !errors.Is(err, syscall.ENOSPC) {
		t.Error(err)
	}
	if after := tree.Of(t, dir); !maps.Equal(before, after) {
		t.Errorf("%v", after)
	}
}

func TestWrite_AReadOnlyParentIsToldAndLeftAlone(t *testing.T) {
	dir := mounted(t)
	if err := write(context.Background(), filepath.Join(dir, "old"), killedFiles("old")); err != nil {
		t.Fatal(err)
	}
	before := tree.Of(t, dir)
	if err := syscall.Mount("", dir, "", syscall.MS_REMOUNT|syscall.MS_RDONLY, ""); err != nil {
		t.Skip(err)
	}
	for _, out := range []string{"old", "new", "above/new"} {
		err := write(context.Background(), filepath.Join(dir, out), killedFiles("new"))
		var e *Error
		if !errors.As(err, &e) || e.ID != "target-unwritable" || e.Args["detail"] == "" || !errors.Is(err, syscall.EROFS) {
			t.Errorf("%s: %v", out, err)
		}
	}
	if after := tree.Of(t, dir); !maps.Equal(before, after) {
		t.Errorf("%v", after)
	}
}

// Who may not write is told so as well; root may.
func TestWrite_AParentThatIsNotOursIsToldAndLeftAlone(t *testing.T) {
	if os.Getuid() == 0 {
		t.Skip("root may write everywhere")
	}
	dir := t.TempDir()
	if err := os.Chmod(dir, 0o500); err != nil {
		t.Fatal(err)
	}
	err := write(context.Background(), filepath.Join(dir, "out"), killedFiles("new"))
	var e *Error
	if !errors.As(err, &e) || e.ID != "target-unwritable" || !errors.Is(err, os.ErrPermission) {
		t.Error(err)
	}
	if got := tree.Of(t, dir); len(got) != 1 {
		t.Errorf("%v", got)
	}
}
