package controls

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"

	"abut/ui/theme"
)

// Choice is a switch between a few words, side by side in one frame.
type Choice struct {
	widget.BaseWidget
	// OnChosen reports which was pressed; Choose shows it.
	OnChosen func(int)
	presses  []*Press
	chosen   int
	// Fills stretches the words over the whole width.
	Fills bool
}

// NewChoice returns a switch with the first word chosen.
func NewChoice(chosen func(int), words ...string) *Choice {
	c := &Choice{OnChosen: chosen}
	for i, w := range words {
		p := newPress("", w, "", 0, 32, func() {
			if c.OnChosen != nil {
				c.OnChosen(i)
			}
		})
		c.presses = append(c.presses, p)
	}
	c.presses[0].On = true
	c.ExtendBaseWidget(c)
	return c
}

// Choose marks a word as chosen.
func (c *Choice) Choose(i int) {
	c.chosen = i
	for k, p := range c.presses {
		p.SetOn(k == i)
	}
}

// Chosen returns which word is chosen.
func (c *Choice) Chosen() int { return c.chosen }

// CreateRenderer implements fyne.Widget.
func (c *Choice) CreateRenderer() fyne.WidgetRenderer {
	r := &choiceRenderer{c: c, frame: canvas.NewRectangle(color.Transparent)}
	r.frame.CornerRadius = 8
	r.Refresh()
	return r
}

type choiceRenderer struct {
	c     *Choice
	frame *canvas.Rectangle
}

func (r *choiceRenderer) MinSize() fyne.Size {
	w := float32(4)
	for _, p := range r.c.presses {
		w += p.MinSize().Width
	}
	return fyne.NewSize(w, 36)
}

func (r *choiceRenderer) Layout(size fyne.Size) {
	x := float32(2)
	extra := float32(0)
	if r.c.Fills {
		extra = max(size.Width-r.MinSize().Width, 0) / float32(len(r.c.presses))
	}
	for _, p := range r.c.presses {
		w := p.MinSize().Width + extra
		p.Move(fyne.NewPos(x, 2))
		p.Resize(fyne.NewSize(w, 32))
		x += w
	}
	r.frame.Resize(fyne.NewSize(x+2, 36))
}

func (r *choiceRenderer) Refresh() {
	p := theme.Current()
	r.frame.StrokeColor, r.frame.StrokeWidth = p.Line, 1
	r.frame.FillColor = p.Surface
	canvas.Refresh(r.frame)
	for _, x := range r.c.presses {
		x.Refresh()
	}
}

func (r *choiceRenderer) Objects() []fyne.CanvasObject {
	o := []fyne.CanvasObject{r.frame}
	for _, p := range r.c.presses {
		o = append(o, p)
	}
	return o
}

func (r *choiceRenderer) Destroy() {}

// Fill is a rectangle in a tone of the palette that follows the theme.
type Fill struct {
	widget.BaseWidget
	tone   Tone
	radius float32
	edge   Tone
	min    fyne.Size
}

// NewFill returns a ground to put behind things.
func NewFill(tone Tone) *Fill {
	f := &Fill{tone: tone}
	f.ExtendBaseWidget(f)
	return f
}

// NewCard returns a ground with round corners and an edge.
func NewCard(tone, edge Tone) *Fill {
	f := &Fill{tone: tone, edge: edge, radius: 8}
	f.ExtendBaseWidget(f)
	return f
}

// NewRule returns a fine line across.
func NewRule() *Fill {
	f := &Fill{tone: func(p *theme.Palette) color.NRGBA { return p.Line }, min: fyne.NewSize(1, 1)}
	f.ExtendBaseWidget(f)
	return f
}

// CreateRenderer implements fyne.Widget.
func (f *Fill) CreateRenderer() fyne.WidgetRenderer {
	r := &fillRenderer{f: f, box: canvas.NewRectangle(color.Transparent)}
	r.Refresh()
	return r
}

type fillRenderer struct {
	f   *Fill
	box *canvas.Rectangle
}

func (r *fillRenderer) MinSize() fyne.Size    { return r.f.min }
func (r *fillRenderer) Layout(size fyne.Size) { r.box.Resize(size) }
func (r *fillRenderer) Refresh() {
	p := theme.Current()
	r.box.FillColor = r.f.tone(p)
	r.box.CornerRadius = r.f.radius
	if r.f.edge != nil {
		r.box.StrokeColor, r.box.StrokeWidth = r.f.edge(p), 1
	}
	canvas.Refresh(r.box)
}
func (r *fillRenderer) Objects() []fyne.CanvasObject { return []fyne.CanvasObject{r.box} }
func (r *fillRenderer) Destroy()                     {}

// More tones, for grounds.
var (
	Ground  Tone = func(p *theme.Palette) color.NRGBA { return p.Ground }
	Surface Tone = func(p *theme.Palette) color.NRGBA { return p.Surface }
	Rule    Tone = func(p *theme.Palette) color.NRGBA { return p.Line }
)
