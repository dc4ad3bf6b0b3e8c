package board

import (
	"context"
	"image/color"
	"slices"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/fit"
	"abut/internal/job"
)

// colours are those of the picture, each with how many pixels have it.
func (p *picture) colours() map[color.RGBA]int {
	n := map[color.RGBA]int{}
	for i := 0; i < len(p.base.Pix); i += 4 {
		n[color.RGBA{p.base.Pix[i], p.base.Pix[i+1], p.base.Pix[i+2], 255}]++
	}
	return n
}

// press is a sheet whose colour is not quite that of the art.
var press = color.RGBA{0x30, 0x50, 0xA0, 255}

// stackedBoard shows two squares one over the other, the upper one chosen; what
// is cut of the lower one has the sheet's colour.
func stackedBoard(t *testing.T) (*Board, fyne.Window) {
	b, w, _ := newBoard(t)
	j := twoSquares()
	j.Items[0].Layers[1].Transform = geometry.Translate(-40, 10)
	plan, err := fit.Compute(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	for i := range plan.Separations {
		if plan.Separations[i].Colour == (colour.RGB{R: 0x20, G: 0x60, B: 0x90}) {
			plan.Separations[i].Colour = colour.RGB{R: press.R, G: press.G, B: press.B}
		}
	}
	b.SetJob(j, plan, true)
	b.Select([]job.LayerID{2})
	b.ShowAll()
	w.Canvas().Capture()
	return b, w
}

func TestCompare_ShowsTheOtherSideWithoutMarks(t *testing.T) {
	b, _ := stackedBoard(t)
	if reds(b.pic.base) == 0 {
		t.Fatal("nothing stacks")
	}
	drawn := color.RGBA{0x20, 0x60, 0x90, 255}
	var told []bool
	b.OnCompare = func(on bool) { told = append(told, on) }

	b.KeyDown(&fyne.KeyEvent{Name: compareKey})
	got := b.pic.colours()
	if got[drawn] > 0 || got[press] < 500 || reds(b.pic.base) > 0 {
		t.Errorf("of the art: %d pixels as drawn, %d of the sheet, %d marked red", got[drawn], got[press], reds(b.pic.base))
	}
	if b.handles.marks[0].Visible() {
		t.Error("the selection is still marked")
	}
	b.KeyUp(&fyne.KeyEvent{Name: compareKey})
	if got = b.pic.colours(); got[drawn] < 500 || reds(b.pic.base) == 0 || !b.handles.marks[0].Visible() {
		t.Error("the art does not come back as it was")
	}

	b.View(Fitted)
	b.Compare(true)
	if got = b.pic.colours(); got[press] > 0 || got[drawn] < 500 || reds(b.pic.base) > 0 {
		t.Errorf("of the pieces: %d pixels of the sheet, %d as drawn, %d red", got[press], got[drawn], reds(b.pic.base))
	}
	// Another view, a gesture, another job and leaving the board end it.
	b.View(Sheets)
	b.Compare(true)
	down(b, b.at(5, 5), desktop.MouseButtonPrimary)
	up(b, b.at(5, 5), false)
	b.Compare(true)
	b.SetJob(b.job, b.plan, true)
	b.Compare(true)
	b.FocusLost()
	if want := []bool{true, false, true, false, true, false, true, false, true, false}; !slices.Equal(told, want) {
		t.Errorf("told %v, want %v", told, want)
	}
}

// Once sheets are chosen the art looks as they are pressed, dragged or not, and is
// compared with how it was drawn.
func TestCompare_OfArtOnSheetsIsWithTheArtAsDrawn(t *testing.T) {
	b, _ := stackedBoard(t)
	art := colour.RGB{R: 0x20, G: 0x60, B: 0x90}
	drawn := color.RGBA{art.R, art.G, art.B, 255}
	j, id, err := job.AddSheet(b.job, job.Sheet{Name: "Royal", Pressed: colour.RGB{R: press.R, G: press.G, B: press.B}})
	if err == nil {
		j, err = job.Assign(j, art, job.Target{Sheet: id})
	}
	if err != nil {
		t.Fatal(err)
	}
	plan, err := fit.Compute(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	b.SetJob(j, plan, true)
	if got := b.pic.colours(); got[drawn] > 0 || got[press] < 500 || reds(b.pic.base) == 0 {
		t.Errorf("%d pixels as drawn, %d of the sheet, %d red", got[drawn], got[press], reds(b.pic.base))
	}
	b.Compare(true)
	if got := b.pic.colours(); !b.ComparesDrawn() || got[drawn] < 500 || got[press] > 0 || reds(b.pic.base) > 0 {
		t.Errorf("compared: %d pixels as drawn, %d of the sheet", got[drawn], got[press])
	}
}

// Once mends are made the art is shown as it will come out, and compared with how it
// was drawn: a line that looks thin on screen and comes out broad is no surprise to make.
func TestCompare_OfMendedArtIsWithTheArtAsDrawn(t *testing.T) {
	b, _, _ := newBoard(t)
	j := twoSquares()
	line := color.RGBA{0xF0, 0xC0, 0x20, 255}
	j.Items[0].Layers[1].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.RectXYWH(22, 12, 0.5, 26).Path()}}}
	j.Items[0].Layers[1].Transform = geometry.Identity()
	j, err := job.KnockOutAll(j)
	if err != nil {
		t.Fatal(err)
	}
	show := func(j job.Job, exact bool) int {
		plan, err := fit.Compute(context.Background(), j)
		if err != nil {
			t.Fatal(err)
		}
		b.SetJob(j, plan, exact)
		b.ShowAll()
		return b.pic.colours()[line]
	}
	drawn := show(j, true)
	if b.ComparesDrawn() {
		t.Error("nothing is mended yet")
	}
	var cache fit.Cache
	if j, err = cache.MendAll(context.Background(), j, nil); err != nil || len(j.Items[0].Mends) == 0 {
		t.Fatal(j.Items, err)
	}
	if got := show(j, false); got != drawn {
		t.Errorf("%d pixels before the plan is known, %d drawn", got, drawn)
	}
	// Those at its sides are mixed with what lies there, and do not count.
	if got := show(j, true); got < 2*drawn {
		t.Errorf("a line of 0.5 mm that comes out 1 mm broad has %d pixels, %d as drawn", got, drawn)
	}
	b.Compare(true)
	if got := b.pic.colours()[line]; !b.ComparesDrawn() || got != drawn {
		t.Errorf("compared: %d pixels, %d drawn", got, drawn)
	}
}

func TestCompare_NeedsAPlan(t *testing.T) {
	b, _, _ := newBoard(t)
	b.Compare(true)
	if b.Comparing() {
		t.Error("there is nothing to compare with")
	}
	b, _ = stackedBoard(t)
	b.Modifiers = func() fyne.KeyModifier { return fyne.KeyModifierControl }
	b.KeyDown(&fyne.KeyEvent{Name: compareKey}) // copies
	if b.Comparing() {
		t.Error("a shortcut compares")
	}
}
