package corpus

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"abut/assets"
	"abut/geometry"
	"abut/geometry/pairwise"
	"abut/geometry/planar"
	"abut/internal/job"
	"abut/internal/oracle"
	"abut/internal/workshop"
)

// The planar map of real art, held against its definition and two other
// engines. What goes in is the raw art at 100 mm wide, before any of our code
// has cleaned it.

const sagittaMM = 0.01

// layersOf returns a picture's layers on the board, bottom first, as the map
// and as the second engine take them.
func layersOf(tb testing.TB, name string, svg []byte) ([]planar.Layer, [][]oracle.Figure) {
	tb.Helper()
	ctx := context.Background()
	j, err := workshop.OpenSVG(ctx, name, bytes.NewReader(svg))
	if err != nil {
		tb.Logf("%s: %v", name, err)
		return nil, nil
	}
	if j, err = workshop.Size(ctx, j, 100, 0); err != nil {
		tb.Fatalf("%s: %v", name, err)
	}
	var layers []planar.Layer
	var raw [][]oracle.Figure
	for _, it := range j.Items {
		p := placer{clips: map[*job.Clip]*planar.Clip{}}
		for _, l := range it.Layers {
			p.by = it.Placement.Mul(l.Transform)
			clear(p.clips)
			figures := p.figures(l.Content.(job.Outlines).Shapes)
			layers = append(layers, planar.Layer{Figures: figures})
			raw = append(raw, rawFigures(figures))
		}
	}
	return layers, raw
}

type placer struct {
	by    geometry.Affine
	clips map[*job.Clip]*planar.Clip
}

func (p *placer) figures(shapes []job.Shape) []planar.Figure {
	out := make([]planar.Figure, len(shapes))
	for i, s := range shapes {
		out[i] = planar.Figure{Path: s.Path.Transform(p.by), Rule: s.Rule}
		for _, c := range s.Clips {
			clip, known := p.clips[c]
			if !known {
				clip = &planar.Clip{Figures: p.figures(c.Shapes)}
				p.clips[c] = clip
			}
			out[i].Clips = append(out[i].Clips, clip)
		}
	}
	return out
}

func rawFigures(figures []planar.Figure) []oracle.Figure {
	out := make([]oracle.Figure, len(figures))
	for i, f := range figures {
		out[i] = oracle.Figure{Path: f.Path, Rule: f.Rule}
		for _, c := range f.Clips {
			out[i].Clips = append(out[i].Clips, rawFigures(c.Figures))
		}
	}
	return out
}

func mapOf(tb testing.TB, name string, layers []planar.Layer) *planar.Map {
	tb.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), hangs)
	defer cancel()
	m, err := planar.Build(ctx, layers, planar.Options{SagittaMM: sagittaMM})
	if err != nil {
		tb.Fatalf("%s: %v", name, err)
	}
	return m
}

// flagsAndEmoji returns n of each, or all of them.
func flagsAndEmoji(t *testing.T, n int) []string {
	t.Helper()
	f, _ := openArt(t, n, 0, flags)
	e, _ := openArt(t, n, 0, emoji)
	return append(f, e...)
}

func TestOverlay_DemosAgreeWithWindingNumbers(t *testing.T) {
	for _, d := range assets.Demos() {
		checkPoints(t, d.ID, d.SVG, 1000)
	}
}

func TestOverlay_ArtAgreesWithWindingNumbers(t *testing.T) {
	for _, name := range flagsAndEmoji(t, 12) {
		svg, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		checkPoints(t, filepath.Base(name), svg, 1000)
	}
}

// checkPoints compares the covers of random places with winding numbers. Places
// within two grid steps of an edge are left out.
func checkPoints(t *testing.T, name string, svg []byte, n int) {
	t.Helper()
	layers, _ := layersOf(t, name, svg)
	m := mapOf(t, name, layers)
	flat := make([]flatLayer, len(layers))
	for i, l := range layers {
		flat[i] = flatten(l.Figures)
	}
	rng := rand.New(rand.NewPCG(3, 3))
	box := m.Bounds().Grow(1)
	near := 0
	for range n {
		p := geometry.Pt(box.Min.X+rng.Float64()*box.Width(), box.Min.Y+rng.Float64()*box.Height())
		var want []int32
		skip := false
		for l := range flat {
			in, close := flat[l].covers(p)
			skip = skip || close
			if in {
				want = append(want, int32(l))
			}
		}
		if skip {
			near++
			continue
		}
		if got := m.Cover(m.Locate(p)); !slices.Equal(got, want) {
			t.Fatalf("%s at %v: covers %v, want %v", name, p, got, want)
		}
	}
	if near > n/20 {
		t.Errorf("%s: %d of %d places are too near to an edge to tell", name, near, n)
	}
}

type flatFigure struct {
	rings  [][]geometry.Point
	bounds geometry.Rect
	rule   geometry.FillRule
	clips  []flatLayer
}

type flatLayer []flatFigure

func flatten(figures []planar.Figure) flatLayer {
	out := make(flatLayer, len(figures))
	for i, f := range figures {
		g := flatFigure{rule: f.Rule, bounds: geometry.EmptyRect()}
		for _, c := range f.Path.Flatten(sagittaMM) {
			ring := []geometry.Point{c.Start}
			for _, s := range c.Segments {
				ring = append(ring, s.End)
			}
			for _, p := range ring {
				g.bounds = g.bounds.Include(p)
			}
			g.rings = append(g.rings, ring)
		}
		g.bounds = g.bounds.Grow(0.001)
		for _, c := range f.Clips {
			g.clips = append(g.clips, flatten(c.Figures))
		}
		out[i] = g
	}
	return out
}

// covers is the definition: winding number, rule, clips.
func (l flatLayer) covers(p geometry.Point) (in, near bool) {
	for i := range l {
		a, b := l[i].covers(p)
		in, near = in || a, near || b
	}
	return in, near
}

func (f *flatFigure) covers(p geometry.Point) (in, near bool) {
	if !f.bounds.Contains(p) {
		return false, false
	}
	n := 0
	for _, ring := range f.rings {
		a := ring[len(ring)-1]
		for _, b := range ring {
			d := b.Sub(a)
			t := 0.0
			if l := d.Dot(d); l > 0 {
				t = math.Max(0, math.Min(1, p.Sub(a).Dot(d)/l))
			}
			near = near || p.Sub(a.Lerp(b, t)).Len() < 2.0/planar.StepsPerMM
			if (a.Y <= p.Y) != (b.Y <= p.Y) && a.X+(p.Y-a.Y)*(b.X-a.X)/(b.Y-a.Y) > p.X {
				if b.Y > a.Y {
					n++
				} else {
					n--
				}
			}
			a = b
		}
	}
	in = f.rule.Encloses(n)
	for _, c := range f.clips {
		a, b := c.covers(p)
		in, near = in && a, near || b
	}
	return in, near
}

// shares are what a map says of one layer's visible part.
type shares struct{ area, curved, straight float64 }

func topmost(m *planar.Map) []int32 {
	return m.Label(func(cover []int32) int32 {
		if len(cover) == 0 {
			return planar.None
		}
		return cover[len(cover)-1]
	})
}

// sharesOf sums every layer's visible area and the lengths of its border, along
// curves and along straight lines.
func sharesOf(m *planar.Map, layers []planar.Layer) []shares {
	labels := topmost(m)
	out := make([]shares, len(layers))
	for f, l := range labels {
		if l != planar.None {
			out[l].area += m.AreaMM2(planar.FaceID(f))
		}
	}
	for i := range m.NumEdges() {
		e := m.Edge(planar.EdgeID(i))
		a, b := labels[e.Left], labels[e.Right]
		if a == b {
			continue
		}
		length := m.Vertex(e.To).MM().Sub(m.Vertex(e.From).MM()).Len()
		tag := m.Tag(planar.EdgeID(i))
		curved := true // a clip's edge, for all that the tag says
		if tag.Layer >= 0 {
			c := layers[tag.Layer].Figures[tag.Figure].Path[tag.Contour]
			curved = int(tag.Segment) < len(c.Segments) && c.Segments[tag.Segment].Cubic
		}
		for _, l := range [2]int32{a, b} {
			if l == planar.None {
				continue
			}
			if curved {
				out[l].curved += length
			} else {
				out[l].straight += length
			}
		}
	}
	return out
}

// bound is how far the area may lie from that of the curves themselves:
// ⅔ · sagitta · curved length for the chords, and half a step in x and in y,
// √½ step, along all of the border for the grid. Hairlines may have closed up:
// the border that the other engine finds beside ours may be of curves (a hairline
// of es.svg is), and each side of it may have moved twice, rounded and led
// through crossings. A tenth of a square step for the other engine's floats.
func (s shares) bound(border float64) float64 {
	const grid = math.Sqrt2 / 2 / planar.StepsPerMM
	lost := math.Max(0, border-s.curved-s.straight)
	return 2.0/3*sagittaMM*(s.curved+lost) + grid*(s.curved+s.straight+2*lost) + 1e-9
}

// The second engine gets curves that are flattened twenty times finer.
func TestOverlay_AreasAgreeWithGEOS(t *testing.T) {
	names := flagsAndEmoji(t, 25)
	g := oracle.StartGeos(t)
	var files, parts, gaveUp, alone int
	worst := 0.0
	for _, name := range names {
		svg, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		layers, raw := layersOf(t, filepath.Base(name), svg)
		if layers == nil {
			continue
		}
		m := mapOf(t, name, layers)
		want, _, err := g.Visible(raw, sagittaMM/20)
		if err != nil {
			t.Logf("%s: %v", filepath.Base(name), err)
			gaveUp++
			continue
		}
		files++
		for l, s := range sharesOf(m, layers) {
			parts++
			d, bound := math.Abs(s.area-want[l].AreaMM2), s.bound(want[l].BorderMM)
			if d <= bound {
				worst = math.Max(worst, d/bound)
				continue
			}
			// Two engines against one: GEOS has its own bad days.
			if third, err := visibleByPairwise(t, name, layers); err == nil && math.Abs(s.area-third[l]) <= s.chordBound() {
				t.Logf("%s: layer %d: GEOS alone says %v mm², polyclip-go and we %v", filepath.Base(name), l, want[l].AreaMM2, s.area)
				alone++
				continue
			}
			t.Errorf("%s: %v mm² of layer %d are visible, GEOS says %v: allowed %v apart", filepath.Base(name), s.area, l, want[l].AreaMM2, bound)
		}
	}
	t.Logf("figures: %d files, %d layers; at most %.2f of the bound; the other engine gave up on %d", files, parts, worst, gaveUp)
	if gaveUp > files/50+1 {
		t.Errorf("the other engine gave up on %d files", gaveUp)
	}
	if alone > parts/10000+1 {
		t.Errorf("GEOS is alone against two engines %d times: is it?", alone)
	}
}

// The pairwise engine gets every layer clean and by itself, and folds them from
// the top down. It is known to fail on slivers now and then.
func TestOverlay_AreasAgreeWithPairwise(t *testing.T) {
	var files, large, gaveUp, wrong int
	for _, name := range flagsAndEmoji(t, 15) {
		svg, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		layers, _ := layersOf(t, filepath.Base(name), svg)
		if layers == nil {
			continue
		}
		want, err := visibleByPairwise(t, name, layers)
		if errors.Is(err, errLarge) {
			large++
			continue
		}
		if err != nil {
			t.Logf("%s: %v", filepath.Base(name), err)
			gaveUp++
			continue
		}
		files++
		off := 0.0
		for l, s := range sharesOf(mapOf(t, name, layers), layers) {
			off = math.Max(off, math.Abs(s.area-want[l])/s.chordBound())
		}
		if off > 1 {
			wrong++
			t.Logf("%s: an area is %.1f times the bound off", filepath.Base(name), off)
		}
	}
	t.Logf("figures: %d files; %d disagree; %d gave up; %d are too large for that engine", files, wrong, gaveUp, large)
	if large > files/4 {
		t.Errorf("only %d files of %d were small enough", files, files+large)
	}
	if wrong+gaveUp > (files+gaveUp)/50+1 {
		t.Errorf("of %d files %d disagree and %d gave up", files, wrong, gaveUp)
	}
}

// chordBound is how far an area may lie from that of another engine that works on
// the same chords, rounded once before and once within.
func (s shares) chordBound() float64 {
	return 2*math.Sqrt(0.5)/planar.StepsPerMM*(s.curved+s.straight) + 1e-6
}

// errLarge says that the pairwise engine was not asked.
var errLarge = errors.New("too large for the pairwise engine")

// visibleByPairwise returns every layer's visible area by the pairwise engine,
// which is asked up to as many vertices as in the program.
func visibleByPairwise(tb testing.TB, name string, layers []planar.Layer) ([]float64, error) {
	const mostVertices = 20_000
	clean := make([]pairwise.Region, len(layers))
	vertices := 0
	for i := range layers {
		clean[i] = cleanAlone(tb, name, layers[i])
		vertices += clean[i].Vertices()
	}
	if vertices > mostVertices {
		return nil, errLarge
	}
	ctx, cancel := context.WithTimeout(context.Background(), 5*time.Minute) // or it hangs
	defer cancel()
	return fold(ctx, clean)
}

func cleanAlone(tb testing.TB, name string, l planar.Layer) pairwise.Region {
	d, err := planar.Region(context.Background(), l, planar.RegionOptions{Options: planar.Options{SagittaMM: sagittaMM}})
	if err != nil {
		tb.Fatalf("%s: %v", name, err)
	}
	return pairwise.Region(d.All())
}

// fold returns every region's visible area.
func fold(ctx context.Context, regions []pairwise.Region) ([]float64, error) {
	areas := make([]float64, len(regions))
	var above pairwise.Region
	for i := len(regions) - 1; i >= 0; i-- {
		if len(regions[i]) == 0 {
			continue
		}
		if len(above) == 0 {
			areas[i], above = regions[i].AreaMM2(), regions[i]
			continue
		}
		visible, err := pairwise.Difference(ctx, regions[i], above)
		if err != nil {
			return nil, err
		}
		areas[i] = visible.AreaMM2()
		if above, err = pairwise.Union(ctx, above, regions[i]); err != nil {
			return nil, err
		}
	}
	return areas, nil
}

// cleanPairwise makes a region of raw figures: contours that run one way are
// united, those that run the other way are taken away, even-odd ones go in as
// they are; clips are intersected.
func cleanPairwise(ctx context.Context, figures []oracle.Figure) (pairwise.Region, error) {
	var all pairwise.Region
	for _, f := range figures {
		r, err := cleanFigure(ctx, f)
		if err != nil {
			return nil, err
		}
		if len(all) == 0 {
			all = r
		} else if all, err = pairwise.Union(ctx, all, r); err != nil {
			return nil, err
		}
	}
	return all, nil
}

func cleanFigure(ctx context.Context, f oracle.Figure) (pairwise.Region, error) {
	flat := f.Path.Flatten(sagittaMM)
	region := pairwise.Region(flat)
	if f.Rule == geometry.NonZero && len(flat) > 1 {
		var way [2]pairwise.Region
		for _, c := range flat {
			one, w := pairwise.Region{c}, 0
			if (geometry.Path{c}).SignedArea() < 0 {
				w = 1
			}
			if len(way[w]) == 0 {
				way[w] = one
				continue
			}
			u, err := pairwise.Union(ctx, way[w], one)
			if err != nil {
				return nil, err
			}
			way[w] = u
		}
		region = way[0]
		if len(way[0]) == 0 {
			region = way[1]
		} else if len(way[1]) > 0 {
			// Windings cancel where both run: the rest is wound one way.
			x, err := pairwise.XOR(ctx, way[0], way[1])
			if err != nil {
				return nil, err
			}
			region = x
		}
	}
	for _, c := range f.Clips {
		clip, err := cleanPairwise(ctx, c)
		if err != nil {
			return nil, err
		}
		if region, err = pairwise.Intersect(ctx, region, clip); err != nil {
			return nil, err
		}
	}
	return region, nil
}

// BenchmarkOverlay runs the three engines over the same raw art in one go: from
// figures to the visible area of every layer, making them clean included.
// ABUT_CORPUS=all takes every file.
//
//	go test -tags oracle -run '^$' -bench Overlay ./internal/corpus
func BenchmarkOverlay(b *testing.B) {
	for _, set := range []struct{ name, pattern string }{
		{"flags", flags},
		{"emoji", emoji},
	} {
		names := oracle.Art(b, set.pattern)
		if !all() {
			names = sample(names, 60, 2)
		}
		var ours [][]planar.Layer
		var raw [][][]oracle.Figure
		chords := 0
		for _, name := range names {
			svg, err := os.ReadFile(name)
			if err != nil {
				b.Fatal(err)
			}
			l, r := layersOf(b, filepath.Base(name), svg)
			if l == nil {
				continue
			}
			ours, raw = append(ours, l), append(raw, r)
			for _, layer := range l {
				for _, f := range layer.Figures {
					for _, c := range f.Path.Flatten(sagittaMM) {
						chords += len(c.Segments)
					}
				}
			}
		}
		b.Logf("figures: %s: %d files, %d chords", set.name, len(ours), chords)
		b.Run(fmt.Sprintf("%s/planar", set.name), func(b *testing.B) {
			for b.Loop() {
				for _, layers := range ours {
					m, err := planar.Build(context.Background(), layers, planar.Options{SagittaMM: sagittaMM})
					if err != nil {
						b.Fatal(err)
					}
					if _, err := m.Divide(context.Background(), topmost(m)); err != nil {
						b.Fatal(err)
					}
				}
			}
		})
		b.Run(fmt.Sprintf("%s/polyclip", set.name), func(b *testing.B) {
			failed := 0
			for b.Loop() {
				failed = 0
				for _, layers := range raw {
					if err := foldRaw(layers); err != nil {
						failed++
					}
				}
			}
			b.ReportMetric(float64(failed), "gave-up")
		})
		b.Run(fmt.Sprintf("%s/geos", set.name), func(b *testing.B) {
			g := oracle.StartGeos(b)
			failed := 0
			var took time.Duration
			for b.Loop() {
				failed = 0
				for _, layers := range raw {
					_, t, err := g.Visible(layers, sagittaMM)
					took += t
					if err != nil {
						failed++
					}
				}
			}
			// The engine's own time, without handing over.
			b.ReportMetric(float64(took.Nanoseconds())/float64(b.N), "ns/op")
			b.ReportMetric(float64(failed), "gave-up")
		})
	}
}

func foldRaw(layers [][]oracle.Figure) error {
	ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
	defer cancel()
	regions := make([]pairwise.Region, len(layers))
	for i := range layers {
		var err error
		if regions[i], err = cleanPairwise(ctx, layers[i]); err != nil {
			return err
		}
	}
	_, err := fold(ctx, regions)
	return err
}

// Rounding to the grid, hot pixels and repeated rounds included, moves no edge of
// real art by more than 1 µm: a tenth of what chords may stray from curves.
func TestOverlay_RoundingMovesNoEdgeFar(t *testing.T) {
	worst, where := 0.0, ""
	for _, file := range flagsAndEmoji(t, 60) {
		b, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if layers, _ := layersOf(t, file, b); layers != nil {
			if s := mapOf(t, file, layers).ShiftMM() * planar.StepsPerMM; s > worst {
				worst, where = s, filepath.Base(file)
			}
		}
	}
	t.Logf("at most %.2f steps, in %s", worst, where)
	if worst > 10 {
		t.Errorf("an edge of %s was moved by %.2f steps, want 10 at most", where, worst)
	}
}
