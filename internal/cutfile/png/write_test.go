package png

import (
	"bytes"
	"image"
	"image/color"
	encoder "image/png"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/cutfile"
	"abut/internal/fit"
	"abut/internal/fit/assemble"
)

var (
	red  = colour.RGB{R: 200, G: 40, B: 30}
	blue = colour.RGB{R: 20, G: 60, B: 180}
)

// flag is red at the left and blue at the right of a slanting line, with a round
// hole in the blue, in a frame, and a pen line across the red.
func flag(t *testing.T) *cutfile.Page {
	t.Helper()
	left := geometry.Path{geometry.Polygon(geometry.Pt(0, 0), geometry.Pt(33, 0), geometry.Pt(41, 50), geometry.Pt(0, 50))}
	hole := geometry.Path{geometry.Ellipse(geometry.Pt(60, 25), 8, 8)}.Reverse()
	right := append(geometry.Path{geometry.Polygon(geometry.Pt(33, 0), geometry.Pt(80, 0), geometry.Pt(80, 50), geometry.Pt(41, 50))}, hole...)
	page := geometry.RectXYWH(-5, -5, 90, 60)
	p, err := cutfile.New(&fit.Plan{
		Assembly: assemble.Assembly{Extent: geometry.RectXYWH(0, 0, 80, 50), Page: page, Frame: &fit.Frame{Outline: page.Path(), Bounds: page},
			Separations: []fit.Separation{{Name: "Red", Colour: red, Outline: left}, {Name: "Blue", Colour: blue, Outline: right}}},
		Drawings: []fit.Drawing{{Name: "Black", Lines: geometry.Path{{Start: geometry.Pt(5, 10), Segments: []geometry.Segment{geometry.LineTo(geometry.Pt(25, 10))}}}}},
	})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestWrite_IsAsItLooksOnTheBlank(t *testing.T) {
	var b bytes.Buffer
	if err := Write(&b, flag(t)); err != nil {
		t.Fatal(err)
	}
	img, err := encoder.Decode(&b)
	if err != nil {
		t.Fatal(err)
	}
	if size := img.Bounds().Size(); size.X != 1600 || size.Y != 1000 {
		t.Fatalf("the picture is %v", size)
	}
	at := func(c colour.RGB) color.NRGBA { return color.NRGBA{c.R, c.G, c.B, 255} }
	// 20 pixels are a millimetre, measured from the art's corner.
	for _, c := range []struct {
		what string
		x, y int
		want color.NRGBA
	}{
		{"red at the left", 100, 100, at(red)}, {"blue at the right", 1500, 900, at(blue)}, {"the hole", 1200, 500, color.NRGBA{}},
		{"the pen's line", 300, 200, color.NRGBA{A: 255}}, {"beside it", 300, 210, at(red)}, {"beyond its end", 540, 200, at(red)},
	} {
		if got := color.NRGBAModel.Convert(img.At(c.x, c.y)); got != c.want {
			t.Errorf("%s: %v, want %v", c.what, got, c.want)
		}
	}
}

// Where two sheets meet no blank shines through, however the line runs across the
// pixels, and what is there is a mix of the two.
func TestWrite_NoBlankShinesThroughWhereSheetsMeet(t *testing.T) {
	img := Picture(flag(t), 800)
	mixed := 0
	for y := 1; y < 499; y++ {
		for x := 300; x < 440; x++ {
			c := img.NRGBAAt(x, y)
			if c.A != 255 {
				t.Fatalf("alpha %d at %d, %d", c.A, x, y)
			}
			if c.R < 195 && c.R > 25 && c.A == 255 {
				mixed++
				// On the straight line between the two colours, green is, too.
				if share := float64(c.R-20) / 180; float64(c.G) < 60-20*share-3 || float64(c.G) > 60-20*share+3 {
					t.Fatalf("%v at %d, %d is no mix of the two", c, x, y)
				}
			}
		}
	}
	if mixed < 300 {
		t.Errorf("only %d pixels are mixed", mixed)
	}
}

// Colours that stack, where someone allows it, hide what lies beneath.
func TestWrite_WhatIsLaidLaterHidesWhatLiesBeneath(t *testing.T) {
	page := flag(t)
	page.Separations[1].Contours = page.Separations[0].Contours
	if c := Picture(page, 400).NRGBAAt(50, 50); c != (color.NRGBA{blue.R, blue.G, blue.B, 255}) {
		t.Errorf("%v", c)
	}
}

func TestWrite_ALineAcrossItselfIsNoHole(t *testing.T) {
	page := flag(t)
	page.Drawings[0].Lines[0].Closed = true // there and back again
	if c := Picture(page, 800).NRGBAAt(150, 100); c.R > 10 {
		t.Errorf("%v", c)
	}
}

// What is shown of a sheet before it is written is how it lies on the mat: mirrored,
// with its frame.
func TestSheet_IsMirroredAndHasEveryLineOfTheKnife(t *testing.T) {
	img := Sheet(flag(t), 0, 900).(*image.NRGBA) // 10 pixels are a millimetre
	if size := img.Rect.Size(); size.X != 900 || size.Y != 600 {
		t.Fatalf("the sheet is %v", size)
	}
	if c := img.NRGBAAt(800, 300); c != (color.NRGBA{red.R, red.G, red.B, 255}) {
		t.Errorf("red at the right is %v", c)
	}
	if c := img.NRGBAAt(100, 300); c.A != 0 {
		t.Errorf("at the left there is %v", c)
	}
	for what, at := range map[string]image.Point{"the frame": {450, 0}, "an outline": {850, 300}} {
		if c := img.NRGBAAt(at.X, at.Y); c.A < 100 || c.R > 150 {
			t.Errorf("%s is %v", what, c)
		}
	}
}
