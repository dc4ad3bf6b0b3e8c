package sheets

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"abut/internal/job"
	"abut/internal/words"
	"abut/ui/controls"
)

// badge is a design that a list fills in: a word, and a colour by the name of its layer.
const badge = `<svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="50mm" viewBox="0 0 90 50"><rect id="{colour}" width="90" height="50" fill="#f2c14e"/>
<text x="45" y="32" text-anchor="middle" font-weight="bold" font-size="18" font-family="Go" fill="#203060">{name}</text></svg>`

// list writes a list into a file.
func (r *rig) list(text string) string {
	r.t.Helper()
	path := filepath.Join(r.t.TempDir(), "keepers.csv")
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		r.t.Fatal(err)
	}
	return path
}

// Each row says what is in the way of it; one that cannot be made is left out and cannot be ticked, and all others are used.
func TestList_TellsOfEveryRow(t *testing.T) {
	r := newRig(t)
	r.svg(badge)
	r.List(r.list("name,colour\nAda,#d03020\nEbbe,no colour\nMaximiliane-Josephine,#2040c0\n"))
	r.settle()
	if !r.tells("ui-list-sum", "count", words.Count(2), "all", "3") || !r.tells("ui-list-wrong", "count", words.Count(1)) {
		t.Errorf("it says\n%s", r.said())
	}
	if !strings.Contains(r.said(), "3 · Maximiliane-Josephine") || !strings.Contains(r.said(), "colour: #2040c0") || !strings.Contains(r.said(), "Too long: letters at ") {
		t.Errorf("of the long name it says\n%s", r.said())
	}
	var boxes []*controls.Check
	for _, c := range shown[*controls.Check](r) {
		if c.Text == "" {
			boxes = append(boxes, c)
		}
	}
	if len(boxes) != 3 || !boxes[0].Checked || boxes[1].Checked || !boxes[1].Disabled() || !boxes[2].Checked {
		t.Fatalf("%d boxes", len(boxes))
	}
	boxes[2].SetChecked(false)
	if !r.tells("ui-list-sum", "count", words.Count(1), "all", "3") {
		t.Error("what is left out is counted")
	}
	boxes[0].SetChecked(false)
	if !r.press("ui-list-use").Disabled() || !r.tells("edit-bad-list.remedy") {
		t.Error("no copy at all can be used")
	}
	boxes[0].SetChecked(true)
	r.tap("ui-list-use")
	l := r.Session.Job().Settings.List
	if l == nil || l.Count() != 1 || l.Rows[0].Out || !l.Rows[1].Out || !l.Rows[2].Out || l.File != "keepers.csv" {
		t.Errorf("the job has %+v", l)
	}
	if !r.tells("ui-layout-names", "count", words.Count(1), "file", "keepers.csv") {
		t.Errorf("laying out says\n%s", r.said())
	}
}

// The same list once more is no step.
func TestList_UnchangedIsNoStep(t *testing.T) {
	r := newRig(t)
	r.svg(badge)
	r.List(r.list("name,colour\nAda,#d03020\n"))
	r.settle()
	r.tap("ui-list-use")
	r.tap("ui-cancel")
	before := r.steps()
	r.List("")
	r.settle()
	r.tap("ui-list-use")
	if r.steps() != before {
		t.Errorf("%d steps more", r.steps()-before)
	}
	r.tap("ui-cancel")
	r.List("")
	r.settle()
	r.tap("ui-list-none")
	if r.Session.Job().Settings.List != nil || r.steps() != before+1 {
		t.Error("the list is there still")
	}
}

// A file that is none, and one that is not there, are told; nothing is asked then.
func TestList_OfAFileThatIsNone(t *testing.T) {
	r := newRig(t)
	r.svg(badge)
	r.List(filepath.Join(t.TempDir(), "none.csv"))
	r.settle()
	r.List(r.list(""))
	r.settle()
	if len(r.trouble) != 2 || r.Desk.Open() || r.Session.Job().Settings.List != nil {
		t.Errorf("trouble: %v", r.trouble)
	}
}

// Rows that were left out stay so when the list is changed by hand, as long as they say the same; a list whose cells are the
// file's is the file's still.
func TestNames_KeepsWhatWasLeftOut(t *testing.T) {
	r := newRig(t)
	r.svg(badge)
	r.List(r.list("name,colour\nAda,#d03020\nEbbe,#203020\n"))
	r.settle()
	shown[*controls.Check](r)[1].SetChecked(false)
	r.tap("ui-list-change")
	entry := shown[*controls.Entry](r)[0]
	same := entry.Text
	entry.SetText(same + "\nMoira;#406020")
	r.settle()
	if !r.tells("ui-names-reads", "count", words.Count(3)) || !strings.Contains(r.said(), "{name}: Ada · Ebbe · Moira") {
		t.Errorf("it reads\n%s", r.said())
	}
	r.tap("ui-names-next")
	if !r.tells("ui-list-sum", "count", words.Count(2), "all", "3") || strings.Contains(r.said(), "keepers.csv") {
		t.Errorf("it says\n%s", r.said())
	}
	r.tap("ui-list-change")
	shown[*controls.Entry](r)[0].SetText(same)
	r.tap("ui-names-next")
	if !r.tells("ui-list-sum", "count", words.Count(1), "all", "2") {
		t.Errorf("back to two it says\n%s", r.said())
	}
}

// What is typed is there again after Cancel; what the design asks for besides is said.
func TestNames_AreThereAgainAndSayWhatIsMissing(t *testing.T) {
	r := newRig(t)
	r.svg(badge)
	r.List("")
	r.settle()
	shown[*controls.Entry](r)[0].SetText("Ada\nEbbe")
	if !r.tells("ui-names-missing", "mark", "{colour}") || r.tells("ui-names-unmarked", "mark", "{name}") {
		t.Errorf("it says\n%s", r.said())
	}
	r.Desk.Clear()
	r.List("")
	r.settle()
	r.tap("ui-cancel")
	r.List("")
	if got := shown[*controls.Entry](r)[0].Text; got != "" && got != "Ada\nEbbe" {
		t.Errorf("there is %q", got)
	}
	shown[*controls.Entry](r)[0].SetText("Ada\nEbbe")
	r.tap("ui-cancel")
	r.List("")
	if got := shown[*controls.Entry](r)[0].Text; got != "Ada\nEbbe" {
		t.Errorf("after Cancel there is %q", got)
	}
}

func TestSameCells(t *testing.T) {
	l := func(columns string, rows ...string) *job.List {
		out := &job.List{Columns: strings.Fields(columns)}
		for i, r := range rows {
			out.Rows = append(out.Rows, job.ListRow{Line: i + 2, Cells: strings.Fields(r)})
		}
		return out
	}
	a := l("name colour", "Ada red", "Bo blue")
	for _, c := range []struct {
		b           *job.List
		cells, list bool
	}{
		{l("name colour", "Ada red", "Bo blue"), true, true}, {l("name tint", "Ada red", "Bo blue"), false, false},
		{l("name colour", "Ada red"), false, false}, {l("name colour", "Bo blue", "Ada red"), false, false},
	} {
		if sameCells(a, c.b) != c.cells || sameList(a, c.b) != c.list {
			t.Errorf("%+v: %v, %v", c.b, sameCells(a, c.b), sameList(a, c.b))
		}
	}
	b := l("name colour", "Ada red", "Bo blue")
	b.Rows[1].Out = true
	if !sameCells(a, b) || sameList(a, b) {
		t.Error("what is left out is a difference of lists, and none of cells")
	}
}
