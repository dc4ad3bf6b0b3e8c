package class

import (
	"fmt"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	toolkit "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"abut/internal/words"
	"abut/ui/controls"
	"abut/ui/theme"
)

// teacher is a second window for whoever teaches: what the class sees, what to say,
// what comes next, and the time.
type teacher struct {
	c    *Class
	win  fyne.Window
	seen *screen
	// now is the sentence that the class reads.
	now, notes, next *widget.Label
	words            *fyne.Container
	clock            *controls.Line
	timer            *time.Timer
}

// Teach opens the teacher's screen, or closes it when it is open.
func (c *Class) Teach() {
	if c.teacher != nil {
		c.teacher.win.Close()
		return
	}
	t := &teacher{
		c: c, now: newText(), notes: newText(), next: newText(), clock: controls.NewLine("", controls.Text),
	}
	t.now.TextStyle.Bold = true
	t.clock.TextSize = theme.Title
	c.teacher = t
	t.seen = c.newScreen()
	t.seen.aside = true
	t.win = fyne.CurrentApp().NewWindow(say("class-teacher"))
	picture := container.NewGridWrap(fyne.NewSize(480, 270), t.seen)
	head := func(id string) fyne.CanvasObject { // over its text, which keeps this distance
		return container.New(&controls.Inset{X: toolkit.InnerPadding()}, controls.NewCaption(say(id)))
	}
	t.words = container.NewVBox(
		head("class-seen"), t.now, controls.NewRule(),
		head("class-say"), t.notes, controls.NewRule(),
		head("class-next"), t.next)
	left := container.New(&controls.Stack{Gap: 12}, picture, t.clock, controls.NewPara(say("class-teacher-keys"), controls.Quiet))
	t.win.SetContent(container.New(&controls.Inset{X: 16, Y: 16}, controls.NewDock(nil, nil, left, nil, container.New(&controls.Inset{X: 16}, controls.NewScroll(t.words)))))
	t.win.SetOnClosed(t.closed)
	c.listen(t.win)
	t.win.Resize(fyne.NewSize(1000, 560))
	t.show()
	t.tick()
	t.win.Show()
	if c.options.Shown != nil {
		c.options.Shown(t.win)
	}
}

// newText is text as large as titles, for whoever stands beside the screen.
func newText() *widget.Label {
	l := widget.NewLabel("")
	l.Wrapping, l.SizeName = fyne.TextWrapWord, toolkit.SizeNameHeadingText
	return l
}

func (t *teacher) closed() {
	if t.timer != nil {
		t.timer.Stop()
	}
	t.c.teacher = nil
	t.c.forget(t.seen)
}

// show says what is shown now, and what comes next.
func (t *teacher) show() {
	c, w := t.c, words.Chosen()
	t.now.SetText(fmt.Sprintf("%d. %s", c.at+1, w.Message(c.step().Sentence)))
	t.notes.SetText(w.Message(c.step().Notes))
	next := say("class-last")
	if c.at+1 < len(c.show.Steps) {
		next = fmt.Sprintf("%d. %s", c.at+2, w.Message(c.show.Steps[c.at+1].Sentence))
	}
	t.next.SetText(next)
	t.words.Refresh() // their heights are others now
}

// tick says what time it is, and how long the class has been going on.
func (t *teacher) tick() {
	now := time.Now()
	since := int(now.Sub(t.c.began).Seconds())
	t.clock.SetText(say("class-clock", "time", now.Format("15:04"), "minutes", fmt.Sprint(since/60), "seconds", fmt.Sprintf("%02d", since%60)))
	if deliver := t.c.options.Deliver; deliver != nil {
		t.timer = time.AfterFunc(time.Second, func() {
			deliver(func() {
				if t.c.teacher == t {
					t.tick()
				}
			})
		})
	}
}
