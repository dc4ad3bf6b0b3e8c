package window

import (
	"os"
	"path/filepath"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/storage"

	"abut/assets"
	"abut/geometry"
	"abut/internal/job"
	"abut/ui/theme"
)

// demoFiles writes demos as files.
func demoFiles(t *testing.T, ids ...string) []fyne.URI {
	t.Helper()
	dir := t.TempDir()
	var out []fyne.URI
	for _, id := range ids {
		for _, d := range assets.Demos() {
			if d.ID == id {
				path := filepath.Join(dir, d.Name+".svg")
				if err := os.WriteFile(path, d.SVG, 0o600); err != nil {
					t.Fatal(err)
				}
				out = append(out, storage.NewFileURI(path))
			}
		}
	}
	return out
}

func TestDropped_OneFileOntoAnOpenJobAsks(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	files := demoFiles(t, "nested", "pair")
	s.dropped(fyne.Position{}, files[:1])
	s.settle()
	if !s.session.Opened() || s.desk.Open() {
		t.Fatal("the first file is not simply opened")
	}
	first := s.session.Job()
	s.dropped(fyne.Position{}, files[1:])
	s.settle()
	if !s.desk.Open() {
		t.Fatal("nothing is asked")
	}
	if len(s.session.Job().Items) != 1 {
		t.Fatal("it was not waited for the answer")
	}
	s.press(say("ui-drop-add")).OnTapped()
	s.settle()
	j := s.session.Job()
	if len(j.Items) != 2 || len(s.session.Selection()) != len(j.Items[1].Layers) {
		t.Fatalf("%d items, %d layers selected", len(j.Items), len(s.session.Selection()))
	}
	a := job.BoundsOf(j, layerIDs(j.Items[0]))
	b := job.BoundsOf(j, layerIDs(j.Items[1]))
	if !a.Intersect(b).Empty() {
		t.Errorf("%v lies over %v", b, a)
	}
	s.session.Undo()
	if len(s.session.Job().Items) != len(first.Items) {
		t.Error("adding is not one step")
	}
	s.dropped(fyne.Position{}, files[1:])
	s.press(say("ui-cancel")).OnTapped()
	s.settle()
	if len(s.session.Job().Items) != 1 || s.session.Job().Items[0].Name != first.Items[0].Name {
		t.Error("giving up did something")
	}
}

func layerIDs(it job.Item) []job.LayerID {
	var ids []job.LayerID
	for _, l := range it.Layers {
		ids = append(ids, l.ID)
	}
	return ids
}

// What is let go over the board comes to lie there; else it is put on the
// blank, no larger than its safe area.
func TestDropped_LiesWhereItWasLetGoOrOnTheBlank(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	files := demoFiles(t, "nested", "pair")
	blank := job.Blank{Name: "coaster", WidthMM: 60, HeightMM: 60, SafeMM: 4, Round: true, At: geometry.Pt(20, 30)}
	added := func(pos fyne.Position, files []fyne.URI) geometry.Rect {
		t.Helper()
		n := len(s.session.Job().Items)
		s.dropped(pos, files)
		s.settle()
		if s.desk.Open() {
			s.press(say("ui-drop-add")).OnTapped()
			s.settle()
		}
		if len(s.session.Job().Items) != n+len(files) {
			t.Fatalf("%d pictures after %d", len(s.session.Job().Items), n)
		}
		r := job.Pages(job.Job{Items: s.session.Job().Items[n:]})
		s.session.Undo()
		s.settle()
		return r
	}
	s.look()
	want := geometry.Pt(33, 12)
	pos := fyne.CurrentApp().Driver().AbsolutePositionForObject(s.board).Add(s.board.PositionOf(want))
	for _, f := range [][]fyne.URI{files[:1], files} {
		if r := added(pos, f); r.Centre().Sub(want).Len() > 0.5 {
			t.Errorf("%d let go at %v lie at %v", len(f), want, r.Centre())
		}
	}
	s.do("ui-step-blank", func(j job.Job) (job.Job, error) { return job.SetBlankShape(j, &blank) })
	s.selectAll()
	s.move(200, 0) // off the blank
	s.settle()
	for _, f := range [][]fyne.URI{files[:1], files} {
		if r := added(fyne.Position{}, f); !blank.Holds(r.Path(), blank.SafeMM) || r.Width() < blank.SafeMM {
			t.Errorf("%d lie at %v, not on the blank %v", len(f), r, blank.Bounds())
		}
	}
}
