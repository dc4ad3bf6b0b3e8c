package job

import (
	"errors"
	"reflect"
	"slices"
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/gradient"
)

// sketch is the sample's first item as its file had it.
func sketch() Item {
	it := sample().Items[0]
	it.Canvas, it.PhysicalMM, it.Source = geometry.RectXYWH(0, 0, 100, 50), geometry.Pt(200, 100), "bird.svg"
	return it
}

// names writes an item's layers from the bottom up.
func names(it Item) string {
	var out []string
	for _, l := range it.Layers {
		out = append(out, l.Name)
	}
	return strings.Join(out, " ")
}

// boxed is a layer of the new drawing, with an id that is another layer's in the old one.
func boxed(name string, c colour.RGB, x, w, h float64) Layer {
	return Layer{Name: name, Content: Outlines{Shapes: []Shape{{Path: geometry.RectXYWH(x, 0, w, h).Path(), Line: 99}}}, Colour: c, Alpha: 1, Transform: geometry.Identity(), Shown: true}
}

func drawing(layers ...Layer) Item {
	it := sketch()
	it.ID, it.Placement, it.Layers = 1, geometry.Scale(7, 7), layers
	for k := range it.Layers {
		it.Layers[k].ID = LayerID(20 - k)
	}
	return it
}

func birdAgain() []Layer {
	return []Layer{boxed("Body", red, 1, 10, 10), boxed("Wing", blue, 2, 10, 12), boxed("Beak", red, 3, 10, 10)}
}

func redraw(t *testing.T, j Job, fresh Item, bases ...Item) (Job, Redrawn) {
	t.Helper()
	before := j.Items[0]
	out, r, err := Redraw(j, 1, bases, fresh)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(j.Items[0], before) {
		t.Error("the job that was given is another one now")
	}
	if !reflect.DeepEqual(out.Items[1:], j.Items[1:]) {
		t.Error("another picture changed")
	}
	ids := out.LayerIDs()
	if slices.Sort(ids); len(slices.Compact(ids)) != len(out.LayerIDs()) {
		t.Errorf("ids twice: %v", out.LayerIDs())
	}
	return out, r
}

func edited(t *testing.T, j Job, list ...func(Job) (Job, error)) Job {
	t.Helper()
	for _, e := range list {
		var err error
		if j, err = e(j); err != nil {
			t.Fatal(err)
		}
	}
	return j
}

func sketched() Job {
	j := sample()
	j.Items[0] = sketch()
	return j
}

func TestRedraw_KeepsWhatWasDecided(t *testing.T) {
	j := edited(t, sketched(),
		func(j Job) (Job, error) { return Rename(j, 2, "Feathers") },
		func(j Job) (Job, error) { return SetColour(j, []LayerID{3}, colour.RGB{G: 9}) },
		func(j Job) (Job, error) { return SetUse(j, []LayerID{1}, Bare) },
		func(j Job) (Job, error) { return SetKnocks(j, []LayerID{2}, true) },
		func(j Job) (Job, error) { return SetLocked(j, []LayerID{2}, true) },
		func(j Job) (Job, error) { return SetShown(j, []LayerID{3}, false) },
		func(j Job) (Job, error) { return MoveLayers(j, []LayerID{1}, 6, 8) },
		func(j Job) (Job, error) {
			return AddMend(j, Mend{Layer: 2, At: geometry.Pt(4, 4), Do: Broaden, Drawn: 0.5})
		})
	out, r := redraw(t, j, drawing(birdAgain()...), sketch())
	it := out.Items[0]
	if names(it) != "Body Feathers Beak" || r.Changed != 1 || r.New+r.Gone+r.Yours != 0 {
		t.Errorf("%q, %+v", names(it), r)
	}
	body, wing, beak := it.Layers[0], it.Layers[1], it.Layers[2]
	if body.ID != 1 || wing.ID != 2 || beak.ID != 3 || body.Use != Bare || !wing.Knocks || !wing.Locked || beak.Shown || beak.Colour != (colour.RGB{G: 9}) {
		t.Errorf("%+v", it.Layers)
	}
	if it.Placement != j.Items[0].Placement || body.Transform != j.Items[0].Layers[0].Transform || !reflect.DeepEqual(it.Mends, j.Items[0].Mends) {
		t.Errorf("%v, %v, %v", it.Placement, body.Transform, it.Mends)
	}
	if got := Bounds(out, 2); got != geometry.RectXYWH(4, 0, 20, 24) {
		t.Errorf("the wing covers %v", got)
	}
	// The next state is found again by what the first one was called.
	out, r = redraw(t, out, drawing(birdAgain()...), sketch(), r.Base)
	if names(out.Items[0]) != "Body Feathers Beak" || r.Changed+r.New+r.Gone+r.Yours != 0 {
		t.Errorf("once more: %q, %+v", names(out.Items[0]), r)
	}
}

func TestRedraw_LetsLayersComeAndGo(t *testing.T) {
	j := edited(t, sketched(), KnockOutAll)
	j, band, err := AddSurround(j, []LayerID{3}, Surround{WidthMM: 2}, "Band", blue)
	if err != nil {
		t.Fatal(err)
	}
	j, star, err := Add(j, Added{Name: "Star", Content: mustPrimitive(Primitive{Form: Heart, Width: 9, Height: 9})}, geometry.Pt(1, 2))
	if err != nil || star == band {
		t.Fatal(err)
	}
	// Added on top of the second picture: Abut adds to the topmost.
	fresh := drawing(boxed("Nest", colour.RGB{R: 7}, 0, 90, 5), boxed("Wing", blue, 2, 10, 10), boxed("Body", red, 1, 10, 10))
	fresh.Warnings = []Warning{{Layers: []LayerID{20, 18}}}
	out, r := redraw(t, j, fresh, sketch())
	it := out.Items[0]
	if names(it) != "Nest Wing Body" || r.New != 1 || r.Gone != 1 || r.Changed+r.Yours != 0 {
		t.Errorf("%q, %+v", names(it), r)
	}
	if nest := it.Layers[0]; !nest.Knocks || nest.ID <= star {
		t.Errorf("the new layer: %+v", nest)
	}
	if w := it.Warnings[0].Layers; !slices.Equal(w, []LayerID{it.Layers[0].ID, 1}) {
		t.Errorf("what was told is of %v", w)
	}
	if _, _, there := out.Layer(band); there {
		t.Error("the surround of what went is there")
	}
	if _, _, there := out.Layer(star); !there {
		t.Error("what was added here is gone")
	}
}

// What someone made of the drawing here goes before what its file has.
func TestRedraw_LeavesWhatWasMadeHere(t *testing.T) {
	part := func(x float64) []Shape { return []Shape{{Path: geometry.RectXYWH(x, 0, 5, 5).Path()}} }
	changed := func() Item {
		return drawing(boxed("Body", red, 1, 30, 10), boxed("Wing", blue, 2, 30, 10), boxed("Beak", red, 3, 30, 10))
	}
	for name, c := range map[string]struct {
		edit  func(Job) (Job, error)
		want  string
		yours int
	}{
		"deleted": {func(j Job) (Job, error) { return DeleteLayers(j, []LayerID{2}) }, "Body Beak", 1},
		"merged":  {func(j Job) (Job, error) { k, _, err := Merge(j, []LayerID{1, 3}, nil); return k, err }, "Wing Beak", 2},
		"split": {func(j Job) (Job, error) {
			k, _, err := Split(j, 2, [][]Shape{part(0), part(9)})
			return k, err
		}, "Body Wing 1 Wing 2 Beak", 1},
		"copied":   {func(j Job) (Job, error) { k, _, err := Duplicate(j, []LayerID{1}, 2, 2); return k, err }, "Body Body Wing Beak", 0},
		"reshaped": {func(j Job) (Job, error) { return SetContent(j, 2, mustPrimitive(Primitive{Width: 9, Height: 9})) }, "Body Wing Beak", 1},
		"in order": {func(j Job) (Job, error) { return Arrange(j, []LayerID{1}, ToTop) }, "Wing Beak Body", 0},
	} {
		j := edited(t, sketched(), c.edit)
		out, r := redraw(t, j, changed(), sketch())
		if got := names(out.Items[0]); got != c.want || r.Yours != c.yours || r.New != 0 || r.Gone != 0 {
			t.Errorf("%s: %q, %+v", name, got, r)
		}
	}
}

func TestRedraw_FindsLayersWithoutKnowingTheirFile(t *testing.T) {
	j := edited(t, sketched(), func(j Job) (Job, error) { return Rename(j, 2, "Feathers") })
	fresh := drawing(boxed("Beak", red, 3, 10, 10), boxed("Wing", blue, 2, 10, 12), boxed("Body", colour.RGB{R: 250}, 1, 10, 10))
	out, r := redraw(t, j, fresh)
	it := out.Items[0]
	if names(it) != "Beak Feathers Body" || it.Layers[0].ID != 3 || it.Layers[1].ID != 2 || it.Layers[2].ID != 1 || r.Changed != 2 || r.New+r.Gone != 0 {
		t.Errorf("%q, %+v", names(it), r)
	}
	// A base that none of the layers is of tells nothing, as after a picture was traced anew.
	other := sketch()
	other.Layers = slices.Clone(other.Layers)
	for k := range other.Layers {
		other.Layers[k].ID += 40
	}
	if again, _ := redraw(t, j, fresh, other); !reflect.DeepEqual(again, out) {
		t.Errorf("%q", names(again.Items[0]))
	}
}

// After the step was undone, the old state is what is there.
func TestRedraw_AfterItWasUndone(t *testing.T) {
	_, r := redraw(t, sketched(), drawing(birdAgain()...), sketch())
	out, r := redraw(t, sketched(), drawing(birdAgain()...), sketch(), r.Base)
	if r.Changed != 1 || r.Yours != 0 || Bounds(out, 2) != geometry.RectXYWH(4, 0, 20, 24) {
		t.Errorf("%+v, the wing covers %v", r, Bounds(out, 2))
	}
}

func TestRedraw_KeepsTheSize(t *testing.T) {
	double := func(fresh Item) Item {
		for k := range fresh.Layers {
			fresh.Layers[k].Transform = geometry.Scale(2, 2)
		}
		return fresh
	}
	same := []Layer{boxed("Body", red, 1, 10, 10), boxed("Wing", blue, 2, 10, 10), boxed("Beak", red, 3, 10, 10)}
	j := edited(t, sketched(),
		func(j Job) (Job, error) { return MoveLayers(j, []LayerID{2}, 6, 8) },
		func(j Job) (Job, error) {
			return AddMend(j, Mend{Layer: 2, At: geometry.Pt(4, 4), Do: Broaden, Drawn: 0.5})
		})
	before := Bounds(j, 2)
	// Twice as many units on a page of the same size.
	fine := double(drawing(slices.Clone(same)...))
	fine.Canvas = geometry.RectXYWH(0, 0, 200, 100)
	out, _ := redraw(t, j, fine, sketch())
	if got := Bounds(out, 2); got != before {
		t.Errorf("finer units: %v, was %v", got, before)
	}
	if m := out.Items[0].Mends[0]; m.At != geometry.Pt(8, 8) || m.Drawn != 1 {
		t.Errorf("the mend is at %v, drawn %v", m.At, m.Drawn)
	}
	// A page that grew by a margin.
	wide := drawing(slices.Clone(same)...)
	wide.Canvas, wide.PhysicalMM = geometry.RectXYWH(-10, -10, 120, 70), geometry.Pt(240, 140)
	if out, _ = redraw(t, j, wide, sketch()); Bounds(out, 2) != before {
		t.Errorf("a larger page: %v, was %v", Bounds(out, 2), before)
	}
	// A picture of pixels that was saved at twice the resolution.
	pixels := sketch()
	pixels.Pixels, pixels.PhysicalMM = &Pixels{}, geometry.Point{}
	k := j
	k.Items = slices.Clone(j.Items)
	k.Items[0].Pixels, k.Items[0].PhysicalMM = pixels.Pixels, geometry.Point{}
	sharp := double(drawing(slices.Clone(same)...))
	sharp.Canvas, sharp.PhysicalMM, sharp.Pixels = geometry.RectXYWH(0, 0, 200, 100), geometry.Point{}, &Pixels{File: []byte("new")}
	out, _ = redraw(t, k, sharp, pixels)
	if got := Bounds(out, 2); got != before || string(out.Items[0].Pixels.File) != "new" {
		t.Errorf("more pixels: %v, was %v", got, before)
	}
}

func TestRedraw_RefusesAPictureThatIsNotThere(t *testing.T) {
	var e *EditError
	if _, _, err := Redraw(sketched(), 9, nil, drawing()); !errors.As(err, &e) || e.ID != "edit-no-picture" {
		t.Error(err)
	}
}

// A gradient that was shown in bands is shown so again, with what was decided about each.
func TestRedraw_KeepsBands(t *testing.T) {
	stops := []gradient.Stop{{Colour: red, Alpha: 1}, {At: 1, Colour: blue, Alpha: 1}}
	base := shaded(across(stops...)).Items[0]
	j := shaded(across(stops...))
	id := j.Items[0].Layers[0].ID
	j = edited(t, j, func(j Job) (Job, error) { return SetBands(j, []LayerID{id}, 4) })
	second := j.Items[0].Layers[1].ID
	j = edited(t, j, func(j Job) (Job, error) { return SetKnocks(j, []LayerID{second}, true) })
	fresh := shaded(across(stops...)).Items[0]
	out, r, err := Redraw(j, j.Items[0].ID, []Item{base}, fresh)
	if err != nil {
		t.Fatal(err)
	}
	it := out.Items[0]
	if len(it.Layers) != len(j.Items[0].Layers) || it.Layers[1].ID != second || !it.Layers[1].Knocks || r.Changed+r.New+r.Gone+r.Yours != 0 {
		t.Errorf("%q, %+v", names(it), r)
	}
	one := edited(t, out, func(j Job) (Job, error) { return SetBands(j, []LayerID{second}, 1) })
	if l := one.Items[0].Layers; len(l) != 2 || l[0].ID != id {
		t.Errorf("in one again: %q", names(one.Items[0]))
	}
}
