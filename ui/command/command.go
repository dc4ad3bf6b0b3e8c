package command

import "fyne.io/fyne/v2"

// Command is something that the window can be asked to do.
type Command struct {
	// ID names the command in code and tests; it is never shown.
	ID string
	// Icon is the name of its icon, empty for none, and Key its shortcut, nil for
	// none.
	Icon string
	Key  fyne.Shortcut
	// Label is the id of its sentence; Says returns its words where they change,
	// such as 'Undo: move'. Tool is the id of its word among the tools, where that
	// is another one, and Hint of what it does in more words.
	Label string
	Says  func() string
	Tool  string
	Hint  string
	// When are the conditions under which it can be run; all must hold.
	When []*Condition
	// On reports whether what it switches is on; nil for a command that switches
	// nothing.
	On func() bool
	// Typing: while text is typed it belongs to the entry, as copying does.
	Typing bool
	// Steps: of an entry in which nothing is typed that does not count yet it does not
	// even so: it goes from step to step, and what was typed there is one.
	Steps bool
	// Over: it can be run while a dialog lies over the window, and leaves what is
	// typed as it is.
	Over bool
	// Fades: where it cannot be run, menus have no entry for it at all.
	Fades bool
	// Whole: it is about the document as it will be, so it waits for all work on it.
	Whole bool
	Run   func()
}

// Condition is something that must hold for commands to be run.
type Condition struct {
	// Why is the id of the sentence that says what is missing.
	Why   string
	Holds func() bool
}

// missing returns the first condition that does not hold, nil when all do.
func (c *Command) missing() *Condition {
	for _, w := range c.When {
		if !w.Holds() {
			return w
		}
	}
	return nil
}

// Enabled reports whether the command can be run as things stand.
func (c *Command) Enabled() bool { return c.missing() == nil }

// IsOn reports whether what the command switches is on.
func (c *Command) IsOn() bool { return c.On != nil && c.On() }
