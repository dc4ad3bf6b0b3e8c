package session

import (
	"context"

	"abut/internal/colour"
	"abut/internal/drawer"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/workshop"
)

// KeepDrawerIn says in which file the drawer of the user's own sheets is kept
// across jobs; without one it is kept as long as the session.
func (s *Session) KeepDrawerIn(path string) { s.drawerFile = path }

// Drawer returns the sheets that the user owns, as the file has them now: other
// windows may have changed it.
func (s *Session) Drawer() ([]drawer.Sheet, error) {
	if s.drawerFile == "" {
		return s.drawer, nil
	}
	return drawer.Kept(s.drawerFile)
}

// SetDrawer keeps the sheets that the user owns.
func (s *Session) SetDrawer(sheets []drawer.Sheet) error {
	if s.drawerFile == "" {
		s.drawer = sheets
		return nil
	}
	return drawer.Save(s.drawerFile, sheets)
}

// ArtColours works out the art's colours in the background. The returned
// function gives it up.
func (s *Session) ArtColours(done func([]workshop.ArtColour, error)) (stop func()) {
	j := s.Job()
	t := run(s, message.Message{ID: "ui-task-colours"}, func(ctx context.Context) ([]workshop.ArtColour, error) { return workshop.ArtColours(ctx, j) }, done)
	t.quiet, t.void = true, true
	return t.Stop
}

// Fewer is what merging shades would lead to.
type Fewer struct {
	// Choices say which sheet each of the art's colours is cut from.
	Choices map[colour.RGB]workshop.SheetChoice
	// Merged are those that are not cut from a sheet of their own colour.
	Merged []workshop.Merged
	// Before is the plan with every colour on a sheet of its own, After the one
	// with the choices.
	Before, After *fit.Plan
}

// Fewer works out in the background how the art's colours go to at most n
// sheets, or any number for n ≤ 0: of their own colours or, when there are any,
// of the sheets given, with what was decided by hand. What was chosen before does
// not count, but for what is bare. The returned function gives it up.
func (s *Session) Fewer(n int, sheets []drawer.Sheet, hues job.Hues, done func(Fewer, error)) (stop func()) {
	j := s.Job()
	j.Settings.Hues = hues
	t := run(s, message.Message{ID: "ui-task-colours"}, func(ctx context.Context) (f Fewer, err error) {
		own, err := workshop.OwnColours(j)
		if err != nil {
			return f, err
		}
		colours, err := workshop.ArtColours(ctx, own)
		if err != nil {
			return f, err
		}
		merged, list, err := workshop.MergeColours(ctx, own, n, sheets)
		if err != nil {
			return f, err
		}
		f.Merged, f.Choices = list, map[colour.RGB]workshop.SheetChoice{}
		for _, c := range colours {
			f.Choices[c.Colour] = workshop.ChoiceOf(merged, c.Colour)
		}
		// Mends are about other pieces; without them the colours show better.
		if own, err = job.ClearMends(own); err != nil {
			return f, err
		}
		if f.Before, err = fit.Compute(ctx, own); err != nil {
			return f, err
		}
		after, err := workshop.AssignColours(own, f.Choices)
		if err != nil {
			return f, err
		}
		f.After, err = fit.Compute(ctx, after)
		return f, err
	}, done)
	t.quiet, t.void = true, true
	return t.Stop
}

// Assign sends the art's colours to sheets and keeps what was decided by hand on the
// way there, as one step. With anew everything is mended again afterwards, but for
// what was mended by hand: the pieces are other ones.
func (s *Session) Assign(choices map[colour.RGB]workshop.SheetChoice, hues job.Hues, anew bool) error {
	err := s.Do("ui-step-colours", func(j job.Job) (job.Job, error) {
		out, err := workshop.AssignColours(j, choices)
		if err == nil {
			out, err = job.SetHues(out, hues)
		}
		if err == nil {
			out, err = job.SetSheets(out, needed(choices))
		}
		if err == nil && anew {
			out, err = job.KeepHandMends(out)
		}
		return out, err
	})
	if err == nil && anew {
		s.MendAll()
	}
	return err
}

// needed is how many sheets choices come to: whoever makes them is willing to use
// as many.
func needed(choices map[colour.RGB]workshop.SheetChoice) int {
	type sheet struct {
		own    bool
		colour colour.RGB
		name   string
	}
	all := map[sheet]bool{}
	for c, x := range choices {
		switch {
		case x.Bare:
		case x.Sheet != nil:
			all[sheet{true, x.Sheet.Pressed, x.Sheet.Name}] = true
		default:
			all[sheet{colour: c}] = true
		}
	}
	return len(all)
}

// AcceptSheets says that one is willing to use as many sheets as the plan needs.
func (s *Session) AcceptSheets() {
	if s.plan != nil {
		n := len(s.plan.Separations)
		s.Tried("ui-step-sheets", func(j job.Job) (job.Job, error) { return job.SetSheets(j, n) })
	}
}
