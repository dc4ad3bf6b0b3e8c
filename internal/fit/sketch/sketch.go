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
		var shapes []job.Shape
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
		num := func(k int) float64 {
			if k >= len(words) {
				t.Fatalf("%q: a number is missing", line)
			}
			v, err := strconv.ParseFloat(words[k], 64)
			if err != nil {
				t.Fatalf("%q: %v", line, err)
			}
			return v
		}
		for k := 1; k < len(words); k++ {
			key, value, _ := strings.Cut(words[k], "=")
			switch key {
			case "+":
			case "rect":
				shapes = append(shapes, job.Shape{Path: geometry.RectXYWH(num(k+1), num(k+2), num(k+3), num(k+4)).Path()})
				k += 4
			case "circle":
				c := geometry.Pt(num(k+1), num(k+2))
				shapes = append(shapes, job.Shape{Path: geometry.Path{geometry.Ellipse(c, num(k+3), num(k+3))}})
				k += 3
			case "ring":
				c := geometry.Pt(num(k+1), num(k+2))
				shapes = append(shapes, job.Shape{Rule: geometry.EvenOdd, Path: geometry.Path{
					geometry.Ellipse(c, num(k+3), num(k+3)), geometry.Ellipse(c, num(k+4), num(k+4))}})
				k += 4
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
			case "alpha":
				v, err := strconv.ParseFloat(value, 64)
				if err != nil {
					t.Fatal(err)
				}
				l.Alpha = v
			case "group":
				v, err := strconv.Atoi(value)
				if err != nil {
					t.Fatal(err)
				}
				l.Group = job.GroupID(v)
			default:
				t.Fatalf("%q: what is %q?", line, words[k])
			}
		}
		l.Content = job.Outlines{Shapes: shapes}
		j.Items[0].Layers = append(j.Items[0].Layers, l)
	}
	return j
}

// Palette are the colours that have a word.
var Palette = map[string]colour.RGB{
	"red": {R: 0xe0, G: 0x20, B: 0x20}, "green": {R: 0x20, G: 0xa0, B: 0x40}, "blue": {R: 0x20, G: 0x50, B: 0xd0},
	"yellow": {R: 0xff, G: 0xd9, B: 0x20}, "black": {}, "white": {R: 255, G: 255, B: 255}, "orange": {R: 0xf5, G: 0x82, B: 0x20},
	"purple": {R: 0x7a, G: 0x40, B: 0xa6},
}
