package abutfile

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/gradient"
	"abut/internal/job"
)

var red, blue = colour.RGB{R: 200}, colour.RGB{B: 200}

// edited is a job with something of everything that is checked: two pictures,
// sheets, a band, a mend, a gradient and clips.
func edited() job.Job {
	square := geometry.RectXYWH(0, 0, 10, 10).Path()
	shape := job.Shape{
		Path: square, Clips: []*job.Clip{{Shapes: []job.Shape{{Path: square}}}}, Ignored: []*job.Clip{{Doubtful: true}},
		Gradient: &gradient.Gradient{To: geometry.Pt(10, 0), Map: geometry.Identity(), MeanAlpha: 1, Stops: []gradient.Stop{{Colour: red, Alpha: 1}, {At: 1, Colour: blue, Alpha: 1}}},
	}
	layer := func(id job.LayerID) job.Layer {
		return job.Layer{ID: id, Name: "Sail", Alpha: 1, Transform: geometry.Identity(), Content: job.Outlines{Shapes: []job.Shape{shape}}}
	}
	band := layer(2)
	band.Band = job.Band{Of: 2, Count: job.MaxBands, Alpha: 0.5}
	last := layer(4)
	last.Use = job.LeftOut
	return job.Job{
		Items: []job.Item{
			{ID: 1, Placement: geometry.Identity(), Layers: []job.Layer{layer(1), band}, Mends: []job.Mend{
				{Layer: 1, Spot: job.Speck, Do: job.Recolour, WidthMM: maxMendedMM, Round: job.MaxRounds - 1}}},
			{ID: 2, Placement: geometry.Scale(2, -3), Layers: []job.Layer{layer(3), last}, Pixels: &job.Pixels{File: []byte("GIF89a"), Tracing: job.Tracing{Detail: -job.MostDetail}}},
		},
		Sheets: []job.Sheet{{ID: 1}, {ID: 2}},
		Assign: map[colour.RGB]job.Target{red: {Sheet: 2}, blue: {Bare: true, Sheet: 9}},
		Settings: job.Settings{
			Bare: job.BareRule{Mode: job.BareListed}, Frame: job.FrameRule{Mode: job.FrameAlways}, Units: job.Inches,
			BlankShape: &job.Blank{Name: "Coaster", WidthMM: 90, HeightMM: 90},
			Hues:       job.Hues{Locked: []colour.RGB{blue}, Together: []job.Pair{{A: red, B: blue}}, Apart: []job.Pair{{A: blue, B: colour.RGB{R: 9}}}},
			Layout:     job.Layout{Copies: job.MaxCopies, Loose: true, RollMM: 5000, SpacingMM: 100},
			Laid:       job.Laid{Sheets: []job.LaidSheet{{Kind: "roll", WidthMM: 300}}, Things: []job.LaidThing{{Copy: 1, Pinned: true}}, Free: []job.LaidFree{{}}},
			List:       &job.List{File: "keepers.csv", Columns: []string{"name"}, Rows: []job.ListRow{{Line: 2, Cells: []string{"Ada"}}}},
		},
	}
}

// What a damaged file may hold, and no edit makes, is refused as damaged: one
// such thing at a time, in a job that opens as it was without it.
func TestRead_RefusesAJobThatNoEditMakes(t *testing.T) {
	if want, got := edited(), roundTrip(t, Document{Job: edited()}).Job; !reflect.DeepEqual(got, want) {
		t.Fatalf("wrote\n%+v\nread\n%+v", want, got)
	}
	flat := geometry.Affine{A: 1, B: 2, C: 2, D: 4}
	outlines := func(j *job.Job) *job.Shape { return &j.Items[0].Layers[0].Content.(job.Outlines).Shapes[0] }
	for what, damage := range map[string]func(*job.Job){
		"a picture without number":     func(j *job.Job) { j.Items[0].ID = 0 },
		"a picture's number twice":     func(j *job.Job) { j.Items[1].ID = 1 },
		"a picture pressed flat":       func(j *job.Job) { j.Items[0].Placement = flat },
		"a layer without number":       func(j *job.Job) { j.Items[1].Layers[0].ID = 0 },
		"a layer's number twice":       func(j *job.Job) { j.Items[1].Layers[0].ID = 1 },
		"a layer pressed flat":         func(j *job.Job) { j.Items[1].Layers[1].Transform = flat },
		"a layer that cannot be seen":  func(j *job.Job) { j.Items[0].Layers[0].Alpha = 0 },
		"a layer of opacity 1.1":       func(j *job.Job) { j.Items[0].Layers[0].Alpha = 1.1 },
		"a use that there is not":      func(j *job.Job) { j.Items[0].Layers[0].Use = job.LeftOut + 1 },
		"more bands than there may be": func(j *job.Job) { j.Items[0].Layers[1].Band.Count = job.MaxBands + 1 },
		"a band that cannot be seen":   func(j *job.Job) { j.Items[0].Layers[1].Band.Alpha = 0 },
		"a band of opacity 1.1":        func(j *job.Job) { j.Items[0].Layers[1].Band.Alpha = 1.1 },
		"a spot of no kind":            func(j *job.Job) { j.Items[0].Mends[0].Spot = job.Speck + 1 },
		"a mend of no kind":            func(j *job.Job) { j.Items[0].Mends[0].Do = job.Recolour + 1 },
		"a mend in too late a round":   func(j *job.Job) { j.Items[0].Mends[0].Round = job.MaxRounds },
		"a mend of less than no width": func(j *job.Job) { j.Items[0].Mends[0].WidthMM = -1 },
		"a mend wider than a door":     func(j *job.Job) { j.Items[0].Mends[0].WidthMM = maxMendedMM + 1 },
		"dashes longer than a door":    func(j *job.Job) { j.Items[0].Mends[0].LengthMM = maxMendedMM + 1 },
		"dashes moved off the earth":   func(j *job.Job) { j.Items[0].Mends[0].Aside = -2e9 },
		"pixels without a picture":     func(j *job.Job) { j.Items[1].Pixels = &job.Pixels{} },
		"more detail than there is": func(j *job.Job) {
			j.Items[1].Pixels = &job.Pixels{File: []byte("GIF89a"), Tracing: job.Tracing{Detail: job.MostDetail + 1}}
		},
		"less than no colours": func(j *job.Job) {
			j.Items[1].Pixels = &job.Pixels{File: []byte("GIF89a"), Tracing: job.Tracing{Colours: -1}}
		},
		"a sheet without number":           func(j *job.Job) { j.Sheets[0].ID = 0 },
		"a sheet's number twice":           func(j *job.Job) { j.Sheets[0].ID = 2 },
		"a colour on no sheet":             func(j *job.Job) { j.Assign[red] = job.Target{Sheet: 3} },
		"a rule for bare of no kind":       func(j *job.Job) { j.Settings.Bare.Mode = job.BareListed + 1 },
		"a frame of no kind":               func(j *job.Job) { j.Settings.Frame.Mode = job.FrameAlways + 1 },
		"a frame's margin below 0":         func(j *job.Job) { j.Settings.Frame.MarginMM = -1 },
		"a frame's corner below 0":         func(j *job.Job) { j.Settings.Frame.CornerMM = -1 },
		"units that there are not":         func(j *job.Job) { j.Settings.Units = job.Inches + 1 },
		"a narrowest width below 0":        func(j *job.Job) { j.Settings.NarrowestMM = -1 },
		"a clearance below 0":              func(j *job.Job) { j.Settings.ClearanceMM = -1 },
		"a cutter of less than no width":   func(j *job.Job) { j.Settings.CutterMM = -1 },
		"a sheet size of one number":       func(j *job.Job) { j.Settings.SheetWidthMM = 300 },
		"a blank without width":            func(j *job.Job) { j.Settings.BlankShape.WidthMM = 0 },
		"a press hotter than there is":     func(j *job.Job) { j.Settings.BlankShape.Press.HeatC = 4000 },
		"less than no copies":              func(j *job.Job) { j.Settings.Layout.Copies = -1 },
		"more copies than anyone presses":  func(j *job.Job) { j.Settings.Layout.Copies = job.MaxCopies + 1 },
		"a roll of less than no width":     func(j *job.Job) { j.Settings.Layout.RollMM = -1 },
		"copies more than a hand apart":    func(j *job.Job) { j.Settings.Layout.SpacingMM = 101 },
		"a thing on no sheet":              func(j *job.Job) { j.Settings.Laid.Things[0].Sheet = 1 },
		"a copy before the first":          func(j *job.Job) { j.Settings.Laid.Things[0].Copy = 0 },
		"a sheet of less than no width":    func(j *job.Job) { j.Settings.Laid.Sheets[0].WidthMM = -1 },
		"a free place inside out":          func(j *job.Job) { j.Settings.Laid.Free[0].Max.X = -1 },
		"a list without columns":           func(j *job.Job) { j.Settings.List = &job.List{Rows: []job.ListRow{{}}} },
		"a list with nothing in it":        func(j *job.Job) { j.Settings.List.Rows[0].Out = true },
		"a fill rule that there is not":    func(j *job.Job) { outlines(j).Rule = geometry.EvenOdd + 1 },
		"a clip's fill rule of that kind":  func(j *job.Job) { outlines(j).Clips[0].Shapes[0].Rule = geometry.EvenOdd + 1 },
		"a gradient without stops":         func(j *job.Job) { outlines(j).Gradient.Stops = nil },
		"a surround of less than no width": func(j *job.Job) { j.Items[0].Layers[0].Content = job.Surround{WidthMM: -1} },
		"a text that says nothing":         func(j *job.Job) { j.Items[0].Layers[0].Content = job.Text{SizeMM: 10, Weight: 400} },
	} {
		j := edited()
		damage(&j)
		var b bytes.Buffer
		if err := Write(&b, Document{Job: j}); err == nil || b.Len() > 0 {
			t.Errorf("%s: %v, wrote %d bytes", what, err, b.Len())
		}
		unchecked(t, &b, j)
		_, err := Read(&b)
		var e *Error
		if !errors.As(err, &e) || e.ID != Damaged || e.Err == nil || e.Error() != Damaged+": "+e.Err.Error() {
			t.Errorf("%s: %v", what, err)
		}
	}
}

func TestRead_RefusesMoreLayersThanCouldBeWorkedOn(t *testing.T) {
	layers := make([]job.Layer, maxLayers+1)
	for i := range layers {
		layers[i] = job.Layer{ID: job.LayerID(i + 1), Alpha: 1, Transform: geometry.Identity()}
	}
	split := func(n int) job.Job {
		return job.Job{Items: []job.Item{
			{ID: 1, Placement: geometry.Identity(), Layers: layers[:n/2]},
			{ID: 2, Placement: geometry.Identity(), Layers: layers[n/2 : n]},
		}}
	}
	if err := check(split(maxLayers)); err != nil {
		t.Errorf("as many as there may be: %v", err)
	}
	var e *Error
	if err := check(split(maxLayers + 1)); !errors.As(err, &e) || e.ID != TooLarge || e.Error() != TooLarge {
		t.Errorf("one more: %v", err)
	}
}

func TestRead_RefusesOutlinesThatCannotBe(t *testing.T) {
	for path, ok := range map[string]bool{
		"":                                      true,
		"M 0 0":                                 true,
		"M 0 0 L 1 -1e3":                        true,
		"  M 0  0 C 1 2 3 4 5 6 Z M 7 8 L 9 9 ": true,
		"L 1 1":                                 false, // begins nowhere
		"Z":                                     false,
		"M 0 0 Z L 1 1":                         false, // is closed already
		"M 0 0 Z Z":                             false,
		"M 0 0 H 5":                             false, // no such command
		"M 0 0 l 1 1":                           false,
		"0 0 L 1 1":                             false,
		"M 0":                                   false, // numbers are missing
		"M 0 0 L 1":                             false,
		"M 0 0 C 1 2 3 4 5":                     false,
		"M 0 0 L 1 x":                           false, // and these are none
		"M 0 0 L 1 1e999":                       false,
		"M NaN 0":                               false,
		"M 0 0 L Inf 1":                         false,
		"M 0 0 L 1 -Inf":                        false,
		"M 0 0 L Inf 1 L 2 2":                   false,
	} {
		text := fmt.Sprintf(`{"Schema":"abut","Version":1,"Clips":[{"Shapes":[{"Path":%q}]}]}`, path)
		_, err := Read(strings.NewReader(text))
		var e *Error
		if ok && err != nil || !ok && (!errors.As(err, &e) || e.ID != Damaged) {
			t.Errorf("%q: %v", path, err)
		}
	}
	if _, err := Read(strings.NewReader(`{"Schema":"abut","Version":1,"Clips":[{"Shapes":[{"Path":7}]}]}`)); err == nil {
		t.Error("outlines that are a number")
	}
}

// A clip may be clipped, by what stands before it in the file.
func TestRead_TakesClipsThatStandBeforeTheirUse(t *testing.T) {
	for clips, ok := range map[string]bool{
		`{"Shapes":[]},{"Shapes":[{"Clips":[0]}]}`:  true,
		`{"Shapes":[]},{"Shapes":[{"Clips":[-1]}]}`: false,
		`{"Shapes":[]},{"Shapes":[{"Clips":[1]}]}`:  false, // itself
		`{"Shapes":[{"Clips":[1]}]},{"Shapes":[]}`:  false, // one that comes later
	} {
		_, err := Read(strings.NewReader(`{"Schema":"abut","Version":1,"Clips":[` + clips + `]}`))
		if (err == nil) != ok {
			t.Errorf("%s: %v", clips, err)
		}
	}
}

// unchecked writes what Write refuses.
func unchecked(t *testing.T, b *bytes.Buffer, j job.Job) {
	t.Helper()
	f, err := wire(Document{Job: j})
	if err == nil {
		err = f.write(b)
	}
	if err != nil {
		t.Fatal(err)
	}
}

// What could not be read again is not written.
func TestWrite_RefusesWhatCannotBeRead(t *testing.T) {
	self := &job.Clip{}
	self.Shapes = []job.Shape{{Clips: []*job.Clip{self}}}
	for what, s := range map[string]job.Shape{
		"no number":                {Path: geometry.Path{{Start: geometry.Pt(0, math.NaN())}}},
		"no clip":                  {Clips: []*job.Clip{nil}},
		"a clip that clips itself": {Clips: []*job.Clip{self}},
	} {
		for _, c := range []job.Content{job.Outlines{Shapes: []job.Shape{s}}, job.Text{Shapes: []job.Shape{s}}} {
			j := job.Job{Items: []job.Item{{ID: 1, Layers: []job.Layer{{ID: 1, Content: c}}}}}
			var b bytes.Buffer
			if err := Write(&b, Document{Job: j}); err == nil || b.Len() > 0 {
				t.Errorf("%s in %T: %v, wrote %d bytes", what, c, err, b.Len())
			}
		}
	}
}
