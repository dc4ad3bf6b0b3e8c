// Package start is the page before any art: where to drop a picture, a way to
// open one, the program's own to try, and the work of last time.
package start

import (
	"image"
	"image/color"
	"os"
	"path/filepath"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"

	"abut/assets"
	"abut/geometry"
	"abut/internal/session"
	"abut/internal/words"
	"abut/ui/controls"
	"abut/ui/paint"
	"abut/ui/theme"
)

// Actions are what can be done from the page.
type Actions struct {
	// Open asks for a file; Empty begins with an empty blank.
	Open, Empty func()
	// Demo opens one of the program's own pictures, Recent a file.
	Demo   func(assets.Demo)
	Recent func(path string)
	// Recover opens work that was left behind, Forget drops it.
	Recover, Forget func(session.Lost)
	// Walk begins the walk for newcomers, NoWalk no longer offers it.
	Walk, NoWalk func()
	// Drawn is told that the page is being drawn.
	Drawn func()
}

// Page is the page.
type Page struct {
	Object fyne.CanvasObject

	do   Actions
	page *fyne.Container
	lost *fyne.Container
	// welcome offers the walk.
	welcome *fyne.Container
	recent  *fyne.Container
	files   *fyne.Container
}

// New returns the page without files and without work that was left behind.
func New(do Actions) *Page {
	s := &Page{do: do}
	zone := canvas.NewRaster(func(w, h int) image.Image {
		do.Drawn()
		return dropZone(w, h)
	})
	icon := controls.NewIcon(56, func() string { return "drop" }, func() color.NRGBA { return theme.Current().Accent })
	head := controls.NewLine(words.Say("ui-start-drop"), controls.Text)
	head.TextSize, head.Bold, head.Align = theme.Title, true, fyne.TextAlignCenter
	quiet := controls.NewPara(words.Say("ui-start-kinds"), controls.Quiet)
	quiet.Centred = true
	button := controls.NewAction("open", words.Say("ui-start-open"), "", do.Open)
	button.Next = true
	empty := controls.NewAction("blank", words.Say("ui-start-empty"), words.Say("ui-start-empty-hint"), do.Empty)
	empty.Framed = true
	inner := container.New(&controls.Stack{Gap: 10}, container.NewCenter(icon), head, quiet, container.NewCenter(container.NewHBox(button, empty)))
	drop := container.NewStack(zone, container.New(&controls.Inset{X: 24, Y: 16}, inner))

	row := container.New(&cardRow{gap: 12, rowHeight: 254})
	for _, d := range assets.Demos() {
		row.Add(newCard(d, func() { do.Demo(d) }))
	}
	s.welcome = newWelcome(do)
	title := container.New(&controls.Ends{Gap: 8}, controls.NewHeading(words.Say("ui-start-demos")), s.welcome)
	s.lost = container.New(&controls.Stack{Gap: 8})
	s.lost.Hide()
	s.files = container.New(&controls.Flow{Gap: 8})
	s.recent = container.New(&controls.Stack{Gap: 8}, controls.NewHeading(words.Say("ui-start-recent")), s.files)
	s.recent.Hide()
	s.page = container.New(&controls.Stack{Gap: 16}, s.lost, drop, s.recent, title, row)
	s.Object = container.NewStack(controls.NewFill(controls.Ground), controls.NewScroll(container.New(&middle{width: 1120, room: 24}, s.page)))
	return s
}

// newWelcome offers newcomers a walk through one of the pictures.
func newWelcome(do Actions) *fyne.Container {
	walk := controls.NewFramed("help", words.Say("walk-begin"), words.Say("walk-begin-hint"), do.Walk)
	not := controls.NewAction("", words.Say("walk-not-now"), "", do.NoWalk)
	not.Height, not.Tone = 32, controls.Quiet
	return container.NewHBox(container.NewCenter(controls.NewLine(words.Say("walk-offer"), controls.Quiet)), walk, not)
}

// SetWelcome offers the walk for newcomers, or no longer does.
func (s *Page) SetWelcome(on bool) {
	if s.welcome.Hidden == on {
		s.welcome.Hidden = !on
		s.refresh()
	}
}

// lostShown is how many rescued works are shown before the others are asked for: so many
// leave room for what else can be done in the smallest window.
const lostShown = 2

// SetLost offers work that was left behind by a process that was killed, the newest first.
func (s *Page) SetLost(list []session.Lost) { s.setLost(list, lostShown) }

func (s *Page) setLost(list []session.Lost, shown int) {
	s.lost.RemoveAll()
	s.lost.Hidden = len(list) == 0
	for _, l := range list[:min(len(list), shown)] {
		text := container.New(&controls.Stack{Gap: 2},
			controls.NewPara(words.Say("ui-lost", "file", l.Name, "time", words.Time(l.Time)), controls.Text),
			controls.NewPara(words.Say("ui-lost-why"), controls.Quiet))
		open := controls.NewAction("undo", words.Say("ui-lost-open"), "", func() { s.do.Recover(l) })
		open.Next = true
		forget := controls.NewAction("", words.Say("ui-lost-forget"), words.Say("ui-lost-forget-hint"), func() { s.do.Forget(l) })
		forget.Framed = true
		row := controls.NewDock(nil, nil, nil, container.NewCenter(container.NewHBox(forget, open)), text)
		s.lost.Add(container.NewStack(controls.NewCard(controls.Surface, controls.Rule), container.New(&controls.Inset{X: 16, Y: 10}, row)))
	}
	if more := len(list) - shown; more > 0 {
		all := controls.NewAction("", words.Say("ui-lost-more", "count", more), "", func() { s.setLost(list, len(list)) })
		all.Framed = true
		s.lost.Add(container.NewHBox(all))
	}
	s.refresh()
}

// SetRecent lists the files that were open last; those that are gone cannot be
// pressed.
func (s *Page) SetRecent(paths []string) {
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
			name, hint = words.Say("ui-start-missing", "file", name), words.Say("ui-start-missing-hint", "path", path)
		}
		b := controls.NewAction(icon, name, hint, func() { s.do.Recent(path) })
		b.Framed, b.IconSide = true, 20
		b.SetEnabled(err == nil)
		s.files.Add(b)
	}
	s.refresh()
}

func (s *Page) refresh() {
	s.page.Refresh()
	s.Object.Refresh()
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
