package handout

import (
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"abut/geometry"
	"abut/internal/print"
	"abut/internal/show"
	"abut/internal/words"
)

// WriteWorksheet writes a page of tasks as a PDF, colour the sheets, mark what stacks,
// number the order, and a second page with the answers.
func (l Lesson) WriteWorksheet(w io.Writer, p print.Paper) error {
	d := print.New(p, print.Info{Title: l.Title, Language: l.words().Tag()})
	for _, answers := range []bool{false, true} {
		d.AddPage()
		l.tasks(d, answers)
	}
	return d.Write(w)
}

// worksheetSheets is how many sheets there is room for.
const worksheetSheets = 12

func (l Lesson) tasks(d *print.Document, answers bool) {
	say := l.words()
	room := d.Paper().Within(pageMargin)
	title, task := print.Type{Size: 15, Bold: true, Colour: ink}, print.Type{Size: 10.5, Bold: true, Colour: ink}
	name := "class-worksheet"
	if answers {
		name = "class-answers"
	}
	d.Text(geometry.Pt(room.Min.X, room.Min.Y+title.Capitals()), l.Title+" · "+say.Say(name, nil), title)
	y := room.Min.Y + title.Leading() + 3
	y = d.Paragraph(geometry.Pt(room.Min.X, y), room.Width(), say.Say("class-task-colour", nil), task) + 2
	sheets, page := l.Show.Cut()
	all := sheets
	sheets = sheets[:min(len(sheets), worksheetSheets)]
	y = l.sheets(d, sheets, page, geometry.RectXYWH(room.Min.X, y, room.Width(), 0.32*room.Height()), answers)
	if answers {
		y = d.Paragraph(geometry.Pt(room.Min.X, y), room.Width(), say.Say("class-answer-mirror", nil), print.Type{Size: 10, Colour: ink})
	}
	y += 4
	drawn, extent, stacked := l.Show.Drawn()
	id := "class-task-stack"
	if stacked == nil {
		id = "class-task-none"
	}
	y = d.Paragraph(geometry.Pt(room.Min.X, y), room.Width(), say.Say(id, nil), task) + 2
	box := geometry.RectXYWH(room.Min.X, y, room.Width(), 0.3*room.Height())
	at := show.Fitted(extent, box)
	for i := range drawn {
		d.Draw(drawn[i].All.Path, at, print.Ink{Line: &ink, Width: 0.3})
	}
	if answers && stacked != nil {
		hatched(d, stacked.Path.Transform(at))
	}
	y = box.Max.Y + 4
	if answers && stacked == nil {
		y = d.Paragraph(geometry.Pt(room.Min.X, y), room.Width(), say.Say("class-answer-none", nil), print.Type{Size: 10, Colour: ink}) + 2
	}
	y = d.Paragraph(geometry.Pt(room.Min.X, y), room.Width(), say.Say("class-task-order", nil), task) + 3
	l.order(d, all, geometry.Rect{Min: geometry.Pt(room.Min.X, y), Max: room.Max}, answers)
}

// sheets draws the sheets side by side as they are cut, each with its name, and returns
// where they end.
func (l Lesson) sheets(d *print.Document, sheets []show.Sheet, page, room geometry.Rect, coloured bool) float64 {
	t := print.Type{Size: 8, Colour: ink, Align: print.Centre}
	const between = 3
	// As many beside each other as make them largest: they are coloured in by hand.
	columns, high := 1, 0.0
	for n := 1; n <= len(sheets); n++ {
		rows := float64((len(sheets) + n - 1) / n)
		h := min((room.Width()/float64(n)-between)*page.Height()/page.Width(), room.Height()/rows-between-t.Leading())
		if h > high {
			columns, high = n, h
		}
	}
	w, h := room.Width()/float64(columns), high+between+t.Leading()
	bottom := room.Min.Y
	for i := range sheets {
		cell := geometry.RectXYWH(room.Min.X+float64(i%columns)*w, room.Min.Y+float64(i/columns)*h, w-between, high)
		at := show.Fitted(page, cell)
		r := at.MapRect(page)
		at = at.Mul(geometry.MirrorX(2 * page.Centre().X))
		d.Rect(r, print.Ink{Line: &ink, Width: 0.3})
		pen := print.Ink{Line: &ink, Width: 0.25}
		if coloured {
			pen.Fill = &sheets[i].Colour
		}
		d.Draw(sheets[i].All.Path, at, pen)
		d.Text(geometry.Pt(cell.Centre().X, cell.Max.Y+t.Leading()), words.Capital(l.words().Put(sheets[i].Name)), t)
		bottom = math.Max(bottom, cell.Max.Y+t.Leading()+2)
	}
	return bottom
}

// order lists the sheets by their names, each with a box for its number.
func (l Lesson) order(d *print.Document, sheets []show.Sheet, room geometry.Rect, answers bool) {
	type entry struct {
		name  string
		order int
	}
	var list []entry
	for i := range sheets {
		list = append(list, entry{words.Capital(l.words().Put(sheets[i].Name)), i + 1})
	}
	slices.SortStableFunc(list, func(a, b entry) int { return strings.Compare(a.name, b.name) })
	t := print.Type{Size: 9.5, Colour: ink}
	const side, down, columns = 6, 8, 4
	for i, e := range list {
		x, y := room.Min.X+float64(i%columns)*room.Width()/columns, room.Min.Y+float64(i/columns)*down
		if y+side > room.Max.Y {
			break
		}
		d.Rect(geometry.RectXYWH(x, y, side, side), print.Ink{Line: &ink, Width: 0.3})
		base := y + side/2 + t.Capitals()/2
		if answers {
			centred := t
			centred.Align, centred.Bold = print.Centre, true
			d.Text(geometry.Pt(x+side/2, base), strconv.Itoa(e.order), centred)
		}
		d.Text(geometry.Pt(x+side+2, base), e.name, t)
	}
}
