package ask

import (
	"image"
	"image/color"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/session"
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
		remedy := say("nothing-to-cut.remedy")
		if len(h.Session.Job().LayerIDs()) == 0 { // the verdict says what to add
			remedy = ""
		}
		h.Desk.Message(say("ui-export-title"), "about", controls.Quiet,
			h.words().Message(h.Session.State().Verdict().Message), remedy, say("ui-ok"))
	default:
		newExport(h, plan)
	}
}

// exportDialog is the dialog with what it holds.
type exportDialog struct {
	*dialogs.Dialog
	h       *Host
	plan    *fit.Plan
	to      *target
	formats []*controls.Check // as workshop.Formats
	weeding *controls.Check
	overcut *controls.Select // of overcuts
	// amount says what is written, measure how much and how large it is; picture is the first
	// sheet. foretelling gives up finding that out.
	amount, measure *controls.Para
	picture         *canvas.Image
	foretelling     func()
	allow           *controls.Check
	// oversize: write although it is larger than there is room for.
	oversize *controls.Check
	write    *controls.Press
	// thin says what is too fine to cut.
	thin *fyne.Container
	// stop gives up what is being written, nil while nothing is.
	stop func()
}

// Names of preferences.
const (
	prefFormats = "export-formats"
	prefWeeding = "export-weeding-lines"
	prefOvercut = "export-overcut"
)

// overcuts are those to choose from, in millimetres: about what knives lag behind.
var overcuts = []float64{0, 0.3, 0.5, 1}

// The picture of a sheet, in units, and pixels on a unit: sharp on screens of twice
// the density.
const (
	sheetWide, sheetHigh = 200, 150
	sheetPx              = 2
)

func newExport(h *Host, plan *fit.Plan) {
	e := &exportDialog{Dialog: h.Desk.New(800, say("ui-export-title")), h: h, plan: plan, foretelling: func() {}, thin: container.New(&controls.Stack{})}
	h.exporting = e
	e.SetHelp("export")
	e.to = newTarget(e.Dialog, freshFolder(h.Session.ExportFolder(h.Home)), say("ui-export-replace"))
	e.OnCancel = e.cancel
	cancel := dialogs.Button(say("ui-cancel"), e.Cancel)
	e.write = dialogs.Button(say("ui-export-write"), e.start)

	// What stands in the way comes first: it must not be out of sight.
	if len(plan.Beyond) > 0 {
		_, remedy := h.words().Warning(plan.Beyond[0].Warning)
		e.Body.Add(dialogs.Sign("warning", controls.Care, workshop.BeyondText(h.Session.Job(), plan)+" "+remedy))
		e.oversize = controls.NewCheck(say("ui-export-oversize"), func(bool) { e.permit() })
		e.Body.Add(e.oversize)
	}
	if v := h.Session.State().Verdict(); len(plan.Beyond) == 0 && v.Next == session.BlankStep {
		e.Body.Add(dialogs.Sign("warning", controls.Care, h.words().Message(v.Message)+" "+h.words().Remedy(v.Message)))
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
		e.Body.Add(e.thin)
		e.tellThin()
	}
	for _, u := range workshop.Unfilled(h.Session.Job()) {
		text, remedy := h.words().Warning(u)
		e.Body.Add(dialogs.Sign("warning", controls.Care, text+" "+remedy))
	}
	e.to.askFolder(h)
	e.Body.Add(e.formatBoxes())
	e.Body.Add(e.care())
	e.Body.Add(e.outlook())
	e.permit()
	e.Show(nil)
	e.foretell()
}

// WeakFound brings a dialog that shows up to what was found too thin since it came up.
func (h *Host) WeakFound() {
	if e := h.exporting; e != nil && e.Shown() {
		e.tellThin()
		e.Fit()
	}
}

// tellThin says what is too fine to cut, as far as it is known.
func (e *exportDialog) tellThin() {
	e.thin.RemoveAll()
	text := e.tooFine()
	e.thin.Hidden = text == ""
	if text != "" {
		e.thin.Add(dialogs.Sign("warning", controls.Care, text))
	}
}

// tooFine says what is too fine to cut of what is written, and what can be done; nothing where all can be cut, or
// someone decided to keep it.
func (e *exportDialog) tooFine() string {
	switch w := e.h.Session.Weak(); w.State {
	case session.WeakTooMany:
		text, remedy := e.h.words().Warning(w.Crowded)
		return text + " " + remedy
	case session.WeakFound:
		plan := *e.plan
		if len(plan.Beyond) > 0 { // said above
			plan.Verdict = fit.Verdict{State: fit.Ready}
		}
		if v := workshop.Verdict(&plan, w.Spots, w.Things, nil); v.State != fit.Ready {
			return strings.TrimSpace(e.h.words().Message(v.Message) + " " + e.h.words().Remedy(v.Message))
		}
	}
	return ""
}

// formatKinds are the columns of formats: who looks for what a program reads knows its
// first three letters. What begins otherwise stands in the first.
var formatKinds = []string{"svg", "dxf", "pdf"}

// formatBoxes are boxes to tick for the formats, those of the last time ticked.
func (e *exportDialog) formatBoxes() fyne.CanvasObject {
	kept, err := workshop.FormatsNamed(e.h.Prefs.String(prefFormats))
	if err != nil { // none were chosen so far
		kept = []workshop.Format{workshop.SVG}
	}
	columns := make([]fyne.CanvasObject, len(formatKinds))
	for i := range columns {
		columns[i] = container.NewVBox()
	}
	for _, f := range workshop.Formats() {
		c := controls.NewCheck(say("ui-format-"+string(f)), nil)
		c.SetChecked(slices.Contains(kept, f))
		c.OnChanged = func(bool) {
			if chosen := e.chosen(); len(chosen) > 0 {
				e.h.Prefs.SetString(prefFormats, workshop.FormatNames(chosen))
			}
			e.permit()
			e.foretell()
		}
		e.formats = append(e.formats, c)
		kind := slices.IndexFunc(formatKinds, func(k string) bool { return strings.HasPrefix(string(f), k) })
		columns[max(kind, 0)].(*fyne.Container).Add(c)
	}
	return container.New(&controls.Stack{Gap: 4}, controls.NewCaption(say("ui-export-formats")), container.New(&controls.Flow{Gap: 20}, columns...))
}

// care asks for what helps with cutting and weeding.
func (e *exportDialog) care() fyne.CanvasObject {
	p := e.h.Prefs
	e.weeding = controls.NewCheck(say("ui-export-weeding"), nil)
	e.weeding.SetChecked(p.Bool(prefWeeding))
	e.weeding.OnChanged = func(on bool) {
		p.SetBool(prefWeeding, on)
		e.foretell()
	}
	names := []string{say("ui-export-no-overcut")}
	for _, mm := range overcuts[1:] {
		names = append(names, say("ui-export-overcut", "length", e.h.words().Fine(mm)))
	}
	e.overcut = controls.NewSelect(names, nil)
	e.overcut.SetSelectedIndex(max(slices.Index(overcuts, p.Float(prefOvercut)), 0))
	e.overcut.OnChanged = func(string) {
		p.SetFloat(prefOvercut, overcuts[e.overcut.SelectedIndex()])
		e.foretell()
	}
	// A list is as wide as what it says while nothing is chosen, which here is never.
	for _, n := range names {
		if len(n) > len(e.overcut.PlaceHolder) {
			e.overcut.PlaceHolder = n
		}
	}
	why := container.NewCenter(controls.NewCaption(say("ui-export-why-overcut")))
	return container.New(&controls.Ends{Gap: 4}, e.weeding, container.NewHBox(why, e.overcut))
}

// Care is what was chosen last that helps with cutting and weeding.
func (h *Host) Care() workshop.WriteOptions {
	return workshop.WriteOptions{WeedingLines: h.Prefs.Bool(prefWeeding), OvercutMM: overcuts[max(slices.Index(overcuts, h.Prefs.Float(prefOvercut)), 0)]}
}

// chosen are the formats that are ticked.
func (e *exportDialog) chosen() (out []workshop.Format) {
	for i, f := range workshop.Formats() {
		if e.formats[i].Checked {
			out = append(out, f)
		}
	}
	return out
}

// outlook shows the first sheet beside what is written.
func (e *exportDialog) outlook() fyne.CanvasObject {
	e.amount = controls.NewPara(e.whatIsWritten(), controls.Text)
	e.measure = controls.NewPara(e.measures(e.plan.Page.Width(), e.plan.Page.Height()), controls.Quiet)
	e.picture = canvas.NewImageFromImage(image.NewNRGBA(image.Rect(0, 0, 1, 1)))
	e.picture.FillMode = canvas.ImageFillContain
	e.picture.SetMinSize(fyne.NewSize(sheetWide, sheetHigh))
	paper := canvas.NewRectangle(color.White) // art is judged on the blank's colour, in any look
	paper.CornerRadius = 6
	card := container.NewStack(paper, container.New(&controls.Inset{X: 8, Y: 8}, e.picture))
	return container.NewBorder(nil, nil, card, nil, container.New(&controls.Inset{X: 12}, container.New(&controls.Stack{Gap: 8},
		e.amount, e.measure, dialogs.Sign("light-dark", controls.Accent, say("ui-export-mirrored")))))
}

// foretell has what is written worked out anew.
func (e *exportDialog) foretell() {
	e.foretelling()
	if !workshop.CanCut(e.chosen()) {
		e.amount.SetText(say("ui-export-no-format"))
		e.measure.SetText("")
		e.Fit()
		return
	}
	e.foretelling = e.h.Session.Foretell(e.options(), sheetWide*sheetPx, func(f workshop.Forecast, err error) {
		if err != nil || !e.Shown() {
			return // writing says why
		}
		e.amount.SetText(strings.TrimSpace(e.whatIsWritten() + " " + workshop.LapsedText(e.h.words(), f.Lapsed)))
		e.measure.SetText(strings.TrimSpace(say("ui-export-amount", "count", words.Count(f.Files), "size", fileSize(f.Bytes)) + " " + e.measures(f.WidthMM, f.HeightMM)))
		e.picture.Image = f.Sheet
		e.picture.Refresh()
		e.Fit()
	})
}

// measures says how large the page of every file is, nothing where each has its sheet's or
// its name's.
func (e *exportDialog) measures(widthMM, heightMM float64) string {
	if s := e.h.Session.Job().Settings; s.Layout.On() || s.List != nil {
		return ""
	}
	return say("ui-export-size", "size", e.h.words().Size(widthMM, heightMM))
}

// fileSize says how large files are, in kilobytes or megabytes of a thousand.
func fileSize(bytes int) string {
	if bytes < 999_500 {
		return words.Number(math.Max(1, math.Round(float64(bytes)/1e3))) + " kB"
	}
	return words.Number(float64(bytes)/1e6) + " MB"
}

// permit lets the files be written once all is chosen that has to be.
func (e *exportDialog) permit() {
	on := func(c *controls.Check) bool { return c == nil || c.Checked }
	e.write.SetEnabled(on(e.allow) && on(e.oversize) && workshop.CanCut(e.chosen()))
}

// options are what is chosen.
func (e *exportDialog) options() workshop.WriteOptions {
	on := func(c *controls.Check) bool { return c != nil && c.Checked }
	return workshop.WriteOptions{
		Overwrite: on(e.to.replace), AllowStacked: on(e.allow), AllowBeyond: on(e.oversize),
		Formats: e.chosen(), WeedingLines: on(e.weeding), OvercutMM: overcuts[max(e.overcut.SelectedIndex(), 0)],
	}
}

// whatIsWritten names the files in a sentence or, where copies are laid out, says how
// many.
func (e *exportDialog) whatIsWritten() string {
	p := e.plan
	if l := e.h.Session.Job().Settings.Layout; l.On() {
		return say("ui-export-laid", "count", words.Count(e.h.Session.Job().Settings.Copies()))
	}
	if l := e.h.Session.Job().Settings.List; l != nil {
		return say("ui-export-rows", "count", words.Count(l.Count()))
	}
	var names []string
	for i := range p.Separations {
		names = append(names, words.Chosen().Put(p.Separations[i].Called()))
	}
	if len(names) > 5 {
		names = append(names[:4], say("ui-export-more", "count", words.Count(len(p.Separations)-4)))
	}
	return say("ui-export-files", "count", words.Count(len(p.Separations)), "names", words.List(names))
}

func (e *exportDialog) start() {
	dir, ok := e.to.chosen()
	if !ok {
		return
	}
	e.foretelling()
	e.write.Disable()
	e.stop = e.h.Session.Export(dir, e.options(), func(m *workshop.Manifest, err error) {
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
	e.foretelling()
	e.Close()
}

// refused says why nothing was written, in the dialog, so that it can be put
// right there.
func (e *exportDialog) refused(err error) {
	e.to.refused(err, whole.ErrExists)
	if !e.Shown() {
		e.Show(nil)
	}
}

// done says what was written and where.
func (e *exportDialog) done(dir string, m *workshop.Manifest) {
	h := e.h
	if abs, err := filepath.Abs(dir); err == nil {
		dir = abs
	}
	cut, drawn := m.Counts()
	e.SetTitle(say("ui-export-written"))
	e.Body.RemoveAll()
	done := say("ui-export-done", "count", words.Count(cut))
	settings := h.Session.Job().Settings
	apart := settings.List != nil && !settings.Layout.On() // each copy has a folder of its own
	if apart {
		done = say("ui-export-rows-done", "count", words.Count(settings.List.Count()))
	}
	if drawn > 0 {
		done += " " + say("ui-export-drawn", "count", words.Count(drawn))
	}
	e.Body.Add(dialogs.Sign("ready", controls.Ready, done))
	path := widget.NewLabel(dir)
	path.Wrapping = fyne.TextWrapBreak
	path.Selectable = true
	e.Body.Add(container.NewStack(controls.NewCard(controls.Ground, controls.Rule), path))
	if stale := h.Session.Stale(); len(stale) > 0 {
		e.Body.Add(dialogs.Sign("warning", controls.Care, say("export-stale", "names", words.Few(stale))+" "+say("export-stale.remedy")))
	}
	if h.OpenFolder != nil {
		// What shows a PDF can print it, on every system; who measures in inches has Letter.
		inches := h.Session.Job().Settings.Units == job.Inches
		row := container.New(&controls.Flow{Gap: 8})
		for _, x := range []struct{ id, file string }{
			{"ui-export-show", ""}, {"ui-export-guide", workshop.GuideFile},
			{"ui-export-print", workshop.PrintedGuide(inches)}, {"ui-export-card", workshop.PrintedCard(inches)},
		} {
			if apart && x.file != "" {
				continue
			}
			row.Add(dialogs.Button(say(x.id), func() { h.show(filepath.Join(dir, x.file)) }))
		}
		e.Body.Add(row)
	}
	e.Body.Add(controls.NewPara(say("ui-export-next"), controls.Quiet))
	closing := e.Close
	e.OnEscape = closing
	buttons := []*controls.Press{dialogs.Button(say("ui-done"), closing)}
	if sheets, err := h.Session.Drawer(); err == nil && len(sheets) > 0 && !apart {
		buttons = append([]*controls.Press{dialogs.Button(say("ui-menu-mark-cut"), func() { e.Hide(); h.MarkCut() })}, buttons...)
	}
	e.SetButtons(buttons...)
	e.Show(nil)
}
