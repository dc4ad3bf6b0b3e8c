package job

import (
	"fmt"
	"testing"
)

func TestAround_GrowsFromTheInnermostGroup(t *testing.T) {
	layer := func(id LayerID, folders ...string) Layer { return Layer{ID: id, Folders: folders} }
	inBand := layer(6, "Bird")
	inBand.Band = Band{Of: 6, Name: "Sky"}
	other := layer(7, "Bird")
	other.Band = Band{Of: 6, Name: "Sky"}
	j := Job{Items: []Item{
		{ID: 1, Layers: []Layer{layer(1), layer(2, "Bird", "Wing"), layer(3, "Bird", "Wing"), layer(4, "Bird"), layer(5, "Tree"), inBand, other}},
		{ID: 2, Layers: []Layer{layer(8, "Bird", "Wing"), layer(9, "Bird", "Wing")}},
	}}
	for _, c := range []struct {
		ids  []LayerID
		want string
	}{
		{nil, " []"},
		{[]LayerID{1}, " []"},
		{[]LayerID{5}, " []"}, // alone in its group
		{[]LayerID{2}, "Wing [2 3]"},
		{[]LayerID{3, 2}, "Bird [2 3 4 6 7]"},
		{[]LayerID{2, 4}, "Bird [2 3 4 6 7]"},
		{[]LayerID{2, 5}, " []"},
		{[]LayerID{7}, "Sky [6 7]"},
		{[]LayerID{6, 7}, "Bird [2 3 4 6 7]"},
		{[]LayerID{8}, " []"}, // all of its picture
		{[]LayerID{99}, " []"},
	} {
		name, members := Around(j, c.ids)
		if got := fmt.Sprint(name, " ", members); got != c.want {
			t.Errorf("%v: %s, want %s", c.ids, got, c.want)
		}
	}
}
