// Package cutfile makes the page that every cut file of a job shows: each
// separation's contours, mirrored once, at true size, all from one origin. The
// formats (package svg and others to come) only spell it out.
//
// Coordinates are whole steps of 0.1 µm, the grid that plans are made on: what
// is written has four exact decimals of a millimetre, mirroring loses nothing,
// and neighbours that share a line on the board share it to the last digit in
// their files.
package cutfile

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/colour"
	"abut/internal/fit"
	"abut/internal/fit/assemble"
	"abut/internal/job"
)

// StepsPerMM is the resolution of a page: that of the planar map.
const StepsPerMM = planar.StepsPerMM

// Page is what a job's cut files show. Y points down; x is mirrored already.
type Page struct {
	// Width and Height are in steps.
	Width, Height Steps
	// IsSheet: the page is the sheet itself, from edge to edge, and never grows.
	IsSheet bool
	// BoardToPage maps board millimetres to page millimetres, not mirrored.
	BoardToPage geometry.Affine
	// Separations are in order of assembly, the base first.
	Separations []Separation
	// Drawings are what is drawn on sheets before they are cut, by sheet.
	Drawings []Drawing
}

// PenMM is how broad the lines of a Drawing are shown.
const PenMM = fit.PenMM

// Drawing is what a pen draws on one sheet.
type Drawing struct {
	// Sheet indexes Page.Separations.
	Sheet    int
	Name     string
	Colour   colour.RGB
	Layers   []job.LayerID
	Lines    []Line
	LengthMM float64
}

// Line is what a pen draws without being lifted.
type Line struct {
	Contour
	Closed bool
}

// Separation is all that is cut from one sheet.
type Separation struct {
	// Order counts from 1, the base, up to Orders.
	Order, Orders int
	// Sheet counts the sheets that it is laid out on from 1 to Sheets; both are 0 where it is on no
	// more than one.
	Sheet, Sheets int
	Name          string
	Colour        colour.RGB
	Use           job.Use
	// Contours are closed, inner ones before the one that holds them, none
	// twice; together they enclose the pieces by the even-odd rule.
	Contours []Contour
	// Frame is the closed line around the art, nil but on a base that has one.
	Frame *Contour
	// Marks are small closed shapes outside the art, to line film up.
	Marks []Contour
	// Weeding are open lines through waste, cut before all else, and Box is a closed
	// one around the work, cut after its contours; see Care.
	Weeding []Contour
	Box     *Contour
	// Pieces are the places where a number can stand and how much room there
	// is, in the plan's order.
	Pieces []Piece
	// Min and Max are the bounds of the contours, the frame and the marks.
	Min, Max Point
	// AreaMM2 is that of the pieces, CutMM the length of their boundary.
	AreaMM2 float64
	CutMM   float64
	Carry   assemble.Carry
}

// Piece is one connected part of a separation, for guides.
type Piece struct {
	// Of counts the pieces of a separation from 1 where they are laid one by one,
	// else it is 0.
	Of      int
	Inside  Point
	AreaMM2 float64
	// CutMM is the length of its boundary.
	CutMM float64
	// Narrower is the smaller side of the piece's bounds.
	Narrower Steps
	// Contours are its own, as those of the separation.
	Contours []Contour
}

// Steps is a length in steps of 0.1 µm.
type Steps int64

// MM returns the length in millimetres.
func (s Steps) MM() float64 { return float64(s) / StepsPerMM }

// String returns the length in millimetres, exactly: at most four decimals, no
// trailing zeros, a point for the decimals.
func (s Steps) String() string { return string(s.Append(nil)) }

// Append appends what String returns.
func (s Steps) Append(b []byte) []byte {
	if s < 0 {
		b = append(b, '-')
		s = -s
	}
	b = fmt.Append(b, int64(s/StepsPerMM))
	frac := int64(s % StepsPerMM)
	if frac == 0 {
		return b
	}
	b = append(b, '.')
	for div := int64(StepsPerMM / 10); frac > 0; div /= 10 {
		b = append(b, byte('0'+frac/div))
		frac %= div
	}
	return b
}

// Point is a place on the page.
type Point struct{ X, Y Steps }

// MM returns the place in millimetres.
func (p Point) MM() geometry.Point { return geometry.Pt(p.X.MM(), p.Y.MM()) }

// Segment is a straight line to End or, when Cubic, a Bézier with controls C1
// and C2.
type Segment struct {
	C1, C2, End Point
	Cubic       bool
}

// Contour is a closed line: its last segment ends at Start, or a straight line
// leads back there.
type Contour struct {
	Start    Point
	Segments []Segment
	// Over is what is cut on from Start once the contour is closed, along its own
	// beginning; see Care.
	Over []Segment
}

// closing returns the contour's segments with the line that is implied.
func closing(c Contour) []Segment {
	if n := len(c.Segments); c.Segments[n-1].End != c.Start {
		return append(slices.Clone(c.Segments), Segment{End: c.Start})
	}
	return c.Segments
}

// Cut returns the way of the knife: the segments and whether the line that closes the
// contour follows them. With something to cut on over it does not: what closes it is
// among the segments then.
func (c Contour) Cut() (segments []Segment, closes bool) {
	if len(c.Over) == 0 {
		return c.Segments, true
	}
	return slices.Concat(closing(c), c.Over), false
}

// MM returns the contour in millimetres, closed once.
func (c Contour) MM() geometry.Contour {
	out := geometry.Contour{Start: c.Start.MM(), Segments: make([]geometry.Segment, len(c.Segments)), Closed: true}
	for i, s := range c.Segments {
		out.Segments[i] = s.MM()
	}
	return out
}

// MM returns the segment in millimetres.
func (s Segment) MM() geometry.Segment {
	return geometry.Segment{C1: s.C1.MM(), C2: s.C2.MM(), End: s.End.MM(), Cubic: s.Cubic}
}

// ToSteps rounds: plan coordinates are multiples of a step, and floats of that
// size are off by far less.
func ToSteps(mm float64) Steps { return Steps(math.Round(mm * StepsPerMM)) }

// fuzz is how far (steps) a side of the page may lie beyond a grid line and
// still be taken for it. Larger than the rounding of floats at 2 m (1e-8
// steps), far smaller than a step.
const fuzz = 1e-3

// New lays a plan out on its page. A plan without pieces gives a page without
// separations. It fails when the page reaches beyond all numbers or the frame is
// not one line.
func New(p *fit.Plan) (*Page, error) {
	if p.Page.Empty() {
		return &Page{BoardToPage: geometry.Identity()}, nil
	}
	if !p.Page.Min.Finite() || !p.Page.Max.Finite() {
		return nil, fmt.Errorf("the page has no bounds: %v", p.Page)
	}
	x0 := Steps(math.Floor(p.Page.Min.X*StepsPerMM + fuzz))
	y0 := Steps(math.Floor(p.Page.Min.Y*StepsPerMM + fuzz))
	x1 := Steps(math.Ceil(p.Page.Max.X*StepsPerMM - fuzz))
	y1 := Steps(math.Ceil(p.Page.Max.Y*StepsPerMM - fuzz))
	page := &Page{
		Width:       x1 - x0,
		Height:      y1 - y0,
		BoardToPage: geometry.Translate(-x0.MM(), -y0.MM()),
	}
	// The one place where anything is mirrored.
	put := func(q geometry.Point) Point {
		return Point{x1 - ToSteps(q.X), ToSteps(q.Y) - y0}
	}
	for i := range p.Separations {
		s, err := separation(p, i, put)
		if err != nil {
			return nil, err
		}
		page.Separations = append(page.Separations, s)
	}
	for i := range p.Drawings {
		d := drawing(&p.Drawings[i], put)
		if _, d.Sheet = p.Find(p.Drawings[i].Of); len(d.Lines) > 0 {
			page.Drawings = append(page.Drawings, d)
		}
	}
	return page, nil
}

// separation puts the plan's separation i on the page; the first is the base,
// which carries the frame.
func separation(p *fit.Plan, i int, put func(geometry.Point) Point) (Separation, error) {
	s := &p.Separations[i]
	out := Separation{
		Order: i + 1, Orders: len(p.Separations), Name: s.Name, Colour: s.Colour, Use: s.Use,
		AreaMM2: s.AreaMM2, CutMM: s.CutMM, Carry: s.Carry,
		Contours: contours(s.Outline, put), Marks: contours(p.Marks, put),
	}
	for n, q := range s.Pieces {
		_, of := p.Number(fit.PieceID{Of: s.Of, N: n})
		out.Pieces = append(out.Pieces, Piece{
			Of:       of,
			Inside:   put(q.Inside),
			AreaMM2:  q.AreaMM2,
			CutMM:    q.CutMM,
			Narrower: ToSteps(q.Bounds.Shorter()),
			Contours: contours(q.Outline, put),
		})
	}
	out.Min, out.Max = Nowhere()
	out.Include(out.Contours)
	out.Include(out.Marks)
	if i == 0 && p.Frame != nil {
		f := contours(p.Frame.Outline, put)
		if len(f) != 1 {
			return out, fmt.Errorf("the frame is %d lines instead of one", len(f))
		}
		out.Frame = &f[0]
		out.Include(f)
	}
	if out.Min.X > out.Max.X {
		out.Min, out.Max = Point{}, Point{}
	}
	return out, nil
}

// drawing puts a plan's drawing on the page, without lines that go nowhere.
func drawing(d *fit.Drawing, put func(geometry.Point) Point) Drawing {
	out := Drawing{Name: d.Name, Colour: d.Colour, Layers: d.Layers, LengthMM: d.LengthMM}
	for _, c := range d.Lines {
		if line := (Line{traced(c, put), c.Closed}); len(line.Segments) > 0 {
			out.Lines = append(out.Lines, line)
		}
	}
	return out
}

// Nowhere are bounds that hold nothing.
func Nowhere() (lo, hi Point) {
	return Point{math.MaxInt64, math.MaxInt64}, Point{math.MinInt64, math.MinInt64}
}

// Include grows Min and Max to hold contours too. Those of a separation that holds
// none yet are Nowhere.
func (s *Separation) Include(cs []Contour) {
	grow := func(p Point) {
		s.Min = Point{min(s.Min.X, p.X), min(s.Min.Y, p.Y)}
		s.Max = Point{max(s.Max.X, p.X), max(s.Max.Y, p.Y)}
	}
	for _, c := range cs {
		grow(c.Start)
		for _, g := range c.Segments {
			if g.Cubic { // the controls' hull holds the curve
				grow(g.C1)
				grow(g.C2)
			}
			grow(g.End)
		}
	}
}

// traced puts a contour's line on the page, without segments that end where they
// start: a cutter would only stab there.
func traced(c geometry.Contour, put func(geometry.Point) Point) Contour {
	d := Contour{Start: put(c.Start), Segments: make([]Segment, 0, len(c.Segments))}
	at := d.Start
	for _, s := range c.Segments {
		g := Segment{End: put(s.End), Cubic: s.Cubic}
		if s.Cubic {
			g.C1, g.C2 = put(s.C1), put(s.C2)
		} else if g.End == at {
			continue
		}
		d.Segments = append(d.Segments, g)
		at = g.End
	}
	return d
}

// contours puts a path on the page, without contours that enclose nothing.
func contours(path geometry.Path, put func(geometry.Point) Point) []Contour {
	out := make([]Contour, 0, len(path))
	for _, c := range path {
		d := traced(c, put)
		// The closing line is implied.
		if n := len(d.Segments); n > 0 && !d.Segments[n-1].Cubic && d.Segments[n-1].End == d.Start {
			d.Segments = d.Segments[:n-1]
		}
		if len(d.Segments) >= 2 || len(d.Segments) == 1 && d.Segments[0].Cubic {
			out = append(out, d)
		}
	}
	return out
}

// Stem names the separation where names are plain: order and name, such as
// 01-dark-blue, and the sheet where it is laid out on several. No two of a page have
// the same, and by name they come in their order.
func (s Separation) Stem() string {
	stem := padded(s.Order, max(s.Orders, 10)) + "-" + slug(s.Name, s.Colour)
	if s.Sheet > 0 {
		stem += "-" + padded(s.Sheet, s.Sheets)
	}
	return stem
}

// padded is a number with as many zeros before it as it takes to come where it belongs among so many.
func padded(n, of int) string { return fmt.Sprintf("%0*d", len(strconv.Itoa(of)), n) }

// DrawingStem is a drawing's Stem: like its sheet's, and what it is drawn in.
func (p *Page) DrawingStem(d Drawing) string {
	var pens []colour.RGB // that are called the same
	for i := range p.Drawings {
		if o := &p.Drawings[i]; o.Sheet == d.Sheet && slug(o.Name, o.Colour) == slug(d.Name, d.Colour) {
			pens = append(pens, o.Colour)
		}
	}
	pen := slug(d.Name, d.Colour)
	if n := slices.Index(pens, d.Colour) + 1; n > 1 {
		pen += "-" + padded(n, len(pens))
	}
	return p.Separations[d.Sheet].Stem() + "-drawn-" + pen
}

// plainLetters spells letters that are no base letter with marks, or for which that is not the custom, in a to z as passports
// do: ICAO Doc 9303-3, section 6.
var plainLetters = strings.NewReplacer("ä", "ae", "ö", "oe", "ü", "ue", "ß", "ss", "æ", "ae", "œ", "oe", "ø", "oe", "å", "aa", "þ", "th", "ð", "d", "đ", "d", "ł", "l", "ı", "i", "ħ", "h", "ĳ", "ij")

// slug makes a name that every file system takes: small letters, digits and
// single dashes; the colour's digits when nothing of the name is left.
func slug(name string, c colour.RGB) string {
	var b strings.Builder
	dash := false
	for _, r := range norm.NFKD.String(plainLetters.Replace(norm.NFC.String(strings.ToLower(name)))) {
		if unicode.Is(unicode.Mn, r) {
			continue
		}
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
			if dash && b.Len() > 0 {
				b.WriteByte('-')
			}
			b.WriteRune(r)
			dash = false
			if b.Len() >= 40 {
				break
			}
		} else {
			dash = true
		}
	}
	if b.Len() == 0 {
		return strings.TrimPrefix(c.String(), "#")
	}
	return b.String()
}

// TrimMarginMM is how much sheet is left around what is cut from it when it is
// trimmed, room for rollers and fingers (common practice knows no figure).
const TrimMarginMM = 5

// TrimMM returns the size to cut the sheet down to before cutting, in whole
// millimetres.
func (s Separation) TrimMM() (w, h float64) {
	up := func(v Steps) float64 { return math.Ceil(v.MM() + 2*TrimMarginMM) }
	return up(s.Max.X - s.Min.X), up(s.Max.Y - s.Min.Y)
}
