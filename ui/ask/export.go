package ask

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"abut/internal/fit"
	"abut/internal/whole"
	"abut/internal/words"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/dialogs"
)

// Export asks where the files go and writes them.
func (h *Host) Export() {
	plan, exact := h.Session.Plan()
	switch {
	case !exact: // the verdict says why
	case len(plan.Separations) == 0:
		h.Desk.Message(say("ui-export-title"), "about", controls.Quiet,
			h.words().Message(plan.Verdict.Message), say("nothing-to-cut.remedy"), say("ui-ok"))
	default:
		newExport(h, plan)
	}
}

// exportDialog is the dialog with what it holds.
type exportDialog struct {
	*dialogs.Dialog
	h       *Host
	plan    *fit.Plan
	folder  *controls.Entry
	replace *controls.Check
	allow   *controls.Check
	// oversize: write although it is larger than there is room for.
	oversize *controls.Check
	wrong    *controls.Para
	write    *controls.Press
	// stop gives up what is being written, nil while nothing is.
	stop func()
}

func newExport(h *Host, plan *fit.Plan) {
	e := &exportDialog{Dialog: h.Desk.New(560, say("ui-export-title")), h: h, plan: plan}
	e.folder = controls.NewEntry(freshFolder(h.Session.ExportFolder(h.Home)))
	e.replace = controls.NewCheck(say("ui-export-replace"), nil)
	e.replace.Hide()
	e.wrong = controls.NewPara("", controls.Care)
	e.OnCancel = e.cancel
	cancel := dialogs.Button(say("ui-cancel"), e.Cancel)
	e.write = dialogs.Button(say("ui-export-write"), e.start)
	choose := dialogs.Button(say("ui-export-choose"), e.choose)

	page := plan.Page
	e.Body.Add(container.New(&controls.Stack{Gap: 4},
		controls.NewCaption(say("ui-export-folder")),
		container.NewBorder(nil, nil, nil, choose, e.folder)))
	e.Body.Add(container.New(&controls.Stack{Gap: 4},
		controls.NewCaption(say("ui-export-what")),
		controls.NewPara(whatIsWritten(plan), controls.Text)))
	e.Body.Add(dialogs.Sign("sheet", controls.Quiet, say("ui-export-size", "size", h.words().Size(page.Width(), page.Height()))))
	e.Body.Add(dialogs.Sign("light-dark", controls.Accent, say("ui-export-mirrored")))
	if len(plan.Beyond) > 0 {
		_, remedy := h.words().Warning(plan.Beyond[0].Warning)
		e.Body.Add(dialogs.Sign("warning", controls.Care, workshop.BeyondText(h.Session.Job(), plan)+" "+remedy))
		e.oversize = controls.NewCheck(say("ui-export-oversize"), func(bool) { e.permit() })
	}
	if plan.Stacked.AreaMM2 > 0 {
		e.Body.Add(dialogs.Sign("warning", controls.Care, say("ui-export-stacked",
			"count", words.Count(len(plan.Stacked.Places)), "area", h.words().Area(plan.Stacked.AreaMM2), "where", workshop.Where(h.Session.Job(), plan))))
		e.allow = controls.NewCheck(say("ui-export-allow"), func(bool) { e.permit() })
		e.Body.Add(e.allow)
		knock := dialogs.Button(say("ui-knock-all"), func() {
			e.Hide()
			h.Session.KnockOutAll()
			h.Commands.Run("export")
		})
		e.SetButtons(cancel, e.write, knock)
	} else {
		e.SetButtons(cancel, e.write)
	}
	if e.oversize != nil {
		e.Body.Add(e.oversize)
	}
	e.permit()
	e.Body.Add(e.replace)
	e.Body.Add(e.wrong)
	e.Show(nil)
}

// permit lets the files be written once all is chosen that has to be.
func (e *exportDialog) permit() {
	on := func(c *controls.Check) bool { return c == nil || c.Checked }
	e.write.SetEnabled(on(e.allow) && on(e.oversize))
}

// whatIsWritten names the files in a sentence.
func whatIsWritten(p *fit.Plan) string {
	var names []string
	for i := range p.Separations {
		names = append(names, words.Chosen().Put(p.Separations[i].Called()))
	}
	if len(names) > 6 {
		names = append(names[:5], say("ui-export-more", "count", words.Count(len(p.Separations)-5)))
	}
	return say("ui-export-files", "count", words.Count(len(p.Separations)), "names", words.List(names))
}

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

// choose picks the folder that the new one is made in.
func (e *exportDialog) choose() {
	name := filepath.Base(e.folder.Text)
	e.h.PickFolder(filepath.Dir(e.folder.Text), func(dir string) { e.folder.SetText(freshFolder(filepath.Join(dir, name))) })
}

func (e *exportDialog) start() {
	o := workshop.WriteOptions{Overwrite: e.replace.Checked, AllowStacked: e.allow != nil && e.allow.Checked, AllowBeyond: e.oversize != nil && e.oversize.Checked}
	dir := strings.TrimSpace(e.folder.Text)
	e.write.Disable()
	e.stop = e.h.Session.Export(dir, o, func(m *workshop.Manifest, err error) {
		e.stop = nil
		e.write.Enable()
		if err != nil {
			e.refused(err)
			return
		}
		e.done(dir, m)
	})
}

// cancel gives up what is being written or, while nothing is, the dialog.
func (e *exportDialog) cancel() {
	if e.stop != nil {
		e.stop()
		return
	}
	e.Close()
}

// refused says why nothing was written, in the dialog, so that it can be put
// right there.
func (e *exportDialog) refused(err error) {
	text, remedy := workshop.Explain(err)
	if fit.IsCancelled(err) {
		text, remedy = say("stopped"), ""
	}
	if workshop.Is(err, whole.ErrExists) {
		e.replace.Show()
	}
	e.wrong.SetText(strings.TrimSpace(text + " " + remedy))
	if !e.Shown() {
		e.Show(nil)
		return
	}
	e.Fit()
}

// done says what was written and where.
func (e *exportDialog) done(dir string, m *workshop.Manifest) {
	h := e.h
	if abs, err := filepath.Abs(dir); err == nil {
		dir = abs
	}
	e.Body.RemoveAll()
	e.Body.Add(dialogs.Sign("ready", controls.Ready, say("ui-export-done", "count", words.Count(len(m.Separations)))))
	path := widget.NewLabel(dir)
	path.Wrapping = fyne.TextWrapBreak
	path.Selectable = true
	e.Body.Add(container.NewStack(controls.NewCard(controls.Ground, controls.Rule), path))
	e.Body.Add(controls.NewPara(say("ui-export-next"), controls.Quiet))
	closing := e.Close
	e.OnEscape = closing
	buttons := []*controls.Press{dialogs.Button(say("ui-done"), closing)}
	if h.OpenFolder != nil {
		buttons = append([]*controls.Press{dialogs.Button(say("ui-export-show"), func() {
			if err := h.OpenFolder(dir); err != nil {
				h.Trouble(err)
			}
		})}, buttons...)
	}
	if sheets, err := h.Session.Drawer(); err == nil && len(sheets) > 0 {
		buttons = append([]*controls.Press{dialogs.Button(say("ui-menu-mark-cut"), func() { e.Hide(); h.MarkCut() })}, buttons...)
	}
	e.SetButtons(buttons...)
	e.Show(nil)
}
