// Package guide makes what a person holds while assembling: steps.html, one
// printable page that needs no other file.
package guide

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"math"
	"strconv"

	"abut/geometry"
	"abut/internal/cutfile"
	"abut/internal/fit"
	"abut/internal/fit/assemble"
	"abut/internal/job"
	"abut/internal/layout"
	"abut/internal/message"
	"abut/internal/press"
	"abut/internal/words"
)

//go:embed steps.html.tmpl
var stepsText string

// Guide is what the page is made from.
type Guide struct {
	// Title is the art's name.
	Title string
	Plan  *fit.Plan
	// Page is Plan laid out as it is cut.
	Page *cutfile.Page
	// Copies are those of a layout, by their numbers, where they are not alike.
	Copies []Copy
	// Layout is what was laid out on sheets, nil where each colour is cut from a sheet of its own.
	Layout *layout.Layout
	// Words are the language; nil is English.
	Words *words.Words
	// Blank is what is decorated, nil for unknown.
	Blank *job.Blank
	// Warnings are what to know about the art and the plan.
	Warnings []job.Warning
	// FileOf names the file that a sheet is cut from, or with the number of a drawing
	// from 1 the one that is drawn from.
	FileOf func(order, drawing int) string

	// LaidIn names the files that sheet i of the layout is cut from.
	LaidIn func(sheet int) []string

	// known are the pieces, once they were asked for.
	known []piece
}

// Copy is one of the copies of a design with something of its own, such as a name.
type Copy struct {
	// Number is that of what it was made for, and goes before the numbers of its pieces.
	Number int
	Name   string
	Plan   *fit.Plan
	Page   *cutfile.Page
}

// pieces returns all pieces of the plan.
func (g *Guide) pieces() []piece {
	if g.known == nil {
		g.known = piecesOf(g.Plan, g.Page)
	}
	return g.known
}

// view is what the template sees: strings ready to print.
type view struct {
	Language string
	Title    string
	Facts    []string
	Stacked  *stackedView
	// Beyond says what is too small for the art.
	Beyond  []string
	ViewBox string
	// WholeBox is the big picture's window, with the numbers beside it.
	WholeBox string
	Frame    string
	Why      []string
	Sheets   []sheetView
	// Marks are path data.
	Marks string
	// Drawn lists what is drawn first, on which sheet and from which file.
	Drawn  []string
	Labels []label
	// Without is how many pieces are too many to be numbered.
	Without message.Count
	// ByHand and WithFilm list the sheets that go over so.
	ByHand, WithFilm string
	// First is what is done with the sheets before they are cut, Parting how copies are parted after.
	First   step
	Parting *step
	// Few: of some sheet several pieces are laid one by one.
	Few      bool
	Notes    []note
	Press    []pressView
	Cautions []cautionView
}

type stackedView struct {
	Count message.Count
	Area  string
}

type sheetView struct {
	Order               int
	Name, Colour, File  string
	Base                bool
	Pieces, Trim, Carry string
	// Why says why it goes over so.
	Why string
	// Data and Frame are path data.
	Data, Frame string
	Drawn       []drawnView
	// Sheet is the trimmed sheet on the page.
	Sheet box
}

// drawnView is what a pen draws on a sheet; Step says when.
type drawnView struct{ Color, Data, Text, File, Step string }

type box struct{ X, Y, W, H string }

type label struct {
	// Number is the sheet's and, of several, the piece's.
	Number     string
	X, Y, Size string
	// Leader is path data of the line to a piece that has no room for its number.
	Leader string
}

type note struct{ Text, Remedy string }

// pressView is a row of the table of starting points.
type pressView struct{ Name, Heat, Time string }

// cautionView is a caution with its sign: path data and colours.
type cautionView struct{ ID, Ground, Lines, Fill, Edge, Line string }

// Write writes the page as HTML.
func (g *Guide) Write(w io.Writer) error {
	g.speak()
	t, err := template.New("steps").Funcs(template.FuncMap{"say": g.say}).Parse(stepsText)
	if err != nil {
		return err
	}
	var b bytes.Buffer // so that a template that fails leaves no half a page
	if err := t.Execute(&b, g.view()); err != nil {
		return fmt.Errorf("making the steps page: %w", err)
	}
	_, err = w.Write(b.Bytes())
	return err
}

// speak sets the language where none was given.
func (g *Guide) speak() {
	if g.Words == nil {
		g.Words = words.Chosen()
	}
}

// say is the template's way to words: an id and pairs of name and value.
func (g *Guide) say(id string, pairs ...any) string {
	return g.Words.Message(words.Pairs(id, pairs...))
}

func (g *Guide) view() view {
	p, page := g.Plan, g.Page
	v := view{
		Language: g.Words.Tag(),
		Title:    g.Title,
		Facts:    g.facts(),
		Notes:    g.notes(),
	}
	for _, r := range press.Rows() {
		v.Press = append(v.Press, pressView{g.Words.Message(r.Name()), g.Words.Message(r.Heat()), g.Words.Message(r.Time())})
	}
	for _, c := range cautions {
		ground, fill, edge, line := c.look()
		v.Cautions = append(v.Cautions, cautionView{c.ID, ground, c.lines, fill.String(), edge.String(), line.String()})
	}
	for _, why := range []message.Message{p.BaseReason, p.FrameReason} {
		if why.ID != "" {
			v.Why = append(v.Why, g.Words.Message(why))
		}
	}
	if p.Stacked.AreaMM2 > 0 {
		v.Stacked = &stackedView{words.Count(len(p.Stacked.Places)), g.Words.Area(p.Stacked.AreaMM2)}
	}
	for _, x := range p.Beyond {
		v.Beyond = append(v.Beyond, g.Words.Message(x.Message))
	}
	carried := map[assemble.Carry][]string{}
	for i := range page.Separations {
		s := &page.Separations[i]
		v.Few = v.Few || s.Carry == assemble.ByHand && len(s.Pieces) > 1
		carried[s.Carry] = append(carried[s.Carry], g.sheetName(i))
		sheet := g.sheet(i)
		if i == 0 {
			v.Marks, v.Frame = data(s.Marks), sheet.Frame
		}
		for _, d := range sheet.Drawn {
			v.Drawn = append(v.Drawn, d.Step)
		}
		v.Sheets = append(v.Sheets, sheet)
	}
	v.First = g.first()
	if p, ok := g.parting(); ok {
		v.Parting = &p
	}
	v.ByHand, v.WithFilm = g.Words.List(carried[assemble.ByHand]), g.Words.List(carried[assemble.WithFilm])
	// One window for all pictures, wide enough for the widest trimmed sheet.
	w, h := cutfile.Separation{Max: cutfile.Point{X: page.Width, Y: page.Height}}.TrimMM()
	part := geometry.RectXYWH((page.Width.MM()-w)/2-1, (page.Height.MM()-h)/2-1, w+2, h+2)
	v.ViewBox, v.WholeBox = viewBox(part), viewBox(v.numbered(g.pieces(), part))
	return v
}

func viewBox(r geometry.Rect) string {
	return fmt.Sprintf("%s %s %s %s", short(r.Min.X), short(r.Min.Y), short(r.Width()), short(r.Height()))
}

// facts are the sizes and numbers at the head of the page.
func (g *Guide) facts() []string {
	out := []string{g.say("guide-size", "size", g.Words.Size(g.Plan.Extent.Width(), g.Plan.Extent.Height()))}
	if g.Plan.Frame != nil {
		out = append(out, g.say("guide-page", "size", g.Words.Size(g.Page.Width.MM(), g.Page.Height.MM())))
	}
	return append(out, g.numbersOf(g.Page.Separations)...)
}

// sheetName is the number and name of the page's sheet i, in a sentence.
func (g *Guide) sheetName(i int) string {
	return g.say("guide-sheet", "number", i+1, "name", g.Plan.Separations[i].Called())
}

// sheet is what the page shows of its separation i.
func (g *Guide) sheet(i int) sheetView {
	s, planned := &g.Page.Separations[i], &g.Plan.Separations[i]
	w, h := s.TrimMM()
	v := sheetView{
		Order: s.Order, Name: g.Words.Put(planned.Called()), Colour: s.Colour.String(), File: g.FileOf(s.Order, 0),
		Base:   i == 0,
		Pieces: g.say("guide-pieces", "count", words.Count(len(s.Pieces))),
		Trim:   g.trimmed(i),
		Carry:  string(s.Carry),
		Why:    g.Words.Message(planned.CarryReason),
		Data:   data(s.Contours),
		Sheet: box{
			short((s.Min.X.MM() + s.Max.X.MM() - w) / 2), short((s.Min.Y.MM() + s.Max.Y.MM() - h) / 2),
			short(w), short(h),
		},
	}
	if s.Frame != nil {
		v.Frame = data([]cutfile.Contour{*s.Frame})
	}
	for k, d := range g.Page.Drawings {
		if d.Sheet != i {
			continue
		}
		file, pen := g.FileOf(s.Order, k+1), message.ColourName{Word: d.Name}
		v.Drawn = append(v.Drawn, drawnView{
			Color: d.Colour.String(), Data: lineData(d.Lines), Text: g.say("guide-drawn", "color", pen), File: file,
			Step: g.say("guide-step-draw-one", "sheet", g.sheetName(i), "color", pen, "file", file),
		})
	}
	return v
}

func (g *Guide) notes() []note {
	var out []note
	if g.Plan.BareMM2 > 0 {
		out = append(out, note{Text: g.say("guide-bare", "area", g.Words.Area(g.Plan.BareMM2))})
	}
	if len(g.Plan.LeftOut) > 0 {
		out = append(out, note{Text: g.say("guide-left-out", "names", g.Words.List(g.Plan.LeftOut))})
	}
	for _, x := range g.Warnings {
		text, remedy := g.Words.Warning(x)
		out = append(out, note{text, remedy})
	}
	return out
}

// shownMM is about how wide and high the big picture is when the page is printed.
const shownMM = 95

// numbered places all pieces' numbers on the big picture, which shows this part of
// the page, and returns what it has to show then to have those beside it, too.
func (v *view) numbered(pieces []piece, part geometry.Rect) geometry.Rect {
	scale := math.Min(shownMM/part.Width(), shownMM/part.Height())
	m := geometry.Scale(scale, scale)
	area := m.MapRect(part)
	beside := besideGap + besideWide
	area.Min.X, area.Max.X = area.Min.X-beside, area.Max.X+beside
	list, without := numbering(pointers(pieces), m, area)
	back := geometry.Scale(1/scale, 1/scale)
	for _, n := range list {
		at := back.Apply(n.box.Centre())
		l := label{Number: n.text, X: short(at.X), Y: short(at.Y), Size: short(n.size / scale)}
		if n.leader != nil {
			from, to := back.Apply(n.leader[0]), back.Apply(n.leader[1])
			l.Leader = fmt.Sprintf("M%s %sL%s %s", short(from.X), short(from.Y), short(to.X), short(to.Y))
			part = part.Union(back.MapRect(n.box.Grow(1)))
		}
		v.Labels = append(v.Labels, l)
	}
	v.Without = words.Count(without)
	return part
}

// pointers are the pieces, to choose from.
func pointers(pieces []piece) []*piece {
	out := make([]*piece, len(pieces))
	for i := range pieces {
		out[i] = &pieces[i]
	}
	return out
}

// short writes millimetres for a picture: a hundredth is finer than print.
func short(mm float64) string {
	return strconv.FormatFloat(math.Round(mm*100)/100, 'f', -1, 64)
}

// data is path data for a picture, to a hundredth of a millimetre.
func data(contours []cutfile.Contour) string {
	var b []byte
	put := func(sep byte, p cutfile.Point) {
		b = append(b, sep)
		b = append(b, short(p.X.MM())...)
		b = append(b, ' ')
		b = append(b, short(p.Y.MM())...)
	}
	const hundredth = cutfile.StepsPerMM / 100
	round := func(p cutfile.Point) cutfile.Point {
		return cutfile.Point{X: (p.X + hundredth/2) / hundredth, Y: (p.Y + hundredth/2) / hundredth}
	}
	for _, c := range contours {
		put('M', c.Start)
		at := round(c.Start)
		for _, s := range c.Segments {
			if s.Cubic {
				put('C', s.C1)
				put(' ', s.C2)
				put(' ', s.End)
			} else if round(s.End) != at {
				put('L', s.End)
			}
			at = round(s.End)
		}
		b = append(b, 'Z')
	}
	return string(b)
}

// lineData is data for lines, which stay open unless they are closed.
func lineData(lines []cutfile.Line) string {
	var b []byte
	for _, l := range lines {
		d := data([]cutfile.Contour{l.Contour})
		if !l.Closed {
			d = d[:len(d)-1] // without the Z
		}
		b = append(b, d...)
	}
	return string(b)
}
