package ask

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/ui/controls"
	"abut/ui/dialogs"
)

// licences names what the program is made with, and under which licence each
// part may be used.
var licences = []struct{ name, licence string }{
	{"Fyne", "BSD 3-Clause"},
	{"Noto Sans", "SIL Open Font License 1.1"},
	{"go-text/typesetting", "BSD 3-Clause / Unlicense"},
	{"oksvg, rasterx", "BSD 3-Clause"},
	{"Go, x/image, x/text", "BSD 3-Clause"},
	{"tdewolff/parse", "MIT"},
	{"go-pdf/fpdf", "MIT"},
	{"go-i18n", "MIT"},
	{"goldmark", "MIT"},
	{"kong", "MIT"},
	{"polyclip-go", "MIT"},
}

// About shows which version this is, and what is linked in.
func (h *Host) About() {
	d := h.Desk.New(460, say("ui-title"))
	d.Body.Add(dialogs.Sign("about", controls.Accent, say("ui-about", "version", h.Version)))
	d.Body.Add(controls.NewPara(say("ui-about-licence"), controls.Text))
	d.Body.Add(controls.NewRule())
	d.Body.Add(controls.NewPara(say("ui-about-parts"), controls.Quiet))
	grid := container.New(&controls.Stack{Gap: 2})
	for _, l := range licences {
		grid.Add(container.NewGridWithColumns(2, controls.NewLine(l.name, controls.Text), controls.NewLine(l.licence, controls.Quiet)))
	}
	d.Body.Add(grid)
	d.SetButtons(dialogs.Button(say("ui-ok"), d.Close))
	d.Show(nil)
}

// keySheet is what pointer and keys do beside the menus, in the order in which it
// is wanted.
var keySheet = []struct{ keys, what string }{
	{"ui-key-click", "ui-keys-pick"}, {"ui-key-box", "ui-keys-box"}, {"ui-key-drag", "ui-keys-move"},
	{"ui-key-corner", "ui-keys-corner"}, {"board-key-true", "board-keys-true"}, {"board-key-snap", "board-keys-snap"}, {"board-key-compare", "board-keys-compare"}, {"ui-key-arrows", "ui-keys-nudge"}, {"ui-key-pan", "ui-keys-pan"},
	{"ui-key-zoom", "ui-keys-zoom"}, {"ui-key-list", "ui-keys-order"}, {"ui-key-delete", "ui-menu-delete"}, {"manual-key", "manual-key-what"},
	{"class-key-step", "class-keys-step"}, {"class-key-look", "class-keys-look"}, {"class-key-point", "class-keys-point"},
}

// Keys shows the key sheet: what the pointer and each key do.
func (h *Host) Keys() {
	d := h.Desk.New(620, say("ui-menu-keys"))
	column := container.New(&controls.Stack{Gap: 8})
	var rows [][2]string
	for _, k := range keySheet {
		rows = append(rows, [2]string{say(k.keys), say(k.what)})
	}
	for _, row := range append(rows, h.Commands.Keys()...) {
		keys := controls.NewPara(row[0], controls.Text)
		keys.Bold = true
		keys.Wrap(150)
		lead := container.NewGridWrap(fyne.NewSize(150, keys.MinSize().Height), keys)
		column.Add(container.New(&controls.Lead{Gap: 12}, container.NewVBox(lead), controls.NewPara(row[1], controls.Text)))
	}
	controls.Wrap(column, 540)
	scroll := controls.NewScroll(container.New(&controls.Inset{X: 10}, column))
	scroll.SetMinSize(fyne.NewSize(100, min(column.MinSize().Height+8, h.Desk.Room().Height-200)))
	d.Body.Add(scroll)
	d.SetButtons(dialogs.Button(say("ui-ok"), d.Close))
	d.Show(nil)
}
