package mend

import (
	"iter"
	"math"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/thing"
	"abut/internal/job"
)

// thinnest is how broad, in what it must be, something is at least that is left alone: what is less is a spot by more than
// rounding.
const thinnest = 0.98

// redrawing finds what can be done about alike things.
type redrawing struct {
	*attempt
	m      *mending
	things []thing.Thing // all of the layer
	back   geometry.Affine
	scale  float64
	det    float64        // of the layer's transform
	along  geometry.Point // to the right of the layer, on the board
	about  job.Mend
	w      float64 // how broad they must be
	speck  float64 // and how large
	least  float64 // how large the smallest is
	seen   float64 // and where it shows
	length float64 // of the longest spot
	specks bool
	points bool    // nothing else about them is thin
	reach  float64 // how much larger they may become, at most
}

// group goes through the alike things.
func (r *redrawing) group() iter.Seq[*thing.Thing] {
	return func(yield func(*thing.Thing) bool) {
		for i := range r.things {
			if r.things[i].Group == r.attempt.group && !yield(&r.things[i]) {
				return
			}
		}
	}
}

// first returns one of the alike things.
func (r *redrawing) first() *thing.Thing {
	for t := range r.group() {
		return t
	}
	return nil
}

// measure looks how large and how narrow they are.
func (r *redrawing) measure() {
	r.stroke, r.seen, r.least = math.Inf(1), math.Inf(1), math.Inf(1)
	area := 0.0
	r.text = r.first().Text
	for t := range r.group() {
		size := t.Bounds.Longer()
		r.size, r.least = math.Max(r.size, size), math.Min(r.least, size)
		r.stroke = math.Min(r.stroke, t.WidthMM)
		r.stem, area = r.stem+t.AreaMM2*t.WidthMM, area+t.AreaMM2
		if t.Text != r.text {
			r.text = ""
		}
	}
	r.stem /= area
	r.points = len(r.spots) > 0
	for _, s := range r.spots {
		r.points = r.points && s.Kind == weak.Point && !s.Whole
		r.length = math.Max(r.length, s.LengthMM)
		if s.Kind == weak.Speck {
			r.specks = true
		} else if s.Kind != weak.Point && s.WidthMM > 0 && r.holds(s.At) {
			r.seen = math.Min(r.seen, s.WidthMM)
		}
	}
}

func (r *redrawing) add(mends ...job.Mend) { r.options = append(r.options, mends) }

// broaden returns a mend that draws them broader.
func (r *redrawing) broaden(from, to float64, side job.Side) job.Mend {
	m := r.about
	m.Do, m.Drawn, m.WidthMM, m.Side = job.Broaden, from/r.scale, to, side
	if r.dashes || r.first().Kind == thing.Letter {
		m.LengthMM = r.speck
	}
	r.reach = math.Max(r.reach, 2*(to-from))
	return m
}

// enlarge returns a mend that draws them larger.
func (r *redrawing) enlarge(from, to float64) job.Mend {
	m := r.about
	m.Do, m.Drawn, m.WidthMM = job.Enlarge, from/r.scale, to
	size := r.size
	if r.first().Kind == thing.Letter { // about the middle of the word
		all := r.extent()
		size = all.Longer()
	}
	r.reach = math.Max(r.reach, (to/from-1)*size)
	return m
}

// letter adds an option about letters.
func (r *redrawing) letter(m manner, mends ...job.Mend) {
	r.manners = append(r.manners, m)
	r.add(mends...)
}

// extent is where they lie, all together.
func (r *redrawing) extent() geometry.Rect {
	all := geometry.EmptyRect()
	for t := range r.group() {
		all = all.Union(t.Bounds)
	}
	return all
}
