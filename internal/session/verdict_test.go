package session

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"abut/internal/colour"
	"abut/internal/fit"
	"abut/internal/fit/mend"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/words"
	"abut/internal/workshop"
)

// What is too large is said before anything is mended, and what comes next is where
// that can be changed: the blank where art reaches beyond it, else the size.
func TestVerdict_WhatIsTooLargeLeadsToBlankOrSize(t *testing.T) {
	b := newBench(t)
	b.demo("pair")
	b.knockOut()
	b.Resize(2000, 0)
	b.settle()
	if v := b.State().Verdict(); v.Next != SizeStep {
		t.Errorf("two metres: %+v", v)
	}
	b.Resize(84, 0)
	b.settle()
	plan, _ := b.Plan()
	for size, want := range map[float64]Step{60: BlankStep, 200: MendStep} {
		b.Tried("blank", func(j job.Job) (job.Job, error) {
			return job.SetBlankShape(j, &job.Blank{Name: "Tile", WidthMM: size, HeightMM: size, At: plan.Extent.Centre()})
		})
		b.settle()
		if v := b.State().Verdict(); v.Next != want {
			t.Errorf("a blank of %g mm: %+v, want step %v", size, v, want)
		}
	}
}

func TestUnits_AreOfTheDocumentThatIsOpenAndOfThoseToCome(t *testing.T) {
	b := newBench(t)
	b.SetUnits(job.Inches) // nothing is open
	b.demo("pair")
	if b.Job().Settings.Units != job.Inches {
		t.Error("what is opened later has other units")
	}
	b.SetUnits(job.Inches)
	if b.CanUndo() {
		t.Error("the same units again are a step")
	}
	b.SetUnits(job.Millimetres)
	if !b.CanUndo() || b.Job().Settings.Units != job.Millimetres {
		t.Error("the units are not changed")
	}
}

// The size is known of art whose file says it, of what was saved, and of what was
// worked on before; else it is asked for once.
func TestSized_KnowsWhenTheSizeNeedNotBeAskedFor(t *testing.T) {
	const none = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 10"><path d="M0 0h9v9z"/></svg>`
	b := newBench(t)
	b.svg(none)
	if b.Sized() {
		t.Error("nothing says how large it is")
	}
	b.AcceptSize()
	if !b.Sized() {
		t.Error("accepted, and still asked for")
	}
	b.svg(none)
	if b.Sized() {
		t.Error("the size of another picture counts")
	}
	if err := b.save(b.t.TempDir() + "/art.abut"); err != nil {
		t.Fatal(err)
	}
	if !b.Sized() {
		t.Error("saved, and still asked for")
	}
	b.demo("pair")
	if !b.Sized() {
		t.Error("the file says its size")
	}
}

// stripes is a picture of stripes side by side, each of a colour of its own.
func stripes(n int) string {
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%dmm" height="20mm" viewBox="0 0 %d 20">`, 10*n, 10*n)
	for i := range n {
		fmt.Fprintf(&b, `<rect x="%d" width="10" height="20" fill="#%02x%02x40"/>`, 10*i, 20*i, 200-20*i)
	}
	return b.String() + "</svg>"
}

// Up to eight sheets nobody is asked about; more are asked about once.
func TestVerdict_AsksOnceAboutMoreSheetsThanUsual(t *testing.T) {
	b := newBench(t)
	b.svg(stripes(8))
	if v := b.State().Verdict(); v.Next != ExportStep || v.State != fit.Ready {
		t.Errorf("eight sheets: %+v", v)
	}
	b.svg(stripes(9))
	if v := b.State().Verdict(); v.Next != SheetsStep || v.State != fit.Trouble || v.ID != "verdict-sheets" || v.Values["count"] != message.Count(9) {
		t.Errorf("nine sheets: %+v", v)
	}
	b.AcceptSheets()
	b.settle()
	if v := b.State().Verdict(); v.Next != ExportStep || v.State != fit.Ready {
		t.Errorf("nine sheets that were accepted: %+v", v)
	}
}

// Whatever stands in the way, what is left out is named beside it.
func TestVerdict_NamesWhatIsLeftOut(t *testing.T) {
	b := newBench(t)
	b.svg(stripes(10))
	first := b.Job().LayerIDs()[0]
	l, _, _ := b.Job().Layer(first)
	if err := b.Do("use", func(j job.Job) (job.Job, error) { return job.SetUse(j, []job.LayerID{first}, job.LeftOut) }); err != nil {
		t.Fatal(err)
	}
	b.settle()
	whole := b.State()
	for name, c := range map[string]struct {
		weak Weak
		wide float64
		id   string
	}{
		"too much": {Weak{State: WeakTooMany}, 0, "verdict-weak-many"},
		"given up": {Weak{State: WeakStopped}, 0, "verdict-not-looked"},
		"sheets":   {Weak{State: WeakFound}, 0, "verdict-sheets"},
		"a spot":   {Weak{State: WeakFound, Spots: make([]fit.WeakSpot, 1)}, 0, "verdict-weak-left-out"},
		"no room":  {Weak{State: WeakFound}, 20, "beyond-cutter-frame"},
	} {
		st := whole
		st.Weak = c.weak
		if c.wide > 0 {
			st.Job.Settings.CutterMM = c.wide
			plan, err := fit.Compute(t.Context(), st.Job)
			if err != nil {
				t.Fatal(err)
			}
			st.Plan = plan
		}
		v := st.Verdict()
		if text := words.Chosen().Message(v.Message); v.ID != c.id || !strings.Contains(text, "Left out: "+l.Name) {
			t.Errorf("%s: %s says %q", name, v.ID, text)
		}
	}
}

// Nothing is ready before one knows that nothing is too fine.
func TestVerdict_SaysHowFarTheSearchForWeakSpotsIs(t *testing.T) {
	b := newBench(t)
	b.svg(stripes(2))
	whole := b.State()
	for name, c := range map[string]struct {
		weak  Weak
		state fit.VerdictState
		id    string
		next  Step
	}{
		"not begun":       {Weak{}, fit.Nothing, "verdict-looking", NoStep},
		"going on":        {Weak{State: WeakLooking}, fit.Nothing, "verdict-looking", NoStep},
		"given up":        {Weak{State: WeakStopped}, fit.Trouble, "verdict-not-looked", MendStep},
		"too much":        {Weak{State: WeakTooMany}, fit.Trouble, "verdict-weak-many", MendStep},
		"a spot":          {Weak{State: WeakFound, Spots: make([]fit.WeakSpot, 1)}, fit.Trouble, "verdict-weak", MendStep},
		"no mend for one": {Weak{State: WeakFound, Spots: []fit.WeakSpot{{Kept: true, Reason: mend.ReasonNowhere}}}, fit.Trouble, "verdict-stuck", SpotStep},
		"accepted":        {Weak{State: WeakFound, Spots: []fit.WeakSpot{{Kept: true}}}, fit.Ready, "verdict-ready", ExportStep},
	} {
		st := whole
		st.Weak = c.weak
		if v := st.Verdict(); v.State != c.state || v.ID != c.id || v.Next != c.next {
			t.Errorf("%s: %+v, next %d", name, v.Verdict, v.Next)
		}
	}
}

// While a change is being made nothing is looked for, and nobody is told that it was.
func TestVerdict_DoesNotSayThatItLooksWhileAChangeIsMade(t *testing.T) {
	b := newBench(t)
	b.svg(stripes(2))
	id := b.Job().LayerIDs()[0]
	d := b.Begin("ui-step-name", nil)
	d.Show(func(j job.Job) (job.Job, error) { return job.Rename(j, id, "stripe") })
	b.settle()
	if v := b.State().Verdict(); v.ID != "verdict-making" || v.Next != NoStep {
		t.Errorf("while it is made: %+v", v)
	}
	if err := d.Keep(); err != nil {
		t.Fatal(err)
	}
	b.settle()
	if v := b.State().Verdict(); v.ID != "verdict-ready" {
		t.Errorf("once it counts: %+v", v)
	}
}

func TestDone_AStepIsDoneUntilWhatItRestsOnIsGone(t *testing.T) {
	b := newBench(t)
	done := func(st State) (out []Step) {
		for _, s := range Way {
			if st.Done(s) {
				out = append(out, s)
			}
		}
		return out
	}
	if got := done(b.State()); got != nil {
		t.Errorf("nothing is open, and done are %v", got)
	}
	b.svg(stripes(2))
	b.Export(filepath.Join(t.TempDir(), "files"), workshop.WriteOptions{}, func(_ *workshop.Manifest, err error) {
		if err != nil {
			t.Error(err)
		}
	})
	b.settle()
	whole := b.State()
	if got := done(whole); !slices.Equal(got, Way) || whole.Done(SpotStep) {
		t.Fatalf("exported, and done are %v", got)
	}
	plan := func(change func(*fit.Plan)) func(*State) {
		return func(st *State) {
			p := *st.Plan
			change(&p)
			st.Plan = &p
		}
	}
	ofPlan := []Step{SeeStep, KnockStep, MendStep, SheetsStep, ExportStep}
	for name, c := range map[string]struct {
		change func(*State)
		undone []Step
	}{
		"closed":            {func(st *State) { st.Opened = false }, Way},
		"of no size":        {func(st *State) { st.Sized = false }, []Step{SizeStep}},
		"without a plan":    {func(st *State) { st.Plan = nil }, ofPlan},
		"of an older plan":  {func(st *State) { st.Exact = false }, ofPlan},
		"nothing to cut":    {plan(func(p *fit.Plan) { p.Separations = nil }), ofPlan},
		"stacked":           {plan(func(p *fit.Plan) { p.Stacked.Places = make([]fit.StackedPlace, 1) }), []Step{KnockStep}},
		"being looked at":   {func(st *State) { st.Weak.State = WeakLooking }, []Step{MendStep}},
		"with a weak spot":  {func(st *State) { st.Weak.Spots = []fit.WeakSpot{{}} }, []Step{MendStep}},
		"with a stuck spot": {func(st *State) { st.Weak.Spots = []fit.WeakSpot{{Kept: true, Reason: "no room"}} }, []Step{MendStep}},
		"with a kept spot":  {func(st *State) { st.Weak.Spots = []fit.WeakSpot{{Kept: true}} }, nil},
		"of many sheets":    {plan(func(p *fit.Plan) { p.Separations = slices.Repeat(p.Separations, 5) }), []Step{SheetsStep}},
		"not exported":      {func(st *State) { st.Exported = false }, []Step{ExportStep}},
	} {
		st := whole
		c.change(&st)
		want := slices.DeleteFunc(slices.Clone(Way), func(s Step) bool { return slices.Contains(c.undone, s) })
		if got := done(st); !slices.Equal(got, want) {
			t.Errorf("%s: done are %v, want %v", name, got, want)
		}
	}
}

// What is nearly white is proposed to be left bare, until someone has given it a
// sheet; white itself is bare without a word, and what one sees as a colour is cut.
func TestNearWhites_AreProposedUntilTheyHaveASheet(t *testing.T) {
	b := newBench(t)
	for fill, want := range map[string]int{"#f8f8f4": 1, "#ffffff": 0, "#fefefe": 0, "#e0e0e0": 0} {
		b.svg(`<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40"><rect width="30" height="40" fill="` + fill + `"/><rect x="30" width="30" height="40" fill="#d03020"/></svg>`)
		plan, _ := b.Plan()
		got := NearWhites(plan, b.Job())
		if len(got) != want {
			t.Errorf("%s: %+v", fill, got)
		}
		if want == 0 {
			continue
		}
		if at := got[0].At; at == nil || at.X > 30 || got[0].ID != "near-white" || got[0].Args["name"] == "" {
			t.Errorf("%s: %+v", fill, got[0])
		}
		if !slices.ContainsFunc(Notes(b.Job(), plan), func(w job.Warning) bool { return w.ID == "near-white" }) {
			t.Errorf("%s: no note of it", fill)
		}
		c := b.Job().Items[0].Layers[0].Colour
		if err := b.Assign(map[colour.RGB]workshop.SheetChoice{c: {Sheet: &job.Sheet{Name: "Ivory", Pressed: c}}}, job.Hues{}, false); err != nil {
			t.Fatal(err)
		}
		b.settle()
		if plan, _ := b.Plan(); len(NearWhites(plan, b.Job())) != 0 {
			t.Errorf("%s: proposed although it has a sheet", fill)
		}
	}
}
