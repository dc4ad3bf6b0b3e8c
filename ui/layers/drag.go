package layers

import (
	"slices"

	"fyne.io/fyne/v2"

	"abut/internal/job"
)

// drag is what is being dragged to another place.
type drag struct {
	// from is the line that the pointer took hold of, −1 for none; ids all that
	// go along.
	from int
	ids  []job.LayerID
	// gap is the place they would go to: before that line. y is where the pointer
	// is, in the table's units.
	gap int
	y   float32
	// spent: nothing more comes of this drag.
	spent bool
}

var noDrag = drag{from: -1, gap: -1}

// dragged follows the pointer; y is in the table's units.
func (l *List) dragged(i int, y float32) {
	if l.drag.spent || i < 0 || i >= len(l.lines) {
		return
	}
	if l.drag.from < 0 && !l.takeHold(i) {
		l.drag.spent = true
		return
	}
	// Near an end of what is seen, more comes into view.
	h := l.scroll.Size().Height
	switch seen := y - l.scroll.Offset.Y; {
	case seen < rowHigh()/2 && l.scroll.Offset.Y > 0:
		l.scroll.ScrollToOffset(fyne.NewPos(0, max(0, l.scroll.Offset.Y-8)))
	case seen > h-rowHigh()/2 && l.scroll.Offset.Y < l.table.MinSize().Height-h:
		l.scroll.ScrollToOffset(fyne.NewPos(0, min(l.table.MinSize().Height-h, l.scroll.Offset.Y+8)))
	}
	l.drag.y = y
	l.drag.gap = l.gapAt(int(y/rowHigh() + 0.5))
	l.table.place()
}

// takeHold begins a drag of a line and, where that is picked, of all that are;
// locked layers stay, and all with them.
func (l *List) takeHold(i int) bool {
	own := l.idsOf(i)
	ids := own
	if l.pickedOf(i) == len(own) {
		ids = l.selected
	}
	for _, r := range l.all {
		if r.Locked && slices.Contains(ids, r.ID) {
			return false
		}
	}
	l.drag.from, l.drag.ids = i, slices.Clone(ids)
	if l.pickedOf(i) < len(own) {
		l.pickLine(i)
	}
	return true
}

// gapAt is the gap nearest to one where what is dragged can go: right above a
// group's first layer it comes into the group only if it is of it already.
func (l *List) gapAt(gap int) int {
	gap = max(0, min(gap, len(l.lines)))
	within := func(i int) bool {
		own := l.idsOf(i)
		return !slices.ContainsFunc(l.drag.ids, func(id job.LayerID) bool { return !slices.Contains(own, id) }) && len(l.drag.ids) < len(own)
	}
	for gap > 0 && l.lines[gap-1].opened() && !within(gap-1) {
		gap--
	}
	for gap < len(l.lines) && l.lines[gap].opened() && within(gap) {
		gap++
	}
	return gap
}

func (l *List) dragEnd() {
	d := l.drag
	l.drag = noDrag
	l.table.place()
	switch {
	case d.from < 0 || d.gap < 0:
	case d.gap <= d.from:
		l.move(d.ids, d.gap, false)
	default:
		l.move(d.ids, d.gap-1, true)
	}
}

func (l *List) giveUpDrag() {
	if l.drag.from >= 0 {
		l.drag = noDrag
		l.drag.spent = true
		l.table.place()
	}
}

// move asks for layers to be moved to right above or beneath a line, whatever
// lies between the lines unseen.
func (l *List) move(ids []job.LayerID, past int, beneath bool) {
	n := &l.lines[past]
	at := n.first // how many layers are above the new place
	if beneath && !n.opened() {
		at += n.count
	}
	if l.OnMove == nil {
		return
	}
	var under job.LayerID
	if at > 0 {
		under = l.all[at-1].ID
	}
	l.OnMove(slices.Clone(ids), under)
}

// drags reports whether a line is dragged along.
func (l *List) drags(i int) bool {
	return l.drag.from >= 0 && !slices.ContainsFunc(l.idsOf(i), func(id job.LayerID) bool { return !slices.Contains(l.drag.ids, id) })
}
