// Package board is the table that the art lies on: true scale, rulers, what
// stacks in red as layers move, and the fitted pieces. View maths, painting,
// rulers and gestures are a file each.
package board

import (
	"image/color"
	"slices"

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
	// OnDouble reports that layers were pressed twice, the topmost first.
	OnDouble func([]job.LayerID)
	// OnNudge reports an arrow key.
	OnNudge func(dx, dy float64)
	// OnDelete reports that the selection is to go, OnHelp that the key for help was
	// pressed.
	OnDelete, OnHelp func()
	// OnTrouble reports that painting failed.
	OnTrouble func(any)
	// OnPainted reports each picture that is ready to be seen.
	OnPainted func()
	// OnDrawn reports each frame in which a picture is being drawn anew.
	OnDrawn func()
	// PieceText says what to show of the fitted view's piece under the pointer.
	PieceText func(piece fit.PieceID) string
	// ZoneText says what becomes of a part of a sheet that is no piece.
	ZoneText func(Zone) string
	// StackedText says what to show of a stacked place under the pointer.
	StackedText func(place int) string
	// SpotText says what to show of a weak spot under the pointer; OnSpot
	// reports that one was pressed in the fitted view.
	SpotText func(spot int) string
	OnSpot   func(spot int)
	// OnCompare reports that Compare was switched.
	OnCompare func(on bool)
	// OnShortcut gets the shortcuts that the board has no use for.
	OnShortcut func(fyne.Shortcut)
	// Modifiers returns the keys held down. Drag and key events don't say.
	Modifiers func() fyne.KeyModifier

	job job.Job
	// drawn is the job as it is painted.
	drawn job.Job
	plan  *fit.Plan
	// cut is what is cut of the plan, nil for the plan itself; tried is one that
	// is only being looked at.
	cut, tried *fit.Plan
	spots      []Spot
	exact      bool
	mode       Mode
	comparing  bool
	handles    handles
	box        *canvas.Rectangle
	labels     []*canvas.Text
	// insides tell what pieces of a plan enclose, as far as their numbers were placed.
	insides   map[*fit.Piece]*geometry.Enclosure
	insidesOf *fit.Plan
	selection []job.LayerID
	paper     geometry.Rect

	view view
	// ratio is the screen's pixels per unit, density the same as a whole number,
	// for the width of lines.
	ratio   float64
	density int
	// showAll: the art is to fill the view as soon as both are known.
	showAll bool
	painter painter
	pic     *picture
	hover   fit.PieceID
	// hoverGrip is the handle under the pointer.
	hoverGrip grip

	gesture gesture
	// quiet: the focus did not come by keyboard.
	quiet bool

	base, over *canvas.Raster
	fade       fade
	rulers     [2]*ruler
	ruledFrom  geometry.Point // where they begin
	corner     *canvas.Rectangle
	unit       *canvas.Text
	chip       *canvas.Rectangle
	chipText   *canvas.Text
	wish       *wish
	note       noteBox
	snapping   Snapping
	gridMM     float64
	// guides are pairs of lines, the light one beneath the dark one.
	guides []*canvas.Line
	ring   *canvas.Rectangle
}

// rulerSide is the thickness of the rulers in units.
const rulerSide = 24

// New returns an empty board. deliver runs a function on the event thread; nil
// paints on the spot, for tests.
func New(deliver func(func())) *Board {
	b := &Board{ratio: 1, density: 1, hoverGrip: noGrip, showAll: true}
	b.painter = painter{deliver: deliver, pace: newPace(), show: b.shown, trouble: func(v any) {
		if b.OnTrouble != nil {
			b.OnTrouble(v)
		}
	}}
	b.Modifiers = currentModifiers
	b.ExtendBaseWidget(b)
	b.base = canvas.NewRaster(b.basePixels)
	b.over = canvas.NewRaster(b.overPixels)
	b.over.Hide()
	// A pixel is one of the screen's: nothing is to be smoothed.
	b.base.ScaleMode, b.over.ScaleMode = canvas.ImageScalePixels, canvas.ImageScalePixels
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
	b.note = newNoteBox()
	b.box = newBox()
	b.fade = newFade(deliver == nil)
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
	units, none := b.job.Settings.Units, b.paper.Empty()
	defer func() {
		b.showRulers(j.Settings.Units != units || b.paper.Empty() != none) // else with the view
	}()
	b.Compare(false)
	b.job, b.plan, b.exact = j, plan, exact
	b.outline()
	b.cut, b.tried = nil, nil
	b.unit.Text = map[job.Units]string{job.Millimetres: "mm", job.Inches: "in"}[j.Settings.Units]
	b.unit.Refresh()
	if b.gesture.kind != dragging {
		b.paper = paperOf(j)
	}
	b.hover = fit.PieceID{}
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
		b.Compare(false)
		b.cut = nil
	}
	b.plan, b.exact = plan, exact
	b.outline()
	b.placeLabels()
	if b.hover != (fit.PieceID{}) && (plan == nil || plan.Piece(b.hover) == nil) {
		b.hover = fit.PieceID{}
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
		b.Compare(false)
		b.mode, b.hover = m, fit.PieceID{}
		b.hideChip()
		b.placeHandles()
		b.placeLabels()
		b.repaint()
	}
}

// Job returns the job that is shown.
func (b *Board) Job() job.Job { return b.job }

// Mode returns what is shown.
func (b *Board) Mode() Mode { return b.mode }

// repaint asks for a new picture.
func (b *Board) repaint() {
	if b.view.size.X <= 0 || b.view.size.Y <= 0 {
		return
	}
	if b.showAll {
		b.place()
	}
	r := &request{
		grid: b.gridMM,
		job:  b.drawn, plan: b.Shown(), exact: b.exact, mode: b.mode, view: b.view, density: b.density, paper: b.paperNow(),
		ground: theme.Current().Board, card: theme.Current().Surface, selection: b.selection, piece: b.hover,
	}
	if b.tried != nil && b.mode == Art {
		r.mode = Fitted // only pieces show what a mend changes
	}
	if b.comparing {
		r.plain, r.mode = true, b.other()
		b.painter.ask(r)
		return
	}
	if b.gesture.kind != dragging && b.gesture.kind != shaping {
		r.spots = b.spotsNow()
	}
	if b.gesture.kind == dragging {
		r.dragging, r.shift, r.moving = true, b.gesture.shift, job.Carried(b.job, b.selection)
	}
	if b.gesture.kind == shaping {
		r.job, r.exact, r.dragging = *b.gesture.shaped, false, true
	}
	b.painter.ask(r)
}
