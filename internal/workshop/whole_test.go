package workshop

import (
	"errors"
	"io"
	"maps"
	"os"
	"path/filepath"
	"testing"
)

func TestWriteWhole_AFailureLeavesTheOldFile(t *testing.T) {
	dir := t.TempDir()
	put(t, filepath.Join(dir, "list.csv"), "old")
	before := tree(t, dir)
	full := errors.New("no room")
	err := WriteWhole(filepath.Join(dir, "list.csv"), func(w io.Writer) error {
		_, err := io.WriteString(w, "half of what is n")
		return errors.Join(err, full)
	})
	if !errors.Is(err, full) {
		t.Error(err)
	}
	if after := tree(t, dir); !maps.Equal(before, after) {
		t.Errorf("%v", after)
	}
}

func TestWriteWhole_KeepsLinksAndPermissions(t *testing.T) {
	dir := t.TempDir()
	file, link := filepath.Join(dir, "real.csv"), filepath.Join(dir, "link.csv")
	put(t, file, "old")
	if err := os.Chmod(file, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("real.csv", link); err != nil {
		t.Skip(err)
	}
	if err := WriteWhole(link, func(w io.Writer) error { _, err := io.WriteString(w, "new"); return err }); err != nil {
		t.Fatal(err)
	}
	if b, err := os.ReadFile(file); err != nil || string(b) != "new" {
		t.Errorf("%q, %v", b, err)
	}
	info, err := os.Lstat(link)
	if err != nil || info.Mode()&os.ModeSymlink == 0 {
		t.Errorf("the link became %v, %v", info.Mode(), err)
	}
	if info, err = os.Stat(file); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("%v, %v", info.Mode(), err)
	}
}
