package planar

import (
	"cmp"
	"context"
	"math/bits"
	"slices"

	"abut/geometry/parallel"
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
	length, err := m.lengths(ctx)
	if err != nil {
		return Healed{}, err
	}
	region, err := m.regions(ctx, labels, nil)
	if err != nil {
		return Healed{}, err
	}
	const rounds = 16 // each at least halves a nest of slivers; 3 is the most seen on real art
	for range rounds {
		changed, err := m.healOnce(ctx, labels, region, length, widthMM)
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

// healOnce is one round of Heal. Regions are those of the labels, before and after.
func (m *Map) healOnce(ctx context.Context, labels, region []int32, length []float64, widthMM float64) (changed bool, err error) {
	area := make([]int64, len(labels))
	for f := range labels {
		area[region[f]] += m.area2[f]
	}
	perimeter := make([]float64, len(labels))
	for i := range m.edges {
		e := &m.edges[i]
		if a, b := region[e.Left], region[e.Right]; a != b {
			perimeter[a] += length[i]
			perimeter[b] += length[i]
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
	borders := m.bordersOf(region, thin)
	neighbour, err := longestNeighbours(ctx, borders, len(region), length)
	if err != nil {
		return false, err
	}
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
	if changed {
		m.joinAcross(borders, labels, region)
	}
	return changed, nil
}

// joinAcross makes one region of those that are labelled alike by now: that they can be across the borders of
// thin ones only, for no others changed their label.
func (m *Map) joinAcross(borders []keyed, labels, region []int32) {
	for _, b := range borders {
		if e := &m.edges[b.id]; labels[e.Left] == labels[e.Right] {
			join(region, e.Left, e.Right)
		}
	}
	for f := range region {
		region[f] = find(region, int32(f))
	}
}

// bordersOf lists the edges of thin regions by the pair of regions between which they lie, the thin one
// first: twice where both are.
func (m *Map) bordersOf(region []int32, thin []bool) (borders []keyed) {
	idBits := bits.Len(uint(len(region)))
	for i := range m.edges {
		e := &m.edges[i]
		a, b := region[e.Left], region[e.Right]
		if a == b {
			continue
		}
		if thin[a] {
			borders = append(borders, keyed{uint64(a)<<idBits | uint64(b), int32(i)})
		}
		if thin[b] {
			borders = append(borders, keyed{uint64(b)<<idBits | uint64(a), int32(i)})
		}
	}
	return borders
}

// longestNeighbours returns, for every thin region, the region that it shares
// the longest border with; the lower id where two are equal. It sorts the borders.
func longestNeighbours(ctx context.Context, borders []keyed, faces int, length []float64) ([]int32, error) {
	idBits := bits.Len(uint(faces))
	if err := sortShared(unhurried(ctx), borders, make([]keyed, len(borders)), 2*idBits); err != nil {
		return nil, err
	}
	best, longest := make([]int32, faces), make([]float64, faces)
	for i := 0; i < len(borders); {
		sum, pair := 0.0, borders[i].key
		for ; i < len(borders) && borders[i].key == pair; i++ {
			sum += length[borders[i].id]
		}
		if a := pair >> idBits; sum > longest[a] {
			best[a], longest[a] = int32(pair&(1<<idBits-1)), sum
		}
	}
	return best, nil
}

// regions returns for every face the lowest face of its region: connected faces
// of one label. Where there is a list for it, it notes of each edge whether it parts two labels.
func (m *Map) regions(ctx context.Context, labels []int32, parts []bool) ([]int32, error) {
	parent := make([]int32, len(labels))
	for f := range parent {
		parent[f] = int32(f)
	}
	err := joinAlike(ctx, m.edges, labels, parent, parts)
	for f := range parent {
		parent[f] = find(parent, int32(f))
	}
	return parent, err
}

// lengths returns how long each edge is, in millimetres.
func (m *Map) lengths(ctx context.Context) ([]float64, error) {
	out := make([]float64, len(m.edges))
	return out, parallel.Ranges(ctx, len(m.edges), worthSplitting, func(_, lo, hi int) error {
		for i := lo; i < hi; i++ {
			out[i] = m.lengthMM(&m.edges[i])
		}
		return nil
	})
}

func (m *Map) lengthMM(e *Edge) float64 {
	return distance(m.vertices[e.From], m.vertices[e.To]) / StepsPerMM
}
