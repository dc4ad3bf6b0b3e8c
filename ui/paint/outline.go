package paint

import (
	"image"
	"image/color"

	"github.com/srwiley/rasterx"
	"golang.org/x/image/math/fixed"

	"abut/geometry"
	"abut/internal/colour"
)

// Halo is the outline of a layer's mask as two bands of coverage: a light line
// along the edge and a dark one outside it, so that it shows on any art. It is
// taken from the mask, not from the paths, so it follows clips and the union of
// overlapping shapes.
type Halo struct{ Light, Dark *Mask }

// NewHalo returns the halo of a mask. Each band is width pixels thick.
func NewHalo(m *Mask, width int) *Halo {
	box := m.Box.Inset(-2*width - 1)
	if m.Box.Empty() {
		e := newMask(image.NewAlpha(image.Rectangle{}))
		return &Halo{e, e}
	}
	base := image.NewAlpha(box)
	for y := m.Box.Min.Y; y < m.Box.Max.Y; y++ {
		copy(base.Pix[base.PixOffset(m.Box.Min.X, y):], m.Pix[(y-m.Box.Min.Y)*m.Box.Dx():][:m.Box.Dx()])
	}
	light := grow(base, width)
	dark := grow(light, width)
	for i := range dark.Pix {
		dark.Pix[i] -= light.Pix[i]
		light.Pix[i] -= base.Pix[i]
	}
	return &Halo{newMask(light), newMask(dark)}
}

// grow dilates coverage by an octagon of the radius: squares and diamonds in
// turn, each pass by one pixel.
func grow(src *image.Alpha, radius int) *image.Alpha {
	for k := 0; k < radius; k++ {
		src = growOne(src, k%2 == 1)
	}
	return src
}

func growOne(src *image.Alpha, square bool) *image.Alpha {
	dst := image.NewAlpha(src.Rect)
	w, h := src.Rect.Dx(), src.Rect.Dy()
	for y := 0; y < h; y++ {
		row := src.Pix[y*w : (y+1)*w]
		up, down := row, row
		if y > 0 {
			up = src.Pix[(y-1)*w : y*w]
		}
		if y+1 < h {
			down = src.Pix[(y+1)*w : (y+2)*w]
		}
		out := dst.Pix[y*w : (y+1)*w]
		for x := range out {
			l, r := max(x-1, 0), min(x+1, w-1)
			v := max(row[x], row[l], row[r], up[x], down[x])
			if square {
				v = max(v, up[l], up[r], down[l], down[r])
			}
			out[x] = v
		}
	}
	return dst
}

// Paint draws the halo shifted by whole pixels.
func (h *Halo) Paint(dst *image.RGBA, shift image.Point, light, dark colour.RGB) {
	h.Dark.Tint(dst, shift, dark, 255)
	h.Light.Tint(dst, shift, light, 255)
}

// Tint paints a colour through the mask at opacity a.
func (m *Mask) Tint(dst *image.RGBA, shift image.Point, c colour.RGB, a uint8) {
	l := Layer{Mask: m, Shift: shift}
	box := l.Box().Intersect(dst.Rect)
	for y := box.Min.Y; y < box.Max.Y; y++ {
		if pix, x := l.row(y, box.Min.X, box.Max.X); pix != nil {
			o := dst.PixOffset(x, y)
			blend(dst.Pix[o:o+4*len(pix)], pix, c, uint32(a))
		}
	}
}

// Pen is how a line is drawn, in pixels.
type Pen struct {
	Width float64
	Dash  []float64
}

// Stroke returns the coverage of a path's outline drawn with a pen, joins
// round. The path is in board millimetres.
func (k *Masker) Stroke(p geometry.Path, pen Pen, scale float64, window image.Rectangle) *Mask {
	box := BoxPx(p.Bounds(), scale).Inset(-int(pen.Width) - 2).Intersect(window)
	out := image.NewAlpha(box)
	if box.Empty() {
		return newMask(out)
	}
	m := geometry.Translate(-float64(box.Min.X), -float64(box.Min.Y)).Mul(geometry.Scale(scale, scale))
	// The pen's fixed-point numbers and the scanner's buffer both want lines
	// that stay near the box: far parts are cut off before they are stroked.
	near := geometry.RectXYWH(0, 0, float64(box.Dx()), float64(box.Dy())).Grow(4*pen.Width + 16)
	draw := image.NewAlpha(image.Rect(0, 0, box.Dx(), box.Dy()))
	d := rasterx.NewDasher(box.Dx(), box.Dy(), rasterx.NewScannerGV(box.Dx(), box.Dy(), draw, draw.Rect))
	d.SetColor(color.Opaque)
	d.SetStroke(fixed.Int26_6(pen.Width*64), 4<<6, rasterx.ButtCap, nil, rasterx.RoundGap, rasterx.Round, pen.Dash, 0)
	for _, c := range p {
		strokeContour(d, c, m, near)
	}
	d.Draw()
	out.Pix = draw.Pix
	return newMask(out)
}

// strokeContour feeds one contour to the pen, in runs that stay within near.
func strokeContour(d *rasterx.Dasher, c geometry.Contour, m geometry.Affine, near geometry.Rect) {
	var run []geometry.Point
	flush := func(closed bool) {
		if len(run) > 1 {
			d.Start(rasterx.ToFixedP(run[0].X, run[0].Y))
			for _, p := range run[1:] {
				d.Line(rasterx.ToFixedP(p.X, p.Y))
			}
			d.Stop(closed)
		}
		run = run[:0]
	}
	whole := true
	add := func(p, q geometry.Point) {
		a, b, ok := cutLine(near, p, q)
		if !ok {
			whole = false
			flush(false)
			return
		}
		if len(run) == 0 || a != p {
			whole = whole && a == p
			flush(false)
			run = append(run, a)
		}
		// Steps under 1/16 pixel vanish in fixed point and would leave the pen
		// without a direction.
		if b.Sub(run[len(run)-1]).Len() >= 1.0/16 {
			run = append(run, b)
		}
		if b != q {
			whole = false
			flush(false)
		}
	}
	start := m.Apply(c.Start)
	from := start
	for _, s := range c.Segments {
		t := geometry.Segment{C1: m.Apply(s.C1), C2: m.Apply(s.C2), End: m.Apply(s.End), Cubic: s.Cubic}
		p := from
		for n, k := t.Chords(from, curveSagittaPx), 1; k < n; k++ {
			q := t.Chord(from, k, n)
			add(p, q)
			p = q
		}
		add(p, t.End)
		from = t.End
	}
	if c.Closed && from != start {
		add(from, start)
	}
	flush(c.Closed && whole)
}

// cutLine returns the part of the line from p to q inside r (Liang and Barsky
// 1984), and false when there is none.
func cutLine(r geometry.Rect, p, q geometry.Point) (geometry.Point, geometry.Point, bool) {
	if !p.Finite() || !q.Finite() {
		return p, q, false
	}
	t0, t1 := 0.0, 1.0
	d := q.Sub(p)
	for _, e := range [4][2]float64{{-d.X, p.X - r.Min.X}, {d.X, r.Max.X - p.X}, {-d.Y, p.Y - r.Min.Y}, {d.Y, r.Max.Y - p.Y}} {
		switch t := e[1] / e[0]; {
		case e[0] == 0:
			if e[1] < 0 {
				return p, q, false
			}
		case e[0] < 0:
			t0 = max(t0, t)
		default:
			t1 = min(t1, t)
		}
	}
	if t0 > t1 {
		return p, q, false
	}
	a, b := p, q
	if t0 > 0 {
		a = p.Lerp(q, t0)
	}
	if t1 < 1 {
		b = p.Lerp(q, t1)
	}
	return a, b, true
}
