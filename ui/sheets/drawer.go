package sheets

import (
	"io"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"abut/internal/colour"
	"abut/internal/drawer"
	"abut/internal/whole"
	"abut/internal/words"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/dialogs"
	"abut/ui/files"
	"abut/ui/pick"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
)

// drawerDialog is the list of the user's own sheets, with a form for the one
// that is chosen.
type drawerDialog struct {
	*dialogs.Dialog
	h      *Host
	sheets []drawer.Sheet
	chosen int
	list   *fyne.Container
	scroll *container.Scroll
	// side has the form or, while there are no sheets, begin.
	side, form, begin *fyne.Container
	wrong             *controls.Para
	// bad: something in the form is no value, so it is not in sheets.
	bad  bool
	keep *controls.Press

	name, wide, high, count, price, pattern, offcuts *controls.Entry
	pressed, unpressed                               *tint
	direction                                        *controls.Choice
	filling                                          bool
}

// Drawer shows the user's own sheets.
func (h *Host) Drawer() {
	sheets, err := h.Session.Drawer()
	if err != nil {
		h.Trouble(err)
		return
	}
	d := &drawerDialog{Dialog: h.Desk.New(800, words.Say("ui-drawer-title")), h: h, sheets: slices.Clone(sheets), chosen: -1}
	d.SetHelp("sheets-and-colours")
	d.Body.Add(controls.NewPara(words.Say("ui-drawer-why"), controls.Quiet))
	d.list = container.New(&controls.Stack{Gap: 2})
	d.scroll = controls.NewScroll(d.list)
	d.newForm()
	d.side = container.NewStack()
	d.begin = container.New(&controls.Stack{Gap: 12}, controls.NewPara(words.Say("ui-drawer-begin"), controls.Text),
		container.NewHBox(controls.NewFramed("sheet", words.Say("ui-drawer-start"), words.Say("ui-drawer-start-hint"), d.start)))
	d.Body.Add(container.New(&controls.Lead{Gap: 20}, container.NewGridWrap(fyne.NewSize(270, 320), container.NewStack(controls.NewCard(controls.Ground, controls.Rule), container.New(&controls.Inset{X: 6, Y: 6}, d.scroll))), d.side))
	row := container.New(&controls.Flow{Gap: 6},
		controls.NewFramed("plus", words.Say("ui-drawer-add"), "", d.add), controls.NewFramed("delete", words.Say("ui-drawer-remove"), "", d.remove),
		controls.NewFramed("open", words.Say("ui-drawer-import"), words.Say("ui-drawer-import-hint"), d.importCSV), controls.NewFramed("save", words.Say("ui-drawer-export"), words.Say("ui-drawer-export-hint"), d.exportCSV))
	d.Body.Add(row)
	d.wrong = controls.NewPara("", controls.Care)
	d.Body.Add(d.wrong)
	d.Unsaved = func() bool {
		return !slices.EqualFunc(d.sheets, sheets, func(a, b drawer.Sheet) bool { return reflect.DeepEqual(a, b) })
	}
	d.keep = dialogs.Button(words.Say("ui-drawer-keep"), d.done)
	d.SetButtons(dialogs.Button(words.Say("ui-cancel"), d.Cancel), d.keep)
	if len(d.sheets) > 0 {
		d.chosen = 0
	}
	d.show()
	d.Show(nil)
}

func (d *drawerDialog) newForm() {
	entry := func() *controls.Entry {
		e := controls.NewEntry("")
		e.OnChanged = func(string) { d.take() }
		return e
	}
	d.name, d.wide, d.high = entry(), entry(), entry()
	d.count, d.price, d.pattern, d.offcuts = entry(), entry(), entry(), entry()
	d.pressed = newTint(d.h, "ui-drawer-pressed", func(was colour.RGB) {
		if d.unpressed.colour == was { // it looked alike
			d.unpressed.show(d.pressed.colour)
		}
		d.take()
	})
	d.unpressed = newTint(d.h, "ui-drawer-unpressed", func(colour.RGB) { d.take() })
	d.direction = controls.NewChoice(func(i int) {
		d.direction.Choose(i)
		d.take()
	}, words.Say("ui-drawer-any-way"), words.Say("ui-drawer-upright"), words.Say("ui-drawer-across"))
	cell := func(id string, o fyne.CanvasObject) fyne.CanvasObject {
		return container.New(&controls.Stack{Gap: 2}, controls.NewCaption(words.Say(id)), o)
	}
	d.form = container.New(&controls.Stack{Gap: 8},
		cell("ui-drawer-name", d.name),
		container.NewGridWithColumns(2, cell("ui-drawer-pressed", d.pressed.object), cell("ui-drawer-unpressed", d.unpressed.object)),
		container.NewGridWithColumns(4, cell("ui-drawer-width", d.wide), cell("ui-drawer-height", d.high), cell("ui-drawer-count", d.count), cell("ui-drawer-price", d.price)),
		cell("ui-drawer-offcuts", d.offcuts),
		cell("ui-drawer-pattern", d.pattern),
		cell("ui-drawer-direction", d.direction))
}

// show fills list and form.
func (d *drawerDialog) show() {
	d.showList()
	d.fill()
	d.Fit()
}

func (d *drawerDialog) showList() {
	d.list.RemoveAll()
	for i := range d.sheets {
		s := &d.sheets[i]
		p := controls.NewAction("", s.Name, "", func() {
			d.chosen = i
			d.wrong.SetText("")
			d.show()
		})
		p.Fills, p.Height = true, 32
		p.SetOn(i == d.chosen)
		amount := controls.NewLine(amountOf(s), controls.Quiet)
		row := controls.NewDock(nil, nil, container.NewCenter(controls.NewSwatch(s.Pressed, 22)), container.New(&controls.Inset{X: 6}, container.NewCenter(amount)), p)
		d.list.Add(row)
	}
	if len(d.sheets) == 0 {
		d.list.Add(container.New(&controls.Inset{X: 8, Y: 8}, controls.NewPara(words.Say("ui-drawer-empty"), controls.Quiet)))
	}
	d.list.Refresh()
	d.scroll.Refresh()
}

// amountOf says how many there are.
func amountOf(s *drawer.Sheet) string {
	var parts []string
	if s.Count >= 0 {
		parts = append(parts, words.Number(float64(s.Count)))
	}
	if n := len(s.Offcuts); n > 0 {
		parts = append(parts, words.Say("ui-drawer-and-offcuts", "count", words.Count(n)))
	}
	return strings.Join(parts, " + ")
}

// fill puts the chosen sheet into the form.
func (d *drawerDialog) fill() {
	d.filling = true
	defer func() { d.filling = false }()
	d.bad = false
	if d.chosen < 0 {
		d.side.Objects = []fyne.CanvasObject{d.begin}
		return
	}
	d.side.Objects = []fyne.CanvasObject{d.form}
	s := &d.sheets[d.chosen]
	number := func(v float64) string {
		if v == 0 {
			return ""
		}
		return words.Typed(v, 2)
	}
	d.name.SetText(s.Name)
	d.pressed.show(s.Pressed)
	d.unpressed.show(s.Unpressed)
	d.wide.SetText(number(s.WidthMM))
	d.high.SetText(number(s.HeightMM))
	d.price.SetText(number(s.Price))
	d.pattern.SetText(s.Pattern)
	d.offcuts.SetText(drawer.OffcutsText(s.Offcuts))
	d.count.SetText("")
	if s.Count >= 0 {
		d.count.SetText(strconv.Itoa(s.Count))
	}
	d.direction.Choose(int(s.Direction))
}

// take takes the form over, when all of it can be read.
func (d *drawerDialog) take() {
	if d.filling || d.chosen < 0 {
		return
	}
	s, wrong := d.read()
	d.bad = wrong != ""
	if d.bad {
		d.wrong.SetText(words.Say("ui-drawer-wrong", "what", wrong) + " " + words.Say("drawer-bad-value.remedy"))
		d.Fit()
		return
	}
	if d.wrong.Text() != "" {
		d.wrong.SetText("")
		d.Fit()
	}
	s.Other = d.sheets[d.chosen].Other // which the form does not show
	d.sheets[d.chosen] = s
	d.showList()
}

// read reads the form; wrong is the name of the entry that cannot be read.
func (d *drawerDialog) read() (s drawer.Sheet, wrong string) {
	s = drawer.Sheet{Name: strings.TrimSpace(d.name.Text), Pattern: strings.TrimSpace(d.pattern.Text), Count: -1, Direction: drawer.Direction(d.direction.Chosen())}
	if s.Name == "" {
		return s, words.Say("ui-drawer-name")
	}
	var err error
	s.Pressed, s.Unpressed = d.pressed.colour, d.unpressed.colour
	for _, f := range []struct {
		e  *controls.Entry
		id string
		to *float64
	}{{d.wide, "ui-drawer-width", &s.WidthMM}, {d.high, "ui-drawer-height", &s.HeightMM}, {d.price, "ui-drawer-price", &s.Price}} {
		if text := strings.TrimSpace(f.e.Text); text != "" {
			v, ok := words.ParseSigned(text)
			if !ok || v < 0 {
				return s, words.Say(f.id)
			}
			*f.to = math.Round(v*100) / 100 // as it is shown
		}
	}
	if text := strings.TrimSpace(d.count.Text); text != "" {
		if s.Count, err = strconv.Atoi(text); err != nil || s.Count < 0 {
			return s, words.Say("ui-drawer-count")
		}
	}
	var ok bool
	if s.Offcuts, ok = drawer.ParseOffcuts(d.offcuts.Text); !ok {
		return s, words.Say("ui-drawer-offcuts")
	}
	return s, ""
}

// add puts a new sheet at the end: one like the sheet that is chosen, since
// sheets of a maker are mostly of one size and price.
func (d *drawerDialog) add() {
	grey := colour.RGB{R: 0x80, G: 0x80, B: 0x80}
	s := drawer.Sheet{Name: words.Say("ui-drawer-new"), Pressed: grey, Unpressed: grey, Count: 1}
	if d.chosen >= 0 {
		o := d.sheets[d.chosen]
		s.WidthMM, s.HeightMM, s.Price = o.WidthMM, o.HeightMM, o.Price
	}
	d.sheets = append(d.sheets, s)
	d.chosen = len(d.sheets) - 1
	d.wrong.SetText("")
	d.show()
	d.scroll.ScrollToBottom()
	d.Focus(d.name)
	d.name.TypedShortcut(&fyne.ShortcutSelectAll{})
}

// start begins with a sheet of each plain colour, called by its word, of which
// nobody knows how many there are.
func (d *drawerDialog) start() {
	for _, c := range drawer.Plain {
		d.sheets = append(d.sheets, drawer.Sheet{Name: pick.Word(c), Pressed: c, Unpressed: c, Count: -1})
	}
	d.chosen = 0
	d.show()
}

func (d *drawerDialog) remove() {
	if d.chosen < 0 {
		return
	}
	d.sheets = slices.Delete(d.sheets, d.chosen, d.chosen+1)
	d.chosen = min(d.chosen, len(d.sheets)-1)
	d.wrong.SetText("")
	d.show()
}

// done keeps the drawer.
func (d *drawerDialog) done() {
	if d.bad {
		return // the form says what is wrong
	}
	if err := d.h.Session.SetDrawer(d.sheets); err != nil {
		d.say(err)
		return
	}
	d.Close()
}

// say says what went wrong, in the dialog.
func (d *drawerDialog) say(err error) {
	text, remedy := workshop.Explain(err)
	d.wrong.SetText(strings.TrimSpace(text + " " + remedy))
	d.Fit()
}

// importCSV takes sheets in from a file: those of a name that is there are
// replaced, the others come after.
func (d *drawerDialog) importCSV() {
	d.h.Files.Open(files.Lists, d.takeIn)
}

func (d *drawerDialog) takeIn(path string) {
	in, err := drawer.Open(path)
	if err != nil {
		d.say(err)
		return
	}
	for _, s := range in {
		if k := slices.IndexFunc(d.sheets, func(o drawer.Sheet) bool { return o.Name == s.Name }); k >= 0 {
			d.sheets[k] = s
		} else {
			d.sheets = append(d.sheets, s)
		}
	}
	if d.chosen < 0 && len(d.sheets) > 0 {
		d.chosen = 0
	}
	d.wrong.SetText("")
	d.show()
}

// exportCSV writes the list as it stands into a file.
func (d *drawerDialog) exportCSV() {
	d.h.Files.Save(files.Lists, words.Say("ui-drawer-file")+".csv", func(path string) {
		if err := whole.WriteFile(path, func(w io.Writer) error { return drawer.Write(w, d.sheets) }); err != nil {
			d.say(err)
		}
	})
}
