package drawer

import (
	"bytes"
	"errors"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"golang.org/x/text/encoding/unicode"
	"pgregory.net/rapid"
)

func TestRead_RefusesWhatCannotBeMeant(t *testing.T) {
	for text, want := range map[string]struct {
		id   string
		line int
	}{
		"name,pressed\nRed\n":                                 {"drawer-no-colour", 2},
		"name,pressed\nBlue,#00f\nRed,\n":                     {"drawer-no-colour", 3},
		"name,pressed,count,Count\nRed,#f00,1,2\n":            {"drawer-column-twice", 1},
		"name,name,pressed\nRed,Blue,#f00\n":                  {"drawer-column-twice", 1},
		"name,pressed,shelf,Shelf\nRed,#f00,1,2\n":            {"drawer-column-twice", 1},
		"name,pressed,price\nRed,#f00,2,49\n":                 {"drawer-too-long", 2},
		"name,pressed,price\nRed,#f00,\"1,234\"\n":            {"drawer-unsure-number", 2},
		"name;pressed;price\nRed;#f00;2,49\nBlue;#00f;1.234":  {"drawer-unsure-number", 3},
		"name;pressed;price\nRed;#f00;2,49\nBlue;#00f;1.2.3":  {"drawer-bad-value", 3},
		"name;pressed;price\nRed;#f00;12,34.567,8":            {"drawer-bad-value", 2},
		"name;pressed;price\nRed;#f00;-2,49":                  {"drawer-bad-value", 2},
		"name;pressed;price\nRed;#f00;0x10":                   {"drawer-bad-value", 2},
		"name;pressed;price\nRed;#f00;,":                      {"drawer-bad-value", 2},
		"name;pressed;offcuts_mm\nRed;#f00;1,234x50":          {"drawer-bad-value", 2},
		strings.Repeat("name,pressed\n", mostBytes/13+1):      {"drawer-unreadable", 0},
		"name,pressed\n" + strings.Repeat("R,#f00\n", most+1): {"drawer-unreadable", most + 1},
	} {
		var e *Error
		if got, err := Read(strings.NewReader(text)); !errors.As(err, &e) || e.ID != want.id || e.Line != want.line {
			t.Errorf("%.60q: %+v, %v", text, got, err)
		}
	}
}

func TestRead_TellsDecimalsFromThousands(t *testing.T) {
	for _, c := range []struct {
		cells []string // prices
		want  []float64
	}{
		{[]string{"2.49", "1.234", "304.8"}, []float64{2.49, 1.234, 304.8}},
		{[]string{"2,49", "1,234", "304,8"}, []float64{2.49, 1.234, 304.8}},
		{[]string{"1.234"}, []float64{1.234}}, // as we write it
		{[]string{"1,234.50", "1,234,567"}, []float64{1234.5, 1234567}},
		{[]string{"1.234,50", "1.234.567"}, []float64{1234.5, 1234567}},
		{[]string{"0,125", "0,5", "12,3456"}, []float64{0.125, 0.5, 12.3456}},
		{[]string{"2,49", "3.5"}, []float64{2.49, 3.5}}, // each by itself
		{[]string{"1234", "12,", "5."}, []float64{1234, 12, 5}},
	} {
		text := "name;pressed;price\n"
		for _, cell := range c.cells {
			text += "Red;#f00;" + cell + "\n"
		}
		got, err := Read(strings.NewReader(text))
		if err != nil || len(got) != len(c.want) {
			t.Errorf("%q: %v", c.cells, err)
			continue
		}
		for i, want := range c.want {
			if got[i].Price != want {
				t.Errorf("%q: %g, want %g", c.cells[i], got[i].Price, want)
			}
		}
	}
}

// Whichever mark stands before decimals, what is written is read as it was.
func TestNumber_IsReadAsItWasWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := math.Round(rapid.Float64Range(0, 1e6).Draw(t, "v")*1e4) / 1e4
		for _, mark := range []byte{'.', ','} {
			for _, known := range []byte{mark, 0} {
				if text := number(v, mark); text != "" {
					if got, wrong := parseNumber(text, known); got != v || wrong != "" {
						t.Fatalf("%g became %q and then %g (%s)", v, text, got, wrong)
					}
				}
			}
		}
	})
}

// The letters of Windows-1252 and UTF-16 are those of its own tables; see the
// Encoding Standard, "Legacy single-byte encodings".
func TestRead_KnowsTheLettersOfSpreadsheets(t *testing.T) {
	const text = "name;pressed\r\nGrün – 5 €;#0a0\r\n"
	utf16, err := unicode.UTF16(unicode.BigEndian, unicode.UseBOM).NewEncoder().String(text)
	if err != nil {
		t.Fatal(err)
	}
	for name, data := range map[string]string{
		"UTF-8": text, "UTF-8, marked": "\ufeff" + text, "UTF-16": utf16,
		"Windows-1252": "name;pressed\r\nGr\xfcn \x96 5 \x80;#0a0\r\n",
	} {
		got, err := Read(strings.NewReader(data))
		if err != nil || len(got) != 1 || got[0].Name != "Grün – 5 €" {
			t.Errorf("%s: %+v, %v", name, got, err)
		}
	}
}

func TestSave_KeepsWhatTheUserMadeOfTheFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "drawer.csv")
	const before = "Shelf;Price;Name;Pressed;maker\nA1;2,49;Rot;#dc1e1e;\"Leuchtturm; Shop\"\n;;Blau;#0000c8;\n"
	if err := os.WriteFile(path, []byte(before), 0o600); err != nil {
		t.Fatal(err)
	}
	sheets, err := Kept(path)
	if err != nil || len(sheets) != 2 {
		t.Fatal(sheets, err)
	}
	if want := map[string]string{"Shelf": "A1", "maker": "Leuchtturm; Shop"}; !reflect.DeepEqual(sheets[0].Other, want) || sheets[1].Other != nil {
		t.Errorf("%v", sheets)
	}
	sheets[0], sheets[1] = sheets[1], sheets[0] // rows take along what stands in them
	sheets[1].Price = 1.234
	sheets = append(sheets, Sheet{Name: "Gelb", Count: 2, WidthMM: 304.8, Other: map[string]string{"note": "new"}})
	if err := Save(path, sheets); err != nil {
		t.Fatal(err)
	}
	after, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	const want = "Shelf;Price;Name;Pressed;maker;unpressed;width_mm;height_mm;count;pattern;direction;offcuts_mm;note\n" +
		";;Blau;#0000c8;;#0000c8;;;;;;;\n" +
		"A1;1,2340;Rot;#dc1e1e;\"Leuchtturm; Shop\";#dc1e1e;;;;;;;\n" +
		";;Gelb;#000000;;#000000;304,8;;2;;;;new\n"
	if string(after) != want {
		t.Errorf("%s\nwant %s", after, want)
	}
	if again, err := Kept(path); err != nil || !reflect.DeepEqual(again[0], sheets[0]) || again[1].Price != 1.234 || again[2].WidthMM != 304.8 {
		t.Errorf("%+v, %v", again, err)
	}
}

func TestSave_TabsAndMarksStay(t *testing.T) {
	path := filepath.Join(t.TempDir(), "drawer.csv")
	if err := os.WriteFile(path, []byte("\ufeffname\tpressed\tempty\tprice\nRed\t#f00\t\t2.5\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	sheets, err := Kept(path)
	if err != nil || sheets[0].Price != 2.5 {
		t.Fatal(sheets, err)
	}
	if err := Save(path, sheets); err != nil {
		t.Fatal(err)
	}
	if after, _ := os.ReadFile(path); !strings.HasPrefix(string(after), "\ufeffname\tpressed\tempty\tprice\tunpressed") {
		t.Errorf("%q", after)
	}
}

// OWASP, "CSV Injection": cells that begin with = + - or @ may be formulas.
func TestWrite_NoCellIsAFormula(t *testing.T) {
	evil := []string{`=HYPERLINK("http://x","y")`, "+1+cmd|' /C calc'!A0", "-2+3", "@SUM(A1)", "'=1", "''@x", "=", "=\t1"}
	harmless := []string{"-5", "+2,5", "-", "'n Blau", "'", "a=b", "5-3"}
	for _, cell := range append(evil, harmless...) {
		want := []Sheet{{Name: "Red", Count: -1, Pattern: cell, Other: map[string]string{"note": cell}}}
		var b bytes.Buffer
		if err := Write(&b, want); err != nil {
			t.Fatal(err)
		}
		for _, c := range strings.Split(strings.ReplaceAll(b.String(), "\n", ","), ",") {
			if c = strings.Trim(c, `"`); len(c) > 1 && strings.ContainsAny(c[:1], "=+-@") && !signed.MatchString(c) {
				t.Errorf("%q is written as %q", cell, c)
			}
		}
		if got, err := Read(&b); err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%q came back as %+v, %v", cell, got, err)
		}
	}
}

func TestHome_MovesTheDrawerOnce(t *testing.T) {
	dir := t.TempDir()
	path, before := filepath.Join(dir, "data", "abut", "drawer.csv"), filepath.Join(dir, "state", "abut", "drawer.csv")
	if got := Home(path, before); got != path {
		t.Errorf("nothing is there, and %s", got)
	}
	old := []Sheet{{Name: "Old", Count: 1}}
	if err := Save(before, old); err != nil {
		t.Fatal(err)
	}
	if got := Home(path, before); got != path {
		t.Error(got)
	}
	if got, err := Kept(path); err != nil || len(got) != 1 || got[0].Name != "Old" {
		t.Error(got, err)
	}
	if _, err := os.Lstat(before); err == nil {
		t.Error("it is there twice")
	}
	// An older Abut made one there again: the new one stays what it is.
	if err := Save(before, []Sheet{{Name: "Older", Count: 1}}); err != nil {
		t.Fatal(err)
	}
	if got := Home(path, before); got != path {
		t.Error(got)
	}
	if got, _ := Kept(path); len(got) != 1 || got[0].Name != "Old" {
		t.Error(got)
	}
	// What cannot be moved is used where it is.
	if got := Home(filepath.Join(path, "below", "drawer.csv"), before); got != before {
		t.Error(got)
	}
}

// The same list as spreadsheets of several countries write it.
func TestReadList_TakesAnyColumnsAndWhateverPartsThem(t *testing.T) {
	latin := "Name;Nummer\nJ\xfcrgen;7\n"
	for _, text := range []string{"Name,Nummer\nJürgen,7\n", "\ufeffName;Nummer\r\n\r\nJürgen;7\r\n;\r\n", "Name\tNummer\n  Jürgen\t7\n", latin, "Name,Nummer,\"a;b;c\"\nJürgen,7,x\n"} {
		l, err := ReadList(strings.NewReader(text))
		if err != nil || len(l.Rows) != 1 {
			t.Errorf("%q: %+v, %v", text, l, err)
			continue
		}
		name, has := l.Cell(0, "name")
		number, _ := l.Cell(0, "NUMMER")
		if _, other := l.Cell(0, "colour"); name != "Jürgen" || number != "7" || !has || other {
			t.Errorf("%q: %+v", text, l)
		}
	}
	if l, err := ReadList(strings.NewReader("name\nAda\n\"Mo,  ira\"\n")); err != nil || len(l.Rows) != 2 || l.Rows[1].Line != 3 {
		t.Errorf("one column: %+v, %v", l, err)
	}
	for text, want := range map[string]string{
		"name,Name\nAda,Bo\n": "list-column-twice", "name\nAda,7\n": "list-too-long", "name\n\n": "list-empty", "": "list-unreadable", "name\n\"Ada\n": "list-unreadable",
	} {
		var e *Error
		if _, err := ReadList(strings.NewReader(text)); !errors.As(err, &e) || e.ID != want {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
}

// What people type and what they copy from a spreadsheet.
func TestTypeList_ReadsNamesOneALineAndTablesWithHeadings(t *testing.T) {
	for _, c := range []struct {
		text   string
		asked  []string
		h      Headings
		want   string // columns | rows
		headed bool
	}{
		{"Ada\nMoira  Mac\r\n\nO'Ban\n", nil, 0, "name|Ada|Moira Mac|O'Ban", false},
		{"Ada\nBo", []string{"Vorname", "class"}, 0, "Vorname|Ada|Bo", false},
		{"Vorname\nAda\n", []string{"vorname"}, 0, "Vorname|Ada", true},
		{"Name\nAda\n", []string{"who"}, 0, "Name|Ada", true}, // the usual heading
		{"Keeper\nAda\n", []string{"name"}, HeadingsFirst, "Keeper|Ada", true},
		{"Name\nAda\n", []string{"name"}, HeadingsNone, "name|Name|Ada", false},
		// A comma is of the name, unless headings say otherwise.
		{"Brown, Ada\nGrey, Bo\n", []string{"name"}, 0, "name|Brown, Ada|Grey, Bo", false},
		{"name,class\nAda,3b\n", []string{"name"}, 0, "name,class|Ada,3b", true},
		{"Name;Klasse\nAda;3b\n", nil, 0, "Name,Klasse|Ada,3b", true},
		{"name\tclass\nAda\t3b\nBo \"Bobby\" B\t\n", []string{"class", "name"}, 0, "name,class|Ada,3b|Bo \"Bobby\" B,", true},
		{"Ada\t3b\nBo\t4a\n", []string{"name", "class"}, 0, "name,class|Ada,3b|Bo,4a", false},
		{"Ada\t3b\tx\nBo\n", []string{"name"}, 0, "name,,|Ada,3b,x|Bo", false},
		{"first\tclass\nAda\t3b\n", nil, 0, "first,class|Ada,3b", true}, // nothing is asked for
	} {
		l, headed, err := TypeList(c.text, c.asked, c.h)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		lines := []string{strings.Join(l.Columns, ",")}
		for i, r := range l.Rows {
			cells := slices.Clone(r.Cells)
			for k := range cells {
				if name := l.Columns[k]; name != "" {
					cells[k], _ = l.Cell(i, name)
				}
			}
			lines = append(lines, strings.Join(cells, ","))
		}
		if got := strings.Join(lines, "|"); got != c.want || headed != c.headed {
			t.Errorf("%q, asked for %q: %s, headings %v, want %s, %v", c.text, c.asked, got, headed, c.want, c.headed)
		}
	}
	for text, want := range map[string]string{"": "list-empty", " \n\n": "list-empty", "name\n": "list-empty", "name\tName\nAda\tBo\n": "list-column-twice", "name\tno\nAda\t1\t2\n": "list-too-long"} {
		var e *Error
		if _, _, err := TypeList(text, nil, HeadingsGuessed); !errors.As(err, &e) || e.ID != want {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
}

// What is shown to be changed is read as what it was.
func TestList_TextIsReadAsTheSameCells(t *testing.T) {
	for _, text := range []string{"name\nAda\n\"Bo, the 2nd\"\n\"\"\"Cy\"\"\"\n", "who\nAda\n", "name,no\nAda,7\n\"Bo \"\"B\"\"\",\n\"Cy\nD\",8\n", "a,,b\n1,2,3\n", "name,sum\nAda,'=1+2\n"} {
		l, err := ReadList(strings.NewReader(text))
		if err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		for _, asked := range [][]string{nil, {"name"}, {"no", "name"}} {
			typed, headed := l.Text(asked)
			h := HeadingsNone
			if headed {
				h = HeadingsFirst
			}
			again, _, err := TypeList(typed, asked, h)
			if err != nil || len(again.Rows) != len(l.Rows) || len(again.Columns) != len(l.Columns) {
				t.Errorf("%q as %q: %+v, %v", text, typed, again, err)
				continue
			}
			for i := range l.Rows {
				for _, name := range l.Columns {
					want, _ := l.Cell(i, name)
					if got, is := again.Cell(i, name); got != want || !is {
						t.Errorf("%q as %q: %q, want %q", text, typed, got, want)
					}
				}
			}
		}
	}
}

// Cells of a list to be changed are parted by what can be seen and typed, unless that would read as something else.
func TestList_TextPartsCellsBySemicolons(t *testing.T) {
	for text, want := range map[string]string{
		"Name;Farbe\n\"Anna, Maria\";rot\nIda;\n": "Name;Farbe\nAnna, Maria;rot\nIda;\n",
		"Wer;Farbe\nIda;rot\n":                    "Wer\tFarbe\nIda\trot\n", // nothing of it is asked for
	} {
		l, err := ReadList(strings.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		if got, _ := l.Text([]string{"name"}); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}
