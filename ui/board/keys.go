package board

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
)

// ExpectFocus says that the focus that comes next does not come by keyboard, so
// that no ring need show where it is.
func (b *Board) ExpectFocus() { b.quiet = true }

// FocusGained implements fyne.Focusable.
func (b *Board) FocusGained() {
	b.ring.Hidden = b.quiet
	b.ring.Refresh()
}

// FocusLost implements fyne.Focusable. The toolkit calls it as well when the
// whole window goes behind another; the focus then comes back as it was.
func (b *Board) FocusLost() {
	b.gesture.space = false
	b.Compare(false)
	b.ring.Hide()
	if b.painter.deliver == nil {
		b.quiet = false
		return
	}
	go b.painter.deliver(func() {
		if c := fyne.CurrentApp().Driver().CanvasForObject(b); c == nil || c.Focused() != b {
			b.quiet = false
		}
	})
}

// TypedRune implements fyne.Focusable.
func (b *Board) TypedRune(r rune) {
	switch r {
	case '+', '=':
		b.Zoom(1.25)
	case '-':
		b.Zoom(1 / 1.25)
	case '0':
		b.ShowAll()
	}
}

// Steps of the arrow keys in millimetres: plain, with Shift, with Ctrl.
const (
	nudgeFine   = 0.1
	nudgeMM     = 1.0
	nudgeCoarse = 10.0
)

// TypedKey implements fyne.Focusable.
func (b *Board) TypedKey(k *fyne.KeyEvent) {
	if k.Name == fyne.KeyEscape {
		if b.Dragging() || b.gesture.kind == boxing {
			b.cancel()
		} else {
			b.pick(nil)
		}
		return
	}
	if k.Name == fyne.KeyF1 && b.OnHelp != nil {
		b.OnHelp()
		return
	}
	if k.Name == fyne.KeyDelete || k.Name == fyne.KeyBackspace {
		if !b.Dragging() && b.mode == Art && b.OnDelete != nil {
			b.OnDelete()
		}
		return
	}
	step := nudgeFine
	if b.Modifiers()&fyne.KeyModifierShift != 0 {
		step = nudgeMM
	}
	b.arrow(k.Name, step)
}

func (b *Board) arrow(k fyne.KeyName, step float64) {
	if b.Dragging() || b.mode != Art || len(b.selection) == 0 || b.OnNudge == nil {
		return
	}
	switch k {
	case fyne.KeyLeft:
		b.OnNudge(-step, 0)
	case fyne.KeyRight:
		b.OnNudge(step, 0)
	case fyne.KeyUp:
		b.OnNudge(0, -step)
	case fyne.KeyDown:
		b.OnNudge(0, step)
	}
}

// TypedShortcut implements fyne.Shortcutable: Ctrl with an arrow comes this way.
func (b *Board) TypedShortcut(s fyne.Shortcut) {
	c, ok := s.(*desktop.CustomShortcut)
	if ok && c.Modifier == fyne.KeyModifierShortcutDefault {
		switch c.KeyName {
		case fyne.KeyLeft, fyne.KeyRight, fyne.KeyUp, fyne.KeyDown:
			b.arrow(c.KeyName, nudgeCoarse)
			return
		}
	}
	if b.OnShortcut != nil {
		b.OnShortcut(s)
	}
}

// KeyDown implements desktop.Keyable.
func (b *Board) KeyDown(k *fyne.KeyEvent) {
	switch k.Name {
	case fyne.KeySpace:
		b.gesture.space = true
	case compareKey:
		if b.Modifiers() == 0 && !b.Dragging() {
			b.Compare(true)
		}
	}
}

// KeyUp implements desktop.Keyable.
func (b *Board) KeyUp(k *fyne.KeyEvent) {
	switch k.Name {
	case fyne.KeySpace:
		b.gesture.space = false
	case compareKey:
		b.Compare(false)
	}
}
