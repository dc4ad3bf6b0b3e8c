package window

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

// Names of preferences.
const (
	prefText = "text-percent"
	prefCalm = "reduce-motion"
)

// textPercents are the sizes of type that can be chosen.
var textPercents = []int{100, 115, 130}

// TextScale returns how large type was chosen to be, 1 being as usual.
func TextScale(p fyne.Preferences) float32 { return float32(textPercent(p)) / 100 }

func textPercent(p fyne.Preferences) int {
	for _, t := range textPercents {
		if p.Int(prefText) == t {
			return t
		}
	}
	return textPercents[0]
}

// askSettings shows what can be set once and for all. Everything counts at once.
func (w *Window) askSettings() {
	d := w.desk.New(560, say("settings-title"))
	d.Body.Add(w.settingsRow("settings-language", w.languages()))
	modes := []theme.Mode{theme.System, theme.AlwaysLight, theme.AlwaysDark}
	look := controls.NewChoice(nil, say("settings-system"), say("ui-look-light"), say("ui-look-dark"))
	for i, m := range modes {
		if w.mode() == m {
			look.Choose(i)
		}
	}
	look.OnChosen = func(i int) { look.Choose(i); w.setMode(modes[i]) }
	d.Body.Add(w.settingsRow("ui-menu-look", look))

	units := controls.NewChoice(nil, say("ui-units-mm"), say("ui-units-in"))
	units.Choose(int(w.unitsNow()))
	units.OnChosen = func(i int) { units.Choose(i); w.setUnits(job.Units(i)) }
	d.Body.Add(w.settingsRow("ui-menu-units", units))

	var sizes []string
	for _, t := range textPercents {
		sizes = append(sizes, strconv.Itoa(t)+" %")
	}
	text := controls.NewChoice(nil, sizes...)
	for i, t := range textPercents {
		if t == textPercent(w.prefs) {
			text.Choose(i)
		}
	}
	text.OnChosen = func(i int) { w.setText(textPercents[i]) }
	d.Body.Add(w.settingsRow("settings-text", text))

	calm := controls.NewCheck(say("settings-calm"), w.setCalm)
	calm.SetChecked(w.calm())
	d.Body.Add(w.settingsRow("settings-motion", calm))

	measure := dialogs.Button(say("settings-calibrate"), func() { d.Hide(); w.askScreen() })
	d.Body.Add(w.settingsRow("settings-screen", container.New(&controls.Lead{Gap: 12}, measure, controls.NewPara(w.screenText(), controls.Quiet))))

	d.Body.Add(controls.NewRule())
	kept := say("settings-kept-not")
	if w.options.State != "" {
		kept = say("settings-kept", "count", words.Count(int(session.KeptAfter.Seconds())), "folder", w.options.State)
	}
	d.Body.Add(controls.NewPara(kept, controls.Quiet))
	d.SetButtons(dialogs.Button(say("ui-done"), d.Close))
	d.Show(nil)
}

// TakePreferences brings the window up to what was chosen in another one. The
// document keeps its own units; language and size of type come by Rebuild.
func (w *Window) TakePreferences() {
	w.session.Units = unitsOf(w.prefs)
	w.aids.take(w.prefs)
	w.useAids()
	w.bar.Update()
}

// unitsOf are the units that documents begin with.
func unitsOf(p fyne.Preferences) job.Units {
	if p.Int(prefUnits) == int(job.Inches) {
		return job.Inches
	}
	return job.Millimetres
}

// settingsRow is a setting with its name before it.
func (w *Window) settingsRow(id string, o fyne.CanvasObject) fyne.CanvasObject {
	name := controls.NewPara(say(id), controls.Text)
	const wide = 130
	name.Wrap(wide)
	lead := container.NewGridWrap(fyne.NewSize(wide, max(32, name.MinSize().Height)), container.New(&controls.Inset{Y: 6}, name))
	return container.New(&controls.Lead{Gap: 12}, container.NewVBox(lead), o)
}

// screenText says whether the screen was measured.
func (w *Window) screenText() string {
	v, measured := w.screen()
	if !measured {
		return say("settings-unmeasured")
	}
	return say("settings-measured", "units", message.Exact{Value: v, Decimals: 2})
}

// languages is the choice of the language. Each calls itself what it does.
func (w *Window) languages() *controls.Choice {
	tags, names := []string{""}, []string{say("settings-system")}
	for _, l := range words.Languages() {
		tags, names = append(tags, l.Tag), append(names, l.Name)
	}
	c := controls.NewChoice(nil, names...)
	for i, tag := range tags {
		if tag == w.prefs.String(prefLanguage) {
			c.Choose(i)
		}
	}
	c.OnChosen = func(i int) { w.setLanguage(tags[i]) }
	return c
}

// setLanguage makes the program speak a language, that of the desktop when tag
// is empty.
func (w *Window) setLanguage(tag string) {
	w.prefs.SetString(prefLanguage, tag)
	if tag == "" {
		tag = systemLanguage()
	}
	words.Use(words.For(tag))
	w.rebuildAll()
}

// setText chooses the size of type in per cent.
func (w *Window) setText(percent int) {
	w.prefs.SetInt(prefText, percent)
	theme.SetTextScale(float32(percent) / 100)
	if w.options.SetMode != nil {
		w.options.SetMode(w.mode()) // the toolkit's own widgets ask again
	}
	w.rebuildAll()
}

// rebuildAll builds all windows anew and goes on with the settings.
func (w *Window) rebuildAll() {
	if w.options.Rebuild != nil {
		w.options.Rebuild()
	} else {
		w.Rebuild()
	}
	w.askSettings()
}

// unitsNow are the units of the document or, without one, of the next.
func (w *Window) unitsNow() job.Units {
	if w.session.Opened() {
		return w.session.Job().Settings.Units
	}
	return w.session.Units
}

func (w *Window) setCalm(on bool) {
	w.prefs.SetBool(prefCalm, on)
}

// calm reports whether nothing is to move by itself.
func (w *Window) calm() bool {
	return w.prefs.Bool(prefCalm)
}
