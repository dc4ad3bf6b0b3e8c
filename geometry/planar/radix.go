package planar

import (
	"math/bits"
	"sort"

	"abut/geometry/parallel"
)

// keyed is a sort key with what it belongs to.
type keyed struct {
	key uint64
	id  int32
}

// sortKeyed sorts items by key, stably, in place, using spare (of the same length) as
// room. It looks at the low `width` bits of the keys; where others are set, they must be
// the same in all. Keys that are strewn evenly take one look to count them, one to
// distribute them and one to put in order the few that fall together; what is more than a
// few is distributed again, by the bits further down. Its error is the pace's.
func sortKeyed(p *pace, items, spare []keyed, width int) error {
	if len(items) <= few || width == 0 {
		insertKeyed(items)
		return nil
	}
	if err := p.spend(3 * len(items)); err != nil {
		return err
	}
	d := firstDigit(len(items), width)
	var next counts
	d.count(items, &next)
	at := int32(0)
	for v := range d.values() {
		next[v], at = at, at+next[v]
	}
	d.distribute(items, spare, &next)
	return d.finish(p, items, spare, 0, next[:d.values()])
}

// few items are put in order one by one.
const few = 24

// mostBits are looked at at a time, so that what is counted stays near.
const mostBits = 11

// counts are how many items there are of each value of a digit, and then where the next
// of each goes.
type counts [1 << mostBits]int32

// digit is some bits of keys, above those at shift.
type digit struct{ bits, shift int }

// firstDigit is what to look at first of the low width bits of the keys of n items.
func firstDigit(n, width int) digit {
	b := min(bits.Len(uint(n)), mostBits, width)
	return digit{b, width - b}
}

func (d digit) values() int { return 1 << d.bits }

func (d digit) count(items []keyed, n *counts) {
	mask := uint64(1)<<d.bits - 1
	for i := range items {
		n[items[i].key>>d.shift&mask]++
	}
}

func (d digit) distribute(items, out []keyed, next *counts) {
	mask := uint64(1)<<d.bits - 1
	for i := range items {
		at := &next[items[i].key>>d.shift&mask]
		out[*at] = items[i]
		*at++
	}
}

// finish sorts what was distributed by the bits further down, into items: from a place on,
// of which each value ends where it is told.
func (d digit) finish(p *pace, items, spare []keyed, lo int32, ends []int32) error {
	if len(ends) == 0 {
		return nil
	}
	most, from := int32(0), lo
	for _, hi := range ends {
		most, from = max(most, hi-from), hi
	}
	if most <= few {
		insertAll(items[lo:from], spare[lo:from])
		return nil
	}
	copy(items[lo:from], spare[lo:from])
	for _, hi := range ends {
		if hi-lo > few {
			if err := sortKeyed(p, items[lo:hi], spare[lo:hi], d.shift); err != nil {
				return err
			}
		} else if hi-lo > 1 {
			insertKeyed(items[lo:hi])
		}
		lo = hi
	}
	return nil
}

// sortShared is sortKeyed by several workers, where it pays.
func sortShared(p *pace, items, spare []keyed, width int) error {
	n := len(items)
	if n < worthSplitting || width == 0 {
		return sortKeyed(p, items, spare, width)
	}
	if err := p.spend(3 * n); err != nil {
		return err
	}
	d := firstDigit(n, width)
	var next [parallel.Workers]counts
	err := parallel.Ranges(p.ctx, n, 0, func(part, lo, hi int) error {
		d.count(items[lo:hi], &next[part])
		return nil
	})
	if err != nil {
		return err
	}
	// Those of one value go where the first worker's begin, then the second's.
	at := int32(0)
	for v := range d.values() {
		for part := range next {
			next[part][v], at = at, at+next[part][v]
		}
	}
	err = parallel.Ranges(p.ctx, n, 0, func(part, lo, hi int) error {
		d.distribute(items[lo:hi], spare, &next[part])
		return nil
	})
	if err != nil {
		return err
	}
	ends := next[parallel.Workers-1][:d.values()]
	return parallel.Ranges(p.ctx, n, 0, func(_, lo, hi int) error {
		// The values that end in the range.
		first := sort.Search(len(ends), func(v int) bool { return int(ends[v]) > lo })
		after := sort.Search(len(ends), func(v int) bool { return int(ends[v]) > hi })
		from := int32(0)
		if first > 0 {
			from = ends[first-1]
		}
		return d.finish(unhurried(p.ctx), items, spare, from, ends[first:after])
	})
}

// insertAll sorts items that lie near their places into others. To go through them once takes less than to
// go through those of each value.
func insertAll(items, from []keyed) {
	for i, it := range from {
		k := i
		for ; k > 0 && items[k-1].key > it.key; k-- {
			items[k] = items[k-1]
		}
		items[k] = it
	}
}

// insertKeyed sorts a few items.
func insertKeyed(items []keyed) { insertAll(items, items) }
