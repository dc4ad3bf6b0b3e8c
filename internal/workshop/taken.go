package workshop

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"abut/internal/drawer"
	"abut/internal/layout"
	"abut/internal/message"
	"abut/internal/whole"
	"abut/internal/words"
)

// LaidTaken is one sheet of a layout, and what was taken from the user's own for it.
type LaidTaken struct {
	// Name is the separation's.
	Name   string
	SizeMM [2]float64
	Kind   layout.Kind
	// Unknown: the user's own list has no such sheet, or it is from a roll, which is not
	// counted there.
	Unknown bool
	drawer.Taken
}

// takenFile is put into a folder whose sheets were taken from the user's own list.
const takenFile = "taken.txt"

// MarkCut takes from the list in a file what the layout in a folder was cut from, as
// TakeLaid does, and notes that in the folder. It fails, and takes nothing, where that was
// noted before. Where nothing could be taken neither is changed.
func MarkCut(dir, file string) ([]LaidTaken, error) {
	sheets, err := drawer.Open(file)
	if err != nil {
		return nil, err
	}
	if err := Untaken(dir); err != nil {
		return nil, err
	}
	sheets, taken, err := TakeLaid(dir, sheets)
	if err != nil || !slices.ContainsFunc(taken, func(t LaidTaken) bool { return !t.Unknown && !t.Missing }) {
		return taken, err
	}
	return taken, NoteTaken(dir, taken, func() error { return drawer.Save(file, sheets) })
}

// Untaken fails where the sheets of the layout in a folder were taken already.
func Untaken(dir string) error {
	if _, err := os.Lstat(filepath.Join(dir, takenFile)); err == nil {
		return fail("mark-twice", nil, "dir", dir, "file", takenFile)
	}
	return nil
}

// NoteTaken notes in a folder that its sheets are taken, and takes them; where that fails
// the note goes again. The note comes first: sheets that are taken twice are missed at the
// table, a note too many is read.
func NoteTaken(dir string, taken []LaidTaken, take func() error) error {
	w := words.Chosen()
	text := w.Say("mark-note", nil) + "\n\n"
	for _, t := range taken {
		if !t.Unknown && t.Kind != layout.Roll {
			text += t.Name + ", " + w.Size(t.SizeMM[0], t.SizeMM[1]) + ": " + TakenText(w, t.Taken) + "\n"
		}
	}
	path := filepath.Join(dir, takenFile)
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		return fail("mark-unwritable", err, "path", path, "detail", whole.Cause(err))
	}
	err := take()
	if err != nil {
		_ = os.Remove(path)
	}
	return err
}

// TakeLaid takes from the user's own sheets what the layout in a folder was cut from:
// the job.json there says which sheets and offcuts, and what is left of them goes back.
// It fails where nothing was laid out. The list given is not changed.
func TakeLaid(dir string, sheets []drawer.Sheet) (out []drawer.Sheet, taken []LaidTaken, err error) {
	path := filepath.Join(dir, manifestFile)
	b, err := os.ReadFile(path)
	if err != nil {
		return sheets, nil, &Error{message.Of("file-unreadable", "path", path, "detail", whole.Cause(err)), err}
	}
	var m struct {
		Schema string
		Layout *ManifestLayout
	}
	if err := json.Unmarshal(b, &m); err != nil || !strings.HasPrefix(m.Schema, schemaName) || m.Layout == nil || m.Layout.Costs == nil {
		return sheets, nil, fail("mark-not-laid", err, "dir", dir)
	}
	var known bool
	if out, taken, known = TakeLayout(m.Layout, sheets); !known {
		return sheets, nil, fail("mark-not-laid", nil, "dir", dir)
	}
	return out, taken, nil
}

// TakeLayout takes from the user's own sheets what a layout is cut from, and puts back
// what is left of them; it reports whether the layout tells what each sheet is. The list
// given is not changed.
func TakeLayout(m *ManifestLayout, sheets []drawer.Sheet) (out []drawer.Sheet, taken []LaidTaken, ok bool) {
	out = sheets
	for _, s := range m.Sheets {
		c := slices.IndexFunc(m.Costs.Colors, func(c ManifestCost) bool { return c.Order == s.Order })
		if c < 0 {
			return sheets, nil, false
		}
		of := &m.Costs.Colors[c]
		t := LaidTaken{Name: of.Name, SizeMM: s.SheetMM, Kind: s.Kind}
		i := slices.IndexFunc(out, func(d drawer.Sheet) bool { return d.Name == of.Own && d.Pressed.String() == of.Color })
		if t.Unknown = of.Own == "" || i < 0 || s.Kind == layout.Roll; !t.Unknown {
			var offcut *drawer.Size
			if s.Kind == layout.Offcut {
				offcut = &drawer.Size{WidthMM: s.SheetMM[0], HeightMM: s.SheetMM[1]}
			}
			var left []drawer.Size
			for _, l := range s.LeftMM {
				left = append(left, drawer.Size{WidthMM: l[0], HeightMM: l[1]})
			}
			out, t.Taken = drawer.TakeLaid(out, i, offcut, left)
		}
		taken = append(taken, t)
	}
	return out, taken, true
}

// TakenText says what was taken for a separation and what is put back.
func TakenText(w *words.Words, t drawer.Taken) string {
	if t.Missing {
		return w.Say("ui-cut-missing", nil)
	}
	text := w.Say("ui-cut-whole", nil)
	if t.Offcut != nil {
		text = w.Message(words.Pairs("ui-cut-offcut", "size", message.Size{Width: t.Offcut.WidthMM, Height: t.Offcut.HeightMM}))
	}
	var left message.List
	for _, s := range t.Left {
		left = append(left, message.Size{Width: s.WidthMM, Height: s.HeightMM})
	}
	if len(left) > 0 {
		text += " " + w.Message(words.Pairs("ui-cut-left", "sizes", left))
	}
	return text
}
