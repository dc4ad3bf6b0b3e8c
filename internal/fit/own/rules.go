package own

import (
	"abut/internal/colour"
	"abut/internal/job"
)

// Rules decide who claims a place, from the list of layers that cover it. They
// know nothing of shapes and do not change.
type Rules struct {
	// Layers are what the rules need to know of the layers on the map, bottom
	// first.
	Layers []Layer
	blank  colour.RGB
	bare   job.BareRule
	assign map[colour.RGB]job.Target
	sheets map[job.SheetID]job.Sheet
	groups int
	mixing bool // some layer is translucent
}

// Layer is what the rules need to know of a layer.
type Layer struct {
	ID     job.LayerID
	Name   string
	Colour colour.RGB
	// Alpha is 1 for an opaque layer.
	Alpha  float64
	group  int // 0 for none
	Use    job.Use
	knocks bool
}

// NewRules returns the rules for the job's layers on the map.
func NewRules(j job.Job, placed []Placed) *Rules {
	r := &Rules{
		Layers: make([]Layer, len(placed)),
		blank:  j.Settings.BlankColour(),
		bare:   j.Settings.Bare,
		assign: j.Assign,
		sheets: make(map[job.SheetID]job.Sheet, len(j.Sheets)),
	}
	for _, s := range j.Sheets {
		r.sheets[s.ID] = s
	}
	type groupKey struct {
		item  int
		group job.GroupID
	}
	groups := map[groupKey]int{}
	for i, p := range placed {
		l := p.Layer
		a := Layer{ID: l.ID, Name: l.Name, Colour: l.Colour, Alpha: l.Opacity(), Use: l.Use, knocks: l.Knocks}
		if !(a.Alpha > 0 && a.Alpha < 1) {
			a.Alpha = 1
		} else if a.Use != job.Drawn {
			r.mixing = true
		}
		if l.Group != 0 {
			k := groupKey{p.Item, l.Group}
			if groups[k] == 0 {
				groups[k] = len(groups) + 1
			}
			a.group = groups[k]
		}
		r.Layers[i] = a
	}
	r.groups = len(groups)
	return r
}

// Sheet returns the sheet of the job that a material is; false for a sheet of
// its own.
func (r *Rules) Sheet(m Material) (job.Sheet, bool) {
	s, ok := r.sheets[m.Sheet]
	return s, ok && m.Sheet != 0
}

// Material returns what a colour of the job is cut from, or Bare; missing says
// that it was assigned to a sheet that is not there. What the user assigned comes
// first, then the rule for bare colours; any other colour is cut from a sheet of
// its own.
func (r *Rules) Material(c colour.RGB) (m Material, missing bool) {
	t, assigned := r.assign[c]
	s, there := r.sheets[t.Sheet]
	switch {
	case assigned && t.Bare, !assigned && r.bare.LeavesBare(c):
		return Bare, false
	case assigned && there:
		return SheetOf(s), false
	}
	return OwnSheet(c), assigned
}

// IsBare reports whether nothing is cut for an opaque layer.
func (r *Rules) IsBare(layer int) bool {
	l := &r.Layers[layer]
	m, _ := r.Material(l.Colour)
	return l.Use == job.Bare || m == Bare
}

// Claimant is a layer that claims a place for a material, or for Bare.
type Claimant struct {
	Layer    int32
	Material Material
}

// claimer applies the rules to one cover after the other. It remembers what it
// worked out; not safe for concurrent use.
type claimer struct {
	*Rules
	materials map[colour.RGB]Material
	noSheet   []colour.RGB // assigned to sheets that are not there, as met

	// Scratch for one cover.
	below []int32
	mixed []colour.RGB
	seen  []int // per group: the last cover in which it claimed
	cover int
}

func newClaimer(r *Rules) *claimer {
	return &claimer{Rules: r, materials: map[colour.RGB]Material{}, seen: make([]int, r.groups+1)}
}

// material is Material with a memory.
func (r *claimer) material(c colour.RGB) Material {
	m, known := r.materials[c]
	if !known {
		var missing bool
		if m, missing = r.Material(c); missing {
			r.noSheet = append(r.noSheet, c)
		}
		r.materials[c] = m
	}
	return m
}

// claimants appends to dst who claims a place with this cover (layers on the
// map, bottom first), the topmost first: the covers from the top down to and
// including the first that knocks out. Of an opacity group only the topmost
// claims. A layer that stays bare always knocks out, be it by its use or
// because its colour goes to no sheet: there is no dye that could lie bare on
// top of another. Drawn layers claim nothing.
func (r *claimer) claimants(cover []int32, dst []Claimant) []Claimant {
	r.cover++
	if r.mixing {
		r.mix(cover)
	}
	for i := len(cover) - 1; i >= 0; i-- {
		l := &r.Layers[cover[i]]
		if l.Use == job.Drawn {
			continue
		}
		if l.group != 0 {
			if r.seen[l.group] == r.cover {
				continue
			}
			r.seen[l.group] = r.cover
		}
		m := Bare
		if l.Use != job.Bare {
			m = r.materialAt(cover, i)
		}
		dst = append(dst, Claimant{cover[i], m})
		if l.knocks || m == Bare {
			break
		}
	}
	return dst
}

// materialAt returns what the i-th layer of the cover that was mixed last is cut
// from there.
func (r *claimer) materialAt(cover []int32, i int) Material {
	if l := &r.Layers[cover[i]]; l.Alpha == 1 {
		return r.material(l.Colour)
	}
	return r.material(r.mixed[i])
}

// mix fills r.mixed with the colour that each layer of the cover has in this
// place: its own, or for a translucent one its mix over the nearest layer
// beneath that is not of its own opacity group, and so on down to the blank.
// What knocks out what makes no difference: the picture stays the same.
func (r *claimer) mix(cover []int32) {
	if len(cover) > len(r.mixed) {
		r.mixed = make([]colour.RGB, 2*len(cover))
		r.below = make([]int32, 2*len(cover))
	}
	prev := int32(-1) // nearest layer beneath that paints at all
	for i, id := range cover {
		l := &r.Layers[id]
		if l.Use == job.Drawn {
			continue // a pen's lines are no ground to mix over
		}
		below := prev
		if below >= 0 && l.group != 0 && r.Layers[cover[below]].group == l.group {
			below = r.below[below]
		}
		r.below[i] = below
		prev = int32(i)
		switch {
		case l.Use == job.Bare:
			r.mixed[i] = r.blank
		case l.Alpha == 1:
			r.mixed[i] = l.Colour
		case below < 0:
			r.mixed[i] = l.Colour.Over(r.blank, l.Alpha)
		default:
			r.mixed[i] = l.Colour.Over(r.mixed[below], l.Alpha)
		}
	}
}
