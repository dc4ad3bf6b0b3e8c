package handout

import (
	"fmt"
	"io"
	"math"

	"abut/geometry"
	"abut/internal/print"
	"abut/internal/show"
)

// WriteNotes writes what the teacher's screen has as a PDF, for who has one display: of
// every step a small picture, its sentence, and what to say.
func (l Lesson) WriteNotes(w io.Writer, p print.Paper) error {
	const wide, gap = 52, 6
	say := l.words()
	d := print.New(p, print.Info{Title: l.Title, Language: say.Tag()})
	title, head, text := print.Type{Size: 15, Bold: true, Colour: ink}, print.Type{Size: 11, Bold: true, Colour: ink}, print.Type{Size: 10, Colour: ink}
	room := p.Within(pageMargin)
	left := room.Min.X + wide + gap
	width := room.Max.X - left
	const high = wide * show.PictureHeight / handoutWide
	d.AddPage()
	d.Text(geometry.Pt(room.Min.X, room.Min.Y+title.Capitals()), l.Title+" · "+say.Say("class-say", nil), title)
	y := room.Min.Y + title.Leading() + 4
	for i := range l.Show.Steps {
		s := &l.Show.Steps[i]
		sentence, notes := fmt.Sprintf("%d. %s", i+1, say.Message(s.Sentence)), say.Message(s.Notes)
		need := math.Max(high, d.Height(sentence, width, head)+1+d.Height(notes, width, text))
		if y+need > room.Max.Y {
			d.AddPage()
			y = room.Min.Y
		}
		draw(d, s.Scene(&show.LightRoom, handoutWide, s.Telling), handoutWide, geometry.RectXYWH(room.Min.X, y, wide, high))
		below := d.Paragraph(geometry.Pt(left, y), width, sentence, head)
		d.Paragraph(geometry.Pt(left, below+1), width, notes, text)
		y += need + gap
	}
	return d.Write(w)
}
