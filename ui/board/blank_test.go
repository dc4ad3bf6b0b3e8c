package board

import (
	"image"
	"image/color"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
)

// A square at the left end of a mug is seen faintly beyond the right one, as far away as
// it is around, whatever of the mug itself is in view; on what is flat it is not.
func TestPaint_TheEndsOfAWrapMeet(t *testing.T) {
	square, err := job.NewPrimitive(job.Primitive{Form: job.Rectangle, Width: 20, Height: 20})
	if err != nil {
		t.Fatal(err)
	}
	j, _, err := job.Add(job.Job{}, job.Added{Content: square, Name: "Buoy", Colour: colour.RGB{R: 200}}, geometry.Pt(10, 45))
	if err != nil {
		t.Fatal(err)
	}
	const scale = 2
	for _, around := range []float64{0, 250} {
		b := &job.Blank{Name: "Mug", WidthMM: 200, HeightMM: 90, AroundMM: around, At: geometry.Pt(100, 45)}
		if j, err = job.SetBlankShape(j, b); err != nil {
			t.Fatal(err)
		}
		for _, from := range []int{0, 400} { // all of it, and the right end alone
			r := &request{
				job: j, mode: Art, density: 1, paper: b.Bounds(), ground: color.NRGBA{228, 225, 218, 255},
				view: view{scale: scale, origin: image.Pt(-from, 0), size: image.Pt(600-from, 180)},
			}
			pic := new(painter).paint(r)
			at := func(x, y float64) color.RGBA { return pic.base.RGBAAt(int(x*scale)-from, int(y*scale)) }
			there, beside := at(250+10, 45), at(230, 45)
			if beside != (color.RGBA{228, 225, 218, 255}) {
				t.Errorf("between the ends it is %v", beside)
			}
			if faint := int(there.R) > int(there.G)+40; faint != (around > 0) {
				t.Errorf("around %v mm, from %d px: beyond the end it is %v", around, from, there)
			}
		}
	}
}

func TestSetBlankShape_IsNotNarrowerAroundThanItIsWide(t *testing.T) {
	if _, err := job.SetBlankShape(job.Job{}, &job.Blank{WidthMM: 200, HeightMM: 90, AroundMM: 199}); err == nil {
		t.Error("its ends lie over each other")
	}
}
