package controls

import (
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
)

// Row is one of Rows. Its key says all that it shows and does: a row of the same
// key is the same row.
type Row struct {
	Key  string
	Make func() fyne.CanvasObject
}

// Rows is a list that is shown again and again as things change. What has not
// changed stays as it is, with pointer and keyboard on it; where the row that the
// keyboard was on is gone, it is on the one that took its place.
type Rows struct {
	Object *fyne.Container
	keys   []string
}

// NewRows returns an empty list with gaps of the given height.
func NewRows(gap float32) *Rows {
	return &Rows{Object: container.New(&Stack{Gap: gap})}
}

// Show shows rows in place of those before, and reports whether that changes
// anything.
func (r *Rows) Show(rows ...Row) bool {
	if slices.EqualFunc(rows, r.keys, func(n Row, key string) bool { return n.Key == key }) {
		return false
	}
	had := map[string]fyne.CanvasObject{}
	for i, key := range r.keys {
		had[key] = r.Object.Objects[i]
	}
	place := r.focused()
	keys, objects := make([]string, len(rows)), make([]fyne.CanvasObject, len(rows))
	for i, n := range rows {
		o := had[n.Key]
		if o == nil {
			o = n.Make()
		}
		delete(had, n.Key) // one key, one row
		keys[i], objects[i] = n.Key, o
	}
	lost := place >= 0 && had[r.keys[place]] != nil
	r.keys, r.Object.Objects = keys, objects
	r.Object.Refresh()
	if lost {
		r.focus(place)
	}
	return true
}

// focused returns which row the keyboard is on, −1 for none.
func (r *Rows) focused() int {
	c := fyne.CurrentApp().Driver().CanvasForObject(r.Object)
	if c == nil || c.Focused() == nil {
		return -1
	}
	on := c.Focused()
	return slices.IndexFunc(r.Object.Objects, func(o fyne.CanvasObject) bool {
		return find(o, func(f fyne.Focusable) bool { return f == on }) != nil
	})
}

// focus has the keyboard go on at a row, or at the last one.
func (r *Rows) focus(at int) {
	c := fyne.CurrentApp().Driver().CanvasForObject(r.Object)
	for i := min(at, len(r.Object.Objects)-1); c != nil && i >= 0; i-- {
		if f := find(r.Object.Objects[i], usable); f != nil {
			c.Focus(f)
			return
		}
	}
}

func usable(f fyne.Focusable) bool {
	if d, is := f.(fyne.Disableable); is && d.Disabled() {
		return false
	}
	o, is := f.(fyne.CanvasObject)
	return is && o.Visible()
}

// find returns the first widget beneath an object that can have the keyboard and
// is as said, nil without.
func find(o fyne.CanvasObject, is func(fyne.Focusable) bool) fyne.Focusable {
	if f, can := o.(fyne.Focusable); can && is(f) {
		return f
	}
	switch o := o.(type) {
	case *fyne.Container:
		for _, x := range o.Objects {
			if f := find(x, is); f != nil {
				return f
			}
		}
	case *container.Scroll:
		return find(o.Content, is)
	}
	return nil
}
