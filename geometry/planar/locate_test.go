package planar

import (
	"context"
	"math/big"
	"testing"

	"abut/geometry"

	"pgregory.net/rapid"
)

// Straight under a vertex where two edges end, neither is above the other there:
// what lies between them is to the left of the vertex, not under it.
func TestLocate_UnderAVertexWhereEdgesMeet(t *testing.T) {
	m := build(t, layer(geometry.NonZero, geometry.Path{geometry.Polygon(geometry.Pt(0, 0), geometry.Pt(10, 10), geometry.Pt(0, 20))}))
	for _, c := range []struct {
		p    geometry.Point
		want int
	}{
		{geometry.Pt(10, 15), 0}, {geometry.Pt(10, 5), 0}, {geometry.Pt(9, 10), 1},
		{geometry.Pt(0, 10), 0}, {geometry.Pt(0.001, 10), 1}, {geometry.Pt(5, 30), 0},
	} {
		if got := len(m.Cover(m.Locate(c.p))); got != c.want {
			t.Errorf("%v: %d covers, want %d", c.p, got, c.want)
		}
	}
}

// The oracle works in fractions: of all edges over the half-open span left of
// the point, the lowest above it, and of those that meet there the steepest
// rise, which is the lowest just to the left.
func TestLocate_AgreesWithExactArithmetic(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, err := Build(context.Background(), anyLayers(t), Options{})
		if err != nil {
			t.Fatal(err)
		}
		for v := range min(len(m.vertices), 40) {
			p := m.Vertex(VertexID(v))
			for _, dy := range []int32{-1, 1, 5, 1000} {
				q := Point{p.X, p.Y + dy}
				if got, want := m.Locate(q.MM()), exactlyAt(m, q); want >= 0 && got != want {
					t.Fatalf("at %v: face %d, want %d", q, got, want)
				}
			}
		}
	})
}

// exactlyAt returns the face at a grid point, or −1 when it lies on an edge.
func exactlyAt(m *Map, p Point) FaceID {
	var best, bestSlope *big.Rat
	face := Outside
	for e := range m.NumEdges() {
		edge := m.Edge(EdgeID(e))
		a, b := m.Vertex(edge.From), m.Vertex(edge.To)
		if a.X == b.X {
			if a.X == p.X && a.Y <= p.Y && p.Y <= b.Y {
				return -1
			}
			continue
		}
		if a.X >= p.X || p.X > b.X {
			continue
		}
		slope := big.NewRat(int64(b.Y)-int64(a.Y), int64(b.X)-int64(a.X))
		at := new(big.Rat).Mul(slope, big.NewRat(int64(p.X)-int64(a.X), 1))
		at.Add(at, big.NewRat(int64(a.Y), 1))
		switch c := at.Cmp(big.NewRat(int64(p.Y), 1)); {
		case c == 0:
			return -1
		case c > 0:
			continue
		}
		if best == nil || at.Cmp(best) > 0 || at.Cmp(best) == 0 && slope.Cmp(bestSlope) < 0 {
			best, bestSlope, face = at, slope, edge.Right
		}
	}
	return face
}
