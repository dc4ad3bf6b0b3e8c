package job

import (
	"errors"
	"math"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"abut/geometry"
	"abut/internal/colour"
)

// sample returns a job of two items with three and two layers and one sheet.
func sample() Job {
	square := func(x float64) Outlines {
		return Outlines{Shapes: []Shape{{Path: geometry.RectXYWH(x, 0, 10, 10).Path()}}}
	}
	layer := func(id LayerID, name string, c colour.RGB) Layer {
		return Layer{ID: id, Name: name, Content: square(float64(id)), Colour: c, Alpha: 1, Transform: geometry.Identity(), Shown: true}
	}
	red, blue := colour.RGB{R: 255, G: 0, B: 0}, colour.RGB{R: 0, G: 0, B: 255}
	return Job{
		Sheets: []Sheet{{ID: 3, Name: "Poppy", Pressed: red}},
		Assign: map[colour.RGB]Target{red: {Sheet: 3}},
		Items: []Item{
			{ID: 1, Placement: geometry.Scale(2, 2), Copies: 1,
				Layers: []Layer{layer(1, "Body", red), layer(2, "Wing", blue), layer(3, "Beak", red)}},
			{ID: 2, Placement: geometry.Translate(50, 0).Mul(geometry.Rotate(math.Pi / 2)), Copies: 1,
				Layers: []Layer{layer(7, "Sun", red), layer(8, "Sea", blue)}},
		},
	}
}

// edits are all edits with arguments that the sample allows.
var edits = map[string]func(Job) (Job, error){
	"knocks":   func(j Job) (Job, error) { return SetKnocks(j, []LayerID{2, 7}, true) },
	"all":      KnockOutAll,
	"hide":     func(j Job) (Job, error) { return SetShown(j, []LayerID{1, 8}, false) },
	"lock":     func(j Job) (Job, error) { return SetLocked(j, []LayerID{8}, true) },
	"use":      func(j Job) (Job, error) { return SetUse(j, []LayerID{1, 8}, Bare) },
	"recolour": func(j Job) (Job, error) { return SetColour(j, []LayerID{3}, colour.RGB{R: 1, G: 2, B: 3}) },
	"rename":   func(j Job) (Job, error) { return Rename(j, 2, " Left wing ") },
	"move":     func(j Job) (Job, error) { return MoveLayers(j, []LayerID{1, 7}, 3, -4) },
	"turn":     func(j Job) (Job, error) { return TransformLayers(j, []LayerID{2}, geometry.Rotate(1)) },
	"order":    func(j Job) (Job, error) { return MoveUnder(j, []LayerID{1, 8}, 0) },
	"delete":   func(j Job) (Job, error) { return DeleteLayers(j, []LayerID{1, 3, 7}) },
	"fill": func(j Job) (Job, error) {
		j, _ = SetBlankShape(j, &Blank{WidthMM: 7, HeightMM: 8})
		return FillBlank(j, BoundsOf(j, j.LayerIDs()))
	},
	"resize":    func(j Job) (Job, error) { return Resize(j, geometry.RectXYWH(1, 0, 12, 10), 60, 0) },
	"assign":    func(j Job) (Job, error) { return Assign(j, colour.RGB{R: 0, G: 0, B: 255}, Target{Sheet: 3}) },
	"unassign":  func(j Job) (Job, error) { return Unassign(j, colour.RGB{R: 255, G: 0, B: 0}) },
	"add sheet": func(j Job) (Job, error) { k, _, err := AddSheet(j, Sheet{Name: "Sky"}); return k, err },
	"frame":     func(j Job) (Job, error) { return SetFrame(j, FrameRule{Mode: FrameAlways, MarginMM: 7}) },
	"blank":     func(j Job) (Job, error) { return SetBlank(j, &colour.RGB{R: 9, G: 9, B: 9}) },
	"thing":     func(j Job) (Job, error) { return SetBlankShape(j, &Blank{Name: "Tile", WidthMM: 100, HeightMM: 100}) },
	"units":     func(j Job) (Job, error) { return SetUnits(j, Inches) },
	"copy":      func(j Job) (Job, error) { k, _, err := Duplicate(j, []LayerID{1, 8}, 2, 2); return k, err },
	"arrange":   func(j Job) (Job, error) { return Arrange(j, []LayerID{1, 7}, ToTop) },
	"align":     func(j Job) (Job, error) { return Align(j, []LayerID{1, 2, 7}, AlignTop, BoundsOf(j, []LayerID{3})) },
	"spread":    func(j Job) (Job, error) { return Distribute(j, []LayerID{1, 2, 7}, true) },
	"centre":    func(j Job) (Job, error) { return CentreOn(j, []LayerID{2, 7}, geometry.RectXYWH(1, 2, 3, 4)) },
	"add": func(j Job) (Job, error) {
		k, _, err := Add(j, Added{Content: mustPrimitive(Primitive{Form: Heart, Width: 9, Height: 9})}, geometry.Pt(1, 2))
		return k, err
	},
	"content": func(j Job) (Job, error) { return SetContent(j, 2, mustPrimitive(Primitive{Width: 9, Height: 9})) },
	"surround": func(j Job) (Job, error) {
		k, _, err := AddSurround(j, []LayerID{2, 7}, Surround{WidthMM: 2}, "Band", colour.White)
		return k, err
	},
	"outlines": func(j Job) (Job, error) {
		return ToOutlines(j, 2, []Shape{{Path: geometry.RectXYWH(0, 0, 1, 1).Path()}})
	},
	"flip": func(j Job) (Job, error) { return Flip(j, []LayerID{2, 7}, true) },
}

func TestEdits_NeverChangeTheJobTheyWereGiven(t *testing.T) {
	for name, edit := range edits {
		j, want := sample(), sample()
		k, err := edit(j)
		if err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if !reflect.DeepEqual(j, want) {
			t.Errorf("%s changed the job it was given", name)
		}
		if reflect.DeepEqual(k, want) {
			t.Errorf("%s changed nothing", name)
		}
	}
}

// Random runs: every job along the way stays as it was when it was made, so
// history may hold on to all of them.
func TestEdits_RandomRunsLeaveEveryEarlierJobAlone(t *testing.T) {
	names := make([]string, 0, len(edits))
	for n := range edits {
		names = append(names, n)
	}
	slices.Sort(names)
	rapid.Check(t, func(t *rapid.T) {
		run := rapid.SliceOfN(rapid.SampledFrom(names), 1, 12).Draw(t, "run")
		replay := func(n int) Job {
			j := sample()
			for _, name := range run[:n] {
				j, _ = edits[name](j)
			}
			return j
		}
		jobs := []Job{sample()}
		for _, name := range run {
			before := jobs[len(jobs)-1]
			j, err := edits[name](before)
			if err != nil && !reflect.DeepEqual(j, before) {
				t.Fatalf("%s was refused and yet changed something", name)
			}
			jobs = append(jobs, j)
		}
		for i := range jobs {
			if !reflect.DeepEqual(jobs[i], replay(i)) {
				t.Fatalf("the job after %d edits was changed by a later one", i)
			}
		}
	})
}

func TestSetShown_ChangesNothingElse(t *testing.T) {
	j := sample()
	k, err := SetShown(j, j.LayerIDs(), false)
	if err != nil {
		t.Fatal(err)
	}
	for _, it := range k.Items {
		for i := range it.Layers {
			if it.Layers[i].Shown {
				t.Error("still shown:", it.Layers[i].Name)
			}
		}
	}
	back, _ := SetShown(k, k.LayerIDs(), true)
	if !reflect.DeepEqual(back, j) {
		t.Error("showing again is not the job as it was")
	}
}

func TestEdits_ShareWhatTheyDoNotChange(t *testing.T) {
	j := sample()
	k, _ := SetKnocks(j, []LayerID{2}, true)
	if &k.Items[1].Layers[0] != &j.Items[1].Layers[0] {
		t.Error("an item that was not touched was copied")
	}
	a, b := k.Items[0].Layers[1].Content.(Outlines), j.Items[0].Layers[1].Content.(Outlines)
	if &a.Shapes[0] != &b.Shapes[0] {
		t.Error("content was copied")
	}
}

// onBoard maps a layer's own point to the board.
func onBoard(j Job, id LayerID, p geometry.Point) geometry.Point {
	l, it, _ := j.Layer(id)
	return it.Placement.Mul(l.Transform).Apply(p)
}

func TestTransformLayers_ActsOnBoardMillimetres(t *testing.T) {
	for _, m := range []geometry.Affine{geometry.Translate(3, -4), geometry.Rotate(0.7), geometry.Scale(1.5, 1.5), geometry.MirrorX(80)} {
		for _, id := range []LayerID{1, 7} {
			j := sample()
			k, err := TransformLayers(j, []LayerID{id}, m)
			if err != nil {
				t.Fatal(err)
			}
			for _, p := range []geometry.Point{{}, {X: 10}, {X: 4, Y: 9}} {
				want, got := m.Apply(onBoard(j, id, p)), onBoard(k, id, p)
				if want.Sub(got).Len() > 1e-9 {
					t.Errorf("layer %d, %v: %v, want %v", id, m, got, want)
				}
			}
		}
	}
}

// What is moved only is not rounded otherwise, however crooked its item lies.
func TestMoveLayers_KeepsScaleAndTurnToTheLastDigit(t *testing.T) {
	for turn := 0.1; turn < 6; turn += 0.1 {
		j := sample()
		j.Items[0].Placement = geometry.Rotate(turn).Mul(geometry.Scale(1.0/3, 0.7))
		j, _ = TransformLayers(j, []LayerID{1}, geometry.Rotate(1))
		k, err := MoveLayers(j, []LayerID{1}, 0.1, 0.7)
		if err != nil {
			t.Fatal(err)
		}
		before, _, _ := j.Layer(1)
		after, _, _ := k.Layer(1)
		was, is := before.Transform, after.Transform
		if was.A != is.A || was.B != is.B || was.C != is.C || was.D != is.D {
			t.Errorf("turned by %g: %v became %v", turn, was, is)
		}
	}
}

func TestMoveLayers_ThereAndBackIsExactForBinaryShifts(t *testing.T) {
	j := sample()
	k, _ := MoveLayers(j, []LayerID{1}, 3, -4)
	k, _ = MoveLayers(k, []LayerID{1}, -3, 4)
	if !reflect.DeepEqual(j, k) {
		t.Error("not back")
	}
}

func TestEdits_RefusedLeaveTheJobAsItWas(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	locked := func(edit func(Job) (Job, error)) func(Job) (Job, error) {
		return func(j Job) (Job, error) {
			j, err := SetLocked(j, []LayerID{2}, true)
			if err != nil {
				return j, err
			}
			return edit(j)
		}
	}
	extent := geometry.RectXYWH(0, 0, 10, 10)
	for _, c := range []struct {
		name, id string
		edit     func(Job) (Job, error)
	}{
		{"unknown layer", NoSuchLayer, func(j Job) (Job, error) { return SetKnocks(j, []LayerID{1, 99}, true) }},
		{"delete unknown", NoSuchLayer, func(j Job) (Job, error) { return DeleteLayers(j, []LayerID{99}) }},
		{"reorder unknown", NoSuchLayer, func(j Job) (Job, error) { return MoveUnder(j, []LayerID{99}, 0) }},
		{"reorder under unknown", NoSuchLayer, func(j Job) (Job, error) { return MoveUnder(j, []LayerID{1}, 99) }},
		{"unknown sheet", "edit-no-such-sheet", func(j Job) (Job, error) { return Assign(j, colour.White, Target{Sheet: 9}) }},
		{"move locked", "edit-layer-locked", locked(func(j Job) (Job, error) { return MoveLayers(j, []LayerID{1, 2}, 1, 1) })},
		{"delete locked", "edit-layer-locked", locked(func(j Job) (Job, error) { return DeleteLayers(j, []LayerID{1, 2}) })},
		{"reorder locked", "edit-layer-locked", locked(func(j Job) (Job, error) { return MoveUnder(j, []LayerID{1, 2}, 0) })},
		{"collapse", "edit-bad-transform", func(j Job) (Job, error) { return TransformLayers(j, []LayerID{1}, geometry.Scale(0, 1)) }},
		{"nowhere", "edit-bad-transform", func(j Job) (Job, error) { return MoveLayers(j, []LayerID{1}, nan, 0) }},
		{"far away", "edit-bad-transform", func(j Job) (Job, error) { return MoveLayers(j, []LayerID{1}, inf, 0) }},
		{"no size", "edit-bad-size", func(j Job) (Job, error) { return Resize(j, extent, 0, 0) }},
		{"both sizes", "edit-bad-size", func(j Job) (Job, error) { return Resize(j, extent, 10, 10) }},
		{"negative size", "edit-bad-size", func(j Job) (Job, error) { return Resize(j, extent, -10, 0) }},
		{"size that is no number", "edit-bad-size", func(j Job) (Job, error) { return Resize(j, extent, nan, 0) }},
		{"endless size", "edit-bad-size", func(j Job) (Job, error) { return Resize(j, extent, inf, 0) }},
		{"no art", "edit-bad-size", func(j Job) (Job, error) { return Resize(j, geometry.EmptyRect(), 10, 0) }},
		{"flat art", "edit-bad-size", func(j Job) (Job, error) { return Resize(j, geometry.RectXYWH(0, 0, 10, 0), 0, 10) }},
		{"no blank", "edit-bad-blank", func(j Job) (Job, error) { return FillBlank(j, extent) }},
		{"margin", "edit-bad-margin", func(j Job) (Job, error) { return SetFrame(j, FrameRule{MarginMM: -1}) }},
		{"margin that is no number", "edit-bad-margin", func(j Job) (Job, error) { return SetFrame(j, FrameRule{MarginMM: nan}) }},
		{"name", "edit-empty-name", func(j Job) (Job, error) { return Rename(j, 1, "  ") }},
	} {
		k, err := c.edit(sample())
		var e *EditError
		if !errors.As(err, &e) || e.ID != c.id || e.Error() == "" {
			t.Errorf("%s: %v, want %s", c.name, err, c.id)
		}
		want := sample()
		if c.id == "edit-layer-locked" {
			want, _ = SetLocked(want, []LayerID{2}, true)
		}
		if !reflect.DeepEqual(k, want) {
			t.Errorf("%s: the job changed", c.name)
		}
	}
}

func TestAddSheet_GivesAnIDOfItsOwn(t *testing.T) {
	j := sample()
	if k, id, err := AddSheet(j, Sheet{Name: " "}); err == nil || id != 0 || len(k.Sheets) != 1 {
		t.Errorf("a sheet without a name is number %d", id)
	}
	k, id, err := AddSheet(j, Sheet{Name: "Sky"})
	l, id2, _ := AddSheet(k, Sheet{Name: "Sea"})
	if err != nil || id != 4 || id2 != 5 || len(j.Sheets) != 1 || len(k.Sheets) != 2 || len(l.Sheets) != 3 {
		t.Error(id, id2, err)
	}
}

func TestNamed_YieldsThoseThereAreFromTheBottomUp(t *testing.T) {
	var got []LayerID
	for l := range sample().Named([]LayerID{8, 1, 99, 2}) {
		got = append(got, l.ID)
	}
	if !slices.Equal(got, []LayerID{1, 2, 8}) {
		t.Errorf("%v", got)
	}
	for l := range sample().Named(nil) {
		t.Errorf("of none: %v", l.ID)
	}
}
