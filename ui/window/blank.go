package window

import (
	"encoding/json"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"abut/internal/job"
	"abut/internal/words"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/dialogs"
)

// blanks are the things that are often decorated; what a user makes of their
// sizes is kept.
var blanks = workshop.KnownBlanks()

// blankColours are offered for the blank, light ones first.
var blankColours = []job.Colour{job.White, {R: 0xF4, G: 0xEE, B: 0xDD}, {R: 0xD9, G: 0xDC, B: 0xDE}, {R: 0xCF, G: 0xE3, B: 0xF1}, {R: 0xF3, G: 0xD5, B: 0xDC}, {R: 0x8A, G: 0x8F, B: 0x94}, {R: 0x23, G: 0x26, B: 0x2B}}

const (
	prefBlank = "blank-"
	// blankName begins the ids of the blanks' names.
	blankName = "ui-blank-"
)

// keptBlank returns a blank of the library as the user left it.
func (w *Window) keptBlank(i int) job.Blank {
	b := blanks[i].Blank
	kept := b
	if s := w.prefs.String(prefBlank + blanks[i].ID); s != "" && json.Unmarshal([]byte(s), &kept) == nil {
		if _, err := job.SetBlankShape(job.Job{}, &kept); err == nil {
			b = kept
		}
	}
	b.Name = say(blankName + blanks[i].ID)
	return b
}

// askBlank asks what is decorated.
func (w *Window) askBlank() {
	if !w.session.Opened() {
		return
	}
	d := w.desk.New(560, say("ui-blank-title"))
	j := w.session.Job()
	chosen := -1
	wide, high, safe := newLengthEntry(func(float64) {}), newLengthEntry(func(float64) {}), newLengthEntry(func(float64) {})
	safe.signed = true
	for _, e := range []*lengthEntry{wide, high, safe} {
		e.units = j.Settings.Units
	}
	round := widget.NewCheck(say("ui-blank-round"), nil)
	material := controls.NewChoice(nil, say("ui-material-coated"), say("ui-material-polyester"), say("ui-material-blend"), say("ui-material-cotton"))
	material.OnChosen = material.Choose
	material.Fills = true
	fill := func(b job.Blank) {
		wide.set(b.WidthMM)
		high.set(b.HeightMM)
		safe.set(b.SafeMM)
		round.SetChecked(b.Round)
		material.Choose(int(b.Material))
	}
	list := container.New(&controls.Flow{Gap: 4})
	var presses []*controls.Press
	choose := func(i int) {
		chosen = i
		for k, p := range presses {
			p.SetOn(k == i)
		}
	}
	for i := range blanks {
		p := controls.NewAction("", say(blankName+blanks[i].ID), "", func() { choose(i); fill(w.keptBlank(i)) })
		p.Framed, p.Height = true, 32
		presses = append(presses, p)
		list.Add(p)
	}
	colour := j.Settings.BlankColour()
	colours := container.NewHBox()
	var swatches []*controls.Press
	for i, c := range blankColours {
		p := controls.NewIconPress("", c.String(), func() {
			colour = c
			for k, s := range swatches {
				s.SetOn(k == i)
			}
		})
		p.On = c == colour
		swatches = append(swatches, p)
		colours.Add(container.NewStack(p, container.NewCenter(controls.NewSwatch(c, 22))))
	}
	fill(w.keptBlank(0))
	if b := j.Settings.BlankShape; b == nil {
		choose(0) // what the numbers are those of
	} else {
		for i := range blanks {
			if say(blankName+blanks[i].ID) == b.Name {
				choose(i)
			}
		}
		fill(*b)
	}
	cell := func(id string, e fyne.CanvasObject) fyne.CanvasObject {
		return container.New(&controls.Stack{Gap: 2}, controls.NewLine(say(id), controls.Quiet), e)
	}
	wrong := controls.NewPara("", controls.Care)
	d.Body.Add(list)
	d.Body.Add(container.NewGridWithColumns(3, cell("ui-details-width", wide), cell("ui-details-height", high), cell("ui-blank-safe", safe)))
	d.Body.Add(round)
	d.Body.Add(cell("ui-blank-material", material))
	d.Body.Add(cell("ui-blank-colour", colours))
	d.Body.Add(controls.NewPara(say("ui-blank-measure"), controls.Quiet))
	d.Body.Add(wrong)
	set := func(b *job.Blank) {
		err := w.session.Do("ui-step-blank", func(j job.Job) (job.Job, error) {
			j, err := job.SetBlankShape(j, b)
			if err != nil {
				return j, err
			}
			if colour == job.White {
				return job.SetBlank(j, nil)
			}
			return job.SetBlank(j, &colour)
		})
		if err != nil {
			text, remedy := workshop.Explain(err)
			wrong.SetText(text + " " + remedy)
			d.Fit()
			return
		}
		d.Hide()
		w.board.ShowAll()
		w.focusBoard()
	}
	d.SetButtons(
		dialogs.Button(say("ui-cancel"), d.Close),
		dialogs.Button(say("ui-blank-none"), func() { set(nil) }),
		dialogs.Button(say("ui-blank-use"), func() {
			b := job.Blank{Name: say("ui-blank-own"), Round: round.Checked, Material: job.Material(material.Chosen())}
			if chosen >= 0 {
				b.Name = say(blankName + blanks[chosen].ID)
			}
			b.WidthMM, _ = wide.parse()
			b.HeightMM, _ = high.parse()
			b.SafeMM, _ = safe.parse()
			b.At = w.pageRect(j).Centre()
			if plan, _ := w.session.Plan(); plan != nil && !plan.Extent.Empty() {
				b.At = plan.Extent.Centre()
			}
			if chosen >= 0 {
				if text, err := json.Marshal(b); err == nil {
					w.prefs.SetString(prefBlank+blankName+blanks[chosen].ID, string(text))
				}
			}
			set(&b)
		}))
	d.Show(nil)
}

// fitBlank makes the art as large as the blank's safe area lets it, in the
// middle. A round blank's is taken by the corners of the art's bounds.
func (w *Window) fitBlank() {
	b := w.session.Job().Settings.BlankShape
	plan, exact := w.session.Plan()
	if b == nil || plan == nil || !exact || plan.Extent.Empty() || plan.Extent.Height() == 0 {
		return
	}
	from := plan.Extent
	to := b.Room(from.Width() / from.Height())
	w.do("ui-step-fit-blank", func(j job.Job) (job.Job, error) { return job.FitItems(j, from, to) })
}

// showBlank says what is decorated, and leads to choosing it.
func (d *details) showBlank(j job.Job) {
	d.blank.RemoveAll()
	text := say("ui-blank-none-yet")
	if b := j.Settings.BlankShape; b != nil {
		text = b.Name + " · " + words.SizeIn(b.WidthMM, b.HeightMM, j.Settings.Units)
	}
	line := controls.NewLine(text, controls.Text)
	line.Shrinks = true
	choose := controls.NewAction("blank", say("ui-blank-choose"), "", func() { d.onBlank() })
	choose.Framed, choose.IconSide, choose.Height = true, 18, 32
	d.blank.Add(container.New(&controls.Lead{Gap: 10}, container.NewCenter(controls.NewSwatch(j.Settings.BlankColour(), 22)), line))
	row := container.NewHBox(choose)
	if j.Settings.BlankShape != nil {
		into := controls.NewAction("fit", say("ui-blank-fit"), say("ui-blank-fit-hint"), func() { d.onFitBlank() })
		into.Framed, into.IconSide, into.Height = true, 18, 32
		row.Add(into)
	}
	d.blank.Add(row)
}
