package whole

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
)

// Folder is a folder whose files are written together.
type Folder struct {
	Path string
	// Overwrite lets files be put into a folder that is there already: those of
	// an earlier run are replaced, all others left alone.
	Overwrite bool
	// Earlier lists the files in dir that an earlier run wrote, the one that
	// tells of the others first.
	Earlier func(dir string) []string
	// Writes reports whether a run may write a file of this name. No other is
	// moved or removed, whatever lists in the folder say.
	Writes func(name string) bool
}

// Check says early whether the folder can be written to as asked. Errors are
// *Error.
func (f Folder) Check() error { return explain(f.Path, f.check(f.Path)) }

func (f Folder) check(path string) error {
	if !nameable(path) {
		return fail("target-name", f.Path)
	}
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return err
	case !info.IsDir():
		return fail("target-is-file", f.Path)
	case !f.Overwrite:
		return fail(ErrExists, f.Path)
	}
	return nil
}

// Write puts the files into the folder, all of them or none; the last of them
// tells of the others. Folders above are made as needed. Errors are *Error, or
// the context's own.
func (f Folder) Write(ctx context.Context, files []File) error {
	return explain(f.Path, f.write(ctx, files))
}

// write first writes to a hidden folder on the same file system, so that what
// follows is renaming only: one for a new folder, several where it is there.
func (f Folder) write(ctx context.Context, files []File) error {
	target, err := filepath.Abs(f.Path)
	if err == nil {
		err = f.check(target)
	}
	if err != nil {
		return err
	}
	if real, err := filepath.EvalSymlinks(target); err == nil {
		return f.replace(ctx, real, files)
	}
	parent, base := filepath.Dir(target), filepath.Base(target)
	unmake, done := Unmake(parent), false
	defer func() { // after a panic too
		if !done {
			unmake()
		}
	}()
	if err := os.MkdirAll(parent, 0o777); err != nil {
		return err
	}
	lock, err := f.lock(filepath.Join(parent, "."+stem(base)+lockSuffix))
	if err != nil {
		return err
	}
	defer lock.Release()
	sweep(parent, base)
	staging, err := makeHidden(parent, base)
	if err != nil {
		return err
	}
	defer remove(staging) // gone already when all went well
	if err := writeFiles(ctx, staging, files); err != nil {
		return err
	}
	f.Overwrite = false // should it have appeared meanwhile
	if err := f.check(target); err != nil {
		return err
	}
	if err := rename(ctx, staging, target); err != nil {
		return err
	}
	done = true
	syncFolder(parent)
	return nil
}

// Unmake returns what removes a folder and those above it again: those that are
// not there yet, once they are made and empty.
func Unmake(dir string) func() {
	var made []string
	for p := dir; missing(p); p = filepath.Dir(p) {
		made = append(made, p)
	}
	return func() {
		for _, p := range made {
			_ = os.Remove(p)
		}
	}
}

func missing(path string) bool {
	_, err := os.Stat(path)
	return errors.Is(err, fs.ErrNotExist)
}
