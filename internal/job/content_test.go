package job

import (
	"errors"
	"math"
	"reflect"
	"slices"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
)

func mustPrimitive(p Primitive) Primitive {
	p, err := NewPrimitive(p)
	if err != nil {
		panic(err)
	}
	return p
}

func TestNewPrimitive_FillsItsBoundsAndHasItsArea(t *testing.T) {
	// Areas in closed form; a pentagon's and a star's from the sine rule.
	fifth := math.Sin(2 * math.Pi / 5)
	tenth := math.Sin(math.Pi / 5)
	for _, c := range []struct {
		p    Primitive
		area float64
	}{
		{Primitive{Form: Rectangle, Width: 30, Height: 20}, 600},
		{Primitive{Form: Rectangle, Width: 30, Height: 20, Radius: 4}, 600 - (4-math.Pi)*16},
		{Primitive{Form: Rectangle, Width: 30, Height: 20, Radius: 99}, 10*20 + math.Pi*100},
		{Primitive{Form: Ellipse, Width: 30, Height: 20}, math.Pi * 15 * 10},
		{Primitive{Form: Polygon, Width: 20, Height: 20, Points: 5}, 2.5 * 100 * fifth},
		{Primitive{Form: Star, Width: 20, Height: 20, Points: 5, Inner: 0.5}, 5 * 100 * 0.5 * tenth},
	} {
		p := mustPrimitive(c.p)
		// A cubic of 11.25° strays by 1e-9 of the radius.
		if got := p.Outline().SignedArea(); math.Abs(got-c.area) > 1e-6*c.area {
			t.Errorf("%+v: area %.9g, want %.9g", c.p, got, c.area)
		}
	}
	for _, f := range []Form{Rectangle, Ellipse, Heart} {
		r := mustPrimitive(Primitive{Form: f, Width: 30, Height: 20}).Outline().Bounds()
		want := geometry.RectXYWH(-15, -10, 30, 20)
		if d := r.Min.Sub(want.Min).Len() + r.Max.Sub(want.Max).Len(); d > 1e-6 {
			t.Errorf("%s: bounds %v, want %v", f, r, want)
		}
	}
	// A heart is drawn by eye: this is what the eye liked, and it is even.
	h := mustPrimitive(Primitive{Form: Heart, Width: 30, Height: 20}).Outline()
	if a := h.SignedArea(); math.Abs(a-395.65) > 0.1 {
		t.Errorf("a heart of 30 × 20 mm has %.2f mm²", a)
	}
	for y := -9.9; y < 10; y += 0.7 {
		hits := h.Flatten(1e-4).ScanLine(y)
		for i := range hits {
			if d := hits[i].X + hits[len(hits)-1-i].X; math.Abs(d) > 1e-3 {
				t.Errorf("at height %g one side of a heart is %g further out", y, d)
			}
		}
	}
}

func TestNewPrimitive_DropsNumbersThatItsFormHasNoUseFor(t *testing.T) {
	for f, want := range map[Form]Primitive{
		Rectangle: {Radius: 3}, Ellipse: {}, Heart: {}, Polygon: {Points: 7}, Star: {Points: 7, Inner: 0.5},
	} {
		want.Form, want.Width, want.Height = f, 30, 20
		got := mustPrimitive(Primitive{Form: f, Width: 30, Height: 20, Radius: 3, Points: 7, Inner: 0.5})
		if got.shapes = nil; !reflect.DeepEqual(got, want) {
			t.Errorf("%+v, want %+v", got, want)
		}
	}
}

func TestNewPrimitive_RefusesWhatCannotBeDrawn(t *testing.T) {
	for _, p := range []Primitive{
		{Form: Ellipse, Width: 0, Height: 10}, {Form: Ellipse, Width: math.NaN(), Height: 10}, {Form: Rectangle, Width: 10, Height: maxSideMM + 1},
		{Form: Rectangle, Width: 10, Height: 10, Radius: -1}, {Form: Polygon, Width: 10, Height: 10, Points: 2}, {Form: Star, Width: 10, Height: 10, Points: 5},
		{Form: Heart + 1, Width: 10, Height: 10},
	} {
		var e *EditError
		if _, err := NewPrimitive(p); !errors.As(err, &e) || e.ID != "edit-bad-primitive" {
			t.Errorf("%+v: %v", p, err)
		}
	}
}

// withSurround is the sample with a surround around its layers 2 and 3.
func withSurround(t *testing.T) (Job, LayerID) {
	t.Helper()
	j, made, err := AddSurround(sample(), []LayerID{2, 3}, Surround{WidthMM: 4}, "Band", colour.RGB{R: 1, G: 1, B: 1})
	if err != nil {
		t.Fatal(err)
	}
	return j, made
}

// A surround can be around layers of several items: it lies beneath all of them,
// goes along with all of them, and its copies are around copies only.
func TestAddSurround_AroundSeveralItems(t *testing.T) {
	j, id, err := AddSurround(sample(), []LayerID{7, 2}, Surround{WidthMM: 4}, "Band", colour.White)
	if err != nil {
		t.Fatal(err)
	}
	l, it, _ := j.Layer(id)
	if at := slices.IndexFunc(it.Layers, func(l Layer) bool { return l.ID == id }); it.ID != j.Items[0].ID || it.Layers[at+1].ID != 2 {
		t.Errorf("it lies in item %d at %d", it.ID, at)
	}
	if got := Inner(j, l); !slices.Equal(got, []LayerID{2, 7}) {
		t.Errorf("it is around %v", got)
	}
	if got, want := Bounds(j, id), BoundsOf(j, []LayerID{2, 7}).Grow(4); got != want {
		t.Errorf("bounds %v, want %v", got, want)
	}
	moved, err := MoveLayers(j, []LayerID{id}, 5, 6)
	if err != nil || Bounds(moved, 7).Min.Sub(Bounds(j, 7).Min).Sub(geometry.Pt(5, 6)).Len() > 1e-9 || len(Carried(j, []LayerID{2, 7})) != 3 || len(Carried(j, []LayerID{2})) != 1 {
		t.Errorf("moving it moves %v, %v", Bounds(moved, 7), err)
	}
	copied, made, err := Duplicate(j, []LayerID{id}, 100, 0)
	if err != nil || len(made) != 3 {
		t.Fatal(made, err)
	}
	added, all := addItems(sample(), Only(j, []LayerID{id}))
	for name, k := range map[string]struct {
		j   Job
		new []LayerID
	}{"copied": {copied, made}, "added": {added, all}} {
		n := 0
		for _, id := range k.new {
			if l, _, _ := k.j.Layer(id); len(Inner(k.j, l)) > 0 {
				n++
				for _, of := range l.Content.(Surround).Of {
					if !slices.Contains(k.new, of) {
						t.Errorf("%s, it is around %d, which is no copy", name, of)
					}
				}
				if len(Inner(k.j, l)) != 2 {
					t.Errorf("%s, it is around %v", name, Inner(k.j, l))
				}
			}
		}
		if n != 1 {
			t.Errorf("%s: %d surrounds", name, n)
		}
	}
	// It goes with the last of them.
	less, err := DeleteLayers(j, []LayerID{2})
	if l, _, ok := less.Layer(id); err != nil || !ok || !slices.Equal(Inner(less, l), []LayerID{7}) {
		t.Error("it went with the first of two", err)
	}
	if less, err = DeleteLayers(less, []LayerID{7}); err != nil {
		t.Fatal(err)
	}
	if _, _, ok := less.Layer(id); ok {
		t.Error("a band around nothing stays")
	}
}

func TestAddSurround_LiesBeneathAndFollows(t *testing.T) {
	j, id := withSurround(t)
	order := []LayerID{}
	for _, l := range j.Items[0].Layers {
		order = append(order, l.ID)
	}
	if !slices.Equal(order, []LayerID{1, id, 2, 3}) {
		t.Errorf("order %v", order)
	}
	inner := BoundsOf(j, []LayerID{2, 3})
	if got, want := BoundsOf(j, []LayerID{id}), inner.Grow(4); got != want {
		t.Errorf("bounds %v, want %v", got, want)
	}
	k, err := MoveLayers(j, []LayerID{3}, 100, 0)
	if err != nil {
		t.Fatal(err)
	}
	if got := BoundsOf(k, []LayerID{id}).Max.X; math.Abs(got-inner.Max.X-104) > 1e-9 {
		t.Errorf("after a move of what it is around its right is at %g", got)
	}
}

// What is left out is not surrounded, so a band goes along with the rest of what
// it was put around.
func TestInner_PassesOverWhatIsLeftOut(t *testing.T) {
	j, id := withSurround(t)
	j, _ = SetUse(j, []LayerID{3}, LeftOut)
	l, _, _ := j.Layer(id)
	if got := Inner(j, l); !slices.Equal(got, []LayerID{2}) {
		t.Errorf("it is around %v", got)
	}
	if got := Carried(j, []LayerID{2}); !slices.Equal(got, []LayerID{2, id}) {
		t.Errorf("a move takes %v along", got)
	}
	// A band around the band lies beneath it and goes along, too.
	outer, top, err := AddSurround(j, []LayerID{id}, Surround{WidthMM: 1}, "Outer", colour.White)
	if err != nil {
		t.Fatal(err)
	}
	if got := Carried(outer, []LayerID{2}); !slices.Equal(got, []LayerID{2, id, top}) {
		t.Errorf("a move takes %v along, the outer band is %d", got, top)
	}
	if plain, _, _ := j.Layer(1); Inner(j, plain) != nil {
		t.Error("a layer that is no surround is around something")
	}
}

func TestMoveLayers_OfASurroundMovesWhatItIsAroundOnce(t *testing.T) {
	j, id := withSurround(t)
	for _, ids := range [][]LayerID{{id}, {id, 2}, {2, 3, id}, {2, 3}} {
		k, err := MoveLayers(j, ids, 5, 6)
		if err != nil {
			t.Fatal(err)
		}
		want := geometry.Translate(5, 6).MapRect(BoundsOf(j, []LayerID{id}))
		if got := BoundsOf(k, []LayerID{id}); got.Min.Sub(want.Min).Len() > 1e-9 {
			t.Errorf("moving %v took it to %v, want %v", ids, got, want)
		}
		if got := Carried(j, ids); len(got) != 3 {
			t.Errorf("moving %v carries %v", ids, got)
		}
	}
	if got := Carried(j, []LayerID{2}); !slices.Equal(got, []LayerID{2}) {
		t.Errorf("one of two carries %v", got)
	}
	k, err := Align(j, []LayerID{id}, AlignLeft, geometry.RectXYWH(-50, 0, 10, 10))
	if err != nil {
		t.Fatal(err)
	}
	if got := BoundsOf(k, []LayerID{id}).Min.X; math.Abs(got+50) > 1e-9 {
		t.Errorf("aligned to %g", got)
	}
}

func TestDuplicate_OfASurroundIsAroundTheCopies(t *testing.T) {
	j, id := withSurround(t)
	k, made, err := Duplicate(j, []LayerID{id}, 100, 0)
	if err != nil || len(made) != 3 {
		t.Fatal(made, err)
	}
	copied := made[0]
	want := geometry.Translate(100, 0).MapRect(BoundsOf(j, []LayerID{id}))
	if got := BoundsOf(k, []LayerID{copied}); got.Min.Sub(want.Min).Len() > 1e-9 {
		t.Errorf("the copy is around %v, want %v", got, want)
	}
	l, _, _ := k.Layer(copied)
	if of := l.Content.(Surround).Of; !slices.Equal(of, made[1:]) {
		t.Errorf("it is of %v, the copies are %v", of, made[1:])
	}
	both, made := addItems(j, j)
	l, _, _ = both.Layer(made[1])
	for _, of := range l.Content.(Surround).Of {
		if !slices.Contains(made, of) {
			t.Errorf("an added item's surround is of layer %d, which is not its own", of)
		}
	}
}

func TestDeleteLayers_TakesSurroundsOfNothingAlong(t *testing.T) {
	j, id := withSurround(t)
	k, _ := DeleteLayers(j, []LayerID{2})
	if _, _, ok := k.Layer(id); !ok {
		t.Error("gone while something is left")
	}
	k, _ = DeleteLayers(k, []LayerID{3})
	if _, _, ok := k.Layer(id); ok {
		t.Error("still there around nothing")
	}
}

func TestCarriers_EndWhereSurroundsHoldEachOther(t *testing.T) {
	j, id := withSurround(t)
	j, err := SetContent(j, id, Surround{Of: []LayerID{id, 2}, WidthMM: 1})
	if err != nil {
		t.Fatal(err)
	}
	if got := carriers(j, []LayerID{id}); !slices.Equal(got, []LayerID{2}) {
		t.Error(got)
	}
	if r := BoundsOf(j, []LayerID{id}); r.Empty() || !r.Min.Finite() {
		t.Error(r)
	}
}

func TestAdd_LiesWhereAskedInMillimetres(t *testing.T) {
	p := mustPrimitive(Primitive{Form: Ellipse, Width: 30, Height: 20})
	for name, j := range map[string]Job{"nothing": {}, "a picture": sample()} {
		k, id, err := Add(j, Added{Name: "Dot", Content: p, Colour: colour.RGB{R: 9, G: 9, B: 9}, ItemName: "Drawn"}, geometry.Pt(40, 50))
		if err != nil {
			t.Fatal(name, err)
		}
		r, want := BoundsOf(k, []LayerID{id}), geometry.RectXYWH(25, 40, 30, 20)
		if r.Min.Sub(want.Min).Len()+r.Max.Sub(want.Max).Len() > 1e-6 {
			t.Errorf("%s: at %v, want %v", name, r, want)
		}
		again, next, _ := Add(k, Added{Name: "Dot", Content: p}, geometry.Pt(1, 1))
		if next == id || len(again.Items) != len(k.Items) {
			t.Errorf("%s: a second one got id %d in %d items", name, next, len(again.Items))
		}
	}
}

func TestAdd_KnocksOutWhereAllDo(t *testing.T) {
	p := mustPrimitive(Primitive{Form: Heart, Width: 30, Height: 20})
	j, _ := KnockOutAll(sample())
	for want, j := range map[bool]Job{true: j, false: sample()} {
		k, id, _ := Add(j, Added{Content: p}, geometry.Point{})
		if l, _, _ := k.Layer(id); l.Knocks != want {
			t.Errorf("knocks %v, want %v", l.Knocks, want)
		}
	}
}

func TestText_ChecksItsNumbers(t *testing.T) {
	good := Text{Text: "Hello", Weight: 400, SizeMM: 20}
	if err := good.Check(); err != nil {
		t.Fatal(err)
	}
	for _, change := range []func(*Text){
		func(t *Text) { t.Text = " \n " }, func(t *Text) { t.SizeMM = 0 }, func(t *Text) { t.SizeMM = math.Inf(1) }, func(t *Text) { t.Weight = 0 },
		func(t *Text) { t.Align = 3 }, func(t *Text) { t.SpacingMM = math.NaN() }, func(t *Text) { t.Arc = &Arc{} },
	} {
		bad := good
		change(&bad)
		if bad.Check() == nil {
			t.Errorf("%+v was taken", bad)
		}
	}
}

func TestToOutlines_ChangesNothingThatIsSeen(t *testing.T) {
	p := mustPrimitive(Primitive{Form: Star, Width: 30, Height: 30, Points: 5, Inner: 0.4})
	j, id, _ := Add(sample(), Added{Content: p}, geometry.Pt(7, 8))
	k, err := ToOutlines(j, id, nil)
	if err != nil {
		t.Fatal(err)
	}
	a, _, _ := j.Layer(id)
	b, _, _ := k.Layer(id)
	if _, ok := b.Content.(Outlines); !ok || a.Transform != b.Transform || !reflect.DeepEqual(Shapes(a.Content), Shapes(b.Content)) {
		t.Errorf("%+v became %+v", a, b)
	}
}

func TestTransformLayers_RoundCornersStayRound(t *testing.T) {
	p := mustPrimitive(Primitive{Form: Rectangle, Width: 20, Height: 10, Radius: 3})
	j, id, _ := Add(sample(), Added{Content: p}, geometry.Pt(0, 0))
	j, _ = TransformLayers(j, []LayerID{id}, geometry.Rotate(0.5))
	before, it, _ := j.Layer(id)
	for _, c := range []struct{ sx, sy, width, height float64 }{{2, 1, 40, 10}, {1, 3, 20, 30}, {2, 3, 20, 15}} {
		along := geometry.Rotate(0.5).Mul(geometry.Scale(c.sx, c.sy)).Mul(geometry.Rotate(-0.5))
		k, err := TransformLayers(j, []LayerID{id}, along)
		if err != nil {
			t.Fatal(err)
		}
		l, _, _ := k.Layer(id)
		got := l.Content.(Primitive)
		m := it.Placement.Mul(l.Transform)
		if math.Abs(got.Width-c.width) > 1e-9 || math.Abs(got.Height-c.height) > 1e-9 || got.Radius != 3 {
			t.Errorf("%+v, want %+v", got, c)
		}
		if sx, sy := math.Hypot(m.A, m.B), math.Hypot(m.C, m.D); math.Abs(sx-sy) > 1e-9 {
			t.Errorf("still stretched: %g, %g", sx, sy)
		}
		// The corner that was farthest out lies where the stretch took it.
		want := along.Apply(it.Placement.Mul(before.Transform).Apply(geometry.Pt(10, 5)))
		if at := m.Apply(geometry.Pt(c.width/2, c.height/2)); at.Sub(want).Len() > 1e-9 {
			t.Errorf("its corner is at %v, want %v", at, want)
		}
	}
	// What is skewed, or has no round corners, is left as it is.
	skewed, _ := TransformLayers(j, []LayerID{id}, geometry.SkewX(0.3))
	if l, _, _ := skewed.Layer(id); !reflect.DeepEqual(l.Content, before.Content) {
		t.Errorf("skewed it is %+v", l.Content)
	}
}
