// Package strip makes the test strip of a job: a small numbered square of every
// sheet, to see what each colour becomes on the blank, and a comb of two sheets with
// gaps from 0 to 0.4 mm, to see which gap prints best.
package strip

import (
	"math"
	"strconv"

	"abut/geometry"
	"abut/internal/fit"
	"abut/internal/fit/assemble"
	"abut/internal/message"
)

// Lengths of the strip, in millimetres. All bars and bridges are 1 mm or wider, the
// least that is cut and weeded without trouble (common practice).
const (
	squareMM = 18.0
	// inRow is how many squares a row has: 108 mm go round half a mug.
	inRow = 6

	// toothMM is the width of a tooth of the comb where it has no gap, barMM that of the
	// other sheet between two, deepMM how long teeth are.
	toothMM, barMM, deepMM = 6.0, 4.0, 12.0
	// backMM is the height of the comb's back, which holds its teeth together.
	backMM = 4.0
	// footMM is the part of the other sheet below the teeth, with the figures.
	footMM = 16.0
	// apartMM lies between squares and comb.
	apartMM = 4.0
)

// gaps are the gaps of the comb's teeth on all their sides, in millimetres. 0.4 mm shows
// as a line at arm's length; more would be no gap but a stripe (our choice).
var gaps = []float64{0, 0.1, 0.2, 0.3, 0.4}

// Of returns the plan of a strip of the sheets of plan p, in their order: the base's
// pieces first. A plan of one sheet has no comb: nothing lies beside it. Squares touch,
// as pieces do.
func Of(p *fit.Plan) *fit.Plan {
	out := &fit.Plan{}
	out.Extent = geometry.EmptyRect()
	for k := range p.Separations {
		s := fit.Separation{
			Of: p.Separations[k].Of, Name: p.Separations[k].Name, Word: p.Separations[k].Word,
			Colour: p.Separations[k].Colour, Use: p.Separations[k].Use, Carry: assemble.ByHand, Bounds: geometry.EmptyRect(),
			CarryReason: message.Of("strip-hand"),
		}
		if k == 0 {
			s.Carry, s.CarryReason = assemble.Stays, message.Of("carry-stays")
		}
		corner := geometry.Pt(float64(k%inRow)*squareMM, float64(k/inRow)*squareMM)
		square := geometry.RectXYWH(corner.X, corner.Y, squareMM, squareMM).Path()
		if k < 99 { // more figures have no room
			square = append(square, figures(strconv.Itoa(k+1), corner.Add(geometry.Pt(squareMM/2, squareMM/2)))...)
		}
		add(&s, square)
		out.Separations = append(out.Separations, s)
	}
	if len(out.Separations) > 1 {
		rows := (len(out.Separations) + inRow - 1) / inRow
		at := geometry.Pt(0, float64(rows)*squareMM+apartMM)
		add(&out.Separations[0], holder(at))
		add(&out.Separations[1], comb(at))
	}
	for k := range out.Separations {
		out.Extent = out.Extent.Union(out.Separations[k].Bounds)
	}
	out.Page = out.Extent
	return out
}

// add gives a separation one more piece.
func add(s *fit.Separation, outline geometry.Path) {
	q := fit.Piece{Outline: outline, Bounds: outline.Bounds(), AreaMM2: math.Abs(outline.SignedArea())}
	q.Inside, _ = outline.Pole(0.1)
	for _, c := range outline {
		for a, b := range c.Sides() {
			q.CutMM += b.Sub(a).Len()
		}
	}
	s.Pieces = append(s.Pieces, q)
	// Inner contours come before the outer one that holds them.
	s.Outline = append(append(s.Outline, outline[1:]...), outline[0])
	s.Bounds = s.Bounds.Union(q.Bounds)
	s.AreaMM2 += q.AreaMM2
	s.CutMM += q.CutMM
}

// pitch is the way from tooth to tooth.
const pitch = toothMM + barMM

// comb is the piece that is laid: a back with a tooth for each gap, narrower by the gap
// on both sides and shorter by it at the end. Its back touches the holder.
func comb(at geometry.Point) geometry.Path {
	long := pitch*float64(len(gaps)) + barMM
	corners := []geometry.Point{{X: 0, Y: 0}, {X: long, Y: 0}, {X: long, Y: backMM}}
	for i := len(gaps) - 1; i >= 0; i-- {
		left, gap := barMM+pitch*float64(i), gaps[i]
		corners = append(corners,
			geometry.Pt(left+toothMM-gap, backMM), geometry.Pt(left+toothMM-gap, backMM+deepMM-gap),
			geometry.Pt(left+gap, backMM+deepMM-gap), geometry.Pt(left+gap, backMM))
	}
	corners = append(corners, geometry.Pt(0, backMM))
	return geometry.Path{geometry.Polygon(corners...)}.Transform(geometry.Translate(at.X, at.Y))
}

// holder is what the comb is laid into: a slot for every tooth, and below each the gap in
// tenths of a millimetre.
func holder(at geometry.Point) geometry.Path {
	long := pitch*float64(len(gaps)) + barMM
	corners := []geometry.Point{{X: 0, Y: backMM}}
	for i := range gaps {
		left := barMM + pitch*float64(i)
		corners = append(corners,
			geometry.Pt(left, backMM), geometry.Pt(left, backMM+deepMM),
			geometry.Pt(left+toothMM, backMM+deepMM), geometry.Pt(left+toothMM, backMM))
	}
	corners = append(corners, geometry.Pt(long, backMM), geometry.Pt(long, backMM+deepMM+footMM), geometry.Pt(0, backMM+deepMM+footMM))
	out := geometry.Path{geometry.Polygon(corners...)}
	for i, gap := range gaps {
		out = append(out, figures(strconv.Itoa(int(math.Round(gap*10))), geometry.Pt(barMM+pitch*float64(i)+toothMM/2, backMM+deepMM+footMM/2))...)
	}
	return out.Transform(geometry.Translate(at.X, at.Y))
}

// Figures are cut out as bars with bridges between them, as in a stencil: nothing falls
// out of a figure but its bars.
const (
	strokeMM, bridgeMM         = 1.2, 1.0
	figureWideMM, figureHighMM = 6.0, 11.0
	figureGapMM                = 1.4
	uprightMM                  = (figureHighMM - bridgeMM) / 2
	acrossMM                   = figureWideMM - 2*strokeMM - 2*bridgeMM
)

// bars are the bars of each figure: top, upper left, upper right, middle, lower left,
// lower right, bottom.
var bars = map[rune][7]bool{
	'0': {true, true, true, false, true, true, true},
	'1': {false, false, true, false, false, true, false},
	'2': {true, false, true, true, true, false, true},
	'3': {true, false, true, true, false, true, true},
	'4': {false, true, true, true, false, true, false},
	'5': {true, true, false, true, false, true, true},
	'6': {true, true, false, true, true, true, true},
	'7': {true, false, true, false, false, true, false},
	'8': {true, true, true, true, true, true, true},
	'9': {true, true, true, true, false, true, true},
}

// figures are the bars of a number around its middle, run backwards: they are holes.
func figures(number string, middle geometry.Point) (out geometry.Path) {
	n := float64(len(number))
	x := middle.X - (n*figureWideMM+(n-1)*figureGapMM)/2
	y := middle.Y - figureHighMM/2
	const inset, right, lower = strokeMM + bridgeMM, figureWideMM - strokeMM, uprightMM + bridgeMM
	for _, r := range number {
		for i, bar := range []geometry.Rect{
			geometry.RectXYWH(inset, 0, acrossMM, strokeMM),
			geometry.RectXYWH(0, 0, strokeMM, uprightMM),
			geometry.RectXYWH(right, 0, strokeMM, uprightMM),
			geometry.RectXYWH(inset, (figureHighMM-strokeMM)/2, acrossMM, strokeMM),
			geometry.RectXYWH(0, lower, strokeMM, uprightMM),
			geometry.RectXYWH(right, lower, strokeMM, uprightMM),
			geometry.RectXYWH(inset, figureHighMM-strokeMM, acrossMM, strokeMM),
		} {
			if bars[r][i] {
				out = append(out, bar.Path().Transform(geometry.Translate(x, y)).Reverse()...)
			}
		}
		x += figureWideMM + figureGapMM
	}
	return out
}
