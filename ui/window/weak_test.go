package window

import (
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2/test"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/fit"
	"abut/internal/fit/mend"
	"abut/internal/job"
	"abut/internal/words"
	"abut/ui/board"
	"abut/ui/controls"
	"abut/ui/theme"
)

// hairline is a blue line of half a millimetre in a red field, and a green bar
// that is broad enough.
const hairline = `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">
<rect width="60" height="40" fill="#d03020"/><rect x="10" y="10" width="30" height="0.5" fill="#2040c0"/>
<rect x="10" y="20" width="30" height="4" fill="#20a040"/></svg>`

// svg opens a picture.
func (s *stage) svg(text string) {
	s.t.Helper()
	s.session.OpenSVG("art", strings.NewReader(text))
	s.settle()
	s.look() // gives the board its size
	s.settle()
}

// inPanel returns what is to be pressed in the window itself, nil when there is
// nothing with such a label.
func (s *stage) inPanel(label string) *controls.Press {
	s.look()
	for _, o := range test.LaidOutObjects(s.win.Canvas().Content()) {
		if p, ok := o.(*controls.Press); ok && p.Label == label {
			return p
		}
	}
	return nil
}

// tap presses what is labelled so.
func (s *stage) tap(label string) {
	s.t.Helper()
	p := s.inPanel(label)
	if p == nil {
		s.t.Fatalf("nothing to press is labelled %q", label)
	}
	p.Tapped(nil)
	s.settle()
}

// count counts the pixels of a colour on screen.
func (s *stage) count(c colour.RGB) int {
	img := s.win.Canvas().Capture()
	n := 0
	r := img.Bounds()
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			if cr, cg, cb, _ := img.At(x, y).RGBA(); (colour.RGB{R: uint8(cr >> 8), G: uint8(cg >> 8), B: uint8(cb >> 8)}) == c {
				n++
			}
		}
	}
	return n
}

// knockedHairline is a window with a line that is too thin, and nothing that stacks.
func knockedHairline(t *testing.T) *stage {
	t.Helper()
	s := newStage(t, usual, theme.AlwaysLight)
	s.svg(hairline)
	if s.count(board.WeakColour) > 0 || !s.tool("mend").Disabled() {
		t.Error("weak spots are marked while colours stack")
	}
	s.knockOut()
	s.settle()
	return s
}

func TestWeak_IsMarkedListedAndCounted(t *testing.T) {
	s := knockedHairline(t)
	if n := s.count(board.WeakColour); n < 100 || s.red() != 0 {
		t.Errorf("%d pixels of marks, %d red", n, s.red())
	}
	if text := s.verdict.Text(); !strings.Contains(text, "1 thing is too fine to cut. Press Mend.") {
		t.Error(text)
	}
	if s.tool("mend").Disabled() || !s.commands.Get("mend-all").Enabled() {
		t.Error("nothing to mend")
	}
	if text := s.details.SpotText(0); text != "Sliver · Blue · 0.5 × 30 mm · Piece 3" {
		t.Error(text)
	}
	if p := s.next(); p == nil || p.Label != say("ui-mend") {
		t.Errorf("at first %v is highlighted", p)
	}
	s.details.Choose(0)
	s.settle()
	if p := s.next(); p == nil || p != s.inPanel("Draw broader") {
		t.Errorf("beside a spot %v is highlighted", p)
	}
}

func TestWeak_MendsAreShownBeforeTheyAreMade(t *testing.T) {
	s := knockedHairline(t)
	s.details.Choose(0)
	s.settle()
	before := s.count(board.WeakColour)
	give := s.inPanel("Merge into Red")
	if give == nil || s.inPanel("Widen") == nil || s.inPanel("Leave bare") == nil || s.inPanel("Recolour to Green") == nil {
		t.Fatal("not all mends are offered")
	}
	give.MouseIn(nil)
	if s.board.Shown() == s.planNow() || s.count(board.WeakColour) >= before {
		t.Error("resting on a mend does not show it")
	}
	give.MouseOut()
	if s.board.Shown() != s.planNow() || s.session.CanUndo() && s.session.UndoLabel() != "ui-step-knock-all" {
		t.Error("leaving it does not go back")
	}
	give.FocusGained()
	if s.board.Shown() == s.planNow() {
		t.Error("the keyboard does not show it")
	}
	s.tap("Merge into Red")
	plan := s.planNow()
	if len(plan.Separations) != 2 || len(plan.Mends) != 1 || s.board.Shown() != plan {
		t.Errorf("%d separations, %+v", len(plan.Separations), plan.Mends)
	}
	if text := s.verdict.Text(); strings.Contains(text, "too fine") {
		t.Error(text)
	}
	if s.inPanel("Undo all mends") == nil {
		t.Error("the mend is not listed")
	}
}

// No choice about a spot is cut short, with however long a name: there is nothing to tell
// one from another by but its words.
func TestWeak_ChoicesAreReadWhole(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.svg(`<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="30mm"><rect width="60mm" height="30mm" fill="#f0e0c0"/>
<text x="6mm" y="20mm" font-family="Go Smallcaps, serif" font-size="52" fill="#203060">Mo</text>
<rect id="mast" x="44mm" y="3mm" width="0.5mm" height="24mm" fill="#7a211a"/></svg>`)
	s.knockOut()
	s.settle()
	for spot := range s.session.Weak().Spots {
		s.details.Choose(spot)
		s.settle()
		s.look()
		for _, o := range test.LaidOutObjects(s.win.Canvas().Content()) {
			if p, ok := o.(*controls.Press); ok && p.Label != "" && p.Fills && p.Framed && p.Size().Width < p.Whole() {
				t.Errorf("%q is %g wide and needs %g", p.Label, p.Size().Width, p.Whole())
			}
		}
	}
}

func TestWeak_IsMendedTakenBackAndKept(t *testing.T) {
	s := knockedHairline(t)
	test.Tap(s.tool("mend"))
	s.settle()
	if plan := s.planNow(); len(plan.Mends) == 0 || s.session.Weak().Open() != 0 || s.session.UndoLabel() != "ui-step-mend-all" {
		t.Errorf("%+v", plan.Mends)
	}
	s.tap("Undo all mends")
	if plan := s.planNow(); len(plan.Mends) != 0 || s.session.Weak().Open() != 1 {
		t.Errorf("%+v", plan.Mends)
	}
	s.details.Next()
	s.settle()
	s.tap("Keep as it is")
	if k := s.session.Weak(); k.Open() != 0 || len(k.Spots) != 1 || !s.tool("mend").Disabled() {
		t.Errorf("%+v", k)
	}
	if s.desk.Open() {
		t.Error("a dialog is open")
	}
}

func (s *stage) planNow() *fit.Plan { p, _ := s.session.Plan(); return p }

// A mend whose spot is gone is listed, and can be taken away.
func TestWeak_LapsedMendsAreListed(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.svg(hairline)
	s.knockOut()
	s.settle()
	s.do("mend", func(j job.Job) (job.Job, error) {
		return job.AddMend(j, job.Mend{Layer: 2, At: geometry.Pt(25, 10.25), Spot: job.Sliver, Do: job.Widen})
	})
	s.settle()
	s.do("narrow", func(j job.Job) (job.Job, error) { return job.SetNarrowest(j, 0.3, 0) })
	s.settle()
	if plan := s.planNow(); len(plan.Mends) != 1 || plan.Mends[0].State != mend.Lapsed {
		t.Fatalf("%+v", plan.Mends)
	}
	found := false
	for _, o := range test.LaidOutObjects(s.win.Canvas().Content()) {
		if p, ok := o.(*controls.Para); ok && strings.Contains(p.Text(), "1 mend no longer applies") && p.Visible() {
			found = true
		}
	}
	if !found {
		t.Error("the lapsed mend is not listed")
	}
	s.tap("Delete these")
	if plan := s.planNow(); len(plan.Mends) != 0 || s.session.UndoLabel() != "ui-step-forget-mends" {
		t.Errorf("%+v", plan.Mends)
	}
}

// TestPicturesWeak draws weak spots and mends, to be looked at.
func TestPicturesWeak(t *testing.T) {
	looks(t, "weak", func(s *stage, keep func(string)) {
		s.demo("rich")
		s.session.Resize(60, 0)
		s.settle()
		s.knockOut()
		s.settle()
		s.board.ShowAll()
		keep("1-art")
		s.showView(board.Fitted)
		keep("2-fitted")
		s.run("next-spot")
		keep("3-chosen")
		if give := s.inPanel("Give to White"); give != nil {
			give.FocusGained()
			keep("4-tried")
			give.Tapped(nil)
		}
		s.settle()
		s.mendAll()
		s.settle()
		s.board.ShowAll()
		keep("5-mended")
	})
}

func TestLimits_AreStepsAndShowInTheFittedView(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.svg(hairline)
	s.knockOut()
	s.settle()
	narrowest, speck, gap := s.field("ui-narrowest", 0), s.field("ui-speck", 0), s.field("ui-clearance", 0)
	if narrowest.Text != "1" || speck.Text != "2" || gap.Text != "0" || !s.said("Same picture: 100.00 %.") {
		t.Errorf("%s, %s, %s", narrowest.Text, speck.Text, gap.Text)
	}
	s.enter(narrowest, "0.45")
	if k := s.session.Weak(); len(k.Spots) != 0 || s.session.UndoLabel() != "ui-step-narrowest" || narrowest.Text != "0.45" {
		t.Errorf("%+v, %s", k, narrowest.Text)
	}
	s.run("undo")
	s.settle()
	if k := s.session.Weak(); len(k.Spots) != 1 || narrowest.Text != "1" {
		t.Errorf("%+v, %s", k, narrowest.Text)
	}
	s.mendAll()
	s.settle()
	if !s.said("Same picture: 100.00 %; mends changed 0.6") {
		t.Error("the proof says nothing of the mends")
	}
	s.enter(gap, "0.25 mm")
	s.showView(board.Fitted)
	plan := s.planNow()
	if got := s.board.Shown(); got == plan || got.Separations[1].AreaMM2 >= plan.Separations[1].AreaMM2 || gap.Text != "0.25" {
		t.Errorf("the fitted view shows no clearance; the entry says %s", gap.Text)
	}
	s.showView(board.Art)
	if s.board.Shown() != plan {
		t.Error("the art is that of the clearance")
	}
	s.enter(gap, "-3")
	if gap.Text != "0.25" || s.session.Job().Settings.ClearanceMM != 0.25 || !s.desk.Open() {
		t.Errorf("a clearance of less than nothing: %s", gap.Text)
	}
}

// A line that is too fine to cut may be drawn with a pen: nothing of it is cut then, and
// nothing beneath it changes.
func TestWeak_AFineLineIsDrawnWithAPen(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.svg(hairline)
	s.knockOut()
	s.settle()
	s.details.Choose(0)
	s.settle()
	s.tap(say("ui-mend-pen"))
	p := s.planNow()
	if l := s.session.Job().Items[0].Layers[1]; l.Use != job.Drawn || len(p.Separations) != 2 || len(s.session.Weak().Spots) != 0 {
		t.Errorf("the line is %v; %d sheets, %d spots", l.Use, len(p.Separations), len(s.session.Weak().Spots))
	}
	if red := p.Separations[0].AreaMM2; red < 60*40-30*4-0.01 {
		t.Errorf("%g mm² are left beneath it", red)
	}
}

// What Mend all leaves of lines that a pen could draw goes to it at one press.
func TestWeak_WhatStaysTooFineIsDrawnAtOnce(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.svg(`<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40"><rect width="60" height="40" fill="#f0e0c0"/>
<path d="M5 10h50M5 10.9h50M5 11.8h50M5 12.7h50M5 13.6h50" stroke="#203060" stroke-width="0.3"/></svg>`)
	s.knockOut()
	s.settle()
	pens := say("ui-mend-pens", "count", words.Count(1))
	if s.inPanel(pens) != nil {
		t.Error("the pen is offered before anything was mended")
	}
	test.Tap(s.tool("mend"))
	s.settle()
	if s.session.Weak().Stuck() == 0 {
		t.Fatal("all of it was mended")
	}
	s.tap(pens)
	if p, k := s.planNow(), s.session.Weak(); len(p.Drawings) != 1 || len(k.Spots) != 0 || s.inPanel(pens) != nil || warnedOf(p, "mends-lapsed") {
		t.Errorf("%d drawings, %+v", len(p.Drawings), k)
	}
	if v := s.session.State().Verdict(); v.State != fit.Ready {
		t.Errorf("%+v", v)
	}
}

func warnedOf(p *fit.Plan, id string) bool {
	return slices.ContainsFunc(p.Warnings, func(w job.Warning) bool { return w.ID == id })
}

// While it is worked out what an edit leads to, the list stays where it is, but
// nothing is marked and nothing can be chosen.
func TestWeak_ListStaysDuringAnEdit(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.svg(hairline)
	s.knockOut()
	s.settle()
	listed := func() bool { return s.said("Sliver · Blue") }
	s.do("ui-step-move", func(j job.Job) (job.Job, error) { return job.MoveLayers(j, []job.LayerID{3}, 1, 0) })
	if !listed() || !s.said(say("ui-weak-looking")) || s.count(board.WeakColour) != 0 {
		t.Errorf("listed %v, %d pixels of marks", listed(), s.count(board.WeakColour))
	}
	s.details.Choose(0)
	if s.inPanel(say("ui-mend-keep")) != nil {
		t.Error("what may be gone is looked at")
	}
	s.settle()
	if !listed() || s.said(say("ui-weak-looking")) || s.count(board.WeakColour) == 0 {
		t.Error("it is not found again")
	}
	s.session.Close()
	s.demo("pair")
	if listed() {
		t.Error("what was weak in another document is listed")
	}
}

// Before files are written one is told what is too fine to cut, as the bar says it, and not once that was kept on purpose.
func TestExport_SaysWhatIsTooFine(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.svg(hairline)
	s.knockOut()
	s.settle()
	want := words.Chosen().Message(s.session.State().Verdict().Message)
	told := func() bool {
		s.ask.Export()
		defer s.desk.Clear()
		return slices.ContainsFunc(overlay[*controls.Para](s), func(p *controls.Para) bool { return strings.HasPrefix(p.Text(), want) })
	}
	if !told() {
		t.Errorf("a line of half a millimetre is written without a word: %s", want)
	}
	s.session.Keep(s.session.Weak().Spots[0])
	s.settle()
	if told() {
		t.Error("it was kept on purpose")
	}
}

// While colours stack nobody has looked for what is too fine: mending says so, and not that there is nothing.
func TestMend_SaysWhyItWaits(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.svg(hairline)
	if got := s.commands.Hint("mend"); got != say("ui-needs-apart") {
		t.Errorf("while colours stack: %q", got)
	}
	s.knockOut()
	s.settle()
	if got := s.commands.Hint("mend"); got != say("ui-mend-hint") {
		t.Errorf("with a line to mend: %q", got)
	}
	s.session.Keep(s.session.Weak().Spots[0])
	s.settle()
	if got := s.commands.Hint("mend-all"); got != say("ui-needs-spots") {
		t.Errorf("with nothing to mend: %q", got)
	}
}

// Work that nobody waits for does not keep the first page away once the document is closed.
func TestWeak_ClosedWhileChoicesComeTheFirstPageIsThere(t *testing.T) {
	s := knockedHairline(t)
	s.details.Choose(0)
	if !s.session.Busy() {
		t.Fatal("nothing goes on")
	}
	s.session.Close()
	s.settle()
	if s.start == nil || !s.start.Object.Visible() {
		t.Error("the window is empty")
	}
}
