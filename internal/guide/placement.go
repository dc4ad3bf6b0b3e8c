package guide

import (
	"math"

	"abut/geometry"
	"abut/internal/print"
)

const (
	// headRoom and rulerRoom are what a page of the placement sheet keeps for its words
	// above and its ruler below.
	headRoom, rulerRoom = 16, 14
	// overlapMM is how much of the picture neighbouring pages both show: enough for tape
	// and for the marks.
	overlapMM = 10.0
	// tileMargin is what is left white around a page's part; most desk printers need 5.
	tileMargin = 8.0
)

// tiling is how a picture of true size is spread over pages.
type tiling struct {
	// turned: the picture lies on its side, which took fewer pages.
	turned        bool
	width, height float64 // of the picture as it lies
	// room is the part of a page that shows the picture.
	room          geometry.Rect
	columns, rows int
}

// tile spreads a picture over pages of a format, lying or upright: what takes fewer.
func tile(width, height float64, p print.Paper) tiling {
	room := p.Within(tileMargin)
	room.Min.Y += headRoom
	room.Max.Y -= rulerRoom
	count := func(length, room float64) int {
		if length <= room {
			return 1
		}
		return int(math.Ceil((length - overlapMM) / (room - overlapMM)))
	}
	t := tiling{width: width, height: height, room: room, columns: count(width, room.Width()), rows: count(height, room.Height())}
	side := tiling{turned: true, width: height, height: width, room: room, columns: count(height, room.Width()), rows: count(width, room.Height())}
	if side.columns*side.rows < t.columns*t.rows {
		return side
	}
	return t
}

// shift is the map of the picture as it lies to the page in a column and row: pages
// lie overlapMM over each other, and what is smaller than the room stands in its middle.
func (t tiling) shift(column, row int) geometry.Affine {
	along := func(n, k int, length, from, room float64) float64 {
		if n == 1 {
			return from + (room-length)/2
		}
		return from - float64(k)*(room-overlapMM)
	}
	return geometry.Translate(
		along(t.columns, column, t.width, t.room.Min.X, t.room.Width()),
		along(t.rows, row, t.height, t.room.Min.Y, t.room.Height()))
}

// lie is the map of the picture to how it lies: itself, or a quarter turn.
func (t tiling) lie() geometry.Affine {
	if !t.turned {
		return geometry.Identity()
	}
	return geometry.Affine{B: 1, C: -1, E: t.width} // clockwise on paper
}

// seams are the places, in the picture as it lies, of the marks that pages are put
// together by: in the middle of every overlap, two for each page along it.
func (t tiling) seams() []geometry.Point {
	middles := func(n int, room float64) (at []float64) {
		for k := 1; k < n; k++ {
			at = append(at, float64(k)*(room-overlapMM)+overlapMM/2)
		}
		return at
	}
	along := func(n int, room, length float64) (at []float64) {
		if n == 1 {
			return []float64{length / 4, length * 3 / 4}
		}
		for k := range n {
			from := float64(k)*(room-overlapMM) + overlapMM
			to := math.Min(length, from+room-2*overlapMM)
			at = append(at, from+(to-from)/4, from+(to-from)*3/4)
		}
		return at
	}
	var out []geometry.Point
	for _, x := range middles(t.columns, t.room.Width()) {
		for _, y := range along(t.rows, t.room.Height(), t.height) {
			out = append(out, geometry.Pt(x, y))
		}
	}
	for _, y := range middles(t.rows, t.room.Height()) {
		for _, x := range along(t.columns, t.room.Width(), t.width) {
			out = append(out, geometry.Pt(x, y))
		}
	}
	return out
}

// placement is the sheet at true size that lies under the carrier, on as many pages
// as it takes.
func (b *assembly) placement() {
	t := tile(b.part.Width(), b.part.Height(), b.Paper())
	pages := t.columns * t.rows
	for row := range t.rows {
		for column := range t.columns {
			b.AddPage()
			r := b.Paper().Within(tileMargin)
			text := b.say("guide-placement")
			if pages > 1 {
				text = b.say("guide-placement-of", "number", row*t.columns+column+1, "count", pages)
				b.plan(t, column, row, geometry.RectXYWH(r.Max.X-14, r.Min.Y, 14, headRoom-3))
			}
			wide := r.Width() - 18
			y := b.Paragraph(r.Min, wide, text, print.Type{Size: 11, Bold: true, Colour: accent})
			how := b.say("guide-placement-how")
			if pages > 1 {
				how = b.say("guide-placement-join")
			}
			b.Paragraph(geometry.Pt(r.Min.X, y), wide, how, caption)
			b.part1to1(t, t.shift(column, row))
			ruler := caption
			ruler.Size = 7
			at := geometry.Pt(r.Min.X+2, r.Max.Y-rulerRoom+4)
			b.Ruler(at, "mm", ruler)
			b.Paragraph(at.Add(geometry.Pt(print.RulerMM+8, -1)), r.Max.X-at.X-print.RulerMM-8, b.say("guide-placement-ruler"), caption)
		}
	}
}

// part1to1 draws what one page shows of the picture.
func (b *assembly) part1to1(t tiling, shift geometry.Affine) {
	m := shift.Mul(t.lie())
	b.Within(t.room, func() {
		for k := range b.Plan.Separations {
			b.stamp(k, tinted, m)
		}
		b.border(m)
		for _, q := range pointers(b.pieces()) {
			if !t.room.Encloses(m.MapRect(q.bounds)) && !t.room.Contains(m.Apply(q.at)) {
				continue
			}
			if n, ok := within(q, m); ok && t.room.Encloses(n.box) {
				c := print.Type{Size: n.size / pointMM, Bold: true, Colour: inkColour, Align: print.Centre}
				b.Text(n.box.Centre().Add(geometry.Pt(0, c.Capitals()/2)), n.text, c)
			}
		}
		line := print.Ink{Line: &inkColour, Width: 0.2}
		for _, at := range t.seams() {
			at = shift.Apply(at)
			const arm = 3.0
			b.Line(at.Add(geometry.Pt(-arm, 0)), at.Add(geometry.Pt(arm, 0)), line)
			b.Line(at.Add(geometry.Pt(0, -arm)), at.Add(geometry.Pt(0, arm)), line)
			b.Draw(geometry.Path{geometry.Ellipse(at, arm/2, arm/2)}, geometry.Identity(), line)
		}
	})
	if t.columns*t.rows > 1 {
		b.Rect(t.room, print.Ink{Line: &comingGrey, Width: 0.1, Dash: []float64{1, 1}})
	}
}

// plan shows which of the pages this one is.
func (b *assembly) plan(t tiling, column, row int, into geometry.Rect) {
	m := fitted(geometry.RectXYWH(0, 0, float64(t.columns)*7, float64(t.rows)*10), into, 1)
	for y := range t.rows {
		for x := range t.columns {
			ink := print.Ink{Line: &quiet, Width: 0.15}
			if x == column && y == row {
				ink.Fill = &accent
			}
			b.Rect(m.MapRect(geometry.RectXYWH(float64(x)*7, float64(y)*10, 7, 10)), ink)
		}
	}
}
