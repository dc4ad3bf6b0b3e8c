package class

import (
	"strconv"

	"fyne.io/fyne/v2"

	"abut/geometry"
	"abut/internal/show"
)

// listen takes a window's keys: those of presenters' remotes, too.
func (c *Class) listen(win fyne.Window) {
	win.Canvas().SetOnTypedKey(c.key)
	win.Canvas().SetOnTypedRune(c.rune)
}

func (c *Class) key(k *fyne.KeyEvent) {
	switch k.Name {
	case fyne.KeyRight, fyne.KeyDown, fyne.KeySpace, fyne.KeyPageDown:
		c.Next()
	case fyne.KeyLeft, fyne.KeyUp, fyne.KeyPageUp:
		c.back()
	case fyne.KeyHome:
		c.goTo(0, true)
	case fyne.KeyEnd:
		c.goTo(len(c.show.Steps)-1, true)
	case fyne.KeyBackspace, fyne.KeyDelete:
		c.takeBack()
	case fyne.KeyReturn, fyne.KeyEnter:
		if n, err := strconv.Atoi(c.typed); err == nil {
			c.typed = ""
			c.goTo(min(max(n, 1), len(c.show.Steps))-1, true)
			c.changed()
			return
		}
		c.again()
	case fyne.KeyEscape:
		switch {
		case c.typed != "":
			c.typed = ""
			c.changed()
		case c.times > 1:
			c.enlarge(1, c.about)
		default:
			c.Close()
		}
	}
}

// rune takes what is typed: a number of a step, the look of the room, the teacher's
// screen, enlarging.
func (c *Class) rune(r rune) {
	switch {
	case r >= '0' && r <= '9':
		if len(c.typed) < 3 {
			c.typed += string(r)
			c.changed()
		}
	case r == 'd' || r == 'D':
		c.setDark(!c.dark)
	case r == 't' || r == 'T':
		c.Teach()
	case r == 'f' || r == 'F': // to bring it to another display
		c.win.SetFullScreen(!c.win.FullScreen())
	case r == 'z' || r == 'Z':
		if c.times > 1 {
			c.enlarge(1, c.about)
		} else {
			c.enlarge(3, c.pointed)
		}
	case r == '+':
		c.enlarge(c.times*1.5, c.pointed)
	case r == '-':
		c.enlarge(c.times/1.5, c.pointed)
	}
}

// enlarge shows a place of the stage so many times as large.
func (c *Class) enlarge(times float64, about geometry.Point) {
	if times = min(max(times, 1), 8); c.times <= 1 {
		c.about = about
	}
	if times < 1.05 {
		times = 1
	}
	c.times = times
	c.changed()
}

// takeBack puts what was dragged back, or takes the last place that was pointed at
// away.
func (c *Class) takeBack() {
	switch {
	case c.step().Ask == show.WhatIf:
		c.question.sheet, c.question.by = -1, geometry.Point{}
	case len(c.picks) > 0 && c.step().Ask == show.WhichStack:
		c.picks = c.picks[:len(c.picks)-1]
	default:
		c.back()
		return
	}
	c.redraw()
}
