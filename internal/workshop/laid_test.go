package workshop

import (
	"context"
	"errors"
	"image"
	"image/color"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/drawer"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/layout"
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

func designs(t *testing.T, j job.Job) Designs {
	t.Helper()
	d, err := DesignsOf(t.Context(), new(fit.Cache), j)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func mustFit(t *testing.T, j job.Job) *fit.Plan {
	t.Helper()
	p, err := fit.Compute(t.Context(), j)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func tries(n int) WriteOptions { return WriteOptions{Layout: LayoutOptions{Tries: n}} }

// No number of tries that could ever be made: only Stop ends it.
func TestLayOut_KeepsTheBestSoFarWhenThatIsEnough(t *testing.T) {
	j := laidBoat(t, job.Layout{Copies: 9, Loose: true})
	enough, stop := context.WithCancel(t.Context())
	var first Laid
	l, err := LayOut(t.Context(), enough, designs(t, j), j, tries(1<<40), func(l Laid) {
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
	if _, err := LayOut(ctx, t.Context(), designs(t, j), j, tries(1<<40), func(Laid) { stop() }, func(float64) {}); !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
}

func TestLayOut_SaysHowMuchIsDone(t *testing.T) {
	last := -1.0
	j := laidBoat(t, job.Layout{Copies: 4})
	l, err := LayOut(t.Context(), t.Context(), designs(t, j), j, tries(5), func(Laid) {}, func(share float64) {
		if share < last || share > 1 {
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
	j := laidBoat(t, job.Layout{Copies: 13})
	l, err := LayOut(t.Context(), t.Context(), designs(t, j), j, tries(5), func(Laid) {}, func(float64) {})
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

// kept is the job with what LayOut shows of it, stopped after its first layout.
func kept(t *testing.T, j job.Job) (job.Job, Laid) {
	t.Helper()
	enough, stop := context.WithCancel(t.Context())
	l, err := LayOut(t.Context(), enough, designs(t, j), j, WriteOptions{}, func(Laid) { stop() }, func(float64) {})
	if err == nil {
		j, err = job.SetLaid(j, l.Kept())
	}
	if err != nil {
		t.Fatal(err)
	}
	return j, l
}

// What was shown is written: where the trying ended, and not what all tries would give.
func TestWrite_ALayoutThatWasStoppedIsWrittenAsItWasShown(t *testing.T) {
	for _, how := range []job.Layout{{Copies: 9, Loose: true}, {Copies: 7}, {Copies: 6, Loose: true, RollMM: 200}} {
		j, shown := kept(t, laidBoat(t, how))
		dir := filepath.Join(t.TempDir(), "out")
		r, err := Write(t.Context(), new(fit.Cache), j, mustFit(t, j), dir, WriteOptions{})
		if err != nil {
			t.Fatal(err)
		}
		for i := range r.Manifest.Layout.Sheets {
			r.Manifest.Layout.Sheets[i].Files = nil
		}
		if !reflect.DeepEqual(r.Manifest.Layout, shown.ManifestLayout) {
			t.Errorf("%+v: written was\n%+v\nshown\n%+v", how, r.Manifest.Layout, shown.ManifestLayout)
		}
	}
}

// A job that keeps its layout gives the files of one that is laid out anew, where that is
// the same.
func TestWrite_AKeptLayoutGivesTheFilesOfTheSameTries(t *testing.T) {
	for _, how := range []job.Layout{{Copies: 5, Loose: true}, {Copies: 9}, {Copies: 5, Loose: true, RollMM: 200}} {
		j := laidBoat(t, how)
		l, err := LayOut(t.Context(), t.Context(), designs(t, j), j, WriteOptions{}, func(Laid) {}, func(float64) {})
		if err != nil {
			t.Fatal(err)
		}
		k, err := job.SetLaid(j, l.Kept())
		if err != nil {
			t.Fatal(err)
		}
		var all [2]map[string]string
		for i, j := range []job.Job{j, k} {
			dir := filepath.Join(t.TempDir(), "out")
			if _, err := Write(t.Context(), new(fit.Cache), j, mustFit(t, j), dir, WriteOptions{}); err != nil {
				t.Fatal(err)
			}
			all[i] = filesIn(t, dir)
		}
		for name := range all[0] {
			if all[0][name] != all[1][name] {
				t.Errorf("%+v: %s differs", how, name)
			}
		}
		if len(all[0]) != len(all[1]) {
			t.Error(len(all[0]), len(all[1]))
		}
	}
}

// What is pinned stays where the rest is laid out anew, and the rest keeps off it and off
// what is kept free.
func TestLayOut_WhatIsPinnedStays(t *testing.T) {
	j, shown := kept(t, laidBoat(t, job.Layout{Copies: 6, Loose: true}))
	l := shown.Kept()
	for i := range l.Things {
		l.Things[i].Pinned = i%3 == 0
	}
	l.Free = []job.LaidFree{{Sheet: 0, Min: geometry.Pt(100, 100), Max: geometry.Pt(140, 130)}}
	pinned := l.Decided()
	j, err := job.SetLaid(j, pinned)
	if err != nil {
		t.Fatal(err)
	}
	again, err := LayOut(t.Context(), t.Context(), designs(t, j), j, tries(3), func(Laid) {}, func(float64) {})
	if err != nil {
		t.Fatal(err)
	}
	now := again.Kept()
	if len(now.Things) != len(l.Things) || len(now.Free) != 1 {
		t.Fatalf("%d things of %d, %d free", len(now.Things), len(l.Things), len(now.Free))
	}
	for _, p := range pinned.Things {
		i := slices.IndexFunc(now.Things, func(t job.LaidThing) bool {
			return t.Row == p.Row && t.Of == p.Of && t.Copy == p.Copy && t.Piece == p.Piece
		})
		got := now.Things[i]
		if on := now.Sheets[got.Sheet]; on != pinned.Sheets[p.Sheet] {
			t.Errorf("%+v came onto %+v", p, on)
		}
		if got.Sheet = p.Sheet; got != p {
			t.Errorf("%+v became %+v", p, got)
		}
	}
	free := now.Free[0]
	for _, x := range now.Things {
		if !x.Pinned && x.Sheet == free.Sheet && x.Min.X < free.Max.X && x.Max.X > free.Min.X && x.Min.Y < free.Max.Y && x.Max.Y > free.Min.Y {
			// The bounds of a leaning piece may reach over it: the pieces themselves are
			// compared by layout's own tests.
			if again.Sheets[x.Sheet].Way == "together" {
				t.Errorf("%+v lies on what is kept free", x)
			}
		}
	}
}

// What a pin held and is another now lies anywhere, pinned no more, and one is told.
func TestLayOut_APinOfWhatChangedLapsesAndSaysSo(t *testing.T) {
	j, shown := kept(t, laidBoat(t, job.Layout{Copies: 2, Loose: true}))
	l := shown.Kept()
	for i := range l.Things {
		l.Things[i].Pinned = i < 2
	}
	l.Things[0].Max.X++ // it was broader
	j, err := job.SetLaid(j, l.Decided())
	if err != nil {
		t.Fatal(err)
	}
	again, err := LayOut(t.Context(), t.Context(), designs(t, j), j, tries(3), func(Laid) {}, func(float64) {})
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range again.Kept().Things {
		if p := l.Things[1]; x.Pinned != (x.Of == p.Of && x.Copy == p.Copy && x.Piece == p.Piece) {
			t.Errorf("%+v is pinned: %t", x, x.Pinned)
		}
	}
	if text, told := DensityText(words.For("en"), again.ManifestLayout), "1 pinned thing cannot stay where it was."; !strings.Contains(text, told) {
		t.Errorf("%q does not say %q", text, told)
	}
	// So it is before anything is written.
	if f, err := Foretell(t.Context(), new(fit.Cache), j, WriteOptions{}, 100); err != nil || f.Lapsed != 1 {
		t.Errorf("%d lapse, %v", f.Lapsed, err)
	}
}

// A list that the job keeps is cut as one that is given beside it.
func TestCutList_OfTheJobGivesTheFilesOfTheSameList(t *testing.T) {
	source := mug(t)
	list := listOf(t, keepers)
	with, err := job.SetList(*source.Saved, ListFrom(list, "keepers.csv"))
	if err == nil {
		with, err = job.SetLayout(with, job.Layout{Copies: 3, Loose: true})
	}
	if err != nil {
		t.Fatal(err)
	}
	l, err := LayOut(t.Context(), t.Context(), designs(t, with), with, WriteOptions{}, func(Laid) {}, func(float64) {})
	if err != nil {
		t.Fatal(err)
	}
	if with, err = job.SetLaid(with, l.Kept()); err != nil {
		t.Fatal(err)
	}
	var all [2]map[string]string
	for i, x := range []struct {
		j job.Job
		o LayoutOptions
	}{{*source.Saved, LayoutOptions{Way: layout.Loose}}, {with, LayoutOptions{}}} {
		dir := filepath.Join(t.TempDir(), "fair")
		if _, err := CutList(t.Context(), Source{Path: "mug.abut", Saved: &x.j}, list, false, Options{Folder: dir, WriteOptions: WriteOptions{Layout: x.o}}); err != nil {
			t.Fatal(err)
		}
		all[i] = filesIn(t, dir)
	}
	for name := range all[0] {
		if all[0][name] != all[1][name] {
			t.Errorf("%s differs:\n%s\n%s", name, all[0][name], all[1][name])
		}
	}
	if len(all[0]) < 10 || len(all[0]) != len(all[1]) {
		t.Error(len(all[0]), len(all[1]))
	}
}

// A row that is left out is not made, and the others keep their numbers.
func TestCutList_WhatIsLeftOutIsNotMade(t *testing.T) {
	list := listOf(t, keepers)
	list.Rows[1].Out = true
	dir := filepath.Join(t.TempDir(), "fair")
	rows, err := CutList(t.Context(), mug(t), list, false, Options{Folder: dir, WriteOptions: WriteOptions{Layout: LayoutOptions{Way: layout.Together, Tries: 2}}})
	if err != nil {
		t.Fatal(err)
	}
	m := rows[0].Manifest
	if !rows[1].Out || rows[1].Manifest != nil || m.Layout.Copies != 2 || len(m.Rows) != 2 || m.Rows[1].Row != 3 {
		t.Errorf("%+v, %+v", rows, m.Rows)
	}
}

// By length: a line of the knife is told where it is cut, the box and lines of weeding and
// the overcut too.
func TestWrite_WhatHelpsToCutBelongsToWhatIsCut(t *testing.T) {
	j := laidBoat(t, job.Layout{Copies: 2})
	cut := func(o WriteOptions) *ManifestLayout {
		o.Layout.Tries = 2
		r, err := Write(t.Context(), new(fit.Cache), j, mustFit(t, j), filepath.Join(t.TempDir(), "out"), o)
		if err != nil {
			t.Fatal(err)
		}
		l, err := LayOut(t.Context(), t.Context(), designs(t, j), j, o, func(Laid) {}, func(float64) {})
		if err != nil || l.Costs.CutMM != r.Manifest.Layout.Costs.CutMM || l.Sheets[0].CutMM != r.Manifest.Layout.Sheets[0].CutMM {
			t.Errorf("%+v: shown %v, written %v mm, %v", o, l.Costs.CutMM, r.Manifest.Layout.Costs.CutMM, err)
		}
		return r.Manifest.Layout
	}
	plain, over, weed := cut(WriteOptions{}), cut(WriteOptions{OvercutMM: 1}), cut(WriteOptions{WeedingLines: true})
	contours := 0
	for i := range plain.Sheets {
		contours += int(math.Round((over.Sheets[i].CutMM - plain.Sheets[i].CutMM))) // one millimetre each
	}
	d := designs(t, j).all[0]
	want := 0
	for _, s := range d.page.Separations {
		want += 2 * len(s.Contours)
	}
	if contours != want {
		t.Errorf("%d mm of overcut, of %d lines", contours, want)
	}
	if weed.Costs.CutMM < plain.Costs.CutMM+300 || weed.Costs.CutS <= plain.Costs.CutS {
		t.Errorf("with lines to weed by %v mm are cut, without %v", weed.Costs.CutMM, plain.Costs.CutMM)
	}
}

// The bound by hand: nine squares of 60 mm with half a gap of 2 mm around each, on sheets
// of 304.8 mm with 5 mm at the edge of which 292.1 mm are cut.
func TestLayOut_TellsWhatNoLayoutCanDoWithLessOf(t *testing.T) {
	for copies, want := range map[int]int{9: 1, 22: 1, 23: 2, 100: 5} {
		j := laidBoat(t, job.Layout{Copies: copies})
		l, err := LayOut(t.Context(), t.Context(), designs(t, j), j, tries(1), func(Laid) {}, func(float64) {})
		if err != nil {
			t.Fatal(err)
		}
		c := l.Costs.Colors[0]
		bound := int(math.Ceil(float64(copies) * 62 * 62 / ((294.8 + 2) * (292.1 + 2))))
		if c.LeastSheets != bound || c.LeastSheets > c.Sheets || c.LeastSheets != want {
			t.Errorf("%d copies: %d sheets at least, by hand %d; laid out on %d", copies, c.LeastSheets, bound, c.Sheets)
		}
	}
	j := laidBoat(t, job.Layout{Copies: 9, Loose: true, RollMM: 200})
	l, err := LayOut(t.Context(), t.Context(), designs(t, j), j, tries(1), func(Laid) {}, func(float64) {})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range l.Costs.Colors {
		if c.LeastRollMM <= 0 || c.LeastRollMM > c.RollMM {
			t.Errorf("%+v", c)
		}
	}
}

func TestMarkCut_TakesOnce(t *testing.T) {
	dir, own := filepath.Join(t.TempDir(), "out"), filepath.Join(t.TempDir(), "own.csv")
	r, err := Cut(t.Context(), Source{Path: "boat.svg", Art: strings.NewReader(boat)}, Options{WidthMM: 60})
	if err != nil {
		t.Fatal(err)
	}
	sheets := []drawer.Sheet{{Name: "Sky blue", Pressed: colour.RGB{R: 0x7f, G: 0xb0, B: 0xd0}, Unpressed: colour.RGB{R: 0x7f, G: 0xb0, B: 0xd0}, Count: 4, WidthMM: 300, HeightMM: 200}}
	if err := drawer.Save(own, sheets); err != nil {
		t.Fatal(err)
	}
	o := Options{Drawer: own, Folder: dir, WriteOptions: WriteOptions{Layout: LayoutOptions{Copies: 2, Tries: 2}}}
	if r, err = Cut(t.Context(), Source{Path: "boat.abut", Saved: &r.Job}, o); err != nil {
		t.Fatal(err)
	}
	taken, err := MarkCut(dir, own)
	if err != nil || len(taken) == 0 {
		t.Fatal(taken, err)
	}
	once, _ := drawer.Open(own)
	if reflect.DeepEqual(once, sheets) {
		t.Fatal("nothing was taken")
	}
	if taken, err = MarkCut(dir, own); !Is(err, "mark-twice") || taken != nil {
		t.Errorf("the second time: %v, %v", taken, err)
	}
	if twice, _ := drawer.Open(own); !reflect.DeepEqual(twice, once) {
		t.Errorf("the second time became %+v of %+v", twice, once)
	}
	// Cut once more into the same folder it is another layout.
	o.Overwrite = true
	if _, err = Cut(t.Context(), Source{Path: "boat.abut", Saved: &r.Job}, o); err != nil {
		t.Fatal(err)
	}
	if _, err := MarkCut(dir, own); err != nil {
		t.Error(err)
	}
	// What cannot be taken leaves no note.
	_ = os.Remove(filepath.Join(dir, takenFile))
	if err := NoteTaken(dir, taken, func() error { return errors.New("the disk is full") }); err == nil || Untaken(dir) != nil {
		t.Error(err, Untaken(dir))
	}
}
