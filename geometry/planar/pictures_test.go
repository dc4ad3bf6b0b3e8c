package planar

import (
	"bytes"
	"cmp"
	"context"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"abut/geometry"
	"abut/geometry/parallel"
)

var update = flag.Bool("update", false, "write the pictures of README.md anew")

// canvas draws in grid steps, unit pixels a step.
type canvas struct {
	bytes.Buffer
	unit float64
}

func (c *canvas) at(p geometry.Point) string { return fmt.Sprintf("%.2f %.2f", p.X*c.unit, p.Y*c.unit) }

func (c *canvas) line(a, b geometry.Point, style string) {
	fmt.Fprintf(c, "<path d=\"M%s L%s\" %s/>\n", c.at(a), c.at(b), style)
}

func (c *canvas) dot(p geometry.Point, r float64) {
	fmt.Fprintf(c, "<circle cx=\"%.2f\" cy=\"%.2f\" r=\"%.2f\" fill=\"#1f2a30\"/>\n", p.X*c.unit, p.Y*c.unit, r)
}

func (c *canvas) box(x, y, w, h float64, style string) {
	fmt.Fprintf(c, "<rect x=\"%.2f\" y=\"%.2f\" width=\"%.2f\" height=\"%.2f\" %s/>\n", x*c.unit, y*c.unit, w*c.unit, h*c.unit, style)
}

func (c *canvas) text(p geometry.Point, s string) {
	fmt.Fprintf(c, "<text x=\"%.2f\" y=\"%.2f\" font-size=\"13\" font-family=\"sans-serif\" fill=\"#1f2a30\" text-anchor=\"middle\">%s</text>\n", p.X*c.unit, p.Y*c.unit, s)
}

func (c *canvas) path(p geometry.Path, style string) {
	var d strings.Builder
	for _, k := range p {
		fmt.Fprintf(&d, "M%s", c.at(k.Start))
		for _, s := range k.Segments {
			if s.Cubic {
				fmt.Fprintf(&d, " C%s %s %s", c.at(s.C1), c.at(s.C2), c.at(s.End))
			} else {
				fmt.Fprintf(&d, " L%s", c.at(s.End))
			}
		}
		d.WriteString("Z")
	}
	fmt.Fprintf(c, "<path d=\"%s\" fill-rule=\"evenodd\" %s/>\n", d.String(), style)
}

const (
	thin  = `fill="none" stroke="#4a5860" stroke-width="1.5"`
	faint = `fill="none" stroke="#c9c4b8" stroke-width="0.6"`
	bold  = `fill="none" stroke="#6a3a7c" stroke-width="2.5" stroke-linecap="round"`
)

// colours that people with colour-vision deficiency can tell apart (Okabe and
// Ito 2008).
var colours = []string{"#e69f00", "#56b4e9", "#009e73", "#cc79a7", "#f0e442", "#0072b2"}

// TestPictures holds the pictures of README.md to what the code does.
// To draw them anew: go test ./geometry/planar -run Pictures -update
func TestPictures(t *testing.T) {
	for name, draw := range map[string]func(*testing.T, *canvas){
		"1-chords": drawChords, "2-cells": drawCells, "3-hot-pixels": drawHotPixels,
		"4-sweep": drawSweep, "5-seams": drawSeams, "6-curves": drawCurves,
	} {
		c := &canvas{unit: 10}
		draw(t, c)
		const w, h = 440, 300
		svg := fmt.Sprintf("<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%d\" height=\"%d\" viewBox=\"0 0 %d %d\">\n<rect width=\"%d\" height=\"%d\" fill=\"#faf8f4\"/>\n%s</svg>\n", w, h, w, h, w, h, c.String())
		file := filepath.Join("pictures", name+".svg")
		if *update {
			if err := os.MkdirAll("pictures", 0o755); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(file, []byte(svg), 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if svg != string(want) {
			t.Errorf("%s is not what the code draws now: look at the change, then run with -update", file)
		}
	}
}

// toSteps scales a drawing in picture units so that one unit is one grid step.
func toSteps(p geometry.Path) geometry.Path {
	return p.Transform(geometry.Scale(1.0/StepsPerMM, 1.0/StepsPerMM))
}

// scene is two discs and a bar, about 40 × 26 units.
func scene() []geometry.Path {
	return []geometry.Path{
		{geometry.Ellipse(geometry.Pt(15, 15), 12, 12)},
		{geometry.Ellipse(geometry.Pt(29, 16), 10, 10)},
		{geometry.Polygon(geometry.Pt(4, 17), geometry.Pt(40, 9), geometry.Pt(41, 13), geometry.Pt(5, 21))},
	}
}

// sceneMap is the scene a hundredfold: fine enough that rounding does not show.
func sceneMap(t *testing.T, sagitta float64) *Map {
	t.Helper()
	var layers []Layer
	for _, p := range scene() {
		layers = append(layers, layer(geometry.NonZero, p.Transform(geometry.Scale(100.0/StepsPerMM, 100.0/StepsPerMM))))
	}
	m, err := Build(context.Background(), layers, Options{SagittaMM: sagitta})
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// sceneSagitta leaves chords that one can see: 0.6 units.
const sceneSagitta = 60.0 / StepsPerMM

func sceneUnits(p geometry.Path) geometry.Path {
	return p.Transform(geometry.Scale(StepsPerMM/100, StepsPerMM/100))
}

func drawChords(t *testing.T, c *canvas) {
	m := sceneMap(t, sceneSagitta)
	for i, p := range scene() {
		c.path(p, fmt.Sprintf("fill=\"%s\" fill-opacity=\"0.35\"", colours[i]))
	}
	for _, s := range m.in.segments {
		a, b := steps(s.a).Mul(0.01), steps(s.b).Mul(0.01)
		c.line(a, b, thin)
		c.dot(a, 3)
	}
}

func drawCells(t *testing.T, c *canvas) {
	m := sceneMap(t, sceneSagitta/20)
	lines, lo, hi := linesOf(m.in)
	var rs runs
	g, err := newCells(unhurried(context.Background()), &rs, rs.single(lines), lo, hi, snapMargin, new([parallel.Workers]cellScratch))
	if err != nil {
		t.Fatal(err)
	}
	var draw func(g *cells)
	draw = func(g *cells) {
		side := float64(int(1)<<g.shift) / 100
		for i := int32(0); i < g.nx*g.ny; i++ {
			if g.inner != nil && g.inner[i] != nil {
				draw(g.inner[i])
				continue
			}
			n := int(g.start[i+1] - g.start[i])
			x, y := float64(g.x0)/100+side*float64(i/g.ny), float64(g.y0)/100+side*float64(i%g.ny)
			c.box(x, y, side, side, fmt.Sprintf("fill=\"#6a3a7c\" fill-opacity=\"%.2f\" stroke=\"#c9c4b8\" stroke-width=\"0.6\"", min(0.5, float64(n)*0.07)))
		}
	}
	draw(g)
	for _, s := range m.in.segments {
		c.line(steps(s.a).Mul(0.01), steps(s.b).Mul(0.01), thin)
	}
}

// crossed is a few lines whose crossings lie off the grid, 40 × 26 steps.
func crossed() []Layer {
	return []Layer{
		layer(geometry.EvenOdd, toSteps(geometry.Path{geometry.Polygon(geometry.Pt(2, 4), geometry.Pt(41, 13), geometry.Pt(3, 26))})),
		layer(geometry.EvenOdd, toSteps(geometry.Path{geometry.Polygon(geometry.Pt(8, 2), geometry.Pt(25, 28), geometry.Pt(12, 28))})),
		layer(geometry.EvenOdd, toSteps(geometry.Path{geometry.Polygon(geometry.Pt(30, 1), geometry.Pt(42, 24), geometry.Pt(24, 10))})),
	}
}

func drawHotPixels(t *testing.T, c *canvas) {
	for i := range 45 {
		c.line(geometry.Pt(float64(i), 0), geometry.Pt(float64(i), 30), faint)
	}
	for i := range 31 {
		c.line(geometry.Pt(0, float64(i)), geometry.Pt(44, float64(i)), faint)
	}
	in, err := quantise(context.Background(), crossed(), defaultSagittaMM, new(scratch))
	if err != nil {
		t.Fatal(err)
	}
	arr, err := snap(context.Background(), in, newDeltas(len(in.terms)), defaultMaxCrossings, new(scratch))
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range arr.vertices {
		c.box(float64(v.X)-0.5, float64(v.Y)-0.5, 1, 1, `fill="#f0b84a"`)
	}
	for _, s := range in.segments {
		c.line(steps(s.a), steps(s.b), thin)
	}
	all := slices.DeleteFunc(slices.Concat(arr.whole, arr.bent), func(f fragment) bool { return f.segment == struckOut })
	slices.SortFunc(all, func(f, g fragment) int { return cmp.Compare(f.key(), g.key()) })
	for _, f := range all {
		c.line(steps(arr.vertices[f.from]), steps(arr.vertices[f.to]), bold)
	}
}

func drawSweep(t *testing.T, c *canvas) {
	m := sceneMap(t, sceneSagitta)
	labels := make([]int32, m.NumFaces())
	for f := range labels {
		labels[f] = int32(f) - 1 // every covered face by itself
		if len(m.Cover(FaceID(f))) == 0 {
			labels[f] = None
		}
	}
	d := divided(m, labels)
	for i := range d.Pieces {
		c.path(sceneUnits(d.Outline(i)), fmt.Sprintf("fill=\"%s\" fill-opacity=\"0.35\"", colours[i%len(colours)]))
	}
	for e := range m.NumEdges() {
		edge := m.Edge(EdgeID(e))
		c.line(steps(m.Vertex(edge.From)).Mul(0.01), steps(m.Vertex(edge.To)).Mul(0.01), thin)
	}
	for i, p := range d.Pieces {
		cover := strings.ReplaceAll(strings.Trim(fmt.Sprint(m.Cover(p.Faces[0])), "[]"), " ", ",")
		c.text(d.Inside(i).Mul(StepsPerMM/100).Add(geometry.Pt(0, 0.4)), "{"+cover+"}")
	}
	c.line(geometry.Pt(21.6, 0.5), geometry.Pt(21.6, 29.5), `stroke="#6a3a7c" stroke-width="2" stroke-dasharray="6 4"`)
}

func drawSeams(t *testing.T, c *canvas) {
	m := sceneMap(t, sceneSagitta)
	d := divided(m, topmost(m))
	for i, p := range d.Pieces {
		c.path(sceneUnits(d.Outline(i)), fmt.Sprintf("fill=\"%s\" fill-opacity=\"0.45\"", colours[p.Label]))
	}
	for i, s := range d.Seams {
		style := fmt.Sprintf(`fill="none" stroke="%s" stroke-width="4" stroke-linecap="round"`, colours[(i+3)%len(colours)])
		for k := 1; k < len(s.Points); k++ {
			c.line(steps(s.Points[k-1]).Mul(0.01), steps(s.Points[k]).Mul(0.01), style)
		}
	}
	for _, s := range d.Seams {
		c.dot(steps(s.Points[0]).Mul(0.01), 5)
		c.dot(steps(s.Points[len(s.Points)-1]).Mul(0.01), 5)
	}
}

func drawCurves(t *testing.T, c *canvas) {
	m := sceneMap(t, sceneSagitta/20)
	d := divided(m, topmost(m))
	if err := d.Smooth(context.Background()); err != nil {
		t.Fatal(err)
	}
	for i, p := range d.Pieces {
		c.path(sceneUnits(d.Outline(i)), fmt.Sprintf("fill=\"%s\" fill-opacity=\"0.45\" stroke=\"#1f2a30\" stroke-width=\"1.5\"", colours[p.Label]))
	}
	for _, s := range d.Seams {
		from := s.Points[0].MM()
		for _, g := range s.Curve {
			c.dot(from.Mul(StepsPerMM/100), 3.5)
			from = g.End
		}
	}
}
