package handout

import (
	"bytes"
	"context"
	"io"
	"os"
	"path/filepath"
	"slices"

	"abut/geometry/parallel"
	"abut/internal/message"
	"abut/internal/print"
	"abut/internal/whole"
)

// Options say how a lesson is taken home. The zero value is A4 with four steps a
// page.
type Options struct {
	Paper print.Paper
	// PerPage is how many steps of the handout lie on a page: 4 or 6.
	PerPage int
	// Overwrite replaces the files of an earlier lesson in a folder that is there.
	Overwrite bool
}

// Files are what Write writes: the show for a browser, what is
// handed out, tasks with their answers, and what to say.
var Files = []string{"lesson.html", "handout.pdf", "worksheet.pdf", "notes.pdf"}

// Write writes a lesson's files into the folder dir: all of them or none. Errors are
// *whole.Error, or the context's own.
func (l Lesson) Write(ctx context.Context, dir string, o Options) error {
	if o.Paper.Width == 0 {
		o.Paper = print.A4
	}
	if o.PerPage == 0 {
		o.PerPage = 4
	}
	if len(l.Show.Steps) == 0 {
		return &whole.Error{Message: message.Of("nothing-to-cut")}
	}
	folder := whole.Folder{
		Path: dir, Overwrite: o.Overwrite, Writes: func(name string) bool { return slices.Contains(Files, name) },
		Earlier: func(dir string) (there []string) {
			for _, name := range Files {
				if _, err := os.Lstat(filepath.Join(dir, name)); err == nil {
					there = append(there, name)
				}
			}
			return there
		},
	}
	if err := folder.Check(); err != nil { // before the work
		return err
	}
	files, err := parallel.Aside(ctx, func() ([]whole.File, error) {
		var files []whole.File
		for i, write := range []func(io.Writer) error{
			l.WritePage,
			func(w io.Writer) error { return l.WriteHandout(w, o.Paper, o.PerPage) },
			func(w io.Writer) error { return l.WriteWorksheet(w, o.Paper) },
			func(w io.Writer) error { return l.WriteNotes(w, o.Paper) },
		} {
			var b bytes.Buffer
			if err := write(&b); err != nil {
				return nil, err
			}
			files = append(files, whole.File{Name: Files[i], Data: b.Bytes()})
		}
		slices.Reverse(files) // the last tells of the others
		return files, nil
	})
	if err != nil {
		return err
	}
	return folder.Write(ctx, files)
}
