package job

import "slices"

// AddMend puts a mend into the item that its layer is in. One that is about the
// same spot, to the last bit, is replaced.
func AddMend(j Job, m Mend) (Job, error) {
	i, _ := j.find(m.Layer)
	if i < 0 {
		return j, refuseLayer(NoSuchLayer, m.Layer, "")
	}
	j.Items = slices.Clone(j.Items)
	it := &j.Items[i]
	it.Mends = append(slices.DeleteFunc(slices.Clone(it.Mends), m.sameSpot), m)
	return j, nil
}

// AddMends adds mends one after the other, as AddMend does: of many that takes far less.
func AddMends(j Job, mends []Mend) (Job, error) {
	of := map[int][]Mend{} // by item
	for _, m := range mends {
		i, _ := j.find(m.Layer)
		if i < 0 {
			return j, refuseLayer(NoSuchLayer, m.Layer, "")
		}
		of[i] = append(of[i], m)
	}
	j.Items = slices.Clone(j.Items)
	for i, fresh := range of {
		last := map[Mend]int{}
		for k, m := range fresh {
			last[m.spot()] = k
		}
		var all []Mend
		for _, m := range j.Items[i].Mends {
			if _, anew := last[m.spot()]; !anew {
				all = append(all, m)
			}
		}
		for k, m := range fresh {
			if last[m.spot()] == k {
				all = append(all, m)
			}
		}
		j.Items[i].Mends = all
	}
	return j, nil
}

// spot is what is the same of two mends of the same spot; see sameSpot.
func (m Mend) spot() Mend {
	if m.Do.OfThing() {
		return Mend{Layer: m.Layer, At: m.At, Do: m.Do}
	}
	return Mend{Layer: m.Layer, At: m.At, Spot: m.Spot, Round: m.Round}
}

func (m Mend) sameSpot(o Mend) bool {
	if m.Do.OfThing() || o.Do.OfThing() {
		return o.Layer == m.Layer && o.At == m.At && o.Do == m.Do
	}
	return o.Layer == m.Layer && o.At == m.At && o.Spot == m.Spot && o.Round == m.Round
}

// restsOn reports whether a mend may rest on another one: spots of later rounds on
// those before, and on things all spots that nobody chose.
func (m Mend) restsOn(o Mend) bool {
	if o.Do.OfThing() {
		return !m.Do.OfThing() && !m.ByHand
	}
	return m.Round > o.Round
}

// RemoveMend takes a mend away, and with it those that may rest on it. A mend that is not there is no error.
func RemoveMend(j Job, m Mend) (Job, error) {
	if !slices.ContainsFunc(j.Items, func(it Item) bool { return slices.ContainsFunc(it.Mends, m.sameSpot) }) {
		return j, nil
	}
	return deleteMends(j, func(o Mend) bool { return o.restsOn(m) || m.sameSpot(o) }), nil
}

// ForgetMends takes just these mends away: those that could not be made, on
// which nothing rests.
func ForgetMends(j Job, mends []Mend) (Job, error) {
	return deleteMends(j, func(m Mend) bool { return slices.Contains(mends, m) }), nil
}

// DrawWithPen has a pen draw layers. What mends make of their things is for the knife
// and goes: a pen draws fine lines as they are.
func DrawWithPen(j Job, ids []LayerID) (Job, error) {
	j, err := SetUse(j, ids, Drawn)
	if err != nil {
		return j, err
	}
	return deleteMends(j, func(m Mend) bool { return m.Do.OfThing() && slices.Contains(ids, m.Layer) }), nil
}

// Mended reports whether all was mended: there are mends that nobody chose spot by spot.
func (j Job) Mended() bool {
	return slices.ContainsFunc(j.Items, func(it Item) bool {
		return slices.ContainsFunc(it.Mends, func(m Mend) bool { return !m.ByHand })
	})
}

// ClearMends takes all mends away.
func ClearMends(j Job) (Job, error) {
	return deleteMends(j, func(Mend) bool { return true }), nil
}

// AcceptKept makes spots that were kept because no mend was found ones that someone
// decided to keep: those of the given mends.
func AcceptKept(j Job, mends []Mend) (Job, error) {
	return editMends(j, func(all []Mend) []Mend {
		for i, m := range all {
			if m.Do == Keep && slices.Contains(mends, m) {
				all[i].Reason, all[i].ByHand = "", true
			}
		}
		return all
	}), nil
}

// KeepHandMends takes all mends away that nobody chose spot by spot, as before
// everything is mended anew. Those that stay are about the art as it is.
func KeepHandMends(j Job) (Job, error) {
	return editMends(j, func(mends []Mend) (kept []Mend) {
		for _, m := range mends {
			if m.Round = 0; m.ByHand && !slices.ContainsFunc(kept, m.sameSpot) {
				kept = append(kept, m)
			}
		}
		return kept
	}), nil
}

func deleteMends(j Job, gone func(Mend) bool) Job {
	return editMends(j, func(mends []Mend) []Mend { return slices.DeleteFunc(mends, gone) })
}

// editMends applies edit to copies of all items' mends.
func editMends(j Job, edit func([]Mend) []Mend) Job {
	j.Items = slices.Clone(j.Items)
	for i := range j.Items {
		it := &j.Items[i]
		if it.Mends = edit(slices.Clone(it.Mends)); len(it.Mends) == 0 {
			it.Mends = nil
		}
	}
	return j
}
