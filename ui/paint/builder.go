package paint

import (
	"image"

	"abut/geometry"
	"abut/internal/colour"
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
	s := &Scene{Blank: j.Settings.BlankColour()}
	seps := newSeparations(j)
	s.material = seps.material
	for i := range j.Items {
		it := &j.Items[i]
		for k := range it.Layers {
			l := &it.Layers[k]
			if !l.Shown || l.Use == job.LeftOut {
				continue
			}
			p := Layer{
				ID: l.ID, Mask: b.mask(l.Content, it.Placement.Mul(l.Transform), scale, window).mask,
				Colour: l.Colour, Alpha: l.Opacity(), Group: l.Group,
				Knocks: l.Knocks && l.Use != job.Drawn, Drawn: l.Use == job.Drawn,
			}
			switch {
			case IsBare(j, l):
				p.Colour, p.Knocks, p.Bare = s.Blank, true, true
			case l.Use != job.Cut:
			case l.Opacity() < 1:
				p.Mixes = true
			default:
				p.Separation, p.Pressed = seps.material(l.Colour).separation, Pressed(j, l.Colour)
			}
			s.Layers = append(s.Layers, p)
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
	if shapes := job.Shapes(c); len(shapes) > 0 {
		key.shapes, key.n = &shapes[0], len(shapes)
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

// separations numbers what is cut from one sheet.
type separations struct {
	job     job.Job
	colours map[colour.RGB]material
	sheets  map[job.SheetID]uint16
	next    uint16
	// What was asked for last: rows of pixels repeat.
	last     colour.RGB
	lastWhat material
}

// material is what a colour is cut from: a separation's number, 0 when it stays
// bare.
type material struct {
	separation uint16
	bare       bool
}

func newSeparations(j job.Job) *separations {
	s := &separations{job: j, colours: map[colour.RGB]material{}, sheets: map[job.SheetID]uint16{}}
	s.lastWhat = s.find(s.last)
	return s
}

func (s *separations) material(c colour.RGB) material {
	if c != s.last {
		s.last, s.lastWhat = c, s.find(c)
	}
	return s.lastWhat
}

func (s *separations) find(c colour.RGB) material {
	m, ok := s.colours[c]
	if ok {
		return m
	}
	t, assigned := s.job.Assign[c]
	switch n, seen := s.sheets[t.Sheet]; {
	case leftBare(s.job, c):
		m.bare = true
	case assigned && seen:
		m.separation = n
	default:
		s.next = min(s.next+1, maxSeparation)
		m.separation = s.next
		if assigned {
			s.sheets[t.Sheet] = s.next
		}
	}
	s.colours[c] = m
	return m
}

// Pressed is what becomes of a colour that is cut: that of its sheet, or itself.
func Pressed(j job.Job, c colour.RGB) colour.RGB {
	if t, assigned := j.Assign[c]; assigned {
		if s, there := j.Sheet(t.Sheet); there {
			return s.Pressed
		}
	}
	return c
}

// leftBare reports whether nothing is cut from a colour.
func leftBare(j job.Job, c colour.RGB) bool {
	if t, ok := j.Assign[c]; ok {
		return t.Bare
	}
	return j.Settings.Bare.LeavesBare(c)
}

// IsBare reports whether nothing is cut for the layer and the blank shows. What
// a translucent layer leaves bare depends on what it covers.
func IsBare(j job.Job, l *job.Layer) bool {
	return l.Use == job.Bare || l.Use == job.Cut && l.Opacity() >= 1 && leftBare(j, l.Colour)
}
