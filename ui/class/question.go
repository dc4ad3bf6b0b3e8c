package class

import (
	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/show"
)

// question is what was answered so far.
type question struct {
	// picks are the places of the board that were pointed at; they are judged in the
	// step after the question.
	picks []geometry.Point
	// sheet is dragged by so many millimetres, −1 for none.
	sheet int
	by    geometry.Point
}

// begin forgets what was answered to another question.
func (q *question) begin(s *show.Step) {
	if s.ID != "ask" && s.ID != "where" {
		q.picks = nil
	}
	q.sheet, q.by = -1, geometry.Point{}
}

// Marks of places, about the origin.
var (
	pickRing  = &show.Shape{Path: geometry.Path{geometry.Ellipse(geometry.Point{}, 1, 1)}}
	pickTick  = &show.Shape{Path: geometry.Path{geometry.Polygon(geometry.Pt(-0.6, 0), geometry.Pt(-0.4, -0.2), geometry.Pt(-0.1, 0.15), geometry.Pt(0.55, -0.6), geometry.Pt(0.75, -0.4), geometry.Pt(-0.1, 0.6))}}
	pickCross = &show.Shape{Path: geometry.Path{geometry.Polygon(
		geometry.Pt(-0.6, -0.42), geometry.Pt(-0.42, -0.6), geometry.Pt(0, -0.18), geometry.Pt(0.42, -0.6), geometry.Pt(0.6, -0.42), geometry.Pt(0.18, 0),
		geometry.Pt(0.6, 0.42), geometry.Pt(0.42, 0.6), geometry.Pt(0, 0.18), geometry.Pt(-0.42, 0.6), geometry.Pt(-0.6, 0.42), geometry.Pt(-0.18, 0))}}
)

// addPicks draws the places that were pointed at: rings, and once the answer is there
// a tick or a cross in each.
func (c *Class) addPicks(s *show.Scene, wide float64) {
	const radius = 20
	at := c.show.Board(wide)
	for _, p := range c.picks {
		q := at.Apply(p)
		place := geometry.Translate(q.X, q.Y).Mul(geometry.Scale(radius, radius))
		s.Marks = append(s.Marks, show.Mark{Shape: pickRing, Place: place, Fill: colour.White, Alpha: 1, Line: show.LightRoom.Ink, Width: 3})
		if c.step().Ask == show.WhichStack {
			continue
		}
		answer := pickCross
		if c.show.Stacks(p) {
			answer = pickTick
		}
		s.Marks = append(s.Marks, show.Mark{Shape: answer, Place: place, Fill: show.LightRoom.Ink, Alpha: 1})
	}
}

// board takes a place of the stage, as it is seen, to the board.
func (c *Class) board(p geometry.Point, wide float64) (geometry.Point, bool) {
	back, ok := c.through().Mul(c.show.Board(wide)).Invert()
	return back.Apply(p), ok
}

// press is told of a click at a place of the stage.
func (c *Class) press(p geometry.Point, wide float64) {
	switch c.step().Ask {
	case show.WhichStack:
		if q, ok := c.board(p, wide); ok {
			c.picks = append(c.picks, q)
			c.redraw()
		}
	case show.NoQuestion:
		c.Next()
	}
}

// drag is told that the pointer is held down and went from one place to another.
func (c *Class) drag(from, to geometry.Point, wide float64) {
	if c.step().Ask != show.WhatIf {
		c.draw(to)
		return
	}
	a, ok := c.board(from, wide)
	b, _ := c.board(to, wide)
	if !ok {
		return
	}
	if !c.holding {
		c.holding = true
		if n := c.show.SheetAt(a.Sub(c.by)); c.sheet < 0 || n != c.sheet {
			c.sheet, c.by = c.show.SheetAt(a), geometry.Point{}
		}
	}
	if c.sheet >= 0 {
		c.by = c.by.Add(b.Sub(a))
		c.redraw()
	}
}

// letGo is told that the pointer is not held down any more.
func (c *Class) letGo() { c.holding = false }
