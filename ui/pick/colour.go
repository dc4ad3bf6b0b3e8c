// Package pick asks for a colour: among those that are at hand, by pointing at any,
// by its code, or from a photo.
package pick

import (
	"fyne.io/fyne/v2/container"

	"abut/internal/colour"
	"abut/internal/session"
	"abut/internal/words"
	"abut/ui/controls"
	"abut/ui/dialogs"
	"abut/ui/files"
)

// Palette are colours to begin with where there are none: a plain dozen of our own.
var Palette = []colour.RGB{
	{R: 0x1F, G: 0x4E, B: 0x79}, {R: 0x2E, G: 0x8B, B: 0x57}, {R: 0xE0, G: 0xA8, B: 0x1E}, {R: 0xD9, G: 0x6B, B: 0x1E}, {R: 0xB2, G: 0x2E, B: 0x4A}, {R: 0x7A, G: 0x3E, B: 0x9D},
	{R: 0x2B, G: 0x9F, B: 0xC9}, {R: 0x8A, G: 0xBF, B: 0x3C}, {R: 0xF2, G: 0xD3, B: 0x4F}, {R: 0xF0, G: 0x9A, B: 0xB0}, {R: 0x7A, G: 0x52, B: 0x36}, {R: 0x22, G: 0x26, B: 0x2A},
}

// Host is the window that the dialogs lie over.
type Host struct {
	Desk    *dialogs.Desk
	Session *session.Session
	Files   *files.Host
}

// Group is a row of colours that are at hand, under a heading.
type Group struct {
	Heading string
	Colours []colour.RGB
	// Name calls one by its name; nil for the word of the colour.
	Name func(colour.RGB) string
}

// Word is what a colour is called, as it stands alone.
func Word(c colour.RGB) string { return words.Capital(words.Colour(colour.Word(c))) }

// say returns a sentence.
func say(id string) string { return words.Say(id) }

// colourDialog asks for a colour.
type colourDialog struct {
	*dialogs.Dialog
	h      *Host
	now    colour.RGB
	code   *controls.Entry
	sample *controls.Swatch
	word   *controls.Line
	field  *field
	wrong  *controls.Para
	// setting: the code is set, not typed.
	setting bool
}

// maxShown is how many colours of a group are offered: two rows.
const maxShown = 30

// Colour asks for a colour, beginning with now; use gets it.
func (h *Host) Colour(title string, now colour.RGB, groups []Group, use func(colour.RGB)) {
	d := &colourDialog{Dialog: h.Desk.New(520, title), h: h, now: now}
	for _, g := range groups {
		if len(g.Colours) == 0 {
			continue
		}
		name := g.Name
		if name == nil {
			name = Word
		}
		d.Body.Add(container.New(&controls.Stack{Gap: 2}, controls.NewCaption(g.Heading),
			controls.NewSwatches(g.Colours[:min(len(g.Colours), maxShown)], nil, d.set, name)))
	}
	d.field = newField(func(c colour.RGB) { d.take(c) })
	d.sample = controls.NewSwatch(now, 44)
	d.word = controls.NewLine("", controls.Text)
	d.word.Shrinks = true
	d.code = controls.NewEntry("")
	d.code.OnChanged = func(string) { d.typed() }
	photo := controls.NewFramed("", say("pick-photo"), say("pick-photo-hint"), d.photo)
	d.wrong = controls.NewPara("", controls.Care)
	side := container.New(&controls.Stack{Gap: 8},
		container.New(&controls.Lead{Gap: 12}, container.NewCenter(d.sample), container.New(&controls.Inset{Y: 12}, d.word)),
		container.New(&controls.Stack{Gap: 2}, controls.NewCaption(say("ui-colour-code")), d.code), photo)
	d.Body.Add(container.New(&controls.Lead{Gap: 16}, d.field.object, side))
	d.Body.Add(d.wrong)
	d.SetButtons(dialogs.Button(say("ui-cancel"), d.Cancel), dialogs.Button(say("ui-colour-set"), func() {
		if _, err := colour.Parse(d.code.Text); err != nil {
			d.wrong.SetText(say("ui-colour-wrong"))
			d.Fit()
			return
		}
		d.Close()
		use(d.now)
	}))
	d.set(now)
	d.Show(d.code)
}

// set shows a colour everywhere.
func (d *colourDialog) set(c colour.RGB) {
	d.take(c)
	d.field.show(c)
}

// take shows a colour that was pointed at.
func (d *colourDialog) take(c colour.RGB) {
	d.shows(c)
	d.setting = true
	d.code.SetText(c.String())
	d.setting = false
	if d.wrong.Text() != "" {
		d.wrong.SetText("")
		d.Fit()
	}
}

func (d *colourDialog) shows(c colour.RGB) {
	d.now, d.sample.Colour = c, c
	d.sample.Refresh()
	d.word.SetText(Word(c))
}

// typed follows the code.
func (d *colourDialog) typed() {
	if c, err := colour.Parse(d.code.Text); err == nil && !d.setting {
		d.shows(c)
		d.field.show(c)
	}
}

// photo asks for a photo, and for a place on it.
func (d *colourDialog) photo() {
	d.h.Files.Open(files.Photos, func(path string) { d.h.photo(path, d.set) })
}
