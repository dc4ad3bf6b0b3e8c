package job

import (
	"iter"
	"slices"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/message"
)

// Warning is something that the user should know about: what was flattened,
// guessed or left out, and where. Its id has two sentences in words: the
// warning itself and, under ID + ".remedy", what can be done about it.
type Warning struct {
	message.Message
	// Line and Element say where in the source file, when known.
	Line    int
	Element string
	// At is the place on the board, when there is one.
	At *geometry.Point
	// Layers are those that it is about, when something can be chosen for them.
	Layers []LayerID `json:",omitempty"`
}

// Item is one picture with its size and place.
type Item struct {
	ID   ItemID
	Name string
	// Source says where the art came from: a file name, or the name of a demo
	// picture.
	Source string
	// Canvas is the art's own page (SVG: the root viewBox) in source units.
	Canvas geometry.Rect
	// PhysicalMM is the size that the file states for its canvas, zero when it
	// states none.
	PhysicalMM geometry.Point
	Layers     []Layer
	// Placement maps source units (SVG: root user units) to board millimetres.
	Placement geometry.Affine
	Copies    int
	// Mends are what is done about weak spots.
	Mends []Mend `json:",omitempty"`
	// Warnings are what the import flattened, guessed or left out.
	Warnings []Warning
	// Pixels is what it was traced from, nil for a drawing.
	Pixels *Pixels `json:",omitempty"`
}

// Job is the document. Treat it, and everything reached from it, as read-only:
// jobs share layers, maps and paths with the jobs they were made from.
type Job struct {
	Settings Settings
	// Sheets are the materials that colours are assigned to. A colour without
	// an entry in Assign is cut from a sheet of its own colour.
	Sheets []Sheet
	Assign map[colour.RGB]Target
	// Items are the pictures of the job, bottom first.
	Items []Item
	// LastLayer and LastItem are the highest ids that edits have given or taken
	// away: what is deleted never lends its id to something new.
	LastLayer LayerID
	LastItem  ItemID
}

// Layer returns the layer with this id and the item that holds it.
func (j Job) Layer(id LayerID) (Layer, Item, bool) {
	if i, k := j.find(id); i >= 0 {
		return j.Items[i].Layers[k], j.Items[i], true
	}
	return Layer{}, Item{}, false
}

// find returns the index of the item that holds a layer and that of the layer
// within it, −1 for one that is not there.
func (j Job) find(id LayerID) (item, layer int) {
	for i := range j.Items {
		for k := range j.Items[i].Layers {
			if j.Items[i].Layers[k].ID == id {
				return i, k
			}
		}
	}
	return -1, -1
}

// each yields all layers with the items that hold them, bottom first.
func (j Job) each() iter.Seq2[*Item, *Layer] {
	return func(yield func(*Item, *Layer) bool) {
		for i := range j.Items {
			for k := range j.Items[i].Layers {
				if !yield(&j.Items[i], &j.Items[i].Layers[k]) {
					return
				}
			}
		}
	}
}

// Named yields the layers with these ids, bottom first, in one pass through the job: a selection
// may be all of very many layers.
func (j Job) Named(ids []LayerID) iter.Seq[*Layer] {
	return func(yield func(*Layer) bool) {
		set := make(map[LayerID]bool, len(ids))
		for _, id := range ids {
			set[id] = true
		}
		if len(set) == 0 {
			return
		}
		for _, l := range j.each() {
			if set[l.ID] && !yield(l) {
				return
			}
		}
	}
}

// LayerIDs returns the ids of all layers, bottom first.
func (j Job) LayerIDs() []LayerID {
	var ids []LayerID
	for _, l := range j.each() {
		ids = append(ids, l.ID)
	}
	return ids
}

// Colours returns the colours of the layers, those of the top ones first, each
// once.
func (j Job) Colours() []colour.RGB {
	seen := map[colour.RGB]bool{}
	var out []colour.RGB
	for _, l := range j.each() {
		out = append(out, l.Colour)
	}
	slices.Reverse(out)
	return slices.DeleteFunc(out, func(c colour.RGB) bool {
		was := seen[c]
		seen[c] = true
		return was
	})
}

// Sheet returns the sheet with this id.
func (j Job) Sheet(id SheetID) (Sheet, bool) {
	for _, s := range j.Sheets {
		if s.ID == id {
			return s, true
		}
	}
	return Sheet{}, false
}
