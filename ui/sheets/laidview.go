package sheets

import (
	"image"
	"image/color"
	"math"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"abut/geometry"
	"abut/internal/job"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/theme"
)

// laidView shows one sheet of a layout. What lies on it is chosen, moved, turned and
// pinned by pointer and keys, and places are drawn that are kept free.
type laidView struct {
	widget.BaseWidget
	size    fyne.Size
	picture *canvas.Image
	// light and dark are the line around what is chosen, or the place that is drawn; ghost
	// is what is dragged.
	light, dark *canvas.Rectangle
	ghost       *canvas.Image
	ring        *canvas.Rectangle

	laid *workshop.Laid
	free []job.LaidFree // of the sheet
	at   int
	// chosen is the thing, and chosenFree the place, −1 for none.
	chosen, chosenFree int
	// drawing: what is dragged next is a place to keep free.
	drawing bool
	from    fyne.Position
	to      fyne.Position
	drag    dragging
	onKey   func(*fyne.KeyEvent)

	// onChoose is told that another thing is chosen, onMove what is to be moved and turned
	// by how much, onFree what is to be kept free, onCommand which key's work is asked for.
	onChoose  func()
	onMove    func(k, quarters int, by geometry.Point)
	onFree    func(geometry.Rect)
	onCommand func(laidCommand)
}

// lineWide is how broad either line around what is chosen is.
const lineWide = 2

// aroundSheet is what is free around a sheet, in units, for the line that shows where the
// keyboard is.
const aroundSheet = 6

// dragging is what the pointer does while its button is down.
type dragging int

const (
	resting dragging = iota
	carrying
	marking
	// given up: until the button comes up nothing happens.
	givenUp
)

// laidCommand is what a key asks for.
type laidCommand int

const (
	pinIt laidCommand = iota
	turnIt
	drawFree
	removeFree
	layAgain
	undoIt
	redoIt
	sheetBefore
	sheetAfter
)

var (
	_ fyne.Focusable     = (*laidView)(nil)
	_ fyne.Draggable     = (*laidView)(nil)
	_ fyne.Shortcutable  = (*laidView)(nil)
	_ desktop.Mouseable  = (*laidView)(nil)
	_ desktop.Cursorable = (*laidView)(nil)
	_ controls.Answering = (*laidView)(nil)
)

func newLaidView(size fyne.Size) *laidView {
	none := image.NewNRGBA(image.Rect(0, 0, 1, 1))
	v := &laidView{
		size: size, picture: canvas.NewImageFromImage(none), ghost: canvas.NewImageFromImage(none), chosen: -1, chosenFree: -1,
		light: canvas.NewRectangle(color.Transparent), dark: canvas.NewRectangle(color.Transparent), ring: canvas.NewRectangle(color.Transparent),
	}
	v.picture.FillMode, v.ghost.FillMode = canvas.ImageFillContain, canvas.ImageFillStretch
	v.ghost.Translucency = 0.2
	v.light.StrokeColor, v.light.StrokeWidth = theme.MarkLight, lineWide
	v.dark.StrokeColor, v.dark.StrokeWidth = theme.MarkDark, lineWide
	v.ring.StrokeWidth, v.ring.CornerRadius = 2, 6
	v.ghost.Hide()
	v.ring.Hide()
	v.ExtendBaseWidget(v)
	return v
}

// ShowSheet shows a sheet, nil for none; what was chosen there stays so where it is the same
// thing.
func (v *laidView) ShowSheet(l *workshop.Laid, at int, free []job.LaidFree) {
	if l == nil || v.laid == nil || at != v.at || v.chosen >= len(l.Sheets[at].Placed) {
		v.chosen, v.chosenFree = -1, -1
	}
	if v.chosenFree >= len(free) {
		v.chosenFree = -1
	}
	v.laid, v.at, v.free = l, at, free
	v.drop()
}

// SetPicture shows the sheet's picture.
func (v *laidView) SetPicture(p image.Image) {
	v.picture.Image = p
	v.picture.Refresh()
}

// Choose chooses a thing, −1 for none.
func (v *laidView) Choose(k int) {
	v.chosen, v.chosenFree = k, -1
	v.Refresh()
	v.onChoose()
}

// scale is how many units go on a millimetre, and where the sheet's corner is.
func (v *laidView) scale() (float64, fyne.Position) {
	s := v.laid.Sheets[v.at].SheetMM
	size := v.Size()
	k := math.Min(float64(size.Width-2*aroundSheet)/s[0], float64(size.Height-2*aroundSheet)/s[1])
	return k, fyne.NewPos((size.Width-float32(s[0]*k))/2, (size.Height-float32(s[1]*k))/2)
}

// place is where on the sheet a position is, in millimetres.
func (v *laidView) place(p fyne.Position) geometry.Point {
	k, at := v.scale()
	return geometry.Pt(float64(p.X-at.X)/k, float64(p.Y-at.Y)/k)
}

func (v *laidView) rect(lo, hi geometry.Point) (fyne.Position, fyne.Size) {
	k, at := v.scale()
	return fyne.NewPos(at.X+float32(lo.X*k), at.Y+float32(lo.Y*k)), fyne.NewSize(float32((hi.X-lo.X)*k), float32((hi.Y-lo.Y)*k))
}

// bounds are those of a thing on the sheet.
func (v *laidView) bounds(k int) (lo, hi geometry.Point) {
	p := v.laid.Sheets[v.at].Placed[k]
	return geometry.Pt(p.XMM, p.YMM), geometry.Pt(p.XMM+p.WidthMM, p.YMM+p.HeightMM)
}

// MouseDown implements desktop.Mouseable.
func (v *laidView) MouseDown(e *desktop.MouseEvent) {
	if c := fyne.CurrentApp().Driver().CanvasForObject(v); c != nil {
		c.Focus(v)
		v.ring.Hide()
	}
	if v.laid == nil || e.Button != desktop.MouseButtonPrimary {
		return
	}
	v.from, v.to, v.drag = e.Position, e.Position, resting
	if v.drawing {
		return
	}
	at := v.place(e.Position)
	v.Choose(v.laid.At(v.at, at))
	if v.chosen < 0 {
		for i, f := range v.free {
			if at.X >= f.Min.X && at.X <= f.Max.X && at.Y >= f.Min.Y && at.Y <= f.Max.Y {
				v.chosenFree = i
				v.Refresh()
				v.onChoose()
			}
		}
	}
}

// MouseUp implements desktop.Mouseable.
func (v *laidView) MouseUp(*desktop.MouseEvent) {
	if v.drag == givenUp {
		v.drag = resting
	}
}

// Dragged implements fyne.Draggable.
func (v *laidView) Dragged(e *fyne.DragEvent) {
	if v.laid == nil || v.drag == givenUp {
		return
	}
	v.to = e.Position
	switch {
	case v.drag == resting && v.drawing:
		v.drag = marking
	case v.drag == resting && v.chosen >= 0:
		v.drag = carrying
		k, _ := v.scale()
		v.ghost.Image = v.laid.Thing(v.at, v.chosen, k*layoutPx)
		v.ghost.Show()
	}
	v.Refresh()
}

// DragEnd implements fyne.Draggable.
func (v *laidView) DragEnd() {
	was := v.drag
	a, b := geometry.Point{}, geometry.Point{}
	if v.laid != nil {
		a, b = v.place(v.from), v.place(v.to)
	}
	v.drop()
	switch was {
	case carrying:
		v.onMove(v.chosen, 0, b.Sub(a))
	case marking:
		s := v.laid.Sheets[v.at].SheetMM
		in := func(p geometry.Point) geometry.Point {
			return geometry.Pt(min(max(p.X, 0), s[0]), min(max(p.Y, 0), s[1]))
		}
		if r := geometry.EmptyRect().Include(in(a)).Include(in(b)); r.Width() >= 1 && r.Height() >= 1 {
			v.drawing = false
			v.onFree(r)
		}
	}
}

// drop ends a drag: nothing comes of it.
func (v *laidView) drop() {
	v.drag = resting
	v.ghost.Hide()
	v.Refresh()
}

// FocusGained implements fyne.Focusable.
func (v *laidView) FocusGained() {
	v.ring.Show()
	v.Refresh()
}

// FocusLost implements fyne.Focusable.
func (v *laidView) FocusLost() {
	v.ring.Hide()
	v.drop()
}

// TypedRune implements fyne.Focusable.
func (v *laidView) TypedRune(r rune) {
	switch r {
	case 'p', 'P':
		v.onCommand(pinIt)
	case 'r', 'R':
		v.onCommand(turnIt)
	case 'f', 'F':
		v.onCommand(drawFree)
	}
}

// SetOnKey implements controls.Answering.
func (v *laidView) SetOnKey(f func(*fyne.KeyEvent)) { v.onKey = f }

// Steps of the arrows in millimetres: plain, with Shift, with Ctrl.
const (
	arrowMM = 1.0
	shiftMM = 10.0
	ctrlMM  = 0.1
)

// TypedKey implements fyne.Focusable.
func (v *laidView) TypedKey(e *fyne.KeyEvent) {
	way, arrow := map[fyne.KeyName]geometry.Point{
		fyne.KeyLeft: geometry.Pt(-1, 0), fyne.KeyRight: geometry.Pt(1, 0), fyne.KeyUp: geometry.Pt(0, -1), fyne.KeyDown: geometry.Pt(0, 1),
	}[e.Name]
	switch {
	case e.Name == fyne.KeyEscape && (v.drag != resting || v.drawing):
		v.drawing = false
		v.drop()
		v.drag = givenUp
		v.onChoose()
	case arrow && v.chosen >= 0:
		v.onMove(v.chosen, 0, way.Mul(arrowStep()))
	case arrow:
	case e.Name == fyne.KeySpace && v.laid != nil:
		v.chooseNext()
	case e.Name == fyne.KeyPageUp:
		v.onCommand(sheetBefore)
	case e.Name == fyne.KeyPageDown:
		v.onCommand(sheetAfter)
	case e.Name == fyne.KeyDelete || e.Name == fyne.KeyBackspace:
		v.onCommand(removeFree)
	case v.onKey != nil:
		v.onKey(e)
	}
}

// arrowStep is how far an arrow moves what is chosen, in millimetres.
func arrowStep() float64 {
	d, is := fyne.CurrentApp().Driver().(desktop.Driver)
	switch {
	case !is:
	case d.CurrentKeyModifiers()&fyne.KeyModifierShift != 0:
		return shiftMM
	case d.CurrentKeyModifiers()&fyne.KeyModifierControl != 0:
		return ctrlMM
	}
	return arrowMM
}

// chooseNext chooses the thing after the one that is chosen.
func (v *laidView) chooseNext() {
	if n := len(v.laid.Sheets[v.at].Placed); n > 0 {
		v.Choose((v.chosen + 1) % n)
	}
}

// TypedShortcut implements fyne.Shortcutable.
func (v *laidView) TypedShortcut(s fyne.Shortcut) {
	k, custom := s.(*desktop.CustomShortcut)
	switch {
	case s.ShortcutName() == (&fyne.ShortcutUndo{}).ShortcutName():
		v.onCommand(undoIt)
	case s.ShortcutName() == (&fyne.ShortcutRedo{}).ShortcutName(), custom && k.KeyName == fyne.KeyZ && k.Modifier == fyne.KeyModifierShortcutDefault|fyne.KeyModifierShift:
		v.onCommand(redoIt)
	}
}

// Cursor implements desktop.Cursorable.
func (v *laidView) Cursor() desktop.Cursor {
	if v.drawing {
		return desktop.CrosshairCursor
	}
	return desktop.DefaultCursor
}

// CreateRenderer implements fyne.Widget.
func (v *laidView) CreateRenderer() fyne.WidgetRenderer { return &laidRenderer{v} }

type laidRenderer struct{ v *laidView }

func (r *laidRenderer) MinSize() fyne.Size { return r.v.size }

func (r *laidRenderer) Layout(size fyne.Size) {
	v := r.v
	v.picture.Move(fyne.NewPos(aroundSheet, aroundSheet))
	v.picture.Resize(size.SubtractWidthHeight(2*aroundSheet, 2*aroundSheet))
	v.ring.Resize(size)
	on := false
	if v.laid != nil {
		var lo, hi geometry.Point
		switch {
		case v.drag == marking:
			box := geometry.EmptyRect().Include(v.place(v.from)).Include(v.place(v.to))
			lo, hi, on = box.Min, box.Max, true
		case v.chosen >= 0:
			lo, hi = v.bounds(v.chosen)
			on = true
		case v.chosenFree >= 0:
			lo, hi, on = v.free[v.chosenFree].Min, v.free[v.chosenFree].Max, true
		}
		if on {
			at, box := v.rect(lo, hi)
			if v.drag == carrying {
				at = at.AddXY(v.to.X-v.from.X, v.to.Y-v.from.Y)
			}
			// The lines lie around it, so that they hide nothing of it.
			for o, out := range map[fyne.CanvasObject]float32{v.ghost: 0, v.light: lineWide, v.dark: 2 * lineWide} {
				o.Move(at.SubtractXY(out, out))
				o.Resize(box.AddWidthHeight(2*out, 2*out))
			}
		}
	}
	v.light.Hidden, v.dark.Hidden = !on, !on
}

func (r *laidRenderer) Refresh() {
	v := r.v
	v.ring.StrokeColor = theme.Current().Accent
	r.Layout(v.Size())
	for _, o := range []fyne.CanvasObject{v.light, v.dark, v.ghost, v.ring} {
		o.Refresh()
	}
}

func (r *laidRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.v.picture, r.v.ghost, r.v.light, r.v.dark, r.v.ring}
}

func (r *laidRenderer) Destroy() {}
