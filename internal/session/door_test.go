package session

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/job"
	"abut/internal/lettering"
	"abut/internal/workshop"
)

// wider is a change that one sees in the plan's extent.
func (b *bench) wider() Edit {
	top := b.Job().LayerIDs()[2]
	return func(j job.Job) (job.Job, error) { return job.MoveLayers(j, []job.LayerID{top}, 60, 0) }
}

// Whatever is done next makes what is being made a step first.
func TestDraft_CountsBeforeAnythingElse(t *testing.T) {
	for name, next := range map[string]func(*bench){
		"do":      func(b *bench) { _ = b.Do("rename", rename("other")) },
		"nudge":   func(b *bench) { _ = b.Nudge("key", "rename", rename("other")) },
		"select":  func(b *bench) { b.Select(b.Job().LayerIDs()[:1]) },
		"another": func(b *bench) { b.Begin("another", nil) },
		"settle":  func(b *bench) { b.Settle(func() {}) },
	} {
		b := newBench(t)
		b.demo("pair")
		ended := 0
		d := b.Begin("move", func() { ended++ })
		d.Show(b.wider())
		next(b)
		labels, _ := b.Steps()
		if ended != 1 || len(labels) == 0 || labels[0] != "move" || b.Draft() == d {
			t.Errorf("%s: steps %v, ended %d times", name, labels, ended)
		}
		if d.Keep() != nil || len(b.errs) > 0 {
			t.Errorf("%s: a draft that has ended does something, told %v", name, b.errs)
		}
		d.Drop()
		d.Show(rename("no"))
		if again, _ := b.Steps(); len(again) != len(labels) || ended != 1 {
			t.Errorf("%s: steps %v, then %v", name, labels, again)
		}
		b.settle()
	}
}

// Undo takes back what is being made, which counts first.
func TestDraft_IsWhatUndoTakesBack(t *testing.T) {
	b := newBench(t)
	b.demo("pair")
	before := b.extent()
	b.Begin("move", nil).Show(b.wider())
	b.Undo()
	b.settle()
	if b.CanUndo() || b.RedoLabel() != "move" || b.extent() != before {
		t.Errorf("undone: redo %q, %v", b.RedoLabel(), b.extent())
	}
}

func TestDraft_HeldOneIsNotShownAndCounts(t *testing.T) {
	b := newBench(t)
	b.demo("pair")
	d := b.Begin("move", nil)
	d.Hold(b.wider())
	if b.Shown().Items[0].Layers[2].Transform != b.Job().Items[0].Layers[2].Transform {
		t.Error("shown")
	}
	d.Show(nil) // typed back to what it was
	if err := d.Keep(); err != nil || b.CanUndo() {
		t.Errorf("%v, a step: %v", err, b.CanUndo())
	}
	d = b.Begin("move", nil)
	d.Hold(b.wider())
	if err := d.Keep(); err != nil || b.UndoLabel() != "move" {
		t.Errorf("%v, %q", err, b.UndoLabel())
	}
	b.settle()
}

// What makes no sense is given up and said, and what was to follow is not done.
func TestDraft_ThatMakesNoSenseKeepsWhatFollowsBack(t *testing.T) {
	no := errors.New("no number")
	for name, make := range map[string]func(*Draft){
		"wrong":   func(d *Draft) { d.Wrong(no) },
		"refused": func(d *Draft) { d.Show(func(job.Job) (job.Job, error) { return job.Job{}, no }) },
	} {
		b := newBench(t)
		b.demo("pair")
		make(b.Begin("size", nil))
		b.Settle(func() { t.Errorf("%s: went on", name) })
		if b.Draft() != nil || b.CanUndo() || len(b.errs) != 1 || !errors.Is(b.errs[0], no) {
			t.Errorf("%s: told %v", name, b.errs)
		}
		went := false
		b.Settle(func() { went = true })
		if !went {
			t.Errorf("%s: nothing goes on any more", name)
		}
		b.settle()
	}
}

func TestDraft_DroppedIsNoStepAndCostsNothing(t *testing.T) {
	b := newBench(t)
	b.demo("pair")
	plan, _ := b.Plan()
	ended := false
	d := b.Begin("move", func() { ended = true })
	d.Show(b.wider())
	b.settle()
	d.Drop()
	if got, exact := b.Plan(); got != plan || !exact || b.CanUndo() || !ended || b.Draft() != nil {
		t.Error("what was given up is not gone")
	}
	b.settle()
}

// A step that lands meanwhile leaves what is being made on screen.
func TestDraft_StaysShownWhenAStepLands(t *testing.T) {
	b := newBench(t)
	b.demo("pair")
	b.Resize(200, 0)
	d := b.Begin("move", nil)
	d.Show(b.wider())
	b.settle()
	moved := b.Shown().Items[0].Layers[2].Transform != b.Job().Items[0].Layers[2].Transform
	if b.UndoLabel() != "ui-step-size" || !moved || b.Draft() != d {
		t.Errorf("last step %q, shown %v", b.UndoLabel(), moved)
	}
	d.Drop()
	b.settle()
}

// lettering opens a picture with a text in it and returns its layer.
func (b *bench) lettering(words string) job.LayerID {
	b.t.Helper()
	b.svg(triangle)
	t, _, err := lettering.Set(context.Background(), job.Text{Text: words, SizeMM: 10, Weight: 700})
	if err != nil {
		b.t.Fatal(err)
	}
	var id job.LayerID
	if err := b.Do("add", func(j job.Job) (out job.Job, err error) {
		out, id, err = job.Add(j, job.Added{Name: job.TextName(words), Content: t}, geometry.Pt(10, 20))
		return out, err
	}); err != nil {
		b.t.Fatal(err)
	}
	b.settle()
	return id
}

// says returns what a text layer says and whether its outlines are those of it.
func (b *bench) says(id job.LayerID) string {
	b.t.Helper()
	l, _, _ := b.Job().Layer(id)
	t, is := l.Content.(job.Text)
	if !is {
		b.t.Fatalf("layer %d draws %T", id, l.Content)
	}
	set, _, err := lettering.Set(context.Background(), t)
	if err != nil || len(set.Shapes) != len(t.Shapes) || job.Bounds(b.Job(), id).Width() < 1 {
		b.t.Errorf("%q has other outlines: %v", t.Text, err)
	}
	return t.Text
}

func reading(to string) func(*job.Text) { return func(t *job.Text) { t.Text = to } }

// Words that were typed and not left are in what is saved and exported, also when
// they have not been set yet.
func TestDraft_TypedWordsAreSavedAndExported(t *testing.T) {
	b := newBench(t)
	id := b.lettering("LIGHT")
	dir := t.TempDir()
	for _, name := range []string{"HARBOUR", "QUAY"} {
		b.Begin("text", nil).Work("task", Lettering(id, reading(name), nil), nil)
		file := filepath.Join(dir, name+".abut")
		if err := b.save(file); err != nil {
			t.Fatal(err)
		}
		d, err := readDocument(file)
		if err != nil {
			t.Fatal(err)
		}
		if l, _, _ := d.Job.Layer(id); l.Content.(job.Text).Text != name || l.Name != name {
			t.Errorf("saved: %q, typed %s", l.Content.(job.Text).Text, name)
		}
		if b.says(id) != name || b.Changed() {
			t.Errorf("the document says %s, changed: %v", b.says(id), b.Changed())
		}
	}
	b.Begin("text", nil).Work("task", Lettering(id, reading("PIER"), nil), nil)
	var m *workshop.Manifest
	b.Export(filepath.Join(dir, "files"), workshop.WriteOptions{AllowStacked: true}, func(got *workshop.Manifest, err error) { m = got })
	b.settle()
	if m == nil || !near(m.WidthMM, b.extent().Width()) || b.says(id) != "PIER" || !b.State().Exported {
		t.Errorf("exported %+v of a document that says %s", m, b.says(id))
	}
}

// Texts that are left before they are set come out in the order of leaving, each
// on its own layer, whatever is selected by then.
func TestLater_TextsLandInOrderOnTheirOwnLayers(t *testing.T) {
	b := newBench(t)
	id := b.lettering("LIGHT")
	b.Select([]job.LayerID{id})
	for _, name := range []string{"one", "two", "three"} {
		d := b.Begin("text", nil)
		d.Work("task", Lettering(id, reading(name), nil), nil)
		if err := d.Keep(); err != nil {
			t.Fatal(err)
		}
	}
	b.Select(b.Job().LayerIDs()[:1])
	b.Later("task", "text", Lettering(id, func(t *job.Text) { t.Weight = 400 }, nil), nil)
	b.settle()
	l, _, _ := b.Job().Layer(id)
	labels, _ := b.Steps()
	if b.says(id) != "three" || l.Content.(job.Text).Weight != 400 || len(labels) != 5 || b.preview != nil {
		t.Errorf("says %s, steps %v", b.says(id), labels)
	}
}

// What was worked out and is shown counts at once, and is not worked out again.
func TestDraft_ThatIsWorkedOutIsAStepAtOnce(t *testing.T) {
	b := newBench(t)
	b.demo("pair")
	worked := 0
	d := b.Begin("move", nil)
	d.Work("task", func(context.Context, job.Job) (Edit, error) {
		worked++
		return b.wider(), nil
	}, nil)
	b.settle()
	if err := d.Keep(); err != nil || b.UndoLabel() != "move" {
		t.Errorf("%v, last step %q", err, b.UndoLabel())
	}
	b.settle()
	if labels, _ := b.Steps(); worked != 1 || len(labels) != 1 {
		t.Errorf("worked out %d times, steps %v", worked, labels)
	}
}

// Work whose outcome is a whole job does not take back what was done meanwhile.
func TestLater_DoesNotTakeBackWhatWasDoneMeanwhile(t *testing.T) {
	b := newBench(t)
	b.demo("pair")
	b.Later("task", "units", func(_ context.Context, was job.Job) (Edit, error) {
		was.Settings.Units = job.Inches
		return func(job.Job) (job.Job, error) { return was, nil }, nil
	}, nil)
	if err := b.Do("rename", rename("other")); err != nil {
		t.Fatal(err)
	}
	b.settle()
	if name := b.Job().Items[0].Layers[0].Name; name != "other" || b.Job().Settings.Units != job.Inches {
		t.Errorf("the layer is called %q, units %v", name, b.Job().Settings.Units)
	}
}

// What takes long is worked out of the document as it is when it becomes a step.
func TestLater_IsWorkedOutAnewAfterAnEdit(t *testing.T) {
	b := newBench(t)
	b.demo("pair")
	b.Resize(120, 0)
	if err := b.Do("move", b.wider()); err != nil {
		t.Fatal(err)
	}
	b.settle()
	if labels, _ := b.Steps(); !slices.Equal(labels, []string{"move", "ui-step-size"}) || !near(b.extent().Width(), 120) {
		t.Errorf("steps %v, %g mm wide", labels, b.extent().Width())
	}
	for name, ask := range map[string]func(){
		"merge": func() { b.Merge(b.Job().LayerIDs()[:2]) },
		"split": func() { b.Split(b.Job().LayerIDs()[1]) },
		"paste": func() { b.Paste(triangle, "flag", geometry.Rect{}) },
	} {
		ask()
		if err := b.Do("rename", rename(name)); err != nil {
			t.Fatal(err)
		}
		b.settle()
		if labels, _ := b.Steps(); !slices.Equal(labels[len(labels)-2:], []string{"rename", "ui-step-" + name}) || len(b.errs) > 0 {
			t.Errorf("%s: steps %v, told %v", name, labels, b.errs)
		}
		b.Undo()
	}
	b.settle()
}

// What cannot be worked out is said, and what waited for it is not done.
func TestLater_ThatFailsKeepsBackWhatWaits(t *testing.T) {
	b := newBench(t)
	b.demo("pair")
	no := errors.New("no")
	var landed error
	b.Later("task", "label", func(context.Context, job.Job) (Edit, error) { return nil, no }, func(err error) { landed = err })
	b.Settle(func() { t.Error("went on") })
	if !b.Waiting() {
		t.Error("nothing waits")
	}
	b.settle()
	if len(b.errs) != 1 || !errors.Is(landed, no) || b.Waiting() || b.CanUndo() {
		t.Errorf("told %v, landed %v", b.errs, landed)
	}
}

// What another document was asked for does not happen to this one.
func TestLater_EndsWithItsDocument(t *testing.T) {
	b := newBench(t)
	b.demo("pair")
	at := b.At()
	b.Resize(120, 0)
	b.MendAll()
	ended := false
	b.Begin("move", func() { ended = true }).Show(b.wider())
	b.Settle(func() { t.Error("went on in another document") })
	b.Begin("move", func() { ended = true }).Show(b.wider())
	b.Finish(func() { t.Error("went on in another document") })
	j := b.Job()
	b.Use(j, "")
	b.settle()
	if b.CanUndo() || !ended || b.Draft() != nil || b.Waiting() {
		t.Errorf("a step: %v, ended: %v", b.CanUndo(), ended)
	}
	if err := b.DoAt(at, "rename", rename("other")); !errors.Is(err, ErrStale) || b.CanUndo() {
		t.Errorf("what was shown of another document does something: %v", err)
	}
	if err := b.DoAt(b.At(), "rename", rename("other")); err != nil || !b.CanUndo() {
		t.Error(err)
	}
	b.settle()
}

// A slow file does not take away what was edited while it was read.
func TestOpen_DoesNotReplaceWhatWasEditedMeanwhile(t *testing.T) {
	for name, edit := range map[string]func(b *bench){
		"a step":      func(b *bench) { b.rename("mine") },
		"being typed": func(b *bench) { b.Begin("name", nil).Hold(rename("mine")) },
		"being worked": func(b *bench) {
			b.Later("task", "label", Outcome(func(_ context.Context, j job.Job) (job.Job, error) { return rename("mine")(j) }), nil)
		},
	} {
		b := newBench(t)
		b.KeepIn(t.TempDir())
		b.demo("pair")
		slow := b.file("buoy.svg", triangle)
		b.Open(slow)
		edit(b)
		b.settle()
		if b.Name() != "Little boat" || len(b.errs) != 1 || !workshop.Is(b.errs[0], "open-edited") {
			t.Errorf("%s: open is %q, told %v", name, b.Name(), b.errs)
		}
		var use func()
		b.OnArrived = func(file string, edited bool, f func()) {
			if file != "buoy.svg" || !edited {
				t.Errorf("%s: asked about %q, edited %v", name, file, edited)
			}
			use = f
		}
		b.Open(slow)
		edit(b)
		b.settle()
		if b.Name() != "Little boat" || use == nil {
			t.Fatalf("%s: open is %q", name, b.Name())
		}
		use()
		b.settle()
		if b.Name() != "flag" && b.Name() != "buoy" {
			t.Errorf("%s: open is %q", name, b.Name())
		}
	}
}

// Of files that are asked for one after the other, the last one is opened.
func TestOpen_TheLastOneAskedForCounts(t *testing.T) {
	b := newBench(t)
	first, last := b.file("first.svg", triangle), b.file("last.svg", triangle)
	b.Open(first)
	b.Open(last)
	b.settle()
	if b.Origin() != last || len(b.errs) > 0 {
		t.Errorf("open is %s, told %v", b.Origin(), b.errs)
	}
}

// Mends are of what was edited meanwhile; Undo gives them up, and Stop does.
func TestMendAll_FollowsAnEditAndIsGivenUp(t *testing.T) {
	b := newBench(t)
	b.svg(hairline)
	b.knockOut()
	mends := func() int { return len(b.Job().Items[0].Mends) }
	move := func(j job.Job) (job.Job, error) { return job.MoveLayers(j, []job.LayerID{3}, 1, 0) }
	b.MendAll()
	if err := b.Do("move", move); err != nil {
		t.Fatal(err)
	}
	b.settle()
	if labels, _ := b.Steps(); b.UndoLabel() != "ui-step-mend-all" || labels[len(labels)-2] != "move" || mends() != 1 || b.Weak().Open() != 0 {
		t.Errorf("steps %v, %d mends", labels, mends())
	}
	b.Undo()
	for name, giveUp := range map[string]func(){"undo": b.Undo, "stop": func() { b.mending.Stop() }} {
		b.MendAll()
		b.Finish(func() { t.Error(name, "went on") })
		giveUp()
		b.settle()
		if b.UndoLabel() != "move" || mends() != 0 || b.Waiting() {
			t.Errorf("%s: last step %q, %d mends", name, b.UndoLabel(), mends())
		}
	}
}

// An export waits for the mends that were asked for.
func TestFinish_WaitsForMends(t *testing.T) {
	b := newBench(t)
	b.svg(hairline)
	b.knockOut()
	b.MendAll()
	var m *workshop.Manifest
	dir := filepath.Join(t.TempDir(), "files")
	b.Export(dir, workshop.WriteOptions{}, func(got *workshop.Manifest, err error) { m = got })
	if _, err := os.Stat(dir); err == nil {
		t.Error("written before the mends are made")
	}
	b.settle()
	if m == nil || strings.Contains(m.Verdict, "weak") || b.Weak().Open() != 0 {
		t.Errorf("exported %+v", m)
	}
}

// Pictures that are added without a place do not cover what is there.
func TestAdd_WithoutAPlaceCoversNothing(t *testing.T) {
	for _, blank := range []bool{false, true} {
		b := newBench(t)
		file := b.file("flag.svg", triangle)
		b.svg(triangle)
		if blank {
			b.FillBlank(job.Blank{Name: "mug", WidthMM: 200, HeightMM: 90, SafeMM: 5})
			b.settle()
		}
		b.Add([]string{file}, nil)
		b.settle()
		b.Add([]string{file}, nil)
		b.settle()
		ids := b.Job().LayerIDs()
		for i, id := range ids {
			for _, other := range ids[:i] {
				if !job.Bounds(b.Job(), id).Intersect(job.Bounds(b.Job(), other)).Empty() {
					t.Errorf("with a blank %v: layer %d covers %d", blank, id, other)
				}
			}
		}
	}
}

// Whoever is told of a change may ask for another at once: it is worked out once.
func TestLater_AskedForFromWhatLandedIsDoneOnce(t *testing.T) {
	b := newBench(t)
	b.demo("pair")
	worked := 0
	wider := func(ctx context.Context, _ job.Job) (Edit, error) {
		worked++
		return b.wider(), ctx.Err()
	}
	b.Later("task", "first", wider, func(error) { b.Later("task", "second", wider, nil) })
	b.settle()
	if labels, _ := b.Steps(); worked != 2 || len(labels) != 2 {
		t.Errorf("worked out %d times, steps %v", worked, labels)
	}
}
