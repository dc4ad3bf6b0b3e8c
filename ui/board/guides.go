package board

import (
	"image"
	"math"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

	"abut/geometry"
	"abut/internal/job"
	"abut/ui/theme"
)

// Snapping says to what moved and scaled layers snap; the zero value to
// nothing.
type Snapping struct {
	// Layers: to the edges and middles of other layers. Blank: to those of the
	// blank and of its safe area. Grid: to its lines, while there is one.
	Layers, Blank, Grid bool
}

// SetSnapping changes what layers snap to from the next drag on.
func (b *Board) SetSnapping(s Snapping) { b.snapping = s }

// SetGrid shows a grid with lines that many millimetres apart, or none with 0.
func (b *Board) SetGrid(mm float64) {
	if mm != b.gridMM {
		b.gridMM = mm
		b.repaint()
	}
}

// snapPx is how far off, in units, an edge still snaps.
const snapPx = 6

// reach is the same on the board, in millimetres.
func (b *Board) reach() float64 { return snapPx * b.ratio / b.view.scale }

// seen is the part of the board in view.
func (b *Board) seen() geometry.Rect {
	return geometry.Rect{Min: b.view.mm(image.Point{}), Max: b.view.mm(b.view.size)}
}

func shifted(r geometry.Rect, by geometry.Point) geometry.Rect {
	return geometry.Rect{Min: r.Min.Add(by), Max: r.Max.Add(by)}
}

// snapNow returns what there is to snap to in the drag at hand, nil for nothing:
// the modifier that makes shortcuts suspends it.
func (b *Board) snapNow(mod fyne.KeyModifier) *snapTo {
	if b.snapping == (Snapping{}) || mod&fyne.KeyModifierShortcutDefault != 0 {
		return nil
	}
	if b.gesture.snap == nil {
		b.gesture.snap = b.snapTargets()
	}
	return b.gesture.snap
}

// snapTargets collects the lines of everything that stands still.
func (b *Board) snapTargets() *snapTo {
	s := &snapTo{}
	if c := b.job.Settings.BlankShape; c != nil && b.snapping.Blank {
		s.add(c.Bounds())
		if c.SafeMM > 0 {
			s.add(c.Bounds().Grow(-c.SafeMM))
		}
	}
	if b.snapping.Layers {
		moving := job.Carried(b.job, b.selection)
		for _, it := range b.job.Items {
			for _, l := range it.Layers {
				if l.Shown && !slices.Contains(moving, l.ID) && !slices.Contains(b.selection, l.ID) {
					s.add(job.Bounds(b.job, l.ID))
				}
			}
		}
	}
	if b.snapping.Grid {
		zero := b.zero()
		s.x.grid, s.y.grid = b.gridMM, b.gridMM
		s.x.zero, s.y.zero = zero.X, zero.Y
	}
	return s
}

// placeGuides shows lines on the board, light and dark, so that they are seen on
// any art.
func (b *Board) placeGuides(guides []guide) {
	for len(b.guides) < 2*len(guides) {
		light, dark := canvas.NewLine(theme.MarkLight), canvas.NewLine(theme.MarkDark)
		light.StrokeWidth, dark.StrokeWidth = 3, 1
		light.Hidden, dark.Hidden = true, true
		b.guides = append(b.guides, light, dark)
	}
	for i, l := range b.guides {
		if i/2 >= len(guides) {
			if !l.Hidden { // hiding anything asks the toolkit for a whole new frame
				l.Hide()
			}
			continue
		}
		p, q := b.PositionOf(guides[i/2].from), b.PositionOf(guides[i/2].to)
		// A line a little longer than what it joins is seen beside edges that
		// coincide with it.
		const beyond = 8
		if p.X == q.X {
			p.Y, q.Y = p.Y-beyond, q.Y+beyond
		} else {
			p.X, q.X = p.X-beyond, q.X+beyond
		}
		area := b.Size()
		if p.X > area.Width || p.Y > area.Height || q.X < rulerSide || q.Y < rulerSide {
			l.Hidden = true
			continue
		}
		l.Position1 = fyne.NewPos(max(p.X, rulerSide), max(p.Y, rulerSide))
		l.Position2 = fyne.NewPos(min(q.X, area.Width), min(q.Y, area.Height))
		l.Hidden = false
		canvas.Refresh(l)
	}
}

// gridPx is how close, in units, the grid's lines may come on screen: beyond,
// only every fifth, tenth, … is drawn.
const gridPx = 6

// paintGrid draws the grid on what lies beneath the art; every tenth line is
// stronger.
func paintGrid(img *image.RGBA, r *request) {
	if !(r.grid > 0) {
		return
	}
	step, bold := r.grid, 10
	for k := 0; step*r.view.scale < gridPx*float64(r.density); k++ {
		if k%2 == 0 {
			step *= 5
		} else {
			step *= 2
		}
		if k > 12 {
			return
		}
	}
	line := func(at int, upright bool, a uint8) {
		box := image.Rect(img.Rect.Min.X, at, img.Rect.Max.X, at+r.density)
		if upright {
			box = image.Rect(at, img.Rect.Min.Y, at+r.density, img.Rect.Max.Y)
		}
		shade(img, box, a)
	}
	px := step * r.view.scale
	zero := zeroOf(r.job, r.mode, r.paper).Mul(r.view.scale)
	each := func(lo, hi int, zero float64, upright bool) {
		for i := int(math.Floor((float64(lo) - zero) / px)); float64(i)*px+zero < float64(hi); i++ {
			a := uint8(34)
			if i%bold == 0 {
				a = 80
			}
			line(int(math.Round(float64(i)*px+zero)), upright, a)
		}
	}
	each(img.Rect.Min.X, img.Rect.Max.X, zero.X, true)
	each(img.Rect.Min.Y, img.Rect.Max.Y, zero.Y, false)
}
