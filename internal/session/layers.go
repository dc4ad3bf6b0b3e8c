package session

import (
	"slices"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
)

// What can be done to layers, each as one step under its own name. What is refused
// is told to OnTrouble.

// Tried is Do for whoever has no more to say about it: an error is told to
// OnTrouble.
func (s *Session) Tried(label string, edit Edit) { s.trouble(s.Do(label, edit)) }

// edit makes an edit of layers a step, unless there are none.
func (s *Session) edit(label string, ids []job.LayerID, edit func(job.Job, []job.LayerID) (job.Job, error)) {
	if len(ids) > 0 {
		s.Tried(label, func(j job.Job) (job.Job, error) { return edit(j, ids) })
	}
}

// turn makes a step of turning something about layers on or off.
func (s *Session) turn(off, on string, ids []job.LayerID, to bool, edit func(job.Job, []job.LayerID, bool) (job.Job, error)) {
	label := off
	if to {
		label = on
	}
	s.edit(label, ids, func(j job.Job, ids []job.LayerID) (job.Job, error) { return edit(j, ids, to) })
}

// Moving is the edit that moves layers, in millimetres, Shaping the one that
// scales or turns them.
func Moving(ids []job.LayerID, dx, dy float64) Edit {
	return func(j job.Job) (job.Job, error) { return job.MoveLayers(j, ids, dx, dy) }
}

// Shaping is the edit that scales or turns layers on the board.
func Shaping(ids []job.LayerID, m geometry.Affine) Edit {
	return func(j job.Job) (job.Job, error) { return job.TransformLayers(j, ids, m) }
}

// Turn turns layers about their middle, in radians, clockwise as seen.
func (s *Session) Turn(ids []job.LayerID, angle float64) {
	s.edit("ui-step-turn", ids, func(j job.Job, ids []job.LayerID) (job.Job, error) { return job.Turn(j, ids, angle) })
}

// Flip turns layers over from left to right, or from top to bottom.
func (s *Session) Flip(ids []job.LayerID, upright bool) {
	s.edit("ui-step-flip", ids, func(j job.Job, ids []job.LayerID) (job.Job, error) { return job.Flip(j, ids, upright) })
}

// Align lines layers up among themselves, or one with the page.
func (s *Session) Align(ids []job.LayerID, a job.Alignment) {
	s.edit("ui-step-align", ids, func(j job.Job, ids []job.LayerID) (job.Job, error) {
		target := job.BoundsOf(j, ids)
		if len(ids) == 1 {
			target = page(j)
		}
		return job.Align(j, ids, a, target)
	})
}

// Spread puts the same space between layers, side by side or down.
func (s *Session) Spread(ids []job.LayerID, down bool) {
	s.edit("ui-step-spread", ids, func(j job.Job, ids []job.LayerID) (job.Job, error) { return job.Distribute(j, ids, down) })
}

// Centre puts layers in the middle of the page.
func (s *Session) Centre(ids []job.LayerID) {
	s.edit("ui-step-centre", ids, func(j job.Job, ids []job.LayerID) (job.Job, error) { return job.CentreOn(j, ids, page(j)) })
}

// Page is the blank on the board or, where none was chosen, the page that the art
// came with.
func (s *Session) Page() geometry.Rect { return page(s.Job()) }

func page(j job.Job) geometry.Rect {
	if b := j.Settings.BlankShape; b != nil {
		return b.Bounds()
	}
	return job.Pages(j)
}

// Arrange moves layers up or down in the order.
func (s *Session) Arrange(ids []job.LayerID, step job.Step) {
	s.order(ids, func(j job.Job) (job.Job, error) { return job.Arrange(j, ids, step) })
}

// MoveUnder puts layers right beneath another one.
func (s *Session) MoveUnder(ids []job.LayerID, under job.LayerID) {
	s.order(ids, func(j job.Job) (job.Job, error) { return job.MoveUnder(j, ids, under) })
}

// order puts layers in another place in the order; where they stay there is no
// step.
func (s *Session) order(ids []job.LayerID, edit Edit) {
	if j, err := edit(s.Job()); err == nil && slices.Equal(j.LayerIDs(), s.Job().LayerIDs()) {
		return
	}
	label := "ui-step-order"
	if len(ids) > 1 {
		label = "list-step-order-several"
	}
	s.Tried(label, edit)
}

// SetUse decides what becomes of layers.
func (s *Session) SetUse(ids []job.LayerID, u job.Use) {
	s.edit("ui-step-use", ids, func(j job.Job, ids []job.LayerID) (job.Job, error) { return job.SetUse(j, ids, u) })
}

// DrawWithPen has a pen draw layers that are too fine to cut. Where Mend all was at work before, what
// lies beneath them is whole again and what was mended beside them may lapse: it mends that anew, in the same step.
func (s *Session) DrawWithPen(ids []job.LayerID) {
	draw := func(j job.Job) (job.Job, error) { return job.DrawWithPen(j, ids) }
	if s.mending == nil && s.Job().Mended() {
		s.mendAfter("ui-step-pen", draw)
		return
	}
	s.Tried("ui-step-pen", draw)
}

// duplicateMM is how far a copy lies from what it was made of, so that one sees
// it.
const duplicateMM = 5

// Duplicate copies layers and selects the copies.
func (s *Session) Duplicate(ids []job.LayerID) {
	s.adding("ui-step-duplicate", func(j job.Job) (job.Job, []job.LayerID, error) {
		return job.Duplicate(j, ids, duplicateMM, duplicateMM)
	})
}

// Insert adds content about a place on the board and selects it.
func (s *Session) Insert(a job.Added, at geometry.Point) {
	s.adding("ui-step-add-new", func(j job.Job) (job.Job, []job.LayerID, error) {
		out, id, err := job.Add(j, a, at)
		return out, []job.LayerID{id}, err
	})
}

// Surround adds a band around layers and selects it.
func (s *Session) Surround(ids []job.LayerID, band job.Surround, name string, c colour.RGB) {
	s.adding("ui-step-surround", func(j job.Job) (job.Job, []job.LayerID, error) {
		out, id, err := job.AddSurround(j, ids, band, name, c)
		return out, []job.LayerID{id}, err
	})
}

// adding makes an edit a step and selects the layers that came of it.
func (s *Session) adding(label string, edit func(job.Job) (job.Job, []job.LayerID, error)) {
	var made []job.LayerID
	err := s.Do(label, func(j job.Job) (out job.Job, err error) {
		out, made, err = edit(j)
		return out, err
	})
	if err != nil {
		s.trouble(err)
		return
	}
	s.Select(made)
}

// Delete takes layers away.
func (s *Session) Delete(ids []job.LayerID) { s.edit("ui-step-delete", ids, job.DeleteLayers) }

// Recolour gives layers another colour.
func (s *Session) Recolour(ids []job.LayerID, c colour.RGB) {
	s.edit("ui-step-recolour", ids, func(j job.Job, ids []job.LayerID) (job.Job, error) { return job.SetColour(j, ids, c) })
}

// SetLocked keeps layers from being caught and moved, or lets them be.
func (s *Session) SetLocked(ids []job.LayerID, on bool) {
	s.turn("ui-step-unlock", "ui-step-lock", ids, on, job.SetLocked)
}

// SetShown shows layers, or hides them.
func (s *Session) SetShown(ids []job.LayerID, on bool) {
	s.turn("ui-step-hide", "ui-step-show", ids, on, job.SetShown)
}

// SetKnocks has layers cut themselves out of what lies beneath, or lie over it.
func (s *Session) SetKnocks(ids []job.LayerID, on bool) {
	s.turn("ui-step-lay-over", "ui-step-knock", ids, on, job.SetKnocks)
}

// KnocksAll reports whether every layer cuts itself out of what lies beneath.
func (s *Session) KnocksAll() bool {
	any := false
	for _, it := range s.Job().Items {
		for i := range it.Layers {
			if !it.Layers[i].Knocks {
				return false
			}
			any = true
		}
	}
	return any
}

// KnockOutAll has every layer cut itself out of what lies beneath.
func (s *Session) KnockOutAll() { s.Tried("ui-step-knock-all", job.KnockOutAll) }

// LayOverAll has every layer lie over what is beneath.
func (s *Session) LayOverAll() {
	s.Tried("ui-step-lay-over-all", func(j job.Job) (job.Job, error) { return job.SetKnocks(j, j.LayerIDs(), false) })
}

// SetBands shows gradients in n bands, 1 being their mean colour. The bands that
// come of a selected layer are selected, too.
func (s *Session) SetBands(ids []job.LayerID, n int) {
	label := "ui-step-bands"
	if n == 1 {
		label = "ui-step-average"
	}
	selected, bands := s.Selection(), job.BandsWith(s.Job(), ids)
	s.edit(label, ids, func(j job.Job, ids []job.LayerID) (job.Job, error) { return job.SetBands(j, ids, n) })
	if slices.ContainsFunc(selected, func(id job.LayerID) bool { return slices.Contains(bands, id) }) {
		s.Select(job.BandsWith(s.Job(), ids))
	}
}

// SetSolid lets see-through layers have their own colour, or mix.
func (s *Session) SetSolid(ids []job.LayerID, on bool) {
	s.turn("ui-step-mix", "ui-step-own-colour", ids, on, job.SetSolid)
}

// SetFrame decides whether there is a frame.
func (s *Session) SetFrame(m job.FrameMode) {
	if s.Opened() && s.Job().Settings.Frame.Mode != m {
		s.Tried("ui-step-frame", func(j job.Job) (job.Job, error) {
			r := j.Settings.Frame
			r.Mode = m
			return job.SetFrame(j, r)
		})
	}
}

// SetMarks puts marks to line film up on the sheets, or takes them away.
func (s *Session) SetMarks(on bool) {
	if s.Opened() && s.Job().Settings.Marks != on {
		s.Tried("ui-step-marks", func(j job.Job) (job.Job, error) { return job.SetMarks(j, on) })
	}
}

// SetUnits shows and takes lengths in other units, in this document and in those
// that are opened later.
func (s *Session) SetUnits(u job.Units) {
	s.Units = u
	if s.Opened() && s.Job().Settings.Units != u {
		s.Tried("ui-step-units", func(j job.Job) (job.Job, error) { return job.SetUnits(j, u) })
	}
}

// SetBase decides which sheet all is laid on, nil leaving it to the plan. A frame
// that was tied to a sheet goes along.
func (s *Session) SetBase(c *colour.RGB) {
	s.Tried("ui-step-base", func(j job.Job) (job.Job, error) {
		if r := j.Settings.Frame; r.Mode == job.FrameOn {
			r.Mode, r.Colour = job.FrameAlways, colour.RGB{}
			j.Settings.Frame = r
		}
		return job.SetBase(j, c)
	})
}

// Still returns those of the layers that are there: what is shown may be older
// than the job.
func (s *Session) Still(ids []job.LayerID) []job.LayerID {
	j := s.Job()
	return slices.DeleteFunc(slices.Clone(ids), func(id job.LayerID) bool { _, _, ok := j.Layer(id); return !ok })
}
