package manual

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/internal/words"
	"abut/ui/controls"
	"abut/ui/theme"
)

// Options are what the surroundings provide.
type Options struct {
	// OnClosed is told that the window is gone, OnTrouble what could not be shown.
	OnClosed  func()
	OnTrouble func(error)
	// Shown is told of the window once it is on screen; nil tells nobody.
	Shown func(fyne.Window)
}

// Manual is the window of the guide: on the left its pages and their sections, on the
// right one section.
type Manual struct {
	options Options
	win     fyne.Window
	pages   []*page
	at      place
	// entries are the sections on the left.
	entries map[place]*controls.Press
	list    *container.Scroll
	column  *fyne.Container
	scroll  *container.Scroll
	// line is how wide lines are now.
	line float32
}

// lineWide is how wide lines are: some ninety letters, as far as one reads with ease.
// listWide is the list of sections. With larger letters both grow as far as the window
// still lies on a screen of 1024.
const (
	lineWide = 620
	listWide = 284
	aside    = 56 // beside the lines
	mostWide = 1000
)

// widths returns how wide the list and the lines are.
func widths() (list, line float32) {
	list = min(theme.Scaled(listWide), 340)
	return list, min(theme.Scaled(lineWide), mostWide-list-aside)
}

// Open shows the guide at a heading, as find names it, or at its beginning.
func Open(link string, o Options) *Manual {
	m := &Manual{options: o, entries: map[place]*controls.Press{}}
	var err error
	if m.pages, err = open(words.Chosen().Tag()); err != nil {
		m.trouble(err)
	}
	m.win = fyne.CurrentApp().NewWindow(words.Say("manual-menu"))
	m.win.SetPadded(false)
	contents := container.New(&controls.Stack{Gap: 2})
	for i, p := range m.pages {
		for k, s := range p.sections {
			if k == 0 && i > 0 {
				contents.Add(controls.NewLine("", controls.Text))
			}
			e := controls.NewAction("", s.title, "", func() { m.goTo(place{i, k}) })
			e.Fills, e.Height = true, theme.Scaled(30)
			e.Heading = k == 0
			m.entries[place{i, k}] = e
			contents.Add(e)
		}
	}
	m.list = controls.NewScroll(container.New(&controls.Inset{X: 8, Y: 12}, contents))
	m.column = container.NewVBox()
	list, line := widths()
	m.line = line
	m.scroll = controls.NewScroll(container.New(&column{wide: line, reset: m.reset}, m.column))
	m.win.SetContent(controls.NewDock(nil, nil, container.New(&tall{list}, container.NewStack(controls.NewFill(controls.Ground), m.list)), nil, m.scroll))
	m.win.Canvas().SetOnTypedKey(m.key)
	m.win.SetOnClosed(func() {
		if o.OnClosed != nil {
			o.OnClosed()
		}
	})
	m.win.Resize(fyne.NewSize(list+line+aside+20, 660))
	m.Show(link)
	m.win.Show()
	if o.Shown != nil {
		o.Shown(m.win)
	}
	return m
}

// Show goes to a heading and brings the window to the front.
func (m *Manual) Show(link string) {
	at, _ := find(m.pages, -1, link)
	m.goTo(at)
	m.win.RequestFocus()
}

// Close closes the window.
func (m *Manual) Close() { m.win.Close() }

// Title returns the heading that is shown.
func (m *Manual) Title() string { return m.section().title }

func (m *Manual) section() section {
	if m.at.page >= len(m.pages) {
		return section{}
	}
	return m.pages[m.at.page].sections[m.at.section]
}

// goTo shows a section.
func (m *Manual) goTo(to place) {
	if to.page >= len(m.pages) {
		return
	}
	m.at = to
	p, s := m.pages[to.page], m.section()
	m.win.SetTitle(words.Say("manual-title", "section", m.Title()))
	for at, e := range m.entries {
		e.SetOn(at == to)
	}
	if y, high := m.entries[to].Position().Y, m.list.Size().Height; y < m.list.Offset.Y || y > m.list.Offset.Y+high-80 {
		m.list.ScrollToOffset(fyne.NewPos(0, y-high/3))
	}
	set := &setter{source: p.source, wide: m.line, lead: func(link string) func() {
		at, ok := find(m.pages, to.page, link)
		if !ok {
			return nil
		}
		return func() { m.goTo(at) }
	}}
	objects, err := set.set(s.nodes)
	if err != nil {
		m.trouble(err)
	}
	head := controls.NewLine(s.title, controls.Text)
	head.TextSize, head.Bold, head.Shrinks = theme.Title, true, true
	m.column.Objects = nil
	if to.section > 0 {
		m.column.Add(inset(controls.NewCaption(p.title)))
	}
	m.column.Add(inset(head))
	m.column.Objects = append(m.column.Objects, objects...)
	m.column.Add(inset(m.turns()))
	m.column.Refresh()
	m.scroll.ScrollToTop()
	m.scroll.Refresh()
}

// turns are the ways to the section before and the one that follows.
func (m *Manual) turns() fyne.CanvasObject {
	row := container.NewHBox()
	for _, by := range []int{-1, 1} {
		to := m.next(by)
		if to == m.at {
			continue
		}
		s := m.pages[to.page].sections[to.section]
		text := "‹ " + s.title
		if by > 0 {
			text = s.title + " ›"
		}
		b := controls.NewFramed("", text, "", func() { m.goTo(to) })
		row.Add(b)
	}
	return row
}

// next returns the section so many further, over the ends of pages; at either end of
// all it stays.
func (m *Manual) next(by int) place {
	to := place{m.at.page, m.at.section + by}
	switch {
	case to.section < 0 && to.page > 0:
		to.page--
		to.section = len(m.pages[to.page].sections) - 1
	case to.section < 0:
		return m.at
	case to.section >= len(m.pages[to.page].sections) && to.page+1 < len(m.pages):
		return place{to.page + 1, 0}
	case to.section >= len(m.pages[to.page].sections):
		return m.at
	}
	return to
}

// key reads and turns by keys.
func (m *Manual) key(k *fyne.KeyEvent) {
	page := m.scroll.Size().Height * 0.85
	switch k.Name {
	case fyne.KeyEscape:
		m.Close()
	case fyne.KeyLeft:
		m.goTo(m.next(-1))
	case fyne.KeyRight:
		m.goTo(m.next(1))
	case fyne.KeyUp:
		m.roll(-60)
	case fyne.KeyDown:
		m.roll(60)
	case fyne.KeyPageUp:
		m.roll(-page)
	case fyne.KeyPageDown, fyne.KeySpace:
		m.roll(page)
	case fyne.KeyHome:
		m.scroll.ScrollToTop()
	case fyne.KeyEnd:
		m.scroll.ScrollToBottom()
	}
}

func (m *Manual) roll(by float32) { m.scroll.ScrollToOffset(m.scroll.Offset.AddXY(0, by)) }

func (m *Manual) trouble(err error) {
	if m.options.OnTrouble != nil {
		m.options.OnTrouble(err)
	}
}

// reset sets the section anew in lines of another width, for a window of another width.
func (m *Manual) reset(line float32) {
	if m.line != line {
		m.line = line
		m.goTo(m.at)
	}
}

// column is a layout of one object that is as wide as lines are, with room around it.
// In a narrow window lines are narrower: reset is told of their width, and changes
// what is laid out.
type column struct {
	wide  float32
	reset func(line float32)
}

// narrowest is the least width of lines.
const narrowest = 280

func (c *column) MinSize(o []fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(narrowest+aside, o[0].MinSize().Height+44)
}

func (c *column) Layout(o []fyne.CanvasObject, size fyne.Size) {
	line := min(c.wide, max(size.Width-aside, narrowest))
	c.reset(line)
	o[0].Move(fyne.NewPos(max(aside/2, (size.Width-line)/2), 20))
	o[0].Resize(fyne.NewSize(line, size.Height-44))
}

// tall is a layout of a given width, as high as there is room.
type tall struct{ wide float32 }

func (l *tall) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(l.wide, 100) }

func (*tall) Layout(o []fyne.CanvasObject, size fyne.Size) {
	for _, c := range o {
		c.Move(fyne.Position{})
		c.Resize(size)
	}
}
