package session

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"testing"
	"testing/synctest"
	"time"

	"abut/internal/job"
	"abut/internal/workshop"
)

// pass lets time pass, on the clock of the test's bubble, and runs what is
// handed over meanwhile.
func (b *bench) pass(d time.Duration) {
	end := time.After(d)
	for {
		select {
		case f := <-b.queue:
			f()
		case <-end:
			return
		}
	}
}

// files lists what is in a folder, locks apart.
func files(t *testing.T, dir string) (out []string) {
	t.Helper()
	list, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range list {
		if filepath.Ext(f.Name()) != lockSuffix {
			out = append(out, filepath.Join(dir, f.Name()))
		}
	}
	return out
}

// holds fails unless the folder keeps the document as it stands, and only that.
func (b *bench) holds(what, dir string) {
	b.t.Helper()
	kept := files(b.t, dir)
	if len(kept) != 1 {
		b.t.Fatalf("%s: kept %v", what, kept)
	}
	d, err := readDocument(kept[0])
	if err != nil || !reflect.DeepEqual(d.Job, b.Job()) {
		b.t.Errorf("%s: %v, kept %q, now %q", what, err, d.Job.Items[0].Layers[0].Name, b.Job().Items[0].Layers[0].Name)
	}
}

// holdsName fails unless what the folder keeps has a layer of that name.
func (b *bench) holdsName(what, dir, name string) {
	b.t.Helper()
	for _, f := range files(b.t, dir) {
		if d, err := readDocument(f); err != nil || d.Job.Items[0].Layers[0].Name != name {
			b.t.Errorf("%s: %v, kept %+v", what, err, d.Job.Items)
		}
	}
}

func (b *bench) rename(to string) {
	b.t.Helper()
	if err := b.Do("rename", rename(to)); err != nil {
		b.t.Fatal(err)
	}
}

// keeper is a session with a picture, and the folder that it keeps its work in.
func keeper(t *testing.T) (*bench, string) {
	b, dir := newBench(t), t.TempDir()
	b.KeepIn(dir)
	b.svg(triangle)
	return b, dir
}

func TestAutosave_KeepsEveryStepByItselfSoonAfter(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b, dir := keeper(t)
		b.pass(10 * KeptAfter)
		if kept := files(t, dir); len(kept) != 0 {
			t.Fatalf("nothing was done, and kept is %v", kept)
		}
		b.rename("one")
		b.pass(KeptAfter - 1)
		if kept := files(t, dir); len(kept) != 0 {
			t.Errorf("kept at once: %v", kept)
		}
		b.pass(2)
		b.kept()
		b.holds("after a step", dir)
		// However busy one is, what was done two seconds ago is kept.
		for _, name := range []string{"two", "three", "four", "five"} {
			b.rename(name)
			b.pass(KeptAfter/4 + 1)
		}
		b.kept()
		if d, err := readDocument(files(t, dir)[0]); err != nil || d.Job.Items[0].Layers[0].Name != "five" {
			t.Errorf("%v: kept %+v", err, d.Job.Items)
		}
		b.Undo()
		b.pass(KeptAfter + 1)
		b.kept()
		b.holds("after undo", dir)
		b.Close()
		b.pass(10 * KeptAfter)
		if kept := files(t, dir); len(kept) != 0 {
			t.Errorf("closed, and kept is %v", kept)
		}
	})
}

// A run of steps is kept once, not once for each.
func TestAutosave_KeepsARunOfStepsOnce(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b, dir := keeper(t)
		for _, name := range []string{"one", "two", "three"} {
			b.rename(name)
			b.pass(KeptAfter / 8)
		}
		b.pass(KeptAfter * 6 / 8)
		b.kept()
		if err := os.Remove(files(t, dir)[0]); err != nil {
			t.Fatal(err)
		}
		b.pass(2 * KeptAfter)
		b.kept()
		if kept := files(t, dir); len(kept) != 0 {
			t.Errorf("kept again: %v", kept)
		}
	})
}

func TestAutosave_KeepsWhatWasDoneWhileItWrote(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b, dir := keeper(t)
		b.rename("one")
		b.KeepNow()
		b.rename("two")
		b.KeepNow() // the first is still being written
		b.pass(2 * KeptAfter)
		b.kept()
		b.holds("after both", dir)
	})
}

// Words of a text are typed for minutes before they are a step.
func TestAutosave_KeepsWhatIsSeenThoughItIsNoStepYet(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b, dir := keeper(t)
		kept := func() (names []string) {
			b.pass(KeptAfter + 1)
			b.kept()
			for _, f := range files(t, dir) {
				d, err := readDocument(f)
				if err != nil {
					t.Fatal(err)
				}
				names = append(names, d.Job.Items[0].Layers[0].Name)
			}
			return names
		}
		d := b.Begin("text", nil)
		d.Show(rename("half a wor"))
		if got := kept(); !slices.Equal(got, []string{"half a wor"}) {
			t.Errorf("while it is typed, kept is %q", got)
		}
		d.Show(rename("half a word"))
		if got := kept(); !slices.Equal(got, []string{"half a word"}) {
			t.Errorf("while more is typed, kept is %q", got)
		}
		for range 8 { // a drag
			d.Show(rename("on the way"))
			b.pass(KeptAfter / 2)
			b.kept()
		}
		b.holdsName("while it is dragged", dir, "half a word")
		d.Drop()
		if got := kept(); got != nil {
			t.Errorf("given up, and kept is %q", got)
		}
		b.rename("one")
		d = b.Begin("text", nil)
		d.Show(rename("two"))
		kept()
		d.Drop()
		if got := kept(); !slices.Equal(got, []string{"one"}) {
			t.Errorf("given up after a step, and kept is %q", got)
		}
		// A number that is typed is not seen before Enter; a size is worked out only then.
		d = b.Begin("size", nil)
		d.Hold(rename("three"))
		if got := kept(); !slices.Equal(got, []string{"three"}) {
			t.Errorf("a number is typed, and kept is %q", got)
		}
		d.Wrong(errors.New("no number"))
		if got := kept(); !slices.Equal(got, []string{"one"}) {
			t.Errorf("what is typed is no number, and kept is %q", got)
		}
		d.Later("task", func(context.Context, job.Job) (Edit, error) { return rename("four"), nil }, nil)
		if got := kept(); !slices.Equal(got, []string{"four"}) {
			t.Errorf("a size is typed, and kept is %q", got)
		}
		d.Later("task", func(context.Context, job.Job) (Edit, error) { panic("no such size") }, nil)
		if got := kept(); !slices.Equal(got, []string{"one"}) {
			t.Errorf("what is typed cannot be worked out, and kept is %q", got)
		}
		d.Hold(rename("five"))
		b.pass(KeptAfter / 2)
		d.Drop()
		if got := kept(); !slices.Equal(got, []string{"one"}) {
			t.Errorf("a number is given up, and kept is %q", got)
		}
	})
}

// Forty names may be typed into a dialog before anything of the job has changed.
func TestAutosave_KeepsWhatIsTypedInDialogs(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b, dir := keeper(t)
		var typing []Typed
		b.KeepTyped(func() []Typed { return typing })
		say := func(t ...Typed) {
			typing = t
			b.Typed()
			b.pass(KeptAfter + 1)
			b.kept()
		}
		say(Typed{In: "Names", Texts: []string{"A"}})
		say()
		if kept := files(t, dir); len(kept) != 0 {
			t.Errorf("the dialog is closed, and kept is %v", kept)
		}
		say(Typed{In: "Names", Texts: []string{"Ada\nBea", ""}}, Typed{In: "Blank", Texts: []string{"Mug"}})
		b.auto.dies(t)
		c := newBench(t)
		c.KeepIn(dir)
		c.Recover(c.lost()[0])
		c.settle()
		if got := c.TakeTyped("Names"); !slices.Equal(got, []string{"Ada\nBea", ""}) {
			t.Errorf("rescued %q", got)
		}
		if again, other := c.TakeTyped("Names"), c.TakeTyped("Press"); again != nil || other != nil {
			t.Errorf("again %q, of another %q", again, other)
		}
		// Killed once more, what nobody asked for yet is still there.
		c.pass(KeptAfter + 1)
		c.kept()
		c.auto.dies(t)
		e := newBench(t)
		e.KeepIn(dir)
		e.Recover(e.lost()[0])
		e.settle()
		if names, blank := e.TakeTyped("Names"), e.TakeTyped("Blank"); names != nil || !slices.Equal(blank, []string{"Mug"}) {
			t.Errorf("rescued twice: %q and %q", names, blank)
		}
		// Another document has nothing of it.
		e.svg(triangle)
		if got := e.TakeTyped("Blank"); got != nil {
			t.Errorf("in another document: %q", got)
		}
	})
}

// A full disk may have room later, when nobody edits any more.
func TestAutosave_ThatFailedIsTriedAgain(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b, dir := keeper(t)
		inTheWay := filepath.Join(dir, "state")
		if err := os.WriteFile(inTheWay, nil, 0o600); err != nil {
			t.Fatal(err)
		}
		b.KeepIn(inTheWay)
		b.rename("one")
		b.pass(3 * againAfter)
		b.kept()
		if len(b.errs) != 1 || !workshop.Is(b.errs[0], "keep-failed") {
			t.Fatalf("told %v", b.errs)
		}
		if err := os.Remove(inTheWay); err != nil {
			t.Fatal(err)
		}
		b.pass(againAfter + 1)
		b.kept()
		b.holds("once there is room", inTheWay)
	})
}

func TestAutosave_KeepsNothingThatIsSaved(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b, dir := keeper(t)
		b.KeepNow()
		b.kept()
		if kept := files(t, dir); len(kept) != 0 {
			t.Fatalf("untouched, and kept is %v", kept)
		}
		b.rename("one")
		if err := b.save(filepath.Join(t.TempDir(), "flag.abut")); err != nil {
			t.Fatal(err)
		}
		b.KeepNow()
		b.pass(2 * KeptAfter)
		b.kept()
		if kept := files(t, dir); len(kept) != 0 {
			t.Errorf("saved, and kept is %v", kept)
		}
		// Kept at once, it is not kept once more until something is done.
		b.rename("two")
		b.KeepNow()
		b.kept()
		if err := os.Remove(files(t, dir)[0]); err != nil {
			t.Fatal(err)
		}
		b.pass(2 * KeptAfter)
		b.kept()
		if kept := files(t, dir); len(kept) != 0 {
			t.Errorf("kept twice: %v", kept)
		}
	})
}

// Work goes on where nothing can be kept. That it cannot is said once: it was
// promised.
func TestAutosave_ThatFailsIsSaidOnce(t *testing.T) {
	b := newBench(t)
	bad := filepath.Join(b.file("no-folder", "a file"), "state")
	for _, c := range []struct {
		dir  string
		told int
	}{{"", 0}, {bad, 1}} {
		b.KeepIn(c.dir)
		b.svg(triangle)
		for _, name := range []string{"one", "two"} {
			b.rename(name)
			b.KeepNow()
			b.kept()
			b.settle()
		}
		if len(b.errs) != c.told || !b.Changed() || b.auto.slot != "" {
			t.Errorf("in %q: told %v, kept in %q", c.dir, b.errs, b.auto.slot)
		}
	}
	if !workshop.Is(b.errs[0], "keep-failed") {
		t.Error(b.errs[0])
	}
	// Once it works again and fails anew, it is said anew.
	good := t.TempDir()
	for _, dir := range []string{good, bad} {
		b.KeepIn(dir)
		b.rename(dir)
		b.auto.slot = ""
		b.KeepNow()
		b.kept()
	}
	if len(b.errs) != 2 {
		t.Errorf("told %v", b.errs)
	}
}

// leave keeps a document in a folder as a killed process would leave it.
func leave(t *testing.T, dir, path, name string) string {
	t.Helper()
	b := newBench(t)
	b.KeepIn(dir)
	if path == "" {
		b.svg(triangle)
	} else {
		b.Open(path)
		b.settle()
	}
	b.rename(name)
	b.KeepNow()
	b.kept()
	b.auto.dies(t)
	return b.auto.slot
}

// dies does what the system does when the process ends: the lock is nobody's, and
// its file stays.
func (a *autosave) dies(t *testing.T) {
	t.Helper()
	a.lock.Release()
	if err := os.WriteFile(a.slot+lockSuffix, nil, 0o600); err != nil {
		t.Fatal(err)
	}
}

func (b *bench) lost() (out []Lost) {
	b.t.Helper()
	told := 0
	b.FindLost(func(l []Lost) { out = l; told++ })
	b.settle()
	if told != 1 {
		b.t.Errorf("told %d times", told)
	}
	return out
}

func TestFindLost_OffersTheLatestFirstAndWhatCanBeReadOnly(t *testing.T) {
	dir := t.TempDir()
	b := newBench(t)
	if l := b.lost(); len(l) != 0 {
		t.Errorf("without a folder: %v", l)
	}
	b.KeepIn(filepath.Join(dir, "not", "there"))
	if l := b.lost(); len(l) != 0 {
		t.Errorf("without that folder: %v", l)
	}
	path := b.file("flag.svg", triangle)
	first := leave(t, dir, "", "one")
	second := leave(t, dir, path, "two")
	for name, text := range map[string]string{"work-0.abut": "no job", "notes.txt": "mine", "work-1.abut.lock": ""} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	b.KeepIn(dir)
	lost := b.lost()
	if len(lost) != 2 || lost[0].slot != second || lost[0].Of != path || lost[0].Name != "flag" || lost[1].slot != first || lost[1].Of != "" || lost[1].Name != "art" {
		t.Fatalf("offered: %+v", lost)
	}
	if info, err := os.Stat(first); err != nil || !lost[1].Time.Equal(info.ModTime()) {
		t.Errorf("kept at %v, says %v", info.ModTime(), lost[1].Time)
	}
	// Locks that belong to nothing are cleared away, and nothing else.
	if got := names(t, dir); !slices.Equal(got, []string{"notes.txt", "work-0.abut", filepath.Base(first), filepath.Base(second)}) {
		t.Errorf("left: %v", got)
	}
	b.Forget(lost[0])
	if l := b.lost(); len(l) != 1 || l[0].slot != first {
		t.Errorf("after one is forgotten: %+v", l)
	}
}

// What was lost goes by the name that its window had: that of its file, that of its picture,
// or that of the blank that nothing is on yet.
func TestFindLost_CallsWorkWhatItsWindowDid(t *testing.T) {
	dir := t.TempDir()
	a := newBench(t)
	a.svg(triangle)
	saved := filepath.Join(t.TempDir(), "For Ada.abut")
	if err := a.save(saved); err != nil {
		t.Fatal(err)
	}
	leave(t, dir, saved, "edited")
	b := newBench(t)
	b.KeepIn(dir)
	if err := b.UseEmpty(job.Blank{Name: "Mug", WidthMM: 200, HeightMM: 90}, nil); err != nil {
		t.Fatal(err)
	}
	b.SetMarks(true)
	b.KeepNow()
	b.kept()
	b.auto.dies(t)
	var got []string
	for _, l := range newKeeper(t, dir).lost() {
		got = append(got, l.Name)
	}
	if slices.Sort(got); !slices.Equal(got, []string{"For Ada", "Mug"}) {
		t.Errorf("called %q", got)
	}
}

func newKeeper(t *testing.T, dir string) *bench {
	b := newBench(t)
	b.KeepIn(dir)
	return b
}

func names(t *testing.T, dir string) (out []string) {
	t.Helper()
	list, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range list {
		out = append(out, f.Name())
	}
	slices.Sort(out)
	return out
}

// What was edited of a saved document comes back as that document, changed; it
// stays kept, where it was, until it is saved or left.
func TestRecover_GoesOnWhereTheWorkStopped(t *testing.T) {
	dir := t.TempDir()
	a := newBench(t)
	a.svg(triangle)
	path := filepath.Join(t.TempDir(), "flag.abut")
	if err := a.save(path); err != nil {
		t.Fatal(err)
	}
	slot := leave(t, dir, path, "edited")
	b := newBench(t)
	b.KeepIn(dir)
	b.Recover(b.lost()[0])
	b.settle()
	if len(b.errs) > 0 || b.File() != path || b.Origin() != path || b.Job().Items[0].Layers[0].Name != "edited" || !b.Changed() || b.CanUndo() {
		t.Fatalf("told %v, file %q, %+v", b.errs, b.File(), b.Job().Items)
	}
	b.holds("come back", dir)
	b.rename("edited again")
	b.KeepNow()
	b.kept()
	b.holds("edited again", dir)
	if files(t, dir)[0] != slot {
		t.Errorf("kept in %s, before in %s", files(t, dir)[0], slot)
	}
	if d, err := readDocument(slot); err != nil || d.Of != path {
		t.Errorf("%v: kept is of %q", err, d.Of)
	}
	b.Close()
	if got := names(t, dir); len(got) != 0 {
		t.Errorf("left, and kept is %v", got)
	}
}

// Someone may be looking through the folder in that very moment: the work is
// this document's all the same, and nobody else's.
func TestRecover_OwnsTheWorkWhoeverLooksMeanwhile(t *testing.T) {
	for range 20 {
		dir := t.TempDir()
		slot := leave(t, dir, "", "one")
		b := newBench(t)
		b.KeepIn(dir)
		lost := b.lost()[0]
		b.Recover(lost)
		for range 3 {
			b.FindLost(func([]Lost) {})
		}
		b.settle()
		if b.auto.slot != slot || b.auto.lock == nil {
			t.Fatal("the work that came back is nobody's")
		}
		if l := b.lost(); len(l) != 0 {
			t.Fatalf("it is offered while it is open: %v", l)
		}
		b.Close()
		if got := names(t, dir); len(got) != 0 {
			t.Fatalf("left, and kept is %v", got)
		}
	}
}

// What another window has rescued is not opened a second time.
func TestRecover_RefusesWhatAnotherHas(t *testing.T) {
	dir := t.TempDir()
	leave(t, dir, "", "one")
	a, b := newBench(t), newBench(t)
	a.KeepIn(dir)
	b.KeepIn(dir)
	lost := b.lost()[0]
	a.Recover(lost)
	a.settle()
	b.Recover(lost)
	b.settle()
	if len(b.errs) != 1 || !workshop.Is(b.errs[0], "lost-taken") || b.Opened() || !a.Opened() {
		t.Errorf("told %v, opened: %v", b.errs, b.Opened())
	}
}

// A document that is closed while its work is being kept is not offered to
// whoever looks just then.
func TestFindLost_PassesOverWhatIsBeingWritten(t *testing.T) {
	for range 20 {
		dir := t.TempDir()
		b, other := newBench(t), newBench(t)
		b.KeepIn(dir)
		other.KeepIn(dir)
		b.svg(triangle)
		b.rename("one")
		b.KeepNow()
		b.Close()
		if l := other.lost(); len(l) != 0 {
			t.Fatalf("offered: %+v", l)
		}
		b.kept()
		if got := names(t, dir); len(got) != 0 {
			t.Fatalf("left, and kept is %v", got)
		}
	}
}

func TestRecover_LeavesTheOpenOneWhereItFails(t *testing.T) {
	dir := t.TempDir()
	leave(t, dir, "", "one")
	b := newBench(t)
	b.KeepIn(dir)
	lost := b.lost()
	b.demo("pair")
	b.Forget(lost[0])
	b.Recover(lost[0])
	b.settle()
	if len(b.errs) != 1 || b.Name() != "Little boat" || b.Changed() {
		t.Errorf("told %v, open is %q", b.errs, b.Name())
	}
}

func TestOrigin_IsTheFileThatHoldsTheWorkOrTheArt(t *testing.T) {
	b := newBench(t)
	path := b.file("flag.svg", triangle)
	b.Open(path)
	b.settle()
	if b.Origin() != path {
		t.Errorf("the art's file is %s, says %s", path, b.Origin())
	}
	own := filepath.Join(t.TempDir(), "own.abut")
	if err := b.save(own); err != nil || b.Origin() != own {
		t.Errorf("%v: saved in %s, says %s", err, own, b.Origin())
	}
}
