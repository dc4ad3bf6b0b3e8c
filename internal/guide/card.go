package guide

import (
	"io"
	"strings"

	"abut/geometry"
	"abut/internal/job"
	"abut/internal/press"
	"abut/internal/print"
	"abut/internal/words"
)

// CardName is the file name of the press card on paper of a format.
func CardName(p print.Paper) string { return "press-card-" + p.Slug() + ".pdf" }

// WriteCard writes the press card as PDF, one page: the blank, the sheets, what the
// person has found to work and room to write more, starting points, what to do before,
// during and after, and what to take care of.
func (g *Guide) WriteCard(w io.Writer, p print.Paper) error {
	g.speak()
	b := newBook(g, p, g.say("press-title")+": "+g.Title)
	b.card()
	return b.Document.Write(w)
}

// maxCardLines is how many lines a name may take on the card, which has to stay one page.
const maxCardLines = 2

// short is text of at most so many lines, the last one ending in an ellipsis where there
// is more.
func (b *book) short(text string, width float64, t print.Type, lines int) string {
	all := b.Lines(text, width, t)
	if len(all) <= lines {
		return text
	}
	last := []rune(all[lines-1])
	for len(last) > 0 && b.Width(string(last)+"…", t) > width {
		last = last[:len(last)-1]
	}
	return strings.Join(append(all[:lines-1:lines-1], string(last)+"…"), "\n")
}

func (b *book) card() {
	b.page()
	r := b.room()
	wide := r.Width()
	b.para(b.short(b.say("press-title")+": "+b.Title, wide, title, maxCardLines), title)
	blank := b.say("press-no-blank")
	if b.Blank != nil {
		blank = b.say("press-blank") + ": " + b.Blank.Name + ", " + b.Words.Size(b.Blank.WidthMM, b.Blank.HeightMM)
	}
	b.para(b.short(blank, wide, body, 1), body)
	var names []string
	for i := range b.Plan.Separations {
		names = append(names, b.Words.Put(b.Plan.Separations[i].Called()))
	}
	sheets := b.say("press-sheets", "count", words.Count(len(names)), "names", b.Words.List(names))
	b.para(b.short(sheets, wide, caption, maxCardLines), caption)
	b.y += gap / 2

	b.head(b.say("press-own"))
	b.own()
	b.head(b.say("press-start"))
	b.starting()
	b.para(b.say("guide-press-how"), caption)
	b.y += gap / 2

	// Three columns: before, during, after.
	const columns = 3
	column := (wide - (columns-1)*gap) / columns
	y := b.y
	for i, id := range []string{"press-before", "press-during", "press-after"} {
		at := geometry.Pt(r.Min.X+float64(i)*(column+gap), y)
		at.Y = b.Paragraph(at, column, b.say(id), heading)
		b.y = max(b.y, b.Paragraph(at, column, b.say(id+"-how"), card))
	}
	b.y += gap / 2
	b.para(b.say("press-once"), heading)
	b.para(b.say("press-once-how"), card)
	b.y += gap / 2

	b.head(b.say("press-cautions"))
	const sign = 11.0
	y = b.y
	for i, c := range cautions {
		if i > 0 && i%columns == 0 {
			y = b.y + 2
		}
		at := geometry.Pt(r.Min.X+float64(i%columns)*(column+gap), y)
		b.sign(c, geometry.RectXYWH(at.X, at.Y, sign, sign))
		text := at.Add(geometry.Pt(sign+2, 0))
		text.Y = b.Paragraph(text, column-sign-2, b.say(c.ID), strong)
		b.y = max(b.y, at.Y+sign, b.Paragraph(text, column-sign-2, b.say(c.ID+"-how"), caption))
	}
	b.y += 2
	b.para(b.say("guide-also"), card)
	b.para(b.say("press-decide"), strong)
}

// card is the type of the card's text: it has to fit on one page.
var card = print.Type{Size: 8.5, Colour: inkColour}

// own are the person's own values, what is doubtful about them, and room to write.
func (b *book) own() {
	r := b.room()
	var v job.Pressing
	if b.Blank != nil {
		v = b.Blank.Press
	}
	lines := 3 // to write on
	if v == (job.Pressing{Kind: v.Kind}) {
		b.para(b.say("press-own-none"), caption)
		lines = 5
	} else {
		var parts []string
		add := func(id, value string) {
			if value != "" {
				parts = append(parts, b.say(id)+" "+value)
			}
		}
		if v.HeatC > 0 {
			add("press-heat", b.Words.Message(press.HeatOf(v.HeatC)))
		}
		if v.Seconds > 0 {
			add("press-time", b.Words.Message(press.TimeOf(v.Seconds)))
		}
		add("press-pressure", v.Pressure)
		b.para(b.short(strings.Join(parts, "  ·  "), r.Width(), strong, maxCardLines), strong)
		if v.Note != "" {
			b.para(b.short(v.Note, r.Width(), card, 3), card)
		}
		for _, m := range press.Doubts(*b.Blank) {
			b.para("▲ "+b.Words.Message(m), strong)
		}
	}
	b.y += 1
	const high = 7.5 // enough for a pen
	widths := []float64{24, 24, 24, 24, r.Width() - 4*24}
	x := r.Min.X
	for i, id := range []string{"press-date", "press-heat", "press-time", "press-pressure", "press-looked"} {
		b.Paragraph(geometry.Pt(x, b.y), widths[i], b.say(id), caption)
		x += widths[i]
	}
	b.y += caption.Leading()
	for i := range lines + 1 {
		y := b.y + float64(i)*high
		b.Line(geometry.Pt(r.Min.X, y), geometry.Pt(r.Max.X, y), print.Ink{Line: &comingGrey, Width: 0.2})
	}
	b.y += float64(lines)*high + gap/2
}

// starting is the table of starting points; those for the blank are bold.
func (b *book) starting() {
	wide := b.room().Width()
	columns := []print.Column{
		{Head: b.say("press-blank"), Width: 58}, {Head: b.say("press-heat"), Width: 50}, {Head: b.say("press-time"), Width: 24},
		{Head: b.say("press-source"), Width: wide - 58 - 50 - 24},
	}
	ours := map[string]bool{}
	if b.Blank != nil {
		for _, row := range press.For(b.Blank) {
			ours[row.ID] = true
		}
	}
	var rows [][]print.Cell
	for _, row := range press.Rows() {
		cell := func(text string) print.Cell { return print.Cell{Text: text, Bold: ours[row.ID]} }
		rows = append(rows, []print.Cell{cell(b.Words.Message(row.Name())), cell(b.Words.Message(row.Heat())), cell(b.Words.Message(row.Time())), {Text: b.Words.Message(row.Sourced())}})
	}
	b.table(columns, rows)
	b.y -= gap / 2
}
