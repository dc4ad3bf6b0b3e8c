package mend

import (
	"math"

	"abut/geometry"
	"abut/internal/fit/thing"
	"abut/internal/job"
)

const (
	// smallTimes is how many narrowest widths a dot is large at most: what is larger
	// has room for being thin only in parts.
	smallTimes = 5
	// boldShare is how broad the strokes of a letter may become for its height: those of
	// the boldest types are about a quarter of it (common practice).
	boldShare = 0.27
	// openShare is how wide the space between two letters or dots stays at least, in
	// narrowest widths: open to the eye, if not for a blade.
	openShare = 0.2
	// mostEnlarged is how many times as large a dot may become: more is another
	// drawing.
	mostEnlarged = 4
	// uneven is how broad, in what it is on average, a line is at most at its narrowest that nobody drew with a pen of one
	// width, such as handwriting: only what is too narrow of it becomes broader.
	uneven = 0.7
	// longTimes is how many a thin part is long at least that is an outline, and no
	// neck.
	longTimes = 4
)

// largerTimes is how much larger than they need be letters are that are tried, one after the other: a third more is seen, and
// still the same design (by eye, on names of 10 mm).
var largerTimes = [...]float64{1, 1.15, 1.35}

// options lists what can be done about alike things, what changes least of the look
// first.
func (d *drawer) options(a *attempt, things []thing.Thing, transform geometry.Affine, m *mending) {
	scale := math.Sqrt(math.Abs(transform.Det()))
	back, ok := transform.Invert()
	if !ok || scale == 0 {
		return
	}
	r := &redrawing{
		attempt: a, m: m, things: things, back: back, scale: scale, det: transform.Det(),
		about: job.Mend{Layer: a.layer, At: back.Apply(a.at)},
		along: transform.ApplyVector(geometry.Pt(1, 0)),
		w:     d.settings.Narrowest() + widenMM,
		speck: d.settings.Speck() + widenMM,
	}
	if len(a.spots) > 0 {
		r.about.Spot = job.SpotKind(a.spots[0].Kind)
	}
	r.measure()
	kind := r.first().Kind
	a.moves = kind == thing.Dash || kind == thing.Letter
	a.dashes = kind == thing.Dash
	a.dots = kind == thing.Dot && r.size < smallTimes*r.w
	a.small = !a.moves && r.specks && r.size < r.speck
	a.pen = a.moves || r.first().Stroke
	if a.pen || !r.points { // all of it broader, for its points, would be another drawing of it
		r.suggest(kind, d.figures)
	}
	for t := range r.group() {
		a.areas = append(a.areas, t.Bounds.Grow(r.reach/2+r.w/2))
	}
}

// suggest lists what can be done, by what they are; figures says that this may be neither line nor letter nor dot.
func (r *redrawing) suggest(kind thing.Kind, figures bool) {
	switch {
	case r.first().Outlines(r.seen):
		r.covered()
		r.line()
	case kind == thing.Line || r.dashes:
		r.line()
		r.covered()
	case kind == thing.Letter:
		if hidden := r.hidden(); hidden > hiddenShare {
			r.around(hidden)
		} else {
			r.lettering()
		}
	case r.dots:
		r.dot()
		r.covered()
	case !figures:
	case r.size < smallTimes*r.w:
		r.figure()
		r.covered()
	case r.length > longTimes*r.w:
		r.covered()
	}
}

// line broadens lines, the outline of a shape on one of its sides too.
func (r *redrawing) line() {
	w, v := r.w, math.Min(r.stroke, math.Max(r.seen, r.stroke/2))
	if v >= thinnest*w {
		return
	}
	if r.dashes {
		r.aside(v)
	}
	if !r.dashes && len(thing.Spread(r.things, r.attempt.group, w)) > 0 {
		sooner := r.broaden(v, w, job.BothSides)
		sooner.Apart, r.sooner = true, true
		r.add(sooner)
	}
	if !r.first().Stroke && !r.dashes && r.seen < uneven*r.stroke {
		fine := r.broaden(v, w, job.BothSides)
		fine.Fine, r.written = true, true
		r.add(fine)
	}
	r.add(r.broaden(v, w, job.BothSides))
	if r.first().Holed && !r.written {
		r.add(r.broaden(v, w, job.Outwards))
		r.add(r.broaden(v, w, job.Inwards))
	}
	r.add(r.broaden(v, w+(w-v)/4, job.BothSides))
}

// aside broadens dashes that lie further from what they would come too near to.
func (r *redrawing) aside(from float64) {
	by, ok := r.m.sidestep(r.things, r.attempt.group, r.w)
	if !ok {
		return
	}
	moved := r.broaden(from, r.w, job.BothSides)
	moved.Aside = by / math.Copysign(r.scale, r.det)
	r.reach = math.Max(r.reach, 2*(r.w-from+math.Abs(by)))
	r.add(moved)
}

// word returns the indexes of a word's letters, and how all things are drawn by now, with dots that are large enough;
// dot is how large the smallest of them was, or that.
func (r *redrawing) word() (members []int, outlines []geometry.Path, dot float64) {
	outlines, dot = make([]geometry.Path, len(r.things)), r.speck
	for i := range r.things {
		if outlines[i] = r.things[i].Outline; r.things[i].Group == r.attempt.group {
			members = append(members, i)
		}
	}
	for _, i := range thing.Dots(outlines, members, r.speck) {
		b := outlines[i].Bounds()
		dot = math.Min(dot, b.Longer())
		outlines[i] = thing.Dotted(outlines[i], r.speck)
	}
	return members, outlines, dot
}

// lettering makes the hairlines of letters heavier, all of them, or the word larger, or both, and their dots larger.
func (r *redrawing) lettering() {
	w, v := r.w, math.Min(r.stroke, r.seen)
	_, _, dot := r.word()
	r.reach = math.Max(r.reach, r.speck-dot)
	if v >= thinnest*w { // only their dots may be too small, and what lies between them too narrow
		if dot < r.speck { // a mend is for what is narrower than it must be: by as much as the dot is smaller
			r.hairlines(thinnest * w * dot / r.speck)
		}
		if m, ok := r.spaced(w); ok {
			r.letter(spaced, m)
		}
		return
	}
	r.hairlines(v)
	if m, ok := r.spaced(v); ok {
		r.letter(spaced, m)
	}
	least := r.roomy(v)
	if least < 1.02 {
		r.letter(bolder, r.broaden(v, w, job.BothSides))
	}
	if !r.fits(least) { // they move apart as well
		least = 1
	}
	for n, more := range largerTimes {
		if k := more * least; v*k < w && k > 1 && r.fits(k) {
			spaced := r.broaden(v*k, w, job.BothSides)
			spaced.Fine, spaced.Apart = true, true
			r.letter(larger+manner(n), r.enlarge(v, v*k), spaced)
		}
	}
	if r.fits(w / v) {
		r.letter(onlyLarger, r.enlarge(v, w))
	}
}

// hairlines adds the option that makes those of letters as broad as they must be, which are so broad, and leaves their stems.
func (r *redrawing) hairlines(from float64) {
	m := r.broaden(from, r.w, job.BothSides)
	m.Fine = true
	r.letter(hairlines, m)
}

// roomy returns how much larger letters have to be for them, as broad as they must be, to be letters still and not to touch;
// stroke is how broad they are.
func (r *redrawing) roomy(stroke float64) float64 {
	least := 1.0
	if !r.bars() {
		least = math.Max(1, r.w/(boldShare*r.size))
	}
	if gap := thing.Gap(r.things, r.attempt.group); gap > r.w/20 && gap < r.w {
		least = math.Max(least, (1+openShare)*r.w/(gap+stroke))
	}
	return least
}

// spaced returns a mend that makes the hairlines of letters as broad as they must be, and moves the letters apart by what they
// then are too near to each other; false where there is nothing to move, or no room on the page.
func (r *redrawing) spaced(from float64) (job.Mend, bool) {
	members, outlines, dot := r.word()
	grown := math.Max(0, r.w-from)
	moves := thing.Spacing(r.things, members, outlines, r.along, r.w+grown)
	if moves == nil {
		return job.Mend{}, false
	}
	all, far := geometry.EmptyRect(), 0.0
	for n, to := range moves {
		was := r.things[members[n]].Bounds
		is := to.MapRect(was)
		all, far = all.Union(is), math.Max(far, math.Max(is.Min.Sub(was.Min).Len(), is.Max.Sub(was.Max).Len()))
	}
	gap := math.Max(thing.Gap(r.things, r.attempt.group), thing.Joined*r.w) // what touches stays so: it is about others
	m := r.broaden(math.Min(math.Min(from, thinnest*r.w*dot/r.speck), gap), r.w, job.BothSides)
	m.Fine, m.Apart = true, true
	r.reach = math.Max(r.reach, 2*far+grown)
	all = all.Grow(grown / 2)
	page := r.room()
	squeezed := page.Width() >= thing.LeastSqueezed*all.Width() && page.Height() >= thing.LeastSqueezed*all.Height()
	return m, page.Encloses(all) || squeezed
}

// barShare is how much of its box fills what is a bar, such as a hyphen.
const barShare = 0.9

// bars reports whether the letters are bars: those stay what they are however bold.
func (r *redrawing) bars() bool {
	for t := range r.group() {
		if t.AreaMM2 < barShare*t.Bounds.Width()*t.Bounds.Height() {
			return false
		}
	}
	return true
}

// fits reports whether the word is still on the picture when it is k times as large.
func (r *redrawing) fits(k float64) bool {
	all := r.extent()
	by := geometry.Pt(all.Width(), all.Height()).Mul((k - 1) / 2)
	return r.room().Encloses(geometry.Rect{Min: all.Min.Sub(by), Max: all.Max.Add(by)})
}

// room is where the word may lie.
func (r *redrawing) room() geometry.Rect { return thing.Room(r.extent(), r.m.page, r.w) }

// dot makes dots larger, by themselves, with what lies between them, or away from what is
// beside them.
func (r *redrawing) dot() {
	size, to := r.size, r.size
	if r.specks {
		to = math.Max(size, r.speck*size/r.least) // the smallest is large enough
	}
	if r.seen < r.w {
		to = math.Max(to, size*r.w/r.seen)
	}
	if to <= size || to >= mostEnlarged*size {
		return
	}
	r.together(to)
	if by, ok := r.m.away(r.things, r.attempt.group, (to-size)/2, r.w); ok {
		moved := r.enlarge(size, to)
		moved.Moved = r.back.Apply(by).Sub(r.back.Apply(geometry.Point{}))
		r.reach = math.Max(r.reach, to-size+2*by.Len())
		r.add(moved)
	}
	if r.apart(to) {
		r.add(r.enlarge(size, to))
		if r.specks {
			r.add(r.broaden(size, to, job.BothSides))
		}
	}
	if less := size * r.w / r.seen; r.seen < r.w && to > less && r.apart(less) {
		r.add(r.enlarge(size, less))
	}
}

// together makes a pattern of dots larger as a whole, where what lies between them would be
// thin.
func (r *redrawing) together(to float64) {
	gap := thing.Gap(r.things, r.attempt.group)
	if gap-(to-r.size) >= r.w {
		return
	}
	if all := pattern(r.things, r.attempt.group); all > r.size && all < patternTimes*r.size {
		m := r.enlarge(r.size, math.Max(to, r.size*math.Min(r.w/gap, mostTogether)))
		m.Together = true
		r.reach = math.Max(r.reach, (m.WidthMM/r.size-1)*all)
		r.add(m)
	}
}

// apart reports whether dots that were apart stay so when they become larger.
func (r *redrawing) apart(to float64) bool {
	gap := thing.Gap(r.things, r.attempt.group)
	return gap < r.w/20 || gap-(to-r.size) >= openShare*r.w
}

// figure makes what is neither line nor letter nor dot larger, or broader.
func (r *redrawing) figure() {
	if r.specks {
		r.add(r.enlarge(r.size, r.speck))
	}
	if r.seen < r.w && r.seen > r.w/4 {
		r.add(r.broaden(r.seen, r.w, job.BothSides))
	}
}
