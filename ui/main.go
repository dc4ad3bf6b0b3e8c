// Package ui opens the window. Everything in it that can be tested without a
// screen lives in the packages beneath: this one alone needs the toolkit's
// driver.
package ui

import (
	"cmp"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/app"

	"abut"
	"abut/assets"
	"abut/internal/drawer"
	"abut/internal/system"
	"abut/internal/words"
	"abut/ui/ask"
	"abut/ui/clip"
	"abut/ui/prefs"
	"abut/ui/theme"
	"abut/ui/window"
)

// Main opens the window, with the picture in file if it is not empty, and
// returns the exit status once all windows are closed, or after a signal, when
// work that is not saved is kept. It writes one line that begins with "ready" to
// standard error when the first picture is on screen. language is the tag of the
// language to speak this time, empty for the one in the preferences.
func Main(file, language string) (status int) {
	here := system.Here()
	if !here.HasScreen() {
		return noScreen()
	}
	started := false
	defer func() {
		// Without a screen that it can use, the toolkit's driver panics.
		if v := recover(); v != nil {
			if started {
				panic(v)
			}
			status = noScreen()
		}
	}()
	about := describe(string(abut.FyneApp))
	about.Icon = fyne.NewStaticResource("abut.png", assets.AppIcon())
	app.SetMetadata(about)
	a := app.NewWithID(about.ID)
	store, damaged := prefs.Open(within(here.Settings(), "preferences.json"))
	a.SetCloudProvider(keeper{store})
	if language == "" {
		ask.Speak(store)
	}
	theme.SetTextScale(ask.TextScale(store))
	a.Settings().SetTheme(&theme.Theme{Mode: ask.LookOf(store)})
	lettered := theme.Letter()

	way, rest := leave(a), newRest()
	all := &windows{app: a, end: way.end, options: window.Options{
		Deliver:    rest.put(way.deliver),
		Home:       cmp.Or(here.Home, "."),
		State:      within(here.State(), "work"),
		Drawer:     drawer.Home(within(here.Data(), drawerFile), within(here.State(), drawerFile)),
		Prefs:      store,
		SetMode:    func(m theme.Mode) { a.Settings().SetTheme(&theme.Theme{Mode: m}) },
		OpenFolder: func(path string) error { return a.OpenURL(here.FileURL(path)) },
		Pixels:     clip.Picture,
		Shown:      withinScreen,
		Version:    abut.Version(),
	}}
	all.lettered = func() { <-lettered }
	all.follow(store)
	if abs, err := filepath.Abs(file); file != "" && err == nil {
		file = abs // kept work names its file, and is opened from wherever
	}
	all.add(about.Name, file, func() {
		onSignal(func() { way.deliver(all.park) }) // before there is nothing to keep
		fmt.Fprintln(os.Stderr, "ready")
		all.trouble(damaged)
	})
	store.OnTrouble = func(err error) { way.deliver(func() { all.trouble(err) }) }
	a.Lifecycle().SetOnEnteredForeground(all.lookForChanges)
	a.Lifecycle().SetOnStarted(func() { started = true })
	a.Run()
	store.Wait()
	return 0
}

// keeper has the toolkit keep in a store what it remembers by itself. Its own
// store is not written whole, and read while it is being written.
type keeper struct{ store fyne.Preferences }

func (k keeper) ProviderName() string                       { return "Abut" }
func (k keeper) ProviderDescription() string                { return "" }
func (k keeper) ProviderIcon() fyne.Resource                { return nil }
func (k keeper) Setup(fyne.App) error                       { return nil }
func (k keeper) Cleanup(fyne.App)                           {}
func (k keeper) CloudPreferences(fyne.App) fyne.Preferences { return k.store }

// within returns where something is kept in one of the folders of the system, empty
// where it has none: then it lasts as long as the program.
func within(dir, name string) string {
	if dir == "" {
		return ""
	}
	return filepath.Join(dir, name)
}

// drawerFile holds the user's own sheets: among their data, and not with what can
// be lost, where it was before.
const drawerFile = "drawer.csv"

// noScreen says that there is no screen and what can be done without one.
func noScreen() int {
	w := words.Chosen()
	fmt.Fprintln(os.Stderr, w.Say("ui-no-screen", nil))
	fmt.Fprintln(os.Stderr, w.Say("ui-no-screen.remedy", nil))
	return 1
}

// describe reads the few lines of FyneApp.toml that the toolkit wants to know
// at run time.
func describe(toml string) fyne.AppMetadata {
	m := fyne.AppMetadata{Name: "Abut", ID: "abut", Migrations: map[string]bool{}}
	section := ""
	for _, line := range strings.Split(toml, "\n") {
		line = strings.TrimSpace(line)
		if strings.HasPrefix(line, "[") {
			section = strings.Trim(line, "[]")
			continue
		}
		key, value, ok := strings.Cut(line, "=")
		if !ok || strings.HasPrefix(line, "#") {
			continue
		}
		key, value = strings.TrimSpace(key), strings.Trim(strings.TrimSpace(value), `"`)
		switch section + "." + key {
		case "Details.Name":
			m.Name = value
		case "Details.ID":
			m.ID = value
		case "Details.Version":
			m.Version = value
		case "Details.Build":
			m.Build, _ = strconv.Atoi(value)
		default:
			if section == "Migrations" {
				m.Migrations[key] = value == "true"
			}
		}
	}
	return m
}
