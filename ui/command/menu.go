package command

import (
	"fmt"
	"strings"

	"fyne.io/fyne/v2"

	"abut/internal/words"
)

// Menu is how a menu is laid out: its heading's sentence, and what is in it.
type Menu struct {
	Label string
	Items []Item
}

// Item is an entry of a menu: a command, a menu within, or, as the zero value, a
// line between.
type Item struct {
	Command string
	Within  *Menu
}

// Items lists commands by their ids; an empty one is a line between.
func Items(ids ...string) []Item {
	out := make([]Item, len(ids))
	for i, id := range ids {
		out[i].Command = id
	}
	return out
}

// Bar is a main menu made from the table.
type Bar struct {
	Main  *fyne.MainMenu
	table *Table
	items map[string]*fyne.MenuItem
	// faded are the menus in which entries come and go, with all their entries.
	faded map[*fyne.Menu][]entry
	// seen is how the menu looked when it was last laid out.
	seen string
}

// entry is an entry of a menu, and the command that it is for if that fades.
type entry struct {
	item  *fyne.MenuItem
	fades *Command
}

// NewBar makes the main menu. quit is the command that ends the program, which
// the toolkit has to know.
func (t *Table) NewBar(quit string, menus ...Menu) *Bar {
	b := &Bar{table: t, items: map[string]*fyne.MenuItem{}, faded: map[*fyne.Menu][]entry{}}
	t.menus = map[string]string{}
	var made []*fyne.Menu
	for _, m := range menus {
		made = append(made, b.menu(m, ""))
	}
	b.items[quit].IsQuit = true
	b.Main = fyne.NewMainMenu(made...)
	b.Update()
	return b
}

// menu makes a menu that is within another, whose words are given.
func (b *Bar) menu(m Menu, within string) *fyne.Menu {
	out := fyne.NewMenu(words.Say(m.Label))
	within += " " + out.Label
	var all []entry
	fading := false
	for _, i := range m.Items {
		e := entry{}
		switch {
		case i.Within != nil:
			e.item = fyne.NewMenuItem(words.Say(i.Within.Label), nil)
			e.item.ChildMenu = b.menu(*i.Within, within)
		case i.Command == "":
			e.item = fyne.NewMenuItemSeparator()
		default:
			c := b.table.Get(i.Command)
			e.item = fyne.NewMenuItem("", b.table.Bound(c.ID))
			e.item.Shortcut = c.Key
			b.items[c.ID] = e.item
			b.table.menus[c.ID] = within
			if c.Fades {
				e.fades, fading = c, true
			}
		}
		all = append(all, e)
		out.Items = append(out.Items, e.item)
	}
	if fading {
		b.faded[out] = all
	}
	return out
}

// Update shows what can be done and what is on. Laying a menu out again is slow:
// it is done only when something looks different.
func (b *Bar) Update() {
	var now strings.Builder
	for _, c := range b.table.list {
		i := b.items[c.ID]
		if i == nil {
			continue
		}
		i.Label, i.Disabled, i.Checked = b.table.Label(c.ID), !c.Enabled(), c.IsOn()
		fmt.Fprintf(&now, "%s %t %t|", i.Label, i.Disabled, i.Checked)
	}
	if now.String() != b.seen {
		b.seen = now.String()
		for m, all := range b.faded {
			m.Items = nil
			for _, e := range all {
				again := e.item.IsSeparator && len(m.Items) > 0 && m.Items[len(m.Items)-1].IsSeparator
				if (e.fades == nil || e.fades.Enabled()) && !again {
					m.Items = append(m.Items, e.item)
				}
			}
		}
		b.Main.Refresh()
	}
}

// Context makes a menu of those commands that can be run now. Lines between stand
// only where there is something on either side.
func (t *Table) Context(items ...Item) *fyne.Menu {
	out := fyne.NewMenu("")
	line := false
	add := func(i *fyne.MenuItem) {
		if line && len(out.Items) > 0 {
			out.Items = append(out.Items, fyne.NewMenuItemSeparator())
		}
		out.Items, line = append(out.Items, i), false
	}
	for _, i := range items {
		switch {
		case i.Within != nil:
			if sub := t.Context(i.Within.Items...); len(sub.Items) > 0 {
				item := fyne.NewMenuItem(words.Say(i.Within.Label), nil)
				item.ChildMenu = sub
				add(item)
			}
		case i.Command == "":
			line = true
		case t.Get(i.Command).Enabled():
			c := t.Get(i.Command)
			item := fyne.NewMenuItem(t.Label(c.ID), t.Bound(c.ID))
			item.Checked = c.IsOn()
			add(item)
		}
	}
	return out
}
