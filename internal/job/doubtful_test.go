package job

import (
	"reflect"
	"testing"

	"abut/geometry"
)

func TestIgnoreClips_TakesOnlyDoubtfulOnesAndGivesThemBack(t *testing.T) {
	square := geometry.RectXYWH(0, 0, 9, 9).Path()
	sure, doubtful := &Clip{Shapes: []Shape{{Path: square}}}, &Clip{Doubtful: true}
	j := Job{Items: []Item{{ID: 1, Placement: geometry.Identity(), Layers: []Layer{
		{ID: 1, Alpha: 1, Transform: geometry.Identity(), Content: Outlines{[]Shape{{Path: square, Clips: []*Clip{doubtful, sure}}}}},
		{ID: 2, Alpha: 1, Transform: geometry.Identity(), Content: Outlines{[]Shape{{Path: square, Clips: []*Clip{sure}}}}},
	}}}}
	off, err := IgnoreClips(j, j.LayerIDs(), true)
	if err != nil {
		t.Fatal(err)
	}
	s := Shapes(off.Items[0].Layers[0].Content)[0]
	if len(s.Clips) != 1 || s.Clips[0] != sure || len(s.Ignored) != 1 || s.Ignored[0] != doubtful {
		t.Errorf("%+v", s)
	}
	if !reflect.DeepEqual(off.Items[0].Layers[1], j.Items[0].Layers[1]) {
		t.Error("a layer without such a clip has changed")
	}
	if has, ignored := HasDoubtfulClip(off.Items[0].Layers[0]); !has || !ignored {
		t.Errorf("has %v, ignored %v", has, ignored)
	}
	moved := TransformShapes(Shapes(off.Items[0].Layers[0].Content), geometry.Scale(2, 2))
	if len(moved[0].Ignored) != 1 || !moved[0].Ignored[0].Doubtful {
		t.Errorf("moved: %+v", moved[0])
	}
	back, err := IgnoreClips(off, off.LayerIDs(), false)
	if err != nil || !reflect.DeepEqual(back, j) {
		t.Errorf("given back\n%+v\nof\n%+v, %v", back, j, err)
	}
}
