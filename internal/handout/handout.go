package handout

import (
	"fmt"
	"io"

	"abut/geometry"
	"abut/internal/print"
	"abut/internal/show"
	"abut/internal/words"
)

// WriteHandout writes the lesson's steps as a PDF, four or six a page, each with lines to
// write on.
func (l Lesson) WriteHandout(w io.Writer, p print.Paper, perPage int) error {
	const columns, gap = 2, 8
	rows := max(perPage/columns, 1)
	say := l.words()
	title := print.Type{Size: 13, Bold: true, Colour: ink}
	d := print.New(p, print.Info{Title: l.Title, Language: say.Tag()})
	room := p.Within(pageMargin)
	head := title.Leading() + 3
	width := (room.Width() - gap*(columns-1)) / columns
	height := (room.Height() - head - gap*float64(rows-1)) / float64(rows)
	for i := range l.Show.Steps {
		n := i % (rows * columns)
		if n == 0 {
			d.AddPage()
			d.Text(geometry.Pt(room.Min.X, room.Min.Y+title.Capitals()), say.Say("class-page-of", map[string]string{"title": l.Title, "number": fmt.Sprint(d.Pages())}), title)
		}
		cell := geometry.RectXYWH(room.Min.X+float64(n%columns)*(width+gap), room.Min.Y+head+float64(n/columns)*(height+gap), width, height)
		l.step(d, i, cell)
	}
	return d.Write(w)
}

// handoutWide is how wide a stage on paper is: 16:9 of all that a class sees.
const handoutWide = 1100

// step draws one step into a cell: its picture, its sentence, and lines.
func (l Lesson) step(d *print.Document, i int, cell geometry.Rect) {
	s, say := &l.Show.Steps[i], l.words()
	high := cell.Width() * show.PictureHeight / handoutWide
	scene := s.Scene(&show.LightRoom, handoutWide, s.Telling)
	box := geometry.RectXYWH(cell.Min.X, cell.Min.Y, cell.Width(), high)
	draw(d, scene, handoutWide, box)
	if s.Telling == 1 {
		k := cell.Width() / handoutWide
		for _, x := range scene.Labels {
			t := print.Type{Size: 6.5, Colour: ink}
			d.Text(geometry.Pt(box.Min.X+k*x.At.X, box.Min.Y+k*x.At.Y+t.Capitals()/2), words.Capital(say.Put(x.Says)), t)
		}
	}
	t := print.Type{Size: 10, Colour: ink}
	y := d.Paragraph(geometry.Pt(cell.Min.X, box.Max.Y+2), cell.Width(), fmt.Sprintf("%d. %s", i+1, say.Message(s.Sentence)), t)
	const apart = 8 // as school paper is ruled
	for y += apart; y <= cell.Max.Y; y += apart {
		d.Line(geometry.Pt(cell.Min.X, y), geometry.Pt(cell.Max.X, y), print.Ink{Line: &ink, Width: hairline})
	}
}
