package show

import (
	"slices"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
	"abut/internal/message"
)

// Show is a lesson about one job.
type Show struct {
	Steps []Step
	art   *art
	// within tells what a place on the board lies in: sheets in order of assembly, and
	// behind them what stacks as drawn. Made when it is asked for.
	within []*geometry.Enclosure
}

// Board returns the map from the board to the stage in steps that ask something.
func (s *Show) Board(wide float64) geometry.Affine { return s.art.flat(&drawing{wide: wide}) }

// enclosures returns what within holds.
func (s *Show) enclosures() []*geometry.Enclosure {
	if s.within == nil {
		const sagittaMM = 0.05 // far below what is pointed at
		for i := range s.art.cut {
			s.within = append(s.within, geometry.NewEnclosure(s.art.cut[i].all.Path.Flatten(sagittaMM)))
		}
		stacked := &Shape{}
		if s.art.stacked != nil {
			stacked = s.art.stacked
		}
		s.within = append(s.within, geometry.NewEnclosure(stacked.Path.Flatten(sagittaMM)))
	}
	return s.within
}

// Stacks reports whether colours stack at a place of the board, as drawn.
func (s *Show) Stacks(p geometry.Point) bool { return s.enclosures()[len(s.art.cut)].Holds(p) }

// SheetAt returns which sheet, in order of assembly, a place of the board is cut from,
// −1 where nothing is.
func (s *Show) SheetAt(p geometry.Point) int {
	for i, e := range s.enclosures()[:len(s.art.cut)] {
		if e.Holds(p) {
			return i
		}
	}
	return -1
}

// WhatIf returns the picture with one sheet moved by so many millimetres, others where
// they are; −1 moves none. What then stacks is marked.
func (s *Show) WhatIf(room *Room, wide float64, sheet int, by geometry.Point) Scene {
	d := &drawing{Room: room, wide: wide}
	at := s.art.flat(d)
	s.art.ground(d, at)
	d.Counts = true
	put := func(i int, at geometry.Affine) {
		d.add(Mark{Shape: s.art.cut[i].all, Place: at, Fill: s.art.cut[i].colour, Alpha: 1, Sheet: i + 1})
	}
	for i := range s.art.cut {
		if i != sheet {
			put(i, at)
		}
	}
	for i := range s.art.cut {
		if i != sheet {
			d.ink(&s.art.cut[i], at, 1)
		}
	}
	if sheet >= 0 {
		at = at.Mul(geometry.Translate(by.X, by.Y))
		put(sheet, at)
		d.ink(&s.art.cut[sheet], at, 1)
	}
	return d.Scene
}

// Arranged returns the lesson as a teacher wants it: without what is hidden, in another
// order, with captions in place of sentences.
func (s *Show) Arranged(l job.Lesson) *Show {
	out := &Show{art: s.art, Steps: s.Ordered(l)}
	out.Steps = slices.DeleteFunc(out.Steps, func(x Step) bool { return slices.Contains(l.Hidden, x.ID) })
	for i := range out.Steps {
		if text := l.Captions[out.Steps[i].ID]; text != "" {
			out.Steps[i].Sentence = message.Of("class-own", "text", text)
		}
	}
	return out
}

// Ordered returns all steps in the order that a teacher wants; those without a place in
// it keep theirs.
func (s *Show) Ordered(l job.Lesson) []Step {
	out := slices.Clone(s.Steps)
	place := func(x Step) int { return slices.Index(l.Order, x.ID) }
	var at []int
	var some []Step
	for i, x := range s.Steps {
		if place(x) >= 0 {
			at, some = append(at, i), append(some, x)
		}
	}
	slices.SortStableFunc(some, func(a, b Step) int { return place(a) - place(b) })
	for n, i := range at {
		out[i] = some[n]
	}
	return out
}

// Sheet is a sheet of a lesson.
type Sheet struct {
	// Name is for package words to put.
	Name   any
	Colour colour.RGB
	// All is the outline of its pieces, on the board and not mirrored.
	All *Shape
}

// Cut returns the sheets in order of assembly, and the page that each is cut from.
func (s *Show) Cut() ([]Sheet, geometry.Rect) { return sheetsOut(s.art.cut), s.art.page }

// Drawn returns the sheets as drawn, the lowest first, the picture's extent, and what
// stacks, nil where nothing does.
func (s *Show) Drawn() ([]Sheet, geometry.Rect, *Shape) {
	return sheetsOut(s.art.drawn), s.art.extent, s.art.stacked
}

func sheetsOut(all []sheet) []Sheet {
	var out []Sheet
	for i := range all {
		out = append(out, Sheet{all[i].name, all[i].colour, all[i].all})
	}
	return out
}
