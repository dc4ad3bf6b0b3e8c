package planar

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"abut/geometry"
)

// The zoo: input that is legal and that careless geometry dies of. What would
// grow without bound here runs into the time that go test allows a package.

// poly returns the closed contour through points given as x, y, x, y …
func poly(xy ...float64) geometry.Contour {
	pts := make([]geometry.Point, 0, len(xy)/2)
	for i := 0; i+1 < len(xy); i += 2 {
		pts = append(pts, geometry.Pt(xy[i], xy[i+1]))
	}
	return geometry.Polygon(pts...)
}

func TestZoo_AreasAndRings(t *testing.T) {
	square := poly(0, 0, 10, 0, 10, 10, 0, 10)
	reversed := geometry.Path{square}.Reverse()[0]
	one := func(rule geometry.FillRule, c ...geometry.Contour) []Layer {
		return []Layer{layer(rule, geometry.Path(c))}
	}
	nz, eo := geometry.NonZero, geometry.EvenOdd
	for _, c := range []struct {
		name   string
		layers []Layer
		area   float64 // of all pieces, mm²
		pieces int
		rings  int // of all pieces
		points int // of all rings
	}{
		{"nothing", nil, 0, 0, 0, 0},
		{"empty layers, figures and contours", []Layer{{}, {Figures: []Figure{{}}}, layer(nz, geometry.Path{{}, {Closed: true}})}, 0, 0, 0, 0},
		{"a point", one(nz, poly(5, 5)), 0, 0, 0, 0},
		{"a point, many times", one(nz, poly(5, 5, 5, 5, 5, 5)), 0, 0, 0, 0},
		{"a line there and back", one(nz, poly(0, 0, 10, 5)), 0, 0, 0, 0},
		{"a curve of one point", one(nz, geometry.Contour{Start: geometry.Pt(1, 1), Segments: []geometry.Segment{geometry.CubicTo(geometry.Pt(1, 1), geometry.Pt(1, 1), geometry.Pt(1, 1))}}), 0, 0, 0, 0},
		{"a curve there and back", one(nz, geometry.Contour{Start: geometry.Pt(0, 0), Segments: []geometry.Segment{
			geometry.CubicTo(geometry.Pt(1, 9), geometry.Pt(9, 9), geometry.Pt(10, 0)), geometry.CubicTo(geometry.Pt(9, 9), geometry.Pt(1, 9), geometry.Pt(0, 0))}}), 0, 0, 0, 0},
		{"three points in line", one(eo, poly(0, 0, 4, 4, 10, 10)), 0, 0, 0, 0},
		{"a square", one(nz, square), 100, 1, 1, 4},
		{"a square, twice, nonzero", one(nz, square, square), 100, 1, 1, 4},
		{"a square, twice, even-odd", one(eo, square, square), 0, 0, 0, 0},
		{"a square, thrice, even-odd", one(eo, square, square, square), 100, 1, 1, 4},
		{"a square and its reverse, nonzero", one(nz, square, reversed), 0, 0, 0, 0},
		{"a ring that goes round twice, even-odd", one(eo, poly(0, 0, 10, 0, 10, 10, 0, 10, 0, 0, 10, 0, 10, 10, 0, 10)), 0, 0, 0, 0},
		{"a ring that goes round twice, nonzero", one(nz, poly(0, 0, 10, 0, 10, 10, 0, 10, 0, 0, 10, 0, 10, 10, 0, 10)), 100, 1, 1, 4},
		{"a spike out", one(nz, poly(0, 0, 10, 0, 10, 5, 20, 5, 10, 5, 10, 10, 0, 10)), 100, 1, 1, 4},
		{"a spike in", one(nz, poly(0, 0, 10, 0, 10, 5, 3, 5, 10, 5, 10, 10, 0, 10)), 100, 1, 1, 4},
		{"a spike along the side", one(nz, poly(0, 0, 10, 0, 10, 10, 10, 3, 10, 10, 0, 10)), 100, 1, 1, 4},
		{"a bow tie, even-odd", one(eo, poly(0, 0, 10, 10, 10, 0, 0, 10)), 50, 2, 2, 6},
		{"a bow tie, nonzero", one(nz, poly(0, 0, 10, 10, 10, 0, 0, 10)), 50, 2, 2, 6},
		{"a pentagram wound twice round its middle", one(nz, poly(0, 4, 10, 4, 2, 10, 5, 0, 8, 10)), -1, 1, 1, 10},
		{"a hole that touches its outer ring", one(eo, square, poly(0, 5, 5, 2, 5, 8)), 85, 1, 2, 7},
		{"a hole that touches twice", one(eo, square, poly(0, 5, 5, 0, 5, 8)), 100 - 20, 2, 2, 9},
		{"a hole as large as its ring", one(eo, square, reversed), 0, 0, 0, 0},
		{"two squares side by side in one layer", one(nz, square, poly(10, 0, 20, 0, 20, 10, 10, 10)), 200, 1, 1, 4},
		{"two squares side by side in one layer, even-odd", one(eo, square, poly(10, 0, 20, 0, 20, 10, 10, 10)), 200, 1, 1, 4},
		{"two squares, corner to corner", one(nz, square, poly(10, 10, 20, 10, 20, 20, 10, 20)), 200, 2, 2, 8},
		{"two layers that share part of a side", []Layer{rect(0, 0, 10, 10), rect(10, 3, 10, 10)}, 200, 2, 2, 8},
		{"one layer exactly over another", []Layer{rect(0, 0, 10, 10), rect(0, 0, 10, 10)}, 100, 1, 1, 4},
		{"an upper layer that takes a corner", []Layer{rect(0, 0, 10, 10), rect(0, 0, 4, 4)}, 100, 2, 2, 10},
		{"a vertex of one on the side of another", []Layer{rect(0, 0, 10, 10), layer(nz, geometry.Path{poly(10, 5, 15, 0, 15, 10)})}, 125, 2, 2, 7},
		{"a clip that covers nothing", []Layer{{Figures: []Figure{{Path: geometry.Path{square}, Clips: []*Clip{{}}}}}}, 0, 0, 0, 0},
		{"a clip without area", []Layer{{Figures: []Figure{{Path: geometry.Path{square}, Clips: []*Clip{{Figures: []Figure{{Path: geometry.Path{poly(0, 0, 10, 10)}}}}}}}}}, 0, 0, 0, 0},
		{"a clip exactly as large", []Layer{{Figures: []Figure{{Path: geometry.Path{square}, Clips: []*Clip{{Figures: []Figure{{Path: geometry.Path{reversed}}}}}}}}}, 100, 1, 1, 4},
	} {
		m := mustBuild(t, c.layers)
		checkMap(t, m)
		d := divided(m, topmost(m))
		checkDivision(t, m, d, -1)
		area, rings, points := 0.0, 0, 0
		for _, p := range d.Pieces {
			area += p.AreaMM2()
			rings += len(p.Rings)
			for _, r := range p.Rings {
				points += len(d.RingPoints(r))
			}
		}
		if c.area >= 0 && area != c.area || len(d.Pieces) != c.pieces || rings != c.rings || points != c.points {
			t.Errorf("%s: %v mm², %d pieces, %d rings, %d points; want %v, %d, %d, %d",
				c.name, area, len(d.Pieces), rings, points, c.area, c.pieces, c.rings, c.points)
		}
	}
}

// Random rectangles with whole coordinates: every unit cell has one cover, and
// all that the map says follows from counting cells.
func TestZoo_RectanglesOnAGridCountTheirCells(t *testing.T) {
	for seed := range uint64(rounds(20, 100)) {
		rng := rand.New(rand.NewPCG(seed, 6))
		const n = 24
		var layers []Layer
		var covers [n][n][]int32
		for l := range 1 + rng.IntN(12) {
			var fig Figure
			fig.Rule = geometry.FillRule(rng.IntN(2))
			var winding [n][n]int
			for range 1 + rng.IntN(6) {
				x0, y0 := rng.IntN(n), rng.IntN(n)
				x1, y1 := x0+1+rng.IntN(n-x0), y0+1+rng.IntN(n-y0)
				r := geometry.RectXYWH(float64(x0), float64(y0), float64(x1-x0), float64(y1-y0)).Path()
				turn := 1
				if rng.IntN(2) == 0 {
					r, turn = r.Reverse(), -1
				}
				fig.Path = append(fig.Path, r...)
				for x := x0; x < x1; x++ {
					for y := y0; y < y1; y++ {
						winding[x][y] += turn
					}
				}
			}
			layers = append(layers, Layer{Figures: []Figure{fig}})
			for x := range n {
				for y := range n {
					if fig.Rule.Encloses(winding[x][y]) {
						covers[x][y] = append(covers[x][y], int32(l))
					}
				}
			}
		}
		m := mustBuild(t, layers)
		checkMap(t, m)
		checkCells(t, seed, m, func(x, y int) []int32 {
			if x < 0 || y < 0 || x >= n || y >= n {
				return nil
			}
			return covers[x][y]
		}, n)
	}
}

// checkCells compares areas, borders and the number of pieces with what the
// cells say.
func checkCells(t *testing.T, seed uint64, m *Map, coverAt func(x, y int) []int32, n int) {
	t.Helper()
	wantArea, wantBorder := map[string]int64{}, map[string]float64{}
	owner := func(x, y int) int32 {
		if c := coverAt(x, y); len(c) > 0 {
			return c[len(c)-1]
		}
		return None
	}
	const cell2 = 2 * StepsPerMM * StepsPerMM
	parent := make([]int32, n*n)
	for i := range parent {
		parent[i] = int32(i)
	}
	cut := 0.0
	for x := -1; x < n; x++ {
		for y := -1; y < n; y++ {
			c := fmt.Sprint(coverAt(x, y))
			if x >= 0 && y >= 0 {
				wantArea[c] += cell2
			}
			for _, next := range [2][2]int{{x + 1, y}, {x, y + 1}} {
				d := fmt.Sprint(coverAt(next[0], next[1]))
				if c != d {
					wantBorder[c] += StepsPerMM
					wantBorder[d] += StepsPerMM
				}
				switch a, b := owner(x, y), owner(next[0], next[1]); {
				case a != b:
					cut++
				case a != None:
					join(parent, int32(x*n+y), int32(next[0]*n+next[1]))
				}
			}
		}
	}
	pieces := 0
	for i := range parent {
		if parent[i] == int32(i) && owner(i/n, i%n) != None {
			pieces++
		}
	}
	area, border := coverMeasures(m)
	for c := range wantArea {
		if c != "[]" && (area[c] != wantArea[c] || math.Abs(border[c]-wantBorder[c]) > 1e-3) {
			t.Fatalf("seed %d: cover %s: twice-area %d, border %.0f, want %d, %.0f", seed, c, area[c], border[c], wantArea[c], wantBorder[c])
		}
	}
	d := divided(m, topmost(m))
	checkDivision(t, m, d, -1)
	length := 0.0
	for _, s := range d.Seams {
		length += s.LengthMM
	}
	if len(d.Pieces) != pieces || math.Abs(length-cut) > 1e-6 {
		t.Fatalf("seed %d: %d pieces, %.3f mm of seams, want %d, %.0f", seed, len(d.Pieces), length, pieces, cut)
	}
	for x := range n {
		for y := range n {
			p := geometry.Pt(float64(x)+0.5, float64(y)+0.5)
			if got, want := m.Cover(m.Locate(p)), coverAt(x, y); !slices.Equal(got, want) {
				t.Fatalf("seed %d: at %v: %v, want %v", seed, p, got, want)
			}
		}
	}
}

func TestZoo_CheckerboardTouchesAtItsCorners(t *testing.T) {
	const n = 32
	var black, white geometry.Path
	for x := range n {
		for y := range n {
			r := geometry.RectXYWH(float64(x), float64(y), 1, 1).Path()
			if (x+y)%2 == 0 {
				black = append(black, r...)
			} else {
				white = append(white, r...)
			}
		}
	}
	m := build(t, layer(geometry.NonZero, black), layer(geometry.EvenOdd, white))
	checkMap(t, m)
	d := divided(m, topmost(m))
	checkDivision(t, m, d, 2*n*n*StepsPerMM*StepsPerMM)
	if len(d.Pieces) != n*n {
		t.Errorf("%d pieces, want %d: cells that touch at corners are pieces of their own", len(d.Pieces), n*n)
	}
	if len(d.Seams) != 2*n*(n+1)-4 {
		t.Errorf("%d seams, want one for every side (two at the board's four corners are one)", len(d.Seams))
	}
}

// Vertices that come to lie within a step of an edge, or exactly half a step
// from it: the edge is led through them or passes, and nothing crosses.
func TestZoo_VerticesWithinAStepOfAnEdge(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 11))
	for range rounds(200, 2000) {
		a := geometry.Pt(rng.Float64()*40, rng.Float64()*40)
		b := geometry.Pt(rng.Float64()*40, rng.Float64()*40)
		layers := []Layer{layer(geometry.NonZero, geometry.Path{geometry.Polygon(a, b, geometry.Pt(-20, 60))})}
		for range 5 {
			// Triangles whose tips come within two steps of the edge.
			tip := a.Lerp(b, rng.Float64()).Add(geometry.Pt(rng.Float64()*4-2, rng.Float64()*4-2).Mul(1.0 / StepsPerMM))
			layers = append(layers, layer(geometry.NonZero, geometry.Path{geometry.Polygon(tip,
				tip.Add(geometry.Pt(rng.Float64()*9-4, rng.Float64()*9-4)), tip.Add(geometry.Pt(rng.Float64()*9-4, rng.Float64()*9-4)))}))
		}
		m := mustBuild(t, layers)
		checkMap(t, m)
		checkDivision(t, m, divided(m, topmost(m)), -1)
	}
}

// Segments strewn over 20 µm, as dense as the grid: bent ones come into new
// pixels for many rounds.
func TestZoo_StrewnWithinAFewSteps(t *testing.T) {
	rng := rand.New(rand.NewPCG(13, 13))
	for range rounds(5, 40) {
		var path geometry.Path
		for range 60 {
			at := func() float64 { return float64(rng.IntN(200)) / StepsPerMM }
			path = append(path, poly(at(), at(), at(), at(), at(), at()))
		}
		m := mustBuild(t, []Layer{layer(geometry.EvenOdd, path)})
		checkMap(t, m)
		d := divided(m, topmost(m))
		checkDivision(t, m, d, -1)
		checkIdempotent(t, d)
		// What bending costs: see toGrid.
		if s := m.ShiftMM() * StepsPerMM; s > 22 {
			t.Errorf("an edge was moved by %.1f steps", s)
		}
	}
}

// Slivers between lines that are nearly the same.
func TestZoo_NearlyParallelSlivers(t *testing.T) {
	rng := rand.New(rand.NewPCG(12, 12))
	for range rounds(20, 200) {
		a, b := geometry.Pt(rng.Float64()*4, rng.Float64()*4), geometry.Pt(90+rng.Float64()*4, rng.Float64()*50)
		jog := func(p geometry.Point) geometry.Point {
			return p.Add(geometry.Pt(float64(rng.IntN(7)-3), float64(rng.IntN(7)-3)).Mul(1.0 / StepsPerMM))
		}
		var layers []Layer
		for range 8 {
			layers = append(layers, layer(geometry.EvenOdd, geometry.Path{geometry.Polygon(jog(a), jog(b), jog(a.Lerp(b, 0.7)), jog(a.Lerp(b, 0.2)))}))
		}
		m := mustBuild(t, layers)
		checkMap(t, m)
		checkDivision(t, m, divided(m, topmost(m)), -1)
	}
}

func TestZoo_AThousandLayersOnOneSpot(t *testing.T) {
	n := rounds(200, 1000)
	var layers []Layer
	for range n {
		layers = append(layers, rect(0, 0, 10, 10))
	}
	m := mustBuild(t, layers)
	if m.NumFaces() != 2 || len(m.Cover(1)) != n {
		t.Errorf("%d faces, %d layers over the square, want 2 and %d", m.NumFaces(), len(m.Cover(1)), n)
	}
}

func TestZoo_TwoThousandNestedRings(t *testing.T) {
	n := rounds(300, 2000)
	var layers []Layer
	var rings geometry.Path
	for i := range n {
		s := float64(n-i) * 0.01
		r := geometry.RectXYWH(-s, -s, 2*s, 2*s).Path()
		rings = append(rings, r...)
		layers = append(layers, layer(geometry.NonZero, r))
	}
	m := mustBuild(t, layers)
	d := divided(m, topmost(m))
	if m.NumFaces() != n+1 || len(d.Pieces) != n {
		t.Errorf("%d faces, %d pieces, want %d and %d", m.NumFaces(), len(d.Pieces), n+1, n)
	}
	if c := m.Cover(m.Locate(geometry.Pt(0, 0))); len(c) != n {
		t.Errorf("%d layers in the middle, want %d", len(c), n)
	}
	// All but the innermost are square rings 0.01 mm wide.
	if got, want := ownedBy(d, 0), 0.01*0.01*4*float64(2*n-1); math.Abs(got-want) > 1e-9 {
		t.Errorf("the outermost layer owns %v mm², want %v", got, want)
	}
	for _, c := range []struct {
		rule   geometry.FillRule
		pieces int
	}{{geometry.EvenOdd, (n + 1) / 2}, {geometry.NonZero, 1}} {
		m := mustBuild(t, []Layer{layer(c.rule, rings)})
		if d := divided(m, topmost(m)); len(d.Pieces) != c.pieces {
			t.Errorf("%v: %d pieces, want %d", c.rule, len(d.Pieces), c.pieces)
		}
	}
}

// star returns the burst of so many spikes (odd) whose sides all cross.
func star(spikes int) []Layer {
	var pts []geometry.Point
	for i := range spikes {
		s, c := math.Sincos(2 * math.Pi * float64(i*(spikes/2)) / float64(spikes))
		pts = append(pts, geometry.Pt(50*c, 50*s))
	}
	return []Layer{layer(geometry.NonZero, geometry.Path{geometry.Polygon(pts...)})}
}

// Whatever many sides cross, a star is one piece. (Past the budget:
// TestBuild_StopsAtTheCrossingBudget.)
func TestZoo_StarsWhoseSidesAllCross(t *testing.T) {
	for _, spikes := range []int{5, 51, rounds(101, 401)} {
		m := mustBuild(t, star(spikes))
		if d := divided(m, topmost(m)); len(d.Pieces) != 1 || len(d.Pieces[0].Rings) != 1 {
			t.Errorf("a star of %d: %d pieces, want one without a hole", spikes, len(d.Pieces))
		}
		if crossings := spikes * (spikes - 3) / 2; len(m.vertices) > spikes+crossings {
			t.Errorf("a star of %d has %d vertices, at most %d crossings", spikes, len(m.vertices), crossings)
		}
	}
}

// hairlines returns n thin triangles from one point, n upright lines and n that
// run aslant.
func hairlines(n int) (fan, hatch, aslant geometry.Path) {
	for i := range n {
		y := float64(i) * 0.001
		fan = append(fan, poly(0, 0, 100, y, 100, y+0.0005))
		hatch = append(hatch, geometry.RectXYWH(y, 0, 0.0004, 100).Path()...)
		aslant = append(aslant, poly(20*y, 0, 20*y+0.0004, 0, 20*y+100.0004, 100, 20*y+100, 100))
	}
	return fan, hatch, aslant
}

func TestZoo_FlatFansAndHairlines(t *testing.T) {
	n := rounds(300, 2000)
	fan, hatch, aslant := hairlines(n)
	for _, c := range []struct {
		name string
		path geometry.Path
		area float64
		near float64
	}{
		{"a flat fan", fan, float64(n) * 0.0005 * 100 / 2, 0.5 * float64(n) * 200 / StepsPerMM},
		{"upright hairlines", hatch, float64(n) * 0.0004 * 100, 1e-9},
		{"hairlines aslant", aslant, float64(n) * 0.0004 * 100, 1e-9},
	} {
		m := mustBuild(t, []Layer{layer(geometry.NonZero, c.path)})
		d := divided(m, topmost(m))
		if got := ownedBy(d, 0); math.Abs(got-c.area) > c.near {
			t.Errorf("%s: %v mm², want %v", c.name, got, c.area)
		}
		if len(d.Pieces) != n {
			t.Errorf("%s: %d pieces, want %d", c.name, len(d.Pieces), n)
		}
	}
}

// A spiral winds its middle as often as it has turns.
func TestZoo_ASpiralOfManyTurns(t *testing.T) {
	n := rounds(50, 400)
	const corners = 24
	var pts []geometry.Point
	for i := range n * corners {
		s, c := math.Sincos(2 * math.Pi * float64(i) / corners)
		r := 5 + 40*float64(i)/float64(n*corners)
		pts = append(pts, geometry.Pt(r*c, r*s))
	}
	spiral := geometry.Path{geometry.Polygon(pts...)}
	m := mustBuild(t, []Layer{layer(geometry.NonZero, spiral), layer(geometry.EvenOdd, spiral)})
	checkMap(t, m)
	if c := m.Cover(m.Locate(geometry.Pt(0, 0))); !slices.Equal(c, []int32{0}) {
		t.Errorf("the middle is wound %d times and covered by %v, want nonzero alone", n, c)
	}
}

// scales returns rows of as many discs, a row a layer, like tiles on a roof.
func scales(rows int) []Layer {
	layers := make([]Layer, rows)
	for r := range rows {
		var p geometry.Path
		for c := range rows {
			p = append(p, geometry.Ellipse(geometry.Pt(float64(c)*3+1.5*float64(r%2), float64(r)*2), 2, 2))
		}
		layers[r] = layer(geometry.NonZero, p)
	}
	return layers
}

// Layers that overlap a little here and there: tens of thousands of
// edges do not change what is true.
func TestZoo_ScalesOverScales(t *testing.T) {
	m := mustBuild(t, scales(rounds(10, 40)))
	d := divided(m, topmost(m))
	var union int64
	for f := range m.NumFaces() {
		if len(m.Cover(FaceID(f))) > 0 {
			union += m.Area2(FaceID(f))
		}
	}
	checkDivision(t, m, d, union)
	checkSpokes(t, m)
}

// Passes that are worked side by side put their results together in order, and
// nothing hangs on where Go's maps begin.
func TestZoo_TheSameInputGivesTheSameMap(t *testing.T) {
	defer func(worth int) { worthSplitting = worth }(worthSplitting)
	worthSplitting = 4096
	layers := append(scales(rounds(24, 40)), star(rounds(101, 301))...)
	m := mustBuild(t, layers)
	if len(m.vertices) < 2*worthSplitting {
		t.Fatalf("%d vertices: too few to be worked side by side", len(m.vertices))
	}
	d := divided(m, topmost(m))
	for range 3 {
		n := mustBuild(t, layers)
		if !slices.Equal(m.vertices, n.vertices) || !slices.Equal(m.edges, n.edges) || !slices.Equal(m.cover, n.cover) || !slices.Equal(m.area2, n.area2) {
			t.Fatal("another map")
		}
		if e := divided(n, topmost(n)); !reflect.DeepEqual(d.Pieces, e.Pieces) || !reflect.DeepEqual(d.Seams, e.Seams) {
			t.Fatal("another division")
		}
	}
}

// Clips that clip each other make a graph in which the ways to the bottom double
// with every clip: each is looked at once.
func TestZoo_ClipsOfClipsOfClips(t *testing.T) {
	square := geometry.RectXYWH(0, 0, 10, 10).Path()
	var clips []*Clip
	for i := range 200 {
		side := 10 - float64(i)/100
		clips = append(clips, &Clip{Figures: []Figure{{Path: geometry.RectXYWH(0, 0, side, side).Path(), Clips: slices.Clone(clips)}}})
	}
	m := mustBuild(t, []Layer{{Figures: []Figure{{Path: square, Clips: clips}}}})
	if area, want := ownedBy(divided(m, topmost(m)), 0), 8.01*8.01; math.Abs(area-want) > 1e-9 {
		t.Errorf("%v mm² are left, want %v", area, want)
	}
}

// BenchmarkZoo times what grows worse than real art does: to see what a change
// does to it, not to compare with anything.
func BenchmarkZoo(b *testing.B) {
	fan, _, aslant := hairlines(2000)
	rng := rand.New(rand.NewPCG(1, 3))
	var same, shifted []Layer
	for range 1000 {
		same = append(same, layer(geometry.NonZero, geometry.Path{geometry.Ellipse(geometry.Pt(0, 0), 20, 20)}))
	}
	for range 300 {
		shifted = append(shifted, rect(rng.Float64()*10, rng.Float64()*10, 20, 20))
	}
	var needles geometry.Path
	for range 500 {
		needles = append(needles, poly(rng.Float64()*0.01, rng.Float64()*0.01, 100, 0.01*rng.Float64(), 100, 0.01*rng.Float64()))
	}
	for _, c := range []struct {
		name   string
		layers []Layer
	}{
		{"1000 equal discs", same},
		{"300 shifted squares", shifted},
		{"500 needles", []Layer{layer(geometry.EvenOdd, needles)}},
		{"fan of 2000", []Layer{layer(geometry.NonZero, fan)}},
		{"2000 hairlines", []Layer{layer(geometry.NonZero, aslant)}},
		{"star of 1001", star(1001)},
	} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Build(context.Background(), c.layers, Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
