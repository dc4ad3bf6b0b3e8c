package job

import (
	"reflect"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
)

func TestRetrace_PutsAnotherDrawingInTheSamePlace(t *testing.T) {
	red, blue, green := colour.RGB{R: 200}, colour.RGB{B: 200}, colour.RGB{G: 200}
	layer := func(id LayerID, name string, c colour.RGB) Layer {
		return Layer{ID: id, Name: name, Colour: c, Alpha: 1, Transform: geometry.Identity(), Shown: true, Content: Outlines{}}
	}
	it := Item{
		ID: 1, Canvas: geometry.RectXYWH(0, 0, 100, 80), Placement: geometry.Translate(5, 7).Mul(geometry.Scale(0.5, 0.5)),
		Layers: []Layer{layer(1, "Sail", red), layer(2, "Sea", blue)}, Mends: []Mend{{Layer: 1}}, Pixels: &Pixels{File: []byte("picture")},
	}
	it.Layers[0].Use, it.Layers[0].Knocks, it.Layers[1].Knocks = LeftOut, true, true
	j := Job{Items: []Item{it}}
	how := Tracing{Colours: 2, BareGround: true}
	got, err := Retrace(j, 1, Drawing{Layers: []Layer{layer(1, "Red", red), layer(2, "Green", green)}, Canvas: geometry.RectXYWH(0, 0, 60, 40), Tracing: how})
	if err != nil {
		t.Fatal(err)
	}
	now := got.Items[0]
	if len(now.Layers) != 2 || now.Layers[0].ID <= 2 || now.Layers[1].ID != now.Layers[0].ID+1 {
		t.Errorf("ids that were there come back: %+v", now.Layers)
	}
	if l := now.Layers[0]; l.Name != "Sail" || l.Use != LeftOut || !l.Knocks || now.Layers[1].Name != "Green" {
		t.Errorf("what was decided about red is gone: %+v", l)
	}
	if a, b := it.Placement.Apply(it.Canvas.Centre()), now.Placement.Apply(now.Canvas.Centre()); a.Sub(b).Len() > 1e-9 {
		t.Errorf("its middle went from %v to %v", a, b)
	}
	if now.Mends != nil || !reflect.DeepEqual(now.Pixels, &Pixels{File: []byte("picture"), Tracing: how}) {
		t.Errorf("%v, %v", now.Mends, now.Pixels)
	}
	if len(j.Items[0].Layers) != 2 || j.Items[0].Layers[1].Name != "Sea" || j.Items[0].Pixels.Tracing.Colours != 0 {
		t.Error("the job that it was made from has changed")
	}
	j.Items[0].Pixels = nil
	if _, err := Retrace(j, 1, Drawing{}); err == nil {
		t.Error("a drawing is traced anew")
	}
}
