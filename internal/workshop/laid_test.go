package workshop

import (
	"context"
	"errors"
	"image"
	"image/color"
	"strings"
	"testing"

	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/words"
)

func laidBoat(t *testing.T, how job.Layout) job.Job {
	t.Helper()
	r, err := Cut(t.Context(), Source{Path: "boat.svg", Art: strings.NewReader(boat)}, Options{WidthMM: 60})
	if err != nil {
		t.Fatal(err)
	}
	j, err := job.SetLayout(r.Job, how)
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// No number of tries that could ever be made: only Stop ends it.
func TestLayOut_KeepsTheBestSoFarWhenThatIsEnough(t *testing.T) {
	j := laidBoat(t, job.Layout{Copies: 9, Loose: true})
	enough, stop := context.WithCancel(t.Context())
	var first Laid
	l, err := LayOut(t.Context(), enough, new(fit.Cache), j, LayoutOptions{Tries: 1 << 40}, func(l Laid) {
		first = l
		stop()
	}, func(float64) {})
	if err != nil || len(l.Sheets) == 0 || l.Copies != 9 || len(first.Sheets) == 0 {
		t.Errorf("%v: %+v, first %+v", err, l.ManifestLayout, first.ManifestLayout)
	}
}

func TestLayOut_GivenUpIsNothing(t *testing.T) {
	j := laidBoat(t, job.Layout{Copies: 9})
	ctx, stop := context.WithCancel(t.Context())
	if _, err := LayOut(ctx, t.Context(), new(fit.Cache), j, LayoutOptions{Tries: 1 << 40}, func(Laid) { stop() }, func(float64) {}); !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
}

func TestLayOut_SaysHowMuchIsDone(t *testing.T) {
	last := -1.0
	l, err := LayOut(t.Context(), t.Context(), new(fit.Cache), laidBoat(t, job.Layout{Copies: 4}), LayoutOptions{Tries: 5}, func(Laid) {}, func(share float64) {
		if share < last || share >= 1 {
			t.Errorf("%g after %g", share, last)
		}
		last = share
	})
	if err != nil || last <= 0 || len(l.Sheets) < 3 {
		t.Errorf("%v, %g, %+v", err, last, l.ManifestLayout)
	}
}

// Blue covers of the picture what job.json says that its pieces have of the sheet.
func TestLaid_PictureShowsPiecesInTheirColourOnTheSheet(t *testing.T) {
	l, err := LayOut(t.Context(), t.Context(), new(fit.Cache), laidBoat(t, job.Layout{Copies: 13}), LayoutOptions{Tries: 5}, func(Laid) {}, func(float64) {})
	if err != nil {
		t.Fatal(err)
	}
	const side = 1200
	for i, s := range l.Sheets {
		if s.Order != 1 {
			continue
		}
		p := l.Picture(i, image.Pt(3000, side))
		if size := p.Bounds().Size(); size != image.Pt(side, side) {
			t.Errorf("a square sheet is %v", size)
		}
		n := 0
		for y := range side {
			for x := range side {
				if p.At(x, y) == (color.RGBA{0x7f, 0xb0, 0xd0, 255}) {
					n++
				}
			}
		}
		if got, want := float64(n)/(side*side), s.AreaMM2/(s.SheetMM[0]*s.SheetMM[1]); got > want || got < 0.85*want { // lines of the knife lie over it
			t.Errorf("sheet %d: %g of it is blue, not %g", i, got, want)
		}
	}
	if got := l.Called(words.English(), 0); got != "Sky blue" {
		t.Errorf("the base is called %s", got)
	}
}

func TestCostsLine_SumsUpAllColours(t *testing.T) {
	one, two, price := 1, 2, 7.5
	each := price / 3
	l := &ManifestLayout{Copies: 3, Costs: &ManifestCosts{
		Colors: []ManifestCost{{Sheets: 2, Buy: &one}, {Sheets: 1, Offcuts: 1, Buy: &two}, {Sheets: 1}}, Cost: &price, CostEach: &each, CutMM: 12345, CutS: 150,
	}}
	if got, want := CostsLine(words.English(), l), "4 sheets and 1 offcut · 3 to buy · 7.50, 2.50 each · 12.35 m to cut, about 3 min"; got != want {
		t.Errorf("%s\nnot %s", got, want)
	}
	l.Costs.Colors, l.Costs.Cost, l.Costs.CostEach = l.Costs.Colors[2:], nil, nil
	if got := CostsLine(words.English(), l); !strings.HasPrefix(got, "1 sheet · no price known · ") {
		t.Error(got)
	}
}
