package layers

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
)

// FocusGained implements fyne.Focusable.
func (l *List) FocusGained() { l.focused = true; l.Refresh() }

// FocusLost implements fyne.Focusable.
func (l *List) FocusLost() { l.focused = false; l.Refresh() }

// TypedRune implements fyne.Focusable: k lets the picked line knock out, or not.
func (l *List) TypedRune(r rune) {
	if at := l.at(); (r == 'k' || r == 'K') && at >= 0 {
		l.ask(l.OnKnocks, at, !l.lines[at].Knocks)
	}
}

// TypedKey implements fyne.Focusable: up and down pick, with Shift several;
// right unfolds a heading or goes into it, left folds it or goes to the one
// around; space shows or hides, Escape gives a drag up.
func (l *List) TypedKey(k *fyne.KeyEvent) {
	at := l.at()
	switch k.Name {
	case fyne.KeyUp:
		l.goTo(at, max(at-1, 0))
	case fyne.KeyDown:
		l.goTo(at, min(at+1, len(l.lines)-1))
	case fyne.KeyHome:
		l.goTo(at, 0)
	case fyne.KeyEnd:
		l.goTo(at, len(l.lines)-1)
	case fyne.KeyRight, fyne.KeyLeft:
		if at >= 0 {
			l.level(at, k.Name == fyne.KeyRight)
		}
	case fyne.KeySpace:
		if at >= 0 {
			l.ask(l.OnShown, at, !l.lines[at].Shown)
		}
	case fyne.KeyDelete, fyne.KeyBackspace:
		if l.OnDelete != nil {
			l.OnDelete()
		}
	case fyne.KeyEscape:
		l.giveUpDrag()
	}
}

// goTo picks another line, or with Shift all up to it.
func (l *List) goTo(at, to int) {
	if l.Modifiers()&fyne.KeyModifierShift != 0 && at >= 0 {
		l.extend(at, to-at)
		return
	}
	if to != at && to >= 0 && to < len(l.lines) {
		l.pickLine(to)
	}
}

// level goes a level in or out, as in a tree.
func (l *List) level(at int, in bool) {
	switch n := &l.lines[at]; {
	case in && n.opened():
		l.pickLine(at + 1)
	case n.isHeading() && n.folded == in:
		l.fold(at, !in)
	case !in:
		if up := l.parent(at); up >= 0 {
			l.pickLine(up)
		}
	}
}

// extend takes along the lines beyond those picked, in a direction: the next
// one, or all for Home and End.
func (l *List) extend(at, by int) {
	first, last := l.span()
	from, to := last+1, min(last+by, len(l.lines)-1)
	if by < 0 {
		from, to = max(first+by, 0), first-1
	}
	l.pick(l.with(l.selected, from, to), at)
}

// span returns the first and the last line with a picked layer, headings only
// where they stand for it; −1 where there is none.
func (l *List) span() (first, last int) {
	first, last = -1, -1
	for i := range l.lines {
		if l.lines[i].opened() || l.pickedOf(i) == 0 {
			continue
		}
		if last = i; first < 0 {
			first = i
		}
	}
	return first, last
}

// TypedShortcut implements fyne.Shortcutable: Alt or Ctrl with an arrow moves
// what is picked.
func (l *List) TypedShortcut(s fyne.Shortcut) {
	if c, ok := s.(*desktop.CustomShortcut); ok && (c.Modifier == fyne.KeyModifierShortcutDefault || c.Modifier == fyne.KeyModifierAlt) {
		switch c.KeyName {
		case fyne.KeyUp:
			l.step(-1)
			return
		case fyne.KeyDown:
			l.step(1)
			return
		}
	}
	if l.OnShortcut != nil {
		l.OnShortcut(s)
	}
}

// step moves what is picked past the next line, together.
func (l *List) step(by int) {
	first, last := l.span()
	if first < 0 {
		return
	}
	past := last + 1
	if by < 0 {
		past = first - 1
	}
	for past >= 0 && past < len(l.lines) && l.lines[past].opened() {
		past += by // what is moved passes layers, and comes into a group or out of it
	}
	if past >= 0 && past < len(l.lines) {
		l.move(l.selected, past, by > 0)
	}
}
