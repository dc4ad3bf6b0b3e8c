package fit

import (
	"cmp"
	"context"
	"slices"

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
	// mends are what became of the job's mends.
	mends                   []MadeMend
	mendedMM2, uncoveredMM2 float64
	givenAway               []GivenAway
}

func (b *builder) build(ctx context.Context, leftOut []string) (*Plan, error) {
	d := b.divided
	p := &Plan{
		Extent:  b.overlay.extent,
		LeftOut: leftOut,
		Healed:  Healed{Faces: d.healed.Faces, AreaMM2: d.healed.AreaMM2},
	}
	p.Mends, p.GivenAway = b.mends, b.givenAway
	p.Proof = Proof{HealedMM2: p.Healed.AreaMM2, MendedMM2: b.mendedMM2, UncoveredMM2: b.uncoveredMM2}
	for f, l := range d.labels {
		if l == bareLabel {
			p.BareMM2 += b.overlay.m.AreaMM2(int32(f))
		}
		if l != planar.None {
			p.Proof.ArtMM2 += b.overlay.m.AreaMM2(int32(f))
		}
	}
	b.addSeparations(p)
	if err := b.addStacked(ctx, p); err != nil {
		return nil, err
	}
	p.setCarry()
	b.addBeyond(p)
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

func (b *builder) addSeparations(p *Plan) {
	parts := b.parts()
	p.PiecesOf = b.countPieces()
	p.Page = p.Extent
	if len(parts) == 0 {
		return
	}
	nameAll(parts, b.rules)
	base, reason := b.chooseBase(parts, p.Extent)
	p.BaseReason = reason
	sortForAssembly(parts, base)
	p.Frame, p.FrameReason = b.framer(parts, p.Extent).frame()
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
		for k := range p.Mends {
			if p.Mends[k].sep == s.id {
				p.Mends[k].Separation = i
			}
		}
	}
	if b.job.Settings.Marks {
		p.addMarks()
	}
}

// parts returns every separation that something is cut from, in the order in
// which the rules met them.
func (b *builder) parts() []part {
	all := make([]part, len(b.rules.separations))
	for i, m := range b.rules.separations {
		cut := &b.divided.cut[i]
		all[i] = part{
			id:     int32(i),
			pieces: cut.pieces,
			Separation: Separation{
				Colour: m.colour, Use: job.Cut, sheet: m.sheet,
				Outline: cut.outline, Bounds: cut.bounds, AreaMM2: cut.areaMM2, CutMM: cut.cutMM,
			},
		}
	}
	b.nameLayers(all)
	return slices.DeleteFunc(all, func(s part) bool { return len(s.pieces) == 0 })
}

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

// countPieces returns in how many pieces each layer is to be seen.
func (b *builder) countPieces() map[job.LayerID]int {
	count := make([]int, len(b.rules.layers))
	layer := newMarks(len(b.rules.layers))
	for s := range b.divided.cut {
		for _, covers := range b.divided.cut[s].covers {
			layer.reset()
			for _, id := range covers {
				for _, w := range b.claims.claimants[id] {
					if w.separation == int32(s) && layer.add(w.layer) {
						count[w.layer]++
					}
				}
			}
		}
	}
	out := map[job.LayerID]int{}
	for i, n := range count {
		if n > 0 {
			out[b.rules.layers[i].id] = n
		}
	}
	return out
}

func (b *builder) addStacked(ctx context.Context, p *Plan) error {
	from := &b.divided.stacked
	p.Stacked = Stacked{AreaMM2: from.areaMM2, Outline: from.outline}
	cover := newMarks(len(b.claims.label))
	layer := newMarks(len(b.rules.layers))
	for i, place := range from.places {
		if i%256 == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		place.Layers = b.layersOver(from.faces[i], cover, layer)
		p.Stacked.Places = append(p.Stacked.Places, place)
	}
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
