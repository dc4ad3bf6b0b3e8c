package drawer

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"maps"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// table is a file as it is written: what of it is the user's and not ours.
type table struct {
	// separator stands between cells, 0 where each line is one, and decimal before decimals.
	separator rune
	decimal   byte
	// marked: the file begins with a byte order mark, by which spreadsheets know
	// what its letters are.
	marked bool
	// headless: no line names the columns. lazy: quotes may stand anywhere.
	headless, lazy bool
	// columns are named in the user's order and spelling.
	columns []string
	rows    [][]string
	lines   []int // where they begin
}

// plain is what we write by ourselves.
func plain() table { return table{separator: ',', decimal: '.', columns: slices.Clone(columns)} }

// most is far beyond what any drawer holds, in bytes and in rows.
const (
	mostBytes = 16 << 20
	most      = 10_000
)

// readTable reads a file as spreadsheets write them: with commas, semicolons or
// tabs, as UTF-8, UTF-16 or Windows-1252. Errors: *Error.
func readTable(r io.Reader) (table, error) {
	data, err := io.ReadAll(io.LimitReader(r, mostBytes+1))
	if err != nil || len(data) > mostBytes {
		return table{}, fail("drawer-unreadable", 0, "", err)
	}
	text, marked := letters(data)
	var t table
	for _, separator := range ",;\t" {
		t = table{separator: separator, marked: marked}
		if err = t.read(text); t.at("name") >= 0 && t.at("pressed") >= 0 {
			break
		}
		if first, _, _ := strings.Cut(text, "\n"); strings.ContainsRune(first, separator) && separator != ',' {
			break // this is what parts them, and something is missing
		}
	}
	if err != nil {
		return table{}, err
	}
	return t, t.check()
}

// letters are a file's text, and whether it says what they are, or should.
func letters(data []byte) (text string, marked bool) {
	const mark = "\ufeff"
	switch {
	case bytes.HasPrefix(data, []byte{0xff, 0xfe}), bytes.HasPrefix(data, []byte{0xfe, 0xff}):
		if b, err := unicode.UTF16(unicode.LittleEndian, unicode.ExpectBOM).NewDecoder().Bytes(data); err == nil {
			return string(b), true
		}
	case !utf8.Valid(data):
		if b, err := charmap.Windows1252.NewDecoder().Bytes(data); err == nil {
			return string(b), true
		}
	}
	text, marked = strings.CutPrefix(string(data), mark)
	return text, marked
}

func (t *table) read(text string) error {
	if t.separator == 0 {
		return t.readLines(text)
	}
	c := csv.NewReader(strings.NewReader(text))
	c.FieldsPerRecord, c.TrimLeadingSpace, c.LazyQuotes, c.Comma = -1, t.separator != '\t', t.lazy, t.separator
	for {
		record, err := c.Read()
		if errors.Is(err, io.EOF) && (t.columns != nil || t.headless) {
			return nil
		}
		var parse *csv.ParseError
		switch {
		case errors.As(err, &parse):
			return fail("drawer-unreadable", parse.StartLine, "", err)
		case err != nil || len(t.rows) == most:
			return fail("drawer-unreadable", len(t.rows)+1, "", err)
		}
		line, _ := c.FieldPos(0)
		if err := t.add(record, line); err != nil {
			return err
		}
	}
}

// add takes a line's cells: for the names of columns, or as a row.
func (t *table) add(record []string, line int) error {
	for i := range record {
		record[i] = disarm(strings.TrimSpace(record[i]))
	}
	switch {
	case t.columns == nil && !t.headless:
		t.columns = record
	case !t.headless && len(record) > len(t.columns) && strings.Join(record[len(t.columns):], "") != "":
		return fail("drawer-too-long", line, "", nil) // as where a decimal comma parts cells
	case strings.Join(record, "") != "":
		t.rows, t.lines = append(t.rows, record), append(t.lines, line)
	}
	return nil
}

// readLines reads text of which each line is a cell.
func (t *table) readLines(text string) error {
	n := 0
	for line := range strings.SplitSeq(text, "\n") {
		n++
		switch line = strings.TrimSpace(line); {
		case line == "":
		case t.columns == nil && !t.headless:
			t.columns = []string{line}
		case len(t.rows) == most:
			return fail("drawer-unreadable", n, "", nil)
		default:
			t.rows, t.lines = append(t.rows, []string{line}), append(t.lines, n)
		}
	}
	return nil
}

// check refuses what has not the columns that must be there, or one twice, and
// finds out the decimal mark.
func (t *table) check() error {
	for _, name := range columns[:2] {
		if t.at(name) < 0 {
			return fail("drawer-no-column", 1, name, nil)
		}
	}
	if err := t.once(); err != nil {
		return err
	}
	var numbers []string
	for i := range t.rows {
		for _, name := range numeric {
			numbers = append(numbers, t.cell(i, t.at(name)))
		}
	}
	t.decimal = decimalMark(numbers)
	return nil
}

// once refuses a column that is there twice.
func (t *table) once() error {
	seen := map[string]bool{"": false} // columns without a name are none
	for _, name := range t.columns {
		key := strings.ToLower(name)
		if seen[key] {
			return fail("drawer-column-twice", 1, name, nil)
		}
		seen[key] = key != ""
	}
	return nil
}

// at is where the column of this name is, −1 for nowhere.
func (t *table) at(name string) int {
	return slices.IndexFunc(t.columns, func(c string) bool { return strings.EqualFold(c, name) })
}

// cell is what stands in a row's column, empty where it is none.
func (t *table) cell(row, column int) string {
	if column < 0 || column >= len(t.rows[row]) {
		return ""
	}
	return t.rows[row][column]
}

// write writes sheets into the table's columns, and behind them into those that
// they need besides.
func (t table) write(w io.Writer, sheets []Sheet) error {
	for _, name := range columns {
		if t.at(name) < 0 {
			t.columns = append(t.columns, name)
		}
	}
	for _, s := range sheets {
		for _, name := range slices.Sorted(maps.Keys(s.Other)) {
			if t.at(name) < 0 {
				t.columns = append(t.columns, name)
			}
		}
	}
	if t.decimal == 0 {
		t.decimal = '.'
		if t.separator == ';' { // parts cells where the comma is taken
			t.decimal = ','
		}
	}
	if t.marked {
		if _, err := io.WriteString(w, "\ufeff"); err != nil {
			return err
		}
	}
	c := csv.NewWriter(w)
	c.Comma = t.separator
	row := make([]string, len(t.columns))
	for i, name := range t.columns {
		row[i] = Cell(name)
	}
	err := c.Write(row)
	for _, s := range sheets {
		if err != nil {
			return err
		}
		for i, name := range t.columns {
			row[i] = Cell(s.cell(name, t.decimal))
		}
		err = c.Write(row)
	}
	c.Flush()
	return errors.Join(err, c.Error())
}

// A spreadsheet takes what begins with one of these for a formula, which can call
// other programs. An apostrophe before it makes it a text; one is put before
// those that have some already, so that reading takes off just that one.
var (
	formula = regexp.MustCompile(`^'*[=+\-@\t\r]`)
	signed  = regexp.MustCompile(`^[+-]?[0-9.,]*$`)
)

// Cell returns what is written for a text in a file that spreadsheets open.
func Cell(cell string) string {
	if formula.MatchString(cell) && !signed.MatchString(cell) {
		return "'" + cell
	}
	return cell
}

func disarm(cell string) string {
	if bare, ok := strings.CutPrefix(cell, "'"); ok && Cell(bare) == cell {
		return bare
	}
	return cell
}
