package window

import (
	"image/color"
	"math"
	"slices"
	"strconv"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"abut/geometry"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/words"
	"abut/ui/controls"
	"abut/ui/theme"
)

// details is the panel at the right: the art's size, the frame, the base, what
// is cut from which sheet, and what one should know.
type details struct {
	object fyne.CanvasObject
	// onSize is asked for a width or a height in millimetres; the other is 0.
	onSize func(w, h float64)
	// onFrame is asked for a frame's mode.
	onFrame func(job.FrameMode)
	// onPlace is asked to show a place on the board.
	onPlace func(geometry.Rect)

	column *fyne.Container
	chosen *fyne.Container
	// allSheets: the list of sheets is unfolded.
	allSheets     bool
	job           job.Job
	width, height *lengthEntry
	frame         *controls.Choice
	frameWhy      *controls.Para
	base          *fyne.Container
	baseWhy       *controls.Para
	sheets        *fyne.Container
	notes         *fyne.Container
	notesHead     *controls.Line
	notesRule     fyne.CanvasObject
	shown         *fit.Plan
}

var frameModes = []job.FrameMode{job.FrameAuto, job.FrameAlways, job.FrameNone}

func newDetails() *details {
	d := &details{}
	d.width = newLengthEntry(func(v float64) { d.onSize(v, 0) })
	d.height = newLengthEntry(func(v float64) { d.onSize(0, v) })
	field := func(label string, e *lengthEntry) fyne.CanvasObject {
		return container.NewBorder(nil, nil, container.NewGridWrap(fyne.NewSize(64, 36), controls.NewLine(label, controls.Text)), container.NewCenter(controls.NewLine("mm", controls.Quiet)), e)
	}
	d.frame = controls.NewChoice(func(i int) { d.onFrame(frameModes[i]) }, say("ui-frame-auto"), say("ui-frame-always"), say("ui-frame-never"))
	d.frame.Fills = true
	d.frameWhy = controls.NewPara("", controls.Quiet)
	d.base = container.New(&controls.Stack{})
	d.baseWhy = controls.NewPara("", controls.Quiet)
	d.sheets = container.New(&controls.Stack{Gap: 6})
	d.notes = container.New(&controls.Stack{Gap: 12})
	d.notesHead = controls.NewHeading(say("ui-details-notes"))
	d.notesRule = controls.NewRule()
	section := func(head string, o ...fyne.CanvasObject) fyne.CanvasObject {
		return container.New(&controls.Stack{Gap: 8}, append([]fyne.CanvasObject{controls.NewHeading(head)}, o...)...)
	}
	d.chosen = container.New(&controls.Stack{Gap: 8})
	d.chosen.Hide()
	d.column = container.New(&controls.Stack{Gap: 14},
		d.chosen,
		section(say("ui-details-size"), field(say("ui-details-width"), d.width), field(say("ui-details-height"), d.height), controls.NewPara(say("ui-details-aspect"), controls.Quiet)),
		controls.NewRule(),
		section(say("ui-details-sheets"), d.sheets),
		controls.NewRule(),
		section(say("ui-details-base"), d.base, d.baseWhy),
		controls.NewRule(),
		section(say("ui-details-frame"), d.frame, d.frameWhy),
		d.notesRule,
		container.New(&controls.Stack{Gap: 8}, d.notesHead, d.notes),
	)
	d.object = container.NewStack(controls.NewFill(controls.Surface), container.NewVScroll(container.New(&controls.Inset{X: 16, Y: 14}, d.column)))
	return d
}

// show fills the panel from a job and its plan.
func (d *details) show(j job.Job, p *fit.Plan) {
	if m := slices.Index(frameModes, j.Settings.Frame.Mode); m >= 0 {
		d.frame.Choose(m)
	} else {
		d.frame.Choose(1) // on a sheet that was chosen: there is always one
	}
	if p == nil || p == d.shown {
		return
	}
	d.shown, d.job = p, j
	w := words.English()
	d.width.set(p.Extent.Width())
	d.height.set(p.Extent.Height())
	d.frameWhy.SetText(w.Message(p.FrameReason))
	d.baseWhy.SetText(w.Message(p.BaseReason))
	d.base.RemoveAll()
	d.sheets.RemoveAll()
	for i := range p.Separations {
		if i == manySheets-2 && len(p.Separations) > manySheets && !d.allSheets {
			all := controls.NewAction("layers", say("ui-details-all", "count", words.Count(len(p.Separations))), "", d.unfold)
			d.sheets.Add(container.NewHBox(all))
			break
		}
		d.sheets.Add(sheetRow(i, &p.Separations[i]))
	}
	if len(p.Separations) > 0 {
		name := controls.NewLine(capital(p.Separations[0].Name), controls.Text)
		name.Shrinks = true
		d.base.Add(container.New(&controls.Lead{Gap: 10}, controls.NewSwatch(p.Separations[0].Colour, 22), name))
	} else {
		d.base.Add(controls.NewLine(say("ui-details-none"), controls.Quiet))
	}
	d.notes.RemoveAll()
	list := notesOf(j, p)
	for i, n := range list {
		if i == maxNotes {
			d.notes.Add(controls.NewPara(say("ui-details-more", "count", words.Count(len(list)-i)), controls.Quiet))
			break
		}
		d.notes.Add(d.noteRow(n))
	}
	d.notesHead.Hidden = len(list) == 0
	d.notesRule.(*controls.Fill).Hidden = len(list) == 0
	d.column.Refresh()
	d.object.Refresh()
}

// manySheets is how many sheets are listed before the list folds.
const manySheets = 10

func (d *details) unfold() {
	p := d.shown
	d.allSheets, d.shown = true, nil
	d.show(d.job, p)
}

// choose shows what is selected.
func (d *details) choose(j job.Job, ids []job.LayerID) {
	d.chosen.RemoveAll()
	d.chosen.Hidden = len(ids) == 0
	if len(ids) > 0 {
		r := geometry.EmptyRect()
		name := say("ui-details-selected", "count", words.Count(len(ids)))
		for _, id := range ids {
			l, it, ok := j.Layer(id)
			if !ok {
				continue
			}
			r = r.Union(layerBounds(&l, it.Placement))
			if len(ids) == 1 {
				name = capital(l.Name)
			}
		}
		head := controls.NewHeading(name)
		head.Shrinks = true
		d.chosen.Add(head)
		if !r.Empty() {
			d.chosen.Add(controls.NewLine(words.Size(r.Width(), r.Height()), controls.Text))
			d.chosen.Add(controls.NewPara(say("ui-details-at", "x", words.MM(r.Min.X), "y", words.MM(r.Min.Y)), controls.Quiet))
		}
		d.chosen.Add(controls.NewRule())
	}
	d.column.Refresh()
	d.object.Refresh()
}

// layerBounds returns where a layer's outlines are on the board; clips that are
// rectangles count.
func layerBounds(l *job.Layer, placement geometry.Affine) geometry.Rect {
	o, ok := l.Content.(job.Outlines)
	if !ok {
		return geometry.EmptyRect()
	}
	m := placement.Mul(l.Transform)
	r := geometry.EmptyRect()
	for _, s := range o.Shapes {
		b := s.Path.Transform(m).Bounds()
		for _, c := range s.Clips {
			clip := geometry.EmptyRect()
			for _, cs := range c.Shapes {
				clip = clip.Union(cs.Path.Transform(m).Bounds())
			}
			b = b.Intersect(clip)
		}
		r = r.Union(b)
	}
	return r
}

// sheetRow shows one separation: its order, colour, name, pieces and area.
func sheetRow(i int, s *fit.Separation) fyne.CanvasObject {
	n := controls.NewLine(strconv.Itoa(i+1), controls.Quiet)
	n.Align = fyne.TextAlignTrailing
	name := controls.NewLine(capital(s.Name), controls.Text)
	name.Shrinks = true
	what := say("ui-pieces", "count", words.Count(len(s.Pieces))) + " · " + words.MM2(s.AreaMM2)
	amount := controls.NewLine(what, controls.Quiet)
	amount.Shrinks = true
	texts := container.New(&controls.Stack{}, name, amount)
	lead := container.NewHBox(container.NewGridWrap(fyne.NewSize(20, 40), n), container.NewCenter(controls.NewSwatch(s.Colour, 22)))
	return container.New(&controls.Lead{Gap: 10}, lead, texts)
}

// note is something to know, with what can be done about it and, when it has
// one, its place on the board.
type note struct {
	text, remedy string
	at           *geometry.Point
}

// maxNotes is how many notes are listed: nobody reads more at a time, and laying
// hundreds out would be felt.
const maxNotes = 12

func notesOf(j job.Job, p *fit.Plan) []note {
	var out []note
	add := func(list []job.Warning) {
		for _, v := range list {
			text, remedy := words.English().Warning(v)
			out = append(out, note{text, remedy, v.At})
		}
	}
	for _, it := range j.Items {
		add(it.Warnings)
	}
	add(p.Warnings)
	return out
}

func (d *details) noteRow(n note) fyne.CanvasObject {
	var lead fyne.CanvasObject = controls.NewIcon(20, func() string { return "about" }, quietTone)
	if n.at != nil {
		at := *n.at
		lead = controls.NewIconPress("zoom-in", say("ui-details-place"), func() { d.onPlace(geometry.Rect{Min: at, Max: at}) })
	}
	return container.New(&controls.Lead{Gap: 8}, container.NewVBox(lead),
		container.New(&controls.Stack{Gap: 2}, controls.NewPara(n.text, controls.Text), controls.NewPara(n.remedy, controls.Quiet)))
}

// lengthEntry takes a length in millimetres: Enter or leaving it accepts,
// Escape goes back.
type lengthEntry struct {
	widget.Entry
	value    float64
	onLength func(float64)
}

func newLengthEntry(done func(float64)) *lengthEntry {
	e := &lengthEntry{onLength: done}
	e.ExtendBaseWidget(e)
	e.OnSubmitted = func(string) { e.accept() }
	return e
}

// set shows a length, unless one is being typed.
func (e *lengthEntry) set(v float64) {
	e.value = v
	if c := fyne.CurrentApp().Driver().CanvasForObject(e); c == nil || c.Focused() != e {
		e.SetText(plainNumber(v))
	}
}

func (e *lengthEntry) accept() {
	v, ok := parseLength(e.Text)
	if !ok {
		e.SetText(plainNumber(e.value))
		return
	}
	if plainNumber(v) != plainNumber(e.value) {
		e.onLength(v)
	}
}

// FocusLost implements fyne.Focusable.
func (e *lengthEntry) FocusLost() {
	e.Entry.FocusLost()
	e.accept()
}

// TypedKey implements fyne.Focusable.
func (e *lengthEntry) TypedKey(k *fyne.KeyEvent) {
	if k.Name == fyne.KeyEscape {
		e.SetText(plainNumber(e.value))
		return
	}
	e.Entry.TypedKey(k)
}

// plainNumber writes a length for an entry: at most one decimal, no unit.
func plainNumber(v float64) string {
	return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64)
}

// parseLength reads a length in millimetres; a unit may follow, and the decimal
// sign may be a comma.
func parseLength(s string) (float64, bool) {
	s = strings.ToLower(strings.TrimSpace(strings.ReplaceAll(s, ",", ".")))
	unit := 1.0
	for _, u := range []struct {
		name string
		mm   float64
	}{{"mm", 1}, {"cm", 10}, {"in", 25.4}, {"\"", 25.4}} {
		if rest, ok := strings.CutSuffix(s, u.name); ok {
			s, unit = strings.TrimSpace(rest), u.mm
			break
		}
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || !(v > 0) || math.IsInf(v, 0) {
		return 0, false
	}
	return v * unit, true
}

func quietTone() color.NRGBA { return theme.Current().Quiet }
