package window

import (
	"fmt"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/test"

	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/session"
	"abut/internal/words"
	"abut/ui/board"
	"abut/ui/controls"
	"abut/ui/inspect"
	"abut/ui/layers"
	"abut/ui/theme"
)

// box is a rectangle on screen in units.
type box struct{ x0, y0, x1, y1 float32 }

func (b box) and(o box) box {
	return box{max(b.x0, o.x0), max(b.y0, o.y0), min(b.x1, o.x1), min(b.y1, o.y1)}
}

func boxOf(at fyne.Position, s fyne.Size) box {
	return box{at.X, at.Y, at.X + s.Width, at.Y + s.Height}
}

// mark is something on screen that must be seen whole: words or an icon.
type mark struct {
	name string
	box  box
}

// untidy walks what is on screen and names what is cut off, shortened although
// it is no name of the user's, or lies over something else.
type untidy struct {
	window box
	marks  []mark
	out    []string
	seen   map[string]bool
	// names are where names of the user's stand, which may be shortened.
	names map[fyne.CanvasObject]bool
}

func (u *untidy) say(format string, args ...any) {
	s := fmt.Sprintf(format, args...)
	if !u.seen[s] {
		u.seen[s] = true
		u.out = append(u.out, s)
	}
}

// slack is what rounding to whole pixels may take, in units.
const slack = 1

// walk looks at an object whose parent lies at a place. clip is what can be
// seen there; names: what is written there is the user's and may be shortened;
// free: it may be scrolled into view from above or below.
func (u *untidy) walk(o fyne.CanvasObject, at fyne.Position, clip box, names, free bool) {
	if !o.Visible() {
		return
	}
	at = at.Add(o.Position())
	here := boxOf(at, o.Size())
	switch o := o.(type) {
	case *board.Board:
		return // art, and numbers that make room for each other
	case *inspect.Field:
		u.number(o.Text, here)
		return
	case interface{ SelectedText() string }:
		return // words may be longer than an entry, which moves along them
	case *layers.List:
		names = true
	case *controls.Line:
		u.whole(o, names, o.Text(), o.Short)
	case *controls.Press:
		u.whole(o, names, o.Label, "")
	case *fyne.Container:
		names = names || u.names[o]
		for _, c := range o.Objects {
			u.walk(c, at, clip, names, free)
		}
		return
	case *container.Scroll:
		clip = clip.and(here)
		free = true
	case *canvas.Text:
		u.text(o, at, here, clip, free)
	case *canvas.Raster:
		if s := o.Size(); s.Width <= 48 && s.Height <= 48 {
			u.mark(fmt.Sprintf("the icon at %.0f, %.0f", at.X, at.Y), here, clip, free)
		}
	}
	if w, ok := o.(fyne.Widget); ok {
		for _, c := range test.WidgetRenderer(w).Objects() {
			u.walk(c, at, clip, names, free)
		}
	}
}

// whole looks whether the words of something are all shown, or a short form of them; names
// may be shortened, and where nothing is written nothing is.
func (u *untidy) whole(o fyne.Widget, names bool, text, short string) {
	said := ""
	for _, c := range test.WidgetRenderer(o).Objects() {
		if t, ok := c.(*canvas.Text); ok && t.Visible() {
			said = strings.TrimSpace(said + " " + t.Text)
		}
	}
	if _, press := o.(*controls.Press); press && said == "" {
		return // an icon
	}
	if said != text && said != short && !names {
		u.say("%q is shortened to %q", text, said)
	}
}

// text looks at a line of letters, which must have room.
func (u *untidy) text(o *canvas.Text, at fyne.Position, here, clip box, free bool) {
	if o.Text == "" {
		return
	}
	m := o.MinSize()
	w := boxOf(at, m)
	switch o.Alignment {
	case fyne.TextAlignTrailing:
		w.x0, w.x1 = here.x1-m.Width, here.x1
	case fyne.TextAlignCenter:
		w.x0 = (here.x0 + here.x1 - m.Width) / 2
		w.x1 = w.x0 + m.Width
	}
	if m.Width > o.Size().Width+slack {
		u.say("%q is %.0f wide in a box of %.0f", o.Text, m.Width, o.Size().Width)
	}
	u.mark(fmt.Sprintf("%q", o.Text), w, clip, free)
}

// number looks at an entry for a number, which must be seen whole.
func (u *untidy) number(text string, here box) {
	const pads = 12
	if w := fyne.MeasureText(text, theme.Body, fyne.TextStyle{}).Width; w > here.x1-here.x0-pads {
		u.say("an entry of %.0f cuts %q off", here.x1-here.x0, text)
	}
}

func (u *untidy) mark(name string, b, clip box, free bool) {
	seen := b.and(clip)
	if free && (b.y1 < clip.y0+slack || b.y0 > clip.y1-slack) {
		return // scrolled out of view
	}
	if seen.x1-seen.x0 < b.x1-b.x0-slack || !free && seen.y1-seen.y0 < b.y1-b.y0-slack {
		u.say("%s is cut off: it reaches from %.0f, %.0f to %.0f, %.0f and is seen from %.0f, %.0f to %.0f, %.0f",
			name, b.x0, b.y0, b.x1, b.y1, seen.x0, seen.y0, seen.x1, seen.y1)
	}
	// Letters do not fill their line.
	b.y0, b.y1 = b.y0+3, b.y1-3
	b = b.and(clip)
	for _, m := range u.marks {
		if o := b.and(m.box); o.x1-o.x0 > slack && o.y1-o.y0 > slack {
			u.say("%s lies over %s", name, m.name)
		}
	}
	u.marks = append(u.marks, mark{name, b})
}

// untidy returns what is wrong with what is on screen.
func (s *stage) untidy() []string {
	s.look()
	size := s.win.Canvas().Size()
	u := &untidy{window: boxOf(fyne.Position{}, size), seen: map[string]bool{}}
	if s.Window != nil {
		u.names = map[fyne.CanvasObject]bool{}
		for _, o := range s.details.Named() {
			u.names[o] = true
		}
	}
	root := s.win.Canvas().Content()
	if top := s.win.Canvas().Overlays().Top(); top != nil {
		root = top
	}
	u.walk(root, fyne.Position{}, u.window, false, false)
	if len(u.marks) < 3 {
		u.say("only %d things are on screen", len(u.marks))
	}
	return u.out
}

func TestUntidy_FindsWhatIsWrong(t *testing.T) {
	use(theme.AlwaysLight)
	long := controls.NewLine("These words are longer than their box", controls.Text)
	long.Shrinks = true
	over, under := controls.NewLine("over", controls.Text), controls.NewLine("under", controls.Text)
	beyond := controls.NewLine("beyond", controls.Text)
	box := container.NewWithoutLayout(long, under, over, beyond, controls.NewLine("far below", controls.Text))
	w := test.NewTempWindow(t, box)
	w.SetPadded(false)
	w.Resize(fyne.NewSize(300, 200))
	for i, o := range box.Objects {
		o.Resize(fyne.NewSize(100, o.MinSize().Height))
		o.Move(fyne.NewPos(10, float32(10+40*i)))
	}
	over.Move(under.Position().AddXY(12, 4))
	beyond.Move(fyne.NewPos(280, 130))
	box.Objects[4].Move(fyne.NewPos(10, 190))
	got := strings.Join((&stage{t: t, win: w}).untidy(), "\n")
	for _, want := range []string{`"These words are longer than their box" is shortened`, `"over" lies over "under"`, `"beyond" is cut off`, `"far below" is cut off`} {
		if !strings.Contains(got, want) {
			t.Errorf("not found: %s, in\n%s", want, got)
		}
	}
}

// Nothing on screen is cut off, shortened or lies over something else: every
// view and dialog at three sizes, in every language, and with the largest type.
func TestWindow_EverythingHasRoom(t *testing.T) {
	for _, size := range []struct {
		name        string
		size        fyne.Size
		scale, text float32
	}{
		{"1024x700", fyne.NewSize(1024, 673), 1, 1}, {"1440x900", fyne.NewSize(1440, 873), 1, 1}, {"2x", fyne.NewSize(1200, 750), 2, 1},
		{"1024x700 in large type", fyne.NewSize(1024, 673), 1, 1.3},
	} {
		for _, lang := range words.Languages() {
			t.Run(size.name+"-"+lang.Tag, func(t *testing.T) {
				if testing.Short() && size.name != "1024x700" {
					t.Skip("the smallest is the tightest")
				}
				asUsual(t)
				words.Use(words.For(lang.Tag))
				theme.SetTextScale(size.text)
				s := newStage(t, size.size, theme.AlwaysLight)
				s.win.Canvas().(interface{ SetScale(float32) }).SetScale(size.scale)
				everyState(s, func(state string) {
					t.Helper()
					s.settle()
					for _, o := range s.untidy() {
						t.Errorf("%s: %s", state, o)
					}
				})
			})
		}
	}
}

// everyState shows one state of the window after the other.
func everyState(s *stage, look func(state string)) {
	look("start")
	s.demo("pair")
	look("pair stacked")
	s.session.Select([]job.LayerID{3})
	look("one selected")
	s.run("use-drawn")
	look("one drawn")
	s.session.SetLocked([]job.LayerID{2}, true)
	look("one locked")
	s.selectAll()
	look("all selected")
	s.session.Close()
	s.demo("rich")
	look("rich stacked")
	s.knockOut()
	for m := board.Art; m <= board.Assembly; m++ {
		s.showView(m)
		look(fmt.Sprint("view ", m))
	}
	s.showView(board.Art)
	s.run("add")
	look("add")
	s.win.Canvas().Overlays().Top().Hide()
	for _, d := range []struct {
		name string
		show func()
	}{
		{"keys", s.ask.Keys}, {"steps", s.ask.History}, {"about", s.ask.About}, {"blank", s.ask.Blank}, {"save", func() { s.run("save-as") }},
		{"export", s.ask.Export}, {"size", s.ask.Size}, {"drawer", s.sheets.Drawer}, {"colours", s.sheets.Colours}, {"fewer", s.sheets.Fewer}, {"screen", s.ask.Screen},
		{"settings", s.ask.Settings}, {"base", s.ask.Base}, {"colour", s.ask.Colour}, {"mark cut", s.sheets.MarkCut},
	} {
		d.show()
		look(d.name)
		s.desk.Clear()
	}
	s.session.Select([]job.LayerID{1})
	s.ask.Name()
	look("name")
	s.desk.Clear()
	s.leaving(func() {})
	look("leaving")
	s.desk.Clear()
	s.verdict.Work(&session.Task{What: message.Message{ID: "ui-task-open", Args: map[string]string{"file": "harbour.svg"}}}, s.state)
	look("working")
	s.verdict.Work(nil, s.state)
}
