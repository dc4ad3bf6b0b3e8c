package whole

import (
	"errors"
	"io"
	"maps"
	"os"
	"path/filepath"
	"testing"

	"abut/internal/tree"
)

func TestWriteFile_AFailureLeavesTheOldFile(t *testing.T) {
	dir := t.TempDir()
	tree.Put(t, filepath.Join(dir, "list.csv"), "old")
	before := tree.Of(t, dir)
	full := errors.New("no room")
	err := WriteFile(filepath.Join(dir, "list.csv"), func(w io.Writer) error {
		_, err := io.WriteString(w, "half of what is n")
		return errors.Join(err, full)
	})
	if !errors.Is(err, full) {
		t.Error(err)
	}
	if after := tree.Of(t, dir); !maps.Equal(before, after) {
		t.Errorf("%v", after)
	}
}

func TestWriteFile_KeepsLinksAndPermissions(t *testing.T) {
	dir := t.TempDir()
	file, link := filepath.Join(dir, "real.csv"), filepath.Join(dir, "link.csv")
	tree.Put(t, file, "old")
	if err := os.Chmod(file, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("real.csv", link); err != nil {
		t.Skip(err)
	}
	if err := WriteFile(link, func(w io.Writer) error { _, err := io.WriteString(w, "new"); return err }); err != nil {
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

func TestWriteFile_WhatCannotBePutInPlaceIsAnErrorAndGone(t *testing.T) {
	dir := t.TempDir()
	tree.Put(t, filepath.Join(dir, "folder", "mine"), "mine")
	before := tree.Of(t, dir)
	if err := WriteFile(filepath.Join(dir, "folder"), func(w io.Writer) error { return nil }); err == nil {
		t.Error("a folder was replaced by a file")
	}
	if after := tree.Of(t, dir); !maps.Equal(before, after) {
		t.Errorf("%v", after)
	}
}

func TestWriteFile_ANewFileIsAsReadableAsOthers(t *testing.T) {
	path := filepath.Join(t.TempDir(), "new")
	if err := WriteFile(path, func(w io.Writer) error { _, err := io.WriteString(w, "new"); return err }); err != nil {
		t.Fatal(err)
	}
	if info, err := os.Stat(path); err != nil || info.Mode().Perm() != 0o644 {
		t.Error(info, err)
	}
}
