package ask

import (
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"

	"abut/internal/job"
	"abut/internal/session"
	"abut/ui/controls"
	"abut/ui/dialogs"
)

// Fonts is what becomes of the fonts that are looked at.
type Fonts struct {
	// Try shows the lettering in a font, Use keeps the one that was tried last, and
	// Drop goes back to what it was set in.
	Try       func(family string)
	Use, Drop func()
}

// familyDialog is the list of fonts, beside the art. Whichever is marked is tried.
type familyDialog struct {
	*dialogs.Dialog
	do     Fonts
	all    []*fontRow
	shown  []*fontRow
	picked string
	rows   *fyne.Container
	scroll *container.Scroll
	none   *controls.Para
	stop   func()
	h      *Host
	// asked are the families whose names are being set or are.
	asked map[string]bool
}

// fontRow is one font: its name, set in itself as soon as that is known.
type fontRow struct {
	family string
	mark   *controls.Mark
	name   *fyne.Container
	object fyne.CanvasObject
}

const (
	fontRowHigh = 34
	fontsWide   = 272
)

// Family asks for a font family among those that are installed, beside the art,
// which shows it.
func (h *Host) Family(now string, do Fonts) {
	h.Session.Families(func(all []string, err error) {
		if err != nil {
			h.Trouble(err)
			return
		}
		d := &familyDialog{Dialog: h.Desk.New(fontsWide+48, say("ui-text-family-title")), do: do, h: h, picked: now, stop: func() {}, asked: map[string]bool{}}
		d.Aside()
		for _, family := range all {
			d.all = append(d.all, d.newRow(family))
		}
		search := controls.NewEntry("")
		search.Passing = true
		search.SetPlaceHolder(say("ui-text-family-filter"))
		search.OnChanged = d.find
		search.OnMove = d.move
		d.rows = container.New(&controls.Stack{})
		d.none = controls.NewPara(say("ui-text-family-none"), controls.Quiet)
		d.none.Hide()
		d.scroll = controls.NewScroll(container.New(&controls.Stack{}, d.none, d.rows), d.sample)
		high := max(3*fontRowHigh, min(12*fontRowHigh, h.Desk.Room().Height-300))
		d.Body.Add(search)
		d.Body.Add(container.NewStack(controls.NewCard(controls.Ground, controls.Rule), container.New(&controls.Inset{X: 4, Y: 4}, container.NewGridWrap(fyne.NewSize(fontsWide-8, high), d.scroll))))
		d.OnCancel = func() { d.close(do.Drop) }
		d.SetButtons(dialogs.Button(say("ui-cancel"), d.Cancel), dialogs.Button(say("ui-text-family-set"), func() { d.close(do.Use) }))
		d.Show(search)
		d.find("")
	})
}

func (d *familyDialog) close(then func()) {
	d.stop()
	d.Close()
	then()
}

func (d *familyDialog) newRow(family string) *fontRow {
	r := &fontRow{family: family, mark: controls.NewMark("", family, func() { d.pick(family) })} // some fonts have pictures for letters
	r.mark.Height = fontRowHigh
	plain := controls.NewLine(family, controls.Text)
	plain.Shrinks = true
	r.name = container.New(&controls.Inset{X: 10, Y: 7}, plain)
	r.object = container.NewStack(r.mark, r.name)
	return r
}

// find lists the fonts with a text in their names. Where the one that is marked is
// not among them, the first is.
func (d *familyDialog) find(text string) {
	text = strings.ToLower(strings.TrimSpace(text))
	d.shown, d.rows.Objects = nil, nil
	for _, r := range d.all {
		if strings.Contains(strings.ToLower(r.family), text) {
			d.shown = append(d.shown, r)
			d.rows.Objects = append(d.rows.Objects, r.object)
		}
	}
	d.none.Hidden = len(d.shown) > 0
	d.scroll.Content.Refresh()
	d.scroll.Refresh()
	if d.at() < 0 && len(d.shown) > 0 {
		d.pick(d.shown[0].family)
		return
	}
	d.show()
}

// at is where the marked font is in the list, below 0 where it is not.
func (d *familyDialog) at() int {
	return slices.IndexFunc(d.shown, func(r *fontRow) bool { return r.family == d.picked })
}

// move marks a font further down or up.
func (d *familyDialog) move(rows int) {
	if n := len(d.shown); n > 0 {
		d.pick(d.shown[max(0, min(d.at()+rows, n-1))].family)
	}
}

// pick marks a font, and shows the lettering in it.
func (d *familyDialog) pick(family string) {
	if family != d.picked {
		d.picked = family
		d.do.Try(family)
	}
	d.show()
}

// show brings the marked font into view.
func (d *familyDialog) show() {
	at := d.at()
	for i, r := range d.shown {
		r.mark.SetOn(i == at)
	}
	if top, high := float32(at)*fontRowHigh, d.scroll.Size().Height; at >= 0 && (top < d.scroll.Offset.Y || top+fontRowHigh > d.scroll.Offset.Y+high) {
		d.scroll.ScrollToOffset(fyne.NewPos(0, max(0, top-high/2)))
	}
	d.sample()
}

// sample sets the names in view in their fonts.
func (d *familyDialog) sample() {
	first := int(d.scroll.Offset.Y / fontRowHigh)
	last := first + int(d.scroll.Size().Height/fontRowHigh) + 2
	var want []string
	for i := max(first, 0); i < min(last, len(d.shown)); i++ {
		if f := d.shown[i].family; !d.asked[f] {
			d.asked[f] = true
			want = append(want, f)
		}
	}
	if len(want) == 0 {
		return
	}
	before := d.stop
	stop := session.Each(d.h.Session, want, session.Sample, d.set)
	d.stop = func() { before(); stop() }
}

// set shows a name in its font.
func (d *familyDialog) set(family string, outline []job.Shape, err error) {
	img := nameIn(outline)
	if err != nil || img == nil {
		return // it stays in the window's own letters
	}
	for _, r := range d.all {
		if r.family == family {
			picture := canvas.NewImageFromImage(img)
			picture.FillMode = canvas.ImageFillStretch
			picture.SetMinSize(fyne.NewSize(float32(img.Rect.Dx())/namePx, float32(img.Rect.Dy())/namePx))
			r.name.Objects = []fyne.CanvasObject{container.NewHBox(picture)}
			r.name.Layout = &controls.Inset{X: 10}
			r.name.Refresh()
		}
	}
}
