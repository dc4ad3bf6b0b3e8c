package verdict

import (
	"abut/internal/session"
	"abut/ui/command"
	"abut/ui/controls"
)

// Steps are the commands of the way from a picture to its files.
var Steps = map[session.Step]string{
	session.OpenStep: "open", session.SizeStep: "size", session.SeeStep: "see", session.KnockStep: "knock-all",
	session.MendStep: "mend", session.SheetsStep: "sheets", session.ExportStep: "export",
}

// Way are the steps of the way, side by side: what is done has a tick, and what
// comes next is the filled one.
type Way struct {
	Presses []*controls.Press
	icons   []string
	// offered: what to do about a weak spot is highlighted elsewhere.
	offered bool
}

// NewWay returns the way of a window; commands are its steps.
func NewWay(commands *command.Table) *Way {
	w := &Way{}
	for _, s := range session.Way {
		p := commands.Press(Steps[s])
		p.Plain = true // what is done is shown by its tick
		w.Presses = append(w.Presses, p)
		w.icons = append(w.icons, p.IconName)
	}
	return w
}

// Show shows how far a state is, and reports whether the steps now need more or
// less room.
func (w *Way) Show(st session.State) (moved bool) {
	next := st.Verdict().Next
	if w.offered && next == session.MendStep {
		next = session.NoStep
	}
	for i, s := range session.Way {
		p, icon, done := w.Presses[i], w.icons[i], st.Done(s) && s != next
		tone := controls.Tone(nil)
		if done {
			icon, tone = "ready", controls.Ready
		}
		if p.IconName != icon || p.Next != (s == next) {
			p.IconName, p.IconTone = icon, tone
			moved = moved || p.Next != (s == next) // bold words are wider
			p.Next = s == next
			p.Refresh()
		}
	}
	return moved
}

// SetOffered tells that what to do about a weak spot is highlighted elsewhere:
// mending all of them then is no longer what comes first. Show shows it.
func (w *Way) SetOffered(on bool) { w.offered = on }
