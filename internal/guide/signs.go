package guide

import (
	"strconv"
	"strings"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/print"
)

// caution is a danger or a duty: a drawing of ours of what a safety sign of ISO 7010
// means (W017 hot surface, W024 crushing of hands, W012 electricity, W022 sharp element,
// M009 gloves, M002 read the manual), and the id of the sentences about it.
type caution struct {
	ID string
	// must: a duty, in a disc; else a danger, in a triangle.
	must bool
	// lines are path data in a square of 24, of M, L, C and Z, drawn along.
	lines string
}

var cautions = []caution{
	{"guide-w017", false, "M7 18.5L17 18.5M9 16C8 14.8 10 13.8 9 12.4M12 16C11 14.8 13 13.6 12 11.6M15 16C14 14.8 16 13.8 15 12.4"},
	{"guide-w024", false, "M6.8 19L17.2 19M8.6 11.8L15.4 11.8M10 17.4C10 15.6 10.6 15 11.2 15L15.6 15L15.6 17.4M12 8.4L12 11L11 10M12 11L13 10"},
	{"guide-w012", false, "M12.9 9L10.4 14L13.4 14L11 18.6M11 18.6L10.7 16.6M11 18.6L12.8 17.6"},
	{"guide-w022", false, "M8 18.4L13 18.4L16.2 13.4L14.8 12.4L8 18.4ZM14.8 12.4L16.4 10M16.2 13.4L17.8 11.2"},
	{"guide-m009", true, "M8.5 19L8.5 14.4L6.4 11.6C5.6 10.4 7.2 9.4 8 10.4L9.4 12L9.4 6.4C9.4 5.2 11.2 5.2 11.2 6.4L11.2 11L11.2 5.4C11.2 4.2 13 4.2 13 5.4L13 11L13 6.2C13 5 14.8 5 14.8 6.2L14.8 11.4L14.8 8C14.8 6.8 16.4 6.8 16.4 8L16.4 14.8L15.4 19ZM8.5 16.6L15.8 16.6"},
	{"guide-m002", true, "M12 8C10 6.6 7.6 6.4 5.6 7L5.6 17C7.6 16.4 10 16.6 12 18C14 16.6 16.4 16.4 18.4 17L18.4 7C16.4 6.4 14 6.6 12 8ZM12 8L12 18M7.6 9.8L10 10.4M7.6 12.4L10 13M14 10.4L16.4 9.8M14 13L16.4 12.4"},
}

const (
	triangle = "M12 2.6L22.4 20.6C22.6 21.2 22.2 21.6 21.8 21.6L2.2 21.6C1.8 21.6 1.4 21.2 1.6 20.6Z"
	disc     = "M12 1.6C17.7 1.6 22.4 6.3 22.4 12C22.4 17.7 17.7 22.4 12 22.4C6.3 22.4 1.6 17.7 1.6 12C1.6 6.3 6.3 1.6 12 1.6Z"
)

// Colours of danger and of duty, after those that safety signs have everywhere.
var (
	danger = colour.RGB{R: 0xFF, G: 0xD4, B: 0x3B}
	duty   = colour.RGB{R: 0x12, G: 0x52, B: 0x9C}
)

// look is how the sign is painted: its ground, the line around it, and its drawing.
func (c caution) look() (ground string, fill, edge, line colour.RGB) {
	if c.must {
		return disc, duty, duty, colour.White
	}
	return triangle, danger, inkColour, inkColour
}

// sign draws a caution's sign into a square.
func (b *book) sign(c caution, into geometry.Rect) {
	m := geometry.Translate(into.Min.X, into.Min.Y).Mul(geometry.Scale(into.Width()/24, into.Height()/24))
	width := 1.4 * into.Width() / 24
	ground, fill, edge, line := c.look()
	b.Draw(drawing(ground), m, print.Ink{Fill: &fill, Line: &edge, Width: width})
	b.Draw(drawing(c.lines), m, print.Ink{Line: &line, Width: width * 0.85, Round: true})
}

// drawing reads path data of the program's own: M, L, C with absolute places, and Z.
func drawing(data string) (out geometry.Path) {
	var word byte
	var v []float64
	pt := func(i int) geometry.Point { return geometry.Pt(v[i], v[i+1]) }
	add := func() {
		switch {
		case word == 'M' && len(v) == 2:
			out = append(out, geometry.Contour{Start: pt(0)})
		case word == 'L' && len(v) == 2:
			c := &out[len(out)-1]
			c.Segments = append(c.Segments, geometry.LineTo(pt(0)))
		case word == 'C' && len(v) == 6:
			c := &out[len(out)-1]
			c.Segments = append(c.Segments, geometry.CubicTo(pt(0), pt(2), pt(4)))
		case word == 'Z':
			out[len(out)-1].Closed = true
		case word != 0:
			panic("a drawing of ours is damaged: " + data)
		}
		v = v[:0]
	}
	for len(data) > 0 {
		if i := strings.IndexByte("MLCZ", data[0]); i >= 0 {
			add()
			word, data = data[0], data[1:]
			continue
		}
		end := strings.IndexAny(data+" ", " MLCZ")
		if f, err := strconv.ParseFloat(data[:end], 64); err == nil {
			v = append(v, f)
		}
		data = strings.TrimPrefix(data[end:], " ")
	}
	add()
	return out
}
