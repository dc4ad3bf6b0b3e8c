package trace

import (
	"context"
	"io"
	"slices"
	"strconv"

	"abut/geometry"
	"abut/internal/job"
	"abut/internal/layering"
	"abut/internal/message"
)

// Options say how a picture is traced. The zero value works.
type Options struct {
	// Colours is how many there may be at most; 0 means as many as are found.
	Colours int
	// ColourName says what the plain English word for a colour is to be called in
	// the names of layers; nil leaves it as it is.
	ColourName func(word string) string
}

// Result is a picture taken apart.
type Result struct {
	// Layers are one for each colour, those of the largest area first, in pixels with
	// y down, with ids from 1. None overlaps another.
	Layers []job.Layer
	// Canvas is the picture: 0 0 width height.
	Canvas   geometry.Rect
	Warnings []job.Warning
}

// Trace reads a picture of pixels. Errors are *Error, or the context's own. It takes
// time and memory in proportion to the number of pixels.
func Trace(ctx context.Context, r io.Reader, opt Options) (*Result, error) {
	pic, err := read(ctx, r)
	if err != nil {
		return nil, err
	}
	t := newTracer(pic, opt)
	if err := t.label(ctx); err != nil {
		return nil, err
	}
	if err := t.clean(ctx, t.leastArea); err != nil {
		return nil, err
	}
	n := &network{t: t}
	if err := n.trace(ctx.Err); err != nil {
		return nil, err
	}
	if err := n.settle(ctx.Err); err != nil {
		return nil, err
	}
	if err := n.untangle(ctx.Err); err != nil {
		return nil, err
	}
	return t.result(ctx, n)
}

// tracer is one picture in the making.
type tracer struct {
	pic *picture
	opt Options

	// flatness is how much neighbours in an area differ in a channel, off2 how far a
	// colour may lie from what explains it, squared; alike is how far apart (ΔE 2000)
	// two colours may look and be one.
	flatness    int
	binShift    uint8
	off2, alike float64
	// strange is how far from all others an ink must look that has no areas.
	strange float64
	// noisy: it is from a lossy file or a camera.
	noisy bool
	// blend is how a pixel between two inks is read.
	blend func(p, a, b rgba) (share, off2 float64)
	// clear is a share that is no blend, noise how far off points of an edge are, in
	// pixels.
	clear, noise float64
	// leastFlat and leastThin are how many pixels make an ink, of its areas and of its
	// thin lines; leastArea is how many make a region.
	leastFlat, leastThin, leastArea int

	inks []ink
	// ground is the ink that most was found of.
	ground int
	all    []uint8
	labels []uint8
	// photo: there are so many inks that they are only the tones of a photograph.
	photo  bool
	specks int

	// of is the region of each pixel.
	of   []int32
	list []region
}

func newTracer(pic *picture, opt Options) *tracer {
	t := &tracer{
		pic: pic, opt: opt, blend: blend, flatness: 2, off2: 8 * 8, alike: radii[0], strange: 6, clear: 0.02, noise: 0.1,
		leastFlat: 4, leastThin: 8, leastArea: 4,
	}
	if pic.isNoisy() {
		t.flatness, t.binShift, t.off2, t.alike = 14, 2, 26*26, 8
		t.noisy, t.strange, t.blend = true, 12, blendLossy
		t.clear, t.noise = 0.1, 0.16
		t.leastFlat, t.leastThin, t.leastArea = 16, 16, 12
	}
	return t
}

// result makes layers of the rings.
func (t *tracer) result(ctx context.Context, n *network) (*Result, error) {
	type key struct {
		label  int
		region int32
	}
	paths := map[key]geometry.Path{}
	area := make([]float64, len(t.inks))
	n.rings(func(label int, first corner, ring []end) {
		if label == bare {
			return
		}
		k := key{label, t.of[int(first.y)*t.pic.w+int(first.x)]}
		c := n.contour(ring)
		paths[k] = append(paths[k], c)
		area[label] += geometry.Path{c}.SignedArea()
	})
	if len(paths) == 0 {
		return nil, fail(ErrNothing)
	}
	var keys []key
	for k := range paths {
		keys = append(keys, k)
	}
	// Large areas first, and the parts of one ink as they are read.
	slices.SortFunc(keys, func(a, b key) int {
		switch {
		case a.label == b.label:
			return int(a.region - b.region)
		case area[a.label] != area[b.label]:
			if area[a.label] > area[b.label] {
				return -1
			}
			return 1
		}
		return a.label - b.label
	})
	res := &Result{Canvas: geometry.RectXYWH(0, 0, float64(t.pic.w), float64(t.pic.h))}
	var areas []layering.Area
	through := map[int]bool{}
	for _, k := range keys {
		p := paths[k]
		c := t.inks[k.label].c
		if c[3] < 250 {
			through[k.label] = true
		}
		areas = append(areas, layering.Area{Shape: job.Shape{Path: p}, Bounds: p.Bounds(), Colour: c.onWhite(), Alpha: 1})
	}
	res.Layers = layering.Layers(ctx, areas, layering.Options{ColourName: t.opt.ColourName, Canvas: res.Canvas})
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	warn := func(id string, args ...string) {
		res.Warnings = append(res.Warnings, job.Warning{Message: message.Of(id, args...)})
	}
	inks := map[int]bool{}
	for _, k := range keys {
		inks[k.label] = true
	}
	if t.photo && t.opt.Colours == 0 {
		warn(WarnTones, "count", strconv.Itoa(len(inks)))
	} else {
		warn(WarnColours, "count", strconv.Itoa(len(inks)))
	}
	if t.specks > 0 {
		warn(WarnSpecks, "count", strconv.Itoa(t.specks))
	}
	if len(through) > 0 {
		warn(WarnClear, "count", strconv.Itoa(len(through)))
	}
	if t.pic.several {
		warn(WarnStill)
	}
	return res, nil
}

// contour puts the curves of a ring end to end.
func (n *network) contour(ring []end) geometry.Contour {
	var out geometry.Contour
	for i, e := range ring {
		c := n.chains[e.chain].curve
		if !e.forward {
			c = geometry.Path{c}.Reverse()[0]
		}
		if i == 0 {
			out.Start = c.Start
		}
		out.Segments = append(out.Segments, c.Segments...)
	}
	out.Closed = true
	return out
}
