package planar

import (
	"context"
	"errors"
	"math/rand/v2"
	"testing"
	"time"

	"abut/geometry"
)

// decode reads layers from bytes: a unit, then commands of one byte each with
// the coordinates that they take. Every input means something, so that a
// fuzzer's changes stay pictures.
func decode(data []byte) []Layer {
	r := &reader{data: data}
	// Coordinates are 8 bits of these units, in steps: 1 and 3 make vertices
	// touch and edges pass within a step, the largest reaches the grid's limit.
	r.unit = []float64{1, 3, 100, 10000, 250000, 4194303}[r.next()%6]
	var layers []Layer
	var path geometry.Path
	rule := geometry.NonZero
	var clips []*Clip
	figure := func() {
		if len(path) == 0 {
			return
		}
		if len(layers) == 0 {
			layers = append(layers, Layer{})
		}
		l := &layers[len(layers)-1]
		l.Figures = append(l.Figures, Figure{Path: path, Rule: rule, Clips: clips})
		path, clips = nil, nil
	}
	for len(r.data) > 0 {
		op := r.next()
		if len(path) == 0 || op%8 == 0 {
			path = append(path, geometry.Contour{Start: r.point()})
		}
		c := &path[len(path)-1]
		switch op % 8 {
		case 1, 2:
			c.Segments = append(c.Segments, geometry.LineTo(r.point()))
		case 3: // near the last point
			c.Segments = append(c.Segments, geometry.LineTo(r.near(c.End())))
		case 4:
			c.Segments = append(c.Segments, geometry.CubicTo(r.point(), r.point(), r.point()))
		case 5:
			rule = geometry.FillRule(op >> 7)
			figure()
		case 6:
			figure()
			layers = append(layers, Layer{})
		case 7: // what was drawn so far clips what follows
			// Of clips before it, it is clipped by the last alone: the winding oracle
			// follows every way through them.
			clips = append(clips, &Clip{Figures: []Figure{{Path: path, Rule: rule, Clips: clips[max(0, len(clips)-1):]}}})
			path = nil
		}
	}
	figure()
	return layers
}

type reader struct {
	data []byte
	unit float64
}

func (r *reader) next() byte {
	if len(r.data) == 0 {
		return 0
	}
	b := r.data[0]
	r.data = r.data[1:]
	return b
}

func (r *reader) point() geometry.Point {
	return geometry.Pt(r.coordinate(), r.coordinate())
}

func (r *reader) coordinate() float64 {
	return float64(int8(r.next())) * r.unit / StepsPerMM
}

func (r *reader) near(p geometry.Point) geometry.Point {
	b := r.next()
	q := p.Add(geometry.Pt(float64(int(b&15)-8)/4/StepsPerMM, float64(int(b>>4)-8)/4/StepsPerMM))
	if _, ok := toGrid(q); !ok {
		return p
	}
	return q
}

// seeds are small pictures of what is hard: what the fuzzer starts from.
func seeds(f *testing.F) {
	for _, s := range [][]byte{
		{},
		{0, 0, 1, 1},
		{3, 0, 0, 0, 1, 10, 0, 1, 10, 10, 1, 0, 10, 6, 0, 5, 5, 1, 15, 5, 1, 15, 15, 1, 5, 15},                                            // two squares
		{0, 0, 0, 0, 1, 9, 4, 1, 2, 7, 6, 0, 0, 1, 1, 9, 3, 1, 1, 8, 6, 0, 3, 0, 1, 4, 9, 1, 2, 2},                                        // within steps of each other
		{1, 0, 0, 0, 1, 10, 10, 1, 10, 0, 1, 0, 10, 5 | 128, 0, 1, 1, 4, 9, 9, 9, 1, 1, 9},                                                // a bow tie, a loop
		{2, 0, 0, 0, 1, 100, 0, 1, 0, 0, 1, 50, 0, 0, 0, 0, 1, 100, 0, 1, 100, 1},                                                         // spikes and coincident edges
		{3, 0, 0, 0, 4, 50, 0, 50, 50, 0, 50, 7, 0, 0, 20, 1, 50, 20, 1, 50, 30, 1, 0, 30, 5},                                             // a clipped curve
		{5, 0, 127, 127, 1, 129, 127, 1, 129, 129, 1, 127, 129, 6, 0, 127, 128, 1, 128, 127, 1, 129, 128, 1, 128, 129},                    // the corners of the grid
		{4, 0, 0, 0, 3, 0x11, 3, 0x1f, 1, 100, 0, 3, 0x99, 1, 0, 1, 6, 0, 0, 0, 1, 100, 1, 3, 0x77, 1, 1, 0},                              // slivers
		{3, 0, 0, 0, 1, 20, 0, 1, 20, 20, 1, 0, 20, 0, 0, 0, 1, 20, 0, 1, 20, 20, 1, 0, 20, 0, 5, 5, 1, 5, 15, 1, 15, 15, 1, 15, 5, 5, 1}, // doubled, with a hole
	} {
		f.Add(s)
	}
	rng := rand.New(rand.NewPCG(5, 5))
	for range 8 {
		s := make([]byte, 60)
		for i := range s {
			s[i] = byte(rng.Uint32())
		}
		f.Add(s)
	}
}

// fuzzBudget bounds the crossings of one input and, with the bound on its
// length, its time.
const fuzzBudget = 20000

// fuzzMap builds the layers that the bytes stand for, within a time that no
// input of this size may exceed.
func fuzzMap(t *testing.T, data []byte) (*Map, []Layer) {
	if len(data) > 2000 {
		t.Skip("long inputs are slow and find nothing more")
	}
	layers := decode(data)
	ctx, cancel := context.WithTimeout(context.Background(), 20*time.Minute)
	defer cancel()
	m, err := Build(ctx, layers, Options{MaxCrossings: fuzzBudget})
	var ce *ComplexityError
	if errors.As(err, &ce) {
		t.Skip("past the budget of crossings")
	}
	if err != nil {
		t.Fatalf("%v", err)
	}
	return m, layers
}

// FuzzBuild holds any picture at all to the laws.
func FuzzBuild(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		m, layers := fuzzMap(t, data)
		if m.NumEdges() > 5000 {
			t.Skip("too large to be compared edge by edge")
		}
		checkMap(t, m)
		labels := topmost(m)
		var union int64
		for g := range m.NumFaces() {
			if labels[g] != None {
				union += m.Area2(FaceID(g))
			}
		}
		checkDivision(t, m, divided(m, labels), union)
		rng := rand.New(rand.NewPCG(uint64(len(data)), 0))
		pictureOf(m, Point{}).mustEqual(t, pictureOf(mustBuild(t, rewritten(rng, layers)), Point{}), "written in another order")
		checkCovers(t, rng, m, layers, 20)
		checkTags(t, m, layers)
		healed(m, labels)
		checkDivision(t, m, divided(m, labels), -1)
	})
}

// FuzzSmooth holds the curves along seams to their bounds.
func FuzzSmooth(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		m, _ := fuzzMap(t, data)
		if m.NumEdges() > 5000 {
			t.Skip("too large to be built again")
		}
		checkSmooth(t, m, topmost(m))
	})
}

// FuzzIdempotent feeds what comes out in again.
func FuzzIdempotent(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		m, _ := fuzzMap(t, data)
		checkIdempotent(t, divided(m, topmost(m)))
	})
}
