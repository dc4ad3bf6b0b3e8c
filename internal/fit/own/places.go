package own

import (
	"cmp"
	"context"
	"slices"

	"abut/geometry/planar"
	"abut/internal/job"
)

// Places is a job's map with who owns each place of it.
type Places struct {
	*Overlay
	Rules *Rules
	*Claims
	*Division
}

// Find works out who owns the places of an overlay by the rules of its job; last may
// be a division of the same map that was made before. Its only error is the
// context's.
func Find(ctx context.Context, o *Overlay, r *Rules, curves bool, last *Division) (*Places, error) {
	c, err := Claim(ctx, r, o.Map)
	if err != nil {
		return nil, err
	}
	return Divide(ctx, o, r, c, curves, last)
}

// Divide is Find for claims that are known.
func Divide(ctx context.Context, o *Overlay, r *Rules, c *Claims, curves bool, last *Division) (*Places, error) {
	d, err := divide(ctx, o.Map, c, curves, last)
	if err != nil {
		return nil, err
	}
	return &Places{o, r, c, d}, nil
}

// ArtMM2 returns the area of the picture, and how much of it is bare on purpose.
func (p *Places) ArtMM2() (all, bare float64) {
	for f, l := range p.Labels {
		area := p.Map.AreaMM2(planar.FaceID(f))
		if l == bareLabel {
			bare += area
		}
		if l != planar.None {
			all += area
		}
	}
	return all, bare
}

// Layers returns, for each material, the layers that claim some of it, bottom
// first. A face that healing gave away does not count.
func (p *Places) Layers() [][]job.LayerID {
	used := make([]bool, len(p.Label))
	for f, l := range p.Labels {
		if l >= 0 && l == p.Fresh[f] {
			used[p.Map.CoverID(planar.FaceID(f))] = true
		}
	}
	// Most layers claim for one material only: remember the last one.
	type entry struct{ material, layer int32 }
	seen := map[entry]bool{}
	last := make([]Material, len(p.Rules.Layers))
	for id, who := range p.Claimants {
		if !used[id] {
			continue
		}
		for _, w := range who {
			if w.Material != Bare && last[w.Layer] != w.Material {
				last[w.Layer] = w.Material
				seen[entry{p.number(w.Material), w.Layer}] = true
			}
		}
	}
	entries := make([]entry, 0, len(seen))
	for e := range seen {
		entries = append(entries, e)
	}
	slices.SortFunc(entries, func(a, b entry) int { return cmp.Compare(a.layer, b.layer) })
	out := make([][]job.LayerID, len(p.Materials))
	for _, e := range entries {
		out[e.material] = append(out[e.material], p.Rules.Layers[e.layer].ID)
	}
	return out
}

// PiecesOf returns in how many pieces each layer is to be seen. One piece may
// hold several layers of its separation.
func (p *Places) PiecesOf() map[job.LayerID]int {
	out := map[job.LayerID]int{}
	layers := newSet(len(p.Rules.Layers))
	for s := range p.Separations {
		for _, covers := range p.Separations[s].covers {
			layers.empty()
			for _, id := range covers {
				for _, w := range p.Claimants[id] {
					if w.Material == p.Materials[s] && layers.add(w.Layer) {
						out[p.Rules.Layers[w.Layer].ID]++
					}
				}
			}
		}
	}
	return out
}

// StackedLayers returns, for each stacked place, the layers that lie over each
// other there, bottom first. Its only error is the context's.
func (p *Places) StackedLayers(ctx context.Context) ([][]job.LayerID, error) {
	out := make([][]job.LayerID, len(p.Stacked))
	covers, layers := newSet(len(p.Label)), newSet(len(p.Rules.Layers))
	for i, place := range p.Stacked {
		if i%256 == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		covers.empty()
		layers.empty()
		var found []int32
		for _, f := range place.Faces {
			id := p.Map.CoverID(f)
			if p.Labels[f] != p.Fresh[f] || !covers.add(id) {
				continue
			}
			for _, w := range p.Claimants[id] {
				if w.Material != Bare && layers.add(w.Layer) {
					found = append(found, w.Layer)
				}
			}
		}
		slices.Sort(found)
		for _, l := range found {
			out[i] = append(out[i], p.Rules.Layers[l].ID)
		}
	}
	return out, nil
}

// fullPage is the share of the art's bounding rectangle from which a layer
// counts as its background: all but rounded corners.
const fullPage = 0.98

// Background returns the lowest layer that covers the whole page of the art, as
// an index of Rules.Layers, or −1. Such a layer is the largest extent there is,
// and so the base, although nobody may have meant it to be cut at all.
func (p *Places) Background() int {
	page := p.Extent.Area()
	if !(page > 0) {
		return -1
	}
	var area []float64 // per cover, once needed
	for l := range p.Rules.Layers {
		a := &p.Rules.Layers[l]
		if a.Use == job.Drawn || a.Alpha < 1 || !p.Bounds[l].Grow(HealMM).Encloses(p.Extent) {
			continue
		}
		if area == nil {
			area = make([]float64, p.Map.NumCovers())
			for f := range p.Map.NumFaces() {
				area[p.Map.CoverID(planar.FaceID(f))] += p.Map.AreaMM2(planar.FaceID(f))
			}
		}
		sum := 0.0
		for id, v := range area {
			if _, covers := slices.BinarySearch(p.Map.CoverByID(int32(id)), int32(l)); covers {
				sum += v
			}
		}
		if sum >= fullPage*page {
			return l
		}
	}
	return -1
}

// BareAround returns the lowest layer that stays bare and reaches as far as the art on every side,
// as an index of Rules.Layers, or −1.
func (p *Places) BareAround() int {
	for l := range p.Rules.Layers {
		if use := p.Rules.Layers[l].Use; use != job.Drawn && use != job.LeftOut && p.Rules.IsBare(l) && p.Bounds[l].Grow(HealMM).Encloses(p.Extent) {
			return l
		}
	}
	return -1
}
