package whole

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// WriteFile writes a file, all of it or nothing: beside its place, and put
// there when it is on disk. A file that is there keeps its permissions, a new one
// has those that the user's other files have, and a link stays one: what it
// points to is replaced. Errors are the system's, those of write, or an *Error where
// no file can have that name; after each the old file is as it was.
func WriteFile(path string, write func(io.Writer) error) error {
	if !nameable(path) {
		return fail("target-name", path)
	}
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real
	}
	mode, there := fs.FileMode(0o666), false
	if info, err := os.Stat(path); err == nil {
		mode, there = info.Mode().Perm(), true
	}
	f, err := createBeside(path, mode)
	if err != nil {
		return err
	}
	defer func() {
		_ = f.Close()           // closed already, but after a panic
		_ = os.Remove(f.Name()) // gone already when all went well
	}()
	if err := errors.Join(write(f), f.Sync(), f.Close()); err != nil {
		return err
	}
	if there { // whatever the umask says
		if err := os.Chmod(f.Name(), mode); err != nil {
			return err
		}
	}
	if err := here.Rename(f.Name(), path); err != nil {
		return err
	}
	syncFolder(filepath.Dir(path))
	return nil
}

// nameable reports whether there can be a file or folder of that name here.
func nameable(path string) bool {
	name := filepath.Base(path)
	return name == string(filepath.Separator) || here.Takes(name)
}

// createBeside makes a new hidden file beside path. Unlike os.CreateTemp it
// leaves its permissions to the umask.
func createBeside(path string, mode fs.FileMode) (f *os.File, err error) {
	err = underNewName(func(number uint32) error {
		f, err = os.OpenFile(filepath.Join(filepath.Dir(path), fmt.Sprintf(".abut-%08x", number)), os.O_RDWR|os.O_CREATE|os.O_EXCL, mode)
		return err
	})
	return f, err
}
