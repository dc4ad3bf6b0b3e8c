package sheets

import (
	"image"
	"math"
	"slices"
	"strconv"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"

	"abut/internal/job"
	"abut/internal/words"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/dialogs"
	"abut/ui/theme"
)

// listDialog shows what becomes of each row of a list, to be taken or left out.
type listDialog struct {
	*dialogs.Dialog
	h      *Host
	list   *job.List
	sum    *controls.Line
	wrong  *controls.Para
	rows   *fyne.Container
	scroll *container.Scroll
	made   []*listRow
	left   int // rows that were not looked at yet
	use    *controls.Press
	// touched: something was chosen that would be lost.
	touched bool
	stop    func()
}

// listRow is one row with its picture and what is to know about it.
type listRow struct {
	object  fyne.CanvasObject
	take    *controls.Check
	picture *canvas.Image
	// text says what is good and care what is not.
	text, care *controls.Para
	err        error
}

// The picture of a row, in units.
const rowWide, rowHigh = 132, 66

// List asks which rows of a list a copy is made of: of that in a file or, without its
// path, of the job's own; where there is none it asks for the names first.
func (h *Host) List(path string) {
	own := h.Session.Job().Settings.List
	switch {
	case path != "":
		h.Session.ReadList(path, func(l *job.List, err error) {
			if err != nil {
				h.Trouble(err)
				return
			}
			if h.foreign(l) {
				h.typeNames(l, nil) // there it can be put right
				return
			}
			h.showList(l, true)
		})
	case own != nil:
		l := *own
		l.Rows = slices.Clone(own.Rows)
		h.showList(&l, false)
	default:
		h.typeNames(nil, nil)
	}
}

// foreign reports whether a list has none of the columns that the design asks for: its first line may be a name, and no
// heading.
func (h *Host) foreign(l *job.List) bool {
	asked := workshop.Asked(h.Session.Job())
	return len(asked) > 0 && !slices.ContainsFunc(asked, func(a string) bool {
		return slices.ContainsFunc(l.Columns, func(c string) bool { return strings.EqualFold(a, c) })
	})
}

func (h *Host) showList(l *job.List, fresh bool) {
	if !h.Session.Opened() {
		return
	}
	d := &listDialog{Dialog: h.Desk.New(860, words.Say("ui-list-title")), h: h, list: l, touched: fresh, stop: func() {}}
	d.SetHelp("copies-and-names")
	d.Body.Add(controls.NewPara(words.Say("ui-list-why", "mark", "{"+l.Columns[0]+"}"), controls.Quiet))
	d.sum = controls.NewLine("", controls.Text)
	d.sum.Shrinks = true
	other := controls.NewFramed("text", words.Say("ui-list-change"), "", func() {
		h.typeNames(d.list, func() {
			d.leave()
			d.Hide()
		})
	})
	d.Body.Add(controls.NewDock(nil, nil, nil, other, container.New(&controls.Inset{Y: 6}, d.sum)))
	d.rows = container.New(&controls.Stack{Gap: 8})
	for i := range l.Rows {
		d.made = append(d.made, d.row(i))
		d.rows.Add(d.made[i].object)
	}
	d.scroll = controls.NewScroll(d.rows)
	d.Body.Add(container.NewStack(controls.NewCard(controls.Ground, controls.Rule), container.New(&controls.Inset{X: 8, Y: 8}, d.scroll)))
	d.wrong = controls.NewPara("", controls.Care)
	d.Body.Add(d.wrong)
	d.OnCancel = func() { d.leave(); d.Close() }
	d.Unsaved = func() bool { return d.touched }
	d.use = dialogs.Button(words.Say("ui-list-use"), d.accept)
	d.use.Disable()
	buttons := []*controls.Press{dialogs.Button(words.Say("ui-cancel"), d.Cancel)}
	if h.Session.Job().Settings.List != nil {
		buttons = append(buttons, dialogs.Button(words.Say("ui-list-none"), func() {
			d.leave()
			d.Close()
			h.Session.SetList(nil)
		}))
	}
	d.SetButtons(append(buttons, d.use)...)
	d.fit()
	d.Show(d.made[0].take)
	d.look()
}

// row makes the row of a number, from 0.
func (d *listDialog) row(i int) *listRow {
	r := &listRow{picture: canvas.NewImageFromImage(image.NewNRGBA(image.Rect(0, 0, 1, 1))), text: controls.NewPara(words.Say("ui-list-wait"), controls.Quiet), care: controls.NewPara("", controls.Care)}
	r.picture.FillMode = canvas.ImageFillContain
	r.picture.SetMinSize(fyne.NewSize(rowWide, rowHigh))
	r.take = controls.NewCheck("", nil)
	r.take.SetChecked(!d.list.Rows[i].Out)
	r.take.OnChanged = func(on bool) {
		d.list.Rows[i].Out, d.touched = !on, true
		d.say()
	}
	title := controls.NewLine(strconv.Itoa(i+1)+" · "+workshop.RowName(d.list, i), controls.Text)
	title.Bold, title.Shrinks = true, true
	cells := controls.NewCaption(d.cells(i))
	cells.Shrinks = true
	cells.Hidden = d.cells(i) == ""
	paper := canvas.NewRectangle(controls.NRGBA(d.h.Session.Job().Settings.BlankColour()))
	paper.CornerRadius = 4
	lead := container.NewHBox(container.NewCenter(r.take), container.NewCenter(container.NewStack(paper, container.New(&controls.Inset{X: 2, Y: 2}, r.picture))))
	r.object = container.New(&controls.Lead{Gap: 12}, lead, container.New(&controls.Stack{Gap: 2}, title, cells, r.text, r.care))
	return r
}

// cells are what the row has besides its name.
func (d *listDialog) cells(i int) string {
	var all []string
	name := workshop.RowName(d.list, i)
	for k, c := range d.list.Rows[i].Cells {
		if text := strings.Join(strings.Fields(c), " "); text != "" && text != name && k < len(d.list.Columns) {
			all = append(all, d.list.Columns[k]+": "+text)
		}
	}
	return strings.Join(all, " · ")
}

// look has all rows looked at.
func (d *listDialog) look() {
	l := *d.list
	l.Rows = slices.Clone(l.Rows) // which are left out changes meanwhile
	d.left = len(l.Rows)
	d.stop = d.h.Session.LookRows(&l, rowWide*layoutPx, d.looked)
	d.say()
}

// looked takes what came of a row.
func (d *listDialog) looked(i int, l workshop.RowLook) {
	r := d.made[i]
	d.left--
	r.err = l.Err
	if l.Err != nil {
		text, remedy := workshop.Explain(l.Err)
		if unmarked(l.Err) || outlined(l.Err) {
			remedy = "" // it is the design's, and said once
		}
		r.text.SetText("")
		r.care.SetText(strings.TrimSpace(text + " " + remedy))
		r.take.OnChanged = nil
		r.take.SetChecked(false)
		r.take.Disable()
		d.list.Rows[i].Out = true
	} else {
		r.picture.Image = l.Picture
		r.picture.Refresh()
		good, care := d.told(l)
		r.text.SetText(good)
		r.care.SetText(care)
	}
	if d.left%together == 0 {
		d.say()
	}
}

// unmarked reports whether nothing in the design says where the list goes.
func unmarked(err error) bool { return workshop.Is(err, "list-nothing-marked") }

// outlined reports whether what says where the list goes came as text of a file.
func outlined(err error) bool { return workshop.Is(err, "list-outlines") }

// together is how many rows are looked at before the dialog is measured anew, which for a
// hundred rows takes longer than looking at one.
const together = 10

// told says in words that a row is good, or what needs care.
func (d *listDialog) told(l workshop.RowLook) (good, care string) {
	var all []string
	if l.Share < 1 {
		all = append(all, words.Say("ui-list-smaller", "percent", words.Number(math.Round(100*l.Share))))
	}
	if l.Stacked {
		all = append(all, words.Say("ui-list-stacks"))
	}
	if l.Weak > 0 {
		all = append(all, words.Say("ui-list-weak", "count", words.Count(l.Weak)))
	}
	for _, n := range l.Notes {
		text, remedy := d.h.words().Warning(n)
		all = append(all, strings.TrimSpace(text+" "+remedy))
	}
	if len(all) == 0 {
		return words.Say("ui-list-good"), ""
	}
	return "", strings.Join(all, " ")
}

// faults counts the rows of which nothing can be made, and says what is wrong where that is the
// design's and the same of all rows.
func (d *listDialog) faults() (wrong int, design string) {
	for _, r := range d.made {
		if r.err != nil {
			wrong++
		}
	}
	if wrong < len(d.made) {
		return wrong, ""
	}
	first, remedy := workshop.Explain(d.made[0].err)
	for _, r := range d.made {
		if text, _ := workshop.Explain(r.err); text != first {
			return wrong, ""
		}
	}
	switch {
	case unmarked(d.made[0].err):
		return wrong, first + " " + words.Say("ui-list-mark", "mark", "{"+d.list.Columns[0]+"}")
	case outlined(d.made[0].err):
		return wrong, first + " " + remedy
	}
	return wrong, ""
}

// say says how many copies there will be, and what is in the way.
func (d *listDialog) say() {
	wrong, design := d.faults()
	n := d.list.Count()
	sum := words.Say("ui-list-sum", "count", words.Count(n), "all", strconv.Itoa(len(d.list.Rows)))
	if d.list.File != "" {
		sum = d.list.File + ": " + sum
	}
	d.sum.SetText(sum)
	switch {
	case d.left > 0:
		d.wrong.SetText("")
	case design != "":
		d.wrong.SetText(design)
	case n == 0 && wrong < len(d.made): // to choose a row comes before what is wrong with others
		d.wrong.SetText(words.Say("edit-bad-list.remedy"))
	case wrong > 0:
		d.wrong.SetText(words.Say("ui-list-wrong", "count", words.Count(wrong)))
	default:
		d.wrong.SetText("")
	}
	d.use.SetEnabled(d.left == 0 && n > 0)
	d.fit()
}

// fit makes the dialog as high as it has to be.
func (d *listDialog) fit() {
	room := d.h.Desk.Room()
	controls.Wrap(d.rows, min(860, room.Width-32)-2*24-16-14)
	d.scroll.SetMinSize(fyne.NewSize(100, min(d.rows.MinSize().Height+4, max(160, room.Height-theme.Scaled(366)))))
	d.rows.Refresh()
	d.scroll.Refresh()
	d.Fit()
}

// leave gives up what is under way.
func (d *listDialog) leave() { d.stop() }

// accept takes the list over and goes on to laying its copies out.
func (d *listDialog) accept() {
	d.leave()
	d.Close()
	if now := d.h.Session.Job().Settings.List; now == nil || !sameList(now, d.list) {
		d.h.Session.SetList(d.list)
	}
	d.h.LayOut()
}

func sameList(a, b *job.List) bool {
	return a.File == b.File && slices.Equal(a.Columns, b.Columns) && slices.EqualFunc(a.Rows, b.Rows, func(x, y job.ListRow) bool {
		return x.Line == y.Line && x.Out == y.Out && slices.Equal(x.Cells, y.Cells)
	})
}
