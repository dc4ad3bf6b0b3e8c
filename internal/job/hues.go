package job

import (
	"slices"

	"abut/internal/colour"
)

// Hues are what was decided by hand about merging the art's colours.
type Hues struct {
	// Locked colours are merged into no other.
	Locked []colour.RGB `json:",omitempty"`
	// Together are pairs that are cut from one sheet, Apart such that are not.
	Together, Apart []Pair `json:",omitempty"`
}

// Pair is two colours, the order of which does not matter; a colour and itself say
// nothing.
type Pair struct{ A, B colour.RGB }

// is reports whether two pairs are the same one.
func (p Pair) is(q Pair) bool { return p == q || p.A == q.B && p.B == q.A }

// Lock locks a colour, or unlocks it.
func (h Hues) Lock(c colour.RGB, on bool) Hues {
	h.Locked = slices.DeleteFunc(slices.Clone(h.Locked), func(o colour.RGB) bool { return o == c })
	if on {
		h.Locked = append(h.Locked, c)
	}
	return h
}

// Join says that a pair is cut from one sheet, and Part that it is not; each takes
// back the other.
func (h Hues) Join(p Pair) Hues { return h.Free(p).with(p, true) }

// Part is the opposite of Join.
func (h Hues) Part(p Pair) Hues { return h.Free(p).with(p, false) }

func (h Hues) with(p Pair, together bool) Hues {
	if p.A == p.B {
		return h
	}
	if together {
		h.Together = append(h.Together, p)
	} else {
		h.Apart = append(h.Apart, p)
	}
	return h
}

// Free forgets what was said of a pair.
func (h Hues) Free(p Pair) Hues {
	h.Together = slices.DeleteFunc(slices.Clone(h.Together), p.is)
	h.Apart = slices.DeleteFunc(slices.Clone(h.Apart), p.is)
	return h
}

// Says reports whether anything was decided.
func (h Hues) Says() bool { return len(h.Locked)+len(h.Together)+len(h.Apart) > 0 }

// SetHues keeps what was decided by hand about merging colours.
func SetHues(j Job, h Hues) (Job, error) {
	j.Settings.Hues = h
	return j, nil
}
