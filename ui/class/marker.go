package class

import (
	"time"

	"fyne.io/fyne/v2"

	"abut/geometry"
	"abut/internal/show"
)

// fadesAfter is how long a stroke of the highlighter is seen: as long as one speaks of
// a thing.
const fadesAfter = 2500 * time.Millisecond

// marker is the highlighter: a trail that goes after a while.
type marker struct {
	// pointed is where the pointer was last, on the stage; holding: it is held down.
	pointed geometry.Point
	holding bool
	trail   []trace
	fading  *fyne.Animation
}

type trace struct {
	at   geometry.Point
	when time.Time
}

// draw goes on with the trail.
func (c *Class) draw(to geometry.Point) {
	c.trail = append(c.trail, trace{to, time.Now()})
	if c.fading == nil {
		m := &c.marker
		m.fading = &fyne.Animation{Duration: time.Second, RepeatCount: fyne.AnimationRepeatForever, Tick: func(float32) {
			for len(m.trail) > 0 && time.Since(m.trail[0].when) > fadesAfter {
				m.trail = m.trail[1:]
			}
			if len(m.trail) == 0 {
				m.stop()
			}
			c.redraw()
		}}
		m.fading.Start()
	}
	c.redraw()
}

func (m *marker) stop() {
	if m.fading != nil {
		m.fading.Stop()
		m.fading = nil
	}
}

func (m *marker) clear() {
	m.trail = nil
	m.stop()
}

// addTrail draws it: light and dark, so that it shows on any picture.
func (c *Class) addTrail(s *show.Scene) {
	if len(c.trail) < 2 {
		return
	}
	line := geometry.Contour{Start: c.trail[0].at}
	for _, p := range c.trail[1:] {
		line.Segments = append(line.Segments, geometry.LineTo(p.at))
	}
	shape := &show.Shape{Path: geometry.Path{line}}
	for _, m := range []show.Mark{{Line: show.LightRoom.Ink, Width: 14}, {Line: show.LightRoom.Paper, Width: 11}, {Line: c.room().Accent, Width: 7}} {
		m.Shape, m.Place = shape, geometry.Identity()
		s.Marks = append(s.Marks, m)
	}
}
