package weak

import (
	"context"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/planar"
)

// open returns, for each shape with thin places, what is left of it there
// after shrinking by half the width and growing back, as figures of one layer.
// It is larger than the true opening where nothing thin is near.
func (f *finder) open(ctx context.Context) ([][]planar.Figure, error) {
	n := len(f.shapes)
	r := f.o.WidthMM / 2
	out := make([][]planar.Figure, n)
	layers := make([]planar.Layer, 2*n)
	near := make([]*nearby, n)
	for i := range f.shapes {
		s := &f.shapes[i]
		if len(s.discs) == 0 {
			continue
		}
		near[i] = newNearby(s.discs, f.reach*f.o.WidthMM)
		layers[i].Figures = []planar.Figure{{Path: s.outline, Rule: geometry.EvenOdd}}
		layers[n+i].Figures = []planar.Figure{{Path: near[i].band(s.outline, -r)}}
	}
	m, err := planar.Build(ctx, layers, planar.Options{SagittaMM: sagittaMM, MaxCrossings: maxCrossings})
	if err != nil {
		return nil, err
	}
	byCover := make([]int32, m.NumCovers())
	for id := range byCover {
		byCover[id] = planar.None
		if c := m.CoverByID(int32(id)); len(c) > 0 && int(c[0]) < n {
			if _, shrunk := slices.BinarySearch(c, int32(n)+c[0]); !shrunk {
				byCover[id] = c[0]
			}
		}
	}
	labels := make([]int32, m.NumFaces())
	for k := range labels {
		labels[k] = byCover[m.CoverID(planar.FaceID(k))]
	}
	d := m.Divide(labels)
	for k := range d.Pieces {
		i := d.Pieces[k].Label
		core := d.Outline(k)
		out[i] = append(out[i],
			planar.Figure{Path: core, Rule: geometry.EvenOdd},
			planar.Figure{Path: near[i].band(core, r+slackMM)})
	}
	return out, nil
}

// nearby answers whether a place is near a disc.
type nearby struct {
	cell float64
	in   map[[2]int32]bool
}

func newNearby(discs []disc, within float64) *nearby {
	k := &nearby{cell: within, in: map[[2]int32]bool{}}
	for i := range discs {
		x, y := k.at(discs[i].c)
		for dy := int32(-1); dy <= 1; dy++ {
			for dx := int32(-1); dx <= 1; dx++ {
				k.in[[2]int32{x + dx, y + dy}] = true
			}
		}
	}
	return k
}

func (k *nearby) at(p geometry.Point) (x, y int32) {
	return int32(math.Floor(p.X / k.cell)), int32(math.Floor(p.Y / k.cell))
}

func (k *nearby) touches(a, b geometry.Point) bool {
	r := geometry.EmptyRect().Include(a).Include(b)
	x0, y0 := k.at(r.Min)
	x1, y1 := k.at(r.Max)
	if int64(x1-x0+1)*int64(y1-y0+1) > int64(4*len(k.in)) {
		return true
	}
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			if k.in[[2]int32{x, y}] {
				return true
			}
		}
	}
	return false
}

// band is geometry.OffsetBand of the parts of the outline that are near.
func (k *nearby) band(p geometry.Path, d float64) geometry.Path {
	var out geometry.Path
	all := sides(p)
	wound := func(c geometry.Contour) geometry.Contour {
		if d < 0 {
			return geometry.Path{c}.Reverse()[0]
		}
		return c
	}
	for i := range all {
		s := &all[i]
		if !k.touches(s.a, s.b) {
			continue
		}
		n := s.inward().Mul(-d)
		out = append(out, wound(geometry.Polygon(s.a, s.a.Add(n), s.b.Add(n), s.b)))
		m := all[s.next].inward().Mul(-d)
		if turn := n.Cross(m) * math.Copysign(1, d); turn > 0 || turn == 0 && n.Dot(m) < 0 {
			out = append(out, wound(sector(s.b, n, m, d)))
		}
	}
	return out
}

// sector is the part of the disc around b between the ends of n and m, its arc
// in chords that stray less than the map's sagitta, around the true arc when
// growing so that nothing is lost.
func sector(b, n, m geometry.Point, d float64) geometry.Contour {
	angle := math.Atan2(n.Cross(m), n.Dot(m))
	if angle == 0 {
		angle = math.Copysign(math.Pi, d)
	}
	r := math.Abs(d)
	step := 2 * math.Acos(math.Max(0, 1-sagittaMM/r))
	k := max(1, int(math.Ceil(math.Abs(angle)/step)))
	pts := make([]geometry.Point, 0, k+2)
	pts = append(pts, b, b.Add(n))
	for i := 1; i < k; i++ {
		sin, cos := math.Sincos(angle * float64(i) / float64(k))
		pts = append(pts, b.Add(geometry.Pt(n.X*cos-n.Y*sin, n.X*sin+n.Y*cos)))
	}
	return geometry.Polygon(append(pts, b.Add(m))...)
}
