package window

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"os"
	"path/filepath"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"abut/assets"
	"abut/geometry"
	"abut/internal/job"
	"abut/internal/session"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/paint"
	"abut/ui/theme"
)

// startPage is what one sees before any art: where to drop a picture, a way to
// open one, and the program's own to try.
type startPage struct {
	object fyne.CanvasObject
	cards  []*card

	onRecent            func(path string)
	onEmpty             func()
	onRecover, onForget func(session.Lost)
	page                *fyne.Container
	lost                *fyne.Container
	recent              *fyne.Container
	files               *fyne.Container
}

func newStartPage(open func(), demo func(assets.Demo), drawn func()) *startPage {
	s := &startPage{}
	zone := canvas.NewRaster(func(w, h int) image.Image {
		if drawn != nil {
			drawn()
		}
		return dropZone(w, h)
	})
	icon := controls.NewIcon(56, func() string { return "drop" }, func() color.NRGBA { return theme.Current().Accent })
	head := controls.NewLine(say("ui-start-drop"), controls.Text)
	head.TextSize, head.Bold, head.Align = theme.Verdict, true, fyne.TextAlignCenter
	quiet := controls.NewPara(say("ui-start-kinds"), controls.Quiet)
	quiet.Centred = true
	button := controls.NewAction("open", say("ui-start-open"), "", open)
	button.Next = true
	empty := controls.NewAction("blank", say("ui-start-empty"), say("ui-start-empty-hint"), func() { s.onEmpty() })
	empty.Framed = true
	inner := container.New(&controls.Stack{Gap: 10}, container.NewCenter(icon), head, quiet, container.NewCenter(container.NewHBox(button, empty)))
	drop := container.NewStack(zone, container.New(&controls.Inset{X: 24, Y: 22}, inner))

	row := container.New(&cardRow{gap: 12, rowHeight: 254})
	for _, d := range assets.Demos() {
		c := newCard(d, func() { demo(d) })
		s.cards = append(s.cards, c)
		row.Add(c)
	}
	title := controls.NewHeading(say("ui-start-demos"))
	s.lost = container.New(&controls.Stack{Gap: 8})
	s.lost.Hide()
	s.files = container.New(&controls.Flow{Gap: 8})
	s.recent = container.New(&controls.Stack{Gap: 8}, controls.NewHeading(say("ui-start-recent")), s.files)
	s.recent.Hide()
	s.page = container.New(&controls.Stack{Gap: 16}, s.lost, drop, s.recent, title, row)
	s.object = container.NewStack(controls.NewFill(controls.Ground), container.NewVScroll(container.New(&middle{width: 1120, room: 24}, s.page)))
	return s
}

// setLost offers work that was left behind by a process that was killed.
func (s *startPage) setLost(list []session.Lost) {
	s.lost.RemoveAll()
	s.lost.Hidden = len(list) == 0
	for _, l := range list {
		text := container.New(&controls.Stack{Gap: 2},
			controls.NewPara(say("ui-lost", "file", l.Name, "time", l.Time.Format("2006-01-02 15:04")), controls.Text),
			controls.NewPara(say("ui-lost-why"), controls.Quiet))
		open := controls.NewAction("undo", say("ui-lost-open"), "", func() { s.onRecover(l) })
		open.Next = true
		forget := controls.NewAction("", say("ui-lost-forget"), say("ui-lost-forget-hint"), func() { s.onForget(l) })
		forget.Framed = true
		row := controls.NewDock(nil, nil, nil, container.NewCenter(container.NewHBox(forget, open)), text)
		s.lost.Add(container.NewStack(controls.NewCard(controls.Surface, controls.Rule), container.New(&controls.Inset{X: 16, Y: 10}, row)))
	}
	s.refresh()
}

// setRecent lists the files that were open last; those that are gone cannot be
// pressed.
func (s *startPage) setRecent(paths []string) {
	s.files.RemoveAll()
	s.recent.Hidden = len(paths) == 0
	for _, path := range paths {
		name := filepath.Base(path)
		_, err := os.Stat(path)
		icon := "open"
		if session.IsDocument(path) {
			icon = "save"
		}
		hint := path
		if err != nil {
			name, hint = say("ui-start-missing", "file", name), say("ui-start-missing-hint", "path", path)
		}
		b := controls.NewAction(icon, name, hint, func() { s.onRecent(path) })
		b.Framed, b.IconSide = true, 20
		b.SetEnabled(err == nil)
		s.files.Add(b)
	}
	s.refresh()
}

func (s *startPage) refresh() {
	s.page.Refresh()
	s.object.Refresh()
}

// dropZone draws a dashed outline with round corners.
func dropZone(w, h int) image.Image {
	p := theme.Current()
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	density := 1.0
	if w > 1500 {
		density = 2
	}
	path := roundRect(geometry.RectXYWH(1.5*density, 1.5*density, float64(w)-3*density, float64(h)-3*density), 14*density)
	var k paint.Masker
	solid(img, k.Path(path, geometry.NonZero, 1, img.Rect), p.Surface)
	solid(img, k.Stroke(path, paint.Pen{Width: 2 * density, Dash: []float64{9 * density, 7 * density}}, 1, img.Rect), p.Edge)
	return img
}

// solid paints a colour through a mask onto a picture that may be transparent.
func solid(img *image.RGBA, m *paint.Mask, c color.NRGBA) {
	for y := m.Box.Min.Y; y < m.Box.Max.Y; y++ {
		for x := m.Box.Min.X; x < m.Box.Max.X; x++ {
			a := uint32(m.At(image.Pt(x, y)))
			if a == 0 {
				continue
			}
			o := img.Pix[img.PixOffset(x, y):][:4:4]
			n := 255 - a
			o[0] = uint8((uint32(o[0])*n + uint32(c.R)*a) / 255)
			o[1] = uint8((uint32(o[1])*n + uint32(c.G)*a) / 255)
			o[2] = uint8((uint32(o[2])*n + uint32(c.B)*a) / 255)
			o[3] = uint8((uint32(o[3])*n + 255*a) / 255)
		}
	}
}

func roundRect(r geometry.Rect, radius float64) geometry.Path {
	const k = 0.5523 // a quarter circle's control length
	a, b := r.Min, r.Max
	c := geometry.Contour{Start: geometry.Pt(a.X+radius, a.Y), Closed: true}
	corner := func(p, c1, c2, q geometry.Point) {
		c.Segments = append(c.Segments, geometry.LineTo(p), geometry.CubicTo(c1, c2, q))
	}
	q := radius * (1 - k)
	corner(geometry.Pt(b.X-radius, a.Y), geometry.Pt(b.X-q, a.Y), geometry.Pt(b.X, a.Y+q), geometry.Pt(b.X, a.Y+radius))
	corner(geometry.Pt(b.X, b.Y-radius), geometry.Pt(b.X, b.Y-q), geometry.Pt(b.X-q, b.Y), geometry.Pt(b.X-radius, b.Y))
	corner(geometry.Pt(a.X+radius, b.Y), geometry.Pt(a.X+q, b.Y), geometry.Pt(a.X, b.Y-q), geometry.Pt(a.X, b.Y-radius))
	corner(geometry.Pt(a.X, a.Y+radius), geometry.Pt(a.X, a.Y+q), geometry.Pt(a.X+q, a.Y), geometry.Pt(a.X+radius, a.Y))
	return geometry.Path{c}
}

// middle is a layout that keeps a page from growing wider than reads well.
type middle struct{ width, room float32 }

func (m *middle) MinSize(o []fyne.CanvasObject) fyne.Size {
	return o[0].MinSize().AddWidthHeight(2*m.room, 2*m.room)
}

func (m *middle) Layout(o []fyne.CanvasObject, size fyne.Size) {
	w := min(size.Width-2*m.room, m.width)
	h := o[0].MinSize().Height
	// A little above the middle looks like the middle.
	y := max(m.room, (size.Height-h)*0.4)
	o[0].Move(fyne.NewPos((size.Width-w)/2, y))
	o[0].Resize(fyne.NewSize(w, h))
}

// cardRow lays cards of one width out in as few rows as they fit.
type cardRow struct {
	gap, rowHeight float32
	width          float32
}

func minCard() float32 {
	if theme.Scaled(1) > 1 {
		return theme.Scaled(200) // titles grow, the pictures need not
	}
	return 168
}

func (r *cardRow) columns(n int, width float32) int {
	if width <= 0 {
		return n
	}
	return max(1, min(n, int((width+r.gap)/(minCard()+r.gap))))
}

func (r *cardRow) MinSize(o []fyne.CanvasObject) fyne.Size {
	cols := r.columns(len(o), r.width)
	rows := (len(o) + cols - 1) / cols
	return fyne.NewSize(minCard(), float32(rows)*r.rowHeight+float32(rows-1)*r.gap)
}

func (r *cardRow) Layout(o []fyne.CanvasObject, size fyne.Size) {
	r.width = size.Width
	cols := r.columns(len(o), size.Width)
	w := (size.Width - float32(cols-1)*r.gap) / float32(cols)
	for i, c := range o {
		c.Move(fyne.NewPos(float32(i%cols)*(w+r.gap), float32(i/cols)*(r.rowHeight+r.gap)))
		c.Resize(fyne.NewSize(w, r.rowHeight))
	}
}

// card shows one of the program's own pictures, to be tapped.
type card struct {
	widget.BaseWidget
	demo     assets.Demo
	onTapped func()
	job      job.Job
	hovered  bool
	focused  bool
	back     *controls.Fill
	picture  *canvas.Raster
	name     *controls.Line
	line     *controls.Para
}

var (
	_ fyne.Tappable     = (*card)(nil)
	_ fyne.Focusable    = (*card)(nil)
	_ desktop.Hoverable = (*card)(nil)
)

func newCard(d assets.Demo, tapped func()) *card {
	c := &card{demo: d, onTapped: tapped}
	c.ExtendBaseWidget(c)
	// The program's own pictures are small: reading one takes under a
	// millisecond.
	c.job, _ = workshop.OpenSVG(context.Background(), d.Name, bytes.NewReader(d.SVG))
	c.back = controls.NewCard(func(p *theme.Palette) color.NRGBA {
		if c.hovered {
			return theme.Mix(p.Accent, p.Surface, 0.08)
		}
		return p.Surface
	}, func(p *theme.Palette) color.NRGBA {
		if c.focused || c.hovered {
			return p.Accent
		}
		return p.Line
	})
	c.picture = canvas.NewRaster(c.pixels)
	c.name = controls.NewHeading(say("demo-" + d.ID))
	c.name.Shrinks = true
	c.line = controls.NewPara(say("demo-"+d.ID+"-line"), controls.Quiet)
	return c
}

// pixels draws the picture as the board would, on a piece of the blank.
func (c *card) pixels(w, h int) image.Image {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for i := range img.Pix {
		img.Pix[i] = 255
	}
	if len(c.job.Items) == 0 {
		return img
	}
	it := c.job.Items[0]
	r := it.Placement.MapRect(it.Canvas)
	room := float64(min(w, h)) / 14
	scale := min((float64(w)-2*room)/r.Width(), (float64(h)-2*room)/r.Height())
	origin := image.Pt(int(float64(w)/2-r.Centre().X*scale), int(float64(h)/2-r.Centre().Y*scale))
	img.Rect = img.Rect.Sub(origin)
	new(paint.Builder).Scene(c.job, scale, img.Rect).Compose(img)
	img.Rect = img.Rect.Add(origin)
	return img
}

func (c *card) Tapped(*fyne.PointEvent)        { c.onTapped() }
func (c *card) MouseIn(*desktop.MouseEvent)    { c.hovered = true; c.back.Refresh() }
func (c *card) MouseMoved(*desktop.MouseEvent) {}
func (c *card) MouseOut()                      { c.hovered = false; c.back.Refresh() }
func (c *card) FocusGained()                   { c.focused = true; c.back.Refresh() }
func (c *card) FocusLost()                     { c.focused = false; c.back.Refresh() }
func (c *card) TypedRune(rune)                 {}
func (c *card) TypedKey(k *fyne.KeyEvent) {
	switch k.Name {
	case fyne.KeySpace, fyne.KeyReturn, fyne.KeyEnter:
		c.onTapped()
	}
}

func (c *card) CreateRenderer() fyne.WidgetRenderer { return &cardRenderer{c} }

type cardRenderer struct{ c *card }

func (r *cardRenderer) MinSize() fyne.Size { return fyne.NewSize(minCard(), 200) }
func (r *cardRenderer) Layout(size fyne.Size) {
	c := r.c
	c.back.Resize(size)
	c.picture.Move(fyne.NewPos(10, 10))
	c.picture.Resize(fyne.NewSize(size.Width-20, 104))
	c.name.Move(fyne.NewPos(12, 120))
	c.name.Resize(fyne.NewSize(size.Width-24, 22))
	c.line.Move(fyne.NewPos(12, 144))
	c.line.Resize(fyne.NewSize(size.Width-24, size.Height-150))
}
func (r *cardRenderer) Refresh() {
	for _, o := range r.Objects() {
		o.Refresh()
	}
}
func (r *cardRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.c.back, r.c.picture, r.c.name, r.c.line}
}
func (r *cardRenderer) Destroy() {}
