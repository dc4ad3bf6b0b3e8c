package show

import (
	"context"
	"math"
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
	"abut/internal/workshop"
)

// finished is where thing and picture lie in the end, and all shapes that are drawn.
func finished(t *testing.T, id string) (thing, picture geometry.Rect, shapes []*Shape) {
	t.Helper()
	ctx := context.Background()
	j, err := workshop.OpenSVG(ctx, "flag", strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40"><path d="M0 0h60v40h-60z" fill="#203060"/></svg>`))
	if err != nil {
		t.Fatal(err)
	}
	b, err := workshop.BlankNamed(id)
	if err == nil {
		j, err = workshop.OnBlank(ctx, j, b)
	}
	if err != nil {
		t.Fatal(err)
	}
	steps := lesson(t, j).Steps
	for _, m := range steps[len(steps)-1].Scene(&LightRoom, 960, 1).Marks {
		if m.Shape == nil {
			continue
		}
		shapes = append(shapes, m.Shape)
		r := m.Place.MapRect(m.Shape.Path.Bounds())
		switch {
		case m.Fill == colour.RGB{R: 0x20, G: 0x30, B: 0x60} && m.Alpha == 1:
			picture = r
		case m.Fill == colour.White && m.Alpha == 1:
			thing = r // the last is in front of its handle
		}
	}
	return thing, picture, shapes
}

// A bag is no shirt, and a small picture on a cushion is small.
func TestDone_ShowsTheThingWithThePictureAsLargeAsItIsOnIt(t *testing.T) {
	draws := func(shapes []*Shape, want *Shape) bool {
		for _, s := range shapes {
			if s == want {
				return true
			}
		}
		return false
	}
	for _, k := range workshop.KnownBlanks() {
		thing, picture, shapes := finished(t, k.ID)
		if !thing.Encloses(picture) || picture.Width() < 20 {
			t.Errorf("%s: a picture at %v on a thing at %v", k.ID, picture, thing)
		}
		if k.Product == job.AnyProduct && k.AroundMM == 0 || k.Product == job.Cushion {
			if have, want := picture.Width()/thing.Width(), 60/k.WidthMM; math.Abs(have-want) > 0.01 {
				t.Errorf("%s: the picture is %.3f of it instead of %.3f", k.ID, have, want)
			}
		}
		for _, c := range []struct {
			*Shape
			of bool
		}{{shirtBody, k.Product == job.Shirt}, {toteBody, k.Product == job.Tote}, {toteHandles, k.Product == job.Tote}, {mugBody, k.AroundMM > 0}} {
			if draws(shapes, c.Shape) != c.of {
				t.Errorf("%s is drawn as another thing", k.ID)
			}
		}
	}
	_, front, _ := finished(t, "shirt")
	body, pocket, _ := finished(t, "pocket")
	if pocket.Width() < front.Width() || pocket.Min.X < body.Centre().X {
		t.Errorf("60 mm fill a pocket on one side, at %v, not the middle, at %v", pocket, front)
	}
}
