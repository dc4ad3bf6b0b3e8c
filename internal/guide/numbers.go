package guide

import (
	"cmp"
	"context"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/parallel"
	"abut/internal/cutfile"
	"abut/internal/fit"
)

// piece is a piece as a picture needs it. Coordinates are page millimetres,
// mirrored as cut.
type piece struct {
	// sheet indexes the plan's separations, n the piece of it.
	sheet, n int
	text     string
	// flat is its outline in straight lines; at is its pole, radius how far that lies
	// from the outline.
	flat    geometry.Path
	bounds  geometry.Rect
	at      geometry.Point
	radius  float64
	areaMM2 float64
}

const (
	// flatMM is how far a picture's outlines may stray: what print can just show.
	flatMM = 0.02
	// hairMM is how far those of hairlines may: these are at least 0.02 mm wide, or
	// they would be no pieces.
	hairMM = 0.001
	// poleShare is how exactly the widest place is found, in shares of the mean half
	// width (area over outline), which no outline's largest disc is smaller than; poleMM
	// is enough, far less than the least figures are high: along a ring as thin as a
	// hair all places are as wide.
	poleShare = 0.1
	poleMM    = 0.05
)

// piecesOf returns all pieces of a plan in order of assembly, as they lie on the
// page.
func piecesOf(p *fit.Plan, page *cutfile.Page) []piece {
	mirror := mirrored(page)
	var out []piece
	for k := range p.Separations {
		s := &p.Separations[k]
		for n := range s.Pieces {
			out = append(out, piece{sheet: k, n: n, text: p.NumberText(fit.PieceID{Of: s.Of, N: n}), areaMM2: s.Pieces[n].AreaMM2})
		}
	}
	// Every call writes its own piece, and the context never ends.
	_ = parallel.Do(context.Background(), len(out), func(i int) {
		q := &out[i]
		of := &p.Separations[q.sheet].Pieces[q.n]
		precision := math.Max(poleShare*of.AreaMM2/of.CutMM, poleMM)
		q.trace(of.Outline.Flatten(flatMM).Simplified(flatMM).Transform(mirror), precision)
		if q.radius < 2*flatMM { // chords may leave so thin a piece
			q.trace(of.Outline.Flatten(hairMM).Transform(mirror), precision)
		}
	})
	return out
}

// trace takes an outline for the piece's and finds its widest place.
func (q *piece) trace(flat geometry.Path, precision float64) {
	q.flat, q.bounds = flat, flat.Bounds()
	q.at, q.radius = flat.Pole(precision)
}

// mirrored maps board millimetres to the page as it is cut.
func mirrored(page *cutfile.Page) geometry.Affine {
	return geometry.MirrorX(page.Width.MM()).Mul(page.BoardToPage)
}

// number is a piece's number on a picture, in the picture's millimetres.
type number struct {
	*piece
	// box holds the figures, which are of this size of type, in millimetres.
	box  geometry.Rect
	size float64
	// leader is the line from a number beside the picture into its piece, nil for one
	// that stands in it.
	leader *[2]geometry.Point
}

// Figures of the embedded bold font, in sizes of type. A figure is 0.62 wide, a
// point 0.32; the white around is ours.
const (
	figureWide, pointWide = 0.62, 0.34
	figureHigh            = 0.73
	figureWhite           = 0.12
)

// figures returns the width and height of a number of this size of type with the
// white around it.
func figures(text string, size float64) (w, h float64) {
	for _, r := range text {
		if r == '.' {
			w += pointWide
		} else {
			w += figureWide
		}
	}
	return (w + 2*figureWhite) * size, (figureHigh + 2*figureWhite) * size
}

// pointMM is a point of type in millimetres.
const pointMM = 25.4 / 72

// Sizes of numbers. Under 5 points figures are hard to read at arm's length in
// print (common practice: 5 to 6 points is the least); over 12 they hide the piece.
const (
	leastNumber  = 5 * pointMM
	mostNumber   = 12 * pointMM
	besideNumber = 6 * pointMM
	// besidePitch is the way from number to number beside the picture.
	besidePitch = besideNumber * 1.15
	// besideGap is how far numbers stand off the picture, and its margins.
	besideGap = 4.0
	// maxBeside is how many leaders a picture has: an eye cannot follow more.
	maxBeside = 60
	// besideWide is the room for such a number, of six figures and a point.
	besideWide = 7 * figureWide * besideNumber
)

// numbering places numbers on a picture that m makes of the page: within each
// piece where there is room, else beside the picture in the columns that area
// leaves at its left and right, a leader leading into the piece. None lies over
// another. It returns also how many pieces go without, for want of room beside the
// picture; the smallest do.
func numbering(pieces []*piece, m geometry.Affine, area geometry.Rect) (out []number, without int) {
	order := slices.Clone(pieces)
	slices.SortStableFunc(order, func(a, b *piece) int { return cmp.Compare(b.areaMM2, a.areaMM2) })
	var beside []number
	picture := geometry.EmptyRect()
	for _, q := range order {
		picture = picture.Union(m.MapRect(q.bounds))
		if n, ok := within(q, m); ok {
			out = append(out, n)
		} else {
			beside = append(beside, number{piece: q, size: besideNumber, leader: &[2]geometry.Point{{}, m.Apply(q.at)}})
		}
	}
	each := max(0, int(area.Height()/besidePitch))
	if most := min(2*each, maxBeside); len(beside) > most {
		without = len(beside) - most
		beside = beside[:most]
	}
	// The left half of them by place stands at the left.
	slices.SortStableFunc(beside, func(a, b number) int { return cmp.Compare(a.leader[1].X, b.leader[1].X) })
	left := 0
	for left < len(beside) && beside[left].leader[1].X < picture.Centre().X {
		left++
	}
	left = max(len(beside)-each, min(left, each))
	column(beside[:left], area, true)
	column(beside[left:], area, false)
	return append(out, beside...), without
}

// within puts a number into its piece, as large as there is room, and reports
// whether there is any.
func within(q *piece, m geometry.Affine) (number, bool) {
	at, scale := m.Apply(q.at), math.Sqrt(math.Abs(m.Det()))
	stray := 2 * flatMM * scale // of chords, and of what they were simplified to
	// Where the largest disc is no higher than the least figures nothing else is.
	if _, h := figures(q.text, leastNumber); 2*q.radius*scale < h {
		return number{}, false
	}
	for size := mostNumber; ; size = math.Max(leastNumber, size*0.85) {
		w, h := figures(q.text, size)
		box := geometry.RectXYWH(at.X-w/2, at.Y-h/2, w, h)
		if math.Hypot(w, h)/2 <= q.radius*scale-stray || !meets(q.flat, m, box.Grow(stray)) {
			return number{piece: q, box: box, size: size}, true
		}
		if size == leastNumber {
			return number{}, false
		}
	}
}

// meets reports whether a side of the outline, mapped, comes into the box.
func meets(outline geometry.Path, m geometry.Affine, box geometry.Rect) bool {
	for _, c := range outline {
		for a, b := range c.Sides() {
			if crosses(m.Apply(a), m.Apply(b), box) {
				return true
			}
		}
	}
	return false
}

// crosses reports whether the way from a to b comes into the box: its part between
// the four lines that the box's sides lie on is not empty.
func crosses(a, b geometry.Point, box geometry.Rect) bool {
	from, to := 0.0, 1.0
	clip := func(p, d, low, high float64) {
		if d == 0 {
			if p < low || p > high {
				to = -1
			}
			return
		}
		t0, t1 := (low-p)/d, (high-p)/d
		from, to = math.Max(from, math.Min(t0, t1)), math.Min(to, math.Max(t0, t1))
	}
	clip(a.X, b.X-a.X, box.Min.X, box.Max.X)
	clip(a.Y, b.Y-a.Y, box.Min.Y, box.Max.Y)
	return from <= to
}

// column puts numbers one below the other at the left or right end of the area,
// each as near to the height of its piece as the others let it, and none so that two
// leaders cross.
func column(list []number, area geometry.Rect, left bool) {
	if len(list) == 0 {
		return
	}
	slices.SortStableFunc(list, func(a, b number) int { return cmp.Compare(a.leader[1].Y, b.leader[1].Y) })
	// Each as high as it wants and no higher than the one above lets it, then up again
	// from the end.
	y := make([]float64, len(list))
	low := area.Min.Y + besidePitch/2
	for i := range list {
		y[i] = math.Max(low, list[i].leader[1].Y)
		low = y[i] + besidePitch
	}
	high := area.Max.Y - besidePitch/2
	for i := len(list) - 1; i >= 0; i-- {
		y[i] = math.Min(y[i], high)
		high = y[i] - besidePitch
	}
	x := area.Max.X - besideWide
	if left {
		x = area.Min.X + besideWide
	}
	untangle(list, x, y)
	for i := range list {
		n := &list[i]
		w, h := figures(n.text, n.size)
		n.leader[0] = geometry.Pt(x, y[i])
		n.box = geometry.RectXYWH(x, y[i]-h/2, w, h)
		if left {
			n.box = geometry.RectXYWH(x-w, y[i]-h/2, w, h)
		}
	}
}

// untangle orders numbers so that no two leaders from places at x, one below the
// other, cross. Two that cross become shorter together when they are swapped, so
// that this comes to an end; rounding could make it go on for ever, which the count
// of rounds prevents.
func untangle(list []number, x float64, y []float64) {
	for range len(list) {
		swapped := false
		for i := range list {
			for k := i + 1; k < len(list); k++ {
				a, b := list[i].leader[1], list[k].leader[1]
				p, q := geometry.Pt(x, y[i]), geometry.Pt(x, y[k])
				if as, swap := a.Sub(p).Len()+b.Sub(q).Len(), a.Sub(q).Len()+b.Sub(p).Len(); swap < as-1e-9 && cross(p, a, q, b) {
					list[i], list[k] = list[k], list[i]
					swapped = true
				}
			}
		}
		if !swapped {
			return
		}
	}
}

// cross reports whether the ways from a to b and from c to d cross.
func cross(a, b, c, d geometry.Point) bool {
	side := func(p, q, r geometry.Point) bool { return q.Sub(p).Cross(r.Sub(p)) > 0 }
	return side(a, b, c) != side(a, b, d) && side(c, d, a) != side(c, d, b)
}
