package paint

import (
	"context"
	"image"
	"image/draw"
	"math"

	"abut/geometry"
	"abut/geometry/parallel"
	"abut/internal/colour"
	"abut/internal/show"
)

// Stage paints the scenes of a lesson one after another. It remembers the masks of
// the last two, moved by whole pixels, and paints only where something changed. Use
// one per goroutine.
type Stage struct {
	masker Masker
	masks  map[stageKey]*stageMask
	tick   int

	// exact: nothing moves. made: a mask was made for the mark at hand.
	exact, made bool

	img    *image.RGBA
	before []painted
	// below is the picture of as many of the first marks as stood still, where that is
	// worth it.
	below  *image.RGBA
	still  int
	ground colour.RGB
	counts Counter
}

// stageKey says what a mark's mask looks like, wherever it lies.
type stageKey struct {
	shape       *show.Shape
	a, b, c, d  float64
	width, dash float64
}

type stageMask struct {
	mask   *Mask
	whole  bool
	window image.Rectangle
	tick   int
}

// painted is a mark as it was painted, with the pixels that it may have touched.
type painted struct {
	mark show.Mark
	box  image.Rectangle
	// made: its mask is new.
	made bool
}

// Paint returns the scene in a picture of so many pixels, PictureHeight high. The
// picture is the stage's own: it changes with the next one. While something moves, what
// reaches over the picture may be a fraction of a pixel out of place.
func (s *Stage) Paint(scene show.Scene, ground colour.RGB, w, h int, moving bool) *image.RGBA {
	s.tick++
	s.exact = !moving
	all := image.Rect(0, 0, w, h)
	dirty := image.Rectangle{}
	if s.img == nil || s.img.Rect != all || s.ground != ground {
		s.img, s.ground, s.before, dirty = image.NewRGBA(all), ground, nil, all
		s.below, s.still = nil, 0
	}
	scale := float64(h) / show.PictureHeight
	now, masks := s.prepare(scene, scale, all)
	dirty = dirty.Union(s.changed(now))
	// What stacks is painted as a whole: its hatch looks at its neighbours.
	if scene.Counts && !dirty.Empty() {
		dirty = all
	}
	for _, p := range now {
		if p.mark.Stacked && p.box.Overlaps(dirty) {
			dirty = dirty.Union(p.box)
		}
	}
	same := 0
	for same < min(len(now), len(s.before)) && now[same].as(s.before[same]) && !now[same].mark.Stacked {
		same++
	}
	s.before = now
	s.keep(scene, masks, same)
	if dirty = dirty.Intersect(all); !dirty.Empty() {
		s.compose(scene, masks, dirty, scale)
	}
	for k, m := range s.masks {
		if m.tick < s.tick-1 {
			delete(s.masks, k)
		}
	}
	return s.img
}

// prepare makes the masks of a scene's marks, two of each, or finds them again.
func (s *Stage) prepare(scene show.Scene, scale float64, all image.Rectangle) (now []painted, masks []*Mask) {
	now, masks = make([]painted, len(scene.Marks)), make([]*Mask, 0, 2*len(scene.Marks))
	for i, m := range scene.Marks {
		p := painted{mark: m}
		s.made = false
		fill, line := s.fill(&m, scale, all), s.line(&m, scale, all)
		masks = append(masks, fill, line)
		for _, k := range [2]*Mask{fill, line} {
			if k != nil {
				p.box = p.box.Union(k.Box)
			}
		}
		if m.Stacked {
			p.box = p.box.Inset(-stackedReach(scale))
		}
		p.made = s.made
		now[i] = p
	}
	return now, masks
}

// changed is where a scene does not look as the one before.
func (s *Stage) changed(now []painted) (dirty image.Rectangle) {
	for i, p := range now {
		if i >= len(s.before) {
			dirty = dirty.Union(p.box)
		} else if !p.as(s.before[i]) {
			dirty = dirty.Union(p.box).Union(s.before[i].box)
		}
	}
	for _, p := range s.before[min(len(now), len(s.before)):] {
		dirty = dirty.Union(p.box)
	}
	return dirty
}

// as reports whether a mark looks as it did.
func (p painted) as(before painted) bool { return !p.made && p.mark == before.mark }

// keep paints the first marks aside once they have stood still, and forgets them when
// they do not any more.
func (s *Stage) keep(scene show.Scene, masks []*Mask, same int) {
	const few = 4 // fewer are painted as quickly
	if same < s.still {
		s.still = 0
	}
	if same < len(scene.Marks) && same >= max(few, 2*s.still) {
		if s.below == nil {
			s.below = image.NewRGBA(s.img.Rect)
		}
		s.still = 0
		s.paint(s.below, scene, masks, s.img.Rect, 0, same)
		s.still = same
	}
}

// stackedReach is how far the marks of what stacks reach beyond it.
func stackedReach(scale float64) int { return 2*stackedDensity(scale) + 2 }

// stackedDensity makes the hatch twice as broad as on the board: it is seen from
// farther away.
func stackedDensity(scale float64) int { return max(1, int(2*scale+0.5)) }

// bands is how many parts of a picture are painted side by side.
const bands = 4

// compose paints the masks, a fill and a line for each mark, within a rectangle.
func (s *Stage) compose(scene show.Scene, masks []*Mask, dirty image.Rectangle, scale float64) {
	from := s.still
	// Where something stacks its hatch comes between, which looks at its neighbours.
	for i := range scene.Marks {
		if m := &scene.Marks[i]; m.Stacked {
			s.paint(s.img, scene, masks, dirty, from, i)
			if fill := masks[2*i]; fill != nil && s.counts.CountMask(fill, fill.Box.Inset(-stackedReach(scale)).Intersect(s.img.Rect)) {
				s.mark(dirty, scale)
			}
			from = i + 1
		}
	}
	s.paint(s.img, scene, masks, dirty, from, len(scene.Marks))
	if scene.Counts && s.counts.Count(sheets(scene, masks), dirty) {
		s.mark(dirty, scale)
	}
}

// mark shows what was counted last.
func (s *Stage) mark(dirty image.Rectangle, scale float64) {
	if dst, ok := s.img.SubImage(dirty).(*image.RGBA); ok {
		s.counts.Paint(dst, stackedDensity(scale), image.Point{})
	}
}

// paint paints some of the marks: the first on the ground, those that follow what
// stands still on that.
func (s *Stage) paint(onto *image.RGBA, scene show.Scene, masks []*Mask, dirty image.Rectangle, from, to int) {
	// Nobody stops a frame, so there is no error.
	_ = parallel.Do(context.Background(), bands, func(k int) {
		band := dirty
		band.Min.Y, band.Max.Y = dirty.Min.Y+k*dirty.Dy()/bands, dirty.Min.Y+(k+1)*dirty.Dy()/bands
		dst, ok := onto.SubImage(band).(*image.RGBA)
		if !ok || band.Empty() {
			return
		}
		switch from {
		case 0:
			clean(dst, s.ground)
		case s.still:
			draw.Draw(dst, band, s.below, band.Min, draw.Src)
		}
		for i := from; i < to; i++ {
			m := &scene.Marks[i]
			if fill := masks[2*i]; fill != nil {
				fill.Tint(dst, image.Point{}, m.Fill, uint8(math.Round(255*min(m.Alpha, 1))))
			}
			if line := masks[2*i+1]; line != nil {
				line.Tint(dst, image.Point{}, m.Line, 255)
			}
		}
	})
}

// clean fills a picture.
func clean(dst *image.RGBA, c colour.RGB) {
	row := dst.Pix[:4*dst.Rect.Dx()]
	for i := 0; i < len(row); i += 4 {
		row[i], row[i+1], row[i+2], row[i+3] = c.R, c.G, c.B, 255
	}
	for y := 1; y < dst.Rect.Dy(); y++ {
		copy(dst.Pix[y*dst.Stride:], row)
	}
}

// sheets are the marks of a scene that stack with those of other sheets.
func sheets(scene show.Scene, masks []*Mask) *Scene {
	out := &Scene{}
	for i, m := range scene.Marks {
		if fill := masks[2*i]; fill != nil && m.Sheet > 0 {
			out.Layers = append(out.Layers, Layer{Mask: fill, Separation: uint16(min(m.Sheet, maxSeparation)), Alpha: 1})
		}
	}
	return out
}

// fill returns the coverage of a mark, where it lies; nil when it is not filled.
func (s *Stage) fill(m *show.Mark, scale float64, all image.Rectangle) *Mask {
	if m.Shape == nil || !m.Stacked && !(m.Alpha > 0) {
		return nil
	}
	return s.mask(m, stageKey{shape: m.Shape}, scale, all, func(at geometry.Affine, window image.Rectangle) *Mask {
		out := image.NewAlpha(BoxPx(hull(m.Shape.Path, at), 1).Intersect(window))
		s.masker.r.fill(out, m.Shape.Path, at, geometry.NonZero)
		return newMask(out)
	})
}

// line returns the coverage of a mark's outline; nil when none is drawn.
func (s *Stage) line(m *show.Mark, scale float64, all image.Rectangle) *Mask {
	if m.Shape == nil || m.Stacked || !(m.Width > 0) {
		return nil
	}
	pen := Pen{Width: max(1, m.Width*scale)}
	if m.Dash > 0 {
		pen.Dash = []float64{m.Dash * scale, m.Dash * scale}
	}
	return s.mask(m, stageKey{shape: m.Shape, width: pen.Width, dash: m.Dash}, scale, all, func(at geometry.Affine, window image.Rectangle) *Mask {
		return s.masker.Stroke(m.Shape.Path.Transform(at), pen, 1, window)
	})
}

// mask returns what make makes of a mark whose place has no shift, moved to where it
// lies by whole pixels: so what moves without turning is made once.
func (s *Stage) mask(m *show.Mark, k stageKey, scale float64, all image.Rectangle, make func(geometry.Affine, image.Rectangle) *Mask) *Mask {
	at := geometry.Scale(scale, scale).Mul(m.Place)
	k.a, k.b, k.c, k.d = at.A, at.B, at.C, at.D
	shift := image.Pt(int(math.Round(at.E)), int(math.Round(at.F)))
	at.E, at.F = 0, 0
	window := all.Sub(shift)
	wide := window.Inset(-max(all.Dx(), all.Dy()) / 4)
	got := s.masks[k]
	if got == nil || !got.whole && (!window.In(got.window) || s.exact && got.window != wide) {
		s.made = true
		box := BoxPx(hull(m.Shape.Path, at), 1).Inset(-int(k.width) - 2)
		if k.dash > 0 && box.Dx() < 2*all.Dx() && box.Dy() < 2*all.Dy() {
			wide = wide.Union(box) // where a line is cut its dashes begin anew
		}
		got = &stageMask{mask: make(at, wide), whole: box.In(wide), window: wide}
		if s.masks == nil {
			s.masks = map[stageKey]*stageMask{}
		}
		s.masks[k] = got
	}
	got.tick = s.tick
	moved := *got.mask
	moved.Box = moved.Box.Add(shift)
	return &moved
}
