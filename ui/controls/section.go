package controls

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
)

// Section is a part of a panel under a heading that folds it away and back,
// with a rule below it.
type Section struct {
	// Object is what the panel shows.
	Object *fyne.Container
	// OnFolded is told when the user folds or unfolds it.
	OnFolded func(folded bool)

	head   *Press
	body   *fyne.Container
	folded bool
}

// NewSection returns an unfolded section. hint is what pressing the heading
// does.
func NewSection(title, hint string, body ...fyne.CanvasObject) *Section {
	s := &Section{body: container.New(&Stack{Gap: 8}, body...)}
	s.head = newPress("unfolded", title, hint, 16, 32, func() {
		s.Fold(!s.folded)
		if s.OnFolded != nil {
			s.OnFolded(s.folded)
		}
	})
	s.head.Heading = true
	s.Object = container.New(&Stack{Gap: 6}, s.head, s.body, NewRule())
	return s
}

// SetHelp puts the sign at the end of the heading that leads to what is written about
// the section.
func (s *Section) SetHelp(help *Mark) {
	s.head.Fills = true // it yields to the sign
	s.Object.Objects[0] = NewDock(nil, nil, nil, help, s.head)
}

// NewHelp returns the small quiet sign that leads to what is written about something.
func NewHelp(hint string, tapped func()) *Mark {
	m := NewMark("help", hint, tapped)
	m.IconSide, m.Height, m.Tone = 18, 26, Quiet
	return m
}

// Fold folds or unfolds it.
func (s *Section) Fold(folded bool) {
	s.folded = folded
	s.body.Hidden = folded
	icon := "unfolded"
	if folded {
		icon = "folded"
	}
	s.head.SetIcon(icon, s.head.Hint)
	s.Object.Refresh()
}

// SetShown shows the section or takes it away, rule and all.
func (s *Section) SetShown(shown bool) { s.Object.Hidden = !shown }
