// Package sketch writes jobs in a few words, for tests.
package sketch

import (
	"strconv"
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
)

// Art makes a job of one item from one line a layer, bottom first:
//
//	COLOUR rect X Y W H | circle CX CY R | ring CX CY R INNER  [flag…]
//
// COLOUR is a word of Palette or #rrggbb; flags are knock, bare, drawn, leftout,
// hidden, alpha=A and group=G. Shapes after a + belong to the same layer. Layer
// n has id n and the name of its colour.
func Art(t testing.TB, lines ...string) job.Job {
	t.Helper()
	j := job.Job{Items: []job.Item{{ID: 1, Name: "Art", Placement: geometry.Identity(), Copies: 1}}}
	for i, line := range lines {
		l := job.Layer{ID: job.LayerID(i + 1), Alpha: 1, Transform: geometry.Identity(), Shown: true}
		words := strings.Fields(line)
		l.Name = words[0]
		c, known := Palette[words[0]]
		if !known {
			var err error
			if c, err = colour.Parse(words[0]); err != nil {
				t.Fatal(err)
			}
		}
		l.Colour = c
		pen := pencil{t: t, line: line, words: words[1:]}
		for len(pen.words) > 0 {
			pen.next(&l)
		}
		l.Content = job.Outlines{Shapes: pen.shapes}
		j.Items[0].Layers = append(j.Items[0].Layers, l)
	}
	return j
}

// pencil reads the words of a layer.
type pencil struct {
	t      testing.TB
	line   string
	words  []string // that are left
	shapes []job.Shape
}

// next reads a shape or a flag.
func (p *pencil) next(l *job.Layer) {
	p.t.Helper()
	word := p.words[0]
	p.words = p.words[1:]
	switch word {
	case "+":
	case "rect":
		n := p.numbers(4)
		p.shapes = append(p.shapes, job.Shape{Path: geometry.RectXYWH(n[0], n[1], n[2], n[3]).Path()})
	case "circle":
		n := p.numbers(3)
		p.shapes = append(p.shapes, job.Shape{Path: geometry.Path{geometry.Ellipse(geometry.Pt(n[0], n[1]), n[2], n[2])}})
	case "ring":
		n := p.numbers(4)
		c := geometry.Pt(n[0], n[1])
		p.shapes = append(p.shapes, job.Shape{Rule: geometry.EvenOdd, Path: geometry.Path{geometry.Ellipse(c, n[2], n[2]), geometry.Ellipse(c, n[3], n[3])}})
	case "knock":
		l.Knocks = true
	case "bare":
		l.Use = job.Bare
	case "drawn":
		l.Use = job.Drawn
	case "leftout":
		l.Use = job.LeftOut
	case "hidden":
		l.Shown = false
	default:
		p.set(l, word)
	}
}

// set reads a flag that has a value.
func (p *pencil) set(l *job.Layer, word string) {
	p.t.Helper()
	key, value, _ := strings.Cut(word, "=")
	var err error
	switch key {
	case "alpha":
		l.Alpha, err = strconv.ParseFloat(value, 64)
	case "group":
		var n int
		n, err = strconv.Atoi(value)
		l.Group = job.GroupID(n)
	default:
		p.t.Fatalf("%q: what is %q?", p.line, word)
	}
	if err != nil {
		p.t.Fatalf("%q: %v", p.line, err)
	}
}

// numbers reads so many.
func (p *pencil) numbers(n int) []float64 {
	p.t.Helper()
	if len(p.words) < n {
		p.t.Fatalf("%q: a number is missing", p.line)
	}
	out := make([]float64, n)
	for i, word := range p.words[:n] {
		var err error
		if out[i], err = strconv.ParseFloat(word, 64); err != nil {
			p.t.Fatalf("%q: %v", p.line, err)
		}
	}
	p.words = p.words[n:]
	return out
}

// Palette are the colours that have a word.
var Palette = map[string]colour.RGB{
	"red": {R: 0xe0, G: 0x20, B: 0x20}, "green": {R: 0x20, G: 0xa0, B: 0x40}, "blue": {R: 0x20, G: 0x50, B: 0xd0},
	"yellow": {R: 0xff, G: 0xd9, B: 0x20}, "black": {}, "white": {R: 255, G: 255, B: 255}, "orange": {R: 0xf5, G: 0x82, B: 0x20},
	"purple": {R: 0x7a, G: 0x40, B: 0xa6},
}
