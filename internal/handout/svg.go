package handout

import (
	"strconv"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/show"
)

// shapes are the outlines of a page, each written once.
type shapes struct {
	number map[*show.Shape]int
	list   []*show.Shape
}

func (s *shapes) of(x *show.Shape) int {
	n, known := s.number[x]
	if !known {
		if s.number == nil {
			s.number = map[*show.Shape]int{}
		}
		n = len(s.list)
		s.number[x] = n
		s.list = append(s.list, x)
	}
	return n
}

// definitions writes the outlines that scenes refer to.
func (s *shapes) definitions() string {
	var b []byte
	for i, x := range s.list {
		b = append(b, `<path id="s`...)
		b = strconv.AppendInt(b, int64(i), 10)
		b = append(b, `" d="`...)
		b = appendData(b, x.Path, 4)
		// A line is as broad as it says, however its shape is stretched.
		b = append(b, `" vector-effect="non-scaling-stroke"/>`...)
	}
	return string(b)
}

// scene writes a scene's marks. Equal marks give equal text.
func (s *shapes) scene(x show.Scene) string {
	var b []byte
	for i := range x.Marks {
		b = s.mark(b, &x.Marks[i])
	}
	return string(b)
}

func (s *shapes) mark(b []byte, m *show.Mark) []byte {
	if m.Stacked {
		// A pattern is turned with its shape, and the hatch is not to be.
		b = append(b, `<path class="stacked" d="`...)
		b = appendData(b, m.Shape.Path.Transform(m.Place), 1)
		return append(b, `"/>`...)
	}
	b = append(b, `<use href="#s`...)
	b = strconv.AppendInt(b, int64(s.of(m.Shape)), 10)
	b = append(b, `" transform="matrix(`...)
	for i, v := range []float64{m.Place.A, m.Place.B, m.Place.C, m.Place.D, m.Place.E, m.Place.F} {
		if i > 0 {
			b = append(b, ' ')
		}
		b = appendNumber(b, v, 3)
	}
	b = append(b, `)" fill="`...)
	if m.Alpha > 0 {
		b = appendColour(b, m.Fill)
		if m.Alpha < 1 {
			b = append(b, `" fill-opacity="`...)
			b = appendNumber(b, m.Alpha, 2)
		}
	} else {
		b = append(b, "none"...)
	}
	if m.Width > 0 {
		b = append(b, `" stroke="`...)
		b = appendColour(b, m.Line)
		b = append(b, `" stroke-width="`...)
		b = appendNumber(b, m.Width, 1)
		if m.Dash > 0 {
			b = append(b, `" stroke-dasharray="`...)
			b = appendNumber(b, m.Dash, 1)
		}
	}
	return append(b, `"/>`...)
}

func appendColour(b []byte, c colour.RGB) []byte { return append(b, c.String()...) }

func appendNumber(b []byte, v float64, decimals int) []byte {
	at := len(b)
	b = strconv.AppendFloat(b, v, 'f', decimals, 64)
	for i := at; i < len(b); i++ {
		if b[i] == '.' { // no zeros at the end
			for b[len(b)-1] == '0' {
				b = b[:len(b)-1]
			}
			if b[len(b)-1] == '.' {
				b = b[:len(b)-1]
			}
			break
		}
	}
	return b
}

// appendData writes path data with so many decimals.
func appendData(b []byte, p geometry.Path, decimals int) []byte {
	put := func(q geometry.Point) {
		b = appendNumber(b, q.X, decimals)
		b = append(b, ' ')
		b = appendNumber(b, q.Y, decimals)
	}
	for _, c := range p {
		b = append(b, 'M')
		put(c.Start)
		for _, s := range c.Segments {
			if s.Cubic {
				b = append(b, 'C')
				put(s.C1)
				b = append(b, ' ')
				put(s.C2)
				b = append(b, ' ')
			} else {
				b = append(b, 'L')
			}
			put(s.End)
		}
		if c.Closed {
			b = append(b, 'Z')
		}
	}
	return b
}
