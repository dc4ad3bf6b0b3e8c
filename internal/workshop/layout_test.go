package workshop

import (
	"bytes"
	"fmt"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"abut/internal/drawer"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/layout"
)

// boat has a base, two sails and a flag.
const boat = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 60 60"><rect width="60" height="60" fill="#7fb0d0"/>
<path fill="#d03020" d="M28 5V40H6Z"/><path fill="#d03020" d="M32 10L52 40H32Z"/><path fill="#402010" d="M5 44H55L45 56H15Z"/></svg>`

func cutBoat(t *testing.T, dir string, o Options) Result {
	t.Helper()
	o.WidthMM, o.Folder = 60, dir
	r, err := Cut(t.Context(), Source{Path: "boat.svg", Art: strings.NewReader(boat)}, o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestCut_LaysCopiesOutOnSheetsOfTrueSize(t *testing.T) {
	stock := filepath.Join(t.TempDir(), "sheets.csv")
	if err := os.WriteFile(stock, []byte("name,pressed,width_mm,height_mm,offcuts_mm\nSea,#7fb0d0,210,297,\nBuoy,#d03020,210,297,70x70\nTeak,#402010,210,297,\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, way := range []layout.Way{layout.Together, layout.Loose} {
		dir := filepath.Join(t.TempDir(), "out")
		r := cutBoat(t, dir, Options{Drawer: stock, WriteOptions: WriteOptions{
			Formats: []Format{SVG, DXF, PDF, PNG}, Layout: LayoutOptions{Way: way, Copies: 13, Tries: 20},
		}})
		m := r.Manifest
		if err := published(t, true).Validate(jobJSON(t, dir)); err != nil {
			t.Errorf("%s: %v", way, err)
		}
		area, offcuts := make([]float64, len(m.Separations)), 0
		listed := []string{manifestFile, GuideFile, sheetsFile, costsFile}
		for _, d := range printed {
			listed = append(listed, d.name)
		}
		for _, s := range m.Layout.Sheets {
			area[s.Order-1] += s.AreaMM2
			if s.Kind == layout.Offcut {
				offcuts++
			}
			if len(s.Files) != 3 { // the picture is of no sheet
				t.Errorf("%s: a sheet has the files %v", way, s.Files)
			}
			svg, err := os.ReadFile(filepath.Join(dir, s.Files[0]))
			if err != nil {
				t.Fatal(err)
			}
			if text := strings.Join(s.Files, ", "); !strings.Contains(filesIn(t, dir)[sheetsFile], text) {
				t.Errorf("%s: %s does not name %s", way, sheetsFile, text)
			}
			if size := fmt.Sprintf(`width="%gmm" height="%gmm"`, s.SheetMM[0], s.SheetMM[1]); !bytes.Contains(svg, []byte(size)) {
				t.Errorf("%s: %s is not %s", way, s.Files[0], size)
			}
		}
		for i, s := range m.Separations {
			if math.Abs(area[i]-13*s.AreaMM2) > 1e-3 {
				t.Errorf("%s: of %s %v mm² are laid out, not 13 times %v", way, s.Name, area[i], s.AreaMM2)
			}
		}
		if offcuts != 1 {
			t.Errorf("%s: %d offcuts are used", way, offcuts)
		}
		for _, f := range m.Files {
			listed = append(listed, f.File)
		}
		entries, err := os.ReadDir(dir)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range entries {
			if !slices.Contains(listed, e.Name()) || !slices.Contains(writtenEarlier(dir), e.Name()) {
				t.Errorf("%s: nothing tells of %s", way, e.Name())
			}
		}
		if len(entries) != len(listed) {
			t.Errorf("%s: %d files, %d are told of: %v", way, len(entries), len(listed), listed)
		}
	}
}

func TestCut_LooseTakesLessThanTogether(t *testing.T) {
	used := map[layout.Way]float64{}
	for _, way := range []layout.Way{layout.Together, layout.Loose} {
		r := cutBoat(t, filepath.Join(t.TempDir(), "out"), Options{WriteOptions: WriteOptions{Layout: LayoutOptions{Way: way, Copies: 12, RollMM: 210, Tries: 50}}})
		for _, s := range r.Manifest.Layout.Sheets {
			if s.Order > 1 {
				used[way] += s.SheetMM[1]
			}
		}
	}
	if used[layout.Loose] > 0.8*used[layout.Together] {
		t.Errorf("mm of roll: %v", used)
	}
}

func TestCut_SaysWhatNoSheetHasRoomFor(t *testing.T) {
	o := Options{WidthMM: 60, SheetWidthMM: 50, SheetHeightMM: 50, Folder: filepath.Join(t.TempDir(), "out")}
	o.AllowBeyond, o.Layout.Way = true, layout.Together
	_, err := Cut(t.Context(), Source{Path: "boat.svg", Art: strings.NewReader(boat)}, o)
	if !Is(err, "layout-no-room") {
		t.Errorf("%v", err)
	}
	if _, err := os.Stat(o.Folder); err == nil {
		t.Error("something was written")
	}
}

// costsOf cuts the boat 60 mm wide from a list of sheets and returns what that takes, in all
// and by the name of the sheet.
func costsOf(t *testing.T, sheets string, lay LayoutOptions) (*ManifestCosts, map[string]ManifestCost) {
	t.Helper()
	stock := filepath.Join(t.TempDir(), "sheets.csv")
	if err := os.WriteFile(stock, []byte(sheets), 0o644); err != nil {
		t.Fatal(err)
	}
	r, err := Cut(t.Context(), Source{Path: "boat.svg", Art: strings.NewReader(boat)}, Options{WidthMM: 60, Drawer: stock, WriteOptions: WriteOptions{Layout: lay}})
	if err != nil {
		t.Fatal(err)
	}
	of := map[string]ManifestCost{}
	for _, c := range r.Laid.Costs.Colors {
		of[c.Name] = c
	}
	return r.Laid.Costs, of
}

func TestCut_CostsAreThoseOfSheetsUsedAtTheirPrice(t *testing.T) {
	// A base of 60 × 60 goes twelve times on a sheet of 210 × 297, less 5 mm at its edges.
	m, of := costsOf(t, "name,pressed,width_mm,height_mm,count,price,offcuts_mm\nSea,#7fb0d0,210,297,1,3.50,\nBuoy,#d03020,210,297,,2,200x200 200x200\nTeak,#402010,210,297,5,,\n",
		LayoutOptions{Way: layout.Together, Copies: 13, Tries: 20, SpeedMMS: 10})
	sea, buoy, teak := of["Sea"], of["Buoy"], of["Teak"]
	if sea.Sheets != 2 || *sea.Buy != 1 || *sea.Price != 3.5 || *sea.Cost != 7 {
		t.Errorf("two sheets of 3.50, one of them there already: %+v", sea)
	}
	if buoy.Sheets != 0 || buoy.Offcuts == 0 || buoy.Buy != nil || *buoy.Cost != 0 {
		t.Errorf("offcuts are paid for, and how many sheets there are is not known: %+v", buoy)
	}
	if teak.Price != nil || teak.Cost != nil || *teak.Buy != 0 || m.Cost != nil || m.CostEach != nil {
		t.Errorf("without a price nothing is added up: %+v, %v", teak, m.Cost)
	}
	// The base is a square with a hull and sails cut out of it: four sides of 60 mm, and as
	// much inside as hull and sails have around them.
	around := 13 * 4 * 60.0
	if in := buoy.CutMM + teak.CutMM; math.Abs(sea.CutMM-around-in) > 0.1 || math.Abs(sea.CutS-sea.CutMM/10) > 1e-6 || math.Abs(m.CutMM-around-2*in) > 0.1 {
		t.Errorf("%v mm in %v s and %v mm inside, of %v", sea.CutMM, sea.CutS, in, m.CutMM)
	}
}

func TestCut_ARollCostsWhatItsAreaDoes(t *testing.T) {
	m, of := costsOf(t, "name,pressed,width_mm,height_mm,price\nSea,#7fb0d0,210,297,3.50\nBuoy,#d03020,210,297,2\nTeak,#402010,210,297,1\n",
		LayoutOptions{Way: layout.Together, Copies: 13, Tries: 20, RollMM: 210})
	sum := 0.0
	for _, c := range of {
		if want := *c.Price * c.UsedMM2 / (210 * 297); math.Abs(*c.Cost-want) > 0.005 || c.RollMM == 0 || c.Buy != nil {
			t.Errorf("a roll costs what its area does: %+v, %v", c, want)
		}
		sum += *c.Cost
	}
	if len(of) != 3 || math.Abs(*m.Cost-sum) > 1e-9 || math.Abs(*m.CostEach-sum/13) > 0.005 {
		t.Errorf("%v and %v each are not %v", *m.Cost, *m.CostEach, sum)
	}
}

func TestTakeLaid_TakesWhatWasLaidOutOnAndPutsBackWhatIsLeft(t *testing.T) {
	stock, dir := filepath.Join(t.TempDir(), "sheets.csv"), filepath.Join(t.TempDir(), "out")
	if err := os.WriteFile(stock, []byte("name,pressed,width_mm,height_mm,count,offcuts_mm\nSea,#7fb0d0,210,297,1,\nBuoy,#d03020,210,297,4,70x70 150.5x70\nTeak,#402010,210,297,,\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	m := cutBoat(t, dir, Options{Drawer: stock, WriteOptions: WriteOptions{Layout: LayoutOptions{Way: layout.Together, Copies: 13, Tries: 20}}}).Manifest
	before, err := drawer.Open(stock)
	if err != nil {
		t.Fatal(err)
	}
	after, taken, err := TakeLaid(dir, before)
	if err != nil || len(taken) != len(m.Layout.Sheets) {
		t.Fatalf("%v, %v", taken, err)
	}
	// The list as it should be, from what job.json says lies on what.
	want := map[string]*drawer.Sheet{}
	for i := range before {
		s := before[i]
		s.Offcuts = slices.Clone(s.Offcuts)
		want[s.Name] = &s
	}
	buy := 0
	for i, s := range m.Layout.Sheets {
		if taken[i].Missing {
			t.Errorf("nothing was taken for %+v", s)
		}
		own := want[m.Separations[s.Order-1].Name]
		switch {
		case s.Buy:
			buy++ // and then cut, so that what is left of it is there
		case s.Kind == layout.Offcut:
			k := slices.Index(own.Offcuts, drawer.Size{WidthMM: s.SheetMM[0], HeightMM: s.SheetMM[1]})
			own.Offcuts = slices.Delete(own.Offcuts, k, k+1)
		case own.Count > 0:
			own.Count--
		}
		for _, l := range s.LeftMM {
			own.Offcuts = append(own.Offcuts, drawer.Size{WidthMM: l[0], HeightMM: l[1]})
		}
	}
	for _, s := range after {
		if w := want[s.Name]; w.Count != s.Count || !slices.Equal(w.Offcuts, s.Offcuts) {
			t.Errorf("%s: %d and %v, not %d and %v", s.Name, s.Count, s.Offcuts, w.Count, w.Offcuts)
		}
	}
	if buy != 1 || after[0].Count != 0 || after[2].Count != -1 {
		t.Errorf("%d are to be bought; %+v", buy, after)
	}
	if _, _, err := TakeLaid(t.TempDir(), before); !Is(err, "file-unreadable") {
		t.Error(err)
	}
	plain := filepath.Join(t.TempDir(), "plain")
	cutBoat(t, plain, Options{})
	if _, _, err := TakeLaid(plain, before); !Is(err, "mark-not-laid") {
		t.Error(err)
	}
}

func TestWrite_AJobThatIsLaidOutGivesTheFilesOfTheSameFlags(t *testing.T) {
	look, err := Cut(t.Context(), Source{Path: "boat.svg", Art: strings.NewReader(boat)}, Options{WidthMM: 60})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		keep job.Layout
		same LayoutOptions
	}{
		{job.Layout{Copies: 5, SpacingMM: 3}, LayoutOptions{Way: layout.Together, Copies: 5, GapMM: 3}},
		{job.Layout{Copies: 3, Loose: true, RollMM: 200}, LayoutOptions{Way: layout.Loose, Copies: 3, RollMM: 200}},
		{job.Layout{}, LayoutOptions{}},
	} {
		kept, err := job.SetLayout(look.Job, c.keep)
		if err != nil {
			t.Fatal(err)
		}
		p, err := fit.Compute(t.Context(), kept)
		if err != nil {
			t.Fatal(err)
		}
		written, flags, saved := filepath.Join(t.TempDir(), "boat"), filepath.Join(t.TempDir(), "boat"), filepath.Join(t.TempDir(), "boat")
		tries := LayoutOptions{Tries: 20}
		c.same.Tries = 20
		if _, err := Write(t.Context(), new(fit.Cache), kept, p, written, WriteOptions{Layout: tries}); err != nil {
			t.Fatal(err)
		}
		if _, err := Cut(t.Context(), Source{Path: "boat.abut", Saved: &look.Job}, Options{Folder: flags, WriteOptions: WriteOptions{Layout: c.same}}); err != nil {
			t.Fatal(err)
		}
		if _, err := Cut(t.Context(), Source{Path: "boat.abut", Saved: &kept}, Options{Folder: saved, WriteOptions: WriteOptions{Layout: tries}}); err != nil {
			t.Fatal(err)
		}
		want := contents(t, flags)
		if _, laid := want[sheetsFile]; laid != c.keep.On() {
			t.Errorf("%+v: laid out is %v", c.keep, laid)
		}
		for _, dir := range []string{written, saved} {
			if got := contents(t, dir); !maps.EqualFunc(got, want, bytes.Equal) {
				t.Errorf("%+v: other files than with flags: %v and %v", c.keep, slices.Sorted(maps.Keys(got)), slices.Sorted(maps.Keys(want)))
			}
		}
	}
}

func contents(t *testing.T, dir string) map[string][]byte {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string][]byte{}
	for _, e := range entries {
		if out[e.Name()], err = os.ReadFile(filepath.Join(dir, e.Name())); err != nil {
			t.Fatal(err)
		}
	}
	return out
}

func TestCut_WhatOptionsSayOfALayoutWinsOverTheJob(t *testing.T) {
	look, err := Cut(t.Context(), Source{Path: "boat.svg", Art: strings.NewReader(boat)}, Options{WidthMM: 60})
	if err != nil {
		t.Fatal(err)
	}
	kept, err := job.SetLayout(look.Job, job.Layout{Copies: 4, Loose: true, RollMM: 200})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		ask  LayoutOptions
		want string
	}{
		{LayoutOptions{}, "loose 4 200"}, {LayoutOptions{Copies: 2}, "loose 2 200"}, {LayoutOptions{Way: layout.Together}, "together 4 200"},
		{LayoutOptions{RollMM: 150}, "loose 4 150"}, {LayoutOptions{AsOne: true}, ""},
	} {
		c.ask.Tries = 2
		r, err := Cut(t.Context(), Source{Path: "boat.abut", Saved: &kept}, Options{WriteOptions: WriteOptions{Layout: c.ask}})
		if err != nil {
			t.Fatal(err)
		}
		got := ""
		if r.Laid != nil {
			got = fmt.Sprintf("%s %d %g", r.Laid.Way, r.Laid.Copies, r.Laid.Sheets[0].SheetMM[0])
		}
		if got != c.want {
			t.Errorf("%+v: %q, not %q", c.ask, got, c.want)
		}
	}
}
