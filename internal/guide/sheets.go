package guide

import (
	"bytes"
	"cmp"
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"math"
	"slices"
	"strings"

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
	// Files are what it is cut from, one for each format.
	Files       string
	ViewBox     string
	W, H        string
	Data, Lines string
	Labels      []numeral
}

// mapView is where the pieces of a sheet belong; Copy is empty where copies are alike.
type mapView struct {
	from         int
	Order        int
	Copy         string
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
	type place struct{ from, of int }
	mapped := map[place]bool{}
	for i := range l.Sheets {
		s := &l.Sheets[i]
		laid := g.laid(s)
		if g.LaidIn != nil {
			laid.Files = strings.Join(g.LaidIn(i), ", ")
		}
		v.Sheets = append(v.Sheets, laid)
		for _, p := range s.Placed {
			if at := (place{p.From, p.Of}); p.Piece > 0 && !mapped[at] {
				mapped[at] = true
				v.Maps = append(v.Maps, g.mapOf(s.Page.Separations[0].Order, p.From, p.Of))
			}
		}
	}
	// Those of a copy follow each other.
	slices.SortStableFunc(v.Maps, func(a, b mapView) int { return cmp.Compare(a.from, b.from) })
	return v
}

// copyOf returns the design that a page is of.
func (g *Guide) copyOf(page int) Copy {
	if len(g.Copies) > 0 {
		return g.Copies[page]
	}
	return Copy{Plan: g.Plan, Page: g.Page}
}

func (g *Guide) laid(s *layout.Sheet) laidView {
	sep := &s.Page.Separations[0]
	w, h := s.Page.Width.MM(), s.Page.Height.MM()
	v := laidView{
		Order: sep.Order, Name: g.Words.Put(g.copyOf(s.From).Plan.Separations[s.Of].Called()), Colour: sep.Colour.String(),
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
		text, room := g.say("guide-laid-copy", "number", p.Copy), p.Narrower
		switch {
		case p.Piece > 0:
			text = g.pieceNumber(p.From, p.Of, p.Piece-1)
		case len(g.Copies) > 0:
			text = g.Copies[p.From].Name
			// Letters are some 0.6 of their size broad, and that is half of the room.
			room = min(room, cutfile.Steps(float64(p.Max.X-p.Min.X)/(0.3*float64(len([]rune(text))))))
		}
		v.Labels = append(v.Labels, numbered(text, p.At, room))
	}
	return v
}

// pieceNumber is that of piece n of a separation: alike for all copies that are the
// same, else with the number of the copy before it.
func (g *Guide) pieceNumber(page, separation, n int) string {
	c := g.copyOf(page)
	text := c.Plan.NumberText(fit.PieceID{Of: c.Plan.Separations[separation].Of, N: n})
	if c.Number > 0 {
		return fmt.Sprintf("%d:%s", c.Number, text)
	}
	return text
}

// numbered puts a text where it has room, as large as that allows and can be read.
func numbered(text string, at cutfile.Point, room cutfile.Steps) numeral {
	const least, most = 2, 7 // mm: print as small as a note, and as large as a heading
	size := math.Max(least, math.Min(most, 0.5*room.MM()))
	return numeral{text, short(at.X.MM()), short(at.Y.MM()), short(size)}
}

// mapOf shows the pieces of a separation, which is laid in this order, at their places
// in the design that a page is of.
func (g *Guide) mapOf(order, page, i int) mapView {
	c := g.copyOf(page)
	s := &c.Page.Separations[i]
	v := mapView{
		from: page, Order: order, Copy: c.Name, Name: g.Words.Put(c.Plan.Separations[i].Called()), Colour: s.Colour.String(),
		ViewBox: fmt.Sprintf("0 0 %s %s", short(c.Page.Width.MM()), short(c.Page.Height.MM())), Data: data(s.Contours),
	}
	for k := range c.Page.Separations {
		if k != i {
			v.Whole += data(c.Page.Separations[k].Contours)
		}
	}
	for n, q := range s.Pieces {
		v.Labels = append(v.Labels, numbered(g.pieceNumber(page, i, n), q.Inside, q.Narrower))
	}
	return v
}
