package assemble

import (
	"cmp"
	"math"
	"slices"

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
func (b *bench) chooseBase() (int, message.Message) {
	seps := b.Separations
	if c := b.settings.BaseColour(); c != nil {
		if i := b.of(*c); i >= 0 {
			return i, about("base-chosen", &seps[i])
		}
	}
	roomy := make([]bool, len(seps))
	for i := range seps {
		roomy[i] = b.hasRoom(i)
	}
	any := slices.Contains(roomy, true)
	furthest := 0
	for i := range seps {
		if seps[i].Bounds.Area() > seps[furthest].Bounds.Area() {
			furthest = i
		}
	}
	base, rivals := bestBase(seps, func(i int) bool { return roomy[i] || !any })
	switch {
	case len(seps) == 1:
		return base, about("base-only", &seps[base])
	case any && !roomy[furthest]:
		why := about("base-has-room", &seps[base])
		why.Values["other"] = seps[furthest].Called()
		return base, why
	case rivals == 1 || seps[base].small() == 0:
		return base, about("base-largest", &seps[base])
	default:
		return base, about("base-most-small-parts", &seps[base])
	}
}

// bestBase returns the best base of those that may be one, and how many there are that
// are nearly as large as the largest.
func bestBase(seps []Separation, may func(i int) bool) (base, rivals int) {
	largest := 0.0
	for i := range seps {
		if may(i) {
			largest = math.Max(largest, seps[i].Bounds.Area())
		}
	}
	base = -1
	for i := range seps {
		if seps[i].Bounds.Area() < nearlyEqual*largest || !may(i) {
			continue
		}
		rivals++
		if base < 0 || cmp.Or(
			cmp.Compare(seps[i].small(), seps[base].small()),
			cmp.Compare(seps[i].Bounds.Area(), seps[base].Bounds.Area()),
			cmp.Compare(seps[i].AreaMM2, seps[base].AreaMM2),
		) > 0 {
			base = i
		}
	}
	return base, rivals
}

// small counts the pieces that are fiddly to lay.
func (s *Separation) small() int {
	n := 0
	for _, p := range s.Pieces {
		if p.AreaMM2 < smallPieceMM2 {
			n++
		}
	}
	return n
}

// hasRoom reports whether separation i, as the base and with the frame that it
// would get, fits its sheet and the cutter.
func (b *bench) hasRoom(i int) bool {
	seps := b.Separations
	f := b.framer(slices.Concat(seps[i:i+1], seps[:i], seps[i+1:]))
	// Looked at for every sheet, so without what takes long and changes little.
	f.settings.BlankShape, f.settings.Frame.CornerMM = nil, 0
	all := seps[i].Bounds
	if made, _ := f.frame(); made != nil {
		all = all.Union(made.Bounds)
	}
	ow, oh := overSheet(all.Width(), all.Height(), f.width, f.height)
	_, over := overWidth(all.Width(), all.Height(), b.settings.Cutter())
	return ow == 0 && oh == 0 && over == 0
}

// framer lays frames on the first of the separations.
func (b *bench) framer(seps []Separation) *framer {
	f := &framer{seps: seps, settings: b.settings, extent: b.Extent}
	f.width, f.height = b.sheetSize(seps[0].Of)
	return f
}

// of returns which separation has this colour, or which one an art colour is
// cut from, or −1.
func (b *bench) of(c colour.RGB) int {
	if i := slices.IndexFunc(b.Separations, func(s Separation) bool { return s.Colour == c }); i >= 0 {
		return i
	}
	m, _ := b.rules.Material(c)
	_, i := b.Find(m)
	return i
}

func about(id string, s *Separation) message.Message {
	return message.Message{ID: id, Values: map[string]any{
		"name": s.Called(), "size": message.Size{Width: s.Bounds.Width(), Height: s.Bounds.Height()},
	}}
}

// sortForAssembly puts the separations in the order in which they are laid:
// the base first, then outer before inner, which is larger before smaller.
func sortForAssembly(seps []Separation, base int) {
	of := seps[base].Of
	slices.SortStableFunc(seps, func(a, b Separation) int {
		switch of {
		case a.Of:
			return -1
		case b.Of:
			return 1
		}
		return cmp.Or(
			cmp.Compare(b.Bounds.Area(), a.Bounds.Area()),
			cmp.Compare(b.AreaMM2, a.AreaMM2),
			cmp.Compare(a.Name, b.Name),
		)
	})
}
