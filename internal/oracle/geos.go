//go:build oracle

package oracle

import (
	"bufio"
	"encoding/gob"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"testing"
	"time"

	"github.com/twpayne/go-geos"

	"abut/geometry"
)

// geosTimeout is what one request may take before its process is ended.
const geosTimeout = 20 * time.Minute

const childVariable = "ABUT_ORACLE_CHILD"

// Main runs the tests, or serves as the geometry engine's process when the
// test binary has been started as such. A package that calls StartGeos has
// `func TestMain(m *testing.M) { oracle.Main(m) }`.
func Main(m *testing.M) {
	if os.Getenv(childVariable) == "geos" {
		if err := serve(os.Stdin, os.Stdout); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// Geos is the second geometry engine (GEOS) in a process of its own. It is not
// safe for use from several goroutines.
type Geos struct {
	child *exec.Cmd
	in    io.WriteCloser
	enc   *gob.Encoder
	dec   *gob.Decoder
}

// StartGeos returns the engine; its process ends with the test.
func StartGeos(tb testing.TB) *Geos {
	tb.Helper()
	if os.Getenv(childVariable) != "" {
		tb.Fatal("this package's tests have no TestMain that calls oracle.Main")
	}
	g := &Geos{}
	tb.Cleanup(g.stop)
	return g
}

func (g *Geos) start() error {
	self, err := os.Executable()
	if err != nil {
		return err
	}
	g.child = exec.Command(self)
	g.child.Env = append(os.Environ(), childVariable+"=geos")
	g.child.Stderr = os.Stderr
	if g.in, err = g.child.StdinPipe(); err != nil {
		return err
	}
	out, err := g.child.StdoutPipe()
	if err != nil {
		return err
	}
	if err := g.child.Start(); err != nil {
		return err
	}
	g.enc, g.dec = gob.NewEncoder(g.in), gob.NewDecoder(bufio.NewReader(out))
	return nil
}

func (g *Geos) stop() {
	if g.child == nil {
		return
	}
	g.in.Close()
	_ = g.child.Wait() // it was only a referee's helper, and may have been killed
	g.child = nil
}

// rings are closed contours as x, y, x, y …
type rings [][]float64

type request struct {
	Do     string
	Areas  []rings
	DX, DY float64
	Index  int
	Layers [][]Figure
	Places []geometry.Point
}

type answer struct {
	Pairs []Overlap
	Area  float64
	// Distances are by area, then by place.
	Distances [][]float64
	Visible   []Part
	Took      time.Duration
	Error     string
}

// Overlap is the area, in mm², that two of the areas handed in have in common.
type Overlap struct {
	I, J    int
	AreaMM2 float64
}

func (g *Geos) ask(r request) (answer, error) {
	if g.child == nil {
		if err := g.start(); err != nil {
			return answer{}, err
		}
	}
	type result struct {
		answer
		err error
	}
	done := make(chan result, 1)
	go func() {
		var a answer
		err := g.enc.Encode(r)
		if err == nil {
			err = g.dec.Decode(&a)
		}
		done <- result{a, err}
	}()
	select {
	case got := <-done:
		if got.err != nil {
			g.stop()
			return answer{}, fmt.Errorf("geos: its process ended: %w", got.err)
		}
		if got.Error != "" {
			return answer{}, errors.New("geos: " + got.Error)
		}
		return got.answer, nil
	case <-time.After(geosTimeout):
		_ = g.child.Process.Kill()
		<-done
		g.stop()
		return answer{}, fmt.Errorf("geos: no answer within %v", geosTimeout)
	}
}

// Overlaps returns every pair of the areas that have more than nothing in
// common. Each area is a path under the even-odd rule, in millimetres, and is
// flattened within 0.01 mm: curves that two areas share stay shared.
func (g *Geos) Overlaps(areas []geometry.Path) ([]Overlap, error) {
	a, err := g.ask(request{Do: "overlaps", Areas: allRings(areas)})
	return a.Pairs, err
}

// UnionArea returns the area of the union of all the areas.
func (g *Geos) UnionArea(areas []geometry.Path) (float64, error) {
	a, err := g.ask(request{Do: "union", Areas: allRings(areas)})
	return a.Area, err
}

// StackedArea returns the area that two or more of the areas cover when the
// one at index has been moved by (dx, dy), provided that the others do not
// overlap one another.
func (g *Geos) StackedArea(areas []geometry.Path, index int, dx, dy float64) (float64, error) {
	a, err := g.ask(request{Do: "stacked", Areas: allRings(areas), Index: index, DX: dx, DY: dy})
	return a.Area, err
}

// Opened returns the area that is left of an area when it is shrunk by r and
// grown back.
func (g *Geos) Opened(area geometry.Path, r float64) (float64, error) {
	a, err := g.ask(request{Do: "opened", Areas: allRings([]geometry.Path{area}), DX: r})
	return a.Area, err
}

// Distances returns how far each place lies from the nearest point of each
// area: the answer's first index is the area's.
func (g *Geos) Distances(areas []geometry.Path, places []geometry.Point) ([][]float64, error) {
	a, err := g.ask(request{Do: "distances", Areas: allRings(areas), Places: places})
	return a.Distances, err
}

func allRings(areas []geometry.Path) []rings {
	out := make([]rings, len(areas))
	for i, p := range areas {
		for _, c := range p.Flatten(0.01) {
			ring := []float64{c.Start.X, c.Start.Y}
			for _, s := range c.Segments {
				ring = append(ring, s.End.X, s.End.Y)
			}
			out[i] = append(out[i], ring)
		}
	}
	return out
}

// serve answers requests until the input ends.
func serve(in io.Reader, out io.Writer) error {
	dec, enc := gob.NewDecoder(bufio.NewReader(in)), gob.NewEncoder(out)
	for {
		var r request
		if err := dec.Decode(&r); errors.Is(err, io.EOF) {
			return nil
		} else if err != nil {
			return err
		}
		if err := enc.Encode(work(r)); err != nil {
			return err
		}
	}
}

func work(r request) (a answer) {
	defer func() {
		if p := recover(); p != nil { // go-geos panics on errors of the library
			a = answer{Error: fmt.Sprint(p)}
		}
	}()
	ctx := geos.NewContext()
	areas := make([]*geos.Geom, len(r.Areas))
	for i, rs := range r.Areas {
		areas[i] = build(ctx, rs, 0, 0)
	}
	switch r.Do {
	case "overlaps":
		a.Pairs = overlaps(areas)
	case "union":
		a.Area = ctx.NewCollection(geos.TypeIDGeometryCollection, areas).UnaryUnion().Area()
	case "stacked":
		moved := build(ctx, r.Areas[r.Index], r.DX, r.DY)
		for i := range areas {
			if i != r.Index {
				a.Area += moved.Intersection(areas[i]).Area()
			}
		}
	case "opened":
		const quarter = 64 // chords of a quarter circle
		a.Area = areas[0].Buffer(-r.DX, quarter).Buffer(r.DX, quarter).Area()
	case "distances":
		for _, area := range areas {
			var list []float64
			for _, p := range r.Places {
				list = append(list, area.Distance(ctx.NewPointFromXY(p.X, p.Y)))
			}
			a.Distances = append(a.Distances, list)
		}
	case "visible":
		start := time.Now()
		a.Visible = visible(ctx, r.Layers)
		a.Took = time.Since(start)
	default:
		a.Error = "unknown request " + r.Do
	}
	return a
}

func overlaps(areas []*geos.Geom) (pairs []Overlap) {
	for i := range areas {
		for j := i + 1; j < len(areas); j++ {
			if !areas[i].Bounds().Intersects(areas[j].Bounds()) {
				continue
			}
			if v := areas[i].Intersection(areas[j]).Area(); v > 0 {
				pairs = append(pairs, Overlap{i, j, v})
			}
		}
	}
	return pairs
}

// build makes the area that the rings enclose by the even-odd rule. The lines
// are noded first, so rings may touch and cross themselves and each other; of
// the faces between them those are kept that an odd number of rings goes round.
// (The engine's own BuildArea takes some holes that touch for filled.)
func build(ctx *geos.Context, rs rings, dx, dy float64) *geos.Geom {
	var lines []*geos.Geom
	var closed [][][]float64
	for _, ring := range rs {
		var coords [][]float64
		for k := 0; k+1 < len(ring); k += 2 {
			c := []float64{ring[k] + dx, ring[k+1] + dy}
			if n := len(coords); n == 0 || coords[n-1][0] != c[0] || coords[n-1][1] != c[1] {
				coords = append(coords, c)
			}
		}
		if len(coords) < 3 {
			continue
		}
		if last := coords[len(coords)-1]; coords[0][0] != last[0] || coords[0][1] != last[1] {
			coords = append(coords, coords[0])
		}
		lines = append(lines, ctx.NewLineString(coords))
		closed = append(closed, coords)
	}
	if len(lines) == 0 {
		return ctx.NewEmptyPolygon()
	}
	noded := ctx.NewCollection(geos.TypeIDMultiLineString, lines).UnaryUnion()
	faces := ctx.Polygonize([]*geos.Geom{noded})
	bounds := make([]*geos.Box2D, len(lines))
	for i, c := range closed {
		bounds[i] = boundsOf(c)
	}
	var kept []*geos.Geom
	for i := range faces.NumGeometries() {
		face := faces.Geometry(i)
		p := face.PointOnSurface()
		if x, y := p.X(), p.Y(); enclosed(closed, bounds, x, y) {
			kept = append(kept, face.Clone())
		}
	}
	if len(kept) == 0 {
		return ctx.NewEmptyPolygon()
	}
	return ctx.NewCollection(geos.TypeIDGeometryCollection, kept).UnaryUnion()
}

func boundsOf(coords [][]float64) *geos.Box2D {
	b := geos.NewBox2DEmpty()
	for _, c := range coords {
		b.MinX, b.MinY = min(b.MinX, c[0]), min(b.MinY, c[1])
		b.MaxX, b.MaxY = max(b.MaxX, c[0]), max(b.MaxY, c[1])
	}
	return b
}

// enclosed counts the crossings of a ray to the right with all the rings.
func enclosed(closed [][][]float64, bounds []*geos.Box2D, x, y float64) bool {
	in := false
	for i, ring := range closed {
		if b := bounds[i]; y < b.MinY || y > b.MaxY || x > b.MaxX {
			continue
		}
		for k := 1; k < len(ring); k++ {
			a, b := ring[k-1], ring[k]
			if (a[1] > y) != (b[1] > y) && x < a[0]+(y-a[1])/(b[1]-a[1])*(b[0]-a[0]) {
				in = !in
			}
		}
	}
	return in
}
