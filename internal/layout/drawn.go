package layout

import (
	"cmp"
	"slices"

	"abut/internal/cutfile"
	"abut/internal/drawer"
)

// reach is how much of a bed something uses, along and across it.
func (b bed) reach(p Placed, edge float64) drawer.Size {
	if b.upright {
		return drawer.Size{WidthMM: p.Max.Y.MM() + edge, HeightMM: b.size.WidthMM - p.Min.X.MM() + edge}
	}
	return drawer.Size{WidthMM: p.Max.X.MM() + edge, HeightMM: p.Max.Y.MM() + edge}
}

// use says that so much of the bed is used, along and across it.
func (t *Sheet) use(b bed, used drawer.Size) {
	if b.upright {
		used.WidthMM, used.HeightMM = used.HeightMM, used.WidthMM
	}
	t.UsedMM.WidthMM, t.UsedMM.HeightMM = max(t.UsedMM.WidthMM, used.WidthMM), max(t.UsedMM.HeightMM, used.HeightMM)
	if b.kind == Roll {
		t.Page.Height = cutfile.ToSteps(t.UsedMM.HeightMM)
	}
}

// put adds a copy of a separation, with what is drawn on it.
func (t *Sheet) put(p part, m move, n int) {
	to, s := &t.Page.Separations[0], p.get()
	to.Contours = append(to.Contours, m.contours(s.Contours)...)
	to.Marks = append(to.Marks, m.contours(s.Marks)...)
	if s.Frame != nil {
		t.frames = append(t.frames, m.contour(*s.Frame))
	}
	placed := Placed{Copy: n, From: p.n, Of: p.of, Turn: m.angle(), Min: m.point(s.Min), Max: m.point(s.Max)}
	placed.Min, placed.Max = sorted(placed.Min, placed.Max)
	placed.At = cutfile.Point{X: (placed.Min.X + placed.Max.X) / 2, Y: (placed.Min.Y + placed.Max.Y) / 2}
	placed.Narrower = min(placed.Max.X-placed.Min.X, placed.Max.Y-placed.Min.Y)
	t.Placed = append(t.Placed, placed)
	for k := range s.Pieces {
		to.Pieces = append(to.Pieces, moved(&s.Pieces[k], m))
	}
	to.AreaMM2 += s.AreaMM2
	to.CutMM += s.CutMM
	for _, d := range p.page.Drawings {
		if d.Sheet == p.of {
			t.draw(d, m)
		}
	}
}

// draw adds a copy of a drawing to those of its pen.
func (t *Sheet) draw(d cutfile.Drawing, m move) {
	k := slices.IndexFunc(t.Page.Drawings, func(o cutfile.Drawing) bool { return o.Name == d.Name && o.Colour == d.Colour })
	if k < 0 {
		k = len(t.Page.Drawings)
		t.Page.Drawings = append(t.Page.Drawings, cutfile.Drawing{Name: d.Name, Colour: d.Colour, Layers: d.Layers})
	}
	to := &t.Page.Drawings[k]
	to.LengthMM += d.LengthMM
	for _, l := range d.Lines {
		to.Lines = append(to.Lines, cutfile.Line{Contour: m.contour(l.Contour), Closed: l.Closed})
	}
}

// putPiece adds one piece of a copy.
func (t *Sheet) putPiece(p part, piece int, m move, copied int) {
	q := moved(&p.get().Pieces[piece], m)
	to := &t.Page.Separations[0]
	to.Pieces = append(to.Pieces, q)
	to.AreaMM2 += q.AreaMM2
	to.CutMM += q.CutMM
	lo, hi := bounds(q.Contours)
	t.Placed = append(t.Placed, Placed{Copy: copied, Piece: piece + 1, From: p.n, Of: p.of, Turn: m.angle(), Min: lo, Max: hi, At: q.Inside, Narrower: q.Narrower})
}

func moved(q *cutfile.Piece, m move) cutfile.Piece {
	out := *q
	out.Inside, out.Contours = m.point(q.Inside), m.contours(q.Contours)
	return out
}

// finish puts loose pieces in the order in which they are cut, and measures.
func (t *Sheet) finish() {
	to := &t.Page.Separations[0]
	if t.Way == Loose {
		// From left to right by where they end: a piece in the hole of another one is
		// cut before that, as inner contours must be.
		order := make([]int, len(to.Pieces))
		for i := range order {
			order[i] = i
		}
		slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(t.Placed[a].Max.X, t.Placed[b].Max.X) })
		pieces, placed := make([]cutfile.Piece, len(order)), make([]Placed, len(order))
		for i, k := range order {
			pieces[i], placed[i] = to.Pieces[k], t.Placed[k]
			to.Contours = append(to.Contours, pieces[i].Contours...)
		}
		to.Pieces, t.Placed = pieces, placed
	}
	t.AreaMM2 = to.AreaMM2
	to.Min, to.Max = bounds(slices.Concat(to.Contours, to.Marks, t.frames))
	if len(t.frames) == 1 {
		to.Frame = &t.frames[0]
	} else { // a page has one frame; of several copies they are lines to cut like marks
		to.Marks = append(to.Marks, t.frames...)
	}
}

// leave finds what is left of a sheet, with a margin around all that is cut. What
// remains of a roll stays on it.
func (t *Sheet) leave(margin cutfile.Steps) {
	if t.Kind == Roll {
		return
	}
	taken := slices.Clone(t.Free)
	for _, x := range t.Placed {
		taken = append(taken, Box{
			cutfile.Point{X: x.Min.X - margin, Y: x.Min.Y - margin}, cutfile.Point{X: x.Max.X + margin, Y: x.Max.Y + margin},
		})
	}
	for _, b := range left(cutfile.Point{X: t.Page.Width, Y: t.Page.Height}, taken) {
		t.Left = append(t.Left, b.size())
	}
}
