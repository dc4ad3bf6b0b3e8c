package svgimport

import (
	"context"
	"io"
	"math"
	"strconv"

	"abut/geometry"
	"abut/geometry/parallel"
	"abut/internal/job"
	"abut/internal/layering"
	"abut/internal/typeset"
)

// Options bound what a file may ask for. The zero value stands for the
// defaults, which are far above what real art needs.
type Options struct {
	// MaxBytes bounds the file (unzipped); 0 means 64 MiB.
	MaxBytes int64
	// MaxDepth bounds how deep elements nest; 0 means 512. Everything after
	// the reading recurses, so this also bounds the stack.
	MaxDepth int
	// MaxLeaves bounds the shapes that use elements make; 0 means 10,000. A few
	// lines of nested use can ask for billions.
	MaxLeaves int
	// Fonts are what text is set in; nil means the installed ones.
	Fonts *typeset.Fonts
	// Groups says how far groups of the file are kept apart.
	Groups layering.Grouping
	// ColourName says what the plain English word for a colour is to be called
	// in the names of layers; nil leaves it as it is.
	ColourName func(word string) string
	// Picture takes apart a picture of pixels that the drawing holds, given as its file;
	// an error says that it cannot be. With nil such pictures are left out.
	Picture func(ctx context.Context, file []byte) (*Picture, error)
	// MaxSegments bounds the lines and curves of the whole picture; 0 means 2
	// million, which take some 150 MB.
	MaxSegments int
}

func (o Options) withDefaults() Options {
	if o.MaxBytes == 0 {
		o.MaxBytes = 64 << 20
	}
	if o.MaxDepth == 0 {
		o.MaxDepth = 512
	}
	if o.MaxLeaves == 0 {
		o.MaxLeaves = 10000
	}
	if o.MaxSegments == 0 {
		o.MaxSegments = 2_000_000
	}
	return o
}

// Result is a picture taken apart.
type Result struct {
	// Layers are bottom first, in root user units, with ids from 1.
	Layers []job.Layer
	// Canvas is the visible part of the picture in root user units: the root
	// viewBox or, without one, 0 0 width height; without either, the bounds of
	// what is drawn. Where width and height have other proportions than the
	// viewBox it is what they show of it.
	Canvas geometry.Rect
	// PhysicalMM is the size of the canvas when the file states it in physical
	// units, else zero. Pixels are not physical.
	PhysicalMM geometry.Point
	Warnings   []job.Warning
	// Sole is the one upright picture of pixels that is all there is in the drawing, nil
	// where there is more. SoleMM is its size where the file states physical units.
	Sole   *Picture
	SoleMM geometry.Point
}

// Import reads an SVG file, zipped or not. Errors are *Error, or the context's
// own. It takes time linear in the file and in what its references expand to,
// both of which Options bound.
func Import(ctx context.Context, r io.Reader, opt Options) (*Result, error) {
	opt = opt.withDefaults()
	// A pipe may keep its readers waiting.
	data, err := parallel.Aside(ctx, func() ([]byte, error) { return slurp(ctx, r, opt.MaxBytes) })
	if err != nil {
		return nil, err
	}
	doc, err := readTree(ctx, data, opt.MaxDepth)
	if err != nil {
		return nil, err
	}
	im := newImporter(ctx, opt, doc)
	im.readSheets()
	pg := readPage(doc.root, im.styleOf(doc.root))
	if err := im.root(pg); err != nil {
		return nil, err
	}
	res := &Result{Canvas: pg.canvas, PhysicalMM: pg.mm}
	if res.Canvas.Empty() {
		for i := range im.out {
			res.Canvas = res.Canvas.Union(im.out[i].Bounds)
		}
	}
	if res.Layers, err = parallel.Aside(ctx, func() ([]job.Layer, error) {
		return layering.Layers(ctx, im.out, layering.Options{Groups: opt.Groups, ColourName: opt.ColourName, Canvas: im.canvas}), nil
	}); err != nil {
		return nil, err
	}
	res.Warnings = im.finishWarnings(res.Layers)
	if len(res.Layers) == 0 {
		return nil, im.nothing()
	}
	im.findSole(res)
	return res, nil
}

// importer is one import in progress.
type importer struct {
	ctx   context.Context
	opt   Options
	doc   *document
	sheet *styleSheet

	*spent
	out    []layering.Area
	groups job.GroupID
	canvas geometry.Rect
	// tolerance is how far stroke outlines may stray, in root units.
	tolerance float64
	// pixels maps root units to the pixels of the picture at its own size.
	pixels geometry.Affine
	// keep is the part of the plane, in root units, outside of which outlines
	// are trimmed; empty where nothing is.
	keep geometry.Rect

	styles  map[*node]*style
	using   map[*node]bool
	clips   map[clipKey]*job.Clip
	clipped map[*job.Clip]clipBounds
	tiles   map[tileKey][]layering.Area
	// pictures are those of pixels by what refers to them, nil where they cannot be read.
	pictures map[string]*Picture
	// drawings are those inside the file by what refers to them, nil where they cannot be
	// read; inside counts those that the one in hand lies in.
	drawings map[string]*innerDrawing
	inside   int
	// shown is the picture that was drawn last, and how many there were.
	shown struct {
		of    *Picture
		to    geometry.Affine // root units
		count int
	}

	warnings []job.Warning
	// unseen: something was passed over that is hidden or see-through all over.
	unseen bool
	warned map[warnKey]bool
	// off are the elements of which an area lies beyond the canvas.
	off      map[*node]bool
	unlisted int
	quiet    int // above 0 nothing is warned about
	// onlyMean is set while a tile is drawn of which only the mean colour counts.
	onlyMean bool
	// boxOnly is set while only bounds are looked for.
	boxOnly boxMode
}

func newImporter(ctx context.Context, opt Options, doc *document) *importer {
	return &importer{
		ctx: ctx, opt: opt, doc: doc, sheet: &styleSheet{}, spent: &spent{},
		styles: map[*node]*style{}, using: map[*node]bool{},
		clips: map[clipKey]*job.Clip{}, clipped: map[*job.Clip]clipBounds{},
		tiles:    map[tileKey][]layering.Area{},
		pictures: map[string]*Picture{}, drawings: map[string]*innerDrawing{},
		warned: map[warnKey]bool{}, off: map[*node]bool{}, pixels: geometry.Identity(), keep: geometry.EmptyRect(), canvas: geometry.EmptyRect(),
	}
}

func (im *importer) readSheets() {
	for _, target := range im.doc.linked {
		im.tell(WarnExternal, im.doc.root, target, "target", shorten(target))
	}
	for _, c := range im.doc.cut {
		im.warn(WarnStyleSheet, c.n, "rule", shorten(c.name)+"=…")
	}
	total := 0
	for _, n := range im.doc.sheets {
		if t := n.get("type"); t != "" && t != "text/css" {
			im.tell(WarnStyleSheet, n, t, "rule", shorten(t))
			continue
		}
		applies, known := onScreen(n.get("media"))
		if !known {
			im.tell(WarnStyleSheet, n, n.get("media"), "rule", shorten("@media "+n.get("media")))
		}
		if !applies {
			continue
		}
		if total += len(n.text); total > maxSheet {
			im.warn(WarnStyleSheet, n, "rule", "…")
			return
		}
		im.sheet.addSheet(n.text)
		for _, target := range im.sheet.external {
			im.tell(WarnExternal, n, target, "target", shorten(target))
		}
		for _, sel := range im.sheet.odd {
			im.tell(WarnStyleSheet, n, sel, "rule", shorten(sel))
		}
		im.sheet.external, im.sheet.odd = nil, nil
	}
}

// root draws the whole picture.
func (im *importer) root(pg page) error {
	d := math.Hypot(pg.canvas.Width(), pg.canvas.Height())
	if !(d > 0) {
		d = 100
	}
	im.tolerance = 1e-5 * d
	if back, ok := pg.root.Invert(); ok {
		im.pixels = pg.fit.Mul(back)
	}
	sc := scope{ctm: pg.root}
	if !pg.canvas.Empty() {
		im.canvas = pg.canvas
		im.keep = pg.canvas.Grow(trimDiagonals * d)
		sc.clips = []*job.Clip{im.rectClip(pg.canvas, geometry.Identity(), im.doc.root)}
	}
	return im.page(pg, sc)
}

// page draws all that is in a file, whose units the scope's map leads from.
func (im *importer) page(pg page, sc scope) error {
	n := im.doc.root
	st := im.styleOf(n)
	if st.own.hidden {
		im.unseen = true
		return nil
	}
	sc.style, sc.view = st, pg.view
	m, ok := im.transform(n, st, scope{view: pg.px})
	if !ok {
		im.warn(WarnTransform, n)
	}
	if m != geometry.Identity() {
		// It moves the picture in its viewport, outside the viewBox (SVG 2, 8.2).
		back, _ := pg.fit.Invert()
		sc.ctm = sc.ctm.Mul(back).Mul(m).Mul(pg.fit)
	}
	if !sc.ctm.Finite() {
		im.warn(WarnRange, n)
		return nil
	}
	if sc.ctm.Det() == 0 {
		return nil
	}
	if err := im.hidden(n, st, sc, func(sc scope) error { return im.children(n, sc) }); err != nil {
		return err
	}
	return im.checkStyles(n)
}

// checkStyles gives up on style rules that take too long to match.
func (im *importer) checkStyles(n *node) error {
	if im.sheet.steps <= maxSteps {
		return nil
	}
	return fail(ErrStyles, n.line, "line", strconv.Itoa(n.line))
}

// checkSegments polls the context and the budget while one path of n segments
// is being made.
func (im *importer) checkSegments(n int) error {
	if err := im.ctx.Err(); err != nil {
		return err
	}
	if im.segments+n > im.opt.MaxSegments {
		return fail(ErrComplex, 0, "limit", strconv.Itoa(im.opt.MaxSegments))
	}
	return nil
}

// nothing explains why there is no layer: by what was left out, if anything
// was.
func (im *importer) nothing() error {
	for _, w := range im.warnings {
		switch w.ID {
		case WarnRange, WarnText, WarnTextPastPath, WarnLettersLost, WarnImage, WarnForeign, WarnPathData, WarnMissing, WarnExternal:
			return fail(ErrUnreadable, w.Line, "what", w.Element, "warning", w.ID, "line", strconv.Itoa(w.Line))
		}
	}
	if im.unseen {
		return fail(ErrHidden, 0)
	}
	return fail(ErrNothing, 0)
}
