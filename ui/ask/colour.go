package ask

import (
	"abut/internal/colour"
	"abut/internal/words"
	"abut/ui/pick"
)

// Colour asks for any colour for the selection, those of the user's own sheets
// first.
func (h *Host) Colour() {
	ids := h.Session.Selection()
	if len(ids) == 0 {
		return
	}
	sheets, err := h.Session.Drawer()
	if err != nil {
		h.Trouble(err)
	}
	own := pick.Group{Heading: say("ui-drawer-title")}
	names := map[colour.RGB]string{}
	for _, s := range sheets {
		if _, is := names[s.Pressed]; !is && s.Pattern == "" {
			names[s.Pressed] = words.Capital(s.Name)
			own.Colours = append(own.Colours, s.Pressed)
		}
	}
	own.Name = func(c colour.RGB) string { return names[c] }
	first, _, _ := h.Session.Job().Layer(ids[0])
	h.Pick.Colour(say("ui-colour-title"), first.Colour, []pick.Group{
		own,
		{Heading: say("ui-colour-job"), Colours: h.Session.Job().Colours()},
		{Heading: say("ui-colour-more"), Colours: append([]colour.RGB{colour.White}, pick.Palette...)},
	}, h.Recolour)
}
