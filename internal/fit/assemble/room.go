package assemble

import (
	"math"

	"abut/geometry"
	"abut/internal/fit/own"
	"abut/internal/job"
	"abut/internal/message"
)

// roomSlackMM is forgiven where something is too large: no rule shows it.
const roomSlackMM = 0.01

// Beyond is something that the art with its frame is too large for.
type Beyond struct {
	What BeyondWhat
	// Of is the separation that is too large, own.Bare for the blank.
	Of own.Material
	// Frame: the frame is counted in.
	Frame bool
	// OverWidthMM and OverHeightMM are by how much: of a sheet each, of a blank
	// how far it reaches over at a side (both the same), of a cutter the width
	// alone.
	OverWidthMM, OverHeightMM float64
	// Warning says it in words.
	job.Warning
}

// BeyondWhat is what has no room for the art.
type BeyondWhat uint8

const (
	// BeyondBlank says that art or frame reach over the thing decorated.
	BeyondBlank BeyondWhat = iota
	// BeyondCutter says that what is cut is wider than the cutter, whichever way round.
	BeyondCutter
	// BeyondSheet says that what is cut is larger than its sheet, whichever way round.
	BeyondSheet
)

// String returns its name in files.
func (w BeyondWhat) String() string { return [...]string{"blank", "cutter", "sheet"}[w] }

// overWidth returns the side of w × h that goes across a cutter, the shorter
// one, and by how much it is too wide.
func overWidth(w, h, cutter float64) (side, over float64) {
	side = math.Min(w, h)
	return side, above(side - cutter)
}

// overSheet returns by how much w × h is larger than a sheet, turned by a
// quarter when that fits better.
func overSheet(w, h, sheetW, sheetH float64) (ow, oh float64) {
	ow, oh = above(w-sheetW), above(h-sheetH)
	if tw, th := above(w-sheetH), above(h-sheetW); tw+th < ow+oh {
		return tw, th
	}
	return ow, oh
}

func above(v float64) float64 {
	if v <= roomSlackMM {
		return 0
	}
	return v
}

// addBeyond lists what the plan is too large for: the blank first, then what the
// cutter cannot cut, then sheets that are too small.
func (b *bench) addBeyond() {
	p, s := b.Assembly, b.settings
	note := func(x Beyond, id string, values map[string]any) {
		if x.Frame {
			id += "-frame"
		}
		x.Warning = job.Warning{Message: message.Message{ID: id, Values: values}}
		p.Beyond = append(p.Beyond, x)
	}
	if s.BlankShape != nil {
		if x := b.beyondBlank(s.BlankShape); x.OverWidthMM > 0 {
			note(x, "beyond-blank", map[string]any{"blank": s.BlankShape.Name, "over": message.MM(x.OverWidthMM)})
		}
	}
	for k := range p.Separations {
		all, framed := b.cutFrom(k)
		if side, over := overWidth(all.Width(), all.Height(), s.Cutter()); over > 0 {
			note(Beyond{What: BeyondCutter, Of: p.Separations[k].Of, Frame: framed, OverWidthMM: over}, "beyond-cutter", map[string]any{
				"name": p.Separations[k].Called(), "wide": message.MM(side), "cutter": message.MM(s.Cutter()), "over": message.MM(over),
			})
		}
	}
	for k := range p.Separations {
		all, framed := b.cutFrom(k)
		sw, sh := b.sheetSize(p.Separations[k].Of)
		if ow, oh := overSheet(all.Width(), all.Height(), sw, sh); ow > 0 || oh > 0 {
			note(Beyond{What: BeyondSheet, Of: p.Separations[k].Of, Frame: framed, OverWidthMM: ow, OverHeightMM: oh}, "beyond-sheet", map[string]any{
				"name": p.Separations[k].Called(), "size": message.Size{Width: all.Width(), Height: all.Height()},
				"sheet": message.Size{Width: sw, Height: sh}, "over": message.MM(math.Max(ow, oh)),
			})
		}
	}
}

// beyondBlank says how far the art, or only its frame, reaches over a blank.
func (b *bench) beyondBlank(blank *job.Blank) Beyond {
	over := blank.Beyond(b.Extent.Path())
	if over > 0 { // its corners may be empty
		over = 0
		for i := range b.Separations {
			over = math.Max(over, blank.Beyond(b.Separations[i].Outline))
		}
	}
	x := Beyond{What: BeyondBlank}
	if over == 0 && b.Frame != nil {
		x.Frame, over = true, blank.Beyond(b.Frame.Outline)
	}
	x.OverWidthMM, x.OverHeightMM = over, over
	return x
}

// cutFrom returns the bounds of all that is cut from the sheet of separation k, and
// whether the frame is.
func (b *bench) cutFrom(k int) (all geometry.Rect, framed bool) {
	all, framed = b.Separations[k].Bounds, k == 0 && b.Frame != nil
	if framed {
		all = all.Union(b.Frame.Bounds)
	}
	if b.Marks != nil {
		all = all.Union(b.Marks.Bounds())
	}
	return all, framed
}

// sheetSize returns the size of what a separation is cut from.
func (b *bench) sheetSize(of own.Material) (w, h float64) {
	sheet, _ := b.rules.Sheet(of)
	return b.settings.SizeOf(sheet)
}
