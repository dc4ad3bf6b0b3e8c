package planar

// keyed is a sort key with what it belongs to.
type keyed struct {
	key uint64
	id  int32
}

// radixSort sorts items by key, stably, using spare (of the same length) as
// room, and returns the slice that holds the result. Only the low `width` bits
// of the keys may be set. Linear: one pass for every 11 bits or fewer. Its error is the pace's.
func radixSort(p *pace, items, spare []keyed, width int) ([]keyed, error) {
	const most = 11
	passes := (width + most - 1) / most
	if passes == 0 {
		return items, nil
	}
	digit := (width + passes - 1) / passes
	var room [1 << most]int32
	count, mask := room[:1<<digit], uint64(1)<<digit-1
	for shift := 0; shift < width; shift += digit {
		if err := p.spend(2 * len(items)); err != nil {
			return nil, err
		}
		clear(count[:])
		for i := range items {
			count[items[i].key>>shift&mask]++
		}
		sum := int32(0)
		for i, c := range count {
			count[i] = sum
			sum += c
		}
		for i := range items {
			d := items[i].key >> shift & mask
			spare[count[d]] = items[i]
			count[d]++
		}
		items, spare = spare, items
	}
	return items, nil
}
