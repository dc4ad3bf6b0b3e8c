package planar

import "math/bits"

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
	const (
		few  = 24 // are put in order one by one
		most = 11 // bits at a time, so that what is counted stays near
	)
	if len(items) <= few || width == 0 {
		insertKeyed(items)
		return nil
	}
	if err := p.spend(3 * len(items)); err != nil {
		return err
	}
	digit := min(bits.Len(uint(len(items))), most, width)
	width -= digit
	var room [1<<most + 1]int32
	next, mask := room[:1<<digit+1], uint64(1)<<digit-1
	for i := range items {
		next[items[i].key>>width&mask+1]++
	}
	for i := 1; i < len(next); i++ {
		next[i] += next[i-1]
	}
	for i := range items {
		at := &next[items[i].key>>width&mask]
		spare[*at] = items[i]
		*at++
	}
	copy(items, spare)
	lo := int32(0)
	for _, hi := range next[:1<<digit] { // by now where each ends
		if hi-lo > few {
			if err := sortKeyed(p, items[lo:hi], spare[lo:hi], width); err != nil {
				return err
			}
		} else if hi-lo > 1 {
			insertKeyed(items[lo:hi])
		}
		lo = hi
	}
	return nil
}

// insertKeyed sorts a few items.
func insertKeyed(items []keyed) {
	for i := 1; i < len(items); i++ {
		it, k := items[i], i
		for ; k > 0 && items[k-1].key > it.key; k-- {
			items[k] = items[k-1]
		}
		items[k] = it
	}
}
