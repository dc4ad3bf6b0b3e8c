package window

import (
	"image"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/storage"

	"abut/internal/job"
	"abut/internal/session"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/theme"
)

// listFile is a file with this in it.
func (s *stage) listFile(text string) string {
	file := filepath.Join(s.options.Home, "keepers.csv")
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		panic(err)
	}
	return file
}

// marked is a design with a text that a list fills in.
func marked(t *testing.T, size fyne.Size) *stage {
	s := newStage(t, size, theme.AlwaysLight)
	s.svg(shades)
	s.run("ui-add-text")
	s.settle()
	id := s.session.Selection()[0]
	s.session.Later("ui-task-text", "ui-step-text", session.Lettering(id, func(x *job.Text) { x.Text = "{name}" }, nil), nil)
	s.settle()
	s.knockOut()
	s.settle()
	return s
}

func TestDialogList_ShowsEveryRowAndGoesOnToLayingOut(t *testing.T) {
	s := marked(t, fyne.NewSize(1024, 673))
	file := s.listFile("name,number\nAda,7\nBartholomew Featherstonehaugh,8\n,9\nEbbe,10\n")
	s.dropped(fyne.NewPos(400, 300), []fyne.URI{storage.NewFileURI(file)})
	s.settle()
	said := s.sayings()
	for _, want := range []string{"1 · Ada", "number: 7", "2 · Bartholomew Featherstonehaugh", "Too long: letters at ", "4 · Ebbe", "would be empty", "1 row cannot be cut and is left out", "keepers.csv: 3 copies of 4 rows"} {
		if !strings.Contains(said, want) {
			t.Errorf("%q is not said in:\n%s", want, said)
		}
	}
	takes := overlay[*controls.Check](s)
	if len(takes) != 4 || takes[2].Checked || !takes[2].Disabled() || !takes[0].Checked {
		t.Fatalf("%d boxes", len(takes))
	}
	takes[3].SetChecked(false)
	if !strings.Contains(s.sayings(), "2 copies of 4 rows") {
		t.Error(s.sayings())
	}
	s.press(say("ui-list-use")).Tapped(nil)
	s.settle()
	l := s.session.Job().Settings.List
	if l == nil || l.Count() != 2 || !l.Rows[2].Out || !l.Rows[3].Out || !s.commands.Get("list").IsOn() {
		t.Fatalf("%+v", l)
	}
	if said := s.sayings(); !strings.Contains(said, "2 copies from keepers.csv") {
		t.Error(said)
	}
	s.press(say("ui-layout-use")).Tapped(nil)
	s.settle()
	if facts := s.verdict.Facts(); !strings.Contains(facts, "2 copies") {
		t.Errorf("the bar says %q", facts)
	}
	// What is exported is what the command line writes of the saved job and the list.
	dir := filepath.Join(t.TempDir(), "fair")
	s.session.Export(dir, workshop.WriteOptions{}, func(m *workshop.Manifest, err error) {
		if err != nil || m.Layout.Copies != 2 || len(m.Rows) != 2 || m.Rows[1].Row != 2 {
			t.Errorf("%+v, %v", m, err)
		}
	})
	s.settle()
	j := s.session.Job()
	list := workshop.ListOf(j.Settings.List)
	j.Settings.List, j.Settings.Laid = nil, job.Laid{}
	flags := filepath.Join(t.TempDir(), "fair")
	if _, err := workshop.CutList(t.Context(), workshop.Source{Saved: &j}, list, false, workshop.Options{Folder: flags}); err != nil {
		t.Fatal(err)
	}
	got, want := filesOf(t, dir), filesOf(t, flags)
	if len(got) < 10 || !reflect.DeepEqual(got, want) {
		t.Errorf("%d files, %d by the command line, or others", len(got), len(want))
	}
	s.session.Undo()
	s.session.Undo()
	s.settle()
	if set := s.session.Job().Settings; set.List != nil || set.Layout.On() {
		t.Errorf("taken back it is %+v", set)
	}
}

// That nothing in the design is marked is the design's fault: what to do is said once, and as it is done here.
func TestDialogList_WhereNothingIsMarkedSaysWhatToDoOnce(t *testing.T) {
	s := newStage(t, fyne.NewSize(1024, 673), theme.AlwaysLight)
	s.svg(shades)
	s.knockOut()
	s.settle()
	s.dropped(fyne.NewPos(400, 300), []fyne.URI{storage.NewFileURI(s.listFile("name\nAda\nEbbe\n"))})
	s.settle()
	said := s.sayings()
	if n := strings.Count(said, "{name}"); n != 2 || strings.Contains(said, ".abut") || !strings.Contains(said, say("ui-list-mark", "mark", "{name}")) {
		t.Errorf("{name} is said %d times in:\n%s", n, said)
	}
}

// Marked text of a picture is filled in as it is; no text has to be put in its place.
func TestDialogList_FillsInTextOfAPicture(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.svg(`<svg xmlns="http://www.w3.org/2000/svg" width="80mm" height="40mm" viewBox="0 0 80 40"><rect width="80" height="40" fill="#f2c14e"/>
<text x="40" y="20" text-anchor="middle" font-weight="bold" font-size="14" fill="#2040c0">{name}</text><text x="40" y="36" text-anchor="middle" font-size="12" fill="#2040c0">am Meer</text></svg>`)
	s.knockOut()
	s.settle()
	s.dropped(fyne.NewPos(400, 300), []fyne.URI{storage.NewFileURI(s.listFile("name\nAda\nEbbe\n"))})
	s.settle()
	if said := s.sayings(); !strings.Contains(said, "2 copies of 2 rows") || strings.Contains(said, "outlines") {
		t.Errorf("it says:\n%s", said)
	}
}

// That marked text has become outlines, since it is drawn as none can be set, is the design's fault, too.
func TestDialogList_WhereTextCameAsOutlinesSaysWhatToDoOnce(t *testing.T) {
	s := newStage(t, fyne.NewSize(1024, 673), theme.AlwaysLight)
	s.svg(`<svg xmlns="http://www.w3.org/2000/svg" width="80mm" height="40mm" viewBox="0 0 80 40"><text x="5" y="30" font-size="20" rotate="10" fill="#2040c0">{name}</text></svg>`)
	s.dropped(fyne.NewPos(400, 300), []fyne.URI{storage.NewFileURI(s.listFile("name\nAda\nEbbe\n"))})
	s.settle()
	remedy := say("list-outlines.remedy")
	if said := s.sayings(); strings.Count(said, remedy) != 1 || strings.Count(said, "has become outlines") != 3 {
		t.Errorf("what to do is said %d times in:\n%s", strings.Count(said, remedy), said)
	}
}

// Names are typed, changed and typed again, and go where those of a file go.
func TestDialogNames_AreTypedAndShowHowTheyAreRead(t *testing.T) {
	s := marked(t, fyne.NewSize(1024, 673))
	s.run("list")
	s.settle()
	next := s.press(say("ui-names-next"))
	entry := overlay[*controls.Entry](s)[0]
	if !next.Disabled() {
		t.Error("it goes on with nothing typed")
	}
	paste := func(text string) { entry.Entry.SetText(text) } // as one pastes it
	paste("Ada\nBo, the 2nd\n")
	headed := overlay[*controls.Check](s)[0]
	if said := s.sayings(); !strings.Contains(said, "{name}: Ada · Bo, the 2nd") || !strings.Contains(said, "2 rows") || headed.Checked || next.Disabled() {
		t.Errorf("names alone, headings %v: %s", headed.Checked, said)
	}
	paste("name\tclass\nAda\t3b\nBo\t4a\nCy\t4a\n")
	if said := s.sayings(); !strings.Contains(said, "{name}: Ada · Bo · Cy") || !strings.Contains(said, "class: 3b · 4a · 4a (not in the design)") || !headed.Checked {
		t.Errorf("cells, headings %v: %s", headed.Checked, said)
	}
	paste("Keeper\nAda\nBo\n")
	headed.SetChecked(true) // it cannot be known
	if said := s.sayings(); !strings.Contains(said, "Keeper: Ada · Bo (not in the design)") || !strings.Contains(said, "asks for {name}") {
		t.Error(said)
	}
	headed.SetChecked(false)
	if said := s.sayings(); !strings.Contains(said, "{name}: Keeper · Ada · Bo") {
		t.Error(said)
	}
	paste("Ada\nMoira\n")
	next.Tapped(nil)
	s.settle()
	overlay[*controls.Check](s)[1].SetChecked(false)
	if said := s.sayings(); !strings.Contains(said, "2 · Moira") || !strings.Contains(said, "1 copy of 2 rows") {
		t.Error(said)
	}
	s.press(say("ui-list-change")).Tapped(nil)
	entry = overlay[*controls.Entry](s)[0]
	if entry.Text != "Ada\nMoira\n" {
		t.Errorf("to change there is %q", entry.Text)
	}
	paste("Ada\nMoira\nEbbe\n")
	s.press(say("ui-names-next")).Tapped(nil)
	s.settle()
	if said := s.sayings(); !strings.Contains(said, "2 copies of 3 rows") {
		t.Error(said)
	}
	s.press(say("ui-list-use")).Tapped(nil)
	s.settle()
	if l := s.session.Job().Settings.List; l == nil || l.Count() != 2 || !l.Rows[1].Out || l.File != "" {
		t.Fatalf("%+v", l)
	}
	if said := s.sayings(); !strings.Contains(said, "2 copies from your list") {
		t.Error(said)
	}
}

// A file of names alone has no heading: that is asked, and all of them are there.
func TestDialogNames_TakeAFileWithoutHeadings(t *testing.T) {
	s := marked(t, fyne.NewSize(1024, 673))
	s.sheets.List(s.listFile("Ada\nBo\nCy\n"))
	s.settle()
	headed := overlay[*controls.Check](s)[0]
	if said := s.sayings(); !headed.Checked || !strings.Contains(said, "asks for {name}") {
		t.Fatal(said)
	}
	headed.SetChecked(false)
	if said := s.sayings(); !strings.Contains(said, "{name}: Ada · Bo · Cy") || !strings.Contains(said, "3 rows") {
		t.Error(said)
	}
	s.press(say("ui-names-next")).Tapped(nil)
	s.settle()
	if said := s.sayings(); !strings.Contains(said, "3 copies of 3 rows") {
		t.Error(said)
	}
}

// What was typed is there again once the design says where it goes.
func TestDialogNames_AreKeptWhereTheDesignHasToBeChangedFirst(t *testing.T) {
	s := newStage(t, fyne.NewSize(1024, 673), theme.AlwaysLight)
	s.svg(shades)
	s.knockOut()
	s.settle()
	s.run("list")
	s.settle()
	entry := overlay[*controls.Entry](s)[0]
	entry.Entry.SetText("Ada\nBo\n")
	if said := s.sayings(); !strings.Contains(said, "write {name} into a text") || !s.press(say("ui-names-next")).Disabled() {
		t.Error(said)
	}
	s.press(say("ui-cancel")).Tapped(nil)
	s.settle()
	if s.desk.Open() {
		t.Fatalf("it asks: %s", s.sayings())
	}
	s.run("list")
	s.settle()
	if entry = overlay[*controls.Entry](s)[0]; entry.Text != "Ada\nBo\n" {
		t.Errorf("there is %q", entry.Text)
	}
}

func filesOf(t *testing.T, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		b, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		out[e.Name()] = string(b)
	}
	return out
}

func TestDialogList_SaysWhatToMark(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.svg(shades)
	s.knockOut()
	s.settle()
	s.sheets.List(s.listFile("name\nAda\n"))
	s.settle()
	if said := s.sayings(); !strings.Contains(said, "write {name} into a text") || !s.press(say("ui-list-use")).Disabled() {
		t.Error(said)
	}
}

// view is the sheet in the dialog, with keys and a pointer on it.
type view interface {
	fyne.CanvasObject
	fyne.Focusable
	fyne.Draggable
	fyne.Shortcutable
	desktop.Mouseable
	SetPicture(image.Image)
}

func (s *stage) view() view { return overlay[view](s)[0] }

// drag drags on the sheet, in shares of its side from its corner on.
func (s *stage) drag(from, to [2]float32) {
	s.look() // gives it its size
	v := s.view()
	side := min(v.Size().Width, v.Size().Height) // the sheets here are square
	at := func(p [2]float32) fyne.Position {
		return fyne.NewPos((v.Size().Width-side)/2+p[0]*side, (v.Size().Height-side)/2+p[1]*side)
	}
	v.MouseDown(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: at(from)}, Button: desktop.MouseButtonPrimary})
	v.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: at(to)}})
	v.DragEnd()
	v.MouseUp(&desktop.MouseEvent{})
	s.settle()
}

func TestDialogLayOut_IsChangedByHandAndKept(t *testing.T) {
	s := newStage(t, fyne.NewSize(1024, 673), theme.AlwaysLight)
	s.svg(shades)
	s.knockOut()
	s.settle()
	s.run("layout")
	s.settle()
	overlay[*controls.Entry](s)[0].SetText("4")
	s.settle()
	pinned := func() (n int) {
		for _, x := range s.session.Job().Settings.Laid.Things {
			if x.Pinned {
				n++
			}
		}
		return n
	}
	// The first copy lies in the corner; there is room in the other.
	s.drag([2]float32{0.05, 0.05}, [2]float32{0.6, 0.6})
	if said := s.sayings(); !strings.Contains(said, "· pinned") {
		t.Fatalf("nothing is pinned: %s", said)
	}
	s.drag([2]float32{0.6, 0.6}, [2]float32{1.2, 0.6})
	if said := s.sayings(); !strings.Contains(said, say("ui-layout-off-sheet")) {
		t.Errorf("it may leave the sheet: %s", said)
	}
	s.press(say("ui-layout-free")).Tapped(nil)
	s.drag([2]float32{0.02, 0.02}, [2]float32{0.1, 0.5})
	s.view().TypedRune('f') // gives up that another is drawn, or begins it
	s.view().TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	s.press(say("ui-layout-again")).Tapped(nil)
	s.settle()
	s.view().TypedShortcut(&fyne.ShortcutUndo{})
	s.settle()
	s.view().TypedShortcut(&fyne.ShortcutRedo{})
	s.settle()
	s.press(say("ui-layout-use")).Tapped(nil)
	s.settle()
	laid := s.session.Job().Settings.Laid
	if pinned() != 1 || len(laid.Free) != 1 || s.session.UndoLabel() != "ui-step-layout" {
		t.Fatalf("%d pinned, %d free, %s", pinned(), len(laid.Free), s.session.UndoLabel())
	}
	free := laid.Free[0]
	on := laid.Sheets[free.Sheet]
	for _, x := range laid.Things {
		if laid.Sheets[x.Sheet] == on && x.Min.X < free.Max.X && x.Max.X > free.Min.X && x.Min.Y < free.Max.Y && x.Max.Y > free.Min.Y {
			t.Errorf("%+v lies on what is kept free, %+v", x, free)
		}
	}
	// Export writes that very layout.
	s.session.Export(filepath.Join(t.TempDir(), "out"), workshop.WriteOptions{AllowBeyond: true}, func(m *workshop.Manifest, err error) {
		if err != nil {
			t.Fatal(err)
		}
		n := 0
		for _, sheet := range m.Layout.Sheets {
			for _, p := range sheet.Placed {
				if x := laid.Things[n]; x.Min.X != p.XMM || x.Min.Y != p.YMM || x.Copy != p.Copy {
					t.Errorf("%+v is written as %+v", x, p)
				}
				n++
			}
		}
		if n != len(laid.Things) {
			t.Errorf("%d of %d", n, len(laid.Things))
		}
	})
	s.settle()
	s.session.Undo()
	s.settle()
	if got := s.session.Job().Settings.Laid; len(got.Things) > 0 {
		t.Errorf("taken back it is %+v", got)
	}
}

func TestDialogLayOut_GoesByKeys(t *testing.T) {
	s := newStage(t, fyne.NewSize(1024, 673), theme.AlwaysLight)
	s.svg(shades)
	s.knockOut()
	s.settle()
	s.run("layout")
	s.settle()
	v := s.view()
	v.TypedKey(&fyne.KeyEvent{Name: fyne.KeySpace})
	if said := s.sayings(); !strings.Contains(said, "Copy 1") {
		t.Fatal(said)
	}
	for _, k := range []fyne.KeyName{fyne.KeyRight, fyne.KeyDown} {
		v.TypedKey(&fyne.KeyEvent{Name: k})
		s.settle()
	}
	v.TypedRune('r')
	s.settle()
	v.TypedRune('p')
	s.settle()
	if said := s.sayings(); strings.Contains(said, "pinned") {
		t.Errorf("unpinned it is pinned: %s", said)
	}
	v.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	s.settle()
	laid := s.session.Job().Settings.Laid
	if len(laid.Things) == 0 || s.desk.Open() {
		t.Fatalf("%+v", laid)
	}
	x := laid.Things[0]
	if x.Turn == 0 || x.Min.X == 5 {
		t.Errorf("%+v did not move and turn", x)
	}
}
