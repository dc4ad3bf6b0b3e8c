package board

import (
	"image"
	"image/color"
	"slices"
	"sync"
	"time"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/ui/paint"
	"abut/ui/theme"
)

// request is everything that a picture of the board depends on: a snapshot,
// safe to read in the background.
type request struct {
	job     job.Job
	plan    *fit.Plan
	exact   bool
	mode    Mode
	view    view
	density int
	paper   geometry.Rect
	ground  color.NRGBA
	// card is what the sheets lie on in their view.
	card      color.NRGBA
	selection []job.LayerID
	// dragging: the selection is being moved, by shift, or scaled or turned; the
	// rest stands still.
	dragging bool
	shift    image.Point
	moving   []job.LayerID
	// piece is the one under the pointer in the fitted view.
	piece fit.PieceID
	// grid is the distance of the grid's lines in millimetres, 0 for none.
	grid float64
	// spots are the weak spots to mark.
	spots []Spot
	// plain leaves all marks away.
	plain bool
}

// picture is what the painter makes of a request. Its images are tight, in
// pixels of the view, and never changed afterwards.
type picture struct {
	view view
	// shift is how far the drag had come that it shows.
	shift image.Point
	base  *image.RGBA
	// over covers the part of base that a drag changes; nil without one.
	over   *image.RGBA
	overAt image.Point
	scene  *paint.Scene
}

// painter paints requests in the background, one at a time, latest wins: what
// was asked for while it was busy is dropped but for the last. The next picture
// waits until the event thread has taken the last one: where the screen is slow
// they would queue up there, and everything else behind them. With a nil deliver
// it paints at once.
type painter struct {
	deliver func(func())
	pace    pace
	// show takes a picture and reports whether a frame will come of it.
	show    func(*picture) bool
	trouble func(any)

	mu   sync.Mutex
	next *request
	busy bool
	// made gets each picture as soon as it is painted, for whoever waits for it on the event
	// thread, which takes nothing else meanwhile; nil where nobody does.
	made chan *picture

	// Of the goroutine at work only:
	builder paint.Builder
	ends    [2]paint.Builder
	counter paint.Counter
	masker  paint.Masker
	still   still
	pieces  pieceMasks
	spots   spotMasks
}

func (p *painter) ask(r *request) {
	if p.deliver == nil {
		p.show(p.paint(r))
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.next = r
	if !p.busy {
		p.busy = true
		go p.work()
	}
}

// idle reports whether nothing is asked for or being painted.
func (p *painter) idle() bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	return !p.busy
}

func (p *painter) work() {
	for {
		p.mu.Lock()
		r := p.next
		p.next = nil
		if r == nil {
			p.busy = false
			p.mu.Unlock()
			return
		}
		p.mu.Unlock()
		pic := p.guarded(r)
		p.hand(pic)
		if pic != nil {
			framed := make(chan bool, 1)
			p.deliver(func() { framed <- p.show(pic) })
			if <-framed {
				p.pace.wait()
			}
		}
	}
}

// await returns the picture that is being painted, nil where that takes longer than patience or
// there is none.
func (p *painter) await(patience time.Duration) *picture {
	made := make(chan *picture, 1)
	p.mu.Lock()
	if !p.busy {
		p.mu.Unlock()
		return nil
	}
	p.made = made
	p.mu.Unlock()
	select {
	case pic := <-made:
		return pic
	case <-time.After(patience):
		return nil
	}
}

// hand gives a picture to whoever waits for it.
func (p *painter) hand(pic *picture) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.made != nil {
		p.made <- pic
		p.made = nil
	}
}

// guarded keeps a fault in painting from taking the user's work with it.
func (p *painter) guarded(r *request) (pic *picture) {
	defer func() {
		if v := recover(); v != nil {
			pic = nil
			if p.trouble != nil {
				p.deliver(func() { p.trouble(v) })
			}
		}
	}()
	return p.paint(r)
}

func (p *painter) paint(r *request) *picture {
	window := r.view.window()
	if window.Empty() {
		return &picture{view: r.view, base: image.NewRGBA(image.Rectangle{}), scene: &paint.Scene{}}
	}
	scene := p.builder.Scene(r.job, r.view.scale, window)
	scene.Pressed = true
	pic := &picture{view: r.view, shift: r.shift, scene: scene}
	switch {
	case r.plain:
		img := p.bare(r, window)
		p.paintPlain(img, r)
		pic.base = r.tight(img)
	case r.mode == Sheets && r.plan != nil:
		img := image.NewRGBA(window)
		fill(img, window, r.ground)
		p.paintSheets(img, r)
		p.paintFitted(img, r)
		pic.base = r.tight(img)
	case r.mode != Art && r.plan != nil:
		img := p.paper(r, window)
		p.paintFitted(img, r)
		if r.mode == Fitted {
			p.paintSpots(img, r)
		}
		pic.base = r.tight(img)
	case r.dragging:
		pic.base = p.stillBase(r, scene)
		for i := range scene.Layers {
			if slices.Contains(r.moving, scene.Layers[i].ID) {
				scene.Layers[i].Shift = r.shift
			}
		}
		box := p.dragBox(r, scene).Intersect(window)
		if !box.Empty() {
			// One pixel more on either side: the marks look at their neighbours.
			img := p.paper(r, box.Inset(-1).Intersect(window))
			p.paintArt(img, r, scene, r.selection)
			pic.over, pic.overAt = cropped(img, box), box.Min.Add(r.view.origin)
		}
	default:
		img := p.paper(r, window)
		p.paintEnds(img, r)
		p.paintArt(img, r, scene, r.selection)
		p.paintSpots(img, r)
		pic.base = r.tight(img)
	}
	return pic
}

// tight moves an image of world pixels to start at 0, 0: what the toolkit
// takes.
func (r *request) tight(img *image.RGBA) *image.RGBA {
	img.Rect = img.Rect.Sub(img.Rect.Min)
	return img
}

// cropped returns a part of the image as one of its own that starts at 0, 0.
func cropped(img *image.RGBA, box image.Rectangle) *image.RGBA {
	out := image.NewRGBA(image.Rectangle{Max: box.Size()})
	for y := range box.Dy() {
		copy(out.Pix[y*out.Stride:][:4*box.Dx()], img.Pix[img.PixOffset(box.Min.X, box.Min.Y+y):])
	}
	return out
}

// still is the base of a drag: everything but the dragged layers.
type still struct {
	base   *image.RGBA
	view   view
	ground color.NRGBA
	paper  geometry.Rect
	frame  geometry.Rect
	grid   float64
	// layers are those that stand still.
	layers []paint.Layer
}

// stillBase returns the picture without the dragged layers, painted once a
// drag.
func (p *painter) stillBase(r *request, scene *paint.Scene) *image.RGBA {
	s := &p.still
	frame := r.frame()
	rest := &paint.Scene{Pressed: scene.Pressed}
	for _, l := range scene.Layers {
		if !slices.Contains(r.moving, l.ID) {
			rest.Layers = append(rest.Layers, l)
		}
	}
	same := s.base != nil && s.frame == frame && s.view == r.view && s.ground == r.ground && s.paper == r.paper && s.grid == r.grid &&
		slices.Equal(s.layers, rest.Layers)
	if !same {
		img := p.paper(r, r.view.window())
		p.paintEnds(img, r)
		p.paintArt(img, r, rest, nil)
		*s = still{base: r.tight(img), view: r.view, ground: r.ground, paper: r.paper, frame: frame, grid: r.grid, layers: rest.Layers}
	}
	return s.base
}

// dragBox is what the dragged layers and their outlines touch.
func (p *painter) dragBox(r *request, scene *paint.Scene) image.Rectangle {
	var box image.Rectangle
	for i := range scene.Layers {
		if l := &scene.Layers[i]; slices.Contains(r.moving, l.ID) {
			box = box.Union(l.Box())
		}
	}
	if box.Empty() {
		return box
	}
	return box.Inset(-2*r.lineWidth() - 2)
}

// lineWidth is the width of a mark's line in pixels.
func (r *request) lineWidth() int { return 2 * r.density }

// paintArt paints the layers, what stacks, and the outlines of the selection.
func (p *painter) paintArt(img *image.RGBA, r *request, scene *paint.Scene, selection []job.LayerID) {
	if r.mended() {
		p.paintCut(img, r)
	} else {
		scene.Compose(img)
	}
	p.tint(img, r)
	p.hairlines(img, scene, r)
	if p.counter.Count(scene, img.Rect.Inset(-r.density-1)) {
		p.counter.Paint(img, r.density, r.view.origin.Mul(-1))
	}
	p.paintFrame(img, r)
	p.paintSafe(img, r)
	p.paintSpecks(img, r)
	for i := range scene.Layers {
		l := &scene.Layers[i]
		if slices.Contains(selection, l.ID) && l.Box().Inset(-8).Overlaps(img.Rect) {
			p.builder.Halo(l.Mask, r.lineWidth()).Paint(img, l.Shift, colourOf(theme.MarkLight), colourOf(theme.MarkDark))
		}
	}
}

// hairlines outlines near-white layers, which would vanish on the blank.
func (p *painter) hairlines(img *image.RGBA, scene *paint.Scene, r *request) {
	for i := range scene.Layers {
		l := &scene.Layers[i]
		if l.Separation == 0 || !nearWhite(scene.Look(l)) || !l.Box().Overlaps(img.Rect) {
			continue
		}
		h := p.builder.Hairline(l.Mask, r.density)
		scene.TintAt(img, i, h, hairline, 200)
	}
}

var hairline = colour.RGB{R: 0x8A, G: 0x93, B: 0x98}

// nearWhite: within a few just noticeable differences of an undecorated blank.
func nearWhite(c colour.RGB) bool { return c.DeltaE(colour.White) < 6 }

// frame returns the frame's bounds, zero without one.
func (r *request) frame() geometry.Rect {
	if r.plan == nil || r.plan.Frame == nil {
		return geometry.Rect{}
	}
	return r.plan.Frame.Bounds
}

func (p *painter) paintFrame(img *image.RGBA, r *request) {
	p.paintMarks(img, r)
	if r.plan == nil || r.plan.Frame == nil {
		return
	}
	pen := paint.Pen{Width: float64(r.density) * 1.5, Dash: []float64{8 * float64(r.density), 5 * float64(r.density)}}
	line := r.plan.Frame.Outline.Transform(layoutOf(r.mode, r.plan).at(0))
	m := p.masker.Stroke(line, pen, r.view.scale, r.view.window())
	m.Tint(img, image.Point{}, colourOf(theme.Light.Quiet), 255)
}

// speckPx is how large, in units, a stacked place must be on screen to be found
// without help.
const speckPx = 5

// maxSpecks is how many small places are pointed out, the largest first.
const maxSpecks = 100

// paintSpecks rings the stacked places that are too small on screen to be seen.
func (p *painter) paintSpecks(img *image.RGBA, r *request) {
	if r.plan == nil || !r.exact || r.dragging {
		return
	}
	d := float64(r.density)
	n := 0
	for i := range r.plan.Stacked.Places {
		s := &r.plan.Stacked.Places[i]
		if max(s.Bounds.Width(), s.Bounds.Height())*r.view.scale > speckPx*d {
			continue
		}
		if n++; n > maxSpecks {
			return
		}
		radius := 9 * d / r.view.scale
		ring := geometry.Path{geometry.Ellipse(s.Inside, radius, radius)}
		p.masker.Stroke(ring, paint.Pen{Width: 5 * d}, r.view.scale, img.Rect).Tint(img, image.Point{}, colour.White, 255)
		p.masker.Stroke(ring, paint.Pen{Width: 2.5 * d}, r.view.scale, img.Rect).Tint(img, image.Point{}, paint.StackedColour, 255)
	}
}

func colourOf(c color.NRGBA) colour.RGB { return colour.RGB{R: c.R, G: c.G, B: c.B} }
