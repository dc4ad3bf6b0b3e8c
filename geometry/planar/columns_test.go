package planar

import (
	"context"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"testing"

	"abut/geometry"
	"abut/internal/motif"
)

// dense are inputs whose lines pass many vertices: they crowd on few steps, lie on
// each other, or end in one point.
func dense() map[string][]Layer {
	rng := rand.New(rand.NewPCG(4, 19))
	// strewn are shapes of some size, in steps, strewn over an area.
	strewn := func(n, width, height, x, y int) (out []Layer) {
		for range n {
			left, top := rng.IntN(width), rng.IntN(height)
			at := func() geometry.Point { return Point{int32(left + rng.IntN(x)), int32(top + rng.IntN(y))}.MM() }
			out = append(out, layer(geometry.NonZero, geometry.Path{geometry.Polygon(at(), at(), at(), at(), at())}))
		}
		return out
	}
	out := map[string][]Layer{}
	for i := range 300 { // of few vertices: a crossing may be the last of them
		out[fmt.Sprint("steep ", i)] = strewn(3, 2, 9, 3, 40)
	}
	maps.Copy(out, map[string][]Layer{
		"a heap":             strewn(40, 40, 40, 60, 60),
		"a field":            strewn(400, 900, 900, 60, 60),
		"a wide field":       strewn(400, 3000, 3000, 60, 60),
		"a row":              strewn(200, 9000, 20, 60, 60),
		"a pile":             strewn(200, 20, 9000, 60, 60),
		"steep":              strewn(40, 3, 3000, 2, 90),
		"slivers":            strewn(200, 3000, 3000, 300, 4),
		"more slivers":       strewn(300, 900, 900, 90, 4),
		"blobs":              blobsOf(rng, 12, 100, 20),
		"rays":               layersOf(motif.Sunburst(90, 20, 0.5)),
		"rings":              layersOf(motif.Rings(20, 10)),
		"lines":              layersOf(motif.Hatch(100, 10, false)),
		"lines aslant":       layersOf(motif.Hatch(100, 10, true)),
		"one shape, 9 times": slices.Repeat(blobsOf(rng, 1, 200, 20), 9),
	})
	return out
}

// The oracle looks at every vertex for every line. With columns of a few vertices,
// of many and without any the same are found; and lines that are not told to be
// near something pass none.
func TestColumns_FindWhatLookingAtAllVerticesFinds(t *testing.T) {
	ctx := context.Background()
	hits, spared, settled := 0, 0, 0
	for name, layers := range dense() {
		sc := new(scratch)
		in, err := quantise(ctx, layers, defaultSagittaMM, sc)
		if err != nil {
			t.Fatal(err)
		}
		_, lo, hi := linesOf(in)
		arr := &arrangement{segs: in.segments, origins: in.origins, deltas: newDeltas(len(in.terms))}
		frags, err := arr.number(unhurried(ctx), in, lo, hi, sc)
		if err != nil {
			t.Fatal(err)
		}
		lines, ids, _ := arr.lines(ctx, frags, sc) // its only error is the context's
		x, err := newIndex(ctx, lines, ids, 2*len(lines), lo, hi, defaultMaxCrossings, sc)
		if err != nil {
			t.Fatal(err)
		}
		crossings, err := x.findCrossings(ctx, defaultMaxCrossings, sc)
		if err != nil {
			t.Fatal(err)
		}
		if err := arr.add(unhurried(ctx), crossings, frags, lo, hi, sc); err != nil {
			t.Fatal(err)
		}
		want := slices.Clone(crossings)
		for _, s := range in.segments {
			want = append(want, s.a)
		}
		slices.SortFunc(want, comparePoints)
		if want = slices.Compact(want); !slices.Equal(arr.vertices, want) {
			t.Fatalf("%s: %d vertices, want %d: %v", name, len(arr.vertices), len(want), want)
		}
		scan, columns := columns{vertices: arr.vertices, top: lo.Y}, columns{vertices: arr.vertices, top: lo.Y}
		if err := columns.fill(unhurried(ctx), hi.Y, new(scratch)); err != nil {
			t.Fatal(err)
		}
		for i, f := range frags {
			want := passedBy(arr, f)
			hits += len(want)
			for what, look := range map[string]func(fragment, *vicinity) int{"columns tell": columns.passed, "a scan tells": scan.scanned} {
				var near vicinity
				look(f, &near)
				slices.Sort(near.hit)
				if !slices.Equal(near.hit, want) {
					t.Fatalf("%s: from %v to %v %s %v, want %v", name, arr.vertices[f.from], arr.vertices[f.to], what, near.hit, want)
				}
				settled += checkSettled(t, arr, f, &near)
			}
			if !x.near[i] {
				spared++
				if len(want) > 0 {
					t.Fatalf("%s: what runs from %v to %v passes %d vertices and is not near any", name, arr.vertices[f.from], arr.vertices[f.to], len(want))
				}
			}
		}
	}
	if hits < 1000 || spared < 1000 || settled < 1000 {
		t.Errorf("%d hits, %d lines near nothing, %d parts that pass nothing: too few to tell", hits, spared, settled)
	}
}

// passedBy looks at every vertex for those that a fragment passes between its ends.
func passedBy(arr *arrangement, f fragment) (list []VertexID) {
	a, b := arr.vertices[f.from], arr.vertices[f.to]
	for v, p := range arr.vertices {
		within := p.X >= min(a.X, b.X) && p.X <= max(a.X, b.X) && p.Y >= min(a.Y, b.Y) && p.Y <= max(a.Y, b.Y)
		if within && p != a && p != b && passesPixel(a, b, p) {
			list = append(list, VertexID(v))
		}
	}
	return list
}

// checkSettled cuts a fragment at what it hits, and tells how many of its parts are settled: none of these
// passes a vertex.
func checkSettled(t *testing.T, arr *arrangement, f fragment, near *vicinity) int {
	t.Helper()
	c := cutter{arrangement: arr}
	c.cut(f, near)
	if n := len(c.settled) + len(c.bent); n != len(near.hit)+1 {
		t.Fatalf("%d parts of what is cut at %d vertices", n, len(near.hit))
	}
	for _, g := range c.settled {
		if p := passedBy(arr, g); len(p) > 0 {
			t.Fatalf("the part from %v to %v of %v–%v passes %v and is settled",
				arr.vertices[g.from], arr.vertices[g.to], arr.vertices[f.from], arr.vertices[f.to], arr.vertices[p[0]])
		}
	}
	return len(c.settled)
}

// Any two lines on a few steps: what passes an end of the other or where they cross
// is told to be near something.
func TestLeafCell_TellsWhatPassesAVertex(t *testing.T) {
	const n = 7
	var all []line
	for i := range int32(n * n) {
		for k := range i {
			all = append(all, line{Point{k / n, k % n}, Point{i / n, i % n}})
		}
	}
	leaf := leafCell{&cells{shift: 10, nx: 1, ny: 1, start: []int32{0, 2}, member: []int32{^0, ^1}}, 0}
	pace := unhurried(context.Background())
	passing := 0
	for i, s := range all {
		for _, o := range all[:i] {
			lines := []line{o, s}
			if comparePoints(s.a, o.a) < 0 {
				lines = []line{s, o}
			}
			near := make([]bool, 2)
			x := &index{lines: lines, runs: new(runs)}
			x.runs.single(lines)
			found, err := x.crossings(leaf, pace, near, nil)
			if err != nil {
				t.Fatal(err)
			}
			for k, l := range lines {
				for _, p := range append(found, s.a, s.b, o.a, o.b) {
					if l.passes(p) {
						passing++
						if !near[k] {
							t.Fatalf("%v passes %v, of %v, and is not told", l, p, lines)
						}
					}
				}
			}
		}
	}
	if passing < 1000 {
		t.Errorf("%d vertices are passed: too few to tell", passing)
	}
}
