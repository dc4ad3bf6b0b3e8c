package job

import "slices"

// MoveUnder moves the layers to right beneath another one, in the order that
// they have among themselves; under 0 they go to the top. Layers of an item
// above or below the other one's go as far towards it as their item goes. What
// comes to lie amid a group of the file becomes part of that group, so that none
// is torn; a group that is moved whole stays one within it.
func MoveUnder(j Job, ids []LayerID, under LayerID) (Job, error) {
	at, beneath := len(j.Items), 0 // its item, and how many beneath it there are not moved
	if under != 0 {
		var k int
		if at, k = j.find(under); at < 0 {
			return j, refuseLayer(NoSuchLayer, under, "")
		}
		set := setOf(ids)
		for _, l := range j.Items[at].Layers[:k] {
			if !set[l.ID] {
				beneath++
			}
		}
	}
	return reorder(j, ids, func(item, _, rest int) int {
		switch {
		case item < at:
			return rest
		case item == at:
			return beneath
		}
		return 0
	})
}

// Step says how far layers go in the order.
type Step uint8

const (
	// Up passes one layer that is not moved along.
	Up Step = iota
	// Down does so the other way.
	Down
	// ToTop passes all of them.
	ToTop
	// ToBottom does so the other way.
	ToBottom
)

// Arrange moves the layers in the order of their item; among themselves they
// keep theirs. Groups of the file are joined as by MoveUnder.
func Arrange(j Job, ids []LayerID, s Step) (Job, error) {
	return reorder(j, ids, func(_, above, rest int) int {
		return [...]int{Up: min(above+1, rest), Down: max(above-1, 0), ToTop: rest, ToBottom: 0}[s]
	})
}

// reorder moves the layers in the order of their items. to says above how many of
// an item's layers that stay one comes to lie, of rest, from how many it does now.
func reorder(j Job, ids []LayerID, to func(item, above, rest int) int) (Job, error) {
	set, err := lookUp(j, ids)
	if err != nil {
		return j, err
	}
	out := j
	for i, it := range j.Items {
		rest := len(it.Layers)
		for _, l := range it.Layers {
			if set[l.ID] {
				rest--
			}
		}
		rank, above := map[LayerID]int{}, 0
		for _, l := range it.Layers {
			switch {
			case !set[l.ID]:
				above++
				rank[l.ID] = 2 * above
			case l.Locked:
				return j, refuseLocked(&l)
			default:
				rank[l.ID] = 2*to(i, above, rest) + 1
			}
		}
		layers := slices.Clone(it.Layers)
		slices.SortStableFunc(layers, func(a, b Layer) int { return rank[a.ID] - rank[b.ID] })
		if !slices.EqualFunc(layers, it.Layers, func(a, b Layer) bool { return a.ID == b.ID }) {
			joinGroups(layers, set)
			out = withLayers(out, i, layers)
		}
	}
	return out, nil
}
