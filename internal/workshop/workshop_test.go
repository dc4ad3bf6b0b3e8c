package workshop

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/cutfile"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/tree"
	"abut/internal/whole"
	"abut/internal/words"
)

// discInSquare is a red square with a blue disc on it and a bar beside it.
const discInSquare = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 60">
<rect id="square" x="10" y="10" width="40" height="40" fill="#d03020"/>
<circle id="disc" cx="30" cy="30" r="10" fill="#2040c0"/>
<rect id="bar" x="70" y="10" width="10" height="40" fill="#20a040"/>
</svg>`

func open(t *testing.T, svg string) job.Job {
	t.Helper()
	j, err := OpenSVG(context.Background(), "art.svg", strings.NewReader(svg))
	if err != nil {
		t.Fatal(err)
	}
	return j
}

func knockedOut(t *testing.T, j job.Job) job.Job {
	t.Helper()
	j, err := job.KnockOutAll(j)
	if err != nil {
		t.Fatal(err)
	}
	return j
}

func fitted(t *testing.T, j job.Job) *fit.Plan {
	t.Helper()
	p, err := fit.Compute(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func written(t *testing.T, j job.Job, dir string, o WriteOptions) *Manifest {
	t.Helper()
	r, err := Write(context.Background(), new(fit.Cache), j, fitted(t, j), dir, o)
	if err != nil {
		t.Fatal(err)
	}
	return r.Manifest
}

func TestOpen_PlacesArtAtItsPhysicalSize(t *testing.T) {
	for _, c := range []struct {
		head  string
		scale float64
		sized bool
	}{
		{`width="50mm" height="30mm" viewBox="0 0 100 60"`, 0.5, true},
		{`width="4in" viewBox="0 0 100 60"`, 1.016, true},
		{`width="50mm" height="90mm" viewBox="0 0 100 60"`, 0.5, true},
		{`width="80mm" height="30mm" viewBox="0 0 100 60"`, 0.5, true},
		{`width="50" height="30" viewBox="0 0 100 60"`, 1, false},
		{`viewBox="0 0 200 400"`, 0.25, false},
		{`viewBox="-50 -50 200 200"`, 0.5, false},
	} {
		j := open(t, `<svg xmlns="http://www.w3.org/2000/svg" `+c.head+`><rect width="10" height="10" fill="red"/></svg>`)
		it := j.Items[0]
		if math.Abs(it.Placement.A-c.scale) > 1e-12 || it.Placement.A != it.Placement.D {
			t.Errorf("%s: scale %g, want %g", c.head, it.Placement.A, c.scale)
		}
		if got := it.Placement.Apply(it.Canvas.Min); got.Len() > 1e-9 {
			t.Errorf("%s: the canvas starts at %v", c.head, got)
		}
		if Sized(j) != c.sized {
			t.Errorf("%s: sized %v", c.head, Sized(j))
		}
		if it.Name != "art" || it.Source != "art.svg" || it.Copies != 1 {
			t.Errorf("%+v", it)
		}
	}
}

func TestOpen_CallsAPictureAsPeopleReadIt(t *testing.T) {
	for file, want := range map[string]string{"B\xe4r.svg": "B\uFFFDr", "two\nlines.svg": "two lines", " Bär 🐻 .svg": "Bär 🐻"} {
		j, err := OpenSVG(context.Background(), file, strings.NewReader(discInSquare))
		if err != nil || j.Items[0].Name != want {
			t.Errorf("%q is called %q, not %q: %v", file, j.Items[0].Name, want, err)
		}
	}
}

func TestOpen_SaysWhatIsWrongWithAFile(t *testing.T) {
	dir := t.TempDir()
	tree.Put(t, filepath.Join(dir, "text.svg"), "no picture at all")
	tree.Put(t, filepath.Join(dir, "poster.pdf"), "%PDF-1.7\n")
	tree.Put(t, filepath.Join(dir, "poster.eps"), "%!PS-Adobe-3.0 EPSF-3.0\n")
	tree.Put(t, filepath.Join(dir, "photo.jpg"), "\x00\x00\x00\x24ftypheic\x00\x00\x00\x00mif1heic") // as telephones name it at times
	tree.Put(t, filepath.Join(dir, "art.zip"), "PK\x03\x04\x14\x00\x00\x00\x08\x00")
	for path, id := range map[string]string{
		filepath.Join(dir, "none.svg"): "file-missing",
		dir:                            "file-is-folder",
		filepath.Join(dir, "text.svg"): "import-not-svg",
		// What is known and cannot be read is called by its kind: what to do about it differs.
		filepath.Join(dir, "poster.pdf"): "file-is-pdf",
		filepath.Join(dir, "poster.eps"): "file-is-pdf",
		filepath.Join(dir, "photo.jpg"):  "file-is-heif",
		filepath.Join(dir, "art.zip"):    "file-is-zip",
	} {
		_, err := Open(context.Background(), path)
		if !Is(err, id) {
			t.Errorf("%s: %v", path, err)
		} else if s := err.Error(); strings.HasPrefix(s, "[") {
			t.Error(s)
		}
	}
}

func TestSize_IsTheExtentOfTheArtNotOfItsCanvas(t *testing.T) {
	j := open(t, discInSquare)
	wide, err := Size(context.Background(), j, 140, 0)
	if err != nil {
		t.Fatal(err)
	}
	if e := fitted(t, wide).Extent; math.Abs(e.Width()-140) > 1e-9 || math.Abs(e.Height()-80) > 1e-9 {
		t.Errorf("%v × %v", e.Width(), e.Height())
	}
	high, err := Size(context.Background(), j, 0, 20)
	if err != nil {
		t.Fatal(err)
	}
	if e := fitted(t, high).Extent; math.Abs(e.Width()-35) > 1e-9 || math.Abs(e.Height()-20) > 1e-9 {
		t.Errorf("%v × %v", e.Width(), e.Height())
	}
	if _, err := Size(context.Background(), j, -1, 0); !Is(err, "edit-bad-size") {
		t.Error(err)
	}
}

func TestSize_IsExactWhereverTheArtLies(t *testing.T) {
	for i := range 200 {
		x := float64(i) / 7
		j := open(t, fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100"><rect x="%.9f" y="%.9f" width="33.1" height="17" fill="red"/></svg>`, x, x))
		sized, err := Size(context.Background(), j, 87.3, 0)
		if err != nil {
			t.Fatal(err)
		}
		if w := fitted(t, sized).Extent.Width(); math.Abs(w-87.3) > 1e-9 {
			t.Errorf("at %g: %.6f mm", x, w)
		}
	}
}

func TestWrite_DescribesTheWholeJob(t *testing.T) {
	j, err := Size(context.Background(), open(t, discInSquare), 70, 0)
	if err != nil {
		t.Fatal(err)
	}
	dir := filepath.Join(t.TempDir(), "out")
	m := written(t, knockedOut(t, j), dir, WriteOptions{})
	if m.Schema != "abut-job/1" || m.Art != "art.svg" || !m.Mirrored || m.WidthMM != 70 || m.HeightMM != 40 {
		t.Errorf("%+v", m)
	}
	if m.PageMM != [2]float64{80, 50} { // 5 mm around
		t.Errorf("page %v", m.PageMM)
	}
	// A disc of 10 mm stacks as drawn; its chords hold a little less than πr².
	if d := math.Pi*100 - m.StackedBeforeMM2; d < 0 || d > 0.01*2*math.Pi*10 {
		t.Errorf("stacked before: %g", m.StackedBeforeMM2)
	}
	if m.StackedAfterMM2 != 0 || len(m.Separations) != 3 || m.Base != m.Separations[0].Name {
		t.Errorf("%+v", m)
	}
	// The art's corner, 10, 10 in its file, lies 5, 5 mm into the page.
	a := m.SourceToPage
	if got := (geometry.Affine{A: a[0], B: a[1], C: a[2], D: a[3], E: a[4], F: a[5]}).Apply(geometry.Pt(10, 10)); got.Sub(geometry.Pt(5, 5)).Len() > 1e-9 {
		t.Errorf("the corner is at %v", got)
	}
	want := map[string]bool{"job.json": true, "steps.html": true, "./": true}
	for _, d := range printed {
		want[d.name] = true
	}
	for i, s := range m.Separations {
		want[s.File] = true
		if s.Frame != (i == 0) || s.Order != i+1 || s.Use != "cut" || s.Pieces != 1 {
			t.Errorf("%+v", s)
		}
	}
	got := tree.Of(t, dir)
	for name := range got {
		if !want[name] {
			t.Errorf("unexpected %s", name)
		}
	}
	if len(got) != len(want) {
		t.Errorf("%v", slices.Collect(maps.Keys(got)))
	}
	for _, key := range []string{`"weak_spots": []`, `"left_out": []`, `"warnings": []`, `"schema": "abut-job/1"`} {
		if !strings.Contains(got["job.json"], key) {
			t.Errorf("job.json lacks %s", key)
		}
	}
}

func TestWrite_HiddenLayersChangeNoByte(t *testing.T) {
	j := knockedOut(t, open(t, discInSquare))
	dir := t.TempDir()
	written(t, j, filepath.Join(dir, "shown"), WriteOptions{})
	for _, id := range j.LayerIDs() {
		hidden, err := job.SetShown(j, []job.LayerID{id}, false)
		if err != nil {
			t.Fatal(err)
		}
		out := filepath.Join(dir, "hidden")
		written(t, hidden, out, WriteOptions{})
		if !maps.Equal(tree.Of(t, filepath.Join(dir, "shown")), tree.Of(t, out)) {
			t.Errorf("hiding layer %d changed an export", id)
		}
		if err := os.RemoveAll(out); err != nil {
			t.Fatal(err)
		}
	}
}

func TestWrite_RefusesStackedColoursSayingWhere(t *testing.T) {
	j := open(t, discInSquare)
	dir := t.TempDir()
	_, err := Write(context.Background(), new(fit.Cache), j, fitted(t, j), filepath.Join(dir, "out"), WriteOptions{})
	if !Is(err, ErrStacked) {
		t.Fatal(err)
	}
	var refused *Error
	if !errors.As(err, &refused) {
		t.Fatal(err)
	}
	where := words.English().Say(ErrStacked+"-cli", refused.Args) // as the command line has it
	for _, want := range []string{"314 mm²", "1 place", "from the left"} {
		if !strings.Contains(err.Error()+where, want) {
			t.Errorf("%q lacks %q", err.Error()+where, want)
		}
	}
	if got := tree.Of(t, dir); len(got) != 1 {
		t.Errorf("left behind: %v", got)
	}
	m := written(t, j, filepath.Join(dir, "out"), WriteOptions{AllowStacked: true})
	if m.StackedAfterMM2 < 313 || m.StackedAfterMM2 != m.StackedBeforeMM2 {
		t.Errorf("%g, %g", m.StackedBeforeMM2, m.StackedAfterMM2)
	}
	if !strings.Contains(tree.Of(t, dir)["out/steps.html"], "Colours stack here") {
		t.Error("steps.html is silent about it")
	}
}

func TestWrite_TouchesNoFolderThatIsThere(t *testing.T) {
	j := knockedOut(t, open(t, discInSquare))
	dir := t.TempDir()
	tree.Put(t, filepath.Join(dir, "out", "mine.txt"), "mine")
	tree.Put(t, filepath.Join(dir, "file"), "a file")
	before := tree.Of(t, dir)
	for name, id := range map[string]string{"out": whole.ErrExists, ".": whole.ErrExists, "file": "target-is-file", "file/out": "target-unwritable"} {
		_, err := Write(context.Background(), new(fit.Cache), j, fitted(t, j), filepath.Join(dir, name), WriteOptions{})
		if !Is(err, id) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if !maps.Equal(before, tree.Of(t, dir)) {
		t.Error("something was touched")
	}
}

func TestWrite_OverwriteReplacesOnlyItsOwnFiles(t *testing.T) {
	dir := t.TempDir()
	out := filepath.Join(dir, "out")
	j := knockedOut(t, open(t, discInSquare))
	written(t, j, out, WriteOptions{})
	tree.Put(t, filepath.Join(out, "mine.txt"), "mine")
	tree.Put(t, filepath.Join(out, "old", "07-mine-mirrored.svg"), "mine too")
	tree.Put(t, filepath.Join(out, "07-mine-mirrored.svg"), "mine three")

	fewer, err := job.DeleteLayers(j, j.LayerIDs()[1:])
	if err != nil {
		t.Fatal(err)
	}
	m := written(t, fewer, out, WriteOptions{Overwrite: true})
	got := tree.Of(t, dir)
	var names []string
	for name := range got {
		names = append(names, name)
	}
	slices.Sort(names)
	want := []string{"./", "out/", "out/" + m.Separations[0].File, "out/07-mine-mirrored.svg", "out/job.json", "out/mine.txt", "out/old/", "out/old/07-mine-mirrored.svg", "out/steps.html"}
	for _, d := range printed {
		want = append(want, "out/"+d.name)
	}
	slices.Sort(want)
	if !slices.Equal(names, want) {
		t.Errorf("%v\nwant %v", names, want)
	}
	if got["out/mine.txt"] != "mine" || got["out/old/07-mine-mirrored.svg"] != "mine too" || got["out/07-mine-mirrored.svg"] != "mine three" {
		t.Error("a foreign file changed")
	}
}

func TestWrite_OverwriteRefusesForeignFilesOfItsNames(t *testing.T) {
	for _, manifest := range []string{"", "{", `{"schema":"other/1","separations":[]}`} {
		dir := t.TempDir()
		tree.Put(t, filepath.Join(dir, "out", "steps.html"), "my own steps")
		if manifest != "" {
			tree.Put(t, filepath.Join(dir, "out", "job.json"), manifest)
		}
		before := tree.Of(t, dir)
		j := knockedOut(t, open(t, discInSquare))
		_, err := Write(context.Background(), new(fit.Cache), j, fitted(t, j), filepath.Join(dir, "out"), WriteOptions{Overwrite: true})
		if text, _ := Explain(err); !Is(err, "target-foreign") || !strings.Contains(text, "steps.html") {
			t.Error(text)
		}
		if !maps.Equal(before, tree.Of(t, dir)) {
			t.Error("something was touched")
		}
	}
}

func TestWrite_OverwriteBelievesNoNameThatNoRunWouldWrite(t *testing.T) {
	dir := t.TempDir()
	out := filepath.Join(dir, "out")
	tree.Put(t, filepath.Join(dir, "precious"), "mine")
	tree.Put(t, filepath.Join(out, "notes.txt"), "mine")
	tree.Put(t, filepath.Join(out, "01-old-mirrored.svg"), "ours")
	tree.Put(t, filepath.Join(out, "job.json"), `{"schema":"abut-job/1","separations":[{"file":"../precious"},{"file":"notes.txt"},{"file":"01-old-mirrored.svg"}]}`)
	written(t, knockedOut(t, open(t, discInSquare)), out, WriteOptions{Overwrite: true})
	got := tree.Of(t, dir)
	if got["precious"] != "mine" || got["out/notes.txt"] != "mine" {
		t.Errorf("a foreign file changed: %v", slices.Collect(maps.Keys(got)))
	}
	if _, left := got["out/01-old-mirrored.svg"]; left {
		t.Error("a file of the earlier run is still there")
	}
}

// What an earlier Abut wrote is replaced; what a later one wrote is not known
// well enough.
func TestWrite_OverwriteReplacesWhatAnEarlierVersionWrote(t *testing.T) {
	for version, ours := range map[string]bool{"abut-job/0": true, "abut-job/1": true, "abut-job/99": false, "abut-job/": false, "other/1": false} {
		out := filepath.Join(t.TempDir(), "out")
		tree.Put(t, filepath.Join(out, "01-old-mirrored.svg"), "old")
		tree.Put(t, filepath.Join(out, "job.json"), `{"schema":"`+version+`","verdict":["of another shape"],"separations":[{"file":"01-old-mirrored.svg"}]}`)
		j := knockedOut(t, open(t, discInSquare))
		_, err := Write(context.Background(), new(fit.Cache), j, fitted(t, j), out, WriteOptions{Overwrite: true})
		_, left := tree.Of(t, out)["01-old-mirrored.svg"]
		if ours && (err != nil || left) || !ours && (!Is(err, "target-foreign") || !left) {
			t.Errorf("%s: %v", version, err)
		}
	}
}

// File systems take names of 255 bytes, and some take large letters for small
// ones.
func TestWrite_FileNamesFitAndDifferWhateverSheetsAreCalled(t *testing.T) {
	long := strings.Repeat("n", 300)
	names := []string{"Mint", "MINT", "mint", long, strings.ToUpper(long), long + "!", "Ä", "ä"}
	var svg strings.Builder
	svg.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 60">`)
	for i := range names {
		fmt.Fprintf(&svg, `<rect x="%d" y="10" width="8" height="40" fill="#%02x4080"/><path d="M%d 20h4" stroke="#%02x0000" fill="none"/>`, 10*i, 10+20*i, 10*i+2, 20+20*i)
	}
	j := open(t, svg.String()+"</svg>")
	for i, id := range j.LayerIDs() {
		var err error
		if j, err = job.Rename(j, id, names[i/2]); err != nil {
			t.Fatal(err)
		}
		if i%2 == 1 {
			if j, err = job.SetUse(j, []job.LayerID{id}, job.Drawn); err != nil {
				t.Fatal(err)
			}
		}
	}
	out := filepath.Join(t.TempDir(), "out")
	m := written(t, j, out, WriteOptions{})
	seen := map[string]bool{}
	for name := range tree.Of(t, out) {
		if seen[strings.ToLower(name)] || len(name) > 255 {
			t.Errorf("%s (%d bytes)", name, len(name))
		}
		seen[strings.ToLower(name)] = true
	}
	if len(m.Separations) != len(names) || len(seen) != len(m.Separations)+len(m.Drawings)+3+len(printed) {
		t.Errorf("%d sheets, %d drawings, %d names", len(m.Separations), len(m.Drawings), len(seen))
	}
	// And it is known again as ours.
	written(t, j, out, WriteOptions{Overwrite: true})
}

func TestWrite_FollowsALinkToAFolder(t *testing.T) {
	dir := t.TempDir()
	if err := os.Mkdir(filepath.Join(dir, "real"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("real", filepath.Join(dir, "link")); err != nil {
		t.Skip(err)
	}
	j := knockedOut(t, open(t, discInSquare))
	written(t, j, filepath.Join(dir, "link"), WriteOptions{Overwrite: true})
	if _, err := os.Stat(filepath.Join(dir, "real", "job.json")); err != nil {
		t.Error(err)
	}
}

func TestWrite_StoppedWritesNothing(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	j := knockedOut(t, open(t, discInSquare))
	dir := t.TempDir()
	_, err := Write(ctx, new(fit.Cache), j, fitted(t, j), filepath.Join(dir, "out"), WriteOptions{})
	if !Is(err, "stopped") || !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
	if got := tree.Of(t, dir); len(got) != 1 {
		t.Errorf("left behind: %v", got)
	}
}

func TestWrite_NothingToCutIsAnError(t *testing.T) {
	j := open(t, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><rect width="9" height="9" fill="#fff"/></svg>`)
	_, err := Write(context.Background(), new(fit.Cache), j, fitted(t, j), filepath.Join(t.TempDir(), "out"), WriteOptions{})
	if !Is(err, "nothing-to-cut") {
		t.Error(err)
	}
}

func TestWrite_NamesWhatWasLeftOut(t *testing.T) {
	j := knockedOut(t, open(t, discInSquare))
	j, err := job.SetUse(j, j.LayerIDs()[2:], job.LeftOut)
	if err != nil {
		t.Fatal(err)
	}
	m := written(t, j, filepath.Join(t.TempDir(), "out"), WriteOptions{})
	if len(m.LeftOut) != 1 || !strings.Contains(m.LeftOut[0], "bar") || len(m.Separations) != 2 {
		t.Errorf("%v", m.LeftOut)
	}
}

func TestSecondOpinion_FindsWhatTwoSheetsShare(t *testing.T) {
	square := func(name string, x float64) fit.Separation {
		o := geometry.RectXYWH(x, 0, 10, 10).Path()
		return fit.Separation{Name: name, Outline: o, Bounds: o.Bounds()}
	}
	p := &fit.Plan{}
	p.Separations = []fit.Separation{square("red", 0), square("blue", 10), square("green", 30)}
	if w := secondOpinion(context.Background(), p); len(w) != 0 {
		t.Errorf("neighbours: %v", w)
	}
	p.Separations[1] = square("blue", 9)
	w := secondOpinion(context.Background(), p)
	if len(w) != 1 || w[0].ID != "engines-disagree" || words.English().Put(w[0].Values["area"]) != "10 mm²" || w[0].Values["first"] != "red" || w[0].At == nil {
		t.Errorf("%+v", w)
	}
}

// A size leaves the art's corner where it is, but for the way to the grid.
func TestSize_LeavesTheCornerWhereItIs(t *testing.T) {
	j := open(t, `<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100"><rect x="12.345678" y="23.456789" width="33" height="17" fill="red"/></svg>`)
	sized, err := Size(context.Background(), j, 87.3, 0)
	if err != nil {
		t.Fatal(err)
	}
	was, now := fitted(t, j).Extent.Min, sized.Items[0].Placement.Apply(geometry.Pt(12.345678, 23.456789))
	steps := now.Mul(cutfile.StepsPerMM)
	if now.Sub(was).Len() > 2e-4 || math.Abs(steps.X-math.Round(steps.X)) > 1e-4 || math.Abs(steps.Y-math.Round(steps.Y)) > 1e-4 {
		t.Errorf("from %v to %v", was, now)
	}
}

func TestMessageOf_KnowsEveryError(t *testing.T) {
	inner := &job.EditError{Message: message.Message{ID: "edit-bad-size"}}
	for _, c := range []struct {
		err error
		id  string
	}{
		{fail("no-background", nil), "no-background"},
		{inner, "edit-bad-size"},
		{fmt.Errorf("sizing: %w", inner), "edit-bad-size"},
		{&Error{Message: message.Of("no-size", "file", "art.svg"), Err: inner}, "no-size"},
		{context.Canceled, "stopped"},
		{fmt.Errorf("steps.html: %w", context.DeadlineExceeded), "stopped"},
		{fs.ErrInvalid, "went-wrong"},
	} {
		if m := MessageOf(c.err); m.ID != c.id || !Is(c.err, c.id) || Is(c.err, "other") {
			t.Errorf("%v: %q, want %q", c.err, m.ID, c.id)
		}
		if text, _ := Explain(c.err); text == "" || strings.HasPrefix(text, "[") || strings.Contains(text, "<no value>") {
			t.Error(text)
		}
	}
	if Is(nil, "stopped") {
		t.Error("nothing is no error")
	}
	if text, _ := Explain(fs.ErrInvalid); !strings.Contains(text, fs.ErrInvalid.Error()) {
		t.Error(text)
	}
}

func TestBlankNamed_KnowsEveryKnownBlank(t *testing.T) {
	for _, k := range KnownBlanks() {
		b, err := BlankNamed(" " + strings.ToUpper(k.ID))
		if err != nil || b.WidthMM != k.WidthMM || b.Name == "" || strings.HasPrefix(b.Name, "[") {
			t.Errorf("%s: %+v, %v", k.ID, b, err)
		}
	}
	_, err := BlankNamed("bucket")
	if text, remedy := Explain(err); !Is(err, "blank-unknown") || !strings.Contains(text+remedy, "bucket") || !strings.Contains(text+remedy, "tall-mug") {
		t.Error(text, remedy)
	}
}

func TestSecondOpinion_HasNoneWhereItCannot(t *testing.T) {
	o := geometry.RectXYWH(0, 0, 10, 10).Path()
	p := new(fit.Plan)
	p.Separations = []fit.Separation{{Name: "red", Outline: o, Bounds: o.Bounds()}, {Name: "blue", Outline: o, Bounds: o.Bounds()}}
	if w := secondOpinion(context.Background(), p); len(w) != 1 {
		t.Fatal(w)
	}
	stopped, cancel := context.WithCancel(context.Background())
	cancel()
	if w := secondOpinion(stopped, p); w != nil {
		t.Errorf("stopped: %v", w)
	}
	stacked := *p
	stacked.Stacked.AreaMM2 = 100
	if w := secondOpinion(context.Background(), &stacked); w != nil {
		t.Errorf("they are known to share a place: %v", w)
	}
	large := *p
	for range engineVertices / 3 {
		large.Separations = append(large.Separations, fit.Separation{Outline: o, Bounds: o.Bounds()})
	}
	if w := secondOpinion(context.Background(), &large); w != nil {
		t.Errorf("too large: %d", len(w))
	}
}
