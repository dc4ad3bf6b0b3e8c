// Package drawer reads and writes the list of sheets that a user owns: a CSV
// file, so that any spreadsheet can keep it.
package drawer

import (
	"fmt"
	"io"
	"regexp"
	"slices"
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
	// Other is what columns of the user's own say, by their names.
	Other map[string]string
}

// Size is a width and a height.
type Size struct{ WidthMM, HeightMM float64 }

// Direction is how a pattern runs over a sheet.
type Direction uint8

const (
	// AnyWay says that the pattern looks the same whichever way it is turned.
	AnyWay Direction = iota
	// Upright says that it runs along the sheet's height.
	Upright
	// Across says that it runs along the sheet's width.
	Across
)

// String returns the direction's name in files.
func (d Direction) String() string { return [...]string{"", "upright", "across"}[d] }

// Columns of the file. Name and pressed must be there, in any order; others
// may.
var columns = []string{"name", "pressed", "unpressed", "width_mm", "height_mm", "count", "price", "pattern", "direction", "offcuts_mm"}

// numeric are those whose numbers may have decimals.
var numeric = []string{"width_mm", "height_mm", "price"}

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
	t, err := readTable(r)
	if err != nil {
		return nil, err
	}
	var out []Sheet
	for i := range t.rows {
		s, wrong := sheetOf(func(name string) string { return t.cell(i, t.at(name)) }, t.decimal)
		if wrong != nil {
			wrong.Line, wrong.Args["row"] = t.lines[i], strconv.Itoa(t.lines[i])
			return nil, wrong
		}
		for k, name := range t.columns {
			if text := t.cell(i, k); text != "" && name != "" && !slices.Contains(columns, strings.ToLower(name)) {
				if s.Other == nil {
					s.Other = map[string]string{}
				}
				s.Other[name] = text
			}
		}
		out = append(out, s)
	}
	return out, nil
}

// sheetOf reads one line; wrong says which value is none.
func sheetOf(field func(string) string, decimal byte) (s Sheet, wrong *Error) {
	s = Sheet{Name: field("name"), Pattern: field("pattern"), Count: -1}
	bad := func(v string) (Sheet, *Error) { return s, fail("drawer-bad-value", 0, v, nil) }
	if s.Name == "" {
		return bad("name")
	}
	if field("pressed") == "" {
		return s, fail("drawer-no-colour", 0, s.Name, nil)
	}
	var err error
	if s.Pressed, err = colour.Parse(field("pressed")); err != nil {
		return bad(field("pressed"))
	}
	s.Unpressed = s.Pressed
	if v := field("unpressed"); v != "" {
		if s.Unpressed, err = colour.Parse(v); err != nil {
			return bad(v)
		}
	}
	if wrong := s.readNumbers(field, decimal); wrong != nil {
		return s, wrong
	}
	var ok bool
	if s.Direction, ok = directionOf(strings.ToLower(field("direction"))); !ok {
		return bad(strings.ToLower(field("direction")))
	}
	if s.Offcuts, ok = ParseOffcuts(field("offcuts_mm")); !ok {
		return bad(field("offcuts_mm"))
	}
	if v := field("count"); v != "" {
		if s.Count, err = strconv.Atoi(v); err != nil || s.Count < 0 {
			return bad(v)
		}
	}
	return s, nil
}

// readNumbers reads width, height and price; wrong says which value is none.
func (s *Sheet) readNumbers(field func(string) string, decimal byte) (wrong *Error) {
	for i, to := range []*float64{&s.WidthMM, &s.HeightMM, &s.Price} {
		v := field(numeric[i])
		if v == "" {
			continue
		}
		var no string
		switch *to, no = parseNumber(v, decimal); no {
		case "":
		case unsure:
			return fail("drawer-unsure-number", 0, v, nil)
		default:
			return fail("drawer-bad-value", 0, v, nil)
		}
	}
	return nil
}

// directionOf reads a direction; nothing is AnyWay.
func directionOf(v string) (Direction, bool) {
	for _, d := range []Direction{Upright, Across} {
		if v == d.String() {
			return d, true
		}
	}
	return AnyWay, v == ""
}

// cell is what Read reads from a column.
func (s Sheet) cell(column string, decimal byte) string {
	switch strings.ToLower(column) {
	case "name":
		return s.Name
	case "pressed":
		return s.Pressed.String()
	case "unpressed":
		return s.Unpressed.String()
	case "width_mm":
		return number(s.WidthMM, decimal)
	case "height_mm":
		return number(s.HeightMM, decimal)
	case "count":
		if s.Count < 0 {
			return ""
		}
		return strconv.Itoa(s.Count)
	case "price":
		return number(s.Price, decimal)
	case "pattern":
		return s.Pattern
	case "direction":
		return s.Direction.String()
	case "offcuts_mm":
		return OffcutsText(s.Offcuts)
	}
	for name, text := range s.Other {
		if strings.EqualFold(name, column) {
			return text
		}
	}
	return ""
}

// mostOffcuts is far beyond what anybody keeps of one sheet.
const mostOffcuts = 1000

// times is what stands between a width and a height, as people write it.
var times = regexp.MustCompile(`\s*[xX×]\s*`)

// ParseOffcuts reads sizes in millimetres with spaces, semicolons, or commas and spaces between:
// "120x80 60.5 × 40, 30x20". False for anything else.
func ParseOffcuts(text string) ([]Size, bool) {
	var out []Size
	for _, part := range strings.FieldsFunc(times.ReplaceAllString(text, "x"), func(r rune) bool { return r == ' ' || r == ';' || r == '\t' }) {
		w, h, ok := strings.Cut(strings.TrimSuffix(part, ","), "x")
		if !ok || len(out) == mostOffcuts {
			return nil, false
		}
		var s Size
		for _, side := range []struct {
			text string
			to   *float64
		}{{w, &s.WidthMM}, {h, &s.HeightMM}} {
			v, wrong := parseNumber(side.text, 0)
			if wrong != "" || v == 0 {
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
		parts[i] = number(s.WidthMM, '.') + "x" + number(s.HeightMM, '.')
	}
	return strings.Join(parts, " ")
}

// Write writes a drawer as Read reads it.
func Write(w io.Writer, sheets []Sheet) error { return plain().write(w, sheets) }
