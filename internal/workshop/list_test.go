package workshop

import (
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"abut/geometry"
	"abut/geometry/parallel"
	"abut/internal/colour"
	"abut/internal/drawer"
	"abut/internal/job"
	"abut/internal/layout"
	"abut/internal/lettering"
	"abut/internal/system"
)

// mug is the boat, 60 mm wide, with a name on it.
func mug(t testing.TB) Source {
	t.Helper()
	j, err := OpenSVG(t.Context(), "boat.svg", strings.NewReader(boat))
	if err == nil {
		j, err = Size(t.Context(), j, 60, 0)
	}
	if err != nil {
		t.Fatal(err)
	}
	text, _, err := lettering.Set(t.Context(), job.Text{Text: "{name}", SizeMM: 9, Weight: 700, Align: job.TextMiddle})
	if err != nil {
		t.Fatal(err)
	}
	j, _, err = job.Add(j, job.Added{Content: text, Name: "{name}", Colour: colour.RGB{R: 0xff, G: 0xe0, B: 0x40}}, geometry.Pt(30, 54))
	if err == nil {
		j, err = job.KnockOutAll(j)
	}
	if err != nil {
		t.Fatal(err)
	}
	return Source{Path: "mug.abut", Saved: &j}
}

func listOf(t testing.TB, text string) drawer.List {
	t.Helper()
	l, err := drawer.ReadList(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return l
}

const keepers = "number,name\n7,Ada\n8,Jürgen\n9,Bartholomew Featherstonehaugh\n"

// filesIn reads all files below a folder, by their path in it.
func filesIn(t *testing.T, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	err := fs.WalkDir(os.DirFS(dir), ".", func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		b, err := os.ReadFile(filepath.Join(dir, p))
		out[p] = string(b)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func TestCutList_EachRowHasAFolderOfItsOwn(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "fair")
	rows, err := CutList(t.Context(), mug(t), listOf(t, keepers), false, Options{Folder: dir})
	if err != nil {
		t.Fatal(err)
	}
	for i, folder := range []string{"01-ada", "02-jürgen", "03-bartholomew-featherstonehaugh"} {
		v := jobJSON(t, filepath.Join(dir, folder))
		if err := published(t, true).Validate(v); err != nil {
			t.Error(err)
		}
		r := rows[i].Told
		if r.Row != i+1 || r.Line != i+2 || r.Cells["number"] != fmt.Sprint(i+7) || r.Texts[0].Text != r.Name || r.Verdict == "" {
			t.Errorf("%+v", r)
		}
		if long := i == 2; long != (r.Texts[0].Share < 1) || long && r.WeakSpots <= rows[0].Told.WeakSpots {
			t.Errorf("%s: size %v, %d weak spots", r.Name, r.Texts[0].Share, r.WeakSpots)
		}
	}
	// A name that is typed is cut the same as one from a list.
	typed := *mug(t).Saved
	id := typed.LayerIDs()[len(typed.LayerIDs())-1]
	text, _, err := lettering.Set(t.Context(), job.Text{Text: "Ada", SizeMM: 9, Weight: 700, Align: job.TextMiddle})
	if err == nil {
		typed, err = job.SetText(typed, id, text)
	}
	if err != nil {
		t.Fatal(err)
	}
	alone := filepath.Join(t.TempDir(), "ada")
	if _, err := Cut(t.Context(), Source{Path: "ada.abut", Saved: &typed}, Options{Folder: alone}); err != nil {
		t.Fatal(err)
	}
	listed := filesIn(t, filepath.Join(dir, "01-ada"))
	for name, text := range filesIn(t, alone) {
		if strings.HasSuffix(name, ".svg") && listed[name] != text {
			t.Errorf("%s differs from the one that is typed", name)
		}
	}
}

// Rows may be called anything, and their folders are such that every system has.
func TestCutList_FoldersCanBeHadEverywhere(t *testing.T) {
	names := []string{"CON", "nul.txt", "a:b/c\\d", "ends. ", "..", "", "Ada?", "ごはん", "a\tb", strings.Repeat("ü", 300), "👩‍🚀"}
	c := listing{Options: Options{Folder: "fair"}, rows: make([]Row, len(names))}
	taken := map[string]bool{}
	for i, name := range names {
		c.rows[i].Name = name
		folder := filepath.Base(c.folder(i))
		if folder != system.FileName(folder, "") || taken[system.SameFile(folder)] {
			t.Errorf("%q: %q", name, folder)
		}
		taken[system.SameFile(folder)] = true
	}
}

func TestCutList_LaidOutTogetherNothingOverlapsOrIsLost(t *testing.T) {
	// One row has a colour that the others have not.
	source := mug(t)
	layers := source.Saved.Items[0].Layers
	hull := slices.IndexFunc(layers, func(l job.Layer) bool { return l.Colour.String() == "#402010" })
	j, err := job.Rename(*source.Saved, layers[hull].ID, "{hull}")
	if err != nil {
		t.Fatal(err)
	}
	source.Saved = &j
	list := listOf(t, "name;hull\nAda;#402010\nJürgen;#402010\nMoira;#205080\n")
	for _, way := range []layout.Way{layout.Together, layout.Loose} {
		dir := filepath.Join(t.TempDir(), "fair")
		o := Options{Folder: dir, WriteOptions: WriteOptions{Layout: LayoutOptions{Way: way, Tries: 20}}}
		rows, err := CutList(t.Context(), source, list, false, o)
		if err != nil {
			t.Fatal(err)
		}
		if err := published(t, true).Validate(jobJSON(t, dir)); err != nil {
			t.Error(err)
		}
		m := rows[0].Manifest
		if m.Layout.Copies != 3 || len(m.Rows) != 3 || len(m.Separations) != 5 || m.Separations[4].Color != "#205080" || m.Separations[4].File == "" {
			t.Errorf("%s: %d copies, %d rows, separations %+v", way, m.Layout.Copies, len(m.Rows), m.Separations)
		}
		area := map[string]float64{}
		for _, s := range m.Layout.Sheets {
			area[m.Separations[s.Order-1].Color] += s.AreaMM2
			if len(s.Files) == 0 {
				t.Errorf("%s: a sheet of %s has no file", way, m.Separations[s.Order-1].Name)
			}
		}
		want := map[string]float64{}
		for i := range list.Rows {
			o.Folder = filepath.Join(t.TempDir(), "alone")
			alone := listing{list: list, rows: make([]Row, 3), made: make([]made, 3), copies: make([]copyOf, 3), Options: o}
			alone.saved = true
			if err := alone.makeRow(t.Context(), j, i); err != nil {
				t.Fatal(err)
			}
			for _, s := range alone.copies[i].page.Separations {
				want[s.Colour.String()] += s.AreaMM2
			}
		}
		for c, a := range want {
			if math.Abs(area[c]-a) > 1e-3 {
				t.Errorf("%s: of %s %v mm² are laid out, the rows have %v", way, c, area[c], a)
			}
		}
		page := filesIn(t, dir)[sheetsFile]
		label := map[layout.Way]string{layout.Together: ">2 Jürgen<", layout.Loose: ">2:"}[way]
		if !strings.Contains(page, label) {
			t.Errorf("%s: %s has no %q", way, sheetsFile, label)
		}
	}
}

func TestCutList_IsTheSameTwice(t *testing.T) {
	for _, way := range []layout.Way{"", layout.Loose} {
		var once map[string]string
		for range 2 {
			dir := filepath.Join(t.TempDir(), "fair")
			if _, err := CutList(t.Context(), mug(t), listOf(t, keepers), false, Options{Folder: dir, WriteOptions: WriteOptions{Layout: LayoutOptions{Way: way, Tries: 10}}}); err != nil {
				t.Fatal(err)
			}
			now := filesIn(t, dir)
			for name, text := range once {
				if now[name] != text {
					t.Errorf("%q: %s differs", way, name)
				}
			}
			if once != nil && len(now) != len(once) {
				t.Errorf("%q: %d files, then %d", way, len(once), len(now))
			}
			once = now
		}
	}
}

func TestCutList_OneWrongRowStopsAllUnlessItIsSkipped(t *testing.T) {
	list := listOf(t, "name,number\nAda,1\n,2\nMoira,3\n")
	for _, way := range []layout.Way{"", layout.Together} {
		o := Options{Folder: filepath.Join(t.TempDir(), "fair"), WriteOptions: WriteOptions{Layout: LayoutOptions{Way: way, Tries: 5}}}
		rows, err := CutList(t.Context(), mug(t), list, false, o)
		if _, there := os.Stat(o.Folder); !Is(err, "list-rows-wrong") || !Is(rows[1].Err, "list-empty-text") || rows[0].Err != nil || there == nil {
			t.Errorf("%q: %v, %+v; there: %v", way, err, rows[1], there)
		}
		rows, err = CutList(t.Context(), mug(t), list, true, o)
		if err != nil || rows[1].Err == nil || rows[2].Told.Row != 3 {
			t.Errorf("%q: %v, %+v", way, err, rows)
		}
		if _, err := CutList(t.Context(), mug(t), list, true, o); !Is(err, "target-exists") {
			t.Errorf("%q: a folder that is there: %v", way, err)
		}
		o.Overwrite = true
		if _, err := CutList(t.Context(), mug(t), list, true, o); err != nil {
			t.Errorf("%q: %v", way, err)
		}
		var names []string
		for name := range filesIn(t, o.Folder) {
			names = append(names, filepath.Dir(name))
		}
		slices.Sort(names)
		if names = slices.Compact(names); way == "" && !slices.Equal(names, []string{"01-ada", "03-moira"}) {
			t.Errorf("folders %v", names)
		}
	}
}

func TestCutList_SaysWhenNothingIsMarked(t *testing.T) {
	for text, want := range map[string]string{
		">{name}": "", "><tspan>{name}</tspan>": "", ` id="it">{name}`: "", ">name": "list-nothing-marked",
		`rotate="9">{name}`: "list-outlines", `rotate="9" id="it">{name}`: "list-outlines", `><tspan rotate="9" id="it">{name}</tspan>`: "list-outlines",
		`rotate="9">To {name}!`: "list-outlines", `stroke="red">{name}`: "list-outlines", `>To <tspan fill="red">{name}</tspan>`: "list-outlines",
		`><textPath href="#way">{name}</textPath>`: "list-outlines",
	} {
		art := `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="20mm"><defs><path id="way" d="M0 15L200 20"/></defs><text y="15" font-size="16" ` + text + `</text></svg>`
		_, err := CutList(t.Context(), Source{Path: "a.svg", Art: strings.NewReader(art)}, listOf(t, keepers), false, Options{Folder: filepath.Join(t.TempDir(), "fair")})
		if want == "" && err != nil || want != "" && !Is(err, want) {
			t.Errorf("%s: %v, want %q", text, err, want)
		}
	}
}

// What a saved job says stands unless the options ask for something else.
func TestCut_ASavedJobIsCutAsItWasSaved(t *testing.T) {
	saved, err := job.SetClearance(*mug(t).Saved, 0.2)
	if err != nil {
		t.Fatal(err)
	}
	saved.Settings.Marks, saved.Settings.Bare.Mode = true, job.BareNone
	r, err := Cut(t.Context(), Source{Path: "mug.abut", Saved: &saved}, Options{Folder: filepath.Join(t.TempDir(), "out")})
	if err != nil {
		t.Fatal(err)
	}
	if s := r.Job.Settings; !s.Marks || s.Bare.Mode != job.BareNone || s.ClearanceMM != 0.2 || r.Manifest.WidthMM != 60 {
		t.Errorf("%+v, %v mm", s, r.Manifest.WidthMM)
	}
	r, err = Cut(t.Context(), Source{Path: "mug.abut", Saved: &saved}, Options{WidthMM: 90, ClearanceMM: 0.1, Folder: filepath.Join(t.TempDir(), "out")})
	if err != nil || r.Job.Settings.ClearanceMM != 0.1 || r.Manifest.WidthMM != 90 {
		t.Errorf("%v, %v mm", err, r.Job.Settings.ClearanceMM)
	}
}

// BenchmarkLookRow_100Names are the pictures of all rows in the window, side by side.
func BenchmarkLookRow_100Names(b *testing.B) {
	l := ListFrom(hundred(b), "names.csv")
	j := *mug(b).Saved
	for b.Loop() {
		if err := parallel.Do(b.Context(), len(l.Rows), func(i int) {
			if look := LookRow(b.Context(), j, l, i, 264); look.Err != nil || look.Picture == nil {
				b.Error(i, look.Err)
			}
		}); err != nil {
			b.Fatal(err)
		}
	}
}

// hundred are a hundred names.
func hundred(b *testing.B) drawer.List {
	var text strings.Builder
	text.WriteString("name\n")
	for i := range 100 {
		fmt.Fprintf(&text, "%s %c.\n", []string{"Ada", "Jürgen", "Bartholomew", "Moira", "Ebbe"}[i%5], 'A'+i%26)
	}
	return listOf(b, text.String())
}

// BenchmarkCutList_100Names is from the saved job to what is on the disk.
func BenchmarkCutList_100Names(b *testing.B) {
	list := hundred(b)
	for _, way := range []layout.Way{"", layout.Together, layout.Loose} {
		b.Run("layout="+string(way), func(b *testing.B) {
			for b.Loop() {
				o := Options{Folder: filepath.Join(b.TempDir(), "fair"), WriteOptions: WriteOptions{Layout: LayoutOptions{Way: way}}}
				rows, err := CutList(b.Context(), mug(b), list, false, o)
				if err != nil {
					b.Fatal(err)
				}
				if l := rows[0].Manifest.Layout; l != nil {
					b.ReportMetric(float64(len(l.Sheets)), "sheets")
				}
			}
		})
	}
}

// A text that a list is to fill in and that is cut as it stands is told; where a list fills it in nothing is.
func TestCut_SaysThatNoListFillsATextIn(t *testing.T) {
	told := func(list []ManifestWarning) bool {
		return slices.ContainsFunc(list, func(w ManifestWarning) bool {
			return w.ID == warnUnfilled && strings.Contains(w.Text, "{name}") && w.Remedy != ""
		})
	}
	r, err := Cut(t.Context(), mug(t), Options{Folder: filepath.Join(t.TempDir(), "mug")})
	if err != nil || !told(r.Warnings) || !told(r.Manifest.Warnings) {
		t.Errorf("%v, %+v", err, r.Warnings)
	}
	rows, err := CutList(t.Context(), mug(t), listOf(t, keepers), false, Options{Folder: filepath.Join(t.TempDir(), "fair")})
	if err != nil || told(rows[0].Manifest.Warnings) {
		t.Errorf("%v, %+v", err, rows[0].Manifest.Warnings)
	}
	j, err := job.SetList(*mug(t).Saved, ListFrom(listOf(t, keepers), "keepers.csv"))
	if err != nil || len(Unfilled(j)) > 0 {
		t.Error(err, Unfilled(j))
	}
}
