package window

import (
	"cmp"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/test"

	"abut/geometry"
	"abut/internal/job"
	"abut/internal/session"
	"abut/ui/controls"
	"abut/ui/inspect"
)

// field returns a field of Details by its name: the one of that name that comes
// n-th, the first being 0. The picture's own width and height are before those of
// what is selected.
func (s *stage) field(id string, n int) *inspect.Field {
	s.t.Helper()
	var found []*inspect.Field
	down := map[*inspect.Field]float32{} // the toolkit knows places in its newest window only
	var look func(o fyne.CanvasObject, y float32) (names []string, fields []*inspect.Field)
	look = func(o fyne.CanvasObject, y float32) (names []string, fields []*inspect.Field) {
		if !o.Visible() {
			return nil, nil
		}
		y += o.Position().Y
		switch o := o.(type) {
		case *inspect.Field:
			down[o] = y
			return nil, []*inspect.Field{o}
		case *controls.Line:
			return []string{o.Text()}, nil
		case *container.Scroll:
			return look(o.Content, y)
		case *fyne.Container:
			for _, x := range o.Objects {
				a, b := look(x, y)
				names, fields = append(names, a...), append(fields, b...)
			}
			if len(fields) == 1 && len(names) > 0 {
				for _, name := range names {
					if name == say(id) {
						found = append(found, fields[0])
						return nil, nil // it has its name
					}
				}
			}
		}
		return names, fields
	}
	look(s.details.Object, 0)
	slices.SortStableFunc(found, func(a, b *inspect.Field) int { return cmp.Compare(down[a], down[b]) })
	if n >= len(found) {
		s.t.Fatalf("Details have %d fields called %q", len(found), say(id))
	}
	return found[n]
}

// tool returns a command's press in the bar above all.
func (s *stage) tool(id string) *controls.Press {
	s.t.Helper()
	c := s.commands.Get(id)
	label := c.Tool
	if label == "" {
		label = c.Label
	}
	for _, o := range s.tools.row.Objects {
		if p, is := o.(*controls.Press); is && p.Label == say(label) {
			return p
		}
	}
	s.t.Fatalf("no tool is called %q", say(label))
	return nil
}

// inDetails returns the widgets of a kind that are to be seen in Details.
func inDetails[T fyne.CanvasObject](s *stage) (out []T) {
	var look func(fyne.CanvasObject)
	look = func(o fyne.CanvasObject) {
		if !o.Visible() {
			return
		}
		if x, is := o.(T); is {
			out = append(out, x)
		}
		switch o := o.(type) {
		case *container.Scroll:
			look(o.Content)
		case *fyne.Container:
			for _, x := range o.Objects {
				look(x)
			}
		}
	}
	look(s.details.Object)
	return out
}

// lettering returns the entry of the selected text's words.
func (s *stage) lettering() *inspect.Lines {
	s.t.Helper()
	list := inDetails[*inspect.Lines](s)
	if len(list) != 1 {
		s.t.Fatalf("Details have %d entries for words", len(list))
	}
	return list[0]
}

// chosenWord reports whether a word of a switch in Details is the chosen one.
func (s *stage) chosenWord(id string) bool {
	for _, c := range inDetails[*controls.Choice](s) {
		for i, o := range test.LaidOutObjects(c) {
			if p, is := o.(*controls.Press); is && p.Label == say(id) && p.On {
				return i > 0
			}
		}
	}
	return false
}

// box returns a box to tick in Details.
func (s *stage) box(label string) *controls.Check {
	s.t.Helper()
	for _, c := range inDetails[*controls.Check](s) {
		if c.Text == label {
			return c
		}
	}
	s.t.Fatalf("Details have no box %q", label)
	return nil
}

func (s *stage) tickIn(label string, on bool) { s.box(label).SetChecked(on); s.settle() }

func (s *stage) ticked(label string) bool { return s.box(label).Checked }

// choose presses one of the words of a switch in Details.
func (s *stage) choose(id string) {
	s.t.Helper()
	for _, c := range inDetails[*controls.Choice](s) {
		for _, p := range test.LaidOutObjects(c) {
			if p, is := p.(*controls.Press); is && p.Label == say(id) {
				p.Tapped(nil)
				s.settle()
				return
			}
		}
	}
	s.t.Fatalf("no switch has %q", say(id))
}

// said reports whether a text is to be read in Details.
func (s *stage) said(text string) bool {
	for _, p := range inDetails[*controls.Para](s) {
		if strings.Contains(p.Text(), text) {
			return true
		}
	}
	for _, l := range inDetails[*controls.Line](s) {
		if strings.Contains(l.Text(), text) {
			return true
		}
	}
	return false
}

// move moves the selection, as one step.
func (s *stage) move(dx, dy float64) {
	s.session.Tried("ui-step-move", session.Moving(s.session.Selection(), dx, dy))
}

// do makes an edit a step.
func (s *stage) do(label string, edit func(job.Job) (job.Job, error)) { s.session.Tried(label, edit) }

// shown returns where the selection is to be seen.
func (s *stage) shown() geometry.Rect { return job.BoundsOf(s.session.Shown(), s.session.Selection()) }

// enter types a number into a field.
func (s *stage) enter(f *inspect.Field, text string) {
	s.t.Helper()
	f.SetText(text)
	f.OnSubmitted("")
	s.settle()
}
