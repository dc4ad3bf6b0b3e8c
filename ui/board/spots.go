package board

import (
	"image"
	"math"

	"fyne.io/fyne/v2/driver/desktop"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/fit"
	"abut/ui/paint"
	"abut/ui/theme"
)

// Spot is a weak spot to mark: a place of the board, in millimetres.
type Spot struct {
	Outline geometry.Path
	Bounds  geometry.Rect
	At      geometry.Point
	// Kept spots are outlined only. Chosen is the one that is looked at.
	Kept, Chosen bool
}

// SetSpots marks weak spots. The slice is not changed afterwards.
func (b *Board) SetSpots(spots []Spot) {
	if len(spots) == 0 && len(b.spots) == 0 {
		return
	}
	b.spots = spots
	b.repaint()
}

// SetCut says what is cut of the plan with the clearance taken, for the views
// that show it; nil is the plan itself.
func (b *Board) SetCut(cut *fit.Plan) {
	if b.cut != cut {
		b.cut = cut
		if b.mode != Art {
			b.hover = fit.PieceID{}
			b.repaint()
		}
	}
}

// Try shows the pieces of another plan in place of what is there, until it is
// called with nil.
func (b *Board) Try(plan *fit.Plan) {
	if b.tried != plan {
		b.tried = plan
		b.hover = fit.PieceID{}
		b.hideChip()
		b.repaint()
	}
}

// Shown returns the plan whose pieces the view shows.
func (b *Board) Shown() *fit.Plan {
	switch {
	case b.tried != nil && b.trying():
		return b.tried
	case (b.mode != Art || b.comparing) && b.cut != nil:
		return b.cut
	}
	return b.plan
}

// trying: a plan that is tried lies the right way round in these views.
func (b *Board) trying() bool { return b.mode == Art || b.mode == Fitted }

// spotsNow are the marks to paint: of what is tried, only where it is.
func (b *Board) spotsNow() []Spot {
	if b.tried == nil || !b.trying() {
		return b.spots
	}
	for _, s := range b.spots {
		if s.Chosen {
			s.Kept = true
			return []Spot{s}
		}
	}
	return nil
}

// hoverSpot returns the weak spot under the pointer, −1 for none: the mark is
// caught a little beyond the spot, for many are thinner than a pointer.
func (b *Board) hoverSpot(p image.Point) int {
	if b.mode != Art && b.mode != Fitted || p.X < 0 || p.Y < 0 {
		return -1
	}
	at := b.view.mm(p)
	near := 4 * float64(b.density) / b.view.scale
	for i := range b.spots {
		s := &b.spots[i]
		if !s.Bounds.Grow(near).Contains(at) {
			continue
		}
		if s.At.Sub(at).Len() <= near || encloses(s.Outline, at) || nearOutline(s.Outline, at, near) {
			return i
		}
	}
	return -1
}

// nearOutline reports whether a polygon's side is that near.
func nearOutline(path geometry.Path, at geometry.Point, within float64) bool {
	for _, c := range path {
		from := c.Start
		for k := 0; k <= len(c.Segments); k++ {
			to := c.Start
			if k < len(c.Segments) {
				to = c.Segments[k].End
			}
			d := to.Sub(from)
			t := 0.0
			if l := d.Dot(d); l > 0 {
				t = max(0, min(1, at.Sub(from).Dot(d)/l))
			}
			if from.Lerp(to, t).Sub(at).Len() <= within {
				return true
			}
			from = to
		}
	}
	return false
}

// chipSpot says what is weak under the pointer; false where nothing is.
func (b *Board) chipSpot(e *desktop.MouseEvent) bool {
	i := b.hoverSpot(b.pixel(e.Position))
	if i < 0 || b.SpotText == nil {
		return false
	}
	text := b.SpotText(i)
	b.showChip(text, e.Position)
	return text != ""
}

// spotMasks are the marks of weak spots at one zoom.
type spotMasks struct {
	spots   *Spot // the first of them: what the masks were made of
	n       int
	scale   float64
	window  image.Rectangle
	dark    *paint.Mask
	light   *paint.Mask
	inside  *paint.Mask    // of those that are open
	rings   [3]*paint.Mask // around small ones, from the outside in: dark, light, dark
	chosen  geometry.Path
	density int
}

// ringHalves are how far the edges of a ring's lines lie from its middle, in units: dark, light, dark.
var ringHalves = [4]float64{9.5, 8, 6, 4.5}

// spotSmallPx is how large, in units, a spot must be on screen to be found
// without a ring around it.
const spotSmallPx = 14

// spotNearPx is how far apart, in units, small spots have rings of their own: those of the letters of a thin word
// would hide it.
const spotNearPx = 16

// grouped parts places into those that a chain of steps of at most a length joins, and returns the bounds of each.
func grouped(at []geometry.Point, step float64) (groups []geometry.Rect) {
	type cell struct{ x, y int }
	in := func(p geometry.Point) cell { return cell{int(math.Floor(p.X / step)), int(math.Floor(p.Y / step))} }
	cells := map[cell][]int{}
	for i, p := range at {
		cells[in(p)] = append(cells[in(p)], i)
	}
	seen := make([]bool, len(at))
	for i := range at {
		if seen[i] {
			continue
		}
		seen[i] = true
		box := geometry.EmptyRect()
		for next := []int{i}; len(next) > 0; {
			k := next[len(next)-1]
			next = next[:len(next)-1]
			box = box.Include(at[k])
			c := in(at[k])
			for n := range 9 {
				for _, o := range cells[cell{c.x + n%3 - 1, c.y + n/3 - 1}] {
					if !seen[o] && at[o].Sub(at[k]).Len() <= step {
						seen[o] = true
						next = append(next, o)
					}
				}
			}
		}
		groups = append(groups, box)
	}
	return groups
}

// ringed is a diamond around each group that is one place, and a box with its corners cut off around others.
func ringed(groups []geometry.Rect, half float64) (path geometry.Path) {
	for _, g := range groups {
		lo, hi := g.Min, g.Max
		path = append(path, geometry.Polygon(geometry.Pt(lo.X, lo.Y-half), geometry.Pt(hi.X, lo.Y-half), geometry.Pt(hi.X+half, lo.Y),
			geometry.Pt(hi.X+half, hi.Y), geometry.Pt(hi.X, hi.Y+half), geometry.Pt(lo.X, hi.Y+half), geometry.Pt(lo.X-half, hi.Y), geometry.Pt(lo.X-half, lo.Y)))
	}
	return path
}

// maxSpots is how many spots are marked: beyond, there is nothing but marks.
const maxSpots = 1500

// paintSpots marks weak spots at their true size: striped like what is marked
// off on a floor, outlined dark and light, or ringed instead where they
// are small on screen. Nothing of it is red, and the stripes run the other way
// than those of what stacks.
func (p *painter) paintSpots(img *image.RGBA, r *request) {
	if len(r.spots) == 0 {
		return
	}
	m := &p.spots
	window := r.view.window()
	d := float64(r.density)
	if m.spots != &r.spots[0] || m.n != len(r.spots) || m.scale != r.view.scale || !window.In(m.window) || m.density != r.density {
		p.maskSpots(r, window)
	}
	dark, light := spotDark, colourOf(theme.MarkLight)
	m.dark.Tint(img, image.Point{}, dark, 255)
	m.light.Tint(img, image.Point{}, light, 255)
	stripes(img, m.inside, r.density)
	line := func(path geometry.Path, width float64, c colour.RGB) {
		p.masker.Stroke(path, paint.Pen{Width: width * d}, r.view.scale, img.Rect).Tint(img, image.Point{}, c, 255)
	}
	for i, c := range [...]colour.RGB{dark, WeakColour, dark} {
		m.rings[i].Tint(img, image.Point{}, c, 255)
	}
	line(m.chosen, 6, dark)
	line(m.chosen, 4, light)
	line(m.chosen, 2, dark)
}

// maskSpots makes the marks anew that paintSpots puts on the picture.
func (p *painter) maskSpots(r *request, window image.Rectangle) {
	m, d := &p.spots, float64(r.density)
	*m = spotMasks{spots: &r.spots[0], n: len(r.spots), scale: r.view.scale, window: window, density: r.density}
	seen := geometry.RectXYWH(float64(window.Min.X)/r.view.scale, float64(window.Min.Y)/r.view.scale, float64(window.Dx())/r.view.scale, float64(window.Dy())/r.view.scale)
	var all, open geometry.Path
	var small []geometry.Point
	n := 0
	for i := range r.spots {
		s := &r.spots[i]
		if seen.Intersect(s.Bounds.Grow(20 * d / r.view.scale)).Empty() {
			continue
		}
		if n++; n > maxSpots && !s.Chosen {
			continue
		}
		if !s.Kept {
			open = append(open, s.Outline...)
		}
		size := max(s.Bounds.Width(), s.Bounds.Height()) * r.view.scale / d
		if !s.Chosen && !s.Kept && size < spotSmallPx {
			small = append(small, s.At)
			continue
		}
		all = append(all, s.Outline...)
		if s.Chosen {
			half := max(14*d/r.view.scale, min(size*d/r.view.scale, 60*d/r.view.scale)/2+8*d/r.view.scale)
			m.chosen = append(m.chosen, diamond(s.At, half))
		}
	}
	groups := grouped(small, spotNearPx*d/r.view.scale)
	within := func(half float64) *paint.Mask {
		return p.masker.Path(ringed(groups, half*d/r.view.scale), geometry.NonZero, r.view.scale, window)
	}
	outer := within(ringHalves[0])
	for i, half := range ringHalves[1:] {
		inner := within(half)
		m.rings[i], outer = outer.Without(inner), inner
	}
	m.dark = p.masker.Stroke(all, paint.Pen{Width: 4 * d}, r.view.scale, window)
	m.light = p.masker.Stroke(all, paint.Pen{Width: 2 * d}, r.view.scale, window)
	m.inside = p.masker.Path(open, geometry.EvenOdd, r.view.scale, window)
}

// diamond is a square on its corner.
func diamond(at geometry.Point, half float64) geometry.Contour {
	return geometry.Polygon(at.Add(geometry.Pt(0, -half)), at.Add(geometry.Pt(half, 0)), at.Add(geometry.Pt(0, half)), at.Add(geometry.Pt(-half, 0)))
}

// WeakColour is the light one of the stripes on weak spots: the tone of care in
// the dark look, for the board is light in both.
var WeakColour = colourOf(theme.Dark.Care)

// spotDark is the dark one.
var spotDark = colourOf(theme.Light.Text)

// stripes paints diagonals of dark and WeakColour through a mask, at the same
// size on screen at every zoom.
func stripes(img *image.RGBA, m *paint.Mask, density int) {
	dark := spotDark
	box := m.Box.Intersect(img.Rect)
	for y := box.Min.Y; y < box.Max.Y; y++ {
		row := img.Pix[img.PixOffset(box.Min.X, y):][:4*box.Dx()]
		for x := range box.Dx() {
			a := uint32(m.At(image.Pt(box.Min.X+x, y)))
			if a == 0 {
				continue
			}
			c := WeakColour
			if k := (box.Min.X + x - y) / density % 8; (k+8)%8 < 3 {
				c = dark
			}
			for i, v := range [3]uint8{c.R, c.G, c.B} {
				row[4*x+i] = uint8((uint32(row[4*x+i])*(255-a) + uint32(v)*a + 127) / 255)
			}
		}
	}
}
