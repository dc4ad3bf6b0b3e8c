package weak

import (
	"context"
	"reflect"
	"testing"

	"abut/geometry"
)

// What is asked about a part of a picture must not depend on where that part ends: mends
// are tried on a part and made on the whole.
func TestFind_WithinRectanglesIsAsAmongAllSpots(t *testing.T) {
	spots, parts := 0, 0
	for _, c := range motifs(t) {
		if !few(c.pieces) {
			continue
		}
		o := Options{WidthMM: 1, SpeckMM: 2}
		all, err := Find(context.Background(), c.pieces, o)
		if err != nil {
			t.Fatal(err)
		}
		for _, at := range []geometry.Point{geometry.Pt(31, 8), geometry.Pt(52, 49), geometry.Pt(73, 60), geometry.Pt(12, 84)} {
			o.Within = []geometry.Rect{{Min: at, Max: at.Add(geometry.Pt(5, 3))}, {Min: geometry.Pt(90, 20), Max: geometry.Pt(92, 30)}}
			some, err := Find(context.Background(), c.pieces, o)
			if err != nil {
				t.Fatal(err)
			}
			k := 0
			for i := range all {
				if k < len(some) && reflect.DeepEqual(some[k], all[i]) {
					k++
				} else if comesTo(all[i].Outline, o.Within) {
					t.Errorf("%s: %v of %.3f mm at %v is not found from %v", c.name, all[i].Kind, all[i].WidthMM, all[i].At, at)
				}
			}
			if k < len(some) {
				t.Errorf("%s: %v of %.3f mm at %v is found from %v only", c.name, some[k].Kind, some[k].WidthMM, some[k].At, at)
			}
			spots, parts = spots+len(all), parts+len(some)
		}
	}
	if spots < 1000 || parts < 30 || parts > spots/2 {
		t.Errorf("%d spots, %d of them in parts: too few to tell", spots, parts)
	}
}

// few reports whether pieces are few enough to be looked through again and again; others of
// the kind are among them.
func few(pieces []geometry.Path) bool { return len(pieces) > 1 && len(pieces) <= 200 }

// comesTo reports whether a corner of an outline lies in one of the rectangles.
func comesTo(outline geometry.Path, within []geometry.Rect) bool {
	for _, c := range outline {
		for a := range c.Sides() {
			for _, r := range within {
				if r.Contains(a) {
					return true
				}
			}
		}
	}
	return false
}

func TestMemory_ChangesNothingThatIsFound(t *testing.T) {
	spots := 0
	for _, c := range motifs(t) {
		if !few(c.pieces) {
			continue
		}
		o := Options{WidthMM: 1, SpeckMM: 2, Memory: new(Memory)}
		pieces := c.pieces
		for round := range 2 {
			if len(pieces) > 1 { // one goes, and is nobody's from then on
				k := (37*round + 11) % len(pieces)
				pieces = append(append([]geometry.Path{}, pieces[:k]...), pieces[k+1:]...)
			}
			o.Within = nil
			if round == 1 {
				o.Within = []geometry.Rect{geometry.RectXYWH(20, 30, 25, 9)}
			}
			got, err := Find(context.Background(), pieces, o)
			if err != nil {
				t.Fatal(err)
			}
			fresh := o
			fresh.Memory = nil
			want, err := Find(context.Background(), pieces, fresh)
			if err != nil {
				t.Fatal(err)
			}
			if !reflect.DeepEqual(got, want) {
				t.Errorf("%s, round %d: %d spots, without a memory %d", c.name, round, len(got), len(want))
			}
			spots += len(got)
		}
	}
	if spots < 500 {
		t.Errorf("%d spots: too few to tell", spots)
	}
}
