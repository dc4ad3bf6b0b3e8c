package drawer

import (
	"cmp"
	"math"
	"slices"
)

// KeepMM is the smaller side under which what is left of a sheet is no offcut
// but waste: less than a hand's breadth is hardly ever found again when it is
// wanted (common practice knows no figure).
const KeepMM = 30

// Taken is what was taken from a drawer for one separation.
type Taken struct {
	// Missing: there was neither an offcut nor a sheet of that size; nothing was
	// taken.
	Missing bool
	// Offcut is the one that was used, nil for a whole sheet.
	Offcut *Size
	// Left are what is put back, the larger first.
	Left []Size
}

// Take takes a piece of the given size from the i-th kind of sheet: from the
// smallest offcut that it can be cut from, else from a whole sheet, and puts
// back what is left of it. Where the pattern runs one way the piece is not
// turned. A sheet of unknown size is taken whole and leaves nothing; one of
// unknown count stays so. The list given is not changed.
func Take(sheets []Sheet, i int, w, h float64) ([]Sheet, Taken) {
	out := slices.Clone(sheets)
	s := &out[i]
	if best, part := s.smallest(w, h); best >= 0 {
		from := s.Offcuts[best]
		t := Taken{Offcut: &from, Left: remains(from, part)}
		s.Offcuts = append(slices.Delete(slices.Clone(s.Offcuts), best, best+1), t.Left...)
		return out, t
	}
	whole := Size{s.WidthMM, s.HeightMM}
	known := whole.WidthMM > 0 && whole.HeightMM > 0
	part, ok := s.within(whole, w, h)
	if s.Count == 0 || known && !ok {
		return out, Taken{Missing: true}
	}
	if s.Count > 0 {
		s.Count--
	}
	var t Taken
	if known {
		t.Left = remains(whole, part)
		s.Offcuts = append(slices.Clone(s.Offcuts), t.Left...)
	}
	return out, t
}

// within returns how a piece lies on a part of the sheet: turned, where it may be, if
// it does not fit as it is.
func (s *Sheet) within(o Size, w, h float64) (Size, bool) {
	switch {
	case w <= o.WidthMM && h <= o.HeightMM:
		return Size{w, h}, true
	case s.Direction == AnyWay && h <= o.WidthMM && w <= o.HeightMM:
		return Size{h, w}, true
	}
	return Size{}, false
}

// smallest returns the smallest offcut that a piece can be cut from, -1 where there is
// none, and how the piece lies on it.
func (s *Sheet) smallest(w, h float64) (best int, part Size) {
	best = -1
	for k, o := range s.Offcuts {
		if lies, ok := s.within(o, w, h); ok && (best < 0 || o.area() < s.Offcuts[best].area()) {
			best, part = k, lies
		}
	}
	return best, part
}

// TakeLaid takes the sheet that something was laid out on from the i-th kind: this very
// offcut, or a whole one for nil, and puts back what is left of it. A whole one that the
// list does not count was bought for it: it was cut, so it was there. The list given is
// not changed.
func TakeLaid(sheets []Sheet, i int, offcut *Size, left []Size) ([]Sheet, Taken) {
	out := slices.Clone(sheets)
	s := &out[i]
	if offcut == nil {
		if s.Count > 0 {
			s.Count--
		}
		s.Offcuts = append(slices.Clone(s.Offcuts), left...)
		return out, Taken{Left: left}
	}
	k := slices.IndexFunc(s.Offcuts, func(o Size) bool { return o.alike(*offcut) })
	if k < 0 {
		return out, Taken{Missing: true}
	}
	s.Offcuts = append(slices.Delete(slices.Clone(s.Offcuts), k, k+1), left...)
	return out, Taken{Offcut: offcut, Left: left}
}

// alike: sizes go through whole steps of 0.1 µm on their way.
func (s Size) alike(o Size) bool {
	return math.Abs(s.WidthMM-o.WidthMM) < 1e-3 && math.Abs(s.HeightMM-o.HeightMM) < 1e-3
}

func (s Size) area() float64 { return s.WidthMM * s.HeightMM }

// remains are the two rectangles that are left when part is cut from a corner,
// of the two ways to cut it the one that leaves the largest, without what is too
// small to keep.
func remains(from, part Size) []Size {
	dw, dh := from.WidthMM-part.WidthMM, from.HeightMM-part.HeightMM
	upright := []Size{{dw, from.HeightMM}, {part.WidthMM, dh}}
	across := []Size{{from.WidthMM, dh}, {dw, part.HeightMM}}
	largest := func(s []Size) float64 { return max(s[0].kept(), s[1].kept()) }
	out := upright
	if largest(across) > largest(upright) {
		out = across
	}
	out = slices.DeleteFunc(out, func(s Size) bool { return s.kept() == 0 })
	slices.SortStableFunc(out, func(a, b Size) int { return cmp.Compare(b.area(), a.area()) })
	return out
}

// kept is the area, 0 for what is not worth keeping.
func (s Size) kept() float64 {
	if min(s.WidthMM, s.HeightMM) < KeepMM {
		return 0
	}
	return s.area()
}
