package job

import (
	"abut/geometry"
	"abut/internal/colour"
)

// SpotKind is what is weak about a place. The values are those of package
// geometry/weak.
type SpotKind uint8

const (
	// Neck is a narrow part between two sturdy ones.
	Neck SpotKind = iota
	// Tip is a narrow part that ends in one sharp corner.
	Tip
	// Sliver is any other narrow part, or a piece that is narrow everywhere.
	Sliver
	// Gap is a narrow place between two cut lines that nothing is cut for.
	Gap
	// Speck is a piece that is small in every direction.
	Speck
)

// String returns the kind's id in files and words.
func (k SpotKind) String() string {
	return [...]string{"neck", "point", "sliver", "gap", "speck"}[k]
}

// MendKind is what is done about a weak spot. Files hold its number.
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
	// Broaden draws a thing, and what is alike in its layer, evenly broader: a line,
	// letters, an outline.
	Broaden
	// Enlarge draws a thing, and what is alike in its layer, larger about its own
	// middle and in its own shape: a dot, a small window; a word about its own.
	Enlarge
	// Displace moves a thing, or with Edge one straight side of it, by Moved: away from what it
	// lies too near to, or with Whole across all of a thin place.
	Displace
)

// mendIDs are the kinds' ids, in files and words.
var mendIDs = [...]string{"keep", "give", "drop", "widen", "join", "recolour", "broaden", "enlarge", "displace"}

// String returns the kind's id in files and words.
func (k MendKind) String() string { return mendIDs[k] }

// Known reports whether it is one of the kinds.
func (k MendKind) Known() bool { return int(k) < len(mendIDs) }

// OfThing reports whether the mend changes a thing as it is drawn, before the
// pieces are made, and not a spot of them.
func (k MendKind) OfThing() bool { return k == Broaden || k == Enlarge || k == Displace }

// Side says to which side of its outline a thing with holes grows.
type Side uint8

const (
	// BothSides is outwards and into its holes alike.
	BothSides Side = iota
	// Outwards leaves the holes as they are.
	Outwards
	// Inwards leaves the outer edge as it is.
	Inwards
)

// Mend is what the user decided about one weak spot, or about a thing as it is
// drawn. It is found again by what kind it is and where: so it follows its layer
// when that is moved or resized, and lapses when no such spot or thing is there any
// longer.
type Mend struct {
	// Layer is the layer that the spot belongs to (for a gap: one beside it),
	// and At the place in that layer's own units, before its transform.
	Layer LayerID
	At    geometry.Point
	Spot  SpotKind
	Do    MendKind
	// To is a colour of the job, for Give and Recolour, and what Widen takes from
	// alone, with the other side left as it is; Chosen says that it
	// counts.
	To     colour.RGB
	Chosen bool
	// Whole: Widen makes all of the piece that the spot is in larger, in its own shape or with Smooth round at its ends. With
	// Displace it means that Moved goes across all of the spot, which is closed by it.
	Whole bool
	// WidthMM is how broad Widen makes the spot; 0 stands for the narrowest
	// width. With Recolour all that lies as near to the spot's middle goes along. Give and Drop
	// cut a point off straight where it is so broad; 0 is no further from its tip than it must be.
	// Of a thing it is what is to become of Drawn, on the board: a larger picture
	// needs less of it.
	WidthMM float64
	// Drawn is, for a thing, how broad or how large it is as drawn, in its layer's own
	// units. With Displace it is how broad the spot is.
	Drawn float64 `json:",omitempty"`
	// LengthMM is how large each dash is at least, in its larger direction, that Broaden makes
	// broader, on the board; 0 is twice as long as broad. Of letters it is so of their dots, and 0 leaves those.
	LengthMM float64 `json:",omitempty"`
	// Aside is how far Broaden moves dashes, in their layer's own units, to the left on screen of the way
	// that their lines go there, to the right where it is less than 0.
	Aside float64 `json:",omitempty"`
	// Side is to which side Broaden goes.
	Side Side `json:",omitempty"`
	// Moved is by how much Enlarge moves a thing besides, in its layer's own units, away
	// from what it would come too near to, and by how much Displace does at most.
	Moved geometry.Point `json:",omitzero"`
	// Edge: Displace moves the straight side of the thing on which At lies, between two corners,
	// and those beside it become longer or shorter.
	Edge bool `json:",omitempty"`
	// Together: Enlarge makes alike things that lie close to each other larger about their
	// common middle, and what lies between them with them.
	Together bool `json:",omitempty"`
	// Apart: of alike lines that Broaden makes broader, those end sooner that would come too near to
	// each other, such as the rays of a sun; letters move apart, and their dots away from them.
	Apart bool `json:",omitempty"`
	// Fine: Broaden makes only what is narrower than WidthMM as broad as that, such as the hairlines of
	// letters and not their stems.
	Fine bool `json:",omitempty"`
	// Around: the letters that Broaden makes broader are the outlines of others, and stay around those, though the picture has no
	// room for all of them. With Fine it makes what shows of a thing beside those that lie over it as broad as WidthMM where it is
	// narrower.
	Around bool `json:",omitempty"`
	// Smooth: what Widen adds to a piece runs into its sides in hollows, where it would stick out; the sides of a point run to its
	// tip in straight lines.
	Smooth bool `json:",omitempty"`
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

// NoneFound reports whether it says no more than that Mend all found nothing to do about a spot.
func (m *Mend) NoneFound() bool { return m.Do == Keep && m.Reason != "" }

// MaxRounds is how many rounds of mends a job may have: each costs a search for
// spots, and what a few have not settled none will.
const MaxRounds = 32
