package command

import (
	"fmt"

	"fyne.io/fyne/v2"

	"abut/internal/words"
)

// Table holds all commands of a window, in the order in which they were added.
type Table struct {
	list    []*Command
	byID    map[string]*Command
	buttons []button
	// menus are the words of the menus that each command is in.
	menus map[string]string

	// Covered reports whether a dialog lies over the window. Nothing behind it is
	// run.
	Covered func() bool
	// Settle makes what is typed or tried count before a command is run, which it
	// calls then: at once, or when what was asked for is worked out; for whole, when
	// all work on the document is. It does not where it had to say why not.
	Settle func(whole bool, run func())
	// Entry returns the entry that is typed into, nil without one.
	Entry func() fyne.Shortcutable
	// Ran is told of every command that was run, after it.
	Ran func(*Command)
}

// Add puts commands into the table. An id or a key that is there already is a
// mistake in the program: it panics.
func (t *Table) Add(list ...*Command) {
	if t.byID == nil {
		t.byID = map[string]*Command{}
	}
	for _, c := range list {
		if t.byID[c.ID] != nil {
			panic(fmt.Sprintf("two commands are called %q", c.ID))
		}
		for _, o := range t.list {
			if c.Key != nil && o.Key != nil && c.Key.ShortcutName() == o.Key.ShortcutName() {
				panic(fmt.Sprintf("%q and %q have one key", o.ID, c.ID))
			}
		}
		t.byID[c.ID] = c
		t.list = append(t.list, c)
	}
}

// All returns the commands in the order in which they were added.
func (t *Table) All() []*Command { return t.list }

// Get returns the command of that name; there must be one.
func (t *Table) Get(id string) *Command {
	c := t.byID[id]
	if c == nil {
		panic(fmt.Sprintf("no command is called %q", id))
	}
	return c
}

// Label returns a command's words as things stand.
func (t *Table) Label(id string) string {
	c := t.Get(id)
	if c.Says != nil {
		return c.Says()
	}
	return words.Say(c.Label)
}

// Hint says what a command does or, where it cannot be run, what is missing.
func (t *Table) Hint(id string) string {
	c := t.Get(id)
	text := ""
	if c.Hint != "" {
		text = words.Say(c.Hint)
	}
	if w := c.missing(); w != nil && w.Why != "" {
		text = words.Say(w.Why)
	}
	return text
}

// Run runs a command, and reports whether it is or may be run: nothing is behind a
// dialog or where a condition does not hold, and what is typed counts first. While
// text is typed, a command that belongs to typing goes to the entry.
func (t *Table) Run(id string) bool {
	c := t.Get(id)
	if e := t.entryFor(c); e != nil {
		e.TypedShortcut(c.Key)
		return true
	}
	if !c.Over && t.Covered != nil && t.Covered() {
		return false
	}
	if !c.Enabled() {
		return false
	}
	if c.Over || t.Settle == nil {
		t.run(c)
		return true
	}
	t.Settle(c.Whole, func() {
		// What was typed may have changed what can be done, and a dialog come up.
		if c.Enabled() && (t.Covered == nil || !t.Covered()) {
			t.run(c)
		}
	})
	return true
}

// entryFor returns the entry that a command belongs to, nil where it is the document's.
func (t *Table) entryFor(c *Command) fyne.Shortcutable {
	if !c.Typing || c.Key == nil || t.Entry == nil {
		return nil
	}
	e := t.Entry()
	if d, drafts := e.(interface{ Drafting() bool }); drafts && c.Steps && !d.Drafting() {
		return nil
	}
	return e
}

func (t *Table) run(c *Command) {
	c.Run()
	if t.Ran != nil {
		t.Ran(c)
	}
}

// Bound returns a function that runs the command.
func (t *Table) Bound(id string) func() {
	t.Get(id)
	return func() { t.Run(id) }
}
