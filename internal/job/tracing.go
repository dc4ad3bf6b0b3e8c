package job

import (
	"slices"

	"abut/geometry"
	"abut/internal/colour"
)

// Tracing says how a picture of pixels became the layers of an item. The zero value
// is what a picture becomes when nobody chose anything.
type Tracing struct {
	// Colours is how many there may be at most; 0 means as many as are found.
	Colours int `json:",omitempty"`
	// Detail is how small what is kept may be: 0 usual, each step above it keeps what
	// is four times smaller, each step below drops it.
	Detail int `json:",omitempty"`
	// BareGround leaves the ground bare, as that of a photographed drawing is where it is
	// white paper, unless KeepGround says not to. Bare are colours left bare; Joined count as others.
	BareGround bool         `json:",omitempty"`
	KeepGround bool         `json:",omitempty"`
	Bare       []colour.RGB `json:",omitempty"`
	Joined     []Joined     `json:",omitempty"`
	// Sheets are the only colours that there may be, those of one's own sheets; empty
	// means any. Each colour that is found is cut from the one that looks most like it.
	Sheets []colour.RGB `json:",omitempty"`
	// Beneath goes on with a colour under what lies all inside it, so that this can be
	// moved without leaving a hole.
	Beneath bool `json:",omitempty"`
	// Sheet cuts off what lies beyond the sheet of paper that a scan shows, and turns
	// it upright.
	Sheet bool `json:",omitempty"`
}

// Joined is a colour of a traced picture that counts as another of its colours.
type Joined struct{ From, To colour.RGB }

// Pixels is the picture of pixels that an item was traced from, kept so that it can
// be traced anew. It is read-only.
type Pixels struct {
	// File is the picture's file as it was opened.
	File    []byte
	Tracing Tracing
}

// MostDetail is how many steps of detail there are to either side of the usual.
const MostDetail = 2

// Drawing is what came of tracing a picture anew.
type Drawing struct {
	Layers   []Layer
	Canvas   geometry.Rect
	Warnings []Warning
	Tracing  Tracing
}

// Retrace puts another drawing of its picture of pixels in the place of an item's
// layers, as large as it was and about the same middle. What was decided about
// layers goes with them, but for how those of the same colour are used; mends go.
func Retrace(j Job, id ItemID, d Drawing) (Job, error) {
	i := slices.IndexFunc(j.Items, func(it Item) bool { return it.ID == id })
	if i < 0 || j.Items[i].Pixels == nil {
		return j, refuse("edit-no-pixels")
	}
	g := newGraft(j)
	it := &g.job.Items[i]
	was, knocks := map[colour.RGB]Layer{}, len(it.Layers) > 0 && allKnock(g.job.Items[i:i+1])
	for _, l := range it.Layers {
		was[l.Colour] = l
	}
	layers := slices.Clone(d.Layers)
	for k := range layers {
		l := &layers[k]
		l.ID, l.Knocks = g.id(), knocks
		if old, ok := was[l.Colour]; ok {
			l.Name, l.Use, l.Shown = old.Name, old.Use, old.Shown
		}
	}
	move := it.Canvas.Centre().Sub(d.Canvas.Centre())
	it.Placement = it.Placement.Mul(geometry.Translate(move.X, move.Y))
	it.Layers, it.Canvas, it.Warnings, it.Mends = layers, d.Canvas, d.Warnings, nil
	it.Pixels = &Pixels{File: it.Pixels.File, Tracing: d.Tracing}
	return g.job, nil
}
