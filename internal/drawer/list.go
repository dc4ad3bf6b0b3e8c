package drawer

import (
	"encoding/csv"
	"errors"
	"io"
	"os"
	"slices"
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
	return t.list(text)
}

// Headings is where a list has the names of its columns.
type Headings int

const (
	// HeadingsGuessed takes the first line for headings where it has a name that is
	// asked for or, where none is, where it has several cells.
	HeadingsGuessed Headings = iota
	// HeadingsFirst takes the first line for them.
	HeadingsFirst
	// HeadingsNone takes it for a row.
	HeadingsNone
)

// TypeList reads a list as somebody types it, a name on each line, or pastes it from a
// spreadsheet, where tabs part cells; commas and semicolons do so only where the first
// line has headings then, for they may be in a name. asked are the columns that a design
// asks for, which those without headings are called in turn. It returns as well whether
// the first line was taken for headings. Errors: *Error.
func TypeList(text string, asked []string, h Headings) (List, bool, error) {
	text = strings.TrimLeft(strings.ReplaceAll(text, "\r\n", "\n"), "\n")
	first, _, _ := strings.Cut(text, "\n")
	t := table{lazy: true}
	if strings.Contains(first, "\t") {
		t.separator = '\t'
	}
	known := t.knows(first, asked)
	for _, s := range ",;" {
		if by := (table{separator: s, lazy: true}); t.separator == 0 && strings.ContainsRune(first, s) && by.knows(first, asked) {
			t, known = by, true
		}
	}
	headed := h == HeadingsFirst || h == HeadingsGuessed && (known || len(asked) == 0 && t.separator != 0)
	t.headless = !headed
	l, err := t.list(text)
	if err != nil || headed {
		return l, headed, err
	}
	broadest := 0
	for _, r := range l.Rows {
		broadest = max(broadest, len(r.Cells))
	}
	l.Columns = make([]string, broadest)
	if copy(l.Columns, asked) == 0 {
		l.Columns[0] = nameColumn
	}
	return l, false, nil
}

// nameColumn is the column that rows are called by.
const nameColumn = "name"

// knows reports whether a line has the name of a column that is asked for, or the usual one.
func (t table) knows(line string, asked []string) bool {
	t.headless = false
	if t.read(line) != nil {
		return false
	}
	return slices.ContainsFunc(append([]string{nameColumn}, asked...), func(name string) bool { return t.at(name) >= 0 })
}

// list reads a list's text by the table's separator.
func (t *table) list(text string) (List, error) {
	err := t.read(text)
	if err == nil {
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

// Text is the list as it is typed: what TypeList reads as the same cells, each run of
// spaces being one, and whether that has headings, which names alone in the column that
// comes first of those that are asked for have not.
func (l List) Text(asked []string) (text string, headed bool) {
	var b strings.Builder
	headed = len(l.Columns) != 1 || !strings.EqualFold(l.Columns[0], append(slices.Clone(asked), nameColumn)[0])
	if len(l.Columns) == 1 {
		if headed {
			b.WriteString(l.Columns[0] + "\n")
		}
		for i := range l.Rows {
			name, _ := l.Cell(i, l.Columns[0])
			b.WriteString(name + "\n")
		}
		return b.String(), headed
	}
	// Semicolons can be seen, and typed where Tab goes on to what follows.
	if text = l.table(';'); l.readFrom(text, asked) {
		return text, true
	}
	return l.table('\t'), true
}

// readFrom reports whether TypeList reads this list from a text.
func (l List) readFrom(text string, asked []string) bool {
	got, headed, err := TypeList(text, asked, HeadingsFirst)
	if err != nil || !headed || !slices.Equal(got.Columns, l.Columns) || len(got.Rows) != len(l.Rows) {
		return false
	}
	for i := range l.Rows {
		for _, c := range l.Columns {
			was, _ := l.Cell(i, c)
			if is, _ := got.Cell(i, c); is != was {
				return false
			}
		}
	}
	return true
}

// table writes a list with its headings, cells parted by a separator.
func (l List) table(separator rune) string {
	var b strings.Builder
	c := csv.NewWriter(&b)
	c.Comma = separator
	_ = c.Write(l.Columns) // into memory: it cannot fail
	for _, r := range l.Rows {
		row := make([]string, len(l.Columns))
		for k := range min(len(row), len(r.Cells)) {
			row[k] = Cell(strings.Join(strings.Fields(r.Cells[k]), " "))
		}
		_ = c.Write(row)
	}
	c.Flush()
	return b.String()
}
