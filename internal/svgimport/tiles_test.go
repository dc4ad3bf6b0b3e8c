package svgimport

import (
	"context"
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/job"
)

// A ground is painted once, in the shape that is filled, and tiles within the shape have no
// clips: what is cut is as simple as if it had been drawn by hand.
func TestTiles_AreAsSimpleAsDrawnByHand(t *testing.T) {
	res := read(t, page100(`<pattern id="g" width="20" height="20" patternUnits="userSpaceOnUse"><rect width="20" height="20" fill="gold"/><circle cx="10" cy="10" r="5"/></pattern>`+
		`<circle cx="50" cy="50" r="40" fill="url(#g)"/>`))
	if len(res.Layers) != 2 || len(res.Warnings) != 0 {
		t.Fatalf("%d layers, %v", len(res.Layers), res.Warnings)
	}
	ground, dots := job.Shapes(res.Layers[0].Content), job.Shapes(res.Layers[1].Content)
	if len(ground) != 1 || len(ground[0].Clips) != 0 || ground[0].Path.Bounds() != geometry.RectXYWH(10, 10, 80, 80) {
		t.Errorf("the ground is %+v", ground)
	}
	// Of 25 dots the four in the corners lie beyond the circle, and those whose centres are
	// 44.7 away from its centre on its edge: 40² + 20².
	clipped := 0
	for _, d := range dots {
		if far := d.Path.Bounds().Centre().Sub(geometry.Pt(50, 50)).Len(); (far > 34) != (len(d.Clips) == 1) {
			t.Errorf("a dot %.1f away from the centre has %d clips", far, len(d.Clips))
		}
		clipped += len(d.Clips)
	}
	if len(dots) != 21 || clipped != 12 {
		t.Errorf("%d dots, %d clipped", len(dots), clipped)
	}
}

// Lines of tiles keep what a pen followed, so that they can be mended as lines.
func TestTiles_LinesStayLines(t *testing.T) {
	res := read(t, page100(`<pattern id="g" width="20" height="20" patternUnits="userSpaceOnUse"><path d="M5 10h10" stroke="red" stroke-width="2"/></pattern><rect width="100" height="100" fill="url(#g)"/>`))
	for _, s := range job.Shapes(res.Layers[0].Content) {
		if len(s.Centre) != 1 {
			t.Errorf("%+v", s)
		}
	}
}

// Opacity groups of tiles are groups of their own: tiles are not seen through each other.
func TestTiles_HaveTheirOwnGroups(t *testing.T) {
	res := read(t, page100(`<pattern id="g" width="50" height="100" patternUnits="userSpaceOnUse"><g opacity=".5"><rect width="20" height="20" fill="red"/><rect x="10" width="20" height="20" fill="blue"/></g></pattern><rect width="100" height="100" fill="url(#g)"/>`))
	groups := map[job.GroupID]int{}
	for _, l := range res.Layers {
		groups[l.Group] += len(job.Shapes(l.Content))
	}
	if len(groups) != 2 || groups[0] != 0 {
		t.Errorf("%v", groups)
	}
}

// What a file may ask for by tiles is bounded as by copies: past that a pattern is one colour.
func TestTiles_AreBounded(t *testing.T) {
	art := func(side string) string {
		return page100(`<pattern id="g" width="` + side + `" height="` + side + `" patternUnits="userSpaceOnUse"><path d="M0 0h1v1h-1zM0 0" id="p"/>` +
			strings.Repeat(`<use href="#p" y="1"/>`, 9) + `</pattern><rect width="100" height="100" fill="url(#g)"/>`)
	}
	for side, want := range map[string]string{
		"10":    "",          // 100 tiles of 10 shapes
		"5.5":   WarnPattern, // 361 of them
		"2":     WarnPattern, // 2,500
		"1e-9":  "",          // one colour all over
		"1e200": "",
	} {
		res, err := Import(context.Background(), strings.NewReader(art(side)), Options{})
		if err != nil {
			t.Errorf("%s: %v", side, err)
		} else if got := ids(res.Warnings); got != want {
			t.Errorf("%s: %q", side, got)
		}
	}
	// Many shapes with tiles do not use up what copies may ask for, nor are tiles drawn anew for each.
	many := page100(`<pattern id="g" width="5" height="5" patternUnits="userSpaceOnUse">` + strings.Repeat(`<circle r="1"/>`, 4) + `</pattern>` +
		strings.Repeat(`<rect width="100" height="100" fill="url(#g)"/>`, 40) + `<circle id="c" r="9"/>` + strings.Repeat(`<use href="#c"/>`, 50))
	if res, err := Import(context.Background(), strings.NewReader(many), Options{MaxLeaves: 200}); err != nil || ids(res.Warnings[:1]) != WarnPattern {
		t.Errorf("many shapes: %v", err)
	}
}

// A pattern inside a pattern is drawn tile by tile, too, as long as all of it together is not too much.
func TestTiles_OfTiles(t *testing.T) {
	art := func(side string) string {
		return page100(`<pattern id="h" width="` + side + `" height="` + side + `" patternUnits="userSpaceOnUse"><circle cx=".5" cy=".5" r=".5"/></pattern>` +
			`<pattern id="g" width="50" height="50" patternUnits="userSpaceOnUse"><rect width="40" height="40" fill="url(#h)"/></pattern><rect width="100" height="100" fill="url(#g)"/>`)
	}
	res := read(t, art("10"))
	if n := len(shapes(res)); n != 4*16 || len(res.Warnings) != 0 {
		t.Errorf("%d dots, %v", n, res.Warnings)
	}
	if res := read(t, art("1.4")); ids(res.Warnings) != WarnPattern { // 4 × 29² dots
		t.Errorf("%v", res.Warnings)
	}
}
