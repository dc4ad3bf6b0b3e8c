package ask

import (
	"strconv"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/session"
	"abut/internal/words"
	"abut/ui/controls"
	"abut/ui/dialogs"
	"abut/ui/theme"
)

// Settings shows what can be set once and for all. Everything counts at once.
func (h *Host) Settings() {
	d := h.Desk.New(560, say("settings-title"))
	d.Body.Add(h.settingsRow("settings-language", h.languages()))
	look := controls.NewChoice(nil, say("settings-system"), say("ui-look-light"), say("ui-look-dark"))
	for i, m := range Looks {
		if h.Look() == m {
			look.Choose(i)
		}
	}
	look.OnChosen = func(i int) { look.Choose(i); h.SetLook(Looks[i]) }
	d.Body.Add(h.settingsRow("ui-menu-look", look))

	units := controls.NewChoice(nil, say("ui-units-mm"), say("ui-units-in"))
	units.Choose(int(h.Units()))
	units.OnChosen = func(i int) { units.Choose(i); h.SetUnits(job.Units(i)) }
	d.Body.Add(h.settingsRow("ui-menu-units", units))

	var sizes []string
	for _, t := range textPercents {
		sizes = append(sizes, strconv.Itoa(t)+" %")
	}
	text := controls.NewChoice(nil, sizes...)
	for i, t := range textPercents {
		if t == textPercent(h.Prefs) {
			text.Choose(i)
		}
	}
	text.OnChosen = func(i int) { h.setText(textPercents[i]) }
	d.Body.Add(h.settingsRow("settings-text", text))

	calm := controls.NewCheck(say("settings-calm"), func(on bool) { h.Prefs.SetBool(prefCalm, on) })
	calm.SetChecked(h.Calm())
	d.Body.Add(h.settingsRow("settings-motion", calm))

	measure := dialogs.Button(say("settings-calibrate"), func() { d.Hide(); h.Screen() })
	d.Body.Add(h.settingsRow("settings-screen", container.New(&controls.Lead{Gap: 12}, measure, controls.NewPara(h.screenText(), controls.Quiet))))

	d.Body.Add(controls.NewRule())
	kept := say("settings-kept-not")
	if h.State != "" {
		kept = say("settings-kept", "count", words.Count(int(session.KeptAfter.Seconds())), "folder", h.State)
	}
	d.Body.Add(controls.NewPara(kept, controls.Quiet))
	d.SetButtons(dialogs.Button(say("ui-done"), d.Close))
	d.Show(nil)
}

// settingsRow is a setting with its name before it.
func (h *Host) settingsRow(id string, o fyne.CanvasObject) fyne.CanvasObject {
	name := controls.NewPara(say(id), controls.Text)
	const wide = 130
	name.Wrap(wide)
	lead := container.NewGridWrap(fyne.NewSize(wide, max(32, name.MinSize().Height)), container.New(&controls.Inset{Y: 6}, name))
	return container.New(&controls.Lead{Gap: 12}, container.NewVBox(lead), o)
}

// screenText says whether the screen was measured.
func (h *Host) screenText() string {
	v, measured := h.screen()
	if !measured {
		return say("settings-unmeasured")
	}
	return say("settings-measured", "units", message.Exact{Value: v, Decimals: 2})
}

// languages is the choice of the language. Each calls itself what it does.
func (h *Host) languages() *controls.Choice {
	tags, names := []string{""}, []string{say("settings-system")}
	for _, l := range words.Languages() {
		tags, names = append(tags, l.Tag), append(names, l.Name)
	}
	c := controls.NewChoice(nil, names...)
	for i, tag := range tags {
		if tag == h.Prefs.String(prefLanguage) {
			c.Choose(i)
		}
	}
	c.OnChosen = func(i int) { h.setLanguage(tags[i]) }
	return c
}

// setLanguage makes the program speak a language, that of the desktop when tag
// is empty.
func (h *Host) setLanguage(tag string) {
	h.Prefs.SetString(prefLanguage, tag)
	Speak(h.Prefs)
	h.rebuildAll()
}

// setText chooses the size of type in per cent.
func (h *Host) setText(percent int) {
	h.Prefs.SetInt(prefText, percent)
	theme.SetTextScale(float32(percent) / 100)
	h.SetMode(h.Look()) // the toolkit's own widgets ask again
	h.rebuildAll()
}

// rebuildAll builds all windows anew and goes on with the settings.
func (h *Host) rebuildAll() {
	h.Rebuild()
	h.Settings()
}
