package workshop

import (
	"context"
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/tree"
	"abut/internal/watched"
)

func TestFormatsNamed_TakesEachOnceInTheOrderThatTheyAreListedIn(t *testing.T) {
	got, err := FormatsNamed("dxf-r12, SVG,dxf,svg")
	if err != nil || !slices.Equal(got, []Format{SVG, DXF, DXFR12}) {
		t.Errorf("%v, %v", got, err)
	}
	if again, err := FormatsNamed(FormatNames(Formats())); err != nil || !slices.Equal(again, Formats()) {
		t.Errorf("%v, %v", again, err)
	}
	for _, wrong := range []string{"", "svg,", "eps"} {
		if _, err := FormatsNamed(wrong); !Is(err, "format-unknown") {
			t.Errorf("%q: %v", wrong, err)
		}
	}
}

// inked is the square with its disc and, drawn with a pen, the bar's outline.
func inked(t *testing.T) job.Job {
	t.Helper()
	j := open(t, strings.Replace(discInSquare, "</svg>", `<path id="ink" d="M15 15H25" stroke="#000" fill="none"/></svg>`, 1))
	ids := j.LayerIDs()
	j, err := job.SetUse(j, ids[len(ids)-1:], job.Drawn)
	if err != nil {
		t.Fatal(err)
	}
	return knockedOut(t, j)
}

// beside are what lies beside the files of all formats.
func beside() []string {
	out := []string{"./", GuideFile, manifestFile}
	for _, d := range printed {
		out = append(out, d.name)
	}
	return out
}

func TestWrite_EveryFileOfEveryFormatIsListedAndNamedForWhatItIs(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	m := written(t, inked(t), dir, WriteOptions{Formats: Formats()})
	got := tree.Of(t, dir)
	for _, name := range beside() {
		delete(got, name)
	}
	formats := map[Format]bool{}
	for _, f := range m.Files {
		formats[f.Format] = true
		if !writes(f.File) {
			t.Errorf("%s is no name of ours", f.File)
		}
		if got[f.File] == "" {
			t.Errorf("%s is not there, or listed twice", f.File)
		}
		delete(got, f.File)
		if f.Mirrored != strings.Contains(f.File, "-mirrored.") {
			t.Errorf("%s is mirrored: %v", f.File, f.Mirrored)
		}
	}
	if len(got) > 0 || len(formats) != len(Formats()) {
		t.Errorf("not listed: %v; %d formats of %d", slices.Collect(maps.Keys(got)), len(formats), len(Formats()))
	}
	if m.Separations[1].File != "02-green-mirrored.svg" || len(m.Drawings) != 1 || m.Drawings[0].File != "01-red-drawn-black-mirrored.svg" {
		t.Errorf("cut from %s, drawn from %+v", m.Separations[1].File, m.Drawings)
	}
	for _, s := range []bool{false, true} {
		if err := published(t, s).Validate(jobJSON(t, dir)); err != nil {
			t.Error(err)
		}
	}
}

// Without files of their own, sheets are found where they are.
func TestWrite_SheetsAreFoundInTheFileThatHoldsAll(t *testing.T) {
	m := written(t, inked(t), filepath.Join(t.TempDir(), "out"), WriteOptions{Formats: []Format{DXFLayers}})
	if len(m.Files) != 1 {
		t.Fatalf("%+v", m.Files)
	}
	for _, s := range m.Separations {
		if s.File != "00-all-sheets-layers-mirrored.dxf" {
			t.Errorf("%s is cut from %s", s.Name, s.File)
		}
	}
	if m.Drawings[0].File != m.Files[0].File {
		t.Errorf("drawn from %s", m.Drawings[0].File)
	}
}

func TestWrite_TheFilesOfFormatsNoLongerAskedForGo(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	j := inked(t)
	written(t, j, dir, WriteOptions{Formats: Formats()})
	written(t, j, dir, WriteOptions{Formats: []Format{DXF}, Overwrite: true})
	for name := range tree.Of(t, dir) {
		if !slices.Contains(beside(), name) && !(strings.HasSuffix(name, ".dxf") && name[0] == '0' && !strings.Contains(name, "r12") && !strings.Contains(name, "layers")) {
			t.Errorf("%s is still there", name)
		}
	}
}

func TestWrite_TheSameJobIsTheSameBytesInEveryFormat(t *testing.T) {
	j, dir := demoJob(t, "rich"), t.TempDir()
	j = knockedOut(t, j)
	for _, name := range []string{"one", "two"} {
		written(t, j, filepath.Join(dir, name), WriteOptions{Formats: Formats()})
	}
	one, two := tree.Of(t, filepath.Join(dir, "one")), tree.Of(t, filepath.Join(dir, "two"))
	for name, text := range one {
		if two[name] != text {
			t.Errorf("%s differs", name)
		}
	}
	if len(one) != len(two) {
		t.Errorf("%d files, then %d", len(one), len(two))
	}
}

// Wherever a run with several formats is stopped, the folder is as it was.
func TestWrite_StoppedAmongSeveralFormatsLeavesTheFolderAsItWas(t *testing.T) {
	j, dir := inked(t), t.TempDir()
	p, out := fitted(t, j), filepath.Join(dir, "out")
	written(t, j, out, WriteOptions{Formats: []Format{SVG, DXFR12}})
	before := tree.Of(t, dir)
	o := WriteOptions{Formats: Formats(), Overwrite: true}
	stopped := 0
	for n := 1; ; n += 1 + n/3 {
		_, err := Write(watched.New(n), new(fit.Cache), j, p, out, o)
		if err == nil {
			break
		}
		if stopped++; !Is(err, ErrStopped) {
			t.Fatalf("stopped at look %d: %v", n, err)
		}
		if after := tree.Of(t, dir); !maps.Equal(before, after) {
			t.Fatalf("stopped at look %d: %v", n, slices.Collect(maps.Keys(after)))
		}
	}
	if stopped < 10 {
		t.Errorf("stopped %d times", stopped)
	}
	if _, err := Write(context.Background(), new(fit.Cache), j, p, out, o); err != nil {
		t.Error(err)
	}
}
