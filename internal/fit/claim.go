package fit

import (
	"abut/internal/colour"
	"abut/internal/job"
)

// rules decide who claims a place, from the list of layers that cover it. They
// know nothing of shapes. Not safe for concurrent use.
type rules struct {
	layers   []artLayer
	settings job.Settings
	assign   map[colour.RGB]job.Target
	sheets   map[job.SheetID]job.Sheet
	// separations are all sheet colours that claimed something so far.
	separations []material
	byColour    map[colour.RGB]int32
	bySheet     map[job.SheetID]int32
	mixing      bool // some layer is translucent
	noSheet     []colour.RGB

	// Scratch for one cover.
	below []int32
	mixed []colour.RGB
	seen  []int32 // per group: the last cover in which it claimed
	cover int32
}

// artLayer is what the rules need to know of a layer.
type artLayer struct {
	id         job.LayerID
	name       string
	colour     colour.RGB
	alpha      float64
	group      int32 // index into rules.seen, 0 for none
	use        job.Use
	knocks     bool
	separation int32 // of an opaque layer, once known
}

// material is what a separation is cut from: a sheet of the job, or with no
// sheet one of the art colour itself.
type material struct {
	sheet  job.SheetID
	colour colour.RGB
}

// Special values in place of a separation.
const (
	bare    int32 = -1 // nothing is cut: the blank shows
	unknown int32 = -2
)

// claimant is a layer that claims a place for a separation, or for bare.
type claimant struct {
	layer      int32
	separation int32
}

// newRules prepares the rules for the job's layers on the map, bottom first.
func newRules(j job.Job, placed []placedLayer) *rules {
	r := &rules{
		layers:   make([]artLayer, len(placed)),
		settings: j.Settings,
		assign:   j.Assign,
		sheets:   make(map[job.SheetID]job.Sheet, len(j.Sheets)),
		byColour: map[colour.RGB]int32{},
		bySheet:  map[job.SheetID]int32{},
		seen:     []int32{0},
	}
	for _, s := range j.Sheets {
		r.sheets[s.ID] = s
	}
	type groupKey struct {
		item  int
		group job.GroupID
	}
	groups := map[groupKey]int32{}
	for i, p := range placed {
		l := p.layer
		a := artLayer{id: l.ID, name: l.Name, colour: l.Colour, alpha: l.Opacity(), use: l.Use, knocks: l.Knocks, separation: unknown}
		if !(a.alpha > 0 && a.alpha < 1) {
			a.alpha = 1
		} else if a.use != job.Drawn {
			r.mixing = true
		}
		if l.Group != 0 {
			k := groupKey{p.item, l.Group}
			g, ok := groups[k]
			if !ok {
				g = int32(len(r.seen))
				r.seen = append(r.seen, 0)
				groups[k] = g
			}
			a.group = g
		}
		r.layers[i] = a
	}
	return r
}

// claimants appends to dst who claims a place with this cover (layers on the
// map, bottom first), the topmost first: the covers from the top down to and
// including the first that knocks out. Of an opacity group only the topmost
// claims. A layer that stays bare always knocks out, be it by its use or
// because its colour goes to no sheet: there is no dye that could lie bare on
// top of another. Drawn layers claim nothing.
func (r *rules) claimants(cover []int32, dst []claimant) []claimant {
	r.cover++
	if r.mixing {
		r.mix(cover)
	}
	for i := len(cover) - 1; i >= 0; i-- {
		l := &r.layers[cover[i]]
		if l.use == job.Drawn {
			continue
		}
		if l.group != 0 {
			if r.seen[l.group] == r.cover {
				continue
			}
			r.seen[l.group] = r.cover
		}
		s := bare
		switch {
		case l.use == job.Bare:
		case l.alpha < 1:
			s = r.separation(r.mixed[i])
		default:
			if l.separation == unknown {
				l.separation = r.separation(l.colour)
			}
			s = l.separation
		}
		dst = append(dst, claimant{cover[i], s})
		if l.knocks || s == bare {
			break
		}
	}
	return dst
}

// mix fills r.mixed with the colour that each layer of the cover has in this
// place: its own, or for a translucent one its mix over the nearest layer
// beneath that is not of its own opacity group, and so on down to the blank.
// What knocks out what makes no difference: the picture stays the same.
func (r *rules) mix(cover []int32) {
	if len(cover) > len(r.mixed) {
		r.mixed = make([]colour.RGB, 2*len(cover))
		r.below = make([]int32, 2*len(cover))
	}
	blank := r.settings.BlankColour()
	prev := int32(-1) // nearest layer beneath that paints at all
	for i, id := range cover {
		l := &r.layers[id]
		if l.use == job.Drawn {
			continue // a pen's lines are no ground to mix over
		}
		below := prev
		if below >= 0 && l.group != 0 && r.layers[cover[below]].group == l.group {
			below = r.below[below]
		}
		r.below[i] = below
		prev = int32(i)
		switch {
		case l.use == job.Bare:
			r.mixed[i] = blank
		case l.alpha == 1:
			r.mixed[i] = l.colour
		case below < 0:
			r.mixed[i] = l.colour.Over(blank, l.alpha)
		default:
			r.mixed[i] = l.colour.Over(r.mixed[below], l.alpha)
		}
	}
}

// separation returns the separation that a colour of the job is cut from, or
// bare. What the user assigned comes first, then the rule for bare colours;
// any other colour is cut from a sheet of its own.
func (r *rules) separation(c colour.RGB) int32 {
	if s, ok := r.byColour[c]; ok {
		return s
	}
	s := r.decide(c)
	r.byColour[c] = s
	return s
}

// named returns the separation of a colour as people see it, such as that of a
// sheet, whatever art is cut from it; without one, what a colour of the art is
// cut from.
func (r *rules) named(c colour.RGB) int32 {
	for i := range r.separations {
		if r.separations[i].colour == c {
			return int32(i)
		}
	}
	return r.separation(c)
}

func (r *rules) decide(c colour.RGB) int32 {
	if t, ok := r.assign[c]; ok {
		if t.Bare {
			return bare
		}
		if sheet, ok := r.sheets[t.Sheet]; ok {
			s, ok := r.bySheet[t.Sheet]
			if !ok {
				s = r.add(material{sheet.ID, sheet.Pressed})
				r.bySheet[t.Sheet] = s
			}
			return s
		}
		r.noSheet = append(r.noSheet, c)
	} else if r.settings.Bare.LeavesBare(c) {
		return bare
	}
	return r.add(material{colour: c})
}

func (r *rules) add(m material) int32 {
	r.separations = append(r.separations, m)
	return int32(len(r.separations) - 1)
}
