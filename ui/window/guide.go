package window

import (
	"slices"
	"strings"

	"abut/assets"
	"abut/ui/command"
	"abut/ui/manual"
	"abut/ui/verdict"
)

// showGuide shows the guide: under a heading of the crafter's page, at a place in
// another one that is named like a link, or at its beginning.
func (w *Window) showGuide(heading string) {
	link := heading
	if !strings.Contains(heading, ".md") {
		link = "crafting.md"
		if heading != "" {
			link += "#" + heading
		}
	}
	if w.manual != nil {
		w.manual.Show(link)
		return
	}
	w.manual = manual.Open(link, manual.Options{OnClosed: func() { w.manual = nil }, OnTrouble: w.trouble, Shown: w.options.Shown})
}

// endGuide closes the guide, if it is open.
func (w *Window) endGuide() {
	if w.manual != nil {
		w.manual.Close()
	}
}

// prefWalked is the name of the preference that keeps that the walk for newcomers was
// taken or skipped.
const prefWalked = "walked"

// walkDemo is the picture of the walk: three sheets that stack, and three points that
// are too fine.
const walkDemo = "pair"

func (w *Window) newWalk() {
	w.walk = verdict.NewWalk(w.walk)
	w.walk.OnEnd, w.walk.OnGuide = w.walked, func() { w.showGuide("cut") }
	w.commands.Ran = func(c *command.Command) { w.saw(c.ID) }
}

// beginWalk leads through a picture that comes along.
func (w *Window) beginWalk() {
	i := slices.IndexFunc(assets.Demos(), func(d assets.Demo) bool { return d.ID == walkDemo })
	w.leaving(func() {
		w.walk.Begin()
		w.openDemoNow(assets.Demos()[i])
	})
}

// walked keeps that the walk is not to be offered again.
func (w *Window) walked() {
	w.prefs.SetBool(prefWalked, true)
	w.welcome()
	w.win.Content().Refresh()
}

// saw tells the walk what was looked at.
func (w *Window) saw(what string) {
	if w.walk != nil && what != "" {
		w.walk.Saw(what, w.state)
	}
}

// showWalk says what comes next on the walk.
func (w *Window) showWalk() {
	if w.walk.Show(w.state) {
		w.win.Content().Refresh() // the board is higher or lower now
	}
}
