package layering

import (
	"context"
	"math"
	"strconv"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
)

// Grouping says how far the groups of the file are kept apart in the list of
// layers.
type Grouping uint8

const (
	// Auto keeps named groups and shapes apart as long as the list stays
	// readable, else joins what may be joined.
	Auto Grouping = iota
	// Kept never joins shapes of different named groups.
	Kept
	// Joined joins whatever has one colour and may be drawn together.
	Joined
)

// short is how many layers one sees at a glance: a list of no more stays as it
// is drawn, runs of one colour joined. readable is how many one can look through;
// a list of more becomes shorter by joining parts that have names of their own.
const (
	short    = 24
	readable = 60
)

// joining says which shapes may come together besides neighbours in drawing
// order.
type joining uint8

const (
	joinRuns  joining = iota // none
	joinNamed                // those of one name
	joinAll
)

// Group is a named group around a shape, and those around it; nil is none.
type Group struct {
	name string
	up   *Group
	deep int
}

// In returns a named group within this one.
func (p *Group) In(name string) *Group {
	q := &Group{name: name, up: p}
	if p != nil {
		q.deep = p.deep + 1
	}
	return q
}

// shared returns the innermost group around both.
func (p *Group) shared(q *Group) *Group {
	for p != q {
		switch {
		case p == nil || q == nil:
			return nil
		case p.deep >= q.deep:
			p = p.up
		default:
			q = q.up
		}
	}
	return p
}

// folders returns the names of the groups around, the outermost first. Groups
// of one name beside each other are told apart by a number.
func (n *folderNames) folders(p *Group) []string {
	if p == nil {
		return nil
	}
	if n.of[p] == "" {
		k := folderKey{p.up, p.name}
		n.count[k]++
		n.of[p] = p.name
		if c := n.count[k]; c > 1 {
			n.of[p] += " " + strconv.Itoa(c)
		}
	}
	return append(n.folders(p.up), n.of[p])
}

type folderNames struct {
	of    map[*Group]string
	count map[folderKey]int
}

type folderKey struct {
	up   *Group
	name string
}

// Area is one area of one colour, as it was painted.
type Area struct {
	Shape  job.Shape
	Bounds geometry.Rect
	Colour colour.RGB
	// Alpha is its opacity, above 0; Opacity the opacity group that it is in.
	Alpha   float64
	Opacity job.GroupID
	// Label is what people called it, Group the named groups around it.
	Label string
	Group *Group
	// Text has the content and the transform of text that stays text; nil for outlines. It has a Paint of its own.
	Text *job.Layer
	// Paint tells paints apart whose colour is a mean of several: areas of
	// different ones are never one layer. Stripes: it is nothing but flat stripes,
	// each of which becomes a layer.
	Paint   any
	Stripes bool
}

// Options say how areas become layers. The zero value works.
type Options struct {
	// Groups says how far groups are kept apart.
	Groups Grouping
	// ColourName says what the plain English word for a colour is to be called;
	// nil leaves it as it is.
	ColourName func(word string) string
	// Canvas is what is seen of the picture; empty where nobody knows.
	Canvas geometry.Rect
}

// Layers joins areas to layers, bottom first, with ids from 1. The picture stays
// the same. It takes some tenths of a second at most; when its context ends it
// returns early, with more layers than needed.
func Layers(ctx context.Context, areas []Area, opt Options) []job.Layer {
	d := drawing{ctx: ctx, areas: areas, opt: opt}
	return d.layers()
}

type drawing struct {
	ctx   context.Context
	areas []Area
	opt   Options
}

func (d *drawing) layers() []job.Layer {
	var out []layer
	if d.opt.Groups != Joined {
		folders := d.folders()
		if out = d.join(folders, joinRuns); len(out) > short {
			out = d.join(folders, joinNamed)
		}
	}
	if d.opt.Groups == Joined || d.opt.Groups == Auto && len(out) > readable {
		out = d.join(make([]*Group, len(d.areas)), joinAll)
		if len(out) > readable {
			if sorted, ok := d.reorder(); ok && len(sorted) < len(out) {
				out = sorted
			}
		}
	}
	return d.finish(out)
}

// folders returns, for each shape, the outermost named group around it that
// does not hold them all; nil where there is none.
func (d *drawing) folders() []*Group {
	var shared *Group
	for i := range d.areas {
		if i == 0 {
			shared = d.areas[i].Group
		}
		shared = shared.shared(d.areas[i].Group)
	}
	out := make([]*Group, len(d.areas))
	for i := range d.areas {
		p := d.areas[i].Group
		for p != nil && p.up != shared {
			p = p.up
		}
		out[i] = p
	}
	return out
}

// layer is a layer in the making.
type layer struct {
	first  Area
	label  string
	shapes []job.Shape
	items  []int // of the areas, while there are few
	place  *Group
}

// layerKey says which shapes may be one layer.
type layerKey struct {
	colour colour.RGB
	alpha  float64
	group  job.GroupID
	folder *Group
	paint  any
	flat   bool
	label  string
}

// key says which shapes a shape may be one layer with, whatever their names.
func (p *Area) key(folder *Group) layerKey {
	return layerKey{colour: p.Colour, alpha: p.Alpha, group: p.Opacity, folder: folder, paint: p.Paint, flat: p.Stripes}
}

// join puts each shape into a layer of its kind where that changes nothing in
// the picture: into the one drawn last, or into an earlier one when nothing
// drawn since lies over or under the shape. See-through shapes join only those
// that they lie apart from, unless they belong to one opacity group; so do those
// of one gradient, which otherwise would show through each other in bands.
func (d *drawing) join(folders []*Group, how joining) []layer {
	var out []layer
	latest := map[layerKey]int{}
	var h *heights
	if how != joinRuns {
		h = d.newHeights()
	}
	for i := range d.areas {
		p := &d.areas[i]
		key := p.key(folders[i])
		wide := key
		if how == joinNamed {
			key.label = p.Label
		}
		last := len(out) - 1
		k := -1
		if how != joinRuns {
			if at, known := latest[key]; known && d.joins(out, at, h.top(p.Bounds, last), i) {
				k = at
			}
		}
		if k < 0 && last >= 0 && out[last].is(wide, folders) && d.takes(out[last], i) {
			k = last
		}
		if k < 0 {
			k = len(out)
			out = append(out, layer{first: *p, label: p.Label, place: p.Group})
		}
		out[k].take(p, i)
		if how != joinRuns {
			latest[key] = k
			h.raise(p.Bounds, k)
		}
	}
	return out
}

// joins reports whether a shape can join layer k of its kind without a change to the
// picture; top is the highest layer beneath the shape.
func (d *drawing) joins(out []layer, k, top, i int) bool {
	if k < top || k == top && !d.takes(out[k], i) {
		return false
	}
	group := d.areas[i].Opacity
	return group == 0 || k == len(out)-1 || allInGroup(out[k+1:], group)
}

// takes reports whether a shape can lie right over a layer of its kind and look as if
// it were part of it.
func (d *drawing) takes(l layer, i int) bool {
	p := &d.areas[i]
	clear := (p.Alpha < 1 || p.Paint != nil) && p.Opacity == 0
	return !clear || d.apart(l.items, i)
}

// is reports whether a layer has shapes of a kind, whatever their names.
func (l *layer) is(k layerKey, folders []*Group) bool {
	f := l.first
	return f.Colour == k.colour && f.Alpha == k.alpha && f.Opacity == k.group && f.Paint == k.paint && f.Stripes == k.flat && folders[l.items[0]] == k.folder
}

// take adds a shape.
func (l *layer) take(p *Area, item int) {
	if l.label != p.Label {
		l.label = ""
	}
	l.place = l.place.shared(p.Group)
	l.shapes = append(l.shapes, p.Shape)
	if len(l.items) <= MaxApart {
		l.items = append(l.items, item)
	}
}

// MaxApart bounds how many see-through shapes are compared for lying apart:
// each with each.
const MaxApart = 200

// apart reports whether shape j lies apart from all the listed ones.
func (d *drawing) apart(items []int, j int) bool {
	if len(items) > MaxApart {
		return false
	}
	for _, i := range items {
		a, b := &d.areas[i], &d.areas[j]
		if !a.Bounds.Intersect(b.Bounds).Empty() && !(a.Alpha == 1 && a.runsAs(b)) {
			return false
		}
	}
	return true
}

// runsAs reports whether two areas of one gradient have the same colours at the
// same places.
func (p *Area) runsAs(o *Area) bool {
	a, b := p.Shape.Gradient, o.Shape.Gradient
	return a != nil && b != nil && a.Map == b.Map && a.From == b.From && a.To == b.To && a.FromR == b.FromR && a.ToR == b.ToR
}

// heights keeps, for each cell of a grid over the picture, the highest layer
// that has a shape there.
type heights struct {
	box    geometry.Rect
	cells  []int32
	budget int
}

const (
	heightsSide = 256
	// heightsWork bounds the cells looked at in one import, some tenths of a
	// second; past it only neighbours in drawing order are joined.
	heightsWork = 60_000_000
)

func (d *drawing) newHeights() *heights {
	h := &heights{box: geometry.EmptyRect(), budget: heightsWork}
	for i := range d.areas {
		h.box = h.box.Union(d.seen(d.areas[i].Bounds))
	}
	h.cells = make([]int32, heightsSide*heightsSide)
	for i := range h.cells {
		h.cells[i] = -1
	}
	return h
}

// seen is the part of a shape's bounds that is not beyond the canvas anyway.
func (d *drawing) seen(b geometry.Rect) geometry.Rect {
	if d.opt.Canvas.Empty() {
		return b
	}
	return b.Intersect(d.opt.Canvas)
}

// each calls f with every row of cells that a rectangle touches; false when the
// budget is used up.
func (h *heights) each(b geometry.Rect, f func(row []int32)) bool {
	cell := func(v, from, size float64) int {
		if !(size > 0) {
			return 0
		}
		return int(math.Max(0, math.Min(heightsSide-1, math.Floor((v-from)/size*heightsSide))))
	}
	x0, x1 := cell(b.Min.X, h.box.Min.X, h.box.Width()), cell(b.Max.X, h.box.Min.X, h.box.Width())
	y0, y1 := cell(b.Min.Y, h.box.Min.Y, h.box.Height()), cell(b.Max.Y, h.box.Min.Y, h.box.Height())
	if h.budget -= (x1 - x0 + 4) * (y1 - y0 + 1); h.budget < 0 {
		return false
	}
	for y := y0; y <= y1; y++ {
		f(h.cells[y*heightsSide+x0 : y*heightsSide+x1+1])
	}
	return true
}

// top returns the highest layer that may touch b, last when that is not known.
func (h *heights) top(b geometry.Rect, last int) int {
	top := int32(-1)
	if !h.each(b, func(row []int32) {
		for _, c := range row {
			top = max(top, c)
		}
	}) {
		return last
	}
	return int(top)
}

func (h *heights) raise(b geometry.Rect, k int) {
	h.each(b, func(row []int32) {
		for i := range row {
			row[i] = max(row[i], int32(k))
		}
	})
}

// allInGroup reports whether all the layers belong to a group: its parts stay next
// to each other.
func allInGroup(layers []layer, g job.GroupID) bool {
	for i := range layers {
		if layers[i].first.Opacity != g {
			return false
		}
	}
	return true
}

// finish names the layers and numbers them.
func (d *drawing) finish(in []layer) []job.Layer {
	names := newNamer(d.opt.ColourName)
	for i := range in {
		names.count(in[i].label, in[i].first.Colour)
	}
	out := make([]job.Layer, 0, len(in))
	groups := folderNames{map[*Group]string{}, map[folderKey]int{}}
	for _, l := range in {
		made := job.Layer{
			ID: job.LayerID(len(out) + 1), Name: names.name(l.label, l.first.Colour),
			Content: job.Outlines{Shapes: l.shapes}, Colour: l.first.Colour, Alpha: l.first.Alpha, Group: l.first.Opacity,
			Folders:   groups.folders(l.place),
			Transform: geometry.Identity(), Shown: true,
		}
		if t := l.first.Text; t != nil {
			made.Content, made.Transform = t.Content, t.Transform
		}
		parts := []job.Layer{made}
		if l.first.Stripes {
			parts = stripes(made)
		}
		for k, b := range parts {
			if k > 0 {
				b.ID = job.LayerID(len(out) + 1)
			}
			out = append(out, b)
		}
	}
	return out
}

// stripes cuts a layer that is nothing but flat stripes of a gradient.
func stripes(l job.Layer) []job.Layer {
	shapes := l.Content.(job.Outlines).Shapes
	if !job.CanBand(l) {
		return []job.Layer{l}
	}
	n, _ := shapes[0].Gradient.FlatStripes()
	return job.Bands(l, n)
}
