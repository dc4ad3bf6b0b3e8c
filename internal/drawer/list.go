package drawer

import (
	"errors"
	"io"
	"os"
	"strings"

	"abut/internal/message"
	"abut/internal/whole"
)

// List is a table with columns of the user's own, such as names that copies of a
// design get. It is read as a drawer is.
type List struct {
	Columns []string
	Rows    []ListRow
}

// ListRow is one row, with the line of the file that it begins on.
type ListRow struct {
	Line  int
	Cells []string
	// Out: it is left out.
	Out bool
}

// Cell is what a row has in the column of this name, in any case of letters, each run
// of spaces being one; false where there is no such column.
func (l List) Cell(row int, column string) (text string, ok bool) {
	t := table{columns: l.Columns, rows: [][]string{l.Rows[row].Cells}}
	k := t.at(column)
	return strings.Join(strings.Fields(t.cell(0, k)), " "), k >= 0
}

// OpenList reads a list. Errors: *Error.
func OpenList(path string) (List, error) {
	f, err := os.Open(path)
	if err != nil {
		return List{}, &Error{Message: message.Of("file-unreadable", "path", path, "detail", whole.Cause(err)), Err: err}
	}
	defer f.Close()
	return ReadList(f)
}

// ReadList reads a list: the first line names the columns, whichever they are, and
// what is most often in it of comma, semicolon and tab parts cells. Errors: *Error.
func ReadList(r io.Reader) (List, error) {
	data, err := io.ReadAll(io.LimitReader(r, mostBytes+1))
	if err != nil || len(data) > mostBytes {
		return List{}, fail("list-unreadable", 0, "", err)
	}
	text, _ := letters(data)
	first, _, _ := strings.Cut(text, "\n")
	t := table{separator: ','}
	for _, s := range ";\t" {
		if strings.Count(first, string(s)) > strings.Count(first, string(t.separator)) {
			t.separator = s
		}
	}
	if err = t.read(text); err == nil {
		err = t.once()
	}
	var e *Error
	switch {
	case errors.As(err, &e): // the same said of this file
		return List{}, fail("list"+strings.TrimPrefix(e.ID, "drawer"), e.Line, e.Args["what"], e.Err)
	case len(t.rows) == 0:
		return List{}, fail("list-empty", 1, "", nil)
	}
	l := List{Columns: t.columns}
	for i, row := range t.rows {
		l.Rows = append(l.Rows, ListRow{Line: t.lines[i], Cells: row})
	}
	return l, nil
}
