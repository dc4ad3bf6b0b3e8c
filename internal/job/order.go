package job

import "slices"

// MoveUnder moves the layers to right beneath another one, in the order that
// they have among themselves; under 0 they go to the top. Layers of an item
// above or below the other one's go as far towards it as their item goes. What
// comes to lie amid a group of the file becomes part of that group, so that none
// is torn; a group that is moved whole stays one within it.
func MoveUnder(j Job, ids []LayerID, under LayerID) (Job, error) {
	set, err := lookUp(j, ids)
	if err != nil {
		return j, err
	}
	at := len(j.Items)
	if under != 0 {
		if at = slices.IndexFunc(j.Items, func(it Item) bool { return it.index(under) >= 0 }); at < 0 {
			return j, refuseLayer(NoSuchLayer, under, "")
		}
	}
	out := j
	for i, it := range j.Items {
		moved, rest, err := part(it, set)
		if err != nil {
			return j, err
		}
		place := 0 // among the rest
		switch {
		case i < at:
			place = len(rest)
		case i == at:
			for _, l := range it.Layers[:it.index(under)] {
				if !set[l.ID] {
					place++
				}
			}
		}
		out = withOrder(out, i, slices.Insert(rest, place, moved...), set)
	}
	return out, nil
}

// Step says how far layers go in the order.
type Step uint8

const (
	// Up and Down pass one layer that is not moved along; ToTop and ToBottom
	// all of them.
	Up Step = iota
	Down
	ToTop
	ToBottom
)

// Arrange moves the layers in the order of their item; among themselves they
// keep theirs. Groups of the file are joined as by MoveUnder.
func Arrange(j Job, ids []LayerID, s Step) (Job, error) {
	set, err := lookUp(j, ids)
	if err != nil {
		return j, err
	}
	out := j
	for i, it := range j.Items {
		moved, rest, err := part(it, set)
		if err != nil {
			return j, err
		}
		layers := slices.Clone(it.Layers)
		moves := func(k int) bool { return set[layers[k].ID] }
		switch s {
		case Up:
			for k := len(layers) - 2; k >= 0; k-- {
				if moves(k) && !moves(k+1) {
					layers[k], layers[k+1] = layers[k+1], layers[k]
				}
			}
		case Down:
			for k := 1; k < len(layers); k++ {
				if moves(k) && !moves(k-1) {
					layers[k], layers[k-1] = layers[k-1], layers[k]
				}
			}
		case ToTop:
			layers = slices.Concat(rest, moved)
		case ToBottom:
			layers = slices.Concat(moved, rest)
		}
		out = withOrder(out, i, layers, set)
	}
	return out, nil
}

// part parts an item's layers into those that are to move and the rest, both in
// their order; locked ones don't move.
func part(it Item, set map[LayerID]bool) (moved, rest []Layer, err error) {
	for _, l := range it.Layers {
		switch {
		case !set[l.ID]:
			rest = append(rest, l)
		case l.Locked:
			return nil, nil, refuseLocked(&l)
		default:
			moved = append(moved, l)
		}
	}
	return moved, rest, nil
}

// withOrder gives an item its layers in another order, those of the set moved;
// the job itself where the order is the one that it has.
func withOrder(j Job, item int, layers []Layer, moved map[LayerID]bool) Job {
	if slices.EqualFunc(layers, j.Items[item].Layers, func(a, b Layer) bool { return a.ID == b.ID }) {
		return j
	}
	joinGroups(layers, moved)
	return withLayers(j, item, layers)
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
