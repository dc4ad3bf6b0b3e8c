package job

import "slices"

// Around returns the smallest group of the file, or of bands, that holds the
// layers and more, with all of its layers, bottom first; an empty name when
// there is none. Groups that hold their whole item are none.
func Around(j Job, ids []LayerID) (name string, members []LayerID) {
	if len(ids) == 0 {
		return "", nil
	}
	set := setOf(ids)
	first, it, _ := j.Layer(ids[0])
	holds := func(in func(*Layer) bool) bool {
		members = nil
		found := 0
		for k := range it.Layers {
			if l := &it.Layers[k]; in(l) {
				members = append(members, l.ID)
				if set[l.ID] {
					found++
				}
			}
		}
		return found == len(set) && len(members) > len(set) && len(members) < len(it.Layers)
	}
	if of := first.Band.Of; of != 0 && holds(func(l *Layer) bool { return l.Band.Of == of }) {
		return first.Band.Name, members
	}
	for n := len(first.Folders); n > 0; n-- {
		if holds(func(l *Layer) bool { return len(shared(l.Folders, first.Folders)) >= n }) {
			return first.Folders[n-1], members
		}
	}
	return "", nil
}

// joinGroups lets what was moved to amid a group of the file join it.
func joinGroups(layers []Layer, moved map[LayerID]bool) {
	for from := 0; from < len(layers); from++ {
		to := from
		for to < len(layers) && moved[layers[to].ID] {
			to++
		}
		if from == 0 || to == from || to == len(layers) {
			from = to
			continue
		}
		around := shared(layers[from-1].Folders, layers[to].Folders)
		own := make([][]string, 0, to-from)
		for _, l := range layers[from:to] {
			own = append(own, wholeGroups(layers, l, moved))
		}
		for k := range own {
			if l := &layers[from+k]; len(shared(around, l.Folders)) < len(around) {
				l.Folders = slices.Concat(around, own[k])
			}
		}
		from = to
	}
}

// wholeGroups returns those of the groups around a layer that are moved with all
// they hold, if it is more than the layer.
func wholeGroups(layers []Layer, l Layer, moved map[LayerID]bool) []string {
	for n := range l.Folders {
		holds, all := 0, true
		for _, o := range layers {
			if len(shared(o.Folders, l.Folders)) > n {
				holds++
				all = all && moved[o.ID]
			}
		}
		if all && holds > 1 {
			return l.Folders[n:]
		}
	}
	return nil
}

// shared returns the outermost groups that two have in common.
func shared(a, b []string) []string {
	n := 0
	for n < len(a) && n < len(b) && a[n] == b[n] {
		n++
	}
	return a[:n:n]
}
