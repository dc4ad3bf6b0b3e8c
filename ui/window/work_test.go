package window

import (
	"context"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/storage"
	"fyne.io/fyne/v2/test"

	"abut/assets"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/workshop"
	"abut/ui/ask"
	"abut/ui/board"
	"abut/ui/controls"
	"abut/ui/paint"
	"abut/ui/prefs"
	"abut/ui/theme"
)

// usual is the smallest window that is promised: the larger, the longer everything
// takes to be drawn.
var usual = fyne.NewSize(1024, 673)

func TestWindow_KnockOutTakesTheRedAwayAndUndoBringsItBack(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	if s.tool("undo").Visible() || s.tool("export").Visible() {
		t.Error("actions that do nothing are shown before any art")
	}
	s.demo("pair")
	before := s.red()
	if before < 500 || !s.tool("knock-all").Next || s.tool("export").Next {
		t.Fatalf("%d red pixels; knock out next: %v, export next: %v", before, s.tool("knock-all").Next, s.tool("export").Next)
	}
	test.Tap(s.tool("knock-all"))
	s.settle()
	if n := s.red(); n != 0 || !s.tool("mend").Next || s.tool("knock-all").Next || s.tool("export").Next {
		t.Errorf("%d red pixels after knocking out", n)
	}
	if got := s.verdict.Text(); !strings.HasPrefix(got, "Nothing stacks") {
		t.Errorf("the verdict says %q", got)
	}
	s.tool("undo").Tapped(nil)
	s.settle()
	if n := s.red(); n != before {
		t.Errorf("%d red pixels after undo, want %d", n, before)
	}
}

func TestWindow_OneLayerKnocksOutAndOrderChangesWhoDoes(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	hull := s.session.Job().Items[0].Layers[2]
	s.list.OnKnocks([]job.LayerID{hull.ID}, true)
	s.settle()
	plan, _ := s.session.Plan()
	if len(plan.Stacked.Places) != 2 {
		t.Errorf("with the hull knocked out %d places stack, want the two sails", len(plan.Stacked.Places))
	}
	s.list.OnMove([]job.LayerID{hull.ID}, s.session.Job().Items[0].Layers[0].ID) // to the bottom: now it lies beneath the sea
	s.settle()
	if got := s.session.Job().Items[0].Layers[0].ID; got != hull.ID {
		t.Errorf("at the bottom lies %d", got)
	}
	plan, _ = s.session.Plan()
	if len(plan.Stacked.Places) != 3 {
		t.Errorf("with the hull beneath %d places stack", len(plan.Stacked.Places))
	}
	if got := s.tool("undo").Hint; got != "Undo: order" {
		t.Errorf("undo says %q", got)
	}
}

func TestWindow_HidingIsForLookingOnly(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	before, _ := s.session.Plan()
	for _, l := range s.session.Job().Items[0].Layers[1:] {
		s.list.OnShown([]job.LayerID{l.ID}, false)
	}
	s.settle()
	after, _ := s.session.Plan()
	if n := s.red(); n != 0 {
		t.Errorf("%d red pixels of hidden layers", n)
	}
	if after.Stacked.AreaMM2 != before.Stacked.AreaMM2 || after.NumPieces() != before.NumPieces() {
		t.Error("hiding changes what is cut")
	}
}

func TestWindow_SizeFrameAndViews(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("spread")
	plan, _ := s.session.Plan()
	if plan.Frame == nil || !s.tool("frame").On {
		t.Fatal("colours that keep apart get no frame")
	}
	test.Tap(s.tool("frame"))
	s.settle()
	if plan, _ = s.session.Plan(); plan.Frame != nil || !s.chosenWord("ui-frame-never") {
		t.Error("the frame stays")
	}
	s.enter(s.field("ui-details-width", 0), "12 cm")
	s.settle()
	plan, _ = s.session.Plan()
	if w := plan.Extent.Width(); math.Abs(w-120) > 0.01 || s.field("ui-details-width", 0).Text != "120" {
		t.Errorf("the art is %g mm wide, the panel says %s", w, s.field("ui-details-width", 0).Text)
	}
	s.showView(board.Fitted)
	if s.board.Mode() != board.Fitted || s.views.Chosen() != 1 {
		t.Error("no fitted view")
	}
	if text := s.board.PieceText(fit.PieceID{Of: plan.Separations[0].Of}); !strings.HasPrefix(text, "Piece 1 · ") {
		t.Errorf("the first piece is %q", text)
	}
}

func TestWindow_AsksTheSizeOfAFileThatHasNone(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	file := filepath.Join(t.TempDir(), "leaf.svg")
	svg := `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20"><rect x="4" y="2" width="32" height="16" fill="#284"/></svg>`
	if err := os.WriteFile(file, []byte(svg), 0o600); err != nil {
		t.Fatal(err)
	}
	s.dropped(fyne.Position{}, []fyne.URI{storage.NewFileURI(file)})
	s.settle()
	entry, ok := s.win.Canvas().Focused().(fyne.Shortcutable)
	if !ok || !s.desk.Open() {
		t.Fatalf("no question is asked; the focus is on %T", s.win.Canvas().Focused())
	}
	_ = entry
	test.Type(s.win.Canvas().Focused(), "64")
	s.win.Canvas().Focused().TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	s.settle()
	plan, _ := s.session.Plan()
	if w := plan.Extent.Width(); math.Abs(w-64) > 0.01 {
		t.Errorf("the art is %g mm wide", w)
	}
	if s.desk.Open() {
		t.Error("the question stays")
	}
}

// buttons returns the labels and presses of the dialog on screen.
func (s *stage) press(label string) *controls.Press {
	s.t.Helper()
	p := find(s.win.Canvas().Overlays().Top(), label)
	if p == nil {
		s.t.Fatalf("no button %q", label)
	}
	return p
}

// find returns the button of a label, nil where there is none.
func find(in fyne.CanvasObject, label string) *controls.Press {
	for _, o := range test.LaidOutObjects(in) {
		if p, ok := o.(*controls.Press); ok && p.Label == label {
			return p
		}
	}
	return nil
}

func TestExport_RefusesWhatStacksAndOffersTheRemedy(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	s.look()
	s.ask.Export()
	if write := s.press(say("ui-export-write")); !write.Disabled() {
		t.Error("stacked colours can be written without a word")
	}
	s.press(say("ui-knock-all")).Tapped(nil)
	s.settle() // the dialog comes back by itself, once the plan is there
	s.press(say("ui-export-write")).Tapped(nil)
	s.settle()
	folder := filepath.Join(s.options.Home, "Little boat cut files")
	if _, err := os.Stat(filepath.Join(folder, "job.json")); err != nil {
		t.Error(err)
	}
	s.press(say("ui-done")).Tapped(nil)
	// What was decided is in no file to cut: leaving asks, and says why.
	s.Open(filepath.Join("..", "..", "assets", "demos", "nested.svg"))
	s.settle()
	if said := s.sayings(); !strings.Contains(said, say("ui-leave-exported")) {
		t.Errorf("it says %q", said)
	}
}

func TestExport_SaysWhyNothingWasWritten(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("nested")
	s.knockOut()
	s.settle()
	blocker := filepath.Join(s.options.Home, "Compass rose cut files")
	s.ask.Export()
	// A file of that name appears meanwhile.
	if err := os.WriteFile(blocker, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	s.press(say("ui-export-write")).Tapped(nil)
	s.settle()
	said := ""
	for _, o := range test.LaidOutObjects(s.win.Canvas().Overlays().Top()) {
		if p, ok := o.(*controls.Para); ok {
			said += p.Text()
		}
	}
	if !strings.Contains(said, blocker) {
		t.Errorf("the dialog says %q", said)
	}
}

func TestWindow_AsksBeforeWorkIsLost(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	s.demo("nested")
	if got := s.session.Name(); got != "Compass rose" {
		t.Fatalf("untouched art was not replaced without asking: %s", got)
	}
	s.knockOut()
	s.demo("pair")
	if got := s.session.Name(); got != "Compass rose" {
		t.Fatal("work was thrown away without asking")
	}
	s.press(say("ui-leave-go")).Tapped(nil)
	s.settle()
	if got := s.session.Name(); got != "Little boat" {
		t.Errorf("open is %s", got)
	}
}

func TestWindow_BadFileIsSaidAndTheArtStays(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	file := filepath.Join(t.TempDir(), "notes.svg")
	if err := os.WriteFile(file, []byte("dear diary"), 0o600); err != nil {
		t.Fatal(err)
	}
	s.Open(file)
	s.settle()
	if !s.desk.Open() || s.session.Name() != "Little boat" {
		t.Error("a file that is no picture passes without a word")
	}
}

// What is red on the board is what the exact plan says stacks, within the
// pixels of its edges: live drawing and plan go by one rule.
func TestBoard_LiveRedAgreesWithThePlan(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 14))
	for _, d := range assets.Demos() {
		j, err := workshop.OpenSVG(context.Background(), d.Name, strings.NewReader(string(d.SVG)))
		if err != nil {
			t.Fatal(err)
		}
		for range 6 {
			// Some layers knock out, one has moved, the order of two is changed.
			ids := j.LayerIDs()
			some := slices.DeleteFunc(slices.Clone(ids), func(job.LayerID) bool { return r.IntN(3) > 0 })
			moved := ids[r.IntN(len(ids))]
			for _, edit := range []func() (job.Job, error){
				func() (job.Job, error) { return job.SetKnocks(j, some, true) },
				func() (job.Job, error) {
					return job.MoveLayers(j, []job.LayerID{moved}, r.Float64()*20-10, r.Float64()*20-10)
				},
				func() (job.Job, error) { return job.MoveUnder(j, []job.LayerID{moved}, ids[r.IntN(len(ids))]) },
			} {
				if j, err = edit(); err != nil {
					t.Fatal(err)
				}
			}
			plan, err := fit.Compute(context.Background(), j)
			if err != nil {
				t.Fatal(err)
			}
			const scale = 10
			window := paint.BoxPx(plan.Extent.Grow(2), scale)
			scene := new(paint.Builder).Scene(j, scale, window)
			var c paint.Counter
			c.Count(scene, window)
			got := float64(c.AreaPx()) / (scale * scale)
			edge := 0.0
			for _, p := range plan.Stacked.Outline.Flatten(0.05) {
				from := p.Start
				for _, s := range p.Segments {
					edge += s.End.Sub(from).Len()
					from = s.End
				}
			}
			// Half a pixel along the edges of what stacks, and of its parts.
			if bound := edge/scale + 1; math.Abs(got-plan.Stacked.AreaMM2) > bound {
				t.Errorf("%s: %.1f mm² red, %.1f mm² in the plan (bound %.1f)", d.ID, got, plan.Stacked.AreaMM2, bound)
			}
		}
	}
}

// withoutSentence is how words says an id that it does not know.
var withoutSentence = regexp.MustCompile(`\[[a-z]`)

// Every id that the window may say has its sentence.
func TestSay_NothingInBrackets(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("rich")
	s.ask.Keys()
	s.look()
	for _, root := range []fyne.CanvasObject{s.win.Canvas().Content(), s.win.Canvas().Overlays().Top()} {
		for _, o := range test.LaidOutObjects(root) {
			text := ""
			switch o := o.(type) {
			case *controls.Para:
				text = o.Text()
			case *controls.Line:
				text = o.Text()
			case *controls.Press:
				text = o.Label + o.Hint
			}
			if withoutSentence.MatchString(text) {
				t.Errorf("on screen: %q", text)
			}
		}
	}
}

func TestWindow_SaysWhatIsInTheWayOfAPlan(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	s.do("ui-step-size", func(j job.Job) (job.Job, error) { return job.Resize(j, job.Pages(j), 9e7, 0) })
	s.settle()
	s.look()
	if got := s.verdict.Text(); got == "" || strings.Contains(got, "Knock out") || s.verdict.State() != fit.Trouble {
		t.Errorf("the verdict says %q with mark %d", got, s.verdict.State())
	}
	s.run("undo")
	s.settle()
	if got := s.verdict.Text(); !strings.Contains(got, "Knock out") {
		t.Errorf("after undo the verdict says %q", got)
	}
}

func TestPanels_StayFoldedAndAsWideAsTheyWere(t *testing.T) {
	use(theme.AlwaysLight)
	store, err := prefs.Open("")
	if err != nil {
		t.Fatal(err)
	}
	fresh := func() *Window {
		win := test.NewTempWindow(t, nil)
		w := New(win, Options{Deliver: func(func()) {}, PaintNow: true, Home: t.TempDir(), Prefs: store}, nil)
		win.Resize(usual)
		return w
	}
	w := fresh()
	w.fold(true, false)
	w.panels.OnResized(300, 280)
	w.ask.SetLook(theme.AlwaysDark)
	again := fresh()
	if l, r := again.panels.Open(); !l || r {
		t.Errorf("open again: left %v, right %v", l, r)
	}
	if again.ask.Look() != theme.AlwaysDark || ask.LookOf(store) != theme.AlwaysDark {
		t.Error("the look is forgotten")
	}
}

// Once a size that was typed counts, undoing is about the document, although the keyboard is
// in the field still.
func TestWindow_UndoInAFieldTakesItsSizeBack(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	f := s.field("ui-details-width", 0)
	before := f.Text
	s.enter(f, "9")
	s.win.Canvas().Focus(f)
	s.run("undo")
	s.settle()
	if f.Text != before {
		t.Errorf("undone, the width is %q, before %q", f.Text, before)
	}
	s.enter(f, "50")
	f.SetText("60")
	s.run("undo") // of what is being typed
	if s.settle(); f.Text != "60" {
		t.Errorf("what is being typed became a step and was taken back: %q", f.Text)
	}
}
