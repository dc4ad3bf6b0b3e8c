package job

import (
	"reflect"
	"strings"
)

// SetText sets a layer's text, as SetContent does. A layer that is called by what
// it says is called by the new words, and one that is bent otherwise stays where
// it is.
func SetText(j Job, id LayerID, t Text) (Job, error) {
	before := BoundsOf(j, []LayerID{id})
	l, _, _ := j.Layer(id)
	out, err := SetContent(j, id, t)
	old, was := l.Content.(Text)
	if err != nil || !was {
		return out, err
	}
	if l.Name == TextName(old.Text) {
		if out, err = Rename(out, id, TextName(t.Text)); err != nil {
			return j, err
		}
	}
	if !reflect.DeepEqual(t.Arc, old.Arc) && !before.Empty() {
		return CentreOn(out, []LayerID{id}, before)
	}
	return out, nil
}

// TextName is what a layer of a text is called: its words, the first few of many.
func TextName(s string) string {
	s = strings.Join(strings.Fields(s), " ")
	if r := []rune(s); len(r) > 24 {
		s = string(r[:24]) + "…"
	}
	return s
}
