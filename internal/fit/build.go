package fit

import (
	"cmp"
	"context"
	"slices"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/job"
)

// builder puts a plan together from what the rules and the map say.
type builder struct {
	job     job.Job
	overlay *overlay
	rules   *rules
	claims  *claims
	divided *divided
}

func (b *builder) build(ctx context.Context, leftOut []string) (*Plan, error) {
	d := b.divided
	p := &Plan{
		Extent:  b.overlay.extent,
		LeftOut: leftOut,
		Healed:  Healed{Faces: d.healed.Faces, AreaMM2: d.healed.AreaMM2},
	}
	for f, l := range d.labels {
		if l == bareLabel {
			p.BareMM2 += b.overlay.m.AreaMM2(int32(f))
		}
	}
	if err := b.addSeparations(ctx, p); err != nil {
		return nil, err
	}
	if err := b.addStacked(ctx, p); err != nil {
		return nil, err
	}
	b.addWarnings(p)
	p.Verdict = verdict(p)
	return p, nil
}

// part is a separation that is not in its place among the others yet.
type part struct {
	Separation
	id     int32
	pieces []Piece
}

func (b *builder) addSeparations(ctx context.Context, p *Plan) error {
	parts, err := b.parts(ctx)
	if err != nil || len(parts) == 0 {
		p.Page = p.Extent
		return err
	}
	names := nameAll(parts, b.rules)
	for i := range parts {
		parts[i].Name = names[i]
	}
	base, reason := chooseBase(parts, b.job.Settings.Frame, b.rules)
	p.BaseReason = reason
	sortForAssembly(parts, base)
	p.Frame, p.FrameReason = frame(parts, b.job.Settings.Frame, p.Extent)
	p.Page = p.Extent
	if p.Frame != nil {
		p.Page = p.Frame.Bounds
	}
	for i := range parts {
		s := &parts[i]
		for _, piece := range s.pieces {
			piece.Separation = i
			s.Pieces = append(s.Pieces, len(p.Pieces))
			p.Pieces = append(p.Pieces, piece)
		}
		p.Separations = append(p.Separations, s.Separation)
	}
	return nil
}

// parts returns every separation that something is cut from, in the order in
// which the rules met them.
func (b *builder) parts(ctx context.Context) ([]part, error) {
	all := make([]part, len(b.rules.separations))
	for i := range all {
		m := b.rules.separations[i]
		all[i] = part{id: int32(i), Separation: Separation{Colour: m.colour, Use: job.Cut, Bounds: geometry.EmptyRect()}}
	}
	n := 0
	for _, d := range b.divided.plies {
		for i := range d.Pieces {
			if n++; n%256 == 0 && ctx.Err() != nil {
				return nil, ctx.Err()
			}
			from := &d.Pieces[i]
			s := &all[from.Label]
			s.pieces = append(s.pieces, Piece{
				Outline: d.Outline(i),
				Bounds:  from.Bounds,
				Inside:  d.Inside(i),
				AreaMM2: from.AreaMM2(),
			})
			s.Bounds = s.Bounds.Union(from.Bounds)
			s.AreaMM2 += from.AreaMM2()
			s.CutMM += d.CutLengthMM(i)
		}
	}
	for i := range all {
		s := &all[i]
		slices.SortStableFunc(s.pieces, outerFirst)
		// A piece within a hole of another comes after it here, so backwards
		// its contours come before the ones that hold them.
		for k := len(s.pieces) - 1; k >= 0; k-- {
			s.Outline = append(s.Outline, s.pieces[k].Outline...)
		}
	}
	b.nameLayers(all)
	return slices.DeleteFunc(all, func(s part) bool { return len(s.pieces) == 0 }), nil
}

// outerFirst orders pieces so that one that surrounds another comes before it,
// and larger before smaller; then from the top down and left to right.
func outerFirst(a, b Piece) int {
	return cmp.Or(
		cmp.Compare(rectArea(b.Bounds), rectArea(a.Bounds)),
		cmp.Compare(b.AreaMM2, a.AreaMM2),
		cmp.Compare(a.Bounds.Min.Y, b.Bounds.Min.Y),
		cmp.Compare(a.Bounds.Min.X, b.Bounds.Min.X),
	)
}

func rectArea(r geometry.Rect) float64 { return r.Width() * r.Height() }

// nameLayers lists for every separation the layers that claim some of it. A
// face that healing gave away does not count.
func (b *builder) nameLayers(all []part) {
	m, c := b.overlay.m, b.claims
	used := make([]bool, len(c.label))
	for f, l := range b.divided.labels {
		if l >= 0 && l == b.divided.fresh[f] {
			used[m.CoverID(int32(f))] = true
		}
	}
	// Most layers claim for one separation only: remember the last one.
	type entry struct{ separation, layer int32 }
	seen := map[entry]bool{}
	last := make([]int32, len(b.rules.layers))
	for i := range last {
		last[i] = bare
	}
	for id, who := range c.claimants {
		if !used[id] {
			continue
		}
		for _, w := range who {
			if w.separation == bare || last[w.layer] == w.separation {
				continue
			}
			last[w.layer] = w.separation
			seen[entry{w.separation, w.layer}] = true
		}
	}
	entries := make([]entry, 0, len(seen))
	for e := range seen {
		entries = append(entries, e)
	}
	slices.SortFunc(entries, func(a, b entry) int { return cmp.Compare(a.layer, b.layer) })
	for _, e := range entries {
		s := &all[e.separation]
		s.Layers = append(s.Layers, b.rules.layers[e.layer].id)
	}
}

func (b *builder) addStacked(ctx context.Context, p *Plan) error {
	d := b.divided.stacked
	if d == nil {
		return nil
	}
	order := make([]int, len(d.Pieces))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(d.Pieces[b].Area2, d.Pieces[a].Area2) })
	cover := newMarks(len(b.claims.label))
	layer := newMarks(len(b.rules.layers))
	for n, i := range order {
		if n%256 == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		from := &d.Pieces[i]
		p.Stacked.AreaMM2 += from.AreaMM2()
		p.Stacked.Places = append(p.Stacked.Places, StackedPlace{
			Outline: d.Outline(i),
			Bounds:  from.Bounds,
			Inside:  d.Inside(i),
			AreaMM2: from.AreaMM2(),
			Layers:  b.layersOver(from.Faces, cover, layer),
		})
	}
	p.Stacked.Outline = d.Outline(order...)
	return nil
}

// layersOver returns the layers that lie over each other on stacked faces,
// bottom first.
func (b *builder) layersOver(faces []planar.FaceID, cover, layer *marks) []job.LayerID {
	cover.reset()
	layer.reset()
	var found []int32
	for _, f := range faces {
		id := b.overlay.m.CoverID(f)
		if b.divided.labels[f] != b.divided.fresh[f] || !cover.add(id) {
			continue
		}
		for _, w := range b.claims.claimants[id] {
			if w.separation != bare && layer.add(w.layer) {
				found = append(found, w.layer)
			}
		}
	}
	slices.Sort(found)
	ids := make([]job.LayerID, len(found))
	for i, l := range found {
		ids[i] = b.rules.layers[l].id
	}
	return ids
}

// marks is a set of small numbers that is emptied in no time.
type marks struct {
	at  []int32
	now int32
}

func newMarks(n int) *marks { return &marks{at: make([]int32, n)} }

func (m *marks) reset() { m.now++ }

// add reports whether i was not in the set yet.
func (m *marks) add(i int32) bool {
	if m.at[i] == m.now {
		return false
	}
	m.at[i] = m.now
	return true
}
