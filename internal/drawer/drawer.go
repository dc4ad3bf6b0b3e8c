// Package drawer reads and writes the list of sheets that a user owns: a CSV
// file, so that any spreadsheet can keep it.
package drawer

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"abut/internal/colour"
	"abut/internal/message"
)

// Sheet is a kind of sheet in the drawer. Lengths are millimetres, 0 for
// unknown.
type Sheet struct {
	Name string
	// Pressed is the colour that it prints, Unpressed what it looks like before.
	Pressed, Unpressed colour.RGB
	WidthMM, HeightMM  float64
	// Count is how many whole ones there are; −1 for unknown.
	Count int
	// Price is what one costs, in any currency; 0 for unknown.
	Price float64
	// Pattern says in words what is printed on the sheet; empty for a plain one.
	// No colour goes to a patterned sheet by itself.
	Pattern string
	// Direction is how the pattern runs.
	Direction Direction
	// Offcuts are what is left of sheets that were cut into.
	Offcuts []Size
}

// Size is a width and a height.
type Size struct{ WidthMM, HeightMM float64 }

// Direction is how a pattern runs over a sheet.
type Direction uint8

const (
	// AnyWay: the pattern looks the same whichever way it is turned.
	AnyWay Direction = iota
	// Upright: it runs along the sheet's height.
	Upright
	// Across: it runs along the sheet's width.
	Across
)

// String returns the direction's name in files.
func (d Direction) String() string { return [...]string{"", "upright", "across"}[d] }

// Columns of the file. Name and pressed must be there, in any order; others
// may.
var columns = []string{"name", "pressed", "unpressed", "width_mm", "height_mm", "count", "price", "pattern", "direction", "offcuts_mm"}

// most is far beyond what any drawer holds.
const most = 10_000

// Error says what is wrong with a drawer's file.
type Error struct {
	message.Message
	Line int
	Err  error
}

func (e *Error) Error() string { return fmt.Sprintf("%s (line %d)", e.ID, e.Line) }

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Err }

func fail(id string, line int, what string, err error) *Error {
	return &Error{message.Message{ID: id, Args: map[string]string{"row": strconv.Itoa(line), "what": what}}, line, err}
}

// Read reads a drawer. The first line names the columns. Semicolons and tabs
// may part them too, as spreadsheets in some countries write, and then a comma
// may stand for the decimal point. Errors: *Error.
func Read(r io.Reader) ([]Sheet, error) {
	data, err := io.ReadAll(io.LimitReader(r, 16<<20))
	if err != nil {
		return nil, fail("drawer-unreadable", 0, err.Error(), err)
	}
	text := strings.TrimPrefix(string(data), "\ufeff")
	c := csv.NewReader(strings.NewReader(text))
	c.FieldsPerRecord, c.TrimLeadingSpace = -1, true
	first, _, _ := strings.Cut(text, "\n")
	for _, comma := range ";\t" {
		if strings.ContainsRune(first, comma) {
			c.Comma = comma
		}
	}
	head, err := c.Read()
	if err != nil {
		return nil, fail("drawer-unreadable", 1, "", err)
	}
	at := map[string]int{}
	for i, name := range head {
		at[strings.ToLower(strings.TrimSpace(name))] = i
	}
	for _, name := range columns[:2] {
		if _, ok := at[name]; !ok {
			return nil, fail("drawer-no-column", 1, name, nil)
		}
	}
	var out []Sheet
	for {
		record, err := c.Read()
		if errors.Is(err, io.EOF) {
			return out, nil
		}
		var parse *csv.ParseError
		if errors.As(err, &parse) {
			return nil, fail("drawer-unreadable", parse.StartLine, "", err)
		}
		if err != nil || len(record) == 0 || len(out) == most {
			return nil, fail("drawer-unreadable", len(out)+2, "", err)
		}
		line, _ := c.FieldPos(0)
		field := func(name string) string {
			if i, ok := at[name]; ok && i < len(record) {
				return strings.TrimSpace(record[i])
			}
			return ""
		}
		s, bad := sheetOf(field)
		if bad != "" {
			return nil, fail("drawer-bad-value", line, bad, nil)
		}
		out = append(out, s)
	}
}

// sheetOf reads one line; bad is the value that is none.
func sheetOf(field func(string) string) (s Sheet, bad string) {
	s = Sheet{Name: field("name"), Pattern: field("pattern"), Count: -1}
	if s.Name == "" {
		return s, "name"
	}
	var err error
	if s.Pressed, err = colour.Parse(field("pressed")); err != nil {
		return s, field("pressed")
	}
	s.Unpressed = s.Pressed
	if v := field("unpressed"); v != "" {
		if s.Unpressed, err = colour.Parse(v); err != nil {
			return s, v
		}
	}
	for name, to := range map[string]*float64{"width_mm": &s.WidthMM, "height_mm": &s.HeightMM, "price": &s.Price} {
		if v := field(name); v != "" {
			*to, err = strconv.ParseFloat(strings.Replace(v, ",", ".", 1), 64)
			if err != nil || !(*to >= 0) || math.IsInf(*to, 0) {
				return s, v
			}
		}
	}
	switch v := strings.ToLower(field("direction")); v {
	case "":
	case Upright.String():
		s.Direction = Upright
	case Across.String():
		s.Direction = Across
	default:
		return s, v
	}
	var ok bool
	if s.Offcuts, ok = ParseOffcuts(field("offcuts_mm")); !ok {
		return s, field("offcuts_mm")
	}
	if v := field("count"); v != "" {
		if s.Count, err = strconv.Atoi(v); err != nil || s.Count < 0 {
			return s, v
		}
	}
	return s, ""
}

// mostOffcuts is far beyond what anybody keeps of one sheet.
const mostOffcuts = 1000

// ParseOffcuts reads sizes in millimetres with spaces or semicolons between:
// "120x80 60.5x40". False for anything else.
func ParseOffcuts(text string) ([]Size, bool) {
	var out []Size
	for _, part := range strings.FieldsFunc(strings.ReplaceAll(text, "×", "x"), func(r rune) bool { return r == ' ' || r == ';' || r == '\t' }) {
		w, h, ok := strings.Cut(strings.ToLower(part), "x")
		if !ok || len(out) == mostOffcuts {
			return nil, false
		}
		var s Size
		for _, side := range []struct {
			text string
			to   *float64
		}{{w, &s.WidthMM}, {h, &s.HeightMM}} {
			v, err := strconv.ParseFloat(strings.Replace(side.text, ",", ".", 1), 64)
			if err != nil || !(v > 0) || math.IsInf(v, 0) {
				return nil, false
			}
			*side.to = v
		}
		out = append(out, s)
	}
	return out, true
}

// OffcutsText writes sizes as ParseOffcuts reads them.
func OffcutsText(sizes []Size) string {
	parts := make([]string, len(sizes))
	for i, s := range sizes {
		parts[i] = number(s.WidthMM) + "x" + number(s.HeightMM)
	}
	return strings.Join(parts, " ")
}

// number writes a number in full, and nothing for 0.
func number(v float64) string {
	if v == 0 {
		return ""
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// Write writes a drawer as Read reads it.
func Write(w io.Writer, sheets []Sheet) error {
	c := csv.NewWriter(w)
	if err := c.Write(columns); err != nil {
		return err
	}
	for _, s := range sheets {
		count := ""
		if s.Count >= 0 {
			count = strconv.Itoa(s.Count)
		}
		if err := c.Write([]string{s.Name, s.Pressed.String(), s.Unpressed.String(), number(s.WidthMM), number(s.HeightMM), count, number(s.Price), s.Pattern, s.Direction.String(), OffcutsText(s.Offcuts)}); err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}
