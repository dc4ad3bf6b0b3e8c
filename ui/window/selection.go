package window

import (
	"math"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
	"abut/internal/session"
	"abut/internal/words"
	"abut/ui/controls"
	"abut/ui/dialogs"
)

// uses in the order of their switch.
var uses = []job.Use{job.Cut, job.Bare, job.Drawn, job.LeftOut}

// chosen is the part of Details about what is selected: its name, its exact
// place and size, what becomes of it, and what lines it up.
type chosen struct {
	w      *Window
	object *fyne.Container

	name             *controls.Line
	x, y, wide, high *lengthEntry
	angle            *lengthEntry
	keep             *controls.Check
	use              []*controls.Press
	useWhy           *controls.Para
	rename           *controls.Press
	align            *fyne.Container
	lockPress        *controls.Press
	group            *controls.Press
	content          *content
	colour           *colourRow
	bounds           geometry.Rect
	turn             float64
}

func newChosen(w *Window) *chosen {
	c := &chosen{w: w}
	c.name = controls.NewHeading("")
	c.name.Shrinks = true
	rename := w.commands.IconPress("rename")
	c.lockPress = w.commands.IconPress("lock")
	c.rename = rename
	head := controls.NewDock(nil, nil, nil, container.NewHBox(rename, c.lockPress), c.name)

	c.x = newLengthEntry(func(v float64) { c.moveTo(v, c.bounds.Min.Y) })
	c.y = newLengthEntry(func(v float64) { c.moveTo(c.bounds.Min.X, v) })
	c.x.signed, c.y.signed = true, true
	c.wide = newLengthEntry(func(v float64) { c.resize(v, 0) })
	c.high = newLengthEntry(func(v float64) { c.resize(0, v) })
	c.angle = newLengthEntry(c.turnTo)
	c.angle.signed, c.angle.plain = true, true
	c.keep = controls.NewCheck(say("ui-keep-aspect"), nil)
	c.keep.Checked = true
	pair := func(id1 string, e1 fyne.CanvasObject, id2 string, e2 fyne.CanvasObject) fyne.CanvasObject {
		cell := func(id string, e fyne.CanvasObject) fyne.CanvasObject {
			return container.New(&controls.Stack{Gap: 2}, controls.NewLine(say(id), controls.Quiet), e)
		}
		if e2 == nil {
			return container.NewGridWithColumns(2, cell(id1, e1))
		}
		return container.NewGridWithColumns(2, cell(id1, e1), cell(id2, e2))
	}
	turns := container.NewHBox(
		w.commands.IconPress("turn-left"), w.commands.IconPress("turn-right"), w.commands.IconPress("flip-sides"), w.commands.IconPress("flip-upright"),
	)
	use := container.New(&controls.Flow{Gap: 4})
	for _, u := range uses {
		p := w.commands.Press("use-" + u.String())
		p.Framed, p.IconSide, p.Height = true, 18, 32
		c.use = append(c.use, p)
		use.Add(p)
	}
	c.useWhy = controls.NewPara("", controls.Quiet)

	c.align = container.New(&controls.Flow{Gap: 2})
	for _, a := range alignments {
		c.align.Add(w.commands.IconPress(a.icon))
	}
	for _, id := range []string{"spread-across", "spread-down", "centre", "duplicate", "delete"} {
		c.align.Add(w.commands.IconPress(id))
	}

	c.group = newGroupPress(w)
	c.content, c.colour = newContent(w), newColourRow(w)
	c.object = container.New(&controls.Stack{Gap: 8}, head, c.group, c.content.object,
		pair("ui-x", c.x, "ui-y", c.y),
		pair("ui-details-width", c.wide, "ui-details-height", c.high), c.keep,
		container.NewGridWithColumns(2, container.New(&controls.Stack{Gap: 2}, controls.NewLine(say("ui-angle"), controls.Quiet), c.angle)),
		turns, c.align, c.colour.object,
		use, c.useWhy)
	c.object.Hide()
	return c
}

// show fills the panel with what is about the selection; without one, Details
// is about the job.
func (c *chosen) show(j job.Job, ids []job.LayerID) {
	c.object.Hidden = len(ids) == 0
	if len(ids) > 0 {
		c.fill(j, ids)
	}
	c.w.details.ofJob.Hidden = len(ids) > 0
	c.object.Refresh()
	c.w.details.column.Refresh()
	c.w.details.object.Refresh()
}

func (c *chosen) fill(j job.Job, ids []job.LayerID) {
	c.content.show(j, ids)
	showGroup(j, ids, c.group)
	var colour *colour.RGB
	name := say("ui-details-selected", "count", words.Count(len(ids)))
	use, locked := -1, false
	for i, id := range ids {
		l, it, ok := j.Layer(id)
		if !ok {
			continue
		}
		if len(ids) == 1 {
			name = words.Capital(l.Name)
		}
		if i == 0 {
			m := it.Placement.Mul(l.Transform)
			c.turn = math.Atan2(m.B, m.A)
			use = slices.Index(uses, l.Use)
			colour = &l.Colour
		} else if uses[max(use, 0)] != l.Use {
			use = -1
		}
		locked = locked || l.Locked
		if colour != nil && l.Colour != *colour {
			colour = nil
		}
	}
	c.colour.show(colour)
	c.name.SetText(name)
	c.rename.Hidden = len(ids) != 1
	c.lockPress.SetIcon(map[bool]string{true: "lock", false: "unlock"}[locked], say(map[bool]string{true: "ui-menu-unlock", false: "ui-menu-lock"}[locked]))
	c.lockPress.SetOn(locked)
	c.place(j, ids, locked)
	c.angle.set(math.Remainder(c.turn*180/math.Pi, 360))
	enable(c.angle, !locked && !c.bounds.Empty())
	for i, p := range c.use {
		p.SetOn(i == use)
	}
	why := ""
	if use > 0 {
		why = say("ui-use-" + uses[use].String() + "-why")
	}
	c.useWhy.SetText(why)
	c.useWhy.Hidden = why == ""
}

// place shows where the layers lie and how large they are.
func (c *chosen) place(j job.Job, ids []job.LayerID, locked bool) {
	c.bounds = job.BoundsOf(j, ids)
	for e, v := range map[*lengthEntry]float64{c.x: c.bounds.Min.X, c.y: c.bounds.Min.Y, c.wide: c.bounds.Width(), c.high: c.bounds.Height()} {
		e.units = j.Settings.Units
		if c.bounds.Empty() {
			v = 0
		}
		e.set(v)
		enable(e, !locked && !c.bounds.Empty())
	}
}

func enable(d fyne.Disableable, on bool) {
	if on {
		d.Enable()
	} else {
		d.Disable()
	}
}

func (c *chosen) moveTo(x, y float64) {
	d := geometry.Pt(x, y).Sub(c.bounds.Min)
	c.w.do("ui-step-move", c.w.moving(d.X, d.Y))
}

func (c *chosen) resize(w, h float64) {
	r := c.bounds
	kx, ky := 1.0, 1.0
	if w > 0 && r.Width() > 0 {
		kx = w / r.Width()
		if c.keep.Checked {
			ky = kx
		}
	}
	if h > 0 && r.Height() > 0 {
		ky = h / r.Height()
		if c.keep.Checked {
			kx = ky
		}
	}
	o := r.Min
	m := geometry.Translate(o.X, o.Y).Mul(geometry.Scale(kx, ky)).Mul(geometry.Translate(-o.X, -o.Y))
	c.w.do("ui-step-shape", c.w.shaping(m))
}

func (c *chosen) turnTo(degrees float64) {
	c.w.turn(degrees*math.Pi/180 - c.turn)
}

// alignments are what lines layers up, with their icons and words.
var alignments = []struct {
	to   job.Alignment
	icon string
	id   string
}{
	{job.AlignLeft, "align-left", "ui-menu-align-left"},
	{job.AlignMiddle, "align-middle", "ui-menu-align-middle"},
	{job.AlignRight, "align-right", "ui-menu-align-right"},
	{job.AlignTop, "align-top", "ui-menu-align-top"},
	{job.AlignCentre, "align-centre", "ui-menu-align-centre"},
	{job.AlignBottom, "align-bottom", "ui-menu-align-bottom"},
}

// withSelection makes an edit of what is selected one step.
func (w *Window) withSelection(label string, edit func(job.Job, []job.LayerID) (job.Job, error)) {
	if ids := w.session.Selection(); len(ids) > 0 {
		w.do(label, func(j job.Job) (job.Job, error) { return edit(j, ids) })
	}
}

// align lines the selection up among itself, or one layer with the page.
func (w *Window) align(a job.Alignment) {
	w.withSelection("ui-step-align", func(j job.Job, ids []job.LayerID) (job.Job, error) {
		target := job.BoundsOf(j, ids)
		if len(ids) == 1 {
			target = w.pageRect(j)
		}
		return job.Align(j, ids, a, target)
	})
}

func (w *Window) spread(down bool) {
	w.withSelection("ui-step-spread", func(j job.Job, ids []job.LayerID) (job.Job, error) { return job.Distribute(j, ids, down) })
}

// centre puts the selection in the middle of the page.
func (w *Window) centre() {
	w.withSelection("ui-step-centre", func(j job.Job, ids []job.LayerID) (job.Job, error) {
		return job.CentreOn(j, ids, w.pageRect(j))
	})
}

// pageRect is the blank on the board or, where none was chosen, the page that
// the art came with.
func (w *Window) pageRect(j job.Job) geometry.Rect {
	if b := j.Settings.BlankShape; b != nil {
		return b.Bounds()
	}
	return job.Pages(j)
}

func (w *Window) turn(angle float64) {
	w.withSelection("ui-step-turn", func(j job.Job, ids []job.LayerID) (job.Job, error) { return job.Turn(j, ids, angle) })
}

func (w *Window) flip(upright bool) {
	w.withSelection("ui-step-flip", func(j job.Job, ids []job.LayerID) (job.Job, error) { return job.Flip(j, ids, upright) })
}

func (w *Window) arrange(s job.Step) {
	ids := w.session.Selection()
	w.order(ids, func(j job.Job) (job.Job, error) { return job.Arrange(j, ids, s) })
	w.list.Unfold(ids) // a step may have led into a group
}

// order puts layers in another place in the order; where they stay there is no
// step.
func (w *Window) order(ids []job.LayerID, edit session.Edit) {
	j := w.session.Job()
	if k, err := edit(j); err == nil && slices.Equal(k.LayerIDs(), j.LayerIDs()) {
		return
	}
	label := "ui-step-order"
	if len(ids) > 1 {
		label = "list-step-order-several"
	}
	w.do(label, edit)
}

func (w *Window) setUse(u job.Use) {
	w.withSelection("ui-step-use", func(j job.Job, ids []job.LayerID) (job.Job, error) { return job.SetUse(j, ids, u) })
	w.chosen.show(w.session.Job(), w.session.Selection())
}

// duplicateMM is how far a copy lies from what it was made of, so that one sees
// it.
const duplicateMM = 5

// duplicate copies the selection and selects the copies.
func (w *Window) duplicate() {
	ids := w.session.Selection()
	if len(ids) == 0 {
		return
	}
	var made []job.LayerID
	w.do("ui-step-duplicate", func(j job.Job) (out job.Job, err error) {
		out, made, err = job.Duplicate(j, ids, duplicateMM, duplicateMM)
		return out, err
	})
	if len(made) > 0 {
		w.session.Select(made)
	}
}

// selectAll selects every layer that the pointer could catch.
func (w *Window) selectAll() {
	if !w.session.Opened() {
		return
	}
	var ids []job.LayerID
	for _, it := range w.session.Job().Items {
		for _, l := range it.Layers {
			if !l.Locked && l.Shown {
				ids = append(ids, l.ID)
			}
		}
	}
	w.session.Select(ids)
}

// toggleLock locks the selection, or unlocks it when something in it is locked.
func (w *Window) toggleLock() {
	ids := w.session.Selection()
	on := len(ids) > 0
	for _, id := range ids {
		if l, _, ok := w.session.Job().Layer(id); ok && l.Locked {
			on = false
		}
	}
	w.lock(ids, on)
}

func (w *Window) lock(ids []job.LayerID, on bool) {
	w.doTo(ids, "ui-step-unlock", "ui-step-lock", on, job.SetLocked)
}

// askName asks for the selected layer's name.
func (w *Window) askName() {
	l, _, ok := w.selected()
	if !ok {
		return
	}
	d := w.desk.New(420, say("ui-rename-title"))
	entry := d.NewEntry(words.Capital(l.Name))
	d.Body.Add(entry)
	d.SetButtons(dialogs.Button(say("ui-cancel"), d.Close),
		dialogs.Button(say("ui-rename-set"), func() {
			d.Close()
			if entry.Text != words.Capital(l.Name) {
				w.do("ui-step-rename", func(j job.Job) (job.Job, error) { return job.Rename(j, l.ID, entry.Text) })
			}
		}))
	d.Show(entry)
	entry.TypedShortcut(&fyne.ShortcutSelectAll{})
}
