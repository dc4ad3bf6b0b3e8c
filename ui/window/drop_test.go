package window

import (
	"os"
	"path/filepath"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/storage"

	"abut/assets"
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
	s.dropped(files[:1])
	s.settle()
	if !s.session.Opened() || s.desk.Open() {
		t.Fatal("the first file is not simply opened")
	}
	first := s.session.Job()
	s.dropped(files[1:])
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
	s.dropped(files[1:])
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
