package window

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
	"abut/ui/board"
	"abut/ui/controls"
	"abut/ui/pick"
)

// addable is one thing that can be added, with its icon, sentence and key.
type addable struct {
	icon, id string
	shortcut fyne.Shortcut
	add      func()
	// around: it goes around the selection, so there has to be one.
	around bool
}

// newText is what a text is as long as nobody chose anything else: broad enough
// to cut.
var newText = job.Text{Weight: 700, Align: job.TextMiddle}

func (w *Window) addables() []addable {
	with := func(k fyne.KeyName) fyne.Shortcut {
		return &desktop.CustomShortcut{KeyName: k, Modifier: fyne.KeyModifierShortcutDefault | fyne.KeyModifierShift}
	}
	list := []addable{{"text", "ui-add-text", with(fyne.KeyX), w.addText, false}}
	keys := map[job.Form]fyne.KeyName{job.Rectangle: fyne.KeyR, job.Ellipse: fyne.KeyE, job.Polygon: fyne.KeyY, job.Star: fyne.KeyA, job.Heart: fyne.KeyL}
	for _, f := range job.Forms {
		list = append(list, addable{f.String(), "ui-add-" + f.String(), with(keys[f]), func() { w.addPrimitive(f) }, false})
	}
	return append(list, addable{"surround", "ui-add-surround", with(fyne.KeyU), w.addSurround, true})
}

// showAdd shows what can be added beneath the button for it.
func (w *Window) showAdd() {
	column := container.New(&controls.Stack{Gap: 2})
	room := canvas.NewRectangle(color.Transparent) // for the longest word
	pop := widget.NewPopUp(container.New(&controls.Inset{X: 8, Y: 8}, room, column), w.win.Canvas())
	var presses []*controls.Press
	for i, a := range w.addables() {
		p := w.commands.Press(a.id)
		p.OnTapped = func() { pop.Hide(); w.commands.Run(a.id) }
		room.SetMinSize(fyne.NewSize(max(room.MinSize().Width, p.MinSize().Width), 0))
		p.Fills = true
		p.OnKey = func(k *fyne.KeyEvent) {
			step := 0
			switch k.Name {
			case fyne.KeyEscape:
				pop.Hide()
				w.focusBoard()
			case fyne.KeyDown:
				step = 1
			case fyne.KeyUp:
				step = -1
			}
			if to := i + step; step != 0 && to >= 0 && to < len(presses) {
				w.win.Canvas().Focus(presses[to])
			}
		}
		presses = append(presses, p)
		column.Add(p)
	}
	add := w.tools.beside[1].(*controls.Press)
	at := fyne.CurrentApp().Driver().AbsolutePositionForObject(add)
	add.MouseOut() // what is shown over it gets the pointer, and nobody tells it
	pop.ShowAtPosition(fyne.NewPos(at.X, at.Y+add.Size().Height+2))
	w.win.Canvas().Focus(presses[0])
}

// goodSize returns a round length of about a quarter of what can be seen of the
// board, or of the blank where that is smaller.
func (w *Window) goodSize() float64 {
	seen := w.board.Seen()
	side := min(seen.Width(), seen.Height())
	if r := w.session.Page(); !r.Empty() {
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
func (w *Window) newColour() colour.RGB {
	j := w.session.Job()
	if w.addColour != nil {
		return *w.addColour
	}
	for _, id := range w.session.Selection() {
		if l, _, ok := j.Layer(id); ok && l.Use == job.Cut {
			return l.Colour
		}
	}
	plan, _ := w.session.Plan()
	if plan == nil || len(plan.Separations) == 0 {
		return pick.Palette[0]
	}
	var sheets []colour.RGB
	for _, s := range plan.Separations {
		sheets = append(sheets, s.Colour)
	}
	under := w.board.PieceAt(w.board.Seen().Centre())
	on, _ := plan.Find(under.Of)
	if on == nil {
		return sheets[0]
	}
	if len(sheets) == 1 {
		sheets = pick.Palette
	}
	return distinct([]colour.RGB{on.Colour}, sheets)
}

// recolour gives the selection another colour, which new things have from then
// on.
func (w *Window) recolour(c colour.RGB) {
	w.addColour = &c
	w.session.Recolour(w.session.Selection(), c)
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
func (w *Window) insert(name string, c job.Content) {
	w.session.Insert(w.added(name, c), w.board.Seen().Centre())
	w.showView(board.Art)
}

func (w *Window) added(name string, c job.Content) job.Added {
	return job.Added{Name: name, Content: c, Colour: w.newColour(), ItemName: say("ui-add-item")}
}

func (w *Window) addPrimitive(f job.Form) {
	s := w.goodSize()
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
		w.trouble(err)
		return
	}
	w.insert(say("ui-add-"+f.String()), p)
	w.focusBoard()
}

// addText adds a word that is there to be replaced: whatever is typed next
// does.
func (w *Window) addText() {
	t, at := w.lastText, w.board.Seen().Centre()
	t.Text, t.Arc, t.SizeMM = say("ui-add-text-sample"), nil, max(5, w.goodSize()/1.5)
	a := w.added(job.TextName(t.Text), nil)
	w.session.Bring("ui-task-text", "ui-step-add-new", func(ctx context.Context) (func(job.Job) (job.Job, []job.LayerID, error), error) {
		t, _, err := lettering.Set(ctx, t)
		a.Content = t
		return func(j job.Job) (job.Job, []job.LayerID, error) {
			out, id, err := job.Add(j, a, at)
			return out, []job.LayerID{id}, err
		}, err
	}, func() {
		w.showView(board.Art)
		w.editText()
	})
}

// editText takes whoever types to the words of the selected text, all of them
// marked.
func (w *Window) editText() {
	if left, right := w.panels.Open(); !right {
		w.fold(left, true)
	}
	w.details.EditText()
}

// pressedTwice edits the text among the layers that were pressed.
func (w *Window) pressedTwice(ids []job.LayerID) {
	for _, id := range ids {
		l, _, ok := w.session.Job().Layer(id)
		if _, is := l.Content.(job.Text); ok && is {
			w.session.Select([]job.LayerID{id})
			w.editText()
			return
		}
	}
}

// surroundMM is how wide a surround is at first.
const surroundMM = 3

func (w *Window) addSurround() {
	ids := w.session.Selection()
	w.session.Surround(ids, job.Surround{WidthMM: surroundMM}, say("ui-add-surround-name"), w.surroundColour(ids))
	w.showView(board.Art)
	w.focusBoard()
}

// surroundColour is a colour of the job that none of the layers has, for a band
// of their own colour would not show; else one of ours.
func (w *Window) surroundColour(ids []job.LayerID) colour.RGB {
	j := w.session.Job()
	var taken []colour.RGB
	for _, id := range ids {
		if l, _, ok := j.Layer(id); ok {
			taken = append(taken, l.Colour)
		}
	}
	free := slices.DeleteFunc(w.session.Job().Colours(), func(c colour.RGB) bool { return slices.Contains(taken, c) })
	if len(free) == 0 {
		free = pick.Palette
	}
	return distinct(taken, free)
}
