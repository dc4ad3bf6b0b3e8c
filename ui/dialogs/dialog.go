// Package dialogs holds what the window asks and tells over itself. Words come
// from whoever shows them, but for the question whether what was typed may be lost;
// outcomes go back through callbacks.
package dialogs

import (
	"image/color"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"

	"abut/internal/words"
	"abut/ui/controls"
	"abut/ui/theme"
)

// Desk is where the dialogs of a window lie, one over the other: what comes later
// lies over what is there, which waits with all that was typed into it.
type Desk struct {
	canvas fyne.Canvas
	// closed gives the keyboard back to the window's work.
	closed func()
	stack  []*Dialog
	// work goes on in the background, nil without any.
	work *Work
	// Help shows what the guide says under a heading, nil where there is no guide.
	Help func(heading string)
	// OnTyped is told when something was typed in a dialog, or is gone with one; Again is asked for
	// what was typed into one of that title before the program was killed. Both may be nil.
	OnTyped func()
	Again   func(title string) []string
}

// NewDesk returns the desk of a window. closed gives the keyboard's focus back
// to what the window is for, after a dialog was closed.
func NewDesk(c fyne.Canvas, closed func()) *Desk { return &Desk{canvas: c, closed: closed} }

// Open reports whether a dialog is on screen.
func (k *Desk) Open() bool { return len(k.stack) > 0 }

// Top returns the dialog that lies over all others, nil when there is none.
func (k *Desk) Top() *Dialog {
	if len(k.stack) == 0 {
		return nil
	}
	return k.stack[len(k.stack)-1]
}

// Room is the window's size in units.
func (k *Desk) Room() fyne.Size { return k.canvas.Size() }

// Clear takes away the dialogs that are on screen, as if they had never been
// asked.
func (k *Desk) Clear() {
	for len(k.stack) > 0 {
		k.Top().Hide()
	}
}

// Dialog is one question or message over the window. Escape answers it like its
// first button unless OnEscape is set, Enter like its last.
type Dialog struct {
	desk    *Desk
	pop     *overlay
	width   float32
	content *fyne.Container
	head    *controls.Line
	// top is the title with what stands beside it, help what the sign there does.
	top  *fyne.Container
	help func()
	// holder has the body, or scroll, which scrolls it; that is nil while there is room for all.
	holder *fyne.Container
	scroll *container.Scroll
	// Body is what stands between the title and the buttons.
	Body     *fyne.Container
	OnEscape func()
	// OnCancel is what Cancel does in place of Close.
	OnCancel func()
	// Unsaved, where it is set, reports whether something would be lost that nobody
	// typed.
	Unsaved func() bool
	row     *fyne.Container
	buttons []*controls.Press
	// strip lies in under while work goes on in the background, and doing says
	// which.
	under, strip *fyne.Container
	doing        *controls.Line
	// focus had the keyboard when another dialog came to lie over this one.
	focus fyne.Focusable
}

// margin is what stays free beside the content.
const margin = 24

// New returns a dialog that is not shown yet.
func (k *Desk) New(width float32, title string) *Dialog {
	d := &Dialog{desk: k, width: width, head: controls.NewLine(title, controls.Text)}
	d.head.TextSize, d.head.Bold = theme.Title, true
	d.Body = container.New(&controls.Stack{Gap: 12})
	d.row = container.New(layout.NewCustomPaddedHBoxLayout(theme.Grid), layout.NewSpacer())
	d.holder = container.New(&controls.Stack{}, d.Body)
	d.top = container.NewStack(d.head)
	column := container.New(&controls.Stack{Gap: 18}, d.top, d.holder, d.newStrip(), d.row)
	d.content = container.New(&controls.Inset{X: margin, Y: 22}, column)
	d.pop = newOverlay(d.content, k.canvas)
	return d
}

// Aside has the dialog lie at the right: what is behind cannot be reached but seen,
// since it shows what is chosen.
func (d *Dialog) Aside() { d.pop.aside = true }

// SetTitle says what the dialog is about now.
func (d *Dialog) SetTitle(title string) { d.head.SetText(title) }

// SetHelp puts a sign beside the title that shows what the guide says under a heading.
func (d *Dialog) SetHelp(heading string) {
	if d.desk.Help == nil {
		return
	}
	d.help = func() { d.desk.Help(heading) }
	hint := words.Say("manual-about", "title", d.head.Text())
	d.top.Objects = []fyne.CanvasObject{controls.NewDock(nil, nil, nil, controls.NewHelp(hint, d.help), d.head)}
}

// SetButtons replaces the buttons, the one that goes on last.
func (d *Dialog) SetButtons(buttons ...*controls.Press) {
	d.buttons = buttons
	d.row.RemoveAll()
	d.row.Add(layout.NewSpacer())
	for i, b := range buttons {
		b.Next = i == len(buttons)-1
		d.row.Add(b)
	}
}

// SetCancel gives the dialog no button but the one that gives up: what goes on is
// in its body. That button is never the filled one.
func (d *Dialog) SetCancel(b *controls.Press) {
	d.SetButtons(b)
	b.Next = false
}

// Button returns a button for the dialog.
func Button(label string, tapped func()) *controls.Press {
	b := controls.NewAction("", label, "", tapped)
	b.Framed = true
	return b
}

// key answers the dialog: Escape like its first button, Enter like its last; F1 tells
// about it.
func (d *Dialog) key(k *fyne.KeyEvent) {
	n := len(d.buttons)
	switch k.Name {
	case fyne.KeyEscape:
		if d.OnEscape != nil {
			d.OnEscape()
		} else if n > 0 {
			d.buttons[0].Tapped(nil)
		}
	case fyne.KeyF1:
		if d.help != nil {
			d.help()
		}
	case fyne.KeyReturn, fyne.KeyEnter:
		if n > 0 {
			d.buttons[n-1].Tapped(nil)
		}
	}
}

// TypedKey gives a key to the dialog on top that nothing in it has the focus for,
// and reports whether there is one.
func (k *Desk) TypedKey(e *fyne.KeyEvent) bool {
	if d := k.Top(); d != nil {
		d.key(e)
		return true
	}
	return false
}

// Show shows the dialog in the middle of the window, over those that are there,
// the last button with the keyboard's focus unless focus is given. What an entry with
// the focus holds is marked, for what is typed to take its place, unless its cursor was
// put somewhere.
func (d *Dialog) Show(focus fyne.Focusable) {
	k := d.desk
	if top := k.Top(); top != d {
		if top != nil {
			top.focus = k.canvas.Focused()
		}
		d.leave() // it may lie further down
		k.stack = append(k.stack, d)
		d.retype()
	}
	d.showWork()
	d.Fit()
	d.pop.Show()
	if focus == nil && len(d.buttons) > 0 {
		focus = d.buttons[len(d.buttons)-1]
	}
	if focus != nil {
		k.canvas.Focus(focus)
	}
	if e, is := focus.(*controls.Entry); is && e.CursorColumn == 0 && !e.MultiLine {
		e.TypedShortcut(&fyne.ShortcutSelectAll{})
	}
}

// leave takes the dialog off the desk.
func (d *Dialog) leave() {
	d.desk.stack = slices.DeleteFunc(d.desk.stack, func(o *Dialog) bool { return o == d })
}

// Focus gives the keyboard to something in the dialog.
func (d *Dialog) Focus(o fyne.Focusable) { d.desk.canvas.Focus(o) }

// Fit makes the dialog as high as its content needs, after it changed.
func (d *Dialog) Fit() {
	room := d.desk.canvas.Size()
	w := min(d.width, max(room.Width-32, 200))
	d.holder.Objects = []fyne.CanvasObject{d.Body}
	controls.Answer(d.content, d.key)
	controls.Typing(d.Body, d.desk.typed)
	controls.Wrap(d.content, w)
	h := d.content.MinSize().Height
	before := d.scroll
	d.scroll = nil
	if over := h - max(room.Height-32, 120); over > 0 {
		lane := canvas.NewRectangle(color.Transparent) // for the bar, which lies over what scrolls
		lane.SetMinSize(fyne.NewSize(10, 1))
		scrolled := container.New(&controls.Inset{X: 4}, controls.NewDock(nil, nil, nil, lane, d.Body))
		controls.Wrap(scrolled, w-2*margin)
		scroll := controls.NewScroll(scrolled)
		scroll.SetMinSize(fyne.NewSize(1, max(d.Body.MinSize().Height-over, 60)))
		d.holder.Objects, d.scroll = []fyne.CanvasObject{scroll}, scroll
	}
	d.pop.SetCard(fyne.NewSize(w, min(h, max(room.Height-32, 120))))
	d.content.Refresh()
	if before != nil && d.scroll != nil { // whoever looks further down goes on doing so
		d.scroll.ScrollToOffset(before.Offset)
	}
}

// Reveal scrolls to something in the body that is out of sight.
func (d *Dialog) Reveal(o fyne.CanvasObject) {
	y, in := down(d.Body, o)
	if d.scroll == nil || !in {
		return
	}
	top, high := d.scroll.Offset.Y, d.scroll.Size().Height
	switch {
	case y < top:
		top = y
	case y+o.Size().Height > top+high:
		top = min(y, y+o.Size().Height-high)
	}
	d.scroll.ScrollToOffset(fyne.NewPos(0, top))
}

// down returns how far below the top of a container something in it lies.
func down(in *fyne.Container, o fyne.CanvasObject) (y float32, is bool) {
	for _, x := range in.Objects {
		if x == o {
			return x.Position().Y, true
		}
		if c, container := x.(*fyne.Container); container {
			if y, is = down(c, o); is {
				return c.Position().Y + y, true
			}
		}
	}
	return 0, false
}

// Hide takes the dialog away; another follows or the focus is given elsewhere.
func (d *Dialog) Hide() {
	d.leave()
	d.pop.Hide()
	d.desk.typed()
}

// Close takes the dialog away for good: what lay beneath it goes on, where the
// keyboard was.
func (d *Dialog) Close() {
	d.Hide()
	top := d.desk.Top()
	if top == nil {
		d.desk.closed()
		return
	}
	if top.showWork() {
		top.Fit()
	}
	if top.focus != nil {
		d.desk.canvas.Focus(top.focus)
	}
}

// Shown reports whether the dialog is on screen.
func (d *Dialog) Shown() bool { return d.pop.Visible() }

// Sign is a paragraph with an icon before it, in a tone of its own.
func Sign(icon string, tone controls.Tone, text string) fyne.CanvasObject {
	i := controls.NewIcon(24, func() string { return icon }, func() (c color.NRGBA) { return tone(theme.Current()) })
	return container.New(&controls.Lead{Gap: 12}, container.NewVBox(i), controls.NewPara(text, controls.Text))
}

// Message shows a text with what can be done about it, and one button.
func (k *Desk) Message(title, icon string, tone controls.Tone, text, remedy, button string) *Dialog {
	d := k.New(460, title)
	d.Body.Add(Sign(icon, tone, text))
	if remedy != "" {
		d.Body.Add(controls.NewPara(remedy, controls.Quiet))
	}
	d.SetButtons(Button(button, d.Close))
	d.Show(nil)
	return d
}
