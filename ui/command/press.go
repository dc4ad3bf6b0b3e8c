package command

import (
	"slices"
	"weak"

	"abut/internal/words"
	"abut/ui/controls"
)

// button is a button that shows what can be done, as long as anyone holds it.
type button struct {
	id    string
	press weak.Pointer[controls.Press]
}

// Press returns a labelled button for a command, for the toolbar. It follows what
// can be done: see Refresh.
func (t *Table) Press(id string) *controls.Press {
	c := t.Get(id)
	label := t.Label(id)
	if c.Tool != "" {
		label = words.Say(c.Tool)
	}
	return t.follow(id, controls.NewAction(c.Icon, label, "", t.Bound(id)))
}

// IconPress returns a button of nothing but the command's icon, which says what
// it does where pointer or keyboard rest on it.
func (t *Table) IconPress(id string) *controls.Press {
	return t.follow(id, controls.NewIconPress(t.Get(id).Icon, t.Label(id), t.Bound(id)))
}

func (t *Table) follow(id string, p *controls.Press) *controls.Press {
	t.buttons = append(t.buttons, button{id, weak.Make(p)})
	t.update(id, p)
	return p
}

// Refresh shows on every button whether its command can be run, and is on.
func (t *Table) Refresh() {
	t.buttons = slices.DeleteFunc(t.buttons, func(b button) bool {
		p := b.press.Value()
		if p != nil {
			t.update(b.id, p)
		}
		return p == nil
	})
}

// update sets a button's state. Its hint says what is missing or, with words that
// change, what it would do.
func (t *Table) update(id string, p *controls.Press) {
	c := t.Get(id)
	p.SetEnabled(c.Enabled())
	p.SetOn(c.IsOn())
	if p.Label != "" && c.Says != nil && c.Tool == "" {
		p.Label = t.Label(id)
	}
	switch hint := t.Hint(id); {
	case hint != "":
		p.Hint = hint
	case p.Label == "" || c.Says != nil:
		p.Hint = t.Label(id)
	default:
		p.Hint = ""
	}
}
