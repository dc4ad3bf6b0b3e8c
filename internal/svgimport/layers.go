package svgimport

import (
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
	// GroupsAuto keeps named groups and shapes apart as long as the list stays
	// readable, else joins what may be joined.
	GroupsAuto Grouping = iota
	// GroupsKept never joins shapes of different named groups.
	GroupsKept
	// GroupsJoined joins whatever has one colour and may be drawn together.
	GroupsJoined
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

// place is a named group around a shape, and those around it.
type place struct {
	name string
	up   *place
	deep int
}

func (p *place) in(name string) *place {
	q := &place{name: name, up: p}
	if p != nil {
		q.deep = p.deep + 1
	}
	return q
}

// shared returns the innermost group around both.
func (p *place) shared(q *place) *place {
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
func (n *folderNames) folders(p *place) []string {
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
	of    map[*place]string
	count map[folderKey]int
}

type folderKey struct {
	up   *place
	name string
}

// layers joins what was painted to layers, bottom first.
func (im *importer) layers() []job.Layer {
	var out []layer
	if im.opt.Groups != GroupsJoined {
		folders := im.folders()
		if out = im.join(folders, joinRuns); len(out) > short {
			out = im.join(folders, joinNamed)
		}
	}
	if im.opt.Groups == GroupsJoined || im.opt.Groups == GroupsAuto && len(out) > readable {
		out = im.join(make([]*place, len(im.out)), joinAll)
		if len(out) > readable {
			if sorted, ok := im.reorder(); ok && len(sorted) < len(out) {
				out = sorted
			}
		}
	}
	return im.finish(out)
}

// folders returns, for each shape, the outermost named group around it that
// does not hold them all; nil where there is none.
func (im *importer) folders() []*place {
	var shared *place
	for i := range im.out {
		if i == 0 {
			shared = im.out[i].place
		}
		shared = shared.shared(im.out[i].place)
	}
	out := make([]*place, len(im.out))
	for i := range im.out {
		p := im.out[i].place
		for p != nil && p.up != shared {
			p = p.up
		}
		out[i] = p
	}
	return out
}

// layer is a layer in the making.
type layer struct {
	first  painted
	label  string
	shapes []job.Shape
	items  []int // of importer.out, while there are few
	place  *place
}

// layerKey says which shapes may be one layer.
type layerKey struct {
	colour colour.RGB
	alpha  float64
	group  job.GroupID
	folder *place
	ramp   *node
	flat   bool
	label  string
}

// key says which shapes a shape may be one layer with, whatever their names.
func (p *painted) key(folder *place) layerKey {
	return layerKey{colour: p.colour, alpha: p.alpha, group: p.group, folder: folder, ramp: p.ramp.of, flat: p.ramp.flat}
}

// join puts each shape into a layer of its kind where that changes nothing in
// the picture: into the one drawn last, or into an earlier one when nothing
// drawn since lies over or under the shape. See-through shapes join only those
// that they lie apart from, unless they belong to one opacity group.
func (im *importer) join(folders []*place, how joining) []layer {
	var out []layer
	latest := map[layerKey]int{}
	var h *heights
	if how != joinRuns {
		h = im.newHeights()
	}
	for i := range im.out {
		p := &im.out[i]
		key := p.key(folders[i])
		wide := key
		if how == joinNamed {
			key.label = p.label
		}
		apart := p.alpha < 1 && p.group == 0
		k, known, top := 0, false, 0
		if how != joinRuns {
			k, known = latest[key]
			top = h.top(p.bounds, len(out)-1)
		}
		switch last := len(out) - 1; {
		case known && (k > top || k == top && !apart) && (p.group == 0 || k == last || allInGroup(out[k+1:], p.group)):
		case last >= 0 && out[last].is(wide, folders) && (!apart || im.apart(out[last].items, i)):
			k = last
		default:
			k = len(out)
			out = append(out, layer{first: *p, label: p.label, place: p.place})
		}
		out[k].take(p, i)
		if how != joinRuns {
			latest[key] = k
			h.raise(p.bounds, k)
		}
	}
	return out
}

// is reports whether a layer has shapes of a kind, whatever their names.
func (l *layer) is(k layerKey, folders []*place) bool {
	f := l.first
	return f.colour == k.colour && f.alpha == k.alpha && f.group == k.group && f.ramp.of == k.ramp && f.ramp.flat == k.flat && folders[l.items[0]] == k.folder
}

// take adds a shape.
func (l *layer) take(p *painted, item int) {
	if l.label != p.label {
		l.label = ""
	}
	l.place = l.place.shared(p.place)
	l.shapes = append(l.shapes, p.shape)
	if len(l.items) <= maxApart {
		l.items = append(l.items, item)
	}
}

// maxApart bounds how many see-through shapes are compared for lying apart:
// each with each.
const maxApart = 200

// apart reports whether shape j lies apart from all the listed ones.
func (im *importer) apart(items []int, j int) bool {
	if len(items) > maxApart {
		return false
	}
	for _, i := range items {
		if !im.out[i].bounds.Intersect(im.out[j].bounds).Empty() {
			return false
		}
	}
	return true
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

func (im *importer) newHeights() *heights {
	h := &heights{box: geometry.EmptyRect(), budget: heightsWork}
	for i := range im.out {
		h.box = h.box.Union(im.seen(im.out[i].bounds))
	}
	h.cells = make([]int32, heightsSide*heightsSide)
	for i := range h.cells {
		h.cells[i] = -1
	}
	return h
}

// seen is the part of a shape's bounds that is not beyond the canvas anyway.
func (im *importer) seen(b geometry.Rect) geometry.Rect {
	if im.canvas.Empty() {
		return b
	}
	return b.Intersect(im.canvas)
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
		if layers[i].first.group != g {
			return false
		}
	}
	return true
}

// finish names the layers and numbers them.
func (im *importer) finish(in []layer) []job.Layer {
	names := newNamer(im.opt.ColourName)
	for i := range in {
		names.count(in[i].label, in[i].first.colour)
	}
	out := make([]job.Layer, 0, len(in))
	groups := folderNames{map[*place]string{}, map[folderKey]int{}}
	for _, l := range in {
		made := job.Layer{
			ID: job.LayerID(len(out) + 1), Name: names.name(l.label, l.first.colour),
			Content: job.Outlines{Shapes: l.shapes}, Colour: l.first.colour, Alpha: l.first.alpha, Group: l.first.group,
			Folders:   groups.folders(l.place),
			Transform: geometry.Identity(), Shown: true,
		}
		parts := []job.Layer{made}
		if l.first.ramp.flat {
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
