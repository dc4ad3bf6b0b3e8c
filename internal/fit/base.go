package fit

import (
	"cmp"
	"math"
	"slices"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/message"
)

const (
	// nearlyEqual is the share of the largest extent from which a separation
	// counts as its equal. Our choice: 5 % of the area is some 2 mm on a
	// picture of 90 mm, which nobody would base a decision on.
	nearlyEqual = 0.95
	// smallPieceMM2 is the area under which a piece is fiddly to lay by hand:
	// 10 × 10 mm. Our choice; on the base such pieces need no laying at all.
	smallPieceMM2 = 100
)

// chooseBase returns the index of the separation that everything is assembled
// on, and why: the one the user chose, or else the one whose bounding rectangle
// is largest, among near-equals the one with most small pieces. One that would
// have no room on its sheet or in the cutter, its frame included, is taken only
// where none has.
func (b *builder) chooseBase(parts []part, extent geometry.Rect) (int, message.Message) {
	if c := b.job.Settings.BaseColour(); c != nil {
		if i := partOf(parts, *c, b.rules); i >= 0 {
			return i, about("base-chosen", parts[i])
		}
	}
	roomy := make([]bool, len(parts))
	for i := range parts {
		roomy[i] = b.hasRoom(parts, i, extent)
	}
	any := slices.Contains(roomy, true)
	furthest, largest := -1, 0.0
	for i := range parts {
		if furthest < 0 || rectArea(parts[i].Bounds) > rectArea(parts[furthest].Bounds) {
			furthest = i
		}
		if roomy[i] || !any {
			largest = math.Max(largest, rectArea(parts[i].Bounds))
		}
	}
	base, rivals := -1, 0
	small := func(i int) int {
		n := 0
		for _, p := range parts[i].pieces {
			if p.AreaMM2 < smallPieceMM2 {
				n++
			}
		}
		return n
	}
	for i := range parts {
		if rectArea(parts[i].Bounds) < nearlyEqual*largest || any && !roomy[i] {
			continue
		}
		rivals++
		if base < 0 || cmp.Or(
			cmp.Compare(small(i), small(base)),
			cmp.Compare(rectArea(parts[i].Bounds), rectArea(parts[base].Bounds)),
			cmp.Compare(parts[i].AreaMM2, parts[base].AreaMM2),
		) > 0 {
			base = i
		}
	}
	switch {
	case len(parts) == 1:
		return base, about("base-only", parts[base])
	case any && !roomy[furthest]:
		why := about("base-has-room", parts[base])
		why.Values["other"] = parts[furthest].Called()
		return base, why
	case rivals == 1 || small(base) == 0:
		return base, about("base-largest", parts[base])
	default:
		return base, about("base-most-small-parts", parts[base])
	}
}

// hasRoom reports whether separation i, as the base and with the frame that it
// would get, fits its sheet and the cutter.
func (b *builder) hasRoom(parts []part, i int, extent geometry.Rect) bool {
	f := b.framer(slices.Concat(parts[i:i+1], parts[:i], parts[i+1:]), extent)
	// Looked at for every sheet, so without what takes long and changes little.
	f.settings.BlankShape, f.settings.Frame.CornerMM = nil, 0
	all := parts[i].Bounds
	if made, _ := f.frame(); made != nil {
		all = all.Union(made.Bounds)
	}
	ow, oh := overSheet(all.Width(), all.Height(), f.width, f.height)
	_, over := overWidth(all.Width(), all.Height(), b.job.Settings.Cutter())
	return ow == 0 && oh == 0 && over == 0
}

func (b *builder) framer(parts []part, extent geometry.Rect) *framer {
	f := &framer{parts: parts, settings: b.job.Settings, extent: extent}
	f.width, f.height = b.sheetSize(parts[0].sheet)
	return f
}

// partOf returns which separation has this colour, or which one an art colour is
// cut from, or −1.
func partOf(parts []part, c colour.RGB, r *rules) int {
	if i := slices.IndexFunc(parts, func(p part) bool { return p.Colour == c }); i >= 0 {
		return i
	}
	s, ok := r.byColour[c]
	if !ok {
		return -1
	}
	return slices.IndexFunc(parts, func(p part) bool { return p.id == s })
}

func about(id string, s part) message.Message {
	return message.Message{ID: id, Values: map[string]any{
		"name": s.Called(), "size": message.Size{Width: s.Bounds.Width(), Height: s.Bounds.Height()},
	}}
}

// sortForAssembly puts the separations in the order in which they are laid:
// the base first, then outer before inner, which is larger before smaller.
func sortForAssembly(parts []part, base int) {
	id := parts[base].id
	slices.SortStableFunc(parts, func(a, b part) int {
		if a.id == id || b.id == id {
			return cmp.Compare(btoi(b.id == id), btoi(a.id == id))
		}
		return cmp.Or(
			cmp.Compare(rectArea(b.Bounds), rectArea(a.Bounds)),
			cmp.Compare(b.AreaMM2, a.AreaMM2),
			cmp.Compare(a.Name, b.Name),
		)
	})
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}
