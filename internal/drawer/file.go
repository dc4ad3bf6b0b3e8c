package drawer

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"abut/internal/message"
	"abut/internal/whole"
)

// Open reads a drawer's file. Errors: *Error.
func Open(path string) ([]Sheet, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, &Error{Message: message.Of("file-unreadable", "path", path, "detail", whole.Cause(err)), Err: err}
	}
	defer f.Close()
	return Read(f)
}

// Kept reads the drawer that is kept across jobs; one that was never written is
// empty. Errors: *Error.
func Kept(path string) ([]Sheet, error) {
	sheets, err := Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return sheets, err
}

// Save writes a drawer's file, all of it or nothing, and makes the folder that it
// is in. A file that is there keeps what the user made of it: columns of their
// own, what parts them, and the decimal mark. Errors: *Error.
func Save(path string, sheets []Sheet) error {
	t := plain()
	if f, err := os.Open(path); err == nil {
		if there, err := readTable(f); err == nil {
			t = there
		}
		f.Close()
	}
	err := os.MkdirAll(filepath.Dir(path), 0o700) // as the XDG Base Directory Specification asks
	if err == nil {
		err = whole.WriteFile(path, func(w io.Writer) error { return t.write(w, sheets) })
	}
	if said, ok := message.In(err); ok {
		return &Error{Message: said, Err: err}
	}
	if err != nil {
		return &Error{Message: message.Of("drawer-unwritable", "path", path, "detail", whole.Cause(err)), Err: err}
	}
	return nil
}

// Home returns where the drawer is kept: at path, where it is moved to once from
// where it was kept before. What cannot be moved stays there.
func Home(path, before string) string {
	missing := func(p string) bool {
		_, err := os.Lstat(p)
		return err != nil
	}
	if !missing(path) || missing(before) {
		return path
	}
	err := os.MkdirAll(filepath.Dir(path), 0o700)
	if err == nil {
		err = os.Rename(before, path)
	}
	if err != nil && missing(path) && !missing(before) { // else another window was faster
		return before
	}
	return path
}
