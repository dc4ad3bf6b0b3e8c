package class

import (
	"slices"
	"time"

	"fyne.io/fyne/v2"

	"abut/geometry"
	"abut/internal/show"
	"abut/internal/words"
)

// Options are what the surroundings provide.
type Options struct {
	Title string
	// Dark begins in a dark room.
	Dark bool
	// Calm lets nothing move by itself: steps then change at once.
	Calm bool
	// Deliver runs a function on the event thread, later.
	Deliver func(func())
	// OnClosed is told that the class is over.
	OnClosed func()
	// Shown is told of the teacher's screen once it is there; nil tells nobody.
	Shown func(fyne.Window)
}

// Class is a lesson that is being shown.
type Class struct {
	show    *show.Show
	options Options
	win     fyne.Window
	screens []*screen

	// at is the step that is shown, t how far its drawing is.
	at   int
	t    float64
	dark bool
	// typed are the digits of a step's number so far.
	typed string

	moving *fyne.Animation
	// moves counts animations: a late tick of one that was stopped does nothing.
	moves int

	// teacher is the second window, nil while there is none; began is when the class did.
	teacher *teacher
	began   time.Time
	over    bool

	zoom
	question
	marker
}

// zoom is the part of the drawing that is enlarged: by times, about a place of the
// stage; times is 1 for all of it.
type zoom struct {
	times float64
	about geometry.Point
}

// through is a scene's place on the stage as it is seen.
func (z zoom) through() geometry.Affine {
	if z.times <= 1 {
		return geometry.Identity()
	}
	return geometry.Translate(z.about.X, z.about.Y).Mul(geometry.Scale(z.times, z.times)).Mul(geometry.Translate(-z.about.X, -z.about.Y))
}

// Open shows a lesson, which must have steps, on the whole screen.
func Open(s *show.Show, o Options) *Class {
	c := &Class{show: s, options: o, dark: o.Dark, zoom: zoom{times: 1}, began: time.Now()}
	c.question.sheet = -1
	c.win = fyne.CurrentApp().NewWindow(o.Title)
	c.win.SetPadded(false)
	c.win.SetContent(c.newScreen())
	c.win.SetOnClosed(c.closed)
	c.listen(c.win)
	c.win.Resize(fyne.NewSize(1280, 720)) // where there is no whole screen
	c.win.SetFullScreen(true)
	c.goTo(0, true)
	c.win.Show()
	return c
}

// Close ends the class, if it is not over yet.
func (c *Class) Close() {
	if !c.over {
		c.win.Close()
	}
}

// Raise brings the class to the front.
func (c *Class) Raise() { c.win.RequestFocus() }

func (c *Class) closed() {
	c.over = true
	c.still()
	c.marker.stop()
	for _, s := range c.screens {
		if s.hides != nil {
			s.hides.Stop()
		}
	}
	if c.teacher != nil {
		c.teacher.win.Close()
	}
	if c.options.OnClosed != nil {
		c.options.OnClosed()
	}
}

// step is the step that is shown.
func (c *Class) step() *show.Step { return &c.show.Steps[c.at] }

// room is the look that is chosen.
func (c *Class) room() *show.Room {
	if c.dark {
		return &show.DarkRoom
	}
	return &show.LightRoom
}

// Next and Back go one step; at either end they stay.
func (c *Class) Next() { c.goTo(c.at+1, true) }

// back shows the step before as it was left.
func (c *Class) back() { c.goTo(c.at-1, false) }

// goTo shows step n, from its beginning or as it ends.
func (c *Class) goTo(n int, fresh bool) {
	if n < 0 || n >= len(c.show.Steps) {
		return
	}
	c.still()
	c.at, c.t, c.typed = n, 1, ""
	c.zoom = zoom{times: 1}
	c.marker.clear()
	c.question.begin(c.step())
	if s := c.step(); fresh && s.Seconds > 0 && !c.options.Calm {
		c.t = 0
		c.move(time.Duration(s.Seconds * float64(time.Second)))
	}
	c.changed()
}

// again shows the step from its beginning.
func (c *Class) again() { c.goTo(c.at, true) }

// move lets the drawing run to its end.
func (c *Class) move(d time.Duration) {
	c.moves++
	number := c.moves
	a := fyne.NewAnimation(d, func(t float32) {
		if number != c.moves {
			return
		}
		c.t = float64(t)
		if t >= 1 {
			c.still()
			c.t = 1
			c.changed()
			return
		}
		c.redraw()
	})
	a.Curve = fyne.AnimationLinear // the drawings ease by themselves
	c.moving = a
	a.Start()
}

// still stops what moves.
func (c *Class) still() {
	c.moves++
	if c.moving != nil {
		c.moving.Stop()
		c.moving = nil
	}
}

// scene is what is drawn now on a stage so wide.
func (c *Class) scene(wide float64) show.Scene {
	var s show.Scene
	if c.step().Ask == show.WhatIf {
		s = c.show.WhatIf(c.room(), wide, c.question.sheet, c.question.by)
	} else {
		s = c.step().Scene(c.room(), wide, c.t)
	}
	c.addPicks(&s, wide)
	if m := c.through(); c.times > 1 {
		for i := range s.Marks {
			s.Marks[i].Place = m.Mul(s.Marks[i].Place)
		}
		s.Labels = nil // they would lie over what is looked at
	}
	c.addTrail(&s)
	return s
}

// changed shows another step, or what else is said; redraw only what moves.
func (c *Class) changed() {
	for _, s := range c.screens {
		s.Refresh()
	}
	if c.teacher != nil {
		c.teacher.show()
	}
}

// forget is told that a screen is gone.
func (c *Class) forget(s *screen) {
	c.screens = slices.DeleteFunc(c.screens, func(o *screen) bool { return o == s })
}

func (c *Class) redraw() {
	for _, s := range c.screens {
		s.redraw()
	}
}

// setDark chooses between a dark and a light room.
func (c *Class) setDark(on bool) {
	c.dark = on
	c.changed()
}

// say returns a sentence.
func say(id string, pairs ...any) string { return words.Say(id, pairs...) }
