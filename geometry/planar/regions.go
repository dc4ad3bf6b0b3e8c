package planar

import (
	"cmp"
	"context"
	"slices"
)

// None labels a face that belongs to nobody.
const None int32 = -1

// Label returns a label for every face, by what covers it: of is asked once for
// each different cover, and must not keep the list that it is given.
func (m *Map) Label(of func(cover []int32) int32) []int32 {
	byCover := make([]int32, len(m.covers))
	for id, cover := range m.covers {
		byCover[id] = of(cover)
	}
	return m.LabelByID(byCover)
}

// LabelByID is Label for labels that are known already, by CoverID.
func (m *Map) LabelByID(byCover []int32) []int32 {
	labels := make([]int32, len(m.cover))
	for f, id := range m.cover {
		labels[f] = byCover[id]
	}
	return labels
}

// Healed says what Heal gave away.
type Healed struct {
	Faces   int
	AreaMM2 float64
}

// Heal gives every region that is thinner than widthMM to the neighbour with
// which it shares the longest edge, by changing its faces' labels in place.
// A region is a connected set of faces of one label, None included; its width
// is 2·area/perimeter, which for a long strip is the strip's width and for a
// disc its radius. The region around everything never counts as thin. Regions
// that share nothing but thin neighbours are settled in a few rounds, the
// smallest first. Its only error is the context's.
func (m *Map) Heal(ctx context.Context, labels []int32, widthMM float64) (Healed, error) {
	before := slices.Clone(labels)
	const rounds = 16 // each at least halves a nest of slivers; 3 is the most seen on real art
	for range rounds {
		changed, err := m.healOnce(ctx, labels, widthMM)
		if err != nil {
			return Healed{}, err
		}
		if !changed {
			break
		}
	}
	var h Healed
	for f, l := range labels {
		if l != before[f] {
			h.Faces++
			h.AreaMM2 += m.AreaMM2(FaceID(f))
		}
	}
	return h, nil
}

// border is an edge between a thin region and another one: the number of the two, and
// of the edge.
type border struct {
	pair uint64
	edge int32
}

func (m *Map) healOnce(ctx context.Context, labels []int32, widthMM float64) (changed bool, err error) {
	region, err := m.regions(ctx, labels)
	if err != nil {
		return false, err
	}
	area := make([]int64, len(labels))
	for f := range labels {
		area[region[f]] += m.area2[f]
	}
	perimeter := make([]float64, len(labels))
	for i := range m.edges {
		e := &m.edges[i]
		if a, b := region[e.Left], region[e.Right]; a != b {
			l := m.lengthMM(e)
			perimeter[a] += l
			perimeter[b] += l
		}
	}
	thin := make([]bool, len(labels))
	var small []int32
	for f := range labels {
		if r := int32(f); region[f] == r && r != region[Outside] && 2*mm2(area[r]) < widthMM*perimeter[r] {
			small = append(small, r)
			thin[r] = true
		}
	}
	if len(small) == 0 {
		return false, nil
	}
	slices.SortStableFunc(small, func(a, b int32) int { return cmp.Compare(area[a], area[b]) })
	neighbour := m.longestNeighbours(region, thin)
	label := slices.Clone(labels) // of each region, which are named by a face of theirs
	for _, r := range small {
		label[r] = label[neighbour[r]]
	}
	for f := range labels {
		if r := region[f]; thin[r] && label[r] != labels[f] {
			labels[f] = label[r]
			changed = true
		}
	}
	return changed, nil
}

// longestNeighbours returns, for every thin region, the region that it shares
// the longest border with; the lower id where two are equal.
func (m *Map) longestNeighbours(region []int32, thin []bool) []int32 {
	var borders []border
	for i := range m.edges {
		e := &m.edges[i]
		a, b := region[e.Left], region[e.Right]
		if a == b {
			continue
		}
		if thin[a] {
			borders = append(borders, border{uint64(a)<<32 | uint64(b), int32(i)})
		}
		if thin[b] {
			borders = append(borders, border{uint64(b)<<32 | uint64(a), int32(i)})
		}
	}
	slices.SortFunc(borders, func(x, y border) int { return cmp.Or(cmp.Compare(x.pair, y.pair), cmp.Compare(x.edge, y.edge)) })
	best, length := make([]int32, len(region)), make([]float64, len(region))
	for i := 0; i < len(borders); {
		sum, pair := 0.0, borders[i].pair
		for ; i < len(borders) && borders[i].pair == pair; i++ {
			sum += m.lengthMM(&m.edges[borders[i].edge])
		}
		if a := pair >> 32; sum > length[a] {
			best[a], length[a] = int32(uint32(pair)), sum
		}
	}
	return best
}

// regions returns for every face the lowest face of its region: connected faces
// of one label.
func (m *Map) regions(ctx context.Context, labels []int32) ([]int32, error) {
	parent := make([]int32, len(labels))
	for f := range parent {
		parent[f] = int32(f)
	}
	err := joinAlike(ctx, m.edges, labels, parent)
	for f := range parent {
		parent[f] = find(parent, int32(f))
	}
	return parent, err
}

func (m *Map) lengthMM(e *Edge) float64 {
	return distance(m.vertices[e.From], m.vertices[e.To]) / StepsPerMM
}
