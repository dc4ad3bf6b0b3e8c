package workshop

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
	"abut/internal/tree"
)

// cutSVG cuts a picture, unsized ones 100 mm wide.
func cutSVG(t *testing.T, svg string, o Options) (Result, error) {
	t.Helper()
	if o.UnsizedMM == 0 {
		o.UnsizedMM = 100
	}
	return Cut(context.Background(), Source{Path: "art.svg", Art: strings.NewReader(svg)}, o)
}

func mustCut(t *testing.T, svg string, o Options) Result {
	t.Helper()
	r, err := cutSVG(t, svg, o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestCut_WithoutAFolderLooksAtTheArtAsDrawnAndAtWhatIsCut(t *testing.T) {
	r := mustCut(t, `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40"><rect width="60" height="40" fill="#d03020"/>
<rect x="10" y="10" width="30" height="0.5" fill="#2040c0"/></svg>`, Options{})
	if r.Manifest != nil || r.Drawn.Stacked.AreaMM2 != 15 || r.Plan.Stacked.AreaMM2 != 0 {
		t.Errorf("%+v", r)
	}
	if len(r.Spots) != 1 || r.Spots[0].Kind != "sliver" || r.Spots[0].Mended || r.Spots[0].Separation != r.Plan.Separations[1].Name {
		t.Errorf("%+v", r.Spots)
	}
	if !slices.ContainsFunc(r.Warnings, func(w ManifestWarning) bool { return w.ID == "weak-spots" && w.Remedy != "" }) || !strings.Contains(r.Verdict, "stack") {
		t.Errorf("%q, %+v", r.Verdict, r.Warnings)
	}
}

func TestCut_MendsWhenAsked(t *testing.T) {
	const line = `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40"><rect width="60" height="40" fill="#d03020"/>
<rect x="10" y="10" width="30" height="0.5" fill="#2040c0"/></svg>`
	for _, asked := range []bool{false, true} {
		r := mustCut(t, line, Options{Folder: filepath.Join(t.TempDir(), "out"), Mend: asked})
		left := slices.ContainsFunc(r.Spots, func(s ManifestWeakSpot) bool { return !s.Mended })
		if left == asked || len(r.Plan.Mends) > 0 != asked {
			t.Errorf("asked: %v, mends %+v, spots %+v", asked, r.Plan.Mends, r.Spots)
		}
	}
}

// Where there is too much outline to look for thin places, all the rest is told
// still.
func TestCut_WhatIsTooMuchToLookThroughIsAWarning(t *testing.T) {
	var bars strings.Builder
	for x := 0; x < 2000; x += 16 { // 500 metres of outline
		fmt.Fprintf(&bars, "M%d 0h8v2000h-8z", x)
	}
	r := mustCut(t, `<svg xmlns="http://www.w3.org/2000/svg" width="2000mm" height="2000mm" viewBox="0 0 2000 2000"><path fill="#d03020" d="`+bars.String()+`"/></svg>`, Options{})
	if !slices.ContainsFunc(r.Warnings, func(w ManifestWarning) bool { return w.ID == "weak-not-looked-for" }) || len(r.Spots) > 0 || r.Smallest.WidthMM != 0 {
		t.Errorf("%+v, from %g mm", r.Warnings, r.Smallest.WidthMM)
	}
}

func TestCut_WritesWhatItReturns(t *testing.T) {
	out := filepath.Join(t.TempDir(), "out")
	r, err := Cut(context.Background(), Source{Path: "art.svg", Art: strings.NewReader(discInSquare), Name: "Disc"}, Options{WidthMM: 70, Folder: out})
	if err != nil {
		t.Fatal(err)
	}
	files := tree.Of(t, out)
	for _, s := range r.Manifest.Separations {
		if files[s.File] == "" {
			t.Errorf("no %s", s.File)
		}
	}
	if len(r.Manifest.Separations) != 3 || len(r.Plan.Separations) != 3 || r.Drawn != nil || r.Job.Items[0].Name != "Disc" || !strings.Contains(files[GuideFile], "Disc") {
		t.Errorf("%+v", r.Manifest)
	}
	if r.Manifest.Verdict != r.Verdict || len(r.Manifest.Warnings) != len(r.Warnings) || len(r.Manifest.WeakSpots) != len(r.Spots) {
		t.Errorf("%+v", r)
	}
}

func TestCut_SizesArtAsAsked(t *testing.T) {
	const unsized, sized = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20">`, `<svg xmlns="http://www.w3.org/2000/svg" width="80mm" height="40mm" viewBox="0 0 40 20">`
	const body = `<rect width="40" height="20" fill="#d03020"/></svg>`
	for _, c := range []struct {
		svg   string
		o     Options
		width float64
	}{
		{unsized, Options{}, 100}, {unsized, Options{UnsizedMM: 55}, 55}, {sized, Options{UnsizedMM: 55}, 80},
		{sized, Options{WidthMM: 33}, 33}, {sized, Options{HeightMM: 33}, 66},
	} {
		if w := mustCut(t, c.svg+body, c.o).Plan.Extent.Width(); w < c.width-1e-3 || w > c.width+1e-3 {
			t.Errorf("%+v: %g mm wide, want %g", c.o, w, c.width)
		}
	}
	source := func() Source { return Source{Path: "art.svg", Art: strings.NewReader(unsized + body)} }
	if r, err := Cut(context.Background(), source(), Options{}); err != nil || r.Plan.Extent.Width() != UnsizedMM {
		t.Error(err)
	}
	if _, err := Cut(context.Background(), source(), Options{Folder: filepath.Join(t.TempDir(), "out")}); !Is(err, "no-size") {
		t.Error(err)
	}
	for _, o := range []Options{{WidthMM: -1}, {HeightMM: -1}} {
		if _, err := cutSVG(t, sized+body, o); !Is(err, "edit-bad-size") {
			t.Errorf("%+v: %v", o, err)
		}
	}
}

func TestCut_ABlankLiesUnderTheMiddleOfTheArt(t *testing.T) {
	r := mustCut(t, discInSquare, Options{WidthMM: 70, Blank: &job.Blank{Name: "tile", WidthMM: 100, HeightMM: 60}})
	b := r.Job.Settings.BlankShape
	if b == nil || b.At.Sub(r.Plan.Extent.Centre()).Len() > 1e-3 || len(r.Plan.Beyond) != 0 {
		t.Errorf("%+v, the art is at %v; %+v", b, r.Plan.Extent, r.Plan.Beyond)
	}
}

func TestCut_IsSetUpForWhatThereIs(t *testing.T) {
	base := colour.RGB{R: 0x20, G: 0x40, B: 0xc0}
	r := mustCut(t, discInSquare, Options{
		WidthMM: 70, CutterMM: 60, SheetWidthMM: 50, SheetHeightMM: 40, Base: &base, Marks: true,
		Frame: job.FrameRule{Mode: job.FrameAlways, MarginMM: 7, CornerMM: 2}, NarrowestMM: 1.5, ClearanceMM: 0.2,
	})
	s := r.Job.Settings
	w, h := s.SheetSize()
	if s.Cutter() != 60 || w != 50 || h != 40 || s.Narrowest() != 1.5 || s.ClearanceMM != 0.2 || s.Frame.MarginMM != 7 || s.Frame.CornerMM != 2 {
		t.Errorf("%+v", s)
	}
	if p := r.Plan; p.Separations[0].Colour != base || p.Marks == nil || p.Frame == nil || len(p.Beyond) == 0 {
		t.Errorf("%+v, %+v", p.Separations[0], p.Beyond)
	}
	plain := mustCut(t, discInSquare, Options{WidthMM: 70}).Job.Settings
	if w, h := plain.SheetSize(); plain.Cutter() == 60 || w == 50 || h == 40 || plain.Narrowest() == 1.5 {
		t.Errorf("%+v", plain)
	}
	for id, o := range map[string]Options{
		"edit-bad-cutter": {CutterMM: -1}, "edit-bad-sheet-size": {SheetWidthMM: 100}, "edit-bad-width": {NarrowestMM: -1}, "edit-bad-blank": {Blank: &job.Blank{Name: "none"}},
	} {
		if _, err := cutSVG(t, discInSquare, o); !Is(err, id) {
			t.Errorf("%+v: %v", o, err)
		}
	}
	if _, err := cutSVG(t, discInSquare, Options{SheetHeightMM: 100}); !Is(err, "edit-bad-sheet-size") {
		t.Error(err)
	}
	if _, err := cutSVG(t, discInSquare, Options{ClearanceMM: -1}); !Is(err, "edit-bad-width") {
		t.Error(err)
	}
}

func TestCut_ABaseThatNothingIsCutFromIsAnError(t *testing.T) {
	green := colour.RGB{G: 255}
	for id, o := range map[string]Options{
		"base-colour-unknown":  {Base: &green},
		"frame-colour-unknown": {Frame: job.FrameRule{Mode: job.FrameOn, Colour: green}},
	} {
		_, err := cutSVG(t, discInSquare, o)
		if text, remedy := Explain(err); !Is(err, id) || !strings.Contains(text, "#00ff00") || !strings.Contains(remedy, "#2040c0") {
			t.Errorf("%s: %s %s", id, text, remedy)
		}
	}
	// One that bare colours leave nothing of, too; not one that is merged away.
	red := colour.RGB{R: 0xd0, G: 0x30, B: 0x20}
	if _, err := cutSVG(t, discInSquare, Options{Base: &red, Bare: job.BareRule{Mode: job.BareListed, Colours: []colour.RGB{red}}}); !Is(err, "base-colour-unknown") {
		t.Error(err)
	}
}

func TestCut_LayersAreLeftOutByName(t *testing.T) {
	const page = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 60"><rect width="100" height="60" fill="#f0c000"/>
<rect id="square" x="10" y="10" width="40" height="40" fill="#d03020"/><rect id="bar" x="70" y="10" width="10" height="40" fill="#20a040"/></svg>`
	for _, c := range []struct {
		names []string
		left  int
	}{{nil, 3}, {[]string{"bar"}, 2}, {[]string{" Bar ", "SQUARE"}, 1}, {[]string{"background"}, 2}} {
		if r := mustCut(t, page, Options{LeaveOut: c.names}); len(r.Plan.Separations) != c.left || len(r.Plan.LeftOut) != 3-c.left {
			t.Errorf("%q: %+v", c.names, r.Plan.LeftOut)
		}
	}
	_, err := cutSVG(t, page, Options{LeaveOut: []string{"bat"}})
	if text, _ := Explain(err); !Is(err, "no-layer-called") || !strings.Contains(text, "square") || !strings.Contains(text, "bar") {
		t.Error(text)
	}
	if _, err = cutSVG(t, discInSquare, Options{LeaveOut: []string{"background"}}); !Is(err, "no-background") {
		t.Error(err)
	}
}

func TestCut_MergesToTheSheetsOfADrawer(t *testing.T) {
	dir := t.TempDir()
	list, none := filepath.Join(dir, "list.csv"), filepath.Join(dir, "none.csv")
	tree.Put(t, list, "name,pressed\nTomato,#d13020\nSea,#2141c1\n")
	tree.Put(t, none, "name,pressed\n")
	r := mustCut(t, discInSquare, Options{Drawer: list, Colours: 1})
	if len(r.Merged) != 3 || len(r.Plan.Separations) != 1 || r.Merged[0].Sheet.Name != r.Plan.Separations[0].Name {
		t.Errorf("%+v", r.Merged)
	}
	if r := mustCut(t, discInSquare, Options{Colours: 2}); len(r.Plan.Separations) != 2 || len(r.Merged) != 2 {
		t.Errorf("%+v", r.Merged)
	}
	if r := mustCut(t, discInSquare, Options{}); r.Merged != nil {
		t.Errorf("%+v", r.Merged)
	}
	for path, id := range map[string]string{none: "drawer-empty", filepath.Join(dir, "lacks.csv"): "file-unreadable"} {
		if _, err := cutSVG(t, discInSquare, Options{Drawer: path}); !Is(err, id) {
			t.Errorf("%s: %v", path, err)
		}
	}
}

func TestCut_StoppedWritesNothing(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	dir := t.TempDir()
	before := tree.Of(t, dir)
	_, err := Cut(ctx, Source{Path: "art.svg", Art: strings.NewReader(discInSquare)}, Options{WidthMM: 90, Folder: filepath.Join(dir, "out")})
	if !Is(err, "stopped") || !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
	if !maps.Equal(before, tree.Of(t, dir)) {
		t.Error("something was written")
	}
}

// What stacks is said from the largest on, at most three places of it, each from
// the art's top left corner.
func TestWhere_NamesTheLargestPlaces(t *testing.T) {
	r := mustCut(t, `<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100"><rect id="field" x="10" y="20" width="90" height="80" fill="#d03020"/>
<g fill="#2040c0"><rect id="a" x="20" y="30" width="10" height="10"/><rect id="b" x="40" y="30" width="9" height="9"/><rect id="c" x="60" y="30" width="8" height="8"/><rect id="d" x="80" y="30" width="7" height="7"/></g></svg>`, Options{})
	text := Where(r.Job, r.Drawn)
	if strings.Count(text, ";") != 2 || !strings.Contains(text, "100 mm²") || !strings.Contains(text, "64 mm²") || strings.Contains(text, "49 mm²") {
		t.Error(text)
	}
	one := r.Drawn.Stacked.Places[0]
	one.Inside = geometry.Pt(25, 35)
	if text := PlaceText(r.Job, r.Drawn, one); !strings.Contains(text, "15 mm from the left") || !strings.Contains(text, " over field") {
		t.Error(text)
	}
}

// Of a pile the topmost is told, and the first few of those that it lies over.
func TestPlaceText_ShortensPiles(t *testing.T) {
	svg := `<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100">`
	for i, name := range []string{"sea", "hull", "sail", "mast", "flag", "star", "gull"} {
		svg += fmt.Sprintf(`<rect id="%s" x="20" y="20" width="50" height="50" fill="#%02x4080"/>`, name, 20+30*i)
	}
	r := mustCut(t, svg+"</svg>", Options{})
	if text := PlaceText(r.Job, r.Drawn, r.Drawn.Stacked.Places[0]); !strings.HasPrefix(text, "gull over star, flag, mast, sail … (6) (2500 mm²)") {
		t.Error(text)
	}
}

func TestBeyondText_NamesThreeAndCountsTheRest(t *testing.T) {
	r := mustCut(t, discInSquare, Options{WidthMM: 900, CutterMM: 50, SheetWidthMM: 50, SheetHeightMM: 50})
	if n := len(r.Plan.Beyond); n < 5 {
		t.Fatal(n)
	}
	if text := BeyondText(r.Job, r.Plan); strings.Count(text, "more than") != 3 || !strings.Contains(text, "2 more") && !strings.Contains(text, "3 more") {
		t.Error(text)
	}
	r.Plan.Beyond = r.Plan.Beyond[:3]
	if text := BeyondText(r.Job, r.Plan); strings.Count(text, "more than") != 3 || strings.HasSuffix(text, "more.") {
		t.Error(text)
	}
}

func TestCut_TellsWhatTheArtHadToFit(t *testing.T) {
	o := Options{WidthMM: 70, CutterMM: 200, SheetWidthMM: 150, SheetHeightMM: 120, Folder: filepath.Join(t.TempDir(), "out"),
		Blank: &job.Blank{Name: "tile", WidthMM: 100, HeightMM: 110}}
	want := ManifestRoom{CutterMM: 200, SheetMM: [2]float64{150, 120}, Blank: "tile", BlankMM: [2]float64{100, 110}}
	if got := mustCut(t, discInSquare, o).Manifest.Room; got != want {
		t.Errorf("%+v, want %+v", got, want)
	}
}

// Places in job.json are measured from the corner of the page, frame included.
func TestCut_SaysWhereOnThePageSpotsAre(t *testing.T) {
	r := mustCut(t, `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40"><rect x="10" y="20" width="10" height="10" fill="#d03020"/>
<rect x="30" y="25" width="10" height="0.5" fill="#2040c0"/></svg>`, Options{Frame: job.FrameRule{Mode: job.FrameAlways, MarginMM: 20}})
	if len(r.Spots) != 1 || r.Spots[0].Kind != "sliver" {
		t.Fatalf("%+v", r.Spots)
	}
	// The line's middle is at 35, 25.25 and the art's corner at 10, 20.
	if s := r.Spots[0]; math.Abs(s.XMM-45) > 5.01 || math.Abs(s.YMM-25.25) > 0.26 || s.WidthMM != 0.5 {
		t.Errorf("%+v", s)
	}
}

func TestWriteJSON_IsForPeopleToo(t *testing.T) {
	var b strings.Builder
	if err := WriteJSON(&b, map[string]string{"name": "salt & <pepper>"}); err != nil || b.String() != "{\n  \"name\": \"salt & <pepper>\"\n}\n" {
		t.Errorf("%s, %v", b.String(), err)
	}
}
