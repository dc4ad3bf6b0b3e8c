package paint

import (
	"image"

	"abut/geometry"
	"abut/internal/job"
)

// Builder makes scenes of jobs and remembers the masks of the last two, so that
// a step of zoom rasterises all layers once and a moved layer only itself. Use
// one per goroutine; the scenes it returns may be read anywhere.
type Builder struct {
	masker Masker
	masks  map[maskKey]*cached
	tick   int
}

type maskKey struct {
	shapes *job.Shape
	n      int
	place  geometry.Affine
	scale  float64
}

type cached struct {
	mask   *Mask
	whole  bool
	window image.Rectangle
	tick   int
	halo   *Halo
	haloPx int
	hair   *Mask
	hairPx int
}

// Scene returns what the board shows of the job: shown layers only. window is
// what can be seen, in world pixels; masks reach half its size further, so
// that small pans need nothing new.
func (b *Builder) Scene(j job.Job, scale float64, window image.Rectangle) *Scene {
	b.tick++
	s := &Scene{}
	seps := separations{}
	for i := range j.Items {
		it := &j.Items[i]
		for k := range it.Layers {
			l := &it.Layers[k]
			sep := seps.of(j, l, uint32(i))
			if !l.Shown || l.Use == job.LeftOut {
				continue
			}
			c := b.mask(l.Content, it.Placement.Mul(l.Transform), scale, window)
			colour, alpha := l.Colour, l.Alpha
			bare := IsBare(j, l)
			if bare {
				colour = j.Settings.BlankColour()
			}
			s.Layers = append(s.Layers, Layer{
				ID: l.ID, Mask: c.mask, Colour: colour, Alpha: alpha, Group: l.Group,
				Separation: sep, Knocks: l.Knocks && l.Use != job.Drawn || bare,
			})
		}
	}
	for k, c := range b.masks {
		if c.tick < b.tick-1 {
			delete(b.masks, k)
		}
	}
	return s
}

func (b *Builder) mask(c job.Content, place geometry.Affine, scale float64, window image.Rectangle) *cached {
	key := maskKey{place: place, scale: scale}
	if o, ok := c.(job.Outlines); ok && len(o.Shapes) > 0 {
		key.shapes, key.n = &o.Shapes[0], len(o.Shapes)
	}
	if got := b.masks[key]; got != nil && (got.whole || window.In(got.window)) {
		got.tick = b.tick
		return got
	}
	wide := window.Inset(-max(window.Dx(), window.Dy()) / 2)
	m, whole := b.masker.Layer(c, place, scale, wide)
	if b.masks == nil {
		b.masks = map[maskKey]*cached{}
	}
	got := &cached{mask: m, whole: whole, window: wide, tick: b.tick}
	b.masks[key] = got
	return got
}

// Halo returns the outline of a scene's layer, remembered with its mask.
func (b *Builder) Halo(m *Mask, width int) *Halo {
	for _, c := range b.masks {
		if c.mask != m {
			continue
		}
		if c.halo == nil || c.haloPx != width {
			c.halo, c.haloPx = NewHalo(m, width), width
		}
		return c.halo
	}
	return NewHalo(m, width)
}

// Hairline returns a line along the outside of a mask, remembered with it.
func (b *Builder) Hairline(m *Mask, width int) *Mask {
	for _, c := range b.masks {
		if c.mask == m {
			if c.hair == nil || c.hairPx != width {
				c.hair, c.hairPx = NewHalo(m, width).Light, width
			}
			return c.hair
		}
	}
	return NewHalo(m, width).Light
}

// separations numbers what is cut from one sheet. Translucent layers get a
// number each: their mix depends on what lies beneath.
type separations struct {
	next  uint16
	known map[any]uint16
}

func (s *separations) of(j job.Job, l *job.Layer, item uint32) uint16 {
	if l.Use != job.Cut || IsBare(j, l) {
		return 0
	}
	var key any = l.Colour
	if t, ok := j.Assign[l.Colour]; ok {
		key = t.Sheet
	}
	if l.Alpha < 1 {
		type mixed struct{ item, layer uint32 }
		key = mixed{item, uint32(l.ID)}
	}
	if s.known == nil {
		s.known = map[any]uint16{}
	}
	n, ok := s.known[key]
	if !ok {
		s.next = min(s.next+1, MaxSeparation)
		n = s.next
		s.known[key] = n
	}
	return n
}

// IsBare reports whether nothing is cut for the layer and the blank shows.
func IsBare(j job.Job, l *job.Layer) bool {
	if l.Use == job.Bare {
		return true
	}
	if l.Use != job.Cut || l.Alpha < 1 {
		return false
	}
	if t, ok := j.Assign[l.Colour]; ok {
		return t.Bare
	}
	return j.Settings.Bare.LeavesBare(l.Colour)
}
