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
// is in. Errors: *Error.
func Save(path string, sheets []Sheet) error {
	err := os.MkdirAll(filepath.Dir(path), 0o755)
	if err == nil {
		err = whole.WriteFile(path, func(w io.Writer) error { return Write(w, sheets) })
	}
	if err != nil {
		return &Error{Message: message.Of("drawer-unwritable", "path", path, "detail", whole.Cause(err)), Err: err}
	}
	return nil
}
