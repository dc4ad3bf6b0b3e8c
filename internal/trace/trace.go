package trace

import (
	"cmp"
	"context"
	"image"
	"io"
	"math"
	"slices"
	"strconv"
	"sync"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
	"abut/internal/layering"
	"abut/internal/message"
)

// Options say how a picture is traced. The zero value works.
type Options struct {
	job.Tracing
	// ColourName says what the plain English word for a colour is to be called in
	// the names of layers; nil leaves it as it is.
	ColourName func(word string) string
	// Progress is told how much is done, from 0 to 1, by the goroutine that calls.
	Progress func(done float64)
}

// Ink is a colour that was found.
type Ink struct {
	Colour colour.RGB
	// Share is how much of the picture it covers.
	Share float64
	// Ground: it is what all else lies on.
	Ground bool
	// Bare: nothing is cut of it. Joined: it counts as To, another ink.
	Bare, Joined bool
	To           colour.RGB
	// Paper: it is the white paper of a scan or a photograph, which is left bare unless it is to be kept.
	Paper bool
	// Cut is the colour that its layer gets: its own, To's, or that of a sheet.
	Cut colour.RGB
}

// Result is a picture taken apart.
type Result struct {
	// Layers are one for each colour, those of the largest area first, in pixels with
	// y down, with ids from 1. None overlaps another, unless colours go on beneath what
	// lies inside them: then what lies inside comes later, and there may be more layers.
	Layers []job.Layer
	// Canvas is the picture, or the sheet in it: 0 0 width height.
	Canvas   geometry.Rect
	Warnings []job.Warning
	// Inks are all colours that were found, the most frequent first.
	Inks []Ink
	// Sheet is what the picture shows of a sheet of paper, nil when it is none.
	Sheet *Sheet
	// Upright maps the picture to the canvas: other than the identity where the sheet
	// was cut out.
	Upright geometry.Affine
	// Photo: there are so many colours that these are the tones of a photograph.
	Photo bool
}

// Picture is a picture that was read, to be traced in one way and another. It may be
// used from several goroutines.
type Picture struct {
	pic  *picture
	file []byte
	mu   sync.Mutex
	// found is what came of what was asked last.
	found map[asked]*tracer
}

// asked is what the inks depend on.
type asked struct {
	colours int
	sheet   bool
	// strokes: each of a pencil is asked for.
	strokes bool
}

// Read reads a picture of pixels. Errors are *Error, or the context's own.
func Read(ctx context.Context, r io.Reader) (*Picture, error) {
	pic, file, err := read(ctx, r)
	if err != nil {
		return nil, err
	}
	return &Picture{pic: pic, file: file}, nil
}

// File is what was read, not to be changed.
func (p *Picture) File() []byte { return p.file }

// Image is the picture as it is to be seen.
func (p *Picture) Image() image.Image {
	out := image.NewRGBA(image.Rect(0, 0, p.pic.w, p.pic.h))
	for i, c := range p.pic.pix {
		copy(out.Pix[4*i:], c[:])
	}
	return out
}

// Trace reads a picture and traces it.
func Trace(ctx context.Context, r io.Reader, opt Options) (*Result, error) {
	p, err := Read(ctx, r)
	if err != nil {
		return nil, err
	}
	return p.Trace(ctx, opt)
}

// Trace takes the picture apart. Errors are *Error, or the context's own. It takes
// time and memory in proportion to the number of pixels; what was found of its
// colours is kept for the next time.
func (p *Picture) Trace(ctx context.Context, opt Options) (*Result, error) {
	told := opt.Progress
	if told == nil {
		told = func(float64) {}
	}
	told(0)
	t, err := p.labelled(ctx, asked{opt.Colours, opt.Sheet, opt.Detail > 0})
	if err != nil {
		return nil, err
	}
	t.opt = opt
	told(0.5)
	t.scale(opt.Detail)
	was := slices.Clone(t.labels)
	if err := t.clean(ctx, t.leastArea); err != nil {
		return nil, err
	}
	if !t.merged && !t.scanned {
		if err := t.vanished(ctx, was); err != nil {
			return nil, err
		}
	}
	if err := t.choose(ctx); err != nil {
		return nil, err
	}
	told(0.6)
	n := &network{t: t}
	if err := n.trace(ctx.Err); err != nil {
		return nil, err
	}
	told(0.65)
	if err := n.settle(ctx); err != nil {
		return nil, err
	}
	told(0.85)
	if err := n.untangle(ctx.Err); err != nil {
		return nil, err
	}
	told(0.95)
	return t.result(ctx, n)
}

// labelled returns a tracer that knows the inks and the label of each pixel.
func (p *Picture) labelled(ctx context.Context, a asked) (*tracer, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	t, ok := p.found[a]
	if !ok {
		var err error
		if t, err = p.label(ctx, a); err != nil {
			return nil, err
		}
		// What was asked before is seldom asked again, but for the sheet.
		p.found = map[asked]*tracer{a: t}
	}
	out := *t
	out.labels = slices.Clone(t.labels)
	return &out, nil
}

// label finds the inks, on the sheet alone if that is asked for and there is one.
func (p *Picture) label(ctx context.Context, a asked) (*tracer, error) {
	t, err := newTracer(ctx, p.pic, a.colours)
	if err != nil {
		return nil, err
	}
	if err := t.label(ctx); err != nil {
		return nil, err
	}
	if !a.strokes {
		if t, err = t.unhatched(ctx, p.pic); err != nil {
			return nil, err
		}
	}
	if !t.scanned {
		return t, nil
	}
	t.sheet = t.findSheet()
	if t.sheet == nil || !a.sheet {
		return t, nil
	}
	t.cutOff(t.sheet)
	t.upright = true
	return t, t.label(ctx)
}

// tracer is one picture in the making.
type tracer struct {
	pic *picture
	// whole maps the picture at its resolution to the one that was read.
	whole geometry.Affine
	opt   Options
	// limit is how many colours there may be, 0 for as many as are found.
	limit int

	// flatness is how much neighbours in an area differ in a channel, off2 how far a
	// colour may lie from what explains it, squared; alike is how far apart (ΔE 2000)
	// two colours may look and be one.
	flatness    int
	binShift    uint8
	off2, alike float64
	// gathered is how far apart colours of areas looked at most that were made one ink.
	gathered float64
	// strange is how far from all others an ink must look that has no areas.
	strange float64
	// noisy: it is from a lossy file or a camera; lit: not all of what is of one colour is just
	// one, as under a lamp; scanned: it is paper under light that was made even.
	noisy, lit, scanned bool
	// hatched: strokes of pencils were made areas.
	hatched bool
	// dithered: its shades were dots; soft: something in it fades out.
	dithered, soft bool
	// blend is how a pixel between two inks is read.
	blend func(p, a, b rgba) (share, off2 float64)
	// overshoot is how far sharpening went beyond the inks at edges, as a share of their
	// steps; past is how far blends reach so far, overshot how many pixels that explained.
	overshoot, past float64
	overshot        int
	// clear is a share that is no blend, noise how far off points of an edge are, in
	// pixels.
	clear, noise float64
	// leastFlat and leastThin are how many pixels make an ink, of its areas and of its
	// thin lines; leastArea is how many make a region.
	leastFlat, leastThin, leastArea int
	// leastDot is how many pixels' worth of ink make a region all the same that stands out.
	leastDot float64

	inks []ink
	// ground is the ink that most was found of.
	ground int
	all    []uint8
	labels []uint8
	// before are the labels before inks were joined.
	before []uint8
	// photo: there are so many inks that they are only the tones of a photograph.
	photo bool
	// merged: there were more inks than may be, so that each stands for others that look unlike it.
	merged bool
	specks int
	// unkept are the pixels of things that show and got no ink.
	unkept []int32
	// lost are how many things show and are not traced, lostAt where one is in the picture that was
	// read.
	lost   int
	lostAt geometry.Point
	// sheet is what was found of it; upright says that what is beyond was cut off.
	sheet   *Sheet
	upright bool

	// found are the inks as people are told of them, before some were joined or left
	// bare; cut are the colours of their layers.
	found []Ink
	cut   []colour.RGB

	// of is the region of each pixel.
	of   []int32
	list []region
}

func newTracer(ctx context.Context, whole *picture, limit int) (*tracer, error) {
	flat, screened, err := whole.descreened(ctx)
	if err != nil {
		return nil, err
	}
	plain, dithered, err := flat.undithered(ctx)
	if err != nil {
		return nil, err
	}
	dithered = dithered || screened
	if plain, err = plain.unmatted(ctx); err != nil {
		return nil, err
	}
	shown, err := plain.resolved(ctx)
	if err != nil {
		return nil, err
	}
	pic, soft, err := shown.hardened(ctx)
	if err != nil {
		return nil, err
	}
	t := &tracer{pic: pic, dithered: dithered, soft: soft, noisy: pic.isNoisy(), limit: limit}
	// The light of what is printed with screens is even.
	if t.lit = t.noisy && !screened && !pic.isEven(); t.lit {
		even, err := pic.evened(ctx)
		if err != nil {
			return nil, err
		}
		if even != nil {
			t.pic, t.scanned = even, true
		}
	}
	t.begin(whole)
	return t, nil
}

// scale makes a region of four times as many pixels for each step of less detail,
// and an edge followed less closely.
func (t *tracer) scale(detail int) {
	t.leastArea = max(1, int(math.Round(float64(t.leastArea)*math.Pow(4, -float64(detail)))))
	t.leastDot *= math.Pow(4, -float64(detail))
	t.noise *= math.Pow(1.5, -float64(detail))
}

// result makes layers of the rings.
func (t *tracer) result(ctx context.Context, n *network) (*Result, error) {
	res := &Result{Sheet: t.sheet.mapped(t.whole), Photo: t.photo, Upright: geometry.Identity()}
	size, place := geometry.Pt(float64(t.pic.w), float64(t.pic.h)), t.whole
	if t.upright {
		var m geometry.Affine
		m, size = t.sheet.upright()
		place = t.whole.Mul(m)
		if back, ok := t.whole.Invert(); ok {
			res.Upright = place.Mul(back)
		}
	}
	res.Canvas = t.whole.MapRect(geometry.RectXYWH(0, 0, size.X, size.Y))
	outlined, area := t.outlined(n)
	if len(outlined) == 0 {
		if slices.ContainsFunc(t.pic.pix, func(c rgba) bool { return c[3] > clearBelow }) {
			return nil, fail(ErrGrain)
		}
		return nil, fail(ErrNothing)
	}
	res.Inks = t.left(area)
	var areas []layering.Area
	inks, through := map[int]bool{}, map[int]bool{}
	for _, r := range outlined {
		p := r.path
		if place != geometry.Identity() {
			p = p.Transform(place)
		}
		inks[r.label] = true
		if t.inks[r.label].c[3] < opaque {
			through[r.label] = true
		}
		areas = append(areas, layering.Area{Shape: job.Shape{Path: p}, Bounds: p.Bounds(), Colour: t.cut[r.label], Alpha: 1})
	}
	res.Layers = layering.Layers(ctx, areas, layering.Options{ColourName: t.opt.ColourName, Canvas: res.Canvas})
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	res.Warnings = t.warnings(len(inks), len(through))
	return res, nil
}

// outlined is a region with its outline, in pixels.
type outlined struct {
	label  int
	region int32
	path   geometry.Path
	// reach is the area of its bounds where things may lie inside it, else 0.
	reach float64
}

// outlined returns the regions that are cut in the order of their layers, and how much there
// is of each ink: large areas first, and the parts of one ink as they are read. What may lie
// inside others comes after them, whatever its ink.
func (t *tracer) outlined(n *network) (list []outlined, area []float64) {
	area = make([]float64, len(t.inks))
	dropped := make([]bool, len(t.inks))
	for k := range t.inks {
		dropped[k] = t.staysBare(k)
	}
	at := map[int32]int{} // where the regions are in the list
	n.rings(func(label int, first corner, ring []end) {
		if dropped[label] {
			return
		}
		region := t.of[int(first.y)*t.pic.w+int(first.x)]
		k, ok := at[region]
		if !ok {
			k = len(list)
			at[region] = k
			list = append(list, outlined{label: label, region: region})
		}
		c := n.contour(ring)
		list[k].path = append(list[k].path, c)
		area[label] += geometry.Path{c}.SignedArea()
	})
	list = slices.DeleteFunc(list, func(r outlined) bool { return r.path.SignedArea() < nothing })
	if t.opt.Beneath {
		holes := t.bareRegions(dropped)
		for i := range list {
			r := &list[i]
			r.path = filled(r.path, holes)
			r.reach = r.path.Bounds().Width() * r.path.Bounds().Height()
		}
	}
	slices.SortFunc(list, func(a, b outlined) int {
		return cmp.Or(cmp.Compare(b.reach, a.reach), cmp.Compare(area[b.label], area[a.label]), cmp.Compare(a.label, b.label), cmp.Compare(a.region, b.region))
	})
	return list, area
}

// warnings tells what came of so many inks, some of which are so much see-through.
func (t *tracer) warnings(inks, through int) (out []job.Warning) {
	warn := func(id string, args ...string) {
		out = append(out, job.Warning{Message: message.Of(id, args...)})
	}
	if t.photo && t.limit == 0 {
		warn(WarnTones, "count", strconv.Itoa(inks))
	} else {
		warn(WarnColours, "count", strconv.Itoa(inks))
	}
	if t.specks > 0 {
		warn(WarnSpecks, "count", strconv.Itoa(t.specks))
	}
	if t.lost > 0 {
		size := t.whole.Apply(geometry.Pt(float64(t.pic.w), float64(t.pic.h)))
		at := func(v float64) string { return strconv.Itoa(int(v)) }
		warn(WarnFaint, "count", strconv.Itoa(t.lost), "x", at(t.lostAt.X), "y", at(t.lostAt.Y), "side", at(2*math.Round(math.Max(size.X, size.Y))))
	}
	if through > 0 {
		warn(WarnClear, "count", strconv.Itoa(through))
	}
	if t.soft {
		warn(WarnSoft)
	}
	if t.dithered {
		warn(WarnDots)
	}
	if t.hatched {
		warn(WarnHatched)
	}
	if t.pic.several {
		warn(WarnStill)
	}
	if t.pic.profiled {
		warn(WarnProfile)
	}
	if t.sheet != nil && !t.upright {
		warn(WarnSheet)
	}
	return out
}
