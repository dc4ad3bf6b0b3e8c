package trace

import (
	"cmp"
	"context"
	"slices"

	"abut/internal/colour"
	"abut/internal/job"
)

// choose joins inks, and notes what all are and which stay bare.
func (t *tracer) choose(ctx context.Context) error {
	count := make([]int, len(t.inks))
	for _, r := range t.list {
		count[r.label] += r.area
	}
	t.tell(count)
	of := map[colour.RGB]uint8{}
	for k := len(t.inks) - 1; k > bare; k-- {
		if count[k] > 0 {
			of[t.inks[k].c.onWhite()] = uint8(k)
		}
	}
	to := joined(len(t.inks), t.opt.Joined, of)
	t.cut = make([]colour.RGB, len(t.inks))
	for k := range t.inks {
		t.cut[k] = t.inks[k].c.onWhite()
	}
	if len(t.opt.Sheets) > 0 {
		t.toSheets(count, to)
	}
	for i := range t.found {
		ink := &t.found[i]
		k := to[of[ink.Colour]]
		if ink.Cut = t.cut[k]; k != of[ink.Colour] {
			ink.Joined, ink.To = true, t.inks[k].c.onWhite()
		}
	}
	t.before = t.labels
	same := true
	for k := range to {
		same = same && to[k] == uint8(k)
	}
	if same {
		return nil
	}
	t.labels = slices.Clone(t.labels)
	for i, k := range t.labels {
		t.labels[i] = to[k]
	}
	return t.regions(ctx)
}

// tell notes the inks as people are told of them, given how many pixels are of each.
func (t *tracer) tell(count []int) {
	ground := t.groundInk()
	for k, n := range count {
		if n == 0 || k == bare {
			continue
		}
		ink := Ink{Colour: t.inks[k].c.onWhite(), Share: float64(n) / float64(len(t.labels)), Ground: k == ground}
		ink.Paper = ink.Ground && t.scanned && ink.Colour.DeltaE(colour.RGB{R: 255, G: 255, B: 255}) <= job.BareDeltaE
		ink.Bare = ink.Ground && t.opt.BareGround || ink.Paper && !t.opt.KeepGround || slices.Contains(t.opt.Bare, ink.Colour)
		t.found = append(t.found, ink)
	}
	slices.SortStableFunc(t.found, func(a, b Ink) int { return cmp.Compare(b.Share, a.Share) })
}

// groundInk is the ink along most of the rim of the picture, which what is drawn may reach
// over; bare where there is none.
func (t *tracer) groundInk() int {
	rim := t.rim()
	around, ground := 0, bare
	for k, n := range rim {
		if around += n; n > rim[ground] {
			ground = k
		}
	}
	if t.photo || 2*rim[ground] < around {
		return bare
	}
	return ground
}

// rim counts the pixels of each ink at the sides of the picture. That of a sheet that was
// cut off is where it meets what is bare.
func (t *tracer) rim() []int {
	w, h := t.pic.w, t.pic.h
	rim := make([]int, len(t.inks))
	if t.upright {
		for i, k := range t.labels {
			if i >= w && (k == bare) != (t.labels[i-w] == bare) {
				rim[max(k, t.labels[i-w])]++
			}
			if i%w > 0 && (k == bare) != (t.labels[i-1] == bare) {
				rim[max(k, t.labels[i-1])]++
			}
		}
		return rim
	}
	for y := range h {
		rim[t.labels[y*w]]++
		rim[t.labels[y*w+w-1]]++
	}
	for x := range w {
		rim[t.labels[x]]++
		rim[t.labels[(h-1)*w+x]]++
	}
	return rim
}

// joined returns for each of n inks the one that it counts as; of has those that there are
// by their colour.
func joined(n int, joins []job.Joined, of map[colour.RGB]uint8) []uint8 {
	to := make([]uint8, n)
	for k := range to {
		to[k] = uint8(k)
	}
	for _, j := range joins {
		from, ok := of[j.From]
		into, too := of[j.To]
		if !ok || !too || from == into || to[into] == from {
			continue
		}
		to[from] = into
	}
	for k := range to {
		for range to { // one may be joined to one that is
			to[k] = to[to[k]]
		}
	}
	return to
}

// toSheets has each ink cut from the sheet that looks most like it. Of inks that go
// to one sheet the most frequent stands for all: their edges go.
func (t *tracer) toSheets(count []int, to []uint8) {
	first := map[colour.RGB]uint8{}
	stands := slices.Clone(to)
	for k := range t.inks {
		if k == bare || to[k] != uint8(k) || count[k] == 0 || t.staysBare(k) {
			continue
		}
		sheet := slices.MinFunc(t.opt.Sheets, func(a, b colour.RGB) int {
			return cmp.Compare(t.inks[k].lab.DeltaE(a.Lab()), t.inks[k].lab.DeltaE(b.Lab()))
		})
		t.cut[k] = sheet
		if other, there := first[sheet]; !there || count[other] < count[k] {
			first[sheet] = uint8(k)
		}
	}
	for k := range to {
		if other, there := first[t.cut[to[k]]]; there && !t.staysBare(int(to[k])) {
			stands[k] = other
		}
	}
	copy(to, stands)
}

// staysBare reports whether nothing is cut of an ink.
func (t *tracer) staysBare(label int) bool {
	if label == bare {
		return true
	}
	c := t.inks[label].c.onWhite()
	return slices.ContainsFunc(t.found, func(k Ink) bool { return k.Colour == c && k.Bare })
}

// nothing is an area, in square pixels, that nobody sees: edges have come to lie on
// each other, as where a line at the rim blends with what lies beyond it.
const nothing = 1e-3

// left returns what was found without the inks of which no area is left, given how
// much there is of each.
func (t *tracer) left(area []float64) []Ink {
	some := map[colour.RGB]bool{}
	for k, a := range area {
		if c := t.inks[k].c.onWhite(); a >= nothing || t.staysBare(k) {
			some[c] = true
		}
	}
	return slices.DeleteFunc(slices.Clone(t.found), func(k Ink) bool { return !k.Joined && !some[k.Colour] })
}
