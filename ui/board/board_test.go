package board

import (
	"bytes"
	"image"
	"image/color"
	"math"
	"slices"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/fit"
	"abut/internal/fit/own"
	"abut/internal/job"
	"abut/ui/paint"
	"abut/ui/theme"
)

// twoSquares is a job of a red square at (10, 10) and a blue one at (60, 10),
// both 30 mm, side by side on a canvas of 100 × 60.
func twoSquares() job.Job {
	layer := func(id job.LayerID, x float64, c colour.RGB) job.Layer {
		return job.Layer{
			ID: id, Shown: true, Alpha: 1, Transform: geometry.Identity(), Colour: c,
			Content: job.Outlines{Shapes: []job.Shape{{Path: geometry.RectXYWH(x, 10, 30, 30).Path()}}},
		}
	}
	return job.Job{Items: []job.Item{{
		ID: 1, Canvas: geometry.RectXYWH(0, 0, 100, 60), Placement: geometry.Identity(),
		Layers: []job.Layer{layer(1, 10, colour.RGB{R: 0x20, G: 0x60, B: 0x90}), layer(2, 60, colour.RGB{R: 0xF0, G: 0xC0, B: 0x20})},
	}}}
}

type told struct {
	selected []job.LayerID
	drags    int
	moves    [][2]float64
	cancels  int
	nudges   [][2]float64
}

func newBoard(t *testing.T) (*Board, fyne.Window, *told) {
	t.Helper()
	app := test.NewTempApp(t)
	app.Settings().SetTheme(&theme.Theme{Mode: theme.AlwaysLight})
	b := New(nil)
	got := &told{}
	b.OnSelect = func(ids []job.LayerID) { got.selected = ids }
	b.OnDrag = func(_, _ float64) { got.drags++ }
	b.OnMove = func(dx, dy float64) { got.moves = append(got.moves, [2]float64{dx, dy}) }
	b.OnCancel = func() { got.cancels++ }
	b.OnNudge = func(dx, dy float64) { got.nudges = append(got.nudges, [2]float64{dx, dy}) }
	b.Modifiers = func() fyne.KeyModifier { return 0 }
	w := test.NewTempWindow(t, b)
	w.SetPadded(false)
	w.Resize(fyne.NewSize(700, 500))
	b.SetJob(twoSquares(), nil, false)
	w.Canvas().Capture()
	return b, w, got
}

// at returns the position on the widget over a place on the board.
func (b *Board) at(x, y float64) fyne.Position {
	px, py := b.view.px(geometry.Pt(x, y))
	return fyne.NewPos(float32(px)+rulerSide+0.5, float32(py)+rulerSide+0.5)
}

func down(b *Board, p fyne.Position, button desktop.MouseButton) {
	b.MouseDown(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: p}, Button: button})
}

func drag(b *Board, to fyne.Position) {
	b.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: to}})
}

func up(b *Board, p fyne.Position, dragged bool) {
	if dragged {
		b.DragEnd()
	}
	b.MouseUp(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: p}, Button: desktop.MouseButtonPrimary})
}

// seenRed counts the pixels of a capture that are red and hatched.
func seenRed(w fyne.Window) int {
	img := w.Canvas().Capture()
	n := 0
	r := img.Bounds()
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			c := color.NRGBAModel.Convert(img.At(x, y)).(color.NRGBA)
			if c.R == paint.StackedColour.R && c.G == paint.StackedColour.G && c.B == paint.StackedColour.B {
				n++
			}
		}
	}
	return n
}

func TestDrag_ShowsRedLiveAndReleaseCommitsOnce(t *testing.T) {
	b, w, got := newBoard(t)
	if n := seenRed(w); n != 0 {
		t.Fatalf("%d red pixels before anything stacks", n)
	}
	from, to := b.at(75, 25), b.at(50, 25)
	down(b, from, desktop.MouseButtonPrimary)
	drag(b, b.at(70, 25))
	drag(b, to)
	if n := seenRed(w); n < 200 {
		t.Errorf("%d red pixels while the squares stack", n)
	}
	if len(got.moves) != 0 || got.drags == 0 || !b.Dragging() {
		t.Errorf("while dragging: %d moves committed, %d drags told", len(got.moves), got.drags)
	}
	up(b, to, true)
	if len(got.moves) != 1 {
		t.Fatalf("release committed %d times", len(got.moves))
	}
	if d := got.moves[0]; math.Abs(d[0]+25) > 1.01/b.view.scale || math.Abs(d[1]) > 1.01/b.view.scale {
		t.Errorf("moved by %v, want −25, 0 to a pixel", d)
	}
	if !slices.Equal(got.selected, []job.LayerID{2}) {
		t.Errorf("selected %v", got.selected)
	}
}

// The picture under a drag is the picture that the same job has after release.
func TestDrag_ShowsWhatReleaseCommits(t *testing.T) {
	b, w, got := newBoard(t)
	down(b, b.at(75, 25), desktop.MouseButtonPrimary)
	drag(b, b.at(51, 31))
	b.hideChip()
	during := w.Canvas().Capture().(*image.NRGBA)
	up(b, b.at(51, 31), true)
	j, err := job.MoveLayers(b.job, []job.LayerID{2}, got.moves[0][0], got.moves[0][1])
	if err != nil {
		t.Fatal(err)
	}
	b.SetJob(j, nil, false)
	after := w.Canvas().Capture().(*image.NRGBA)
	different := 0
	for i := range during.Pix {
		if d := int(during.Pix[i]) - int(after.Pix[i]); d > 2 || d < -2 {
			different++
		}
	}
	if different > 0 {
		t.Errorf("%d bytes of the picture change on release", different)
	}
}

func TestEscape_CostsNothing(t *testing.T) {
	b, w, got := newBoard(t)
	b.Select([]job.LayerID{2})
	before := w.Canvas().Capture().(*image.NRGBA)
	down(b, b.at(75, 25), desktop.MouseButtonPrimary)
	drag(b, b.at(50, 25))
	b.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	drag(b, b.at(40, 25)) // the button is still down
	up(b, b.at(40, 25), true)
	if len(got.moves) != 0 || got.cancels != 1 {
		t.Errorf("%d moves, %d cancels", len(got.moves), got.cancels)
	}
	if after := w.Canvas().Capture().(*image.NRGBA); !bytes.Equal(before.Pix, after.Pix) {
		t.Error("the picture is not what it was")
	}
}

func TestClick_AgainPicksWhatLiesBeneath(t *testing.T) {
	b, _, got := newBoard(t)
	j, _ := job.MoveLayers(b.job, []job.LayerID{2}, -35, 0)
	b.SetJob(j, nil, false)
	for i, want := range []job.LayerID{2, 1, 2} {
		down(b, b.at(32, 25), desktop.MouseButtonPrimary)
		up(b, b.at(32, 25), false)
		if !slices.Equal(got.selected, []job.LayerID{want}) {
			t.Errorf("click %d picks %v, want %d", i+1, got.selected, want)
		}
	}
	down(b, b.at(95, 55), desktop.MouseButtonPrimary)
	up(b, b.at(95, 55), false)
	if got.selected != nil {
		t.Errorf("a click on empty paper leaves %v", got.selected)
	}
	locked, _ := job.SetLocked(j, []job.LayerID{2}, true)
	b.SetJob(locked, nil, false)
	down(b, b.at(32, 25), desktop.MouseButtonPrimary)
	up(b, b.at(32, 25), false)
	if !slices.Equal(got.selected, []job.LayerID{1}) {
		t.Errorf("a locked layer was caught: %v", got.selected)
	}
}

func TestArrows_NudgeInThreeSteps(t *testing.T) {
	b, _, got := newBoard(t)
	b.TypedKey(&fyne.KeyEvent{Name: fyne.KeyLeft})
	if len(got.nudges) != 0 {
		t.Error("nudged with nothing selected")
	}
	b.Select([]job.LayerID{1})
	b.TypedKey(&fyne.KeyEvent{Name: fyne.KeyLeft})
	b.Modifiers = func() fyne.KeyModifier { return fyne.KeyModifierShift }
	b.TypedKey(&fyne.KeyEvent{Name: fyne.KeyDown})
	b.TypedShortcut(&desktop.CustomShortcut{KeyName: fyne.KeyRight, Modifier: fyne.KeyModifierControl})
	if want := [][2]float64{{-0.1, 0}, {0, 1}, {10, 0}}; !slices.Equal(got.nudges, want) {
		t.Errorf("nudges %v, want %v", got.nudges, want)
	}
}

func TestView_ZoomKeepsThePlaceUnderThePointer(t *testing.T) {
	b, _, _ := newBoard(t)
	b.Modifiers = func() fyne.KeyModifier { return fyne.KeyModifierControl }
	p := b.at(70, 20)
	scale := b.view.scale
	b.Scrolled(&fyne.ScrollEvent{PointEvent: fyne.PointEvent{Position: p}, Scrolled: fyne.Delta{DY: 50}})
	if b.view.scale <= scale {
		t.Fatalf("scale %g after zooming in from %g", b.view.scale, scale)
	}
	if q := b.at(70, 20); math.Abs(float64(q.X-p.X)) > 1 || math.Abs(float64(q.Y-p.Y)) > 1 {
		t.Errorf("the place moved from %v to %v", p, q)
	}
	for range 100 {
		b.Zoom(10)
	}
	if b.view.scale != maxScale {
		t.Errorf("scale %g past the limit", b.view.scale)
	}
	b.ShowAll()
	if got := b.view.mm(image.Pt(0, 0)); !(got.X < 0 && got.Y < 0) {
		t.Errorf("show all starts at %v", got)
	}
}

func TestPan_MiddleButtonAndSpace(t *testing.T) {
	b, _, got := newBoard(t)
	o := b.view.origin
	down(b, b.at(75, 25), desktop.MouseButtonTertiary)
	drag(b, b.at(75, 25).AddXY(30, 10))
	up(b, b.at(75, 25), true)
	if d := b.view.origin.Sub(o); d != image.Pt(30, 10) {
		t.Errorf("middle drag panned by %v", d)
	}
	b.KeyDown(&fyne.KeyEvent{Name: fyne.KeySpace})
	down(b, b.at(75, 25), desktop.MouseButtonPrimary)
	drag(b, b.at(75, 25).AddXY(-20, -10))
	up(b, b.at(75, 25), true)
	if d := b.view.origin.Sub(o); d != image.Pt(10, 0) || len(got.moves) != 0 {
		t.Errorf("space drag panned to %v and moved %v", d, got.moves)
	}
}

func TestTickStep_IsRoundAndRoomy(t *testing.T) {
	for _, scale := range []float64{0.2, 1, 3.7, 12, 99, 400} {
		step, parts := tickStep(scale, 56)
		if step*scale < 56 || step*scale > 56*5 {
			t.Errorf("at %g px/mm labels are %g px apart", scale, step*scale)
		}
		m := step / math.Pow(10, math.Floor(math.Log10(step)+1e-9))
		if r := math.Round(m); math.Abs(m-r) > 1e-9 || r != 1 && r != 2 && r != 5 || parts < 2 {
			t.Errorf("at %g px/mm the step is %g in %d parts", scale, step, parts)
		}
	}
}

// plan of twoSquares as if fitted, each square one piece.
func squaresPlan() *fit.Plan {
	p := &fit.Plan{}
	for i, x := range []float64{10, 60} {
		r := geometry.RectXYWH(x, 10, 30, 30)
		c := colour.RGB{R: uint8(60 * i), G: 90, B: 150}
		p.Separations = append(p.Separations, fit.Separation{
			Of: own.OwnSheet(c), Colour: c, Outline: r.Path(), Bounds: r, AreaMM2: 900,
			Pieces: []fit.Piece{{Outline: r.Path(), Bounds: r, Inside: r.Centre(), AreaMM2: 900}},
		})
	}
	return p
}

// On the stroke of an O, 1.5 mm broad, a number stands once it has room there, and never half beside it.
func TestAssembly_NumbersStandOnTheirPieces(t *testing.T) {
	b, _, _ := newBoard(t)
	p := squaresPlan()
	o := &p.Separations[1].Pieces[0]
	o.Outline = append(geometry.RectXYWH(60, 10, 12, 12).Path(), geometry.RectXYWH(61.5, 11.5, 9, 9).Path().Reverse()...)
	o.Bounds, o.Inside, o.AreaMM2 = geometry.RectXYWH(60, 10, 12, 12), geometry.Pt(60.75, 16), 63
	b.SetJob(twoSquares(), p, true)
	b.View(Assembly)
	for pxMM, want := range map[float64]int{3: 1, 10: 2} {
		if got := len(b.labelsOf(pxMM)); got != want {
			t.Errorf("at %g units a millimetre there are %d numbers, want %d", pxMM, got, want)
		}
	}
}

func TestFitted_HoverDimsTheRestAndSaysWhich(t *testing.T) {
	b, w, got := newBoard(t)
	b.PieceText = func(id fit.PieceID) string { return map[uint8]string{0: "first", 60: "second"}[id.Of.Colour.R] }
	b.SetJob(twoSquares(), squaresPlan(), true)
	b.View(Fitted)
	before := w.Canvas().Capture()
	b.MouseMoved(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: b.at(75, 25)}})
	if b.chipText.Text != "second" || !b.chip.Visible() {
		t.Errorf("the chip says %q", b.chipText.Text)
	}
	after := w.Canvas().Capture()
	p, q := b.at(25, 25), b.at(65, 15)
	if before.At(int(p.X), int(p.Y)) == after.At(int(p.X), int(p.Y)) {
		t.Error("the other piece does not dim")
	}
	if before.At(int(q.X), int(q.Y)) != after.At(int(q.X), int(q.Y)) {
		t.Error("the piece itself dims")
	}
	down(b, b.at(75, 25), desktop.MouseButtonPrimary)
	drag(b, b.at(50, 25))
	up(b, b.at(50, 25), true)
	if len(got.moves) != 0 {
		t.Error("pieces can be dragged in the fitted view")
	}
}

func TestArt_HoverSaysWhatStacks(t *testing.T) {
	b, _, _ := newBoard(t)
	p := squaresPlan()
	place := geometry.RectXYWH(40, 20, 10, 10)
	p.Stacked = fit.Stacked{AreaMM2: 100, Places: []fit.StackedPlace{{Outline: place.Path(), Bounds: place, Inside: place.Centre()}}}
	b.StackedText = func(i int) string { return "one over the other" }
	b.SetJob(twoSquares(), p, true)
	hover := func(x, y float64) {
		b.MouseMoved(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: b.at(x, y)}})
	}
	hover(45, 25)
	if b.chipText.Text != "one over the other" || !b.chip.Visible() {
		t.Errorf("over the stacked place the chip says %q", b.chipText.Text)
	}
	hover(80, 50)
	if b.chip.Visible() {
		t.Error("the chip stays where nothing stacks")
	}
}

func TestViews_HoldWhenNothingIsCut(t *testing.T) {
	b, w, _ := newBoard(t)
	nothing := &fit.Plan{}
	nothing.Extent, nothing.Page = geometry.EmptyRect(), geometry.EmptyRect()
	for _, m := range []Mode{Art, Fitted, Sheets, Assembly} {
		b.SetJob(twoSquares(), nothing, true)
		b.View(m) // must not panic
		b.MouseMoved(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(200, 200)}})
		if img := w.Canvas().Capture(); img.Bounds().Empty() {
			t.Errorf("view %v shows nothing", m)
		}
		if z := zoneAt(nothing, geometry.Pt(1, 1)); z != NoZone {
			t.Errorf("there is a zone %v where there is no sheet", z)
		}
	}
}

// A latest-wins painter drops what nobody waits for and always ends with the
// last request.
func TestPainter_LatestWins(t *testing.T) {
	done := make(chan *picture, 64)
	p := painter{deliver: func(f func()) { f() }, show: func(pic *picture) bool { done <- pic; return false }}
	v := view{scale: 2, size: image.Pt(300, 200)}
	for i := range 50 {
		v.origin = image.Pt(i, 0)
		p.ask(&request{job: twoSquares(), view: v, density: 1})
	}
	for {
		if pic := <-done; pic.view == v {
			break
		}
	}
	if n := len(done); n != 0 {
		t.Errorf("%d pictures after the last", n)
	}
}

func TestPainter_FaultIsTold(t *testing.T) {
	told := make(chan any, 1)
	p := painter{deliver: func(f func()) { f() }, show: func(*picture) bool { return false }, trouble: func(v any) { told <- v }}
	bad := twoSquares()
	bad.Items[0].Layers[0].Content = job.Outlines{Shapes: []job.Shape{{Clips: []*job.Clip{nil}, Path: geometry.RectXYWH(0, 0, 9, 9).Path()}}}
	p.ask(&request{job: bad, view: view{scale: 2, size: image.Pt(300, 200)}, density: 1})
	if v := <-told; v == nil {
		t.Error("no fault told")
	}
}

// A stacked place of a fraction of a pixel is ringed, so that it can be found.
func TestSpecks_AreRinged(t *testing.T) {
	b, w, _ := newBoard(t)
	p := squaresPlan()
	speck := geometry.RectXYWH(50, 30, 0.02, 0.02)
	p.Stacked = fit.Stacked{AreaMM2: 0.0004, Places: []fit.StackedPlace{{Outline: speck.Path(), Bounds: speck, Inside: speck.Centre()}}}
	b.SetJob(twoSquares(), p, true)
	if n := seenRed(w); n < 60 {
		t.Errorf("%d red pixels", n)
	}
	b.SetPlan(p, false)
	if n := seenRed(w); n != 0 {
		t.Errorf("a plan of another job leaves %d red pixels", n)
	}
}

// The pointer means the place that it points at, also where the desktop scales
// by a fraction.
func TestPointer_FindsItsPlaceAtEveryScale(t *testing.T) {
	for _, scale := range []float32{1, 1.25, 1.5, 2} {
		b, w, got := newBoard(t)
		w.Canvas().(interface{ SetScale(float32) }).SetScale(scale)
		w.Canvas().Capture()
		for x, want := range map[float64]job.LayerID{39.3: 1, 60.7: 2} {
			p := b.PositionOf(geometry.Pt(x, 25))
			down(b, p, desktop.MouseButtonPrimary)
			up(b, p, false)
			if !slices.Equal(got.selected, []job.LayerID{want}) {
				t.Errorf("at %g× a click at %g mm picks %v", scale, x, got.selected)
			}
			got.selected = nil
			b.Select(nil)
		}
		p := b.PositionOf(geometry.Pt(75, 25))
		down(b, p, desktop.MouseButtonPrimary)
		drag(b, p.AddXY(-60, 0))
		up(b, p, true)
		moved := got.moves[0][0] * b.view.scale / b.ratio
		if math.Abs(moved+60) > 1 {
			t.Errorf("at %g× a drag by 60 units moves by %g", scale, moved)
		}
	}
}

func TestChip_StaysInsideTheBoard(t *testing.T) {
	test.NewTempApp(t)
	b := New(nil)
	for _, size := range []fyne.Size{fyne.NewSize(240, 200), fyne.NewSize(700, 500)} {
		b.Resize(size)
		for _, at := range []fyne.Position{{}, {X: size.Width, Y: size.Height}, {X: size.Width / 2, Y: size.Height - 2}} {
			b.showChip("Piece 1 · Light greenish blue · 114 × 50 mm · 4040 mm²", at)
			p, s := b.chip.Position(), b.chip.Size()
			if p.X < rulerSide || p.Y < rulerSide || p.X+s.Width > size.Width || p.Y+s.Height > size.Height {
				t.Errorf("on a board of %v the label is at %v, %v large", size, p, s)
			}
		}
	}
}

// The rulers have their numbers again when what was closed is opened once more: the view is the same, so nothing else asks for them.
func TestRulers_HaveNumbersAgain(t *testing.T) {
	b, w, _ := newBoard(t)
	numbers := func() (n int) {
		w.Canvas().Capture()
		for _, r := range b.rulers {
			for _, l := range r.labels {
				if !l.Hidden {
					n++
				}
			}
		}
		return n
	}
	before := numbers()
	b.SetJob(job.Job{}, nil, false)
	if n := numbers(); n != 0 {
		t.Errorf("%d numbers beside nothing", n)
	}
	b.SetJob(twoSquares(), nil, false)
	if n := numbers(); n != before || n == 0 {
		t.Errorf("%d numbers, before there were %d", n, before)
	}
}

// On a blank one measures from its corner, on screen as where it snaps; what lies on it mirrored, too.
func TestRulers_BeginAtTheBlanksCorner(t *testing.T) {
	b, w, _ := newBoard(t)
	zeros := func() (out [2]float64) {
		w.Canvas().Capture()
		for i, r := range b.rulers {
			out[i] = math.NaN()
			r.eachTick(func(px, mm float64, _ bool) {
				if math.Abs(mm) < 1e-9 {
					out[i] = px
				}
			})
		}
		return out
	}
	near := func(have [2]float64, at geometry.Point) bool {
		x, y := b.view.px(at)
		return math.Abs(have[0]-x) < 1e-6 && math.Abs(have[1]-y) < 1e-6
	}
	if z := zeros(); !near(z, geometry.Point{}) {
		t.Errorf("without a blank they begin at %v", z)
	}
	j := twoSquares()
	j.Settings.BlankShape = &job.Blank{WidthMM: 120, HeightMM: 80, SafeMM: 5, At: geometry.Pt(51.3, 30.7)}
	b.SetJob(j, nil, false)
	if z := zeros(); !near(z, j.Settings.BlankShape.Bounds().Min) {
		t.Errorf("on a blank they begin at %v", z)
	}
	b.SetGrid(5)
	b.SetSnapping(Snapping{Grid: true})
	if by, ok := b.snapTargets().x.edge(-8.7+20.4, 1); !ok || math.Abs(by+0.4) > 1e-9 {
		t.Errorf("an edge 20.4 mm from the blank's moves by %g", by)
	}
	b.View(Sheets)
	if z := zeros(); !near(z, geometry.Point{}) {
		t.Errorf("beside sheets they begin at %v", z)
	}
}
