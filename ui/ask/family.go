package ask

import (
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"abut/ui/controls"
	"abut/ui/dialogs"
)

// Family asks for a font family among those that are installed.
func (h *Host) Family(now string, use func(string)) {
	h.Session.Families(func(all []string, err error) {
		if err != nil {
			h.Trouble(err)
			return
		}
		d := h.Desk.New(420, say("ui-text-family-title"))
		filter := controls.NewEntry("")
		filter.Passing = true
		filter.SetPlaceHolder(say("ui-text-family-filter"))
		shown := all
		picked := now
		list := widget.NewList(func() int { return len(shown) },
			func() fyne.CanvasObject { return widget.NewLabel("") },
			func(i widget.ListItemID, o fyne.CanvasObject) { o.(*widget.Label).SetText(shown[i]) })
		list.OnSelected = func(i widget.ListItemID) { picked = shown[i] }
		mark := func() {
			list.UnselectAll()
			if i := slices.Index(shown, picked); i >= 0 {
				list.Select(i)
				list.ScrollTo(i)
			} else if len(shown) > 0 {
				list.Select(0)
			}
		}
		filter.OnChanged = func(s string) {
			shown = nil
			for _, f := range all {
				if strings.Contains(strings.ToLower(f), strings.ToLower(strings.TrimSpace(s))) {
					shown = append(shown, f)
				}
			}
			list.Refresh()
			mark()
		}
		scroll := container.NewGridWrap(fyne.NewSize(380, min(320, h.Desk.Room().Height-260)), list)
		d.Body.Add(filter)
		d.Body.Add(scroll)
		d.SetButtons(
			dialogs.Button(say("ui-cancel"), d.Cancel),
			dialogs.Button(say("ui-text-family-set"), func() {
				d.Close()
				if picked != now {
					use(picked)
				}
			}))
		d.Show(filter)
		mark()
	})
}
