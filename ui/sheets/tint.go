package sheets

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/internal/colour"
	"abut/internal/words"
	"abut/ui/controls"
	"abut/ui/pick"
)

// tint is a colour in a form: pressing it asks for another.
type tint struct {
	object fyne.CanvasObject
	colour colour.RGB
	swatch *controls.Swatch
	word   *controls.Line
}

// newTint returns a colour with a name; changed is told what it was before someone
// chose another.
func newTint(h *Host, id string, changed func(was colour.RGB)) *tint {
	t := &tint{swatch: controls.NewSwatch(colour.White, 22), word: controls.NewLine("", controls.Text)}
	t.word.Shrinks = true
	p := controls.NewIconPress("", words.Say("ui-drawer-tint"), func() {
		groups := []pick.Group{{Heading: words.Say("ui-drawer-plain"), Colours: pick.Palette}}
		if h.Session.Opened() {
			groups = append([]pick.Group{{Heading: words.Say("ui-colour-job"), Colours: h.Session.Job().Colours()}}, groups...)
		}
		h.Pick.Colour(words.Say(id+"-title"), t.colour, groups, func(c colour.RGB) {
			was := t.colour
			t.show(c)
			changed(was)
		})
	})
	p.Framed, p.Height = true, 36
	t.object = container.NewStack(p, container.New(&controls.Inset{X: 10, Y: 7}, container.New(&controls.Lead{Gap: 10}, t.swatch, t.word)))
	return t
}

func (t *tint) show(c colour.RGB) {
	t.colour, t.swatch.Colour = c, c
	t.swatch.Refresh()
	t.word.SetText(pick.Word(c))
}
