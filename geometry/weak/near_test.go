package weak

import (
	"context"
	"math/rand/v2"
	"reflect"
	"slices"
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

// As while mends are tried: something goes, comes, or lies elsewhere, and what is asked for lies here or there. Whatever was
// asked before, all spots are as they are for who never asked.
func TestMemory_FollowsAPictureThatIsEditedAgainAndAgain(t *testing.T) {
	const seed = 27
	rng := rand.New(rand.NewPCG(seed, 0))
	spots, remembered := 0, 0
	for picture := range quick(6, 20) {
		blob := func() geometry.Path {
			x, y := 30*rng.Float64(), 20*rng.Float64()
			if rng.IntN(2) == 0 { // many short sides
				return ball(x, y, 0.3+2*rng.Float64())
			}
			return jagged(t, rng)[0].Transform(geometry.Translate(x, y))
		}
		var art []geometry.Path
		for range 20 {
			art = append(art, blob())
		}
		memory, all := new(Memory), art
		for edit := range 12 {
			switch k := rng.IntN(len(art)); edit % 6 {
			case 0: // nothing: only what is asked for is another part
			case 1:
				art[k] = blob()
			case 2:
				art[k] = art[k].Transform(geometry.Translate(0.3*rng.Float64(), 0.3*rng.Float64()))
			case 3:
				art = append(art[:k], art[k+1:]...)
			case 4:
				art = append(art, blob())
			case 5: // back to what it was when all were looked for
				art = slices.Clone(all)
			}
			pieces := layered(t, art)
			o := Options{WidthMM: 1, SpeckMM: 2}
			if rng.IntN(2) == 0 {
				o.Within = []geometry.Rect{geometry.RectXYWH(25*rng.Float64(), 15*rng.Float64(), 8, 6)}
			} else {
				all = slices.Clone(art)
			}
			want := find(t, pieces, o)
			if o.Memory = memory; memory.last != nil {
				remembered += len(memory.last.shapes)
			}
			got := find(t, pieces, o)
			if !reflect.DeepEqual(got, want) {
				t.Errorf("seed %d, picture %d, edit %d: with a memory\n%swithout\n%s", seed, picture, edit, describe(got), describe(want))
			}
			spots += len(got)
		}
	}
	if spots < 500 || remembered < 100 {
		t.Errorf("%d spots, %d shapes remembered: too few to tell", spots, remembered)
	}
}

func TestMemory_ForgetsWhatWasAskedForAnotherWidth(t *testing.T) {
	pieces := clean(t, rect(0, 0, 10, 0.9), rect(20, 0, 10, 1.4))
	memory := new(Memory)
	for _, width := range []float64{1, 1.5, 1} {
		want := find(t, pieces, Options{WidthMM: width})
		if got := find(t, pieces, Options{WidthMM: width, Memory: memory}); !reflect.DeepEqual(got, want) || len(want) == 0 {
			t.Errorf("%g mm: with a memory\n%swithout\n%s", width, describe(got), describe(want))
		}
	}
}

// The oracle looks at each side by itself.
func TestMemory_AsksAgainWhateverLiesWithinAWidthOfWhatChanged(t *testing.T) {
	const seed = 28
	rng := rand.New(rand.NewPCG(seed, 0))
	marked, sides := 0, 0
	for picture := range quick(10, 40) {
		var art []geometry.Path
		for range 12 {
			art = append(art, ball(30*rng.Float64(), 20*rng.Float64(), 0.3+4*rng.Float64()))
		}
		memory := new(Memory)
		find(t, layered(t, art), Options{WidthMM: 1, Memory: memory})
		for range 1 + rng.IntN(2) { // some come, and what they cover goes
			art = append(art, ball(30*rng.Float64(), 20*rng.Float64(), 0.3+2*rng.Float64()))
		}
		f, err := newFinder(t.Context(), layered(t, art), Options{WidthMM: 1})
		if err != nil {
			t.Fatal(err)
		}
		for i := range f.shapes {
			s := &f.shapes[i]
			c := memory.last.compare(s)
			g, err := newGrid(&pace{ctx: t.Context()}, s.sides, 1)
			if err != nil {
				t.Fatal(err)
			}
			if c.base < 0 {
				continue // all of it is asked
			}
			before := memory.last.shapes[c.base].sides
			stale, ok := c.stale(s.sides, before, g, &f.lengths)
			if !ok {
				t.Fatal("a grid tells what is near")
			}
			var changed []side
			for k := range s.sides {
				if c.was[k].shape != c.base {
					changed = append(changed, s.sides[k])
				}
			}
			for k := range before {
				if c.now[k] == 0 {
					changed = append(changed, before[k])
				}
			}
			box := func(s *side) geometry.Rect { return geometry.EmptyRect().Include(s.a).Include(s.b) }
			for k := range s.sides {
				for n := range changed {
					if !stale[k] && !box(&changed[n]).Grow(1).Intersect(box(&s.sides[k])).Empty() {
						t.Fatalf("seed %d, picture %d: the side at %v is not asked again, near %v", seed, picture, s.sides[k].a, changed[n].a)
					}
				}
				if sides++; stale[k] {
					marked++
				}
			}
		}
	}
	if marked == 0 || marked > sides/2 {
		t.Errorf("%d of %d sides are asked again: too few to tell, or as good as all", marked, sides)
	}
}
