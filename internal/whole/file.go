package whole

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// WriteFile writes a file, all of it or nothing: beside its place, and put
// there when it is on disk. A file that is there keeps its permissions, and a
// link stays one: what it points to is replaced. Errors are the system's or those
// of write, after which the old file is as it was.
func WriteFile(path string, write func(io.Writer) error) error {
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real
	}
	// Temporary files are the owner's alone; this one becomes as readable as
	// what it replaces, or as new files usually are.
	mode := fs.FileMode(0o644)
	if info, err := os.Stat(path); err == nil {
		mode = info.Mode().Perm()
	}
	f, err := os.CreateTemp(filepath.Dir(path), ".abut-*")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name()) // gone already when all went well
	defer f.Close()           // closed already, but after a panic
	if err := errors.Join(write(f), f.Sync(), f.Close()); err != nil {
		return err
	}
	if err := os.Chmod(f.Name(), mode); err != nil {
		return err
	}
	if err := os.Rename(f.Name(), path); err != nil {
		return err
	}
	syncFolder(filepath.Dir(path))
	return nil
}

// syncFolder has a folder's list of names put on disk. Some file systems cannot
// be asked to, and do so in their own time; so nothing is said of failures.
func syncFolder(dir string) {
	if f, err := os.Open(dir); err == nil {
		_ = f.Sync()
		_ = f.Close()
	}
}
