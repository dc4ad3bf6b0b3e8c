package print

import (
	"abut/geometry"
	"abut/internal/colour"
)

// Table is rows of text under heads.
type Table struct {
	Columns []Column
	Rows    [][]Cell
	Type    Type
	// Rule is the colour of the lines between rows.
	Rule colour.RGB
}

// Column is one of a table: its head, its width in millimetres, and whether its
// text ends at the right, as numbers do.
type Column struct {
	Head  string
	Width float64
	Right bool
}

// Cell is what stands in one row of a column.
type Cell struct {
	Text string
	Bold bool
	// Draw draws something instead, into the place that the cell leaves for it: a
	// square as high as a line.
	Draw func(geometry.Rect)
}

const (
	// cellGap is how much of a column's width stays free at its right, cellPad how
	// much of a row's height above and below its text.
	cellGap, cellPad = 3, 0.7
	ruleWidth        = 0.2
)

// Table draws the table with its upper left corner at `at`, and returns where
// it ends. A row that would reach below bottom goes with all that follow to where
// next says, under the same heads: next begins a page, or another column, and
// returns the corner to go on at and the new bottom.
func (d *Document) Table(at geometry.Point, bottom float64, t Table, next func() (at geometry.Point, bottom float64)) float64 {
	head := make([]Cell, len(t.Columns))
	for i, c := range t.Columns {
		head[i] = Cell{Text: c.Head, Bold: true}
	}
	y := d.row(at, t, head)
	fresh := true // nothing but heads yet: going on elsewhere would gain nothing
	for _, row := range t.Rows {
		if !fresh && y+d.rowHeight(t, row) > bottom {
			at, bottom = next()
			y = d.row(at, t, head)
		}
		y = d.row(geometry.Pt(at.X, y), t, row)
		fresh = false
	}
	return y
}

// cellType is how a cell of a column is set.
func (t Table) cellType(c Column, cell Cell) Type {
	s := t.Type
	s.Bold = cell.Bold
	if s.Align = Left; c.Right {
		s.Align = Right
	}
	return s
}

func (d *Document) rowHeight(t Table, row []Cell) float64 {
	h := t.Type.Leading()
	for i, cell := range row {
		h = max(h, d.Height(cell.Text, t.Columns[i].Width-cellGap, t.cellType(t.Columns[i], cell)))
	}
	return h + 2*cellPad
}

// row draws one row and returns where it ends.
func (d *Document) row(at geometry.Point, t Table, row []Cell) float64 {
	h, x, wide := d.rowHeight(t, row), at.X, 0.0
	for i, cell := range row {
		c := t.Columns[i]
		if cell.Draw != nil {
			cell.Draw(geometry.RectXYWH(x, at.Y+cellPad, t.Type.Leading(), t.Type.Leading()))
		}
		d.Paragraph(geometry.Pt(x, at.Y+cellPad), c.Width-cellGap, cell.Text, t.cellType(c, cell))
		x += c.Width
		wide += c.Width
	}
	y := at.Y + h
	d.Line(geometry.Pt(at.X, y), geometry.Pt(at.X+wide-cellGap, y), Ink{Line: &t.Rule, Width: ruleWidth})
	return y
}
