package mend

import (
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/thing"
	"abut/internal/job"
)

// covered broadens them where what shows of them is narrower than they are.
func (r *redrawing) covered() {
	seen, w := r.seen, r.w
	if mean := r.rimmed(); mean > w/4 && mean < w { // evenly, all of it would be as heavy as its thinnest place needs
		rim := r.broaden(mean, w, job.BothSides)
		rim.Fine, rim.Around, r.rim = true, true, true
		r.add(rim)
	}
	if seen <= w/4 && r.behindLetters() { // beside a serif that has grown there may be hardly anything left
		seen = r.meanSeen()
	}
	if seen < w && seen > w/4 && (r.stroke > 0.9*w || r.first().Outlines(seen)) {
		r.add(r.broaden(seen, w, job.BothSides))
		r.add(r.broaden(seen, 2*w-seen, job.BothSides))
		r.add(r.broaden(seen, 2*w-seen+(w-seen)/2, job.BothSides)) // it may be narrower yet between two corners
	}
}

// meanSeen returns how broad what is too thin of them is on average, in mm.
func (r *redrawing) meanSeen() float64 {
	area, length := 0.0, 0.0
	for _, p := range r.spots {
		if p.Kind != weak.Speck && p.Kind != weak.Point && r.holds(p.At) {
			area, length = area+p.AreaMM2, length+p.LengthMM
		}
	}
	return area / math.Max(length, r.w)
}

// behindLetters reports whether letters that were drawn broader where they were thin lie in front of them, as on what a name
// stands out by: that becomes broader with them, evenly.
func (r *redrawing) behindLetters() bool {
	layer, all := r.m.indexOf(r.layer), r.extent()
	for i := layer + 1; i < len(r.m.placed); i++ {
		if all.Intersect(r.m.Bounds[i]).Empty() {
			continue
		}
		if slices.ContainsFunc(r.m.placed[i].Mended, func(x thing.Made) bool { return x.Fine && !x.Around }) {
			return true
		}
	}
	return false
}

const (
	// rimmedShare is how much of the outline of something shows as a thin rim at least for that to be what someone drew as its
	// outline, and rimWidths how many narrowest widths of one that is longer than a shade or a strand: those of strands of hair
	// were 7 to 10, those of faces and hair 20 to 300 (by eye, on open emoji and drawn heads of 60 mm).
	rimmedShare = 0.4
	rimWidths   = 15
	// rimBends is how many times as long as from end to end its parts are: straight strips are beside something.
	rimBends = 1.1
)

// rimmed returns how broad what shows of them is on average where it is too thin, in mm, if that is a rim around what lies over
// them; 0 where it is not.
func (r *redrawing) rimmed() float64 {
	area, thin, all := 0.0, 0.0, 0.0
	for _, s := range r.spots {
		b := s.Bounds
		if s.Kind != weak.Speck && r.holds(s.At) && s.LengthMM > rimBends*math.Hypot(b.Width(), b.Height()) {
			area, thin = area+s.AreaMM2, thin+s.LengthMM
		}
	}
	for t := range r.group() {
		for _, c := range t.Outline {
			for a, b := range c.Sides() {
				all += b.Sub(a).Len()
			}
		}
	}
	if r.stroke < 2*r.w || thin < math.Min(rimmedShare*all, rimWidths*r.w) || r.hidden() < outlineShare {
		return 0
	}
	return area / math.Max(thin, r.w)
}

const (
	// hiddenShare is how much of letters lies beneath something at least for them to be the outlines of others, or their shadow.
	hiddenShare = 0.3
	// outlineShare is how much of letters does, or of anything, that is drawn all around others; of a shadow it is less: of names in
	// six faces 0.50 to 0.72 did, and of their shadows 0.30 to 0.43.
	outlineShare = 0.5
	// hiddenMM is by how much more than they show those become broad: in bends chords take from that.
	hiddenMM = 0.03
)

// around broadens letters that lie around others, which hide the inner half of them, or beneath others as their shadow: evenly, or
// outlines only where they are thin, where they have room for no more.
func (r *redrawing) around(hidden float64) {
	seen := r.seen
	var whole []float64
	for _, s := range r.spots {
		if s.Whole && s.Kind == weak.Sliver && r.holds(s.At) { // it is broader in its corners
			whole = append(whole, s.AreaMM2/s.LengthMM)
		}
	}
	if slices.Sort(whole); len(whole) > 0 { // what tapers off is thinner
		seen = math.Min(seen, whole[len(whole)/2])
	}
	if seen < thinnest*r.w && seen > r.w/4 {
		m := r.broaden(seen, 2*(r.w+hiddenMM)-seen, job.BothSides)
		m.LengthMM, m.Around = 0, true
		r.letter(bolder, m)
		if m.WidthMM, m.Fine = r.w, true; hidden > outlineShare {
			r.letter(rims, m)
		}
	}
}

// hidden returns how much of letters lies beneath something.
func (r *redrawing) hidden() float64 {
	layer := int32(r.m.indexOf(r.layer))
	all, beneath := 0, 0
	for t := range r.group() {
		for _, at := range t.Outline.Samples(geometry.EvenOdd, sampleLines) {
			if all++; r.m.topAt(at) > layer {
				beneath++
			}
		}
	}
	return float64(beneath) / math.Max(1, float64(all))
}
