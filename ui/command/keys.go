package command

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"abut/internal/words"
)

// Ctrl returns a key with the desktop's usual modifier.
func Ctrl(k fyne.KeyName) fyne.Shortcut {
	return &desktop.CustomShortcut{KeyName: k, Modifier: fyne.KeyModifierShortcutDefault}
}

// CtrlShift is Ctrl with the shift key.
func CtrlShift(k fyne.KeyName) fyne.Shortcut {
	return &desktop.CustomShortcut{KeyName: k, Modifier: fyne.KeyModifierShortcutDefault | fyne.KeyModifierShift}
}

// keyNames are the keys that are not called what is printed on them.
var keyNames = map[fyne.KeyName]string{
	fyne.KeyPageUp: "key-page-up", fyne.KeyPageDown: "key-page-down", fyne.KeyHome: "key-home", fyne.KeyEnd: "key-end",
}

// KeyText writes a shortcut as people do, "Ctrl+Shift+S"; empty where it is not
// one of the keyboard's.
func KeyText(s fyne.Shortcut) string {
	k, ok := s.(fyne.KeyboardShortcut)
	if !ok {
		return ""
	}
	text := ""
	for _, m := range []struct {
		mod  fyne.KeyModifier
		name string
	}{{fyne.KeyModifierControl, words.Say("key-ctrl")}, {fyne.KeyModifierSuper, "⌘"}, {fyne.KeyModifierAlt, "Alt"}, {fyne.KeyModifierShift, words.Say("key-shift")}} {
		if k.Mod()&m.mod != 0 {
			text += m.name + "+"
		}
	}
	if id := keyNames[k.Key()]; id != "" {
		return text + words.Say(id)
	}
	return text + string(k.Key())
}

// Keys lists the commands that have a key: the key, and what it does.
func (t *Table) Keys() [][2]string {
	var out [][2]string
	for _, c := range t.list {
		if c.Key != nil {
			out = append(out, [2]string{KeyText(c.Key), strings.TrimSuffix(t.Label(c.ID), "…")})
		}
	}
	return out
}
