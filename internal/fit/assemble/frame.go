package assemble

import (
	"math"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/fit/own"
	"abut/internal/job"
	"abut/internal/message"
)

// Frame is a line cut around the art on the base's sheet.
type Frame struct {
	Outline  geometry.Path
	Bounds   geometry.Rect
	MarginMM float64
	// CornerMM is how far its corners are rounded.
	CornerMM float64
}

// framer lays frames around the art on the base, which is seps[0].
type framer struct {
	seps     []Separation
	settings job.Settings
	extent   geometry.Rect
	// width and height are those of the base's sheet.
	width, height float64
	// art are places on the outlines of all that is cut, once needed.
	art []geometry.Point
}

// frame decides whether the art gets a frame, and says why or why not. Common
// practice: none where the base spans the rest and its backing is kept whole;
// else a line 5 mm outside all of the art. Unless the user said how far, it
// comes closer where the blank, the sheet or the cutter leaves no more room.
func (f *framer) frame() (*Frame, message.Message) {
	rule := f.settings.Frame
	outside, others := f.outside()
	say := func(id string, margin float64, less string) message.Message {
		m := message.Message{ID: id, Values: map[string]any{
			"name": f.seps[0].Called(), "count": message.Count(outside), "margin": message.MM(margin),
		}}
		if less != "" {
			m.ID += "-less"
			m.Values["limit"] = less
		}
		return m
	}
	wanted := rule.Mode == job.FrameOn || rule.Mode == job.FrameAlways || rule.Mode == job.FrameAuto && outside > 0
	if !wanted {
		switch {
		case outside > 0:
			return nil, say("frame-off-but-needed", rule.Margin(), "")
		case others == 0:
			return nil, say("frame-one-sheet", rule.Margin(), "")
		default:
			return nil, say("frame-not-needed", rule.Margin(), "")
		}
	}
	made, less := f.choose()
	if outside > 0 {
		return made, say("frame-needed", made.MarginMM, less)
	}
	return made, say("frame-chosen", made.MarginMM, less)
}

// outside counts the pieces that lie beyond the base's reach, and all that are
// not the base's.
func (f *framer) outside() (outside, others int) {
	reach := f.seps[0].Bounds.Grow(own.HealMM) // healing may have moved a side
	for _, s := range f.seps[1:] {
		for _, p := range s.Pieces {
			others++
			if !reach.Encloses(p.Bounds) {
				outside++
			}
		}
	}
	return outside, others
}

// marginStep is by how much a frame comes closer until there is room for it.
const marginStep = 0.1

// choose returns the frame and, when it had to come closer than usual, what for.
func (f *framer) choose() (made *Frame, less string) {
	rule := f.settings.Frame
	usual := f.around(rule.Margin(), rule.CornerMM)
	limit := f.limit(usual)
	if limit == "" || rule.MarginMM > 0 && rule.CornerMM > 0 {
		return usual, ""
	}
	least := rule.Margin()
	if rule.MarginMM == 0 {
		least = job.LeastMarginMM
	}
	for m := rule.Margin(); m > least-marginStep/2; m -= marginStep {
		corners := []float64{rule.CornerMM}
		if b := f.settings.BlankShape; b != nil && b.Round && rule.CornerMM == 0 {
			corners = append(corners, math.Inf(1))
		}
		for _, c := range corners {
			made := f.around(m, c)
			if f.limit(made) != "" {
				continue
			}
			if m == rule.Margin() {
				limit = "" // no closer, only round
			}
			return made, limit
		}
	}
	return usual, "" // not even so: it is told what there is no room for
}

// around returns the frame at this distance from the art, with its corners
// rounded by corner or by as much as the art and the frame itself allow.
func (f *framer) around(margin, corner float64) *Frame {
	margin = math.Round(margin*planar.StepsPerMM) / planar.StepsPerMM
	made := &Frame{Bounds: planar.OnGrid(f.extent.Grow(margin)), MarginMM: margin}
	if corner > 0 {
		corner = math.Min(corner, f.roundest(made.Bounds, math.Min(margin, job.LeastMarginMM)))
		corner = math.Floor(corner*100) / 100
	}
	made.Outline = made.Bounds.Path()
	if corner <= 0 {
		return made
	}
	r, err := job.NewPrimitive(job.Primitive{Form: job.Rectangle, Width: made.Bounds.Width(), Height: made.Bounds.Height(), Radius: corner})
	if err == nil { // else it is larger than any sheet, and that is told
		c := made.Bounds.Centre()
		made.Outline, made.CornerMM = r.Outline().Transform(geometry.Translate(c.X, c.Y)), corner
	}
	return made
}

// artSagittaMM is how finely the art is looked at for rounded corners: a tenth
// of the least distance between it and the frame.
const artSagittaMM = 0.1 * job.LeastMarginMM

// roundest returns the largest radius at the corners of r that leaves all pieces
// at least gap within. A place dx, dy from a corner is as far from the arc of
// radius q around (q, q) when (q−dx)² + (q−dy)² = (q−gap)²; the larger root is
// the largest q.
func (f *framer) roundest(r geometry.Rect, gap float64) float64 {
	if f.art == nil {
		for i := range f.seps {
			for _, c := range f.seps[i].Outline.Flatten(artSagittaMM) {
				f.art = append(f.art, c.Start)
				for _, s := range c.Segments {
					f.art = append(f.art, s.End)
				}
			}
		}
	}
	most := r.Shorter() / 2
	for _, p := range f.art {
		dx := math.Max(math.Min(p.X-r.Min.X, r.Max.X-p.X)-gap, 0)
		dy := math.Max(math.Min(p.Y-r.Min.Y, r.Max.Y-p.Y)-gap, 0)
		most = math.Min(most, dx+dy+gap+math.Sqrt(2*dx*dy))
	}
	return most
}

// limit returns what the frame has no room on or within: the blank's name, or
// the sentence's word for sheet or cutter; empty when it has room.
func (f *framer) limit(made *Frame) string {
	cut := made.Bounds
	if f.settings.Marks {
		cut = cut.Grow(marksReachMM)
	}
	w, h := cut.Width(), cut.Height()
	if b := f.settings.BlankShape; b != nil && b.Beyond(made.Outline) > 0 {
		return limitBlank
	}
	if _, over := overWidth(w, h, f.settings.Cutter()); over > 0 {
		return limitCutter
	}
	if ow, oh := overSheet(w, h, f.width, f.height); ow > 0 || oh > 0 {
		return limitSheet
	}
	return ""
}

// What leaves no room, as sentences have it.
const (
	limitBlank  = "blank"
	limitCutter = "cutter"
	limitSheet  = "sheet"
)
