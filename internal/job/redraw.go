package job

import (
	"math"
	"reflect"
	"slices"

	"abut/geometry"
	"abut/internal/colour"
)

// Redrawn counts what Redraw did with the layers of an item.
type Redrawn struct {
	// Changed are layers that look otherwise now, New and Gone those that came and went.
	Changed, New, Gone int
	// Yours are layers that stay as someone made them here (deleted, split, merged, edited),
	// whatever the new drawing has in their place.
	Yours int
	// Base is the new state of the drawing under the ids that its layers have now, 0 for one
	// that has none.
	Base Item
}

// Redraw puts a new state of its drawing in the place of an item's layers: fresh is what was read
// of it, with ids of its own. A layer that is found again keeps its id and all that was decided
// about it: name, colour, use, bands, where it was moved. So do the placement and the size of the
// item, surrounds and mends; mends whose spot is not there any more lapse. What was added here
// stays where it lies. bases are the states of the drawing that are known, under the ids that the
// item's layers had then: they tell what was decided here from what the file said. Without any,
// layers are found again by name and colour as they are now.
func Redraw(j Job, id ItemID, bases []Item, fresh Item) (Job, Redrawn, error) {
	i := slices.IndexFunc(j.Items, func(it Item) bool { return it.ID == id })
	if i < 0 {
		return j, Redrawn{}, refuse("edit-no-picture")
	}
	g := newGraft(j)
	r := redrawing{g: g, it: j.Items[i], fresh: fresh, to: toUnits(j.Items[i], fresh), knocks: allKnock(j.Items[i : i+1])}
	for k := range r.it.Layers {
		r.top = max(r.top, r.it.Layers[k].Group)
	}
	r.group(pickBase(r.it, bases))
	r.match()
	layers := r.layers()
	it := &g.job.Items[i]
	it.Layers, it.Warnings = layers, r.count.Base.Warnings
	it.Canvas, it.PhysicalMM, it.Source, it.Pixels = fresh.Canvas, fresh.PhysicalMM, fresh.Source, fresh.Pixels
	it.Placement = it.Placement.Mul(r.to)
	it.Mends = r.mends()
	return withoutEmpty(g.job), r.count, nil
}

// redrawing is an item on the way to the new state of its drawing.
type redrawing struct {
	g         *graft
	it, fresh Item
	// to maps the units of the new drawing to those of the old one.
	to geometry.Affine
	// knocks: all layers knock out; top is the highest of their opacity groups.
	knocks bool
	top    GroupID
	// groups are the item's layers, bottom first; bands of one gradient are one group.
	groups []redrawnGroup
	// was are the layers of the old drawing that can be found again, of the layers of fresh[k]
	// the old one is was[of[k]]; −1 for none.
	was   []redrawnLayer
	of    []int
	count Redrawn
}

type redrawnGroup struct {
	layers []Layer
	// was is the layer of the old drawing that it is, −1 for what was made here.
	was int
}

type redrawnLayer struct {
	Layer
	// known: Layer is as its file had it, and no guess.
	known bool
	// group is what became of it, −1 for nothing; edited says that its content is not the file's,
	// found that the new drawing has it.
	group         int
	edited, found bool
}

// pickBase returns the state of the drawing that most of the item's layers are of, nil where
// none of them is.
func pickBase(it Item, bases []Item) *Item {
	var best *Item
	most := 0
	now := map[LayerID]Content{}
	for k := range it.Layers {
		if l := it.Layers[k]; now[l.bandOf()] == nil {
			now[l.bandOf()] = pristine(l)
		}
	}
	for i := range bases {
		same := 0
		for _, l := range bases[i].Layers {
			if c := now[l.ID]; c != nil && sameContent(c, l.Content) {
				same++
			}
		}
		if same > 0 && same >= most { // of equals the newest
			best, most = &bases[i], same
		}
	}
	return best
}

// group parts the item's layers into groups, and finds what each is in the old drawing.
func (r *redrawing) group(base *Item) {
	at := map[LayerID]int{}
	for _, l := range r.it.Layers {
		k, met := at[l.bandOf()]
		if !met {
			k = len(r.groups)
			at[l.bandOf()], r.groups = k, append(r.groups, redrawnGroup{was: -1})
		}
		r.groups[k].layers = append(r.groups[k].layers, l)
	}
	if base != nil {
		for _, l := range base.Layers {
			w := redrawnLayer{Layer: l, known: true, group: -1}
			if k, there := at[l.ID]; there {
				w.group, r.groups[k].was = k, len(r.was)
				w.edited = !sameContent(pristine(r.groups[k].layers[0]), l.Content)
			}
			r.was = append(r.was, w)
		}
		return
	}
	for k := range r.groups {
		l := r.groups[k].layers[0].whole()
		switch l.Content.(type) {
		case Outlines, Text:
			r.groups[k].was = len(r.was)
			r.was = append(r.was, redrawnLayer{Layer: l, group: k})
		}
	}
}

// match finds the layers of the old drawing in the new one: by name and colour, by name, by
// colour and by where they lie, each once and in order.
func (r *redrawing) match() {
	r.of = make([]int, len(r.fresh.Layers))
	for k := range r.of {
		r.of[k] = -1
	}
	for _, by := range []func(l *Layer) any{
		func(l *Layer) any { return nameAndColour{l.Name, l.Colour} },
		func(l *Layer) any { return l.Name },
		func(l *Layer) any { return l.Colour },
		func(l *Layer) any { return shapeBounds(Shapes(l.Content), geometry.Identity()) },
	} {
		r.find(by)
	}
	for _, l := range r.was {
		if l.found || l.group < 0 {
			continue
		}
		_, text := l.Content.(Text)
		if l.edited || !l.known && text {
			r.groups[l.group].was = -1 // it may have been written here
			continue
		}
		r.count.Gone++
	}
}

type nameAndColour struct {
	name   string
	colour colour.RGB
}

// find has layers of the new drawing that were not found yet be those of the old one that are
// alike by something, in their order.
func (r *redrawing) find(by func(l *Layer) any) {
	type key struct {
		kind reflect.Type
		by   any
	}
	keyOf := func(l *Layer) key { return key{reflect.TypeOf(l.Content), by(l)} }
	left := map[key][]int{}
	for w := range r.was {
		if l := &r.was[w]; !l.found {
			left[keyOf(&l.Layer)] = append(left[keyOf(&l.Layer)], w)
		}
	}
	for k := range r.of {
		if r.of[k] >= 0 {
			continue
		}
		at := keyOf(&r.fresh.Layers[k])
		if list := left[at]; len(list) > 0 {
			r.of[k], left[at] = list[0], list[1:]
			r.was[list[0]].found = true
		}
	}
}

func sameKind(a, b Content) bool { return reflect.TypeOf(a) == reflect.TypeOf(b) }

// layers returns the item's layers in their order.
func (r *redrawing) layers() (layers []Layer) {
	made := map[int][]Layer{} // by key: that of a group, or behind those the number in fresh
	inFresh := r.drawn(made)
	var inNow []int
	for k := range r.groups {
		if made[k] == nil {
			made[k] = r.staying(&r.groups[k])
		}
		if made[k] != nil {
			inNow = append(inNow, k)
		}
	}
	order := joinOrders(inFresh, inNow)
	if r.moved() {
		order = joinOrders(inNow, inFresh)
	}
	for _, key := range order {
		layers = append(layers, made[key]...)
	}
	r.rebase(made)
	return layers
}

// key names what a layer of the new drawing becomes: a group or, behind those, a new layer; −1
// for nothing.
func (r *redrawing) key(fresh int) int {
	if w := r.of[fresh]; w >= 0 {
		return r.was[w].group
	}
	return len(r.groups) + fresh
}

// drawn makes the layers of the new drawing, and returns their keys in its order.
func (r *redrawing) drawn(made map[int][]Layer) (order []int) {
	for k, f := range r.fresh.Layers {
		key, w := r.key(k), r.of[k]
		switch {
		case w < 0:
			made[key] = []Layer{r.added(f)}
			r.count.New++
		case key < 0 || r.was[w].edited:
			r.count.Yours++
		default:
			made[key] = r.renewed(&r.was[w], f)
		}
		if key >= 0 {
			order = append(order, key)
		}
	}
	return order
}

// staying returns the layers of a group that the new drawing does not touch, nil for one that
// is no longer in it.
func (r *redrawing) staying(group *redrawnGroup) (out []Layer) {
	if group.was >= 0 && !r.was[group.was].edited {
		return nil
	}
	back, _ := r.to.Invert()
	for _, l := range group.layers {
		if _, is := l.Content.(Surround); !is {
			l.Transform = back.Mul(l.Transform)
		}
		out = append(out, l)
	}
	return out
}

// rebase notes the new drawing under the ids that its layers have now.
func (r *redrawing) rebase(made map[int][]Layer) {
	base := r.fresh
	base.Layers = slices.Clone(base.Layers)
	ids := map[LayerID]LayerID{}
	for k := range base.Layers {
		l := &base.Layers[k]
		is := LayerID(0)
		if m := made[r.key(k)]; len(m) > 0 {
			is = m[0].bandOf()
			ids[l.ID] = is
		}
		l.ID = is
	}
	base.Warnings = slices.Clone(base.Warnings)
	for i := range base.Warnings {
		w := &base.Warnings[i]
		of := w.Layers
		w.Layers = nil
		for _, id := range of {
			if is, there := ids[id]; there {
				w.Layers = append(w.Layers, is)
			}
		}
	}
	r.count.Base = base
}

// moved reports whether someone put the layers of the drawing into another order here.
func (r *redrawing) moved() bool {
	last := -1
	for _, g := range r.groups {
		if g.was < 0 {
			continue
		}
		if g.was < last {
			return true
		}
		last = g.was
	}
	return false
}

// joinOrders returns the keys of both lists, those of the first in their order and each of the
// others above what it is above in its own.
func joinOrders(first, other []int) []int {
	out, in := slices.Clone(first), map[int]bool{}
	for _, key := range first {
		in[key] = true
	}
	for i, key := range other {
		if in[key] {
			continue
		}
		at := 0
		if i > 0 {
			at = slices.Index(out, other[i-1]) + 1
		}
		out = slices.Insert(out, at, key)
	}
	return out
}

// added returns a layer that the drawing did not have before.
func (r *redrawing) added(f Layer) Layer {
	f.ID = r.g.id()
	if len(r.it.Layers) > 0 {
		f.Knocks = r.knocks
	}
	f.Group = r.opacityGroup(f.Group)
	return f
}

// opacityGroup keeps the opacity groups of the new drawing apart from those of what stays.
func (r *redrawing) opacityGroup(of GroupID) GroupID {
	if of == 0 {
		return 0
	}
	return r.top + of
}

// renewed returns a layer of the old drawing as the new one has it, in bands where it was shown
// in bands.
func (r *redrawing) renewed(w *redrawnLayer, f Layer) []Layer {
	group := r.groups[w.group].layers
	now := group[0].whole()
	l := f
	l.ID, l.Knocks, l.Shown, l.Locked = group[0].bandOf(), now.Knocks, now.Shown, now.Locked
	l.Solid, l.Group = now.Solid && f.Alpha < 1, r.opacityGroup(f.Group)
	w.decided(&l, now)
	if _, ignored := HasDoubtfulClip(now); ignored {
		l.ignoreClips(true)
	}
	was := w.Layer.Transform
	if !w.known {
		was = f.Transform
	}
	there, _ := r.to.Invert()
	if back, ok := was.Invert(); ok && now.Transform != was {
		l.Transform = there.Mul(now.Transform).Mul(back).Mul(r.to).Mul(f.Transform)
	}
	if f.Colour != w.Colour || f.Alpha != w.Alpha || !sameContent(f.Content, w.Content) {
		r.count.Changed++
	}
	if group[0].Band.Count < 2 || !CanBand(l) {
		return []Layer{l}
	}
	return r.banded(l, group)
}

// decided has a layer of the new drawing keep what was chosen for that of the old one, which is
// now as it is; without knowing its file that is its name and its use.
func (w *redrawnLayer) decided(l *Layer, now Layer) {
	if !w.known || now.Name != w.Name {
		l.Name = now.Name
	}
	if !w.known || now.Use != w.Use {
		l.Use = now.Use
	}
	if w.known && now.Colour != w.Colour {
		l.Colour = now.Colour
	}
}

// banded shows a layer in as many bands as the group was, with what was decided about these.
func (r *redrawing) banded(l Layer, group []Layer) []Layer {
	bands := Bands(l, int(group[0].Band.Count))
	for k := range bands {
		b := &bands[k]
		if k < len(group) {
			b.ID, b.Use, b.Knocks, b.Shown, b.Locked = group[k].ID, group[k].Use, group[k].Knocks, group[k].Shown, group[k].Locked
		} else if b.ID == 0 {
			b.ID = r.g.id()
		}
	}
	rebind(bands)
	return bands
}

// mends returns the mends in the units of the new drawing.
func (r *redrawing) mends() []Mend {
	k := math.Abs(r.to.A)
	if r.to == geometry.Identity() || k == 0 {
		return r.it.Mends
	}
	drawn := map[LayerID]bool{}
	for _, w := range r.was {
		if w.group >= 0 && !w.edited {
			for _, l := range r.groups[w.group].layers {
				drawn[l.ID] = true
			}
		}
	}
	back, _ := r.to.Invert()
	out := slices.Clone(r.it.Mends)
	for i := range out {
		if m := &out[i]; drawn[m.Layer] {
			m.At, m.Moved = back.Apply(m.At), back.ApplyVector(m.Moved)
			m.Drawn, m.Aside = m.Drawn/k, m.Aside/k
		}
	}
	return out
}

// toUnits returns the map from the units of a new drawing to those of the item, such that it
// lies on the board as large as before: pictures of pixels as broad, drawings by the sizes that
// their files state.
func toUnits(it, fresh Item) geometry.Affine {
	var k float64
	switch {
	case it.Pixels != nil || fresh.Pixels != nil:
		k = it.Canvas.Width() / fresh.Canvas.Width()
	case unit(it) > 0 && unit(fresh) > 0:
		if k = unit(fresh) / unit(it); math.Abs(k-1) < 1e-9 {
			return geometry.Identity() // a page that grew leaves its shapes where they are
		}
	default:
		return geometry.Identity()
	}
	if !(k > 0) || math.IsInf(k, 0) {
		return geometry.Identity()
	}
	from, to := fresh.Canvas.Min, it.Canvas.Min
	if k == 1 && from == to {
		return geometry.Identity()
	}
	return geometry.Translate(to.X, to.Y).Mul(geometry.Scale(k, k)).Mul(geometry.Translate(-from.X, -from.Y))
}

// unit is how many millimetres a unit of the item's file is, 0 where that is not stated.
func unit(it Item) float64 {
	if it.PhysicalMM.X <= 0 || it.PhysicalMM.Y <= 0 || it.Canvas.Empty() {
		return 0
	}
	return math.Min(it.PhysicalMM.X/it.Canvas.Width(), it.PhysicalMM.Y/it.Canvas.Height())
}

// pristine returns what a layer draws but for what can be chosen of it: its bands, and clips that are ignored.
func pristine(l Layer) Content {
	l = l.whole()
	l.ignoreClips(false)
	return l.Content
}

// sameContent reports whether two contents draw the same, wherever it stands in its file.
func sameContent(a, b Content) bool {
	if x, is := a.(Text); is {
		y, also := b.(Text)
		if !also || !sameShapes(x.Shapes, y.Shapes) {
			return false
		}
		x.Shapes, y.Shapes = nil, nil
		return reflect.DeepEqual(x, y)
	}
	return sameKind(a, b) && sameShapes(Shapes(a), Shapes(b))
}

func sameShapes(a, b []Shape) bool {
	if len(a) != len(b) {
		return false
	}
	if len(a) == 0 || &a[0] == &b[0] {
		return true
	}
	return slices.EqualFunc(a, b, func(x, y Shape) bool {
		return x.Rule == y.Rule && reflect.DeepEqual(x.Path, y.Path) && reflect.DeepEqual(x.Gradient, y.Gradient) &&
			slices.EqualFunc(x.Clips, y.Clips, sameClip) && slices.EqualFunc(x.Ignored, y.Ignored, sameClip)
	})
}

func sameClip(a, b *Clip) bool {
	return a == b || a.Band == b.Band && a.Doubtful == b.Doubtful && sameShapes(a.Shapes, b.Shapes)
}
