package mend

import (
	"math"
	"slices"

	"abut/geometry"
	"abut/internal/fit/own"
	"abut/internal/job"
)

const (
	// mirrorStepMM is how far apart places are at which what mends lie over is compared with its mirror
	// image, as long as these are no more than mirrorLines each way, and mirrorStepWidths how far, in narrowest
	// widths, what was drawn there.
	mirrorStepMM     = 0.05
	mirrorLines      = 200
	mirrorStepWidths = 0.25
	// lopsidedMM2 is how much of what a mend changes may be other than its mirror image for nobody to see
	// it, and lopsidedShare which share of that, if it is more than a speck as broad as a hairline: its outline strays by as much
	// as one sees along a quarter of a millimetre. Where only some of the picture is symmetric nobody compares points: there it is
	// partlyLopsidedMM2, as of a mouth of which one end is dented.
	lopsidedMM2       = 0.02
	lopsidedShare     = 0.5
	partlyLopsidedMM2 = 0.7
)

// lopsided reports whether mends make one half of the picture other than the other, left for right, where they
// were mirror images of each other as they were drawn: about one point of a row something was done, and
// nothing, or something else, about the one that it is the image of.
func (s *settler) lopsided(g *mendGroup, was *drawnSo) bool {
	for _, l := range g.layers {
		bounds := l.path.Bounds()
		if !s.symmetric(bounds.Grow(s.settings.Narrowest())) {
			continue
		}
		lines := math.Ceil(bounds.Longer() / mirrorStepMM)
		lines = math.Min(math.Max(sampleLines, lines), mirrorLines)
		other, changed := 0.0, 0.0
		for _, at := range l.path.Samples(geometry.EvenOdd, int(lines)) {
			drawn, now := s.ownersAt(at)
			if _, image := s.ownersAt(s.image(at)); now != image {
				other++
			}
			if now != drawn {
				changed++
			}
		}
		each := bounds.Width() * bounds.Height() / (lines * lines) // mm²
		if each*other > partlyLopsidedMM2 || each*other > math.Min(lopsidedMM2, math.Max(hairMM*hairMM, lopsidedShare*each*changed)) && was.isSymmetric(s) {
			return true
		}
	}
	return false
}

// mirroredMM is how far an outline may be from its mirror image for a picture to be drawn symmetric.
const mirroredMM = 0.02

// symmetric reports whether an area of the picture was drawn as its mirror image on the other half, left for
// right.
func (s *settler) symmetric(area geometry.Rect) bool {
	return s.symmetricBy(area, mirrorStepWidths*s.settings.Narrowest())
}

// isSymmetric reports whether all of the picture was drawn as its own mirror image. That is looked at when it is
// first asked for, which for most pictures it never is, and closely where it seems to be so.
func (was *drawnSo) isSymmetric(s *settler) bool {
	if !was.looked {
		left := s.page
		left.Max.X = left.Centre().X
		was.looked, was.symmetric = true, s.symmetricBy(left, s.settings.Narrowest()) && s.symmetric(left)
	}
	return was.symmetric
}

// symmetricBy is symmetric at places that lie a step apart.
func (s *settler) symmetricBy(area geometry.Rect, step float64) bool {
	for y := area.Min.Y + step/2; y < area.Max.Y; y += step {
		for x := area.Max.X - step/2; x > area.Min.X; x -= step {
			if !s.drawnMirrored(geometry.Pt(x, y)) {
				return false
			}
		}
	}
	return true
}

// drawnMirrored reports whether a place was drawn as its mirror image, or as what lies right beside that.
func (s *settler) drawnMirrored(at geometry.Point) bool {
	drawn, _ := s.ownersAt(at)
	for _, by := range [...]geometry.Point{{}, {X: mirroredMM}, {X: -mirroredMM}, {Y: mirroredMM}, {Y: -mirroredMM}} {
		if other, _ := s.ownersAt(s.image(at).Add(by)); other == drawn {
			return true
		}
	}
	return false
}

// twin returns the mirror image of what was done about the mirror image of a spot, on the other half of a
// picture that was drawn symmetric about it; false where nothing was.
func (s *settler) twin(p *Spot) (job.Mend, bool) {
	at, within := s.image(p.At), nearWidths*s.settings.Narrowest()
	if at.Sub(p.At).Len() <= within {
		return job.Mend{}, false // the middle of the picture goes through it
	}
	is := func(m *job.Mend, of geometry.Point) bool {
		return m.Do != job.Keep && !m.Do.OfThing() && m.Spot == job.SpotKind(p.Kind) && of.Sub(at).Len() <= within
	}
	done := job.Mend{}
	if i := slices.IndexFunc(s.made, func(m job.Mend) bool { return is(&m, s.placeOf(&m)) }); i >= 0 {
		done = s.made[i]
	} else if i := slices.IndexFunc(s.had, func(m Made) bool { return is(&m.Mend, m.At) }); i >= 0 {
		done = s.had[i].Mend
	} else {
		return done, false
	}
	m := s.about(p, 0)
	m.Do, m.To, m.Chosen, m.Whole, m.WidthMM, m.Smooth = done.Do, done.To, done.Chosen, done.Whole, done.WidthMM, done.Smooth
	return m, s.symmetric(p.Bounds.Grow(s.settings.Narrowest()))
}

// does reports whether two mends do the same, each about its own spot, but for widths that one does not tell apart.
func does(a, b job.Mend) bool {
	return a.Do == b.Do && a.To == b.To && a.Chosen == b.Chosen && a.Whole == b.Whole && a.Smooth == b.Smooth && math.Abs(a.WidthMM-b.WidthMM) <= widenMM
}

// twinFirst puts what was done about the mirror image of a spot before all else that may be done, if it may be.
func (s *settler) twinFirst(p *Spot, options []job.Mend, hard int) (_ []job.Mend, before int, found bool) {
	t, found := s.twin(p)
	i := slices.IndexFunc(options, func(m job.Mend) bool { return does(m, t) })
	if !found || i < 0 {
		return options, hard, false
	}
	if i >= hard {
		hard++
	}
	return slices.Insert(slices.Delete(slices.Clone(options), i, i+1), 0, t), hard, true
}

// strays reports whether a solution does something else about a spot than another one does about the mirror image
// of that.
func (s *settler) strays(c, from *solution) bool {
	p, q := c.spot, from.spot
	return p.Kind == q.Kind && p.Of == q.Of && s.image(p.At).Sub(q.At).Len() <= nearWidths*s.settings.Narrowest() &&
		!slices.EqualFunc(c.mends, from.mends, does) && s.symmetric(p.Bounds.Grow(s.settings.Narrowest()))
}

// image returns the mirror image of a place on the other half of the picture.
func (s *settler) image(at geometry.Point) geometry.Point {
	return geometry.Pt(2*s.page.Centre().X-at.X, at.Y)
}

// owner is who has a place, if there is a single one; own.Bare is nobody.
type owner struct {
	of     own.Material
	single bool
}

// ownersAt returns who has a place as it was drawn, and now.
func (s *settler) ownersAt(at geometry.Point) (drawn, now owner) {
	f := s.Map.Locate(at)
	drawn.of, drawn.single = s.Owner(s.unmended[f])
	now.of, now.single = s.Owner(s.Fresh[f])
	return drawn, now
}
