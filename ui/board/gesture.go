package board

import (
	"image"
	"math"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"

	"abut/geometry"
	"abut/internal/job"
	"abut/internal/words"
)

// gesture is what the pointer is doing.
type gesture struct {
	kind   gestureKind
	button desktop.MouseButton
	// from is where the button went down, in pixels of the view.
	from image.Point
	// hits are the layers there, topmost first; again: one of them was picked
	// before.
	hits  []job.LayerID
	again bool
	// shift is how far a drag has come in whole pixels, moved the same in
	// millimetres, exactly where it snapped.
	shift image.Point
	moved geometry.Point
	// snap is what there is to snap to; nil until a drag begins.
	snap  *snapTo
	space bool
	// grip is the handle that was caught; shape what it does so far, and shaped
	// the job with it.
	grip   grip
	shape  geometry.Affine
	shaped *job.Job
	// to is where a box ends.
	to image.Point
}

type gestureKind uint8

const (
	none gestureKind = iota
	pressed
	dragging
	panning
	shaping
	boxing
	// spent: the button is still down but the drag was given up.
	spent
)

// slackPx is how far the pointer may stray, in units, before a click becomes a
// drag.
const slackPx = 3

var (
	_ desktop.Mouseable  = (*Board)(nil)
	_ desktop.Hoverable  = (*Board)(nil)
	_ desktop.Keyable    = (*Board)(nil)
	_ desktop.Cursorable = (*Board)(nil)
	_ fyne.Draggable     = (*Board)(nil)
	_ fyne.Scrollable    = (*Board)(nil)
	_ fyne.Shortcutable  = (*Board)(nil)
)

// pixel returns the view's pixel under a position on the widget.
func (b *Board) pixel(p fyne.Position) image.Point {
	d := b.ratio
	return image.Pt(int(math.Floor(float64(p.X-rulerSide)*d)), int(math.Floor(float64(p.Y-rulerSide)*d)))
}

// hitsAt returns the layers under a pixel that the pointer can catch.
func (b *Board) hitsAt(p image.Point) []job.LayerID {
	if b.pic == nil || b.mode != Art {
		return nil
	}
	return slices.DeleteFunc(b.pic.scene.Hits(p.Sub(b.pic.view.origin)), func(id job.LayerID) bool {
		l, _, ok := b.job.Layer(id)
		return !ok || l.Locked
	})
}

// MouseDown implements desktop.Mouseable.
func (b *Board) MouseDown(e *desktop.MouseEvent) {
	b.ExpectFocus()
	b.Compare(false)
	if c := fyne.CurrentApp().Driver().CanvasForObject(b); c != nil {
		c.Focus(b)
	}
	space := b.gesture.space
	b.gesture = gesture{kind: pressed, button: e.Button, from: b.pixel(e.Position), space: space, grip: noGrip}
	if e.Button != desktop.MouseButtonPrimary || space || b.mode != Art {
		return
	}
	g := &b.gesture
	if g.grip = b.gripAt(e.Position); g.grip != noGrip {
		return
	}
	g.hits = b.hitsAt(g.from)
	if len(g.hits) == 0 {
		return
	}
	g.again = slices.ContainsFunc(g.hits, func(id job.LayerID) bool { return slices.Contains(b.selection, id) })
	if e.Modifier&(fyne.KeyModifierShift|fyne.KeyModifierShortcutDefault) != 0 {
		b.pick(toggled(b.selection, g.hits[0]))
		g.again = false
		g.kind = spent
		return
	}
	if !g.again {
		b.pick(g.hits[:1])
	}
}

// MouseUp implements desktop.Mouseable.
func (b *Board) MouseUp(e *desktop.MouseEvent) {
	g := b.gesture
	switch g.kind {
	case pressed:
		b.gesture = gesture{space: g.space}
		switch {
		case g.button != desktop.MouseButtonPrimary || g.space:
		case b.mode == Art:
			b.clicked(g)
		default:
			if i := b.hoverSpot(g.from); i >= 0 && b.OnSpot != nil {
				b.OnSpot(i)
			}
		}
	case dragging, shaping, boxing:
		b.release()
	default:
		b.gesture = gesture{space: g.space}
	}
}

// clicked picks the layer beneath the one that was picked here before, or none
// on empty ground.
func (b *Board) clicked(g gesture) {
	if g.grip != noGrip {
		return
	}
	if len(g.hits) == 0 {
		b.pick(nil)
		return
	}
	if !g.again {
		return
	}
	at := slices.IndexFunc(g.hits, func(id job.LayerID) bool { return slices.Contains(b.selection, id) })
	b.pick([]job.LayerID{g.hits[(at+1)%len(g.hits)]})
}

func (b *Board) pick(ids []job.LayerID) {
	if slices.Equal(ids, b.selection) {
		return
	}
	b.Select(ids)
	if b.OnSelect != nil {
		b.OnSelect(slices.Clone(ids))
	}
}

func toggled(ids []job.LayerID, id job.LayerID) []job.LayerID {
	if i := slices.Index(ids, id); i >= 0 {
		return slices.Delete(slices.Clone(ids), i, i+1)
	}
	return append(slices.Clone(ids), id)
}

// Dragged implements fyne.Draggable.
func (b *Board) Dragged(e *fyne.DragEvent) {
	g := &b.gesture
	p := b.pixel(e.Position)
	d := p.Sub(g.from)
	switch g.kind {
	case pressed:
		if slack := slackPx * b.density; abs(d.X) > slack || abs(d.Y) > slack {
			b.beginDrag(p, d, e.Position)
		}
	case panning:
		b.pan(d)
		g.from = p
	case dragging:
		b.dragTo(d, e.Position)
	case shaping:
		b.shapeDrag(p, e.Position)
	case boxing:
		b.boxDrag(p, e.Position)
	}
}

// beginDrag decides what a drag that has come to pixel p is for.
func (b *Board) beginDrag(p, shift image.Point, at fyne.Position) {
	g := &b.gesture
	switch {
	case g.button == desktop.MouseButtonTertiary || g.space:
		g.kind = panning
		b.pan(shift)
		g.from = p
	case g.grip != noGrip:
		b.shapeDrag(p, at)
	case g.button == desktop.MouseButtonPrimary && b.mode == Art && len(g.hits) == 0:
		b.boxDrag(p, at)
	case g.button == desktop.MouseButtonPrimary && len(g.hits) > 0 && len(b.selection) > 0:
		g.kind = dragging
		b.dragTo(shift, at)
	default:
		g.kind = spent
	}
}

func (b *Board) dragTo(shift image.Point, at fyne.Position) {
	g := &b.gesture
	mod := b.Modifiers()
	if mod&fyne.KeyModifierShift != 0 { // straight across or down
		if abs(shift.X) >= abs(shift.Y) {
			shift.Y = 0
		} else {
			shift.X = 0
		}
	}
	moved := geometry.Pt(float64(shift.X), float64(shift.Y)).Mul(1 / b.view.scale)
	var guides []guide
	if snap := b.snapNow(mod); snap != nil {
		r := shifted(job.BoundsOf(b.job, b.selection), moved)
		by, x, y := snap.move(r, b.reach())
		if x && (mod&fyne.KeyModifierShift == 0 || shift.X != 0) {
			moved.X += by.X
		}
		if y && (mod&fyne.KeyModifierShift == 0 || shift.Y != 0) {
			moved.Y += by.Y
		}
		// No dust from adding up: what snaps back to where it was has not moved.
		const dust = 1e9
		moved = geometry.Pt(math.Round(moved.X*dust)/dust, math.Round(moved.Y*dust)/dust)
		guides = snap.guides(shifted(job.BoundsOf(b.job, b.selection), moved), b.seen())
		shift = image.Pt(int(math.Round(moved.X*b.view.scale)), int(math.Round(moved.Y*b.view.scale)))
	}
	if moved == g.moved {
		return
	}
	g.shift, g.moved = shift, moved
	dx, dy := b.shiftMM()
	b.sayWithPicture(words.Length(dx, b.job.Settings.Units)+", "+words.Length(dy, b.job.Settings.Units), at, guides)
	b.repaint()
	if b.OnDrag != nil {
		b.OnDrag(dx, dy)
	}
}

// shiftMM is the drag so far in millimetres. It is a whole number of pixels, so
// what is let go lies exactly where it was seen, but where it snapped: there it
// is exact, and seen to the nearest pixel.
func (b *Board) shiftMM() (dx, dy float64) { return b.gesture.moved.X, b.gesture.moved.Y }

// DragEnd implements fyne.Draggable.
func (b *Board) DragEnd() {
	switch b.gesture.kind {
	case dragging, shaping, boxing:
		b.release()
	default:
		b.gesture = gesture{space: b.gesture.space}
	}
}

// release commits the drag, once.
func (b *Board) release() {
	switch g := b.gesture; g.kind {
	case boxing:
		b.gesture = gesture{space: g.space}
		b.boxEnd(g)
		return
	case shaping:
		b.gesture = gesture{space: g.space}
		b.hideChip()
		b.placeGuides(nil)
		b.placeHandles()
		if b.OnShaped != nil {
			b.OnShaped(g.shape)
		}
		return
	}
	dx, dy := b.shiftMM()
	b.gesture = gesture{space: b.gesture.space}
	b.hideChip()
	b.placeGuides(nil)
	if dx == 0 && dy == 0 {
		b.repaint()
		if b.OnCancel != nil {
			b.OnCancel()
		}
		return
	}
	if b.OnMove != nil {
		b.OnMove(dx, dy)
	}
}

// cancel gives the drag up: everything is as it was.
func (b *Board) cancel() {
	was := b.Dragging()
	b.LetGo()
	if was && b.OnCancel != nil {
		b.OnCancel()
	}
}

// LetGo ends what the pointer drags, without a word: something else has become of
// it.
func (b *Board) LetGo() {
	switch b.gesture.kind {
	case boxing:
		b.box.Hide()
		canvas.Refresh(b.box)
	case dragging, shaping:
		b.hideChip()
		b.placeGuides(nil)
	default:
		return
	}
	shaped := b.gesture.kind != boxing
	b.gesture = gesture{kind: spent, space: b.gesture.space}
	if shaped {
		b.placeHandles()
		b.repaint()
	}
}

// Dragging reports whether layers are being moved, scaled or turned.
func (b *Board) Dragging() bool {
	return b.gesture.kind == dragging || b.gesture.kind == shaping
}

func abs(v int) int {
	if v < 0 {
		return -v
	}
	return v
}
