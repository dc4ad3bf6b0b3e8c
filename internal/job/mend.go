package job

import (
	"math"
	"slices"

	"abut/geometry"
	"abut/internal/colour"
)

// Defaults of Settings; common practice, no source.
const (
	// DefaultNarrowestMM is the narrowest line or gap that is cut and weeded
	// without trouble: common practice says 1–1.5 mm.
	DefaultNarrowestMM = 1.0
	// DefaultSpeckMM is the size under which a piece is a speck: about 2 mm.
	DefaultSpeckMM = 2.0
)

// Narrowest returns the narrowest width, in millimetres, that is no weak spot.
func (s Settings) Narrowest() float64 {
	if s.NarrowestMM > 0 {
		return s.NarrowestMM
	}
	return DefaultNarrowestMM
}

// Speck returns the size, in millimetres, under which a piece is a speck.
func (s Settings) Speck() float64 {
	if s.SpeckMM > 0 {
		return s.SpeckMM
	}
	return math.Max(DefaultSpeckMM, s.Narrowest())
}

// SpotKind is what is weak about a place. The values are those of package
// geometry/weak.
type SpotKind uint8

const (
	// Neck: a narrow part between two sturdy ones.
	Neck SpotKind = iota
	// Tip: a narrow part that ends in one sharp corner.
	Tip
	// Sliver: any other narrow part, or a piece that is narrow everywhere.
	Sliver
	// Gap: a narrow place between two cut lines that nothing is cut for.
	Gap
	// Speck: a piece that is small in every direction.
	Speck
)

// String returns the kind's id in files and words.
func (k SpotKind) String() string {
	return [...]string{"neck", "point", "sliver", "gap", "speck"}[k]
}

// MendKind is what is done about a weak spot.
type MendKind uint8

const (
	// Keep leaves the spot as it is.
	Keep MendKind = iota
	// Give gives the spot to a neighbour: that of colour To when Chosen, else
	// the one with the longest shared seam.
	Give
	// Drop leaves the place of the spot bare.
	Drop
	// Widen makes the spot as broad as the narrowest width, and a speck as large
	// as the smallest, taking from what lies around it.
	Widen
	// Join bridges from a speck to the nearest piece of its own colour.
	Join
	// Recolour cuts the spot from the sheet of colour To.
	Recolour
)

// String returns the kind's id in files and words.
func (k MendKind) String() string {
	return [...]string{"keep", "give", "drop", "widen", "join", "recolour"}[k]
}

// Mend is what the user decided about one weak spot. It is found again by what
// kind it is and where: so it follows its layer when that is moved or resized,
// and lapses when no such spot is there any longer.
type Mend struct {
	// Layer is the layer that the spot belongs to (for a gap: one beside it),
	// and At the place in that layer's own units, before its transform.
	Layer LayerID
	At    geometry.Point
	Spot  SpotKind
	Do    MendKind
	// To is a colour of the job, for Give and Recolour; Chosen says that it
	// counts.
	To     colour.RGB
	Chosen bool
	// Whole means all of the piece that the spot is in, for Give, Drop and
	// Recolour.
	Whole bool
	// WidthMM is how broad Widen makes the spot; 0 stands for the narrowest
	// width. With Recolour all that lies as near to the spot's middle goes along.
	WidthMM float64
	// Round is 0 for a spot of the art as it is, and n for one that is there
	// once the mends of all rounds before n are made: giving one sliver away may
	// leave another.
	Round uint8
	// Reason says why a spot that is kept could not be mended; empty when it was
	// kept on purpose.
	Reason string
	// ByHand: someone chose it, spot by spot.
	ByHand bool `json:",omitempty"`
}

// MaxRounds is how many rounds of mends a job may have.
const MaxRounds = 32

// AddMend puts a mend into the item that its layer is in. One that is about the
// same spot, to the last bit, is replaced.
func AddMend(j Job, m Mend) (Job, error) {
	for _, it := range j.Items {
		if slices.ContainsFunc(it.Layers, func(l Layer) bool { return l.ID == m.Layer }) {
			return editItem(j, it.ID, func(it *Item) error {
				it.Mends = slices.DeleteFunc(slices.Clone(it.Mends), m.sameSpot)
				it.Mends = append(it.Mends, m)
				return nil
			})
		}
	}
	return j, refuseLayer(NoSuchLayer, m.Layer, "")
}

func (m Mend) sameSpot(o Mend) bool {
	return o.Layer == m.Layer && o.At == m.At && o.Spot == m.Spot && o.Round == m.Round
}

// RemoveMend takes a mend away, and with it those of later rounds, which may
// rest on it. A mend that is not there is no error.
func RemoveMend(j Job, m Mend) (Job, error) {
	found := false
	out := j
	out.Items = slices.Clone(j.Items)
	for i := range out.Items {
		it := &out.Items[i]
		if slices.ContainsFunc(it.Mends, m.sameSpot) {
			found = true
		}
	}
	if !found {
		return j, nil
	}
	for i := range out.Items {
		it := &out.Items[i]
		it.Mends = slices.DeleteFunc(slices.Clone(it.Mends), func(o Mend) bool {
			return o.Round > m.Round || m.sameSpot(o)
		})
		if len(it.Mends) == 0 {
			it.Mends = nil
		}
	}
	return out, nil
}

// ForgetMends takes just these mends away: those that could not be made, on
// which nothing rests.
func ForgetMends(j Job, mends []Mend) (Job, error) {
	j.Items = slices.Clone(j.Items)
	for i := range j.Items {
		it := &j.Items[i]
		it.Mends = slices.DeleteFunc(slices.Clone(it.Mends), func(m Mend) bool { return slices.Contains(mends, m) })
		if len(it.Mends) == 0 {
			it.Mends = nil
		}
	}
	return j, nil
}

// KeepHandMends takes all mends away that nobody chose spot by spot, as before
// everything is mended anew. Those that stay are about the art as it is.
func KeepHandMends(j Job) (Job, error) {
	j.Items = slices.Clone(j.Items)
	for i := range j.Items {
		var mends []Mend
		for _, m := range j.Items[i].Mends {
			if m.Round = 0; m.ByHand && !slices.ContainsFunc(mends, m.sameSpot) {
				mends = append(mends, m)
			}
		}
		j.Items[i].Mends = mends
	}
	return j, nil
}

// ClearMends takes all mends away.
func ClearMends(j Job) (Job, error) {
	j.Items = slices.Clone(j.Items)
	for i := range j.Items {
		j.Items[i].Mends = nil
	}
	return j, nil
}

// SetNarrowest sets the narrowest width that is no weak spot and the size under
// which a piece is a speck; 0 stands for the default.
func SetNarrowest(j Job, narrowestMM, speckMM float64) (Job, error) {
	ok := func(v float64) bool { return v >= 0 && v <= 50 }
	if !ok(narrowestMM) || !ok(speckMM) {
		return j, refuse(BadWidth)
	}
	j.Settings.NarrowestMM, j.Settings.SpeckMM = narrowestMM, speckMM
	return j, nil
}

// SetClearance sets the width of the gap that is left between neighbours; 0
// leaves none.
func SetClearance(j Job, mm float64) (Job, error) {
	if !(mm >= 0 && mm <= 5) {
		return j, refuse(BadWidth)
	}
	j.Settings.ClearanceMM = mm
	return j, nil
}
