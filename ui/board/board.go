// Package board is the table that the art lies on: true scale, rulers, what
// stacks in red as layers move, and the fitted pieces. View maths, painting,
// rulers and gestures are a file each.
package board

import (
	"image"
	"image/color"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"abut/geometry"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/ui/theme"
)

// Board shows a job at scale, with rulers, and lets its layers be picked and
// moved. It decides nothing: what a gesture means is told by the callbacks.
// All of it runs on the event thread but for the painter.
type Board struct {
	widget.BaseWidget

	// OnSelect reports which layers were picked, nil for none.
	OnSelect func([]job.LayerID)
	// OnDrag reports how far the selection is being dragged, in millimetres;
	// OnMove that it was let go there; OnCancel that the drag was given up.
	OnDrag, OnMove func(dx, dy float64)
	OnCancel       func()
	// OnShape reports how the selection is being scaled or turned, in
	// millimetres of the board; OnShaped that it was let go there.
	OnShape, OnShaped func(geometry.Affine)
	// OnContext reports that the other button was pressed, at a place on the
	// screen.
	OnContext func(fyne.Position)
	// OnNudge reports an arrow key.
	OnNudge func(dx, dy float64)
	// OnDelete reports that the selection is to go.
	OnDelete func()
	// OnTrouble reports that painting failed.
	OnTrouble func(any)
	// OnPainted reports each picture that is ready to be seen.
	OnPainted func()
	// PieceText says what to show of the fitted view's piece under the pointer.
	PieceText func(piece int) string
	// ZoneText says what becomes of a part of a sheet that is no piece.
	ZoneText func(Zone) string
	// StackedText says what to show of a stacked place under the pointer.
	StackedText func(place int) string
	// SpotText says what to show of a weak spot under the pointer; OnSpot
	// reports that one was pressed in the fitted view.
	SpotText func(spot int) string
	OnSpot   func(spot int)
	// OnShortcut gets the shortcuts that the board has no use for.
	OnShortcut func(fyne.Shortcut)
	// Modifiers returns the keys held down. Drag and key events don't say.
	Modifiers func() fyne.KeyModifier

	job  job.Job
	plan *fit.Plan
	// cut is what is cut of the plan, nil for the plan itself; tried is one that
	// is only being looked at.
	cut, tried *fit.Plan
	spots      []Spot
	exact      bool
	mode       Mode
	handles    handles
	box        *canvas.Rectangle
	labels     []*canvas.Text
	selection  []job.LayerID
	paper      geometry.Rect

	view view
	// ratio is the screen's pixels per unit, density the same as a whole number,
	// for the width of lines.
	ratio   float64
	density int
	// showAll: the art is to fill the view as soon as both are known.
	showAll bool
	painter painter
	pic     *picture
	hover   int
	// hoverGrip is the handle under the pointer.
	hoverGrip grip

	gesture gesture
	// quiet: the focus did not come by keyboard.
	quiet bool

	base, over *canvas.Raster
	rulers     [2]*ruler
	corner     *canvas.Rectangle
	unit       *canvas.Text
	chip       *canvas.Rectangle
	chipText   *canvas.Text
	ring       *canvas.Rectangle
}

// rulerSide is the thickness of the rulers in units.
const rulerSide = 24

// New returns an empty board. deliver runs a function on the event thread; nil
// paints on the spot, for tests.
func New(deliver func(func())) *Board {
	b := &Board{ratio: 1, density: 1, hover: -1, hoverGrip: noGrip, showAll: true}
	b.painter = painter{deliver: deliver, show: b.shown, trouble: func(v any) {
		if b.OnTrouble != nil {
			b.OnTrouble(v)
		}
	}}
	b.Modifiers = currentModifiers
	b.ExtendBaseWidget(b)
	b.base = canvas.NewRaster(b.basePixels)
	b.over = canvas.NewRaster(b.overPixels)
	b.over.Hide()
	b.rulers = [2]*ruler{newRuler(b, false), newRuler(b, true)}
	b.corner = canvas.NewRectangle(color.Transparent)
	b.unit = canvas.NewText("mm", color.Transparent)
	b.unit.TextSize = rulerText
	b.chip = canvas.NewRectangle(color.Transparent)
	b.chip.CornerRadius = 4
	b.chipText = canvas.NewText("", color.Transparent)
	b.chipText.TextSize = theme.Body
	b.ring = canvas.NewRectangle(color.Transparent)
	b.ring.Hide()
	b.box = newBox()
	b.newHandles()
	return b
}

func currentModifiers() fyne.KeyModifier {
	if d, ok := fyne.CurrentApp().Driver().(desktop.Driver); ok {
		return d.CurrentKeyModifiers()
	}
	return 0
}

// SetJob shows a job with the plan that is known for it; plan may be nil, or
// that of the job before while the exact one is being worked out.
func (b *Board) SetJob(j job.Job, plan *fit.Plan, exact bool) {
	if j.Settings.Units != b.job.Settings.Units {
		defer func() {
			for _, r := range b.rulers {
				r.refresh()
			}
		}()
	}
	b.job, b.plan, b.exact = j, plan, exact
	b.cut, b.tried = nil, nil
	b.unit.Text = map[job.Units]string{job.Millimetres: "mm", job.Inches: "in"}[j.Settings.Units]
	b.unit.Refresh()
	if b.gesture.kind != dragging {
		b.paper = paperOf(j)
	}
	b.hover = -1
	b.hideChip()
	b.measure()
	b.repaint()
}

// SetPlan replaces the plan, without taking the hover away when pieces keep
// their places.
func (b *Board) SetPlan(plan *fit.Plan, exact bool) {
	if b.plan == plan && b.exact == exact {
		return
	}
	if b.plan != plan {
		b.cut = nil
	}
	b.plan, b.exact = plan, exact
	b.placeLabels()
	if b.hover >= 0 && (plan == nil || b.hover >= len(plan.Pieces)) {
		b.hover = -1
	}
	b.repaint()
}

// Select marks layers as picked.
func (b *Board) Select(ids []job.LayerID) {
	if !slices.Equal(ids, b.selection) {
		b.selection = slices.Clone(ids)
		b.measure()
		b.repaint()
	}
}

// Mode is what the board shows.
type Mode uint8

const (
	// Art is where one edits.
	Art Mode = iota
	// Fitted shows the pieces as they lie beside each other.
	Fitted
	// Sheets shows each separation on its sheet, mirrored as it is cut.
	Sheets
	// Assembly shows the numbered pieces as they lie on the carrier, colour
	// side up and so mirrored.
	Assembly
)

// View switches between the views; the zoom stays.
func (b *Board) View(m Mode) {
	if b.mode != m {
		b.cancel()
		b.mode, b.hover = m, -1
		b.hideChip()
		b.placeHandles()
		b.placeLabels()
		b.repaint()
	}
}

// Mode returns what is shown.
func (b *Board) Mode() Mode { return b.mode }

// ShowAll brings all of the blank into view.
func (b *Board) ShowAll() {
	b.showAll = true
	b.place()
	b.repaint()
}

// Zoom enlarges the view about its middle.
func (b *Board) Zoom(factor float64) {
	b.setView(b.view.zoomed(b.view.size.Div(2), factor))
}

// ZoomTo brings a place on the board into view, as for a warning.
func (b *Board) ZoomTo(r geometry.Rect) {
	// Not closer than a couple of centimetres, so that one sees where it is.
	c := r.Centre()
	r = r.Grow(2).Union(geometry.Rect{Min: c, Max: c}.Grow(12))
	b.setView(b.view.showing(r, 24*b.density))
}

// PositionOf returns where on the widget a place on the board is.
func (b *Board) PositionOf(p geometry.Point) fyne.Position {
	x, y := b.view.px(p)
	d := b.ratio
	return fyne.NewPos(float32(x/d)+rulerSide, float32(y/d)+rulerSide)
}

// paperOf returns the blank or, where none was chosen, a sheet of paper that
// stands for it: everything of the art with a rim around it.
func paperOf(j job.Job) geometry.Rect {
	if b := j.Settings.BlankShape; b != nil {
		return b.Bounds()
	}
	r := geometry.EmptyRect()
	for _, it := range j.Items {
		r = r.Union(it.Placement.MapRect(it.Canvas))
	}
	if r.Empty() {
		return r
	}
	return r.Grow(max(10, 0.08*max(r.Width(), r.Height())))
}

// paperNow is the paper as the view shows it: mirrored with what lies on it.
func (b *Board) paperNow() geometry.Rect {
	if b.mode == Assembly && b.plan != nil && !b.paper.Empty() {
		return layoutOf(b.mode, b.Shown()).at(0).MapRect(b.paper)
	}
	return b.paper
}

// place sets the view when all of the art is to be shown.
func (b *Board) place() {
	all := b.paperNow()
	if b.job.Settings.BlankShape != nil {
		all = all.Grow(5).Union(job.Pages(b.job))
	}
	if l := layoutOf(b.mode, b.Shown()); b.mode == Sheets && l.n > 0 {
		all = l.extent()
	}
	if b.showAll && !all.Empty() && b.view.size.X > 0 {
		b.view = b.view.showing(all, 16*b.density)
	}
}

func (b *Board) setView(v view) {
	if v != b.view {
		b.view, b.showAll = v, false
		b.repaint()
	}
}

// repaint asks for a new picture.
func (b *Board) repaint() {
	if b.view.size.X <= 0 || b.view.size.Y <= 0 {
		return
	}
	if b.showAll {
		b.place()
	}
	r := &request{
		job: b.job, plan: b.Shown(), exact: b.exact, mode: b.mode, view: b.view, density: b.density, paper: b.paperNow(),
		ground: theme.Current().Board, selection: b.selection, piece: b.hover,
	}
	if b.tried != nil && b.mode == Art {
		r.mode = Fitted // only pieces show what a mend changes
	}
	if b.gesture.kind != dragging && b.gesture.kind != shaping {
		r.spots = b.spotsNow()
	}
	if b.gesture.kind == dragging {
		r.dragging, r.shift = true, b.gesture.shift
	}
	if b.gesture.kind == shaping {
		r.job, r.exact = *b.gesture.shaped, false
	}
	b.painter.ask(r)
}

// shown takes a finished picture.
func (b *Board) shown(p *picture) {
	changed := b.pic == nil || b.pic.base != p.base
	moved := b.pic == nil || b.pic.view != p.view
	b.pic = p
	if changed {
		canvas.Refresh(b.base)
	}
	b.placeOver()
	b.placeHandles()
	b.placeLabels()
	if moved {
		for _, r := range b.rulers {
			r.refresh()
		}
	}
	if b.OnPainted != nil {
		b.OnPainted()
	}
}

func (b *Board) placeOver() {
	p := b.pic
	if p == nil || p.over == nil {
		b.over.Hide()
		return
	}
	d := float32(b.ratio)
	b.over.Move(fyne.NewPos(rulerSide+float32(p.overAt.X)/d, rulerSide+float32(p.overAt.Y)/d))
	size := p.over.Rect.Size()
	b.over.Resize(fyne.NewSize(float32(size.X)/d, float32(size.Y)/d))
	b.over.Show()
	canvas.Refresh(b.over)
}

// basePixels is the raster's generator: it only hands over what the painter
// made. The size it is asked for is also how the board learns the screen's
// pixels per unit.
func (b *Board) basePixels(w, h int) image.Image {
	if size := image.Pt(w, h); size != b.view.size && w > 1 && h > 1 {
		if u := b.base.Size().Width; u > 0 {
			b.ratio = float64(w) / float64(u)
			b.density = max(1, int(b.ratio+0.5))
		}
		if b.view.scale == 0 {
			b.view.scale = 4
		}
		b.view = b.view.resized(size)
		b.repaint()
	}
	if b.pic == nil {
		img := image.NewRGBA(image.Rect(0, 0, w, h))
		fill(img, img.Rect, theme.Current().Board)
		return img
	}
	return sized(b.pic.base, w, h, theme.Current().Board)
}

func (b *Board) overPixels(w, h int) image.Image {
	if b.pic == nil || b.pic.over == nil {
		return image.NewRGBA(image.Rect(0, 0, w, h))
	}
	return sized(b.pic.over, w, h, color.NRGBA{})
}

// sized returns the image at the size asked for, cut or padded; rows tight, for
// the toolkit ignores strides.
func sized(img *image.RGBA, w, h int, ground color.NRGBA) *image.RGBA {
	if img.Rect.Dx() == w && img.Rect.Dy() == h {
		return img
	}
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	fill(out, out.Rect, ground)
	if ground.A == 0 {
		clear(out.Pix)
	}
	for y := 0; y < min(h, img.Rect.Dy()); y++ {
		n := 4 * min(w, img.Rect.Dx())
		copy(out.Pix[y*out.Stride:][:n], img.Pix[y*img.Stride:][:n])
	}
	return out
}

// CreateRenderer implements fyne.Widget.
func (b *Board) CreateRenderer() fyne.WidgetRenderer {
	b.ExtendBaseWidget(b)
	r := &boardRenderer{b}
	r.colours()
	return r
}

type boardRenderer struct{ b *Board }

func (r *boardRenderer) MinSize() fyne.Size { return fyne.NewSize(200, 160) }

func (r *boardRenderer) Layout(size fyne.Size) {
	b := r.b
	in := fyne.NewSize(max(size.Width-rulerSide, 1), max(size.Height-rulerSide, 1))
	b.base.Move(fyne.NewPos(rulerSide, rulerSide))
	b.base.Resize(in)
	b.ring.Move(fyne.NewPos(rulerSide, rulerSide))
	b.ring.Resize(in)
	b.corner.Resize(fyne.NewSquareSize(rulerSide))
	m := b.unit.MinSize()
	b.unit.Move(fyne.NewPos((rulerSide-m.Width)/2, (rulerSide-m.Height)/2))
	b.unit.Resize(m)
	b.rulers[0].layout(fyne.NewPos(rulerSide, 0), fyne.NewSize(in.Width, rulerSide))
	b.rulers[1].layout(fyne.NewPos(0, rulerSide), fyne.NewSize(rulerSide, in.Height))
	b.placeOver()
	b.placeHandles()
}

func (r *boardRenderer) Refresh() {
	r.colours()
	b := r.b
	b.repaint()
	for _, o := range r.Objects() {
		canvas.Refresh(o)
	}
	for _, x := range b.rulers {
		x.refresh()
	}
}

func (r *boardRenderer) colours() {
	b, p := r.b, theme.Current()
	b.corner.FillColor = p.Ground
	b.unit.Color = p.Quiet
	b.chip.FillColor = p.Text
	b.chipText.Color = p.Ground
	b.ring.StrokeColor, b.ring.StrokeWidth = p.Accent, 2
	if b.chipText.Text == "" {
		b.chip.Hide()
		b.chipText.Hide()
	}
}

func (r *boardRenderer) Objects() []fyne.CanvasObject {
	b := r.b
	o := []fyne.CanvasObject{b.base, b.over}
	for _, x := range b.rulers {
		o = append(o, x.objects()...)
	}
	for _, t := range b.labels {
		o = append(o, t)
	}
	o = append(o, b.handles.stem)
	for _, m := range b.handles.marks {
		o = append(o, m)
	}
	return append(o, b.box, b.corner, b.unit, b.chip, b.chipText, b.ring)
}

func (r *boardRenderer) Destroy() {}

// showChip says something beside the pointer.
func (b *Board) showChip(text string, at fyne.Position) {
	if text == "" {
		b.hideChip()
		return
	}
	area := b.Size()
	m := b.fitChip(text, area.Width-rulerSide-24)
	size := m.AddWidthHeight(16, 8)
	x, y := at.X+16, at.Y+20
	if x+size.Width > area.Width-4 {
		x = at.X - size.Width - 12
	}
	if y+size.Height > area.Height-4 {
		y = at.Y - size.Height - 12
	}
	x = max(rulerSide+4, min(x, area.Width-size.Width-4))
	y = max(rulerSide+4, min(y, area.Height-size.Height-4))
	b.chip.Move(fyne.NewPos(x, y))
	b.chip.Resize(size)
	b.chipText.Move(fyne.NewPos(x+8, y+4))
	b.chipText.Resize(m)
	b.chip.Show()
	b.chipText.Show()
	canvas.Refresh(b.chip)
	canvas.Refresh(b.chipText)
}

// fitChip sets the chip's text, without its last parts where the board is too
// narrow for all of it, and returns its size.
func (b *Board) fitChip(text string, room float32) fyne.Size {
	for {
		b.chipText.Text = text
		m := b.chipText.MinSize()
		cut := strings.LastIndex(text, " · ")
		if m.Width <= room || cut < 0 {
			return m
		}
		text = text[:cut]
	}
}

func (b *Board) hideChip() {
	if b.chip.Hidden && b.chipText.Text == "" {
		return // hiding anything asks the toolkit for a whole new frame
	}
	b.chipText.Text = ""
	b.chip.Hide()
	b.chipText.Hide()
}
