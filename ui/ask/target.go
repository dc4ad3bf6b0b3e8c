package ask

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"fyne.io/fyne/v2/container"

	"abut/internal/fit"
	"abut/internal/system"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/dialogs"
)

// target asks where something is written. That what is there may be replaced is said of one
// place: for another it is asked anew.
type target struct {
	entry   *controls.Entry
	replace *controls.Check // hidden until something is in the way
	wrong   *controls.Para
	// proposed is the path that is proposed. What is typed without a folder is in its folder: never in
	// the one that the program happened to be started in.
	proposed string
	dialog   *dialogs.Dialog
}

// newTarget proposes a path; replace asks whether what is there may go.
func newTarget(d *dialogs.Dialog, path, replace string) *target {
	t := &target{
		entry: controls.NewEntry(system.Here().Shown(path)), replace: controls.NewCheck(replace, nil),
		wrong: controls.NewPara("", controls.Care), proposed: path, dialog: d,
	}
	t.replace.Hide()
	t.wrong.Hide()
	t.entry.OnChanged = func(string) { t.elsewhere() }
	return t
}

// elsewhere takes back what was said of another place.
func (t *target) elsewhere() {
	if !t.wrong.Visible() {
		return
	}
	t.replace.SetChecked(false)
	t.replace.Hide()
	t.wrong.Hide()
	t.dialog.Fit()
}

// path is where it goes, empty while nothing is typed.
func (t *target) path() string {
	path := system.Here().Typed(t.entry.Text)
	if path == "" || filepath.IsAbs(path) {
		return path
	}
	return filepath.Join(filepath.Dir(t.proposed), path)
}

// chosen is path; where nothing is typed that is said, and ok is false.
func (t *target) chosen() (path string, ok bool) {
	if path = t.path(); path == "" {
		t.say(say("ui-target-none"))
		return "", false
	}
	return path, true
}

// refused says why nothing was written. inTheWay are the ids of errors for something that is
// there and may be replaced.
func (t *target) refused(err error, inTheWay ...string) {
	text, remedy := workshop.Explain(err)
	if fit.IsCancelled(err) {
		text, remedy = say("stopped"), ""
	}
	if slices.ContainsFunc(inTheWay, func(id string) bool { return workshop.Is(err, id) }) {
		t.replace.Show()
	}
	t.say(strings.TrimSpace(text + " " + remedy))
}

func (t *target) say(text string) {
	t.wrong.SetText(text)
	t.wrong.Show()
	t.dialog.Fit()
	t.dialog.Reveal(t.wrong)
}

// ask adds the question to the dialog, under a heading if there is one: the entry beside a button that
// chooses the folder, and beneath it, where it is seen, what is in the way. named is what is made of
// a path in a folder that was chosen.
func (t *target) ask(h *Host, heading string, named func(path string) string) {
	choose := dialogs.Button(say("ui-export-choose"), func() {
		path := t.path()
		if path == "" {
			path = t.proposed
		}
		h.PickFolder(filepath.Dir(path), func(dir string) {
			t.entry.SetText(system.Here().Shown(named(filepath.Join(dir, filepath.Base(path)))))
		})
	})
	row := container.NewBorder(nil, nil, nil, choose, t.entry)
	if heading != "" {
		row = container.New(&controls.Stack{Gap: 4}, controls.NewCaption(heading), row)
	}
	t.dialog.Body.Add(row)
	t.dialog.Body.Add(t.wrong)
	t.dialog.Body.Add(t.replace)
}

// askFolder is ask for a new folder: what is chosen is the one that it is made in.
func (t *target) askFolder(h *Host) { t.ask(h, say("ui-export-folder"), freshFolder) }

// freshFolder returns a folder of that name that is not there yet.
func freshFolder(dir string) string {
	for n := 1; ; n++ {
		try := dir
		if n > 1 {
			try = fmt.Sprintf("%s %d", dir, n)
		}
		if _, err := os.Lstat(try); err != nil || n > 99 {
			return try
		}
	}
}
