package window

import (
	"path/filepath"
	"slices"
	"strings"

	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/session"
	"abut/internal/words"
	"abut/ui/controls"
	"abut/ui/files"
)

// note is what the strip above the bar says, made anew with the window; nil takes it away, and
// what was asked before something passing was said is asked again.
func (w *Window) note(say func()) {
	if say == nil && w.noted == nil {
		return
	}
	if say == nil && w.passing {
		say, w.asked = w.asked, nil
	}
	w.noted, w.passing, w.about, w.planned = say, false, 0, nil
	if say == nil {
		w.notice.Object.Hide()
	} else {
		say()
	}
	w.win.Content().Refresh() // the board is higher or lower now
}

// answer is something to press in the strip: it takes the strip away.
func (w *Window) answer(icon, id, hint string, do func()) *controls.Press {
	if hint != "" {
		hint = say(hint)
	}
	return controls.NewFramed(icon, say(id), hint, func() {
		w.note(nil)
		w.focusBoard()
		do()
	})
}

// offerLost offers work that was left behind by a program that was killed: that on the file
// that was just opened or, in a window that a file was given to, all of it, since the page
// before any art, which offers it too, is not seen there.
func (w *Window) offerLost() {
	at, all := w.session.At(), w.given
	w.given = false
	w.session.FindLost(func(list []session.Lost) {
		if !w.session.Opened() || !at.SameDocument(w.session.At()) {
			return
		}
		i := slices.IndexFunc(list, func(l session.Lost) bool { return samePath(l.Of, w.session.Origin()) })
		if i < 0 && all && len(list) > 0 {
			i = 0
		}
		if i >= 0 {
			w.noteLost(list[i])
		}
	})
}

func (w *Window) noteLost(l session.Lost) {
	w.note(func() {
		w.notice.Show("save", words.Say("ui-lost", "file", l.Name, "time", words.Time(l.Time)),
			w.answer("", "ui-lost-forget", "ui-lost-forget-hint", func() { w.session.Forget(l) }),
			w.answer("", "ui-lost-later", "ui-lost-later-hint", func() {}),
			w.answer("undo", "ui-lost-open", "", func() { w.leaving(func() { w.session.Recover(l) }) }))
	})
}

// LookForChanges looks whether another program has changed a picture of this window, as when
// one comes back from drawing.
func (w *Window) LookForChanges() {
	w.session.LookForChanges(func(o session.Outdated) {
		if w.noted != nil && !w.passing {
			return // what is asked already comes first; nobody was told, so it is looked for again
		}
		w.session.Seen(o)
		w.note(func() {
			w.notice.Show("open", say("ui-renew-changed", "file", o.File),
				w.answer("", "ui-renew-leave", "ui-renew-leave-hint", func() {}),
				w.answer("redo", "ui-renew-take", "ui-renew-take-hint", func() { w.session.Renew(o.Item, w.renewed(o.Item)) }))
		})
		w.about = o.Item
	})
}

// renewed returns what says, until something else is done, what became of a picture that was read
// again, and how many of the mends no longer apply once that is known. Whether to is no longer asked then.
func (w *Window) renewed(id job.ItemID) func(file string, r job.Redrawn) {
	return func(file string, r job.Redrawn) {
		if w.passing || w.about == id {
			w.note(nil)
		}
		w.asked = w.noted
		before, _ := w.session.Plan()
		told := func(lapsed int) {
			w.note(func() {
				answers := []*controls.Press{w.answer("", "ui-ok", "", func() {})}
				if r.Changed+r.New+r.Gone > 0 {
					answers = append([]*controls.Press{w.answer("undo", "ui-undo", "", w.commands.Bound("undo"))}, answers...)
				}
				w.notice.Show("ready", say("ui-renewed", "file", file, "what", renewedSaid(r, lapsed)), answers...)
			})
			w.passing = true
		}
		told(0)
		w.planned = func(now *fit.Plan) {
			if n := lapsed(now) - lapsed(before); n > 0 {
				told(n)
			}
		}
	}
}

// notePlanned says what was to be said once there is a plan.
func (w *Window) notePlanned(st session.State) {
	if w.planned != nil && st.Exact && !st.Making {
		say := w.planned
		w.planned = nil
		say(st.Plan)
	}
}

// lapsed counts the mends of a plan that no longer apply.
func lapsed(p *fit.Plan) int {
	if p == nil {
		return 0
	}
	return p.Lapsed()
}

// noNotes takes the strip away with all that it would ask again: they were of another document.
func (w *Window) noNotes() {
	w.passing, w.asked = false, nil
	w.note(nil)
}

// renewedSaid says what is another now.
func renewedSaid(r job.Redrawn, lapsed int) string {
	var parts []string
	for _, p := range []struct {
		id string
		n  int
	}{{"ui-renewed-changed", r.Changed}, {"ui-renewed-new", r.New}, {"ui-renewed-gone", r.Gone}, {"ui-renewed-yours", r.Yours}, {"ui-renewed-mends", lapsed}} {
		if p.n > 0 {
			parts = append(parts, say(p.id, "count", words.Count(p.n)))
		}
	}
	if len(parts) == 0 {
		return say("ui-renewed-same")
	}
	return strings.Join(parts, ", ")
}

// picture is the picture that is selected or, without a selection, the topmost.
func (w *Window) picture() job.ItemID {
	j := w.session.Job()
	for _, id := range w.session.Selection() {
		if _, it, ok := j.Layer(id); ok {
			return it.ID
		}
	}
	if n := len(j.Items); n > 0 {
		return j.Items[n-1].ID
	}
	return 0
}

// replacePicture asks for a file to take in the place of a picture.
func (w *Window) replacePicture() {
	id := w.picture()
	w.files.Open(files.Art, func(path string) { w.session.ReplacePicture(id, path, w.renewed(id)) })
}

// samePath reports whether two paths name one file, as far as can be told without asking the disk.
func samePath(a, b string) bool {
	if a == "" || b == "" {
		return false
	}
	x, errA := filepath.Abs(a)
	y, errB := filepath.Abs(b)
	return errA == nil && errB == nil && x == y
}
