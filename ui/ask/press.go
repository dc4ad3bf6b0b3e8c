package ask

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/internal/job"
	"abut/internal/press"
	"abut/internal/words"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/dialogs"
)

// pressDialog shows the press card, and keeps what has worked for the blank.
type pressDialog struct {
	*dialogs.Dialog
	h     *Host
	blank job.Blank
	// rows are the starting points that the blank may have, kind the choice among them.
	rows []press.Row
	kind *controls.Choice
	// heat is in the unit that is chosen.
	heat, time, pressure, note *controls.Entry
	unit                       *controls.Choice
	// other says the heat in the other unit; doubts and wrong what is doubtful about the
	// values, or not to be read.
	other, doubts *controls.Para
	keep          *controls.Press
}

const (
	celsius = iota
	fahrenheit
)

// Press shows the press card: starting points, what has worked for the blank, and what
// to take care of.
func (h *Host) Press() {
	if !h.Session.Opened() {
		return
	}
	settings := h.Session.Job().Settings
	d := &pressDialog{Dialog: h.Desk.New(620, say("press-title")), h: h}
	d.SetHelp("press")
	if settings.BlankShape == nil {
		d.Body.Add(controls.NewPara(say("press-choose-blank"), controls.Text))
		d.startingPoints(press.Rows())
		d.care()
		d.SetButtons(dialogs.Button(say("ui-cancel"), d.Cancel), dialogs.Button(say("ui-menu-blank"), func() {
			d.Close()
			h.Blank()
		}))
		d.Show(nil)
		return
	}
	d.blank = *settings.BlankShape
	d.Body.Add(controls.NewPara(say("press-blank")+": "+d.blank.Name, controls.Text))
	d.kinds()
	d.values(settings.Units)
	d.startingPoints(d.rows)
	d.care()
	d.keep = dialogs.Button(say("press-keep"), d.accept)
	d.SetButtons(dialogs.Button(say("ui-cancel"), d.Cancel), d.keep)
	d.look()
	d.Show(d.heat)
}

// kinds asks what kind of blank it is, where its material leaves that open.
func (d *pressDialog) kinds() {
	open := d.blank
	open.Press.Kind = ""
	d.rows = press.For(&open)
	if len(d.rows) < 2 {
		return
	}
	var names []string
	chosen := -1
	for i, r := range d.rows {
		names = append(names, words.Chosen().Message(r.Name()))
		if r.ID == d.blank.Press.Kind {
			chosen = i
		}
	}
	d.kind = controls.NewChoice(func(i int) {
		d.kind.Choose(i)
		d.look()
	}, names...)
	d.kind.Choose(chosen)
	d.Body.Add(d.kind)
}

// values are the entries for what has worked.
func (d *pressDialog) values(u job.Units) {
	v := d.blank.Press
	d.heat, d.time = controls.NewEntry(""), controls.NewEntry(typedNumber(v.Seconds))
	d.pressure, d.note = controls.NewEntry(v.Pressure), controls.NewEntry(v.Note)
	d.unit = controls.NewChoice(d.setUnit, "°C", "°F")
	d.unit.Choose(int(u)) // who measures in inches has a press that shows °F
	d.showHeat(v.HeatC)
	d.other, d.doubts = controls.NewPara("", controls.Quiet), controls.NewPara("", controls.Care)
	for _, e := range []*controls.Entry{d.heat, d.time} {
		e.OnChanged = func(string) { d.look() }
	}
	cell := func(label string, e fyne.CanvasObject) fyne.CanvasObject {
		return container.New(&controls.Stack{Gap: 2}, controls.NewCaption(label), e)
	}
	d.Body.Add(controls.NewCaption(say("press-own")))
	d.Body.Add(container.NewGridWithColumns(3,
		cell(say("press-heat"), container.NewBorder(nil, nil, nil, d.unit, d.heat)),
		cell(say("press-seconds"), d.time),
		cell(say("press-pressure"), d.pressure)))
	d.Body.Add(d.other)
	d.Body.Add(cell(say("press-note"), d.note))
	d.Body.Add(d.doubts)
}

// startingPoints lists what is published for the blank.
func (d *pressDialog) startingPoints(rows []press.Row) {
	w := words.Chosen()
	d.Body.Add(controls.NewCaption(say("press-start")))
	for _, r := range rows {
		d.Body.Add(controls.NewPara(say("press-row", "kind", w.Message(r.Name()), "heat", w.Message(r.Heat()), "time", w.Message(r.Time())), controls.Text))
	}
	d.Body.Add(controls.NewPara(say("guide-press-how"), controls.Quiet))
}

// care says the rest of the card in short.
func (d *pressDialog) care() {
	d.Body.Add(controls.NewPara(say("press-once")+". "+say("press-once-how"), controls.Quiet))
	d.Body.Add(controls.NewPara(say("guide-w017-how")+" "+say("guide-w024-how")+" "+say("guide-m009-how")+" "+say("guide-also"), controls.Quiet))
	d.Body.Add(controls.NewPara(say("press-exported"), controls.Quiet))
}

// setUnit shows the same heat in another unit.
func (d *pressDialog) setUnit(i int) {
	c, ok := d.heatC()
	d.unit.Choose(i)
	if ok {
		d.showHeat(c)
	}
	d.look()
}

// heatC is the heat typed in °C, 0 for none, and whether it can be read.
func (d *pressDialog) heatC() (float64, bool) {
	v, ok := readNumber(d.heat.Text)
	if ok && v > 0 && d.unit.Chosen() == fahrenheit {
		v = press.Celsius(v)
	}
	return v, ok
}

func (d *pressDialog) showHeat(c float64) {
	if c > 0 && d.unit.Chosen() == fahrenheit {
		c = press.Fahrenheit(c)
	}
	d.heat.SetText(typedNumber(math.Round(c)))
}

// typed are the values as the entries say, and whether they can be read.
func (d *pressDialog) typed() (v job.Pressing, ok bool) {
	heat, readable := d.heatC()
	seconds, countable := readNumber(d.time.Text)
	v = job.Pressing{Kind: d.blank.Press.Kind, HeatC: math.Round(heat*10) / 10, Seconds: seconds, Pressure: strings.TrimSpace(d.pressure.Text), Note: strings.TrimSpace(d.note.Text)}
	if d.kind != nil && d.kind.Chosen() >= 0 {
		v.Kind = d.rows[d.kind.Chosen()].ID
	}
	return v, readable && countable
}

// look says what is to be said of the values typed.
func (d *pressDialog) look() {
	v, ok := d.typed()
	d.other.SetText("")
	var doubts []string
	if !ok {
		doubts = append(doubts, say("press-unreadable"))
	} else {
		b := d.blank
		b.Press = v
		if v.HeatC > 0 {
			d.other.SetText(words.Chosen().Message(press.HeatOf(v.HeatC)))
		}
		for _, m := range press.Doubts(b) {
			doubts = append(doubts, words.Chosen().Message(m))
		}
	}
	d.doubts.SetText(strings.Join(doubts, " "))
	if d.keep != nil {
		d.keep.SetEnabled(ok)
	}
	d.Fit()
}

// accept keeps the values with the job and, where the blank is one of the library's,
// with that.
func (d *pressDialog) accept() {
	v, ok := d.typed()
	if !ok {
		return
	}
	err := d.h.Session.Do("ui-step-press", func(j job.Job) (job.Job, error) { return job.SetPressing(j, v) })
	if err != nil {
		text, remedy := workshop.Explain(err)
		d.doubts.SetText(strings.TrimSpace(text + " " + remedy))
		d.Fit()
		return
	}
	offered := d.h.blanks()
	if i := slices.IndexFunc(offered, func(o offeredBlank) bool { return o.Name == d.blank.Name }); i >= 0 {
		offered[i].Press = v
		d.h.keep(offered[i])
	}
	d.Close()
}

// typedNumber is a number as one types it, nothing for 0.
func typedNumber(v float64) string {
	if v == 0 {
		return ""
	}
	return words.Typed(v, 1)
}

// readNumber reads a number that is not negative, 0 for nothing typed.
func readNumber(text string) (float64, bool) {
	text = strings.ReplaceAll(strings.TrimSpace(text), ",", ".")
	if text == "" {
		return 0, true
	}
	v, err := strconv.ParseFloat(text, 64)
	return v, err == nil && v >= 0 && !math.IsInf(v, 0)
}
