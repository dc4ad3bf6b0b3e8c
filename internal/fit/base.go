package fit

import (
	"cmp"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/job"
)

const (
	// nearlyEqual is the share of the largest extent from which a separation
	// counts as its equal. Our choice: 5 % of the area is some 2 mm on a
	// picture of 90 mm, which nobody would base a decision on.
	nearlyEqual = 0.95
	// smallPieceMM2 is the area under which a piece is fiddly to lay by hand:
	// 10 × 10 mm. Our choice; on the base such pieces need no laying at all.
	smallPieceMM2 = 100
)

// chooseBase returns the index of the separation that everything is assembled
// on, and why: the one the user wants a frame on or else the one whose bounding
// rectangle is largest, among near-equals the one with most small pieces.
func chooseBase(parts []part, rule job.FrameRule, r *rules) (int, job.Message) {
	if rule.Mode == job.FrameOn {
		if i := partOf(parts, rule.Colour, r); i >= 0 {
			return i, about("base-chosen", parts[i])
		}
	}
	largest := 0.0
	for i := range parts {
		largest = math.Max(largest, rectArea(parts[i].Bounds))
	}
	base, rivals := -1, 0
	small := func(i int) int {
		n := 0
		for _, p := range parts[i].pieces {
			if p.AreaMM2 < smallPieceMM2 {
				n++
			}
		}
		return n
	}
	for i := range parts {
		if rectArea(parts[i].Bounds) < nearlyEqual*largest {
			continue
		}
		rivals++
		if base < 0 || cmp.Or(
			cmp.Compare(small(i), small(base)),
			cmp.Compare(rectArea(parts[i].Bounds), rectArea(parts[base].Bounds)),
			cmp.Compare(parts[i].AreaMM2, parts[base].AreaMM2),
		) > 0 {
			base = i
		}
	}
	switch {
	case len(parts) == 1:
		return base, about("base-only", parts[base])
	case rivals == 1 || small(base) == 0:
		return base, about("base-largest", parts[base])
	default:
		return base, about("base-most-small-parts", parts[base])
	}
}

// partOf returns which separation a colour is cut from, or −1.
func partOf(parts []part, c job.Colour, r *rules) int {
	s := r.separation(c)
	return slices.IndexFunc(parts, func(p part) bool { return p.id == s })
}

func about(id string, s part) job.Message {
	return job.Message{ID: id, Args: map[string]string{
		"name": s.Name, "width": number(s.Bounds.Width()), "height": number(s.Bounds.Height()),
	}}
}

// sortForAssembly puts the separations in the order in which they are laid:
// the base first, then outer before inner, which is larger before smaller.
func sortForAssembly(parts []part, base int) {
	id := parts[base].id
	slices.SortStableFunc(parts, func(a, b part) int {
		if a.id == id || b.id == id {
			return cmp.Compare(btoi(b.id == id), btoi(a.id == id))
		}
		return cmp.Or(
			cmp.Compare(rectArea(b.Bounds), rectArea(a.Bounds)),
			cmp.Compare(b.AreaMM2, a.AreaMM2),
			cmp.Compare(a.Name, b.Name),
		)
	})
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

// frame decides whether the art gets a frame, and says why or why not. The
// base is parts[0]. Common practice: none where the base spans the rest and its
// backing is kept whole; else a line 5 mm outside all of the art.
func frame(parts []part, rule job.FrameRule, extent geometry.Rect) (*Frame, job.Message) {
	reach := parts[0].Bounds.Grow(HealMM) // healing may have moved a side
	outside, others := 0, 0
	for _, s := range parts[1:] {
		for _, p := range s.pieces {
			others++
			if !reach.Encloses(p.Bounds) {
				outside++
			}
		}
	}
	say := func(id string) job.Message {
		return job.Message{ID: id, Args: map[string]string{
			"name": parts[0].Name, "count": count(outside), "margin": number(rule.Margin()),
		}}
	}
	wanted := rule.Mode == job.FrameOn || rule.Mode == job.FrameAlways || rule.Mode == job.FrameAuto && outside > 0
	if !wanted {
		switch {
		case outside > 0:
			return nil, say("frame-off-but-needed")
		case others == 0:
			return nil, say("frame-one-sheet")
		default:
			return nil, say("frame-not-needed")
		}
	}
	margin := math.Round(rule.Margin()*planar.StepsPerMM) / planar.StepsPerMM
	f := &Frame{Bounds: onGrid(extent.Grow(margin)), MarginMM: margin}
	f.Outline = f.Bounds.Path()
	if outside > 0 {
		return f, say("frame-needed")
	}
	return f, say("frame-chosen")
}
