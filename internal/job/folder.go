package job

import "slices"

// Around returns the smallest group of the file, or of bands, that holds the
// layers and more, with all of its layers, bottom first; an empty name when
// there is none. Groups that hold their whole item are none.
func Around(j Job, ids []LayerID) (name string, members []LayerID) {
	if len(ids) == 0 {
		return "", nil
	}
	first, it, ok := j.Layer(ids[0])
	if !ok {
		return "", nil
	}
	// holds lists the layers of a group, if it has all that are named.
	holds := func(in func(Layer) bool) []LayerID {
		var out []LayerID
		found := 0
		for _, l := range it.Layers {
			if in(l) {
				out = append(out, l.ID)
				if slices.Contains(ids, l.ID) {
					found++
				}
			}
		}
		if found < len(ids) || len(out) == len(ids) || len(out) == len(it.Layers) {
			return nil
		}
		return out
	}
	if first.Band.Of != 0 {
		if members = holds(func(l Layer) bool { return l.Band.Of == first.Band.Of }); members != nil {
			return first.Band.Name, members
		}
	}
	for n := len(first.Folders); n > 0; n-- {
		members = holds(func(l Layer) bool { return len(l.Folders) >= n && slices.Equal(l.Folders[:n], first.Folders[:n]) })
		if members != nil {
			return first.Folders[n-1], members
		}
	}
	return "", nil
}
