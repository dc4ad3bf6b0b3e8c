package own

import (
	"cmp"
	"context"
	"slices"
	"sync"

	"abut/geometry"
	"abut/geometry/parallel"
	"abut/geometry/planar"
	"abut/internal/fit/thing"
	"abut/internal/job"
)

// mitreLimit is how far a surround's sharp corners may reach, in its widths.
const mitreLimit = 2

// Surrounds place layers and remember the outlines of the surrounds among them
// as long as what they are around stays as it is, and those of the layers whose
// things are mended. The zero value is ready; it may be used from several goroutines.
type Surrounds struct {
	mu     sync.Mutex
	made   map[job.LayerID]surround
	things map[job.LayerID]redrawn
}

// redrawn is a layer with its things as its mends would have them.
type redrawn struct {
	of     layerKey
	page   geometry.Rect
	mends  []job.Mend
	beside []layerKey // the layers that it depends on
	shapes []job.Shape
	made   []thing.Made
}

type surround struct {
	of     []layerKey
	width  float64
	sharp  bool
	filled bool
	shapes []job.Shape
}

// Place lists the job's layers that are not left out, bottom first, and the
// names of those that are. Errors as Lay.
func (b *Surrounds) Place(ctx context.Context, j job.Job) (placed []Placed, leftOut []string, err error) {
	placed, leftOut = place(j)
	if err := b.redraw(ctx, j, placed); err != nil {
		return nil, nil, err
	}
	return placed, leftOut, b.outline(ctx, j, placed)
}

// redraw gives the placed layers the shapes that mends of their things make of
// them.
func (b *Surrounds) redraw(ctx context.Context, j job.Job, placed []Placed) error {
	of, page := thingMends(j, placed)
	if len(of) == 0 {
		return nil
	}
	b.mu.Lock()
	old := b.things
	b.mu.Unlock()
	drawn := slices.Clone(placed) // lines end at the edge of what was drawn beneath
	keys := keysOf(drawn)
	all, errs := make([]redrawn, len(placed)), make([]error, len(placed))
	err := parallel.Do(ctx, len(placed), func(i int) {
		p := &drawn[i]
		mends := of[p.Layer.ID]
		if len(mends) == 0 {
			return
		}
		d, ok := old[p.Layer.ID]
		if !ok || d.of != keyOf(*p) || d.page != page || !slices.Equal(d.mends, mends) || !slices.Equal(d.beside, besides(keys, i, mends)) {
			d = redrawn{of: keyOf(*p), page: page, mends: mends, beside: besides(keys, i, mends)}
			d.shapes, d.made, errs[i] = thing.Draw(ctx, thingsOf(drawn, i), page, mends)
			errs[i] = Explain(errs[i], []Placed{*p})
		}
		all[i] = d
	})
	if err = cmp.Or(append(errs, err)...); err != nil {
		return err
	}
	fresh := map[job.LayerID]redrawn{}
	for i, d := range all {
		if d.mends != nil {
			placed[i].Shapes, placed[i].Mended = d.shapes, d.made
			fresh[placed[i].Layer.ID] = d
		}
	}
	b.mu.Lock()
	b.things = fresh
	b.mu.Unlock()
	return nil
}

// Remember has the layers that Place returned for a job come out the same once more, whatever
// was placed since.
func (b *Surrounds) Remember(j job.Job, placed []Placed) {
	drawn, _ := place(j)
	of, page := thingMends(j, drawn)
	things := map[job.LayerID]redrawn{}
	keys := keysOf(drawn)
	for i, p := range drawn {
		if mends := of[p.Layer.ID]; len(mends) > 0 {
			things[p.Layer.ID] = redrawn{keyOf(p), page, mends, besides(keys, i, mends), placed[i].Shapes, placed[i].Mended}
		}
	}
	b.mu.Lock()
	b.things = things
	b.mu.Unlock()
}

// besides returns the keys of those layers that it depends on what mends make of the things of layer i: the layers beneath it,
// and, for what shows beside others, all.
func besides(keys []layerKey, i int, mends []job.Mend) []layerKey {
	if slices.ContainsFunc(mends, func(m job.Mend) bool { return m.Fine && m.Around }) {
		return keys
	}
	return keys[:i]
}

// thingMends lists a job's mends of things by layer, with the extent of the art without them.
func thingMends(j job.Job, placed []Placed) (of map[job.LayerID][]job.Mend, page geometry.Rect) {
	of = map[job.LayerID][]job.Mend{}
	for _, it := range j.Items {
		for _, m := range it.Mends {
			if m.Do.OfThing() {
				of[m.Layer] = append(of[m.Layer], m)
			}
		}
	}
	if len(of) == 0 {
		return of, page
	}
	var ids []job.LayerID
	for _, p := range placed {
		ids = append(ids, p.Layer.ID)
	}
	return of, job.BoundsOf(j, ids)
}

// thingsOf returns layer i as its things are looked for, with those beneath and those over it.
func thingsOf(placed []Placed, i int) thing.Layer {
	p := &placed[i]
	_, text := p.Layer.Content.(job.Text)
	out := thing.Layer{Shapes: p.Shapes, Transform: p.Transform, Text: text}
	for k, o := range placed {
		if o.Layer.Use == job.Drawn {
			continue
		}
		switch ground := (thing.Ground{Shapes: o.Shapes, Transform: o.Transform}); {
		case k < i:
			out.Beneath = append(out.Beneath, ground)
		case k > i && o.Layer.Colour != p.Layer.Colour:
			out.Front = append(out.Front, ground)
		}
	}
	return out
}

// outline gives the surrounds among the placed layers their outlines, on the
// board. Layers that are left out are not surrounded.
func (b *Surrounds) outline(ctx context.Context, j job.Job, placed []Placed) error {
	at := map[job.LayerID]int{}
	some := false
	for i, p := range placed {
		at[p.Layer.ID] = i
		_, is := p.Layer.Content.(job.Surround)
		some = some || is
	}
	if !some {
		return nil
	}
	b.mu.Lock()
	o := &outlining{job: j, placed: placed, at: at, old: b.made, fresh: map[job.LayerID]surround{}, open: map[job.LayerID]bool{}}
	b.mu.Unlock()
	for i := range placed {
		if err := o.visit(ctx, i); err != nil {
			return err
		}
	}
	b.mu.Lock()
	b.made = o.fresh
	b.mu.Unlock()
	return nil
}

// outlining gives surrounds their outlines, those inside others first.
type outlining struct {
	job    job.Job
	placed []Placed
	at     map[job.LayerID]int // where each layer is among these
	old    map[job.LayerID]surround
	fresh  map[job.LayerID]surround
	open   map[job.LayerID]bool // those that others inside them are waited for
}

// visit outlines a layer if it is a surround and has no outline yet.
func (o *outlining) visit(ctx context.Context, i int) error {
	p := &o.placed[i]
	s, is := p.Layer.Content.(job.Surround)
	if _, done := o.fresh[p.Layer.ID]; !is || done || o.open[p.Layer.ID] {
		return nil
	}
	o.open[p.Layer.ID] = true
	defer delete(o.open, p.Layer.ID)
	p.Transform = geometry.Identity()
	made := surround{width: s.WidthMM, sharp: s.Sharp, filled: s.Filled}
	var inner []Placed
	for _, id := range job.Inner(o.job, *p.Layer) {
		k, ok := o.at[id]
		if !ok || o.open[id] {
			continue
		}
		if err := o.visit(ctx, k); err != nil {
			return err
		}
		inner = append(inner, o.placed[k])
		made.of = append(made.of, keyOf(o.placed[k]))
	}
	if old, ok := o.old[p.Layer.ID]; ok && old.like(made) {
		made.shapes = old.shapes
	} else {
		var err error
		if made.shapes, err = around(ctx, inner, s); err != nil {
			return Explain(err, []Placed{*p})
		}
	}
	p.Shapes = made.shapes
	o.fresh[p.Layer.ID] = made
	return nil
}

// like reports whether a surround has the same outline as another one.
func (s surround) like(o surround) bool {
	return s.width == o.width && s.sharp == o.sharp && s.filled == o.filled && slices.Equal(s.of, o.of)
}

// around returns all that lies within the surround's width of the layers: chords
// within a hundredth of a millimetre.
func around(ctx context.Context, inner []Placed, s job.Surround) ([]job.Shape, error) {
	var all planar.Layer
	var figures Figures
	for _, p := range inner {
		f, _ := figures.Of(p.Shapes, p.Transform)
		all.Figures = append(all.Figures, f...)
	}
	if len(all.Figures) == 0 {
		return nil, nil
	}
	var join geometry.Join
	if s.Sharp {
		join.MitreLimit = mitreLimit
	}
	path, err := planar.Offset(ctx, all, s.WidthMM, join, planar.Options{})
	if err != nil || len(path) == 0 {
		return nil, err
	}
	rule := geometry.EvenOdd
	if s.Filled {
		// Outer contours run clockwise; one within a hole of another stays.
		path = slices.DeleteFunc(path, func(c geometry.Contour) bool { return geometry.Path{c}.SignedArea() <= 0 })
		rule = geometry.NonZero
	}
	return []job.Shape{{Path: path, Rule: rule, Element: "surround"}}, nil
}

// Outlines returns the outlines of the surrounds among placed layers, on the
// board; nil where there are none.
func Outlines(placed []Placed) map[job.LayerID][]job.Shape {
	var out map[job.LayerID][]job.Shape
	for _, p := range placed {
		if _, is := p.Layer.Content.(job.Surround); is {
			if out == nil {
				out = map[job.LayerID][]job.Shape{}
			}
			out[p.Layer.ID] = p.Shapes
		}
	}
	return out
}
