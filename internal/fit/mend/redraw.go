package mend

import (
	"math"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/thing"
	"abut/internal/job"
)

// options lists what can be done about alike things, what changes least of the look
// first.
func (d *drawer) options(a *attempt, things []thing.Thing, transform geometry.Affine, m *mending) {
	page := m.page
	w := d.settings.Narrowest() + widenMM
	speck := d.settings.Speck() + widenMM
	scale := math.Sqrt(math.Abs(transform.Det()))
	back, ok := transform.Invert()
	if !ok || scale == 0 {
		return
	}
	var t *thing.Thing
	narrow, size, length := math.Inf(1), 0.0, 0.0
	for i := range things {
		if things[i].Group != a.group {
			continue
		}
		if t == nil {
			t = &things[i]
		}
		size = math.Max(size, math.Max(things[i].Bounds.Width(), things[i].Bounds.Height()))
		narrow = math.Min(narrow, things[i].WidthMM)
	}
	seen := math.Inf(1) // how narrow it is where it shows
	specks := false
	for _, s := range a.spots {
		length = math.Max(length, s.LengthMM)
		if s.Kind == weak.Speck {
			specks = true
		} else if s.Kind != weak.Point && s.WidthMM > 0 && a.holds(s.At) {
			seen = math.Min(seen, s.WidthMM)
		}
	}
	about := job.Mend{Layer: a.layer, At: back.Apply(a.at), Spot: job.SpotKind(a.spots[0].Kind)}
	reach := 0.0
	add := func(mends ...job.Mend) {
		a.options = append(a.options, mends)
	}
	broaden := func(from, to float64, side job.Side) job.Mend {
		m := about
		m.Do, m.Drawn, m.WidthMM, m.Side = job.Broaden, from/scale, to, side
		reach = math.Max(reach, 2*(to-from))
		return m
	}
	enlarge := func(from, to float64) job.Mend {
		m := about
		m.Do, m.Drawn, m.WidthMM = job.Enlarge, from/scale, to
		reach = math.Max(reach, (to/from-1)*size)
		return m
	}
	// covered: what shows of it is narrower than it is.
	covered := func() {
		if seen < w && seen > w/4 && narrow > 0.9*w {
			add(broaden(seen, w, job.BothSides))
			add(broaden(seen, 2*w-seen, job.BothSides))
			add(broaden(seen, 2*w-seen+(w-seen)/2, job.BothSides)) // it may be narrower yet between two corners
		}
	}
	a.moves = t.Kind == thing.Dash || t.Kind == thing.Letter
	a.dashes = t.Kind == thing.Dash
	a.dots = t.Kind == thing.Dot && size < smallTimes*w
	a.pen = a.moves || t.Stroke
	a.size = size
	switch {
	case t.Kind == thing.Line || t.Kind == thing.Dash:
		v := math.Min(narrow, math.Max(seen, narrow/2))
		if v < 0.98*w {
			add(broaden(v, w, job.BothSides))
			if t.Holed {
				add(broaden(v, w, job.Outwards))
				add(broaden(v, w, job.Inwards))
			}
			add(broaden(v, w+(w-v)/4, job.BothSides))
		}
		covered()
	case t.Kind == thing.Letter:
		v := math.Min(narrow, seen)
		if v >= 0.98*w {
			break
		}
		// So much larger that the letters, as broad as they must be, are letters still
		// and do not touch.
		k := math.Max(1, w/(boldShare*size))
		if gap := thing.Gap(things, a.group); gap > w/20 && gap < w {
			k = math.Max(k, (1+openShare)*w/(gap+v))
		}
		if k < 1.02 {
			add(broaden(v, w, job.BothSides))
		}
		fits := func(k float64) bool {
			all := geometry.EmptyRect()
			for i := range things {
				if things[i].Group == a.group {
					all = all.Union(things[i].Bounds)
				}
			}
			by := (k - 1) / 2
			return page.Encloses(geometry.Rect{
				Min: all.Min.Sub(geometry.Pt(all.Width(), all.Height()).Mul(by)), Max: all.Max.Add(geometry.Pt(all.Width(), all.Height()).Mul(by)),
			})
		}
		for _, k := range [...]float64{k, 1.15 * k} {
			if v*k < w && k > 1 && fits(k) {
				add(enlarge(v, v*k), broaden(v*k, w, job.BothSides))
			}
		}
		if fits(w / v) {
			add(enlarge(v, w))
		}
	case t.Kind == thing.Dot && size < smallTimes*w:
		to := size
		if specks {
			to = speck
		}
		if seen < w {
			to = math.Max(to, size*w/seen)
		}
		// Dots that were apart stay so.
		apart := func(to float64) bool {
			gap := thing.Gap(things, a.group)
			return gap < w/20 || gap-(to-size) >= openShare*w
		}
		if to > size && to < mostEnlarged*size {
			// What lies between them would be thin.
			if gap := thing.Gap(things, a.group); gap-(to-size) < w {
				if all := pattern(things, a.group); all > size && all < patternTimes*size {
					together := enlarge(size, math.Max(to, size*math.Min(w/gap, mostTogether)))
					together.Together = true
					reach = math.Max(reach, (together.WidthMM/size-1)*all)
					add(together)
				}
			}
			if by, ok := m.away(things, a.group, (to-size)/2, w); ok {
				moved := enlarge(size, to)
				moved.Moved = back.Apply(by).Sub(back.Apply(geometry.Point{}))
				reach = math.Max(reach, to-size+2*by.Len())
				add(moved)
			}
			if apart(to) {
				add(enlarge(size, to))
				if specks {
					add(broaden(size, to, job.BothSides))
				}
			}
			if less := size * w / seen; seen < w && to > less && apart(less) {
				add(enlarge(size, less))
			}
		}
		covered()
	case !d.figures:
	case size < smallTimes*w:
		if specks {
			add(enlarge(size, speck))
		}
		if seen < w && seen > w/4 {
			add(broaden(seen, w, job.BothSides))
			add(enlarge(seen, w))
		}
		covered()
	case length > longTimes*w:
		covered()
	}
	for i := range things {
		if things[i].Group == a.group {
			a.areas = append(a.areas, things[i].Bounds.Grow(reach/2+w/2))
		}
	}
}
