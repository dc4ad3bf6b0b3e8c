package inspect

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
)

// Uses are what a layer can become, in the order in which they are offered.
var Uses = []job.Use{job.Cut, job.Bare, job.Drawn, job.LeftOut}

// Alignments are what lines layers up: the icon is the command's name, too.
var Alignments = []struct {
	To   job.Alignment
	Icon string
	ID   string
}{
	{job.AlignLeft, "align-left", "ui-menu-align-left"},
	{job.AlignMiddle, "align-middle", "ui-menu-align-middle"},
	{job.AlignRight, "align-right", "ui-menu-align-right"},
	{job.AlignTop, "align-top", "ui-menu-align-top"},
	{job.AlignCentre, "align-centre", "ui-menu-align-centre"},
	{job.AlignBottom, "align-bottom", "ui-menu-align-bottom"},
}

// layer is the part of the panel about what is selected: its name, what it says or
// which shape it has, its exact place and size, what lines it up, its colour and
// what becomes of it.
type layer struct {
	h      *Host
	object *fyne.Container

	name         *controls.Line
	rename, lock *controls.Press
	group        *controls.Press
	content      *content
	x, y         *Field
	wide, high   *Field
	angle        *Field
	keep         *controls.Check
	colours      *controls.Rows
	use          []*controls.Press
}

func newLayer(p *Panel) *layer {
	l := &layer{h: p.h}
	c := p.h.Commands
	l.name = controls.NewHeading("")
	l.name.Shrinks = true
	l.rename, l.lock = c.IconPress("rename"), c.IconPress("lock")
	head := controls.NewDock(nil, nil, nil, container.NewHBox(l.rename, l.lock), l.name)
	l.group = c.Press("select-group")
	l.group.Framed, l.group.IconSide, l.group.Height = true, 18, 32
	l.content = newContent(p)
	l.keep = controls.NewCheck(say("ui-keep-aspect"), nil)
	l.keep.Checked = true
	l.newPlace()

	turns, align := container.NewHBox(), container.New(&controls.Flow{Gap: 2})
	for _, id := range []string{"turn-left", "turn-right", "flip-sides", "flip-upright"} {
		turns.Add(c.IconPress(id))
	}
	for _, a := range Alignments {
		align.Add(c.IconPress(a.Icon))
	}
	for _, id := range []string{"spread-across", "spread-down", "centre", "duplicate", "delete"} {
		align.Add(c.IconPress(id))
	}
	l.colours = controls.NewRows(0)
	l.object = container.New(&controls.Stack{Gap: 8}, head, l.group, l.content.object,
		container.NewGridWithColumns(2, named("ui-x", l.x), named("ui-y", l.y)),
		container.NewGridWithColumns(2, named("ui-details-width", l.wide), named("ui-details-height", l.high)), l.keep,
		container.NewGridWithColumns(2, named("ui-angle", l.angle)), turns, align, named("ui-colour", l.colours.Object), l.newUses())
	l.object.Hide()
	return l
}

// newPlace makes the fields for place, size and angle.
func (l *layer) newPlace() {
	s := l.h.Session
	// of makes an edit of what is selected and where it lies when it counts.
	of := func(edit func(j job.Job, ids []job.LayerID, r geometry.Rect, v float64) (job.Job, error)) func(*session.Draft, float64) {
		return held(func(v float64) session.Edit {
			ids := s.Selection()
			return func(j job.Job) (job.Job, error) { return edit(j, ids, job.BoundsOf(j, ids), v) }
		})
	}
	l.x = newField(s, "ui-step-move", of(func(j job.Job, ids []job.LayerID, r geometry.Rect, v float64) (job.Job, error) {
		return job.MoveLayers(j, ids, v-(r.Min.X-corner(j).X), 0)
	}))
	l.y = newField(s, "ui-step-move", of(func(j job.Job, ids []job.LayerID, r geometry.Rect, v float64) (job.Job, error) {
		return job.MoveLayers(j, ids, 0, v-(r.Min.Y-corner(j).Y))
	}))
	scale := func(j job.Job, ids []job.LayerID, r geometry.Rect, kx, ky float64) (job.Job, error) {
		o := r.Min
		return job.TransformLayers(j, ids, geometry.Translate(o.X, o.Y).Mul(geometry.Scale(kx, ky)).Mul(geometry.Translate(-o.X, -o.Y)))
	}
	l.wide = newField(s, "ui-step-shape", of(func(j job.Job, ids []job.LayerID, r geometry.Rect, v float64) (job.Job, error) {
		k := factor(v, r.Width())
		return scale(j, ids, r, k, map[bool]float64{true: k, false: 1}[l.keep.Checked])
	}))
	l.high = newField(s, "ui-step-shape", of(func(j job.Job, ids []job.LayerID, r geometry.Rect, v float64) (job.Job, error) {
		k := factor(v, r.Height())
		return scale(j, ids, r, map[bool]float64{true: k, false: 1}[l.keep.Checked], k)
	}))
	l.angle = newField(s, "ui-step-turn", held(func(v float64) session.Edit {
		ids := s.Selection()
		return func(j job.Job) (job.Job, error) { return job.Turn(j, ids, v*math.Pi/180-angle(j, ids)) }
	}))
	l.x.Signed, l.y.Signed, l.angle.Signed, l.angle.Plain = true, true, true, true
}

// corner is where places are measured from, as the rulers have it: the corner of the blank or,
// without one, that of the picture.
func corner(j job.Job) geometry.Point {
	if b := j.Settings.BlankShape; b != nil {
		return b.Bounds().Min
	}
	return geometry.Point{}
}

// factor is how much larger something becomes; what has no extent stays.
func factor(to, from float64) float64 {
	if !(from > 0) {
		return 1
	}
	return to / from
}

// angle is how far the first of the layers is turned, in radians.
func angle(j job.Job, ids []job.LayerID) float64 {
	if len(ids) == 0 {
		return 0
	}
	l, it, _ := j.Layer(ids[0])
	m := it.Placement.Mul(l.Transform)
	return math.Atan2(m.B, m.A)
}

// newUses is the choice of what the layer becomes, each explained before it is
// chosen.
func (l *layer) newUses() fyne.CanvasObject {
	column := container.New(&controls.Stack{Gap: 4}, controls.NewCaption(say("ui-menu-use")))
	for _, u := range Uses {
		p := l.h.Commands.Press("use-" + u.String())
		p.IconSide, p.Height, p.Fills = 18, 32, true
		l.use = append(l.use, p)
		column.Add(container.New(&controls.Stack{}, p, container.New(&controls.Inset{X: 36}, controls.NewPara(say("ui-use-"+u.String()+"-why"), controls.Quiet))))
	}
	return column
}

// show fills the part from what is selected.
func (l *layer) show(st session.State) {
	if len(st.Selection) == 0 {
		l.content.show(st)
		return
	}
	j, ids := st.Job, st.Selection
	l.content.show(st)
	group, members := job.Around(j, ids)
	l.group.Hidden = members == nil
	l.group.Label = say("ui-select-group", "name", words.Capital(group))
	l.group.Refresh()
	name, use, locked := say("ui-details-selected", "count", words.Count(len(ids))), -1, false
	var now *colour.RGB
	first := true
	for x := range j.Named(ids) {
		if len(ids) == 1 {
			name = words.Capital(x.Name)
		}
		if first {
			first = false
			use, now = slices.Index(Uses, x.Use), &x.Colour
		} else if use >= 0 && Uses[use] != x.Use {
			use = -1
		}
		if now != nil && x.Colour != *now {
			now = nil
		}
		locked = locked || x.Locked
	}
	l.name.SetText(name)
	l.rename.Hidden = len(ids) != 1
	l.lock.SetIcon(map[bool]string{true: "lock", false: "unlock"}[locked], say(map[bool]string{true: "ui-menu-unlock", false: "ui-menu-lock"}[locked]))
	l.lock.SetOn(locked)
	l.showPlace(j, ids, locked)
	for i, p := range l.use {
		p.SetOn(i == use)
	}
	l.colours.Show(l.swatches(j, now))
	l.object.Refresh()
}

func (l *layer) showPlace(j job.Job, ids []job.LayerID, locked bool) {
	r := job.BoundsOf(j, ids)
	there := !r.Empty()
	from := r.Min.Sub(corner(j))
	if !there {
		r, from = geometry.Rect{}, geometry.Point{}
	}
	for f, v := range map[*Field]float64{
		l.x: from.X, l.y: from.Y, l.wide: r.Width(), l.high: r.Height(),
		l.angle: math.Remainder(angle(j, ids)*180/math.Pi, 360),
	} {
		f.show(v, j.Settings.Units)
		enable(f, !locked && there)
	}
}

// maxSwatches is how many of the job's colours are offered.
const maxSwatches = 10

// swatches offers the colours of the job, with now marked, and any other.
func (l *layer) swatches(j job.Job, now *colour.RGB) controls.Row {
	list := j.Colours()
	list = list[:min(len(list), maxSwatches)]
	key := ""
	for _, c := range list {
		key += c.String()
	}
	if now != nil {
		key += "·" + now.String()
	}
	return controls.Row{Key: key, Make: func() fyne.CanvasObject {
		row := controls.NewSwatches(list, now, func(c colour.RGB) { l.h.Recolour(c) }, func(c colour.RGB) string { return words.Capital(words.Colour(colour.Word(c))) })
		row.Add(l.h.Commands.IconPress("recolour"))
		return row
	}}
}
