package window

import (
	"math"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
	"abut/ui/add"
	"abut/ui/theme"
)

// only returns the one selected layer and where it lies.
func (s *stage) only() (job.Layer, job.Item) {
	s.t.Helper()
	l, it, ok := s.selected()
	if !ok {
		s.t.Fatalf("%d layers are selected", len(s.session.Selection()))
	}
	return l, it
}

func TestAdd_PrimitivesArriveInTheMiddleSelectedAndEditable(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	before := s.session.Job()
	for _, f := range job.Forms {
		s.add.Primitive(f)
		s.settle()
		l, _ := s.only()
		p, ok := l.Content.(job.Primitive)
		if !ok || p.Form != f {
			t.Fatalf("%v: %+v", f, l.Content)
		}
		c, seen := job.Bounds(s.session.Job(), l.ID).Centre(), s.board.Seen().Centre()
		// A star's bounds are not in the middle of its circle.
		if d := c.Sub(seen).Len(); d > p.Height/5 {
			t.Errorf("%v lies %.1f mm off the middle of the view", f, d)
		}
	}
	s.add.Primitive(job.Star)
	n, _ := s.session.Steps()
	points := s.field("ui-content-tips", 0)
	s.win.Canvas().Focus(points)
	points.SetText("7")
	s.settle()
	if l, _ := s.only(); l.Content.(job.Primitive).Points != 5 {
		t.Error("typing is a step already")
	}
	if m, _ := s.session.Steps(); len(m) != len(n) {
		t.Errorf("typing made %d steps", len(m)-len(n))
	}
	points.OnSubmitted("")
	s.settle()
	if l, _ := s.only(); l.Content.(job.Primitive).Points != 7 {
		t.Error("Enter did not take the number")
	}
	s.enter(points, "1")
	s.desk.Clear()
	if l, _ := s.only(); l.Content.(job.Primitive).Points != 7 || points.Text != "7" {
		t.Errorf("one tip was taken, or %q is left in the entry", points.Text)
	}
	for s.session.CanUndo() {
		s.session.Undo()
	}
	if !reflect.DeepEqual(s.session.Job(), before) {
		t.Error("undoing all does not give what was there")
	}
}

func TestAdd_TextIsTypedOverAndIsOneStep(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	s.add.Text()
	s.settle()
	entry := s.lettering()
	if s.win.Canvas().Focused() != entry {
		t.Fatalf("%T has the keys", s.win.Canvas().Focused())
	}
	if entry.AcceptsTab() {
		t.Error("Tab becomes part of the word and the keyboard does not get out")
	}
	n, _ := s.session.Steps()
	test.Type(entry, "Ahoy")
	s.settle()
	if entry.Text != "Ahoy" {
		t.Fatalf("the entry says %q: what stood there was not replaced", entry.Text)
	}
	if m, _ := s.session.Steps(); len(m) != len(n) {
		t.Error("typing made a step")
	}
	l, _ := s.only()
	if s.shown().Width() >= job.Bounds(s.session.Job(), l.ID).Width() {
		t.Errorf("%v is shown while a shorter word than %v is typed", s.shown(), job.Bounds(s.session.Job(), l.ID))
	}
	s.focusBoard()
	s.settle()
	l, _ = s.only()
	p := l.Content.(job.Text)
	if p.Text != "Ahoy" || l.Name != "Ahoy" || len(p.Shapes) == 0 {
		t.Errorf("%q named %q with %d shapes", p.Text, l.Name, len(p.Shapes))
	}
	if m, _ := s.session.Steps(); len(m) != len(n)+1 {
		t.Errorf("%d steps", len(m)-len(n))
	}
	straight := job.Bounds(s.session.Job(), l.ID)
	// Around an arc it is higher and narrower.
	s.choose("ui-text-over")
	l, _ = s.only()
	if r := job.Bounds(s.session.Job(), l.ID); l.Content.(job.Text).Arc == nil || r.Height() <= straight.Height() || r.Centre().Sub(straight.Centre()).Len() > 1e-6 {
		t.Errorf("on an arc %v, straight %v", r, straight)
	}
	s.enter(s.field("ui-text-size", 0), "40")
	l, it := s.only()
	if math.Abs(l.Content.(job.Text).SizeMM*it.Placement.Mul(l.Transform).A-40) > 1e-9 {
		t.Errorf("%g mm", l.Content.(job.Text).SizeMM)
	}
	// Nothing to set: it stays as it was.
	s.win.Canvas().Focus(entry)
	entry.SetText("  ")
	s.focusBoard()
	s.settle()
	if l, _ = s.only(); l.Content.(job.Text).Text != "Ahoy" || entry.Text != "Ahoy" {
		t.Errorf("%q, the entry says %q", l.Content.(job.Text).Text, entry.Text)
	}
	// Escape gives up.
	s.win.Canvas().Focus(entry)
	test.Type(entry, "x")
	s.settle()
	entry.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	s.settle()
	if l, _ = s.only(); l.Content.(job.Text).Text != "Ahoy" || entry.Text != "Ahoy" {
		t.Errorf("after Escape %q, the entry says %q", l.Content.(job.Text).Text, entry.Text)
	}
}

func TestAdd_DoublePressOnTextEditsIt(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	s.add.Text()
	s.settle()
	l, _ := s.only()
	s.session.Select(nil)
	s.focusBoard()
	r := job.Bounds(s.session.Job(), l.ID)
	// Somewhere along the middle of its height there is a letter.
	for x := r.Min.X; x < r.Max.X; x += 0.2 {
		p := r.Centre()
		p.X = x
		s.board.DoubleTapped(&fyne.PointEvent{Position: s.board.PositionOf(p)})
		if len(s.session.Selection()) > 0 {
			break
		}
	}
	if got, _ := s.only(); got.ID != l.ID || s.win.Canvas().Focused() != s.lettering() {
		t.Errorf("layer %d, %T has the keys", got.ID, s.win.Canvas().Focused())
	}
}

// Layers of two pictures get one band around all of them, which stays around
// both when one picture moves.
func TestAdd_SurroundOfTwoPictures(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	s.dropped(fyne.Position{}, demoFiles(t, "nested", "pair")[:1])
	s.settle()
	s.press(say("ui-drop-add")).OnTapped()
	s.settle()
	items := s.session.Job().Items
	a, b := items[0].Layers[0].ID, items[1].Layers[0].ID
	s.session.Select([]job.LayerID{a, b})
	s.add.Surround()
	s.settle()
	band, it := s.only()
	if it.ID != items[0].ID || len(job.Inner(s.session.Job(), band)) != 2 {
		t.Fatalf("it lies in picture %d around %v", it.ID, job.Inner(s.session.Job(), band))
	}
	s.session.Select([]job.LayerID{b})
	s.move(25, 0)
	s.settle()
	plan, _ := s.session.Plan()
	bounds := geometry.EmptyRect()
	for _, x := range plan.Surrounds[band.ID] {
		bounds = bounds.Union(x.Path.Bounds())
	}
	want := job.BoundsOf(s.session.Job(), []job.LayerID{a, b}).Grow(add.SurroundMM)
	if bounds.Min.Sub(want.Min).Len()+bounds.Max.Sub(want.Max).Len() > 0.1 {
		t.Errorf("the band reaches over %v, want %v", bounds, want)
	}
}

func TestAdd_SurroundFollows(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	s.pickAll("Hull")
	s.add.Surround()
	s.settle()
	band, _ := s.only()
	plan, exact := s.session.Plan()
	if !exact || len(plan.Surrounds[band.ID]) != 1 {
		t.Fatal("the plan has no band")
	}
	before := plan.Surrounds[band.ID][0].Path.Bounds()
	s.pickAll("Hull")
	s.move(10, 0)
	s.settle()
	plan, _ = s.session.Plan()
	after := plan.Surrounds[band.ID][0].Path.Bounds()
	if math.Abs(after.Min.X-before.Min.X-10) > 0.001 {
		t.Errorf("from %v to %v", before, after)
	}
	s.session.Select([]job.LayerID{band.ID})
	s.enter(s.field("ui-content-width", 0), "8")
	plan, _ = s.session.Plan()
	if got := plan.Surrounds[band.ID][0].Path.Bounds(); math.Abs(got.Width()-after.Width()-10) > 0.03 {
		t.Errorf("8 mm wide it is %v, with 3 mm %v", got, after)
	}
}

func TestAdd_ToAnEmptyBlank(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.askEmpty()
	s.settle()
	if !s.session.Opened() || s.session.Job().Settings.BlankShape == nil || !s.desk.Open() {
		t.Fatal("no blank is open")
	}
	s.desk.Clear()
	s.look()
	s.add.Text()
	s.settle()
	s.add.Primitive(job.Heart)
	s.settle()
	plan, exact := s.session.Plan()
	if !exact || plan.NumPieces() == 0 || len(s.session.Job().Items) != 1 {
		t.Errorf("%d items", len(s.session.Job().Items))
	}
	b := s.session.Job().Settings.BlankShape.Bounds()
	if !b.Encloses(plan.Extent) {
		t.Errorf("%v is not on the blank %v", plan.Extent, b)
	}
	path := filepath.Join(t.TempDir(), "mug.abut")
	s.session.Save(path, true, func(error) {})
	s.settle()
	if _, err := os.Stat(path); err != nil {
		t.Fatal(err)
	}
	want := s.session.Job()
	s.Open(path)
	s.settle()
	if !reflect.DeepEqual(s.session.Job(), want) {
		t.Error("saved and opened it is another job")
	}
}

func TestRecolour_GivesTheSelectionAndNewThingsAColour(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	ids := s.pickAll("Hull")
	c := colour.RGB{R: 1, G: 2, B: 3}
	s.add.Recolour(c)
	if l, _, _ := s.session.Job().Layer(ids[0]); l.Colour != c {
		t.Errorf("%v", l.Colour)
	}
	s.add.Primitive(job.Ellipse)
	if l, _ := s.only(); l.Colour != c {
		t.Errorf("something new is %v", l.Colour)
	}
}

func TestMergeAndSplit_ThereAndBack(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	s.add.Primitive(job.Ellipse)
	a, _ := s.only()
	s.add.Primitive(job.Heart)
	b, _ := s.only()
	s.move(200, 0)
	s.session.Merge([]job.LayerID{a.ID, b.ID})
	s.settle()
	one, _ := s.only()
	n := len(s.session.Job().LayerIDs())
	s.run("split")
	s.settle()
	if got := s.session.Selection(); len(got) != 2 || len(s.session.Job().LayerIDs()) != n+1 {
		t.Errorf("split into %v", got)
	}
	if _, _, ok := s.session.Job().Layer(one.ID); ok {
		t.Error("the whole is still there")
	}
	s.session.Select(s.session.Selection()[:1])
	s.run("split")
	s.settle()
	if !s.desk.Open() {
		t.Error("splitting what is one part says nothing")
	}
}

// What Details shows about a selection fits its narrowest width, so that nothing
// lies under the scroll bar.
func TestDetails_OfContentFitThePanel(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	s.add.Text()
	s.settle()
	s.choose("ui-text-over")
	for _, o := range inDetails[fyne.CanvasObject](s) {
		if w := o.MinSize().Width; w > 280 {
			t.Errorf("%T wants %g", o, w)
		}
	}
}
