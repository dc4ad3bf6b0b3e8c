package ask

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"abut/internal/job"
	"abut/internal/words"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/theme"
)

// What is being written can be given up, by Cancel and by Escape wherever the
// keyboard is. The dialog stays and says what is true: that nothing was written or,
// where that came too late, that all was.
func TestExport_CanBeStoppedWhileItWrites(t *testing.T) {
	for _, escape := range []bool{false, true} {
		r := newRig(t, usual, theme.AlwaysLight)
		r.demo("rich")
		r.Session.KnockOutAll()
		r.settle()
		r.Export()
		cancel, write := r.press(say("ui-cancel")), r.press(say("ui-export-write"))
		write.Tapped(nil)
		if escape {
			r.key(fyne.KeyEscape)
		} else {
			cancel.Tapped(nil)
		}
		r.settle()
		list, err := os.ReadDir(r.Home)
		if err != nil {
			t.Fatal(err)
		}
		switch {
		case len(list) == 0 && r.said(say("stopped")):
			r.tap(say("ui-export-write"))
			r.settle()
			if list, err := os.ReadDir(r.Home); err != nil || len(list) != 1 || !r.said(say("ui-export-next")) {
				t.Errorf("escape %v: after that written %v, %v", escape, list, err)
			}
		case len(list) == 1 && r.said(say("ui-export-next")):
		default:
			t.Errorf("escape %v: written %v, and the dialog says something else", escape, list)
		}
	}
}

// box returns the box to tick of a label in the dialog on top.
func (r *rig) box(label string) *controls.Check {
	r.t.Helper()
	for _, c := range overlay[*controls.Check](r) {
		if c.Text == label {
			return c
		}
	}
	r.t.Fatalf("no box %q", label)
	return nil
}

// Formats and weeding lines are asked for once: the next time, whatever is open, they
// are as they were.
func TestExport_WritesWhatIsTickedAndRemembersIt(t *testing.T) {
	r := newRig(t, usual, theme.AlwaysLight)
	r.demo("rich")
	r.Session.KnockOutAll()
	r.settle()
	r.Export()
	if !r.box(say("ui-format-svg")).Checked || r.box(say("ui-format-dxf")).Checked || r.box(say("ui-export-weeding")).Checked {
		t.Error("at first it is not SVG alone")
	}
	r.box(say("ui-format-svg")).SetChecked(false)
	r.box(say("ui-format-dxf-layers")).SetChecked(true)
	r.box(say("ui-format-png")).SetChecked(true)
	r.box(say("ui-export-weeding")).SetChecked(true)
	overlay[*controls.Select](r)[0].SetSelectedIndex(2)
	r.settle()
	if !r.said(say("ui-export-amount", "count", words.Count(2), "size", "")[:7]) {
		t.Error("that there will be two files is not said")
	}
	r.tap(say("ui-export-write"))
	r.settle()
	var names []string
	files, err := filepath.Glob(filepath.Join(r.Home, "*", "*"))
	for _, f := range files {
		names = append(names, filepath.Base(f))
	}
	if got := strings.Join(names, " "); err != nil || got != "00-all-sheets-layers-mirrored.dxf assembly-guide-a4.pdf assembly-guide-letter.pdf job.json picture.png press-card-a4.pdf press-card-letter.pdf steps.html" {
		t.Errorf("%s, %v", got, err)
	}
	for _, f := range files {
		if b, err := os.ReadFile(f); filepath.Base(f) == "job.json" && (err != nil || !strings.Contains(string(b), `"overcut_mm": 0.5`) || !strings.Contains(string(b), `"weeding_lines": true`)) {
			t.Errorf("job.json tells of no overcut or weeding lines: %v", err)
		}
	}
	r.tap(say("ui-done"))
	r.demo("pair")
	r.Session.KnockOutAll()
	r.settle()
	r.Export()
	if r.box(say("ui-format-svg")).Checked || !r.box(say("ui-format-dxf-layers")).Checked || !r.box(say("ui-export-weeding")).Checked || overlay[*controls.Select](r)[0].SelectedIndex() != 2 {
		t.Error("what was ticked is forgotten")
	}
}

func TestExport_NothingIsWrittenThatCannotBeCutFrom(t *testing.T) {
	r := newRig(t, usual, theme.AlwaysLight)
	r.demo("pair")
	r.Session.KnockOutAll()
	r.settle()
	r.Export()
	r.box(say("ui-format-png")).SetChecked(true)
	r.box(say("ui-format-svg")).SetChecked(false)
	r.settle()
	if !r.press(say("ui-export-write")).Disabled() || !r.said(say("ui-export-no-format")) {
		t.Error("a picture alone can be written")
	}
	r.box(say("ui-format-pdf")).SetChecked(true)
	r.settle()
	if r.press(say("ui-export-write")).Disabled() || r.said(say("ui-export-no-format")) {
		t.Error("with PDF it still cannot be written")
	}
}

// What was written can be looked at from where one is told of it.
func TestExport_OpensWhatWasWritten(t *testing.T) {
	r := newRig(t, usual, theme.AlwaysLight)
	var opened []string
	r.OpenFolder = func(path string) error { opened = append(opened, filepath.Base(path)); return nil }
	r.demo("pair")
	r.Session.KnockOutAll()
	r.settle()
	r.Export()
	r.settle()
	r.tap(say("ui-export-write"))
	r.settle()
	r.tap(say("ui-export-show"))
	r.tap(say("ui-export-guide"))
	r.tap(say("ui-export-print"))
	r.tap(say("ui-export-card"))
	if len(opened) != 4 || opened[2] != "assembly-guide-a4.pdf" || opened[3] != "press-card-a4.pdf" || !strings.HasSuffix(opened[0], say("ui-export-folder-suffix")) || opened[1] != "steps.html" {
		t.Errorf("%v", opened)
	}
}

// A picture for a shop is written, too, but nobody cuts from it.
func TestExport_CountsOnlyWhatIsCut(t *testing.T) {
	r := newRig(t, usual, theme.AlwaysLight)
	r.demo("pair")
	r.Session.KnockOutAll()
	r.settle()
	r.Export()
	r.box(say("ui-format-png")).SetChecked(true)
	r.settle()
	r.tap(say("ui-export-write"))
	r.settle()
	plan, _ := r.Session.Plan()
	if !r.said(say("ui-export-done", "count", words.Count(len(plan.Separations)))) {
		t.Error("not as many cut files as there are sheets")
	}
}

// Nor from what a pen draws: those files are told apart.
func TestExport_TellsFilesForThePenApart(t *testing.T) {
	r := newRig(t, usual, theme.AlwaysLight)
	r.svg(`<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40"><rect width="60" height="40" fill="#f0e0c0"/>
<path d="M5 10h50" stroke="#203060" stroke-width="0.3"/></svg>`)
	r.Session.KnockOutAll()
	r.settle()
	r.Session.DrawWithPen(r.Session.Job().LayerIDs()[1:])
	r.settle()
	r.Export()
	r.settle()
	r.tap(say("ui-export-write"))
	r.settle()
	if want := say("ui-export-done", "count", words.Count(1)) + " " + say("ui-export-drawn", "count", words.Count(1)); !r.said(want) {
		t.Errorf("it does not say: %s", want)
	}
}

// Formats of one kind stand in one column, under each other.
func TestExport_FormatsStandByKind(t *testing.T) {
	r := newRig(t, usual, theme.AlwaysLight)
	r.demo("pair")
	r.Session.KnockOutAll()
	r.settle()
	r.Export()
	r.settle()
	at := map[string]float32{}
	for _, f := range workshop.Formats() {
		kind, _, _ := strings.Cut(string(f), "-")
		x := fyne.CurrentApp().Driver().AbsolutePositionForObject(r.box(say("ui-format-" + string(f)))).X
		if before, known := at[kind]; known && before != x {
			t.Errorf("%s stands at %g, others of its kind at %g", f, x, before)
		}
		at[kind] = x
	}
	if at["svg"] >= at["dxf"] || at["dxf"] >= at["pdf"] {
		t.Error(at)
	}
}

func TestExport_Picture(t *testing.T) {
	looks(t, "export", func(r *rig, keep func(string)) {
		r.OpenFolder = func(string) error { return nil }
		r.demo("rich")
		r.Export()
		keep("stacked")
		r.Desk.Clear()
		r.Session.KnockOutAll()
		r.settle()
		r.Export()
		r.box(say("ui-export-weeding")).SetChecked(true)
		keep("open")
		r.box(say("ui-format-svg")).SetChecked(false)
		keep("none")
		r.box(say("ui-format-svg")).SetChecked(true)
		r.tap(say("ui-export-write"))
		keep("done")
		r.Desk.Clear()
	})
}

// Every format that can be written has words on its box.
func TestExport_EveryFormatHasWords(t *testing.T) {
	for _, k := range words.Languages() {
		for _, f := range workshop.Formats() {
			if id := "ui-format-" + string(f); !words.For(k.Tag).Has(id) {
				t.Errorf("%s: no words for %s", k.Name, id)
			}
		}
	}
}

func TestExport_OfWhatIsLaidOutTellsOfCopiesAndFilesOfSheets(t *testing.T) {
	r := newRig(t, usual, theme.AlwaysLight)
	r.demo("pair")
	r.Session.KnockOutAll()
	if err := r.Session.Do("ui-step-layout", func(j job.Job) (job.Job, error) { return job.SetLayout(j, job.Layout{Copies: 40}) }); err != nil {
		t.Fatal(err)
	}
	r.settle()
	r.Export()
	r.settle()
	var said []string
	for _, p := range overlay[*controls.Para](r) {
		said = append(said, p.Text())
	}
	all := strings.Join(said, "\n")
	files := 0
	r.Session.Foretell(workshop.WriteOptions{}, 100, func(f workshop.Forecast, err error) {
		if files = f.Files; err != nil || f.WidthMM < 300 || f.HeightMM < 300 {
			t.Errorf("%v: %+v", err, f)
		}
	})
	r.settle()
	if want := say("ui-export-laid", "count", words.Count(40)); !strings.Contains(all, want) || files <= len(r.plan().Separations) || !strings.Contains(all, fmt.Sprint(files)+" files") {
		t.Errorf("%d files:\n%s", files, all)
	}
}

// Where nothing was added yet one is told what to add, as at the bottom of the window, and nothing of colours.
func TestExport_OfNothingSaysWhatToAdd(t *testing.T) {
	r := newRig(t, usual, theme.AlwaysLight)
	if err := r.Session.UseEmpty(job.Blank{Name: "Mug", WidthMM: 200, HeightMM: 90}, nil); err != nil {
		t.Fatal(err)
	}
	r.settle()
	r.Export()
	if !r.said(say("ui-verdict-empty")) || r.said(say("nothing-to-cut.remedy")) {
		t.Error("it is not said what to add, or how colours are cut")
	}
}

// The folder with a lesson's files can be looked at from where one is told of it.
func TestHandout_ShowsItsFolder(t *testing.T) {
	r := newRig(t, usual, theme.AlwaysLight)
	opened, dir := "", t.TempDir()
	r.OpenFolder = func(path string) error { opened = path; return nil }
	r.handedOut(dir)
	r.tap(say("ui-export-show"))
	if opened != dir {
		t.Errorf("opened %q", opened)
	}
}

// A folder that is gone by now, and a computer without a program that shows one, are no faults of
// the program's that anybody should report.
func TestHandout_SaysWhyItsFolderCannotBeShown(t *testing.T) {
	r := newRig(t, usual, theme.AlwaysLight)
	var told error
	r.Trouble = func(err error) { told = err }
	r.OpenFolder = func(string) error { return errors.New("no such program") }
	dir := t.TempDir()
	r.handedOut(dir)
	r.tap(say("ui-export-show"))
	if !workshop.Is(told, "show-failed") {
		t.Errorf("told %v", told)
	}
	if err := os.Remove(dir); err != nil {
		t.Fatal(err)
	}
	r.tap(say("ui-export-show"))
	if !workshop.Is(told, "show-gone") {
		t.Errorf("told %v", told)
	}
}

// What the bar says is in the way is said where files are written, too: lettering that lies within the blank, but nearer to
// its edge than it may, is pressed crooked or not at all.
func TestExport_TellsOfWhatIsTooCloseToTheEdge(t *testing.T) {
	r := newRig(t, usual, theme.AlwaysLight)
	r.demo("pair")
	r.Session.KnockOutAll()
	r.settle()
	e := r.plan().Extent
	blank := job.Blank{Name: "Tile", WidthMM: e.Width() + 12, HeightMM: e.Height() + 12, SafeMM: 8, At: e.Centre()}
	for _, safe := range []float64{8, 0.5} {
		blank.SafeMM = safe
		if err := r.Session.Do("blank", func(j job.Job) (job.Job, error) { return job.SetBlankShape(j, &blank) }); err != nil {
			t.Fatal(err)
		}
		r.settle()
		r.Export()
		r.settle()
		said := slices.ContainsFunc(overlay[*controls.Para](r), func(p *controls.Para) bool {
			return strings.HasPrefix(p.Text(), say("blank-art-unsafe", "blank", "Tile"))
		})
		if said != (safe == 8) {
			t.Errorf("%g mm from the edge: said %v", safe, said)
		}
		r.Desk.Clear()
	}
}
