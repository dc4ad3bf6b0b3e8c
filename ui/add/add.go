// Package add puts new things onto the board: text, shapes and bands around what is
// there, in a size and a colour that can be seen where they come to lie.
package add

import (
	"context"
	"image/color"
	"math"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"abut/internal/colour"
	"abut/internal/job"
	"abut/internal/lettering"
	"abut/internal/session"
	"abut/internal/words"
	"abut/ui/board"
	"abut/ui/command"
	"abut/ui/controls"
	"abut/ui/pick"
)

// Host is the window that things are added in.
type Host struct {
	Session  *session.Session
	Commands *command.Table
	// Board returns the board, ShowArt shows it with the art.
	Board   func() *board.Board
	ShowArt func()
	// EditText takes whoever types to the words of the selected text, Refocus to
	// the board.
	EditText, Refocus func()
	Trouble           func(error)

	// text is how the last text was set, colour what was chosen last: new things
	// begin like them.
	text   job.Text
	colour *colour.RGB
}

// say returns a sentence.
func say(id string) string { return words.Say(id) }

// Follow notes how the selected text is set.
func (h *Host) Follow(st session.State) {
	if l, _, _ := st.One(); l.Content != nil {
		if t, is := l.Content.(job.Text); is {
			h.text = t
			h.text.Shapes = nil
		}
	}
}

// Thing is something that can be added, with its icon, sentence and key.
type Thing struct {
	Icon, ID string
	Key      fyne.Shortcut
	Add      func()
	// Around: it goes around the selection, so there has to be one.
	Around bool
}

// newText is what a text is as long as nobody chose anything else: broad enough
// to cut.
var newText = job.Text{Weight: 700, Align: job.TextMiddle}

func (h *Host) textNow() job.Text {
	if h.text.Weight == 0 {
		return newText
	}
	return h.text
}

// Things lists what can be added, in the order in which it is offered.
func (h *Host) Things() []Thing {
	with := func(k fyne.KeyName) fyne.Shortcut {
		return &desktop.CustomShortcut{KeyName: k, Modifier: fyne.KeyModifierShortcutDefault | fyne.KeyModifierShift}
	}
	list := []Thing{{"text", "ui-add-text", with(fyne.KeyX), h.Text, false}}
	keys := map[job.Form]fyne.KeyName{job.Rectangle: fyne.KeyR, job.Ellipse: fyne.KeyE, job.Polygon: fyne.KeyY, job.Star: fyne.KeyA, job.Heart: fyne.KeyL}
	for _, f := range job.Forms {
		list = append(list, Thing{f.String(), "ui-add-" + f.String(), with(keys[f]), func() { h.Primitive(f) }, false})
	}
	return append(list, Thing{"surround", "ui-add-surround", with(fyne.KeyU), h.Surround, true})
}

// Menu shows what can be added beneath the button for it.
func (h *Host) Menu(add *controls.Press, over fyne.Canvas) {
	column := container.New(&controls.Stack{Gap: 2})
	room := canvas.NewRectangle(color.Transparent) // for the longest word
	pop := widget.NewPopUp(container.New(&controls.Inset{X: 8, Y: 8}, room, column), over)
	var presses []*controls.Press
	for i, a := range h.Things() {
		p := h.Commands.Press(a.ID)
		p.OnTapped = func() { pop.Hide(); h.Commands.Run(a.ID) }
		room.SetMinSize(fyne.NewSize(max(room.MinSize().Width, p.MinSize().Width), 0))
		p.Fills = true
		p.OnKey = func(k *fyne.KeyEvent) {
			step := 0
			switch k.Name {
			case fyne.KeyEscape:
				pop.Hide()
				h.Refocus()
			case fyne.KeyDown:
				step = 1
			case fyne.KeyUp:
				step = -1
			}
			if to := i + step; step != 0 && to >= 0 && to < len(presses) {
				over.Focus(presses[to])
			}
		}
		presses = append(presses, p)
		column.Add(p)
	}
	at := fyne.CurrentApp().Driver().AbsolutePositionForObject(add)
	add.MouseOut() // what is shown over it gets the pointer, and nobody tells it
	pop.ShowAtPosition(fyne.NewPos(at.X, at.Y+add.Size().Height+2))
	over.Focus(presses[0])
}

// goodSize returns a round length of about a quarter of what can be seen of the
// board, or of the blank where that is smaller.
func (h *Host) goodSize() float64 {
	seen := h.Board().Seen()
	side := min(seen.Width(), seen.Height())
	if r := h.Session.Page(); !r.Empty() {
		side = min(side, r.Width(), r.Height())
	}
	side /= 4
	if !(side > 0) {
		return 30
	}
	step := math.Pow(10, math.Floor(math.Log10(side)))
	return max(1, math.Round(side/step)*step)
}

// newColour is what something new is cut from: what was chosen last, else the
// colour of what is selected, else one of the job's that is to be seen where it
// comes to lie.
func (h *Host) newColour() colour.RGB {
	j := h.Session.Job()
	if h.colour != nil {
		return *h.colour
	}
	for _, id := range h.Session.Selection() {
		if l, _, ok := j.Layer(id); ok && l.Use == job.Cut {
			return l.Colour
		}
	}
	plan, _ := h.Session.Plan()
	if plan == nil || len(plan.Separations) == 0 {
		return pick.Palette[0]
	}
	var sheets []colour.RGB
	for _, s := range plan.Separations {
		sheets = append(sheets, s.Colour)
	}
	under := h.Board().PieceAt(h.Board().Seen().Centre())
	on, _ := plan.Find(under.Of)
	if on == nil {
		return sheets[0]
	}
	if len(sheets) == 1 {
		sheets = pick.Palette
	}
	return distinct([]colour.RGB{on.Colour}, sheets)
}

// Recolour gives the selection another colour, which new things have from then
// on.
func (h *Host) Recolour(c colour.RGB) {
	h.colour = &c
	h.Session.Recolour(h.Session.Selection(), c)
}

// distinct returns the candidate that differs most from all of the colours.
func distinct(from, candidates []colour.RGB) colour.RGB {
	best, most := candidates[0], -1.0
	for _, c := range candidates {
		least := math.Inf(1)
		for _, f := range from {
			least = min(least, c.DeltaE(f))
		}
		if least > most {
			best, most = c, least
		}
	}
	return best
}

// insert adds content in the middle of the view, as one step, and selects it.
func (h *Host) insert(name string, c job.Content) {
	h.Session.Insert(h.added(name, c), h.Board().Seen().Centre())
	h.ShowArt()
}

func (h *Host) added(name string, c job.Content) job.Added {
	return job.Added{Name: name, Content: c, Colour: h.newColour(), ItemName: say("ui-add-item")}
}

// Primitive adds a shape in the middle of what is seen.
func (h *Host) Primitive(f job.Form) {
	s := h.goodSize()
	p := job.Primitive{Form: f, Width: s, Height: s}
	switch f {
	case job.Rectangle:
		p.Width = 1.5 * s
	case job.Polygon:
		p.Points = 6
	case job.Star:
		p.Points, p.Inner = 5, 0.45
	}
	p, err := job.NewPrimitive(p)
	if err != nil {
		h.Trouble(err)
		return
	}
	h.insert(say("ui-add-"+f.String()), p)
	h.Refocus()
}

// Text adds a word that is there to be replaced: whatever is typed next
// does.
func (h *Host) Text() {
	t, at := h.textNow(), h.Board().Seen().Centre()
	t.Text, t.Arc, t.SizeMM = say("ui-add-text-sample"), nil, max(5, h.goodSize()/1.5)
	a := h.added(job.TextName(t.Text), nil)
	h.Session.Bring("ui-task-text", "ui-step-add-new", func(ctx context.Context) (func(job.Job) (job.Job, []job.LayerID, error), error) {
		t, _, err := lettering.Set(ctx, t)
		a.Content = t
		return func(j job.Job) (job.Job, []job.LayerID, error) {
			out, id, err := job.Add(j, a, at)
			return out, []job.LayerID{id}, err
		}, err
	}, func() {
		h.ShowArt()
		h.EditText()
	})
}

// SurroundMM is how wide a surround is at first.
const SurroundMM = 3

// Surround adds a band around what is selected.
func (h *Host) Surround() {
	ids := h.Session.Selection()
	h.Session.Surround(ids, job.Surround{WidthMM: SurroundMM}, say("ui-add-surround-name"), h.surroundColour(ids))
	h.ShowArt()
	h.Refocus()
}

// surroundColour is a colour of the job that none of the layers has, for a band
// of their own colour would not show; else one of ours.
func (h *Host) surroundColour(ids []job.LayerID) colour.RGB {
	j := h.Session.Job()
	var taken []colour.RGB
	for _, id := range ids {
		if l, _, ok := j.Layer(id); ok {
			taken = append(taken, l.Colour)
		}
	}
	free := slices.DeleteFunc(h.Session.Job().Colours(), func(c colour.RGB) bool { return slices.Contains(taken, c) })
	if len(free) == 0 {
		free = pick.Palette
	}
	return distinct(taken, free)
}
