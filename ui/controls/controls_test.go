package controls

import (
	"image/color"
	"math"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"

	"abut/ui/theme"
)

func setUp(t *testing.T) {
	t.Helper()
	test.NewTempApp(t).Settings().SetTheme(&theme.Theme{Mode: theme.AlwaysLight})
}

func TestPress_ByPointerAndKeyUnlessDisabled(t *testing.T) {
	setUp(t)
	n, other := 0, fyne.KeyName("")
	p := NewAction("open", "Open", "", func() { n++ })
	p.OnKey = func(k *fyne.KeyEvent) { other = k.Name }
	test.Tap(p)
	p.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	p.TypedKey(&fyne.KeyEvent{Name: fyne.KeySpace})
	p.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if n != 3 || other != fyne.KeyEscape {
		t.Errorf("pressed %d times, passed on %q", n, other)
	}
	p.Disable()
	test.Tap(p)
	p.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if n != 3 {
		t.Error("pressed while disabled")
	}
}

func TestMark_IsNoStopOfTab(t *testing.T) {
	setUp(t)
	a, m, b := NewAction("", "first", "", nil), NewMark("eye", "", nil), NewAction("", "second", "", nil)
	w := test.NewTempWindow(t, container.NewVBox(a, m, b))
	w.Canvas().FocusNext()
	w.Canvas().FocusNext()
	if got := w.Canvas().Focused(); got != b {
		t.Errorf("the second stop is %T", got)
	}
}

func TestPara_WrapsAndKeepsEveryWord(t *testing.T) {
	setUp(t)
	text := "Lettering reads backwards on the mat, and a-word-that-is-longer-than-any-line-could-be is broken."
	for _, width := range []float32{60, 140, 400, 2000} {
		p := NewPara(text, Text)
		p.Wrap(width)
		for _, line := range p.lines {
			if w := fyne.MeasureText(line, theme.Body, fyne.TextStyle{}).Width; w > width {
				t.Errorf("at %g a line is %g wide: %q", width, w, line)
			}
		}
		squeeze := func(s string) string { return strings.ReplaceAll(s, " ", "") }
		if got := squeeze(strings.Join(p.lines, "")); got != squeeze(text) {
			t.Errorf("at %g the text became %q", width, got)
		}
		if h := p.MinSize().Height; h != float32(len(p.lines))*lineHeight() {
			t.Errorf("at %g the height is %g for %d lines", width, h, len(p.lines))
		}
	}
}

// Lines of larger text are further apart.
func TestPara_IsAsOpenInLargerText(t *testing.T) {
	setUp(t)
	p := NewPara("Everything can be cut from 76.6 mm wide.", Text)
	p.Wrap(80)
	lines, was := len(p.lines), p.MinSize().Height
	theme.SetTextScale(1.3)
	defer theme.SetTextScale(1)
	if got, want := p.MinSize().Height, was*1.3; lines < 2 || math.Abs(float64(got-want)) > 0.01 {
		t.Errorf("%d lines, %g high, want %g", lines, got, want)
	}
}

func TestLine_IsCutShortWithAnEllipsis(t *testing.T) {
	setUp(t)
	l := NewLine("A name that is much too long for its row", Text)
	l.Shrinks = true
	w := test.NewTempWindow(t, l)
	w.Resize(fyne.NewSize(120, 40))
	shown := test.WidgetRenderer(l).(*lineRenderer).t
	if !strings.HasSuffix(shown.Text, "…") || shown.MinSize().Width > 120 {
		t.Errorf("shown: %q", shown.Text)
	}
	if l.Text() != "A name that is much too long for its row" {
		t.Error("the text itself was cut")
	}
}

func TestPanels_KeepTheirWidthAndFold(t *testing.T) {
	setUp(t)
	left, middle, right := NewFill(Surface), NewFill(Ground), NewFill(Surface)
	p := NewPanels(left, middle, right, 240, 260)
	w := test.NewTempWindow(t, p)
	w.SetPadded(false)
	for _, c := range []struct{ window, l, m, r float32 }{{1400, 240, 900, 260}, {1000, 240, 500, 260}, {720, 190, 320, 210}} {
		w.Resize(fyne.NewSize(c.window, 500))
		if l, m, r := left.Size().Width, middle.Size().Width, right.Size().Width; l != c.l || m != c.m || r != c.r {
			t.Errorf("a window of %g has columns of %g, %g, %g; want %g, %g, %g", c.window, l, m, r, c.l, c.m, c.r)
		}
	}
	w.Resize(fyne.NewSize(1000, 500))
	p.Fold(true, false)
	if right.Visible() || middle.Size().Width != 760 {
		t.Errorf("folded away, the middle is %g wide", middle.Size().Width)
	}
	told := float32(0)
	p.OnResized = func(l, _ float32) { told = l }
	p.grips[0].Dragged(&fyne.DragEvent{Dragged: fyne.Delta{DX: 30}})
	p.grips[0].DragEnd()
	if left.Size().Width != 270 || told != 270 {
		t.Errorf("dragged wider, the column is %g (told %g)", left.Size().Width, told)
	}
}

// A line without room falls to its smaller size, then says the short thing, and
// only then is cut short.
func TestLine_FallsBackBeforeItIsCutShort(t *testing.T) {
	test.NewTempApp(t).Settings().SetTheme(&theme.Theme{Mode: theme.AlwaysLight})
	l := NewLine("Mirrored, as they are cut", Text)
	l.TextSize, l.Smaller, l.Short, l.Shrinks = theme.Heading, theme.Body, "Mirrored", true
	w := test.NewTempWindow(t, l)
	w.SetPadded(false)
	shown := test.WidgetRenderer(l).Objects()[0].(*canvas.Text)
	large := fyne.MeasureText(l.Text(), theme.Heading, fyne.TextStyle{}).Width
	small := fyne.MeasureText(l.Text(), theme.Body, fyne.TextStyle{}).Width
	short := fyne.MeasureText(l.Short, theme.Body, fyne.TextStyle{}).Width
	for _, c := range []struct {
		width float32
		text  string
		size  float32
	}{{large + 1, l.Text(), theme.Heading}, {small + 1, l.Text(), theme.Body}, {short + 1, "Mirrored", theme.Body}, {large + 1, l.Text(), theme.Heading}} {
		l.Resize(fyne.NewSize(c.width, 30))
		if shown.Text != c.text || shown.TextSize != c.size {
			t.Errorf("in %g: %q at %g", c.width, shown.Text, shown.TextSize)
		}
	}
	l.Resize(fyne.NewSize(short-8, 30))
	if shown.Text == "Mirrored" || shown.MinSize().Width > short-8 {
		t.Errorf("%q in %g", shown.Text, short-8)
	}
}

// A row of tools that is too narrow gives up labels, one after the other, and
// says them as hints.
func TestToolRow_GivesLabelsUpInOrder(t *testing.T) {
	setUp(t)
	a, b, c := NewAction("open", "Open", "", nil), NewAction("save", "Save", "Save it", nil), NewAction("export", "Export", "", nil)
	full := a.MinSize().Width + b.MinSize().Width + c.MinSize().Width + 8
	row := container.New(&ToolRow{Gap: 4, Yield: []*Press{b, a}}, a, b, c)
	w := test.NewTempWindow(t, row)
	w.SetPadded(false)
	for _, step := range []struct {
		width float32
		icons string
	}{{full + 1, ""}, {full - 1, "b"}, {row.MinSize().Width + 1, "ba"}, {full + 1, ""}} {
		row.Resize(fyne.NewSize(step.width, 40))
		got := ""
		for i, p := range []*Press{b, a, c} {
			if p.iconOnly {
				got += string("bac"[i])
			}
		}
		if got != step.icons {
			t.Errorf("in %g of %g: %q are icons only, want %q", step.width, full, got, step.icons)
		}
		if end := c.Position().X + c.Size().Width; end > step.width {
			t.Errorf("in %g the last ends at %g", step.width, end)
		}
	}
	row.Resize(fyne.NewSize(row.MinSize().Width, 40))
	if a.hint() != "Open" || b.hint() != "Save it" {
		t.Errorf("hints %q, %q", a.hint(), b.hint())
	}
}

func TestLine_GoesOnInASecondLine(t *testing.T) {
	setUp(t)
	l := NewLine("Ready for one press: nothing stacks.", Text)
	l.Shrinks, l.Wraps = true, true
	w := test.NewTempWindow(t, l)
	w.SetPadded(false)
	o := test.WidgetRenderer(l).Objects()
	first, second := o[0].(*canvas.Text), o[1].(*canvas.Text)
	width := fyne.MeasureText(l.Text(), theme.Body, fyne.TextStyle{}).Width * 2 / 3
	l.Resize(fyne.NewSize(width, 40))
	if !second.Visible() || first.Text+" "+second.Text != l.Text() || first.MinSize().Width > width {
		t.Errorf("%q, %q", first.Text, second.Text)
	}
	l.Resize(fyne.NewSize(width, 24)) // too low for two
	if second.Visible() || !strings.HasSuffix(first.Text, "…") {
		t.Errorf("%q, %q", first.Text, second.Text)
	}
	l.Resize(fyne.NewSize(width*2, 40))
	if second.Visible() || first.Text != l.Text() {
		t.Errorf("%q, %q", first.Text, second.Text)
	}
}

// What scrolls away beneath the pointer is not rested on any more, until the pointer moves on it.
func TestScroll_TakesThePointerOffWhatMoves(t *testing.T) {
	test.NewTempApp(t)
	p := NewAction("", "Merge", "", func() {})
	var rests []bool
	p.OnRest = func(on bool) { rests = append(rests, on) }
	tall := canvas.NewRectangle(color.Black)
	tall.SetMinSize(fyne.NewSize(10, 900))
	s := NewScroll(container.NewVBox(p, tall))
	w := test.NewTempWindow(t, s)
	w.Resize(fyne.NewSize(200, 200))
	p.MouseIn(&desktop.MouseEvent{})
	s.Scrolled(&fyne.ScrollEvent{Scrolled: fyne.NewDelta(0, -30)})
	s.Scrolled(&fyne.ScrollEvent{Scrolled: fyne.NewDelta(0, -30)})
	p.MouseMoved(&desktop.MouseEvent{})
	p.MouseMoved(&desktop.MouseEvent{})
	if want := []bool{true, false, true}; !slices.Equal(rests, want) {
		t.Errorf("rested on: %v, want %v", rests, want)
	}
	p.MouseOut()
}
