package guide

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"math"

	"abut/internal/cutfile"
	"abut/internal/fit"
	"abut/internal/layout"
	"abut/internal/message"
	"abut/internal/words"
)

//go:embed sheets.html.tmpl
var sheetsText string

// sheetsView is what the template of the sheets sees.
type sheetsView struct {
	Language, Title string
	Sheets          []laidView
	// Maps show where the numbers of loose pieces are in the design.
	Maps []mapView
}

// laidView is one sheet with what lies on it. Order, Name and Colour are those of its
// separation.
type laidView struct {
	Order        int
	Name, Colour string
	Facts        []string
	ViewBox      string
	W, H         string
	Data, Lines  string
	Labels       []numeral
}

type mapView struct {
	Order        int
	Name, Colour string
	ViewBox      string
	Data, Whole  string
	Labels       []numeral
}

type numeral struct{ Number, X, Y, Size string }

// WriteSheets writes the sheets of a layout as an HTML page to print: what lies where,
// and of loose pieces where each belongs. All is mirrored, as it is cut.
func (g *Guide) WriteSheets(w io.Writer, l *layout.Layout) error {
	if g.Words == nil {
		g.Words = words.Chosen()
	}
	t, err := template.New("sheets").Funcs(template.FuncMap{"say": g.say}).Parse(sheetsText)
	if err != nil {
		return err
	}
	var b bytes.Buffer // so that a template that fails leaves no half a page
	if err := t.Execute(&b, g.sheetsView(l)); err != nil {
		return fmt.Errorf("making the page of sheets: %w", err)
	}
	_, err = w.Write(b.Bytes())
	return err
}

func (g *Guide) sheetsView(l *layout.Layout) sheetsView {
	v := sheetsView{Language: g.Words.Tag(), Title: g.Title}
	mapped := -1
	for i := range l.Sheets {
		s := &l.Sheets[i]
		v.Sheets = append(v.Sheets, g.laid(s))
		if s.Way == layout.Loose && s.Of != mapped {
			mapped = s.Of
			v.Maps = append(v.Maps, g.mapOf(s.Of))
		}
	}
	return v
}

func (g *Guide) laid(s *layout.Sheet) laidView {
	sep := &s.Page.Separations[0]
	w, h := s.Page.Width.MM(), s.Page.Height.MM()
	v := laidView{
		Order: sep.Order, Name: g.Words.Put(g.Plan.Separations[s.Of].Called()), Colour: sep.Colour.String(),
		ViewBox: fmt.Sprintf("-1 -1 %s %s", short(w+2), short(h+2)), W: short(w), H: short(h),
		Data: data(sep.Contours), Lines: data(sep.Marks),
	}
	if sep.Frame != nil {
		v.Lines += data([]cutfile.Contour{*sep.Frame})
	}
	v.Facts = append(v.Facts,
		g.say("guide-laid-"+string(s.Kind), "size", g.Words.Size(w, h)),
		g.say("guide-pieces", "count", words.Count(len(sep.Pieces))),
		// Of a sheet, not of what is used of it: that is what one pays for.
		g.say("guide-laid-used", "percent", message.Number(math.Round(100*s.AreaMM2/(w*h)))))
	for _, left := range s.Left {
		v.Facts = append(v.Facts, g.say("guide-laid-left", "size", g.Words.Size(left.WidthMM, left.HeightMM)))
	}
	for _, p := range s.Placed {
		text := g.say("guide-laid-copy", "number", p.Copy)
		if p.Piece > 0 {
			text = g.pieceNumber(s.Of, p.Piece-1)
		}
		v.Labels = append(v.Labels, numbered(text, p.At, p.Narrower))
	}
	return v
}

// pieceNumber is that of piece n of a separation: alike for all copies, which are the
// same.
func (g *Guide) pieceNumber(separation, n int) string {
	return g.Plan.NumberText(fit.PieceID{Of: g.Plan.Separations[separation].Of, N: n})
}

// numbered puts a text where it has room, as large as that allows and can be read.
func numbered(text string, at cutfile.Point, room cutfile.Steps) numeral {
	const least, most = 2, 7 // mm: print as small as a note, and as large as a heading
	size := math.Max(least, math.Min(most, 0.5*room.MM()))
	return numeral{text, short(at.X.MM()), short(at.Y.MM()), short(size)}
}

// mapOf shows the pieces of a separation at their places in the design.
func (g *Guide) mapOf(i int) mapView {
	s := &g.Page.Separations[i]
	v := mapView{
		Order: s.Order, Name: g.Words.Put(g.Plan.Separations[i].Called()), Colour: s.Colour.String(),
		ViewBox: fmt.Sprintf("0 0 %s %s", short(g.Page.Width.MM()), short(g.Page.Height.MM())), Data: data(s.Contours),
	}
	for k := range g.Page.Separations {
		if k != i {
			v.Whole += data(g.Page.Separations[k].Contours)
		}
	}
	for n, q := range s.Pieces {
		v.Labels = append(v.Labels, numbered(g.pieceNumber(i, n), q.Inside, q.Narrower))
	}
	return v
}
