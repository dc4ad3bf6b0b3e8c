package board

import (
	"image"
	"image/color"
	"math"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

	"abut/geometry"
	"abut/internal/job"
	"abut/internal/words"
	"abut/ui/theme"
)

// Sizes of the handles in units: as drawn, how far from its middle one can be
// caught, and how far the one that turns stands above the selection.
const (
	handleSide  = 10
	handleReach = 11
	turnAbove   = 26
)

// grip names a handle.
type grip int8

const (
	noGrip grip = iota - 1
	// The corners, by the index of the one that stays: opposite is corner ^ 3.
	topLeft
	topRight
	bottomLeft
	bottomRight
	turning
	grips
)

// handles are what one scales and turns the selection by: a square at each
// corner of its bounds and a disc above.
type handles struct {
	marks [grips]*canvas.Rectangle
	stem  *canvas.Line
	// bounds of the selection on the board; empty shows no handles.
	bounds geometry.Rect
	units  job.Units
}

func (b *Board) newHandles() {
	h := &b.handles
	for i := range h.marks {
		m := canvas.NewRectangle(theme.MarkLight)
		m.StrokeColor, m.StrokeWidth, m.CornerRadius = theme.MarkDark, 1.5, 2
		if grip(i) == turning {
			m.CornerRadius = handleSide / 2
		}
		m.Hide()
		h.marks[i] = m
	}
	h.stem = canvas.NewLine(theme.MarkDark)
	h.stem.StrokeWidth = 1.5
	h.stem.Hide()
}

// measure works out the bounds of what can be scaled and turned: the selection,
// unless something in it is locked.
func (b *Board) measure() {
	b.handles.bounds, b.handles.units = geometry.EmptyRect(), b.job.Settings.Units
	for l := range b.job.Named(b.selection) {
		if l.Locked {
			return
		}
	}
	if len(b.selection) > 0 {
		b.handles.bounds = job.BoundsOf(b.job, b.selection)
	}
	b.placeHandles()
}

// at returns where on the widget a handle is.
func (h *handles) at(b *Board, g grip) fyne.Position {
	r := h.bounds
	if b.gesture.kind == dragging && b.pic != nil {
		// With the picture, not ahead of it.
		d := geometry.Pt(float64(b.pic.shift.X), float64(b.pic.shift.Y)).Mul(1 / b.view.scale)
		r = geometry.Rect{Min: r.Min.Add(d), Max: r.Max.Add(d)}
	}
	switch g {
	case topLeft:
		return b.PositionOf(r.Min)
	case topRight:
		return b.PositionOf(geometry.Pt(r.Max.X, r.Min.Y))
	case bottomLeft:
		return b.PositionOf(geometry.Pt(r.Min.X, r.Max.Y))
	case bottomRight:
		return b.PositionOf(r.Max)
	}
	p := b.PositionOf(geometry.Pt(r.Centre().X, r.Min.Y))
	if g == grips { // where the stem stands
		return p
	}
	return fyne.NewPos(p.X, p.Y-turnAbove)
}

func (b *Board) placeHandles() {
	h := &b.handles
	show := b.mode == Art && !b.comparing && !h.bounds.Empty() && b.gesture.kind != shaping
	area := b.Size()
	inside := func(p fyne.Position) bool {
		return p.X > rulerSide+handleSide/2 && p.Y > rulerSide+handleSide/2 && p.X < area.Width-handleSide/2 && p.Y < area.Height-handleSide/2
	}
	if !show && !slices.ContainsFunc(h.marks[:], func(m *canvas.Rectangle) bool { return !m.Hidden }) {
		return // refreshing anything asks the toolkit for a whole new frame
	}
	for i, m := range h.marks {
		p := h.at(b, grip(i))
		m.Hidden = !show || !inside(p)
		m.Move(p.SubtractXY(handleSide/2, handleSide/2))
		m.Resize(fyne.NewSquareSize(handleSide))
		canvas.Refresh(m)
	}
	top, disc := h.at(b, grips), h.at(b, turning)
	h.stem.Hidden = !show || !inside(disc) || !inside(top)
	h.stem.Position1, h.stem.Position2 = top, fyne.NewPos(disc.X, disc.Y+handleSide/2)
	canvas.Refresh(h.stem)
}

// gripAt returns the handle at a position on the widget.
func (b *Board) gripAt(p fyne.Position) grip {
	best, reach := noGrip, float32(handleReach)
	for i, m := range b.handles.marks {
		q := b.handles.at(b, grip(i))
		if d := max(abs32(p.X-q.X), abs32(p.Y-q.Y)); !m.Hidden && d <= reach {
			best, reach = grip(i), d
		}
	}
	return best
}

func abs32(v float32) float32 { return max(v, -v) }

// least is how small a side may become by its handle, in millimetres.
const least = 0.1

// shapeTo returns what a handle's pull to a place on the board does: at a corner
// it scales about the opposite one, keeping the proportions unless Shift is
// held, about the middle with Alt; above it turns about the middle, with Shift in
// steps of 15°. A corner snaps within reach; snap may be nil. say describes it.
func (h *handles) shapeTo(g grip, from, to geometry.Point, mod fyne.KeyModifier, snap *snapTo, reach float64) (m geometry.Affine, say string) {
	r := h.bounds
	c := r.Centre()
	if g == turning {
		angle := math.Atan2(to.Y-c.Y, to.X-c.X) - math.Atan2(from.Y-c.Y, from.X-c.X)
		if mod&fyne.KeyModifierShift != 0 {
			const step = math.Pi / 12
			angle = math.Round(angle/step) * step
		}
		angle = math.Remainder(angle, 2*math.Pi)
		return around(c, geometry.Rotate(angle)), words.Number(angle*180/math.Pi) + "°"
	}
	corner := func(g grip) geometry.Point {
		p := r.Min
		if g&1 != 0 {
			p.X = r.Max.X
		}
		if g&2 != 0 {
			p.Y = r.Max.Y
		}
		return p
	}
	still, pulled := corner(g^3), corner(g)
	if mod&fyne.KeyModifierAlt != 0 {
		still = c
	}
	d, e := pulled.Sub(still), pulled.Add(to.Sub(from)).Sub(still)
	scale := func(d, e float64) float64 {
		if math.Abs(d) < 1e-9 {
			return 1
		}
		return max(e/d, min(1, least/math.Abs(d)))
	}
	sx, sy := scale(d.X, e.X), scale(d.Y, e.Y)
	if mod&fyne.KeyModifierShift == 0 {
		// Along the diagonal.
		k := (e.X*d.X + e.Y*d.Y) / (d.X*d.X + d.Y*d.Y)
		k = max(k, least/max(r.Width(), r.Height(), least))
		if snap != nil {
			if s, ok := snap.along(still, d, k, reach); ok {
				k = s
			}
		}
		sx, sy = k, k
	} else if snap != nil {
		q, x, y := snap.corner(still.Add(geometry.Pt(sx*d.X, sy*d.Y)), reach)
		if x {
			sx = scale(d.X, q.X-still.X)
		}
		if y {
			sy = scale(d.Y, q.Y-still.Y)
		}
	}
	return around(still, geometry.Scale(sx, sy)), words.SizeIn(r.Width()*sx, r.Height()*sy, h.units)
}

func around(p geometry.Point, m geometry.Affine) geometry.Affine {
	return geometry.Translate(p.X, p.Y).Mul(m).Mul(geometry.Translate(-p.X, -p.Y))
}

// shapeDrag follows the pointer with a handle.
func (b *Board) shapeDrag(p image.Point, at fyne.Position) {
	g := &b.gesture
	snap := b.snapNow(b.Modifiers())
	m, text := b.handles.shapeTo(g.grip, b.view.mm(g.from), b.view.mm(p), b.Modifiers(), snap, b.reach())
	j, err := job.TransformLayers(b.job, b.selection, m)
	if err != nil {
		return
	}
	g.kind, g.shape, g.shaped = shaping, m, &j
	var guides []guide
	if snap != nil && g.grip != turning {
		guides = snap.guides(m.MapRect(b.handles.bounds), b.seen())
	}
	b.sayWithPicture(text, at, guides)
	b.repaint()
	if b.OnShape != nil {
		b.OnShape(m)
	}
}

// box is the rectangle that is drawn over empty ground to pick what lies in it.
func (b *Board) boxDrag(p image.Point, at fyne.Position) {
	b.gesture.kind = boxing
	o := b.positionOfPx(b.gesture.from)
	b.box.Move(fyne.NewPos(min(o.X, at.X), min(o.Y, at.Y)))
	b.box.Resize(fyne.NewSize(abs32(o.X-at.X), abs32(o.Y-at.Y)))
	b.box.StrokeColor, b.box.FillColor = theme.MarkDark, theme.Faded(theme.MarkDark, 0x18)
	b.box.Show()
	canvas.Refresh(b.box)
	b.gesture.to = p
}

func (b *Board) positionOfPx(p image.Point) fyne.Position {
	d := float32(b.ratio)
	return fyne.NewPos(float32(p.X)/d+rulerSide, float32(p.Y)/d+rulerSide)
}

// boxEnd picks the layers that lie wholly in the box; with Shift or Ctrl they
// join those that were picked.
func (b *Board) boxEnd(g gesture) {
	b.box.Hide()
	canvas.Refresh(b.box)
	p, q := b.view.mm(g.from), b.view.mm(g.to)
	r := geometry.EmptyRect().Include(p).Include(q)
	var ids []job.LayerID
	if b.Modifiers()&(fyne.KeyModifierShift|fyne.KeyModifierShortcutDefault) != 0 {
		ids = slices.Clone(b.selection)
	}
	for _, it := range b.job.Items {
		for _, l := range it.Layers {
			if l.Locked || !l.Shown || slices.Contains(ids, l.ID) {
				continue
			}
			if x := job.Bounds(b.job, l.ID); !x.Empty() && r.Contains(x.Min) && r.Contains(x.Max) {
				ids = append(ids, l.ID)
			}
		}
	}
	b.pick(ids)
}

func newBox() *canvas.Rectangle {
	r := canvas.NewRectangle(color.Transparent)
	r.StrokeWidth = 1.5
	r.Hide()
	return r
}
