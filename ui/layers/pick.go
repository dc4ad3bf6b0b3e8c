package layers

import (
	"slices"

	"fyne.io/fyne/v2"

	"abut/internal/job"
)

// Select marks layers as picked and brings the first into view.
func (l *List) Select(ids []job.LayerID) {
	if slices.Equal(ids, l.selected) {
		return
	}
	l.cursor = headingKey{}
	l.mark(ids)
	if i := l.at(); i >= 0 {
		l.reveal(i)
	}
	l.table.place()
}

func (l *List) mark(ids []job.LayerID) {
	l.selected = slices.Clone(ids)
	l.picked = make(map[job.LayerID]bool, len(ids))
	for _, id := range ids {
		l.picked[id] = true
	}
}

// pick picks layers, and the line that they were picked by becomes the one that
// keys go on from.
func (l *List) pick(ids []job.LayerID, by int) {
	l.mark(ids)
	l.cursor = headingKey{}
	if by >= 0 {
		l.cursor = l.lines[by].heading
		l.reveal(by)
	}
	l.table.place()
	if l.OnSelect != nil {
		l.OnSelect(slices.Clone(ids))
	}
}

// pickLine picks what a line stands for.
func (l *List) pickLine(i int) { l.pick(l.idsOf(i), i) }

// pickedOf returns how many of a line's layers are picked.
func (l *List) pickedOf(i int) int {
	k := 0
	for _, r := range l.all[l.lines[i].first : l.lines[i].first+l.lines[i].count] {
		if l.picked[r.ID] {
			k++
		}
	}
	return k
}

// at returns the line that keys go on from: that of the first picked layer, or
// the heading that it was picked by; −1 for none.
func (l *List) at() int {
	if len(l.selected) == 0 {
		return -1
	}
	if l.cursor != (headingKey{}) {
		if i := slices.IndexFunc(l.lines, func(n line) bool { return n.heading == l.cursor }); i >= 0 && l.pickedOf(i) > 0 {
			return i
		}
	}
	return l.lineOf(l.selected[0])
}

func (l *List) reveal(i int) {
	top, bottom := float32(i)*rowHigh(), float32(i+1)*rowHigh()
	h := l.scroll.Size().Height
	switch {
	case h <= 0:
	case top < l.scroll.Offset.Y:
		l.scroll.ScrollToOffset(fyne.NewPos(0, top))
	case bottom > l.scroll.Offset.Y+h:
		l.scroll.ScrollToOffset(fyne.NewPos(0, bottom-h))
	}
}

// tapped picks a line; with Shift or Ctrl it joins or leaves the others.
func (l *List) tapped(i int) {
	if i < 0 || i >= len(l.lines) {
		return
	}
	if c := fyne.CurrentApp().Driver().CanvasForObject(l); c != nil {
		c.Focus(l)
	}
	from := l.at()
	switch m := l.Modifiers(); {
	case m&fyne.KeyModifierShortcutDefault != 0:
		own := l.idsOf(i)
		ids := slices.DeleteFunc(slices.Clone(l.selected), func(id job.LayerID) bool { return slices.Contains(own, id) })
		if l.pickedOf(i) < len(own) {
			ids = append(ids, own...)
		}
		l.pick(ids, -1)
	case m&fyne.KeyModifierShift != 0 && from >= 0:
		l.pick(l.with(l.idsOf(from), min(from, i), max(from, i)), from)
	default:
		l.pickLine(i)
	}
}

// with returns layers and those of the lines from one to another, each once.
func (l *List) with(ids []job.LayerID, from, to int) []job.LayerID {
	ids = slices.Clone(ids)
	in := make(map[job.LayerID]bool, len(ids))
	for _, id := range ids {
		in[id] = true
	}
	for i := from; i <= to; i++ {
		if l.lines[i].opened() {
			continue // its layers have lines of their own
		}
		for _, id := range l.idsOf(i) {
			if !in[id] {
				in[id] = true
				ids = append(ids, id)
			}
		}
	}
	return ids
}
