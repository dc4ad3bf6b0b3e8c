package ask

import (
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/internal/colour"
	"abut/internal/job"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/dialogs"
	"abut/ui/entry"
)

// blankColours are offered for the blank, light ones first.
var blankColours = []colour.RGB{colour.White, {R: 0xF4, G: 0xEE, B: 0xDD}, {R: 0xD9, G: 0xDC, B: 0xDE}, {R: 0xCF, G: 0xE3, B: 0xF1}, {R: 0xF3, G: 0xD5, B: 0xDC}, {R: 0x8A, G: 0x8F, B: 0x94}, {R: 0x23, G: 0x26, B: 0x2B}}

// blankDialog asks what is decorated.
type blankDialog struct {
	*dialogs.Dialog
	h       *Host
	offered []offeredBlank
	// chosen is one of offered, −1 for a blank that is none of them.
	chosen int
	// product is that of what was chosen, whatever it is called and however large by now.
	product          job.Product
	colour           colour.RGB
	list             *fyne.Container
	name             *controls.Entry
	wide, high, safe *entry.Length
	// around is the way around it, 0 for what is flat.
	around   *entry.Length
	round    *controls.Check
	material *controls.Choice
	forget   *controls.Press
	wrong    *controls.Para
}

// Empty opens a document without art and asks what is decorated.
func (h *Host) Empty() {
	if err := h.Session.UseEmpty(h.blanks()[0].Blank, nil); err != nil {
		h.Trouble(err)
		return
	}
	h.Blank()
}

// Blank asks what is decorated.
func (h *Host) Blank() {
	if !h.Session.Opened() {
		return
	}
	j := h.Session.Job()
	d := &blankDialog{Dialog: h.Desk.New(620, say("ui-blank-title")), h: h, chosen: -1, colour: j.Settings.BlankColour()}
	d.SetHelp("size-and-blank")
	d.list = container.New(&controls.Flow{Gap: 4})
	d.name = controls.NewEntry("")
	u := j.Settings.Units
	d.wide, d.high, d.safe = entry.NewLength(u), entry.NewLength(u), entry.NewLength(u)
	d.safe.Signed = true
	d.around = entry.NewLength(u)
	d.around.Signed = true
	d.round = controls.NewCheck(say("ui-blank-round"), nil)
	d.material = controls.NewChoice(nil, say("ui-material-coated"), say("ui-material-polyester"), say("ui-material-blend"), say("ui-material-cotton"))
	d.material.OnChosen = d.material.Choose
	d.material.Fills = true
	keep := controls.NewFramed("save", say("ui-blank-keep"), say("ui-blank-keep-hint"), d.keepOwn)
	d.forget = controls.NewFramed("delete", say("ui-blank-forget"), "", d.forgetOwn)
	d.wrong = controls.NewPara("", controls.Care)

	cell := func(id string, e fyne.CanvasObject) fyne.CanvasObject {
		return container.New(&controls.Stack{Gap: 2}, controls.NewCaption(say(id)), e)
	}
	d.Body.Add(d.list)
	d.Body.Add(cell("ui-blank-name", container.NewBorder(nil, nil, nil, container.NewHBox(keep, d.forget), d.name)))
	d.Body.Add(container.NewGridWithColumns(4, cell("ui-details-width", d.wide), cell("ui-details-height", d.high), cell("ui-blank-safe", d.safe), cell("ui-blank-around", d.around)))
	d.Body.Add(d.round)
	d.Body.Add(cell("ui-blank-material", d.material))
	d.Body.Add(cell("ui-blank-colour", d.colours()))
	d.Body.Add(controls.NewPara(say("ui-blank-measure"), controls.Quiet))
	d.Body.Add(d.wrong)
	d.showList()
	if b := j.Settings.BlankShape; b == nil {
		d.choose(0) // what the numbers are those of
	} else {
		d.mark(slices.IndexFunc(d.offered, func(o offeredBlank) bool { return o.Name == b.Name }))
		d.fill(*b)
	}
	d.SetButtons(
		dialogs.Button(say("ui-cancel"), d.Cancel),
		dialogs.Button(say("ui-blank-none"), func() { d.set(nil) }),
		dialogs.Button(say("ui-blank-use"), d.use))
	d.Show(nil)
}

// showList shows the library as it is now.
func (d *blankDialog) showList() {
	d.offered = d.h.blanks()
	d.list.RemoveAll()
	for i, o := range d.offered {
		p := controls.NewAction("", o.Name, "", func() { d.choose(i) })
		p.Framed, p.Height = true, 32
		d.list.Add(p)
	}
	d.list.Refresh()
}

// mark marks one of the library as chosen, −1 none.
func (d *blankDialog) mark(i int) {
	d.chosen = i
	for k, p := range d.list.Objects {
		p.(*controls.Press).SetOn(k == i)
	}
	d.forget.SetEnabled(i >= 0 && d.offered[i].own)
}

func (d *blankDialog) choose(i int) {
	d.mark(i)
	d.fill(d.offered[i].Blank)
}

func (d *blankDialog) fill(b job.Blank) {
	d.name.SetText(b.Name)
	d.wide.Set(b.WidthMM)
	d.high.Set(b.HeightMM)
	d.safe.Set(b.SafeMM)
	d.around.Set(b.AroundMM)
	d.round.SetChecked(b.Round)
	d.material.Choose(int(b.Material))
	d.product = b.Product
}

// colours are those that the blank can have.
func (d *blankDialog) colours() fyne.CanvasObject {
	row := container.NewHBox()
	var swatches []*controls.Press
	for i, c := range blankColours {
		p := controls.NewIconPress("", c.String(), func() {
			d.colour = c
			for k, s := range swatches {
				s.SetOn(k == i)
			}
		})
		p.On = c == d.colour
		swatches = append(swatches, p)
		row.Add(container.NewStack(p, container.NewCenter(controls.NewSwatch(c, 22))))
	}
	return row
}

// typed is the blank as the entries say.
func (d *blankDialog) typed() job.Blank {
	b := job.Blank{Name: strings.TrimSpace(d.name.Text), Round: d.round.Checked, Material: job.Material(d.material.Chosen()), Product: d.product}
	if b.Name == "" {
		b.Name = say("ui-blank-own")
	}
	b.Press = d.pressing(b.Name)
	b.WidthMM, _ = d.wide.Parse()
	b.HeightMM, _ = d.high.Parse()
	b.SafeMM, _ = d.safe.Parse()
	b.AroundMM, _ = d.around.Parse()
	return b
}

// pressing is how a blank of this name was pressed: the job's, else the library's.
func (d *blankDialog) pressing(name string) job.Pressing {
	if b := d.h.Session.Job().Settings.BlankShape; b != nil && b.Name == name {
		return b.Press
	}
	if i := slices.IndexFunc(d.offered, func(o offeredBlank) bool { return o.Name == name }); i >= 0 {
		return d.offered[i].Press
	}
	return job.Pressing{}
}

// keepOwn puts what is typed into the library, under its name.
func (d *blankDialog) keepOwn() {
	b := d.typed()
	if _, err := job.SetBlankShape(job.Job{}, &b); err != nil {
		d.say(workshop.Explain(err))
		return
	}
	if slices.ContainsFunc(d.offered, func(o offeredBlank) bool { return !o.own && o.Name == b.Name }) {
		d.say(say("ui-blank-taken", "name", b.Name), "")
		return
	}
	d.h.keepOwn(b)
	d.Kept()
	d.showList()
	d.mark(slices.IndexFunc(d.offered, func(o offeredBlank) bool { return o.own && o.Name == b.Name }))
	d.say("", "")
}

// forgetOwn takes the chosen one out of the library, if it is an own one.
func (d *blankDialog) forgetOwn() {
	if d.chosen >= 0 && d.offered[d.chosen].own {
		d.h.forgetOwn(d.offered[d.chosen].Name)
		d.showList()
		d.mark(-1)
		d.say("", "")
	}
}

func (d *blankDialog) say(text, remedy string) {
	d.wrong.SetText(strings.TrimSpace(text + " " + remedy))
	d.Fit()
}

// use takes the blank as it is typed, and keeps what was made of one of the
// library.
func (d *blankDialog) use() {
	b := d.typed()
	if d.chosen >= 0 && d.offered[d.chosen].Name == b.Name && usable(b) {
		o := d.offered[d.chosen]
		o.Blank = b
		d.h.keep(o)
	}
	b.At = d.h.Session.Page().Centre()
	if plan, _ := d.h.Session.Plan(); plan != nil && !plan.Extent.Empty() {
		b.At = plan.Extent.Centre()
	}
	d.set(&b)
}

// set makes the blank a step, nil none.
func (d *blankDialog) set(b *job.Blank) {
	err := d.h.Session.Do("ui-step-blank", func(j job.Job) (job.Job, error) {
		j, err := job.SetBlankShape(j, b)
		if err != nil {
			return j, err
		}
		if d.colour == colour.White {
			return job.SetBlank(j, nil)
		}
		return job.SetBlank(j, &d.colour)
	})
	if err != nil {
		d.say(workshop.Explain(err))
		return
	}
	d.h.ShowAll()
	d.Close()
}
