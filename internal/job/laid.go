package job

import (
	"math"
	"slices"

	"abut/geometry"
)

// Laid is where on its sheets everything lay when it was laid out last, with what was
// decided by hand. It counts as long as all of it has its place still; what is pinned
// stays even where the rest is laid out anew.
type Laid struct {
	Sheets []LaidSheet `json:",omitempty"`
	Things []LaidThing `json:",omitempty"`
	Free   []LaidFree  `json:",omitempty"`
}

// LaidSheet is one sheet to cut from.
type LaidSheet struct {
	// Row is that of the list, from 1, whose design has the separation first, 0 without a
	// list; Of indexes the separations of that design.
	Row int `json:",omitempty"`
	Of  int `json:",omitempty"`
	// Kind is sheet, offcut or roll, which has no height, and Nth which of those that are
	// alike it is, from 0.
	Kind              string
	WidthMM, HeightMM float64
	Nth               int `json:",omitempty"`
}

// LaidThing is a copy on a sheet, or a piece of one.
type LaidThing struct {
	// Sheet indexes Laid.Sheets.
	Sheet int `json:",omitempty"`
	// Row is that of the list, from 1, or 0, and Of indexes the separations of its design;
	// Copy counts from 1, and so does Piece, which is 0 for all of a copy.
	Row   int `json:",omitempty"`
	Of    int `json:",omitempty"`
	Copy  int
	Piece int `json:",omitempty"`
	// Turn is in radians; Min and Max are its bounds from the sheet's corner on, in
	// millimetres, mirrored as it is cut.
	Turn     float64 `json:",omitempty"`
	Min, Max geometry.Point
	// Pinned: it stays where it is.
	Pinned bool `json:",omitempty"`
}

// LaidFree is a place of a sheet that nothing is laid on, as of LaidThing.
type LaidFree struct {
	Sheet    int `json:",omitempty"`
	Min, Max geometry.Point
}

// mostLaid is how many things may lie somewhere: MaxCopies of a picture with a hundred
// loose pieces.
const mostLaid = 100 * MaxCopies

// SetLaid says where everything lies.
func SetLaid(j Job, l Laid) (Job, error) {
	if len(l.Things) > mostLaid || len(l.Sheets) > mostLaid || len(l.Free) > mostLaid || !l.valid() {
		return j, refuse("edit-bad-layout")
	}
	j.Settings.Laid = l
	return j, nil
}

// valid reports whether all there is may be so, and lies on sheets that there are.
func (l Laid) valid() bool {
	sheet := func(i int) bool { return i >= 0 && i < len(l.Sheets) }
	return !slices.ContainsFunc(l.Sheets, func(s LaidSheet) bool { return !s.valid() }) &&
		!slices.ContainsFunc(l.Things, func(t LaidThing) bool { return !sheet(t.Sheet) || !t.valid() }) &&
		!slices.ContainsFunc(l.Free, func(f LaidFree) bool { return !sheet(f.Sheet) || !f.valid() })
}

func (s LaidSheet) valid() bool {
	return s.Row >= 0 && s.Of >= 0 && s.Nth >= 0 && between(0, mostMM, s.WidthMM) && between(0, mostMM, s.HeightMM)
}

func (t LaidThing) valid() bool {
	return t.Row >= 0 && t.Of >= 0 && t.Copy >= 1 && t.Piece >= 0 && math.Abs(t.Turn) <= 4*math.Pi && onBed(t.Min) && onBed(t.Max)
}

func (f LaidFree) valid() bool {
	return onBed(f.Min) && onBed(f.Max) && f.Min.X <= f.Max.X && f.Min.Y <= f.Max.Y
}

// onBed reports whether a place is one, and no further off than anything is.
func onBed(p geometry.Point) bool { return math.Abs(p.X) <= mostMM && math.Abs(p.Y) <= mostMM }

// mostMM is longer than any roll that is used.
const mostMM = 100_000

// Decided is what of it was decided by hand.
func (l Laid) Decided() Laid {
	out := Laid{Free: l.Free}
	for _, t := range l.Things {
		if t.Pinned {
			out.Things = append(out.Things, t)
		}
	}
	if len(out.Things)+len(out.Free) > 0 {
		out.Sheets = l.Sheets
	}
	return out
}
