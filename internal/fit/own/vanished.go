package own

import (
	"slices"

	"abut/geometry"
	"abut/geometry/planar"
)

// vanishedMM is how long a line must be for anybody to miss it; what is shorter is crumbs, such as
// tracing leaves.
const vanishedMM = 1

// Vanished returns, as indices of Rules.Layers, bottom first, the layers that drew lines of which
// healing left nothing, and what healing took of these. Slivers between two outlines are none of
// them: there a layer goes on beside the sliver, or beneath what lies over it.
func (p *Places) Vanished() (layers []int, lines planar.Healed) {
	if p.Healed.Faces == 0 {
		return nil, lines
	}
	sides := p.sidesOfHealed()
	done := make([]bool, len(p.Labels))
	for f := range p.Labels {
		if l, gone := p.takenFrom(planar.FaceID(f)); gone && !done[f] {
			if line, is := p.lineAt(planar.FaceID(f), l, sides, done); is {
				layers = append(layers, int(l))
				lines.Faces += line.Faces
				lines.AreaMM2 += line.AreaMM2
			}
		}
	}
	slices.Sort(layers)
	return slices.Compact(layers), lines
}

// sides are the edges of some faces: those of face f are edges[first[f]:first[f+1]].
type sides struct {
	first []int32
	edges []planar.EdgeID
}

func (s *sides) of(f planar.FaceID) []planar.EdgeID { return s.edges[s.first[f]:s.first[f+1]] }

// sidesOfHealed are those of the faces that healing gave away.
func (p *Places) sidesOfHealed() *sides {
	s := &sides{first: make([]int32, len(p.Labels)+1)}
	each := func(do func(f planar.FaceID, e planar.EdgeID)) {
		for i := range p.Map.NumEdges() {
			e := p.Map.Edge(planar.EdgeID(i))
			for _, f := range [...]planar.FaceID{e.Left, e.Right} {
				if p.Labels[f] != p.Fresh[f] {
					do(f, planar.EdgeID(i))
				}
			}
		}
	}
	all := int32(0)
	each(func(f planar.FaceID, _ planar.EdgeID) { s.first[f+1]++; all++ })
	s.edges = make([]planar.EdgeID, all)
	at := int32(0)
	for f := range p.Labels { // where those of f begin, and then where the next of them goes
		at, s.first[f+1] = at+s.first[f+1], at
	}
	each(func(f planar.FaceID, e planar.EdgeID) {
		s.edges[s.first[f+1]] = e
		s.first[f+1]++
	})
	return s
}

// takenFrom returns the topmost layer that claimed a face which healing gave to somebody else;
// false where there is none.
func (p *Places) takenFrom(f planar.FaceID) (int32, bool) {
	if p.Labels[f] == p.Fresh[f] || p.Fresh[f] < 0 {
		return 0, false
	}
	who := p.Claimants[p.Map.CoverID(f)]
	if len(who) == 0 || who[0].Material == Bare {
		return 0, false
	}
	return who[0].Layer, true
}

// lineAt follows what was taken from a layer, from a face on. It is a line when the layer does
// not show beside it, and has no more beneath others there than what was taken.
func (p *Places) lineAt(from planar.FaceID, l int32, sides *sides, done []bool) (line planar.Healed, is bool) {
	is = true
	todo := []planar.FaceID{from}
	done[from] = true
	beneath := map[planar.FaceID]bool{}
	reach := geometry.EmptyRect()
	for len(todo) > 0 {
		f := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		line.Faces++
		line.AreaMM2 += p.Map.AreaMM2(f)
		for _, i := range sides.of(f) {
			e := p.Map.Edge(i)
			reach = reach.Include(p.Map.Vertex(e.From).MM()).Include(p.Map.Vertex(e.To).MM())
			g := e.Left
			if g == f {
				g = e.Right
			}
			if _, covered := slices.BinarySearch(p.Map.Cover(g), l); !covered || done[g] {
				continue
			}
			switch by, gone := p.takenFrom(g); {
			case gone && by == l:
				done[g] = true
				todo = append(todo, g)
			case !gone && p.shows(g, l):
				is = false
			default:
				beneath[g] = true
			}
		}
	}
	hidden := 0.0
	for g := range beneath {
		hidden += p.Map.AreaMM2(g)
	}
	return line, is && hidden <= line.AreaMM2 && max(reach.Width(), reach.Height()) >= vanishedMM
}

// shows reports whether a layer claims a face.
func (p *Places) shows(f planar.FaceID, l int32) bool {
	return slices.ContainsFunc(p.Claimants[p.Map.CoverID(f)], func(c Claimant) bool { return c.Layer == l })
}
