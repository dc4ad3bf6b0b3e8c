package thing

import (
	"slices"

	"abut/geometry"
	"abut/geometry/boxes"
)

// Finder finds things by where they lie. It remembers what they enclose: one goroutine at a
// time.
type Finder struct {
	Things []Thing
	bounds *boxes.Index
}

// NewFinder returns one for things, which are not copied.
func NewFinder(things []Thing) *Finder {
	return &Finder{things, boxes.New(len(things), func(i int) geometry.Rect { return things[i].Bounds })}
}

// Near returns the numbers of the things of which the bounds are within a distance of a place.
func (f *Finder) Near(at geometry.Point, within float64) []int { return f.bounds.Near(at, within) }

// LetterNear returns a letter whose bounds are within a distance of a place, −1 without any.
func (f *Finder) LetterNear(at geometry.Point, within float64) int {
	near := f.Near(at, within)
	if i := slices.IndexFunc(near, func(i int) bool { return f.Things[i].Kind == Letter }); i >= 0 {
		return near[i]
	}
	return -1
}

// At returns the thing at a place: of those that hold it the narrowest, else the
// nearest within a distance, −1 without any.
func (f *Finder) At(at geometry.Point, within float64) int {
	best, holds, room := -1, false, within
	for _, i := range f.Near(at, within) {
		t := &f.Things[i]
		if t.insideOf().Holds(at) {
			if !holds || t.WidthMM < f.Things[best].WidthMM {
				best, holds = i, true
			}
			continue
		}
		if d := t.Outline.Distance(at); !holds && d <= room {
			best, room = i, d
		}
	}
	return best
}
