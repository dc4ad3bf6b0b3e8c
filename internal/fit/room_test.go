package fit

import (
	"context"
	"math"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
)

// roomy is a job of rectangles, each of its own colour: red, green, blue.
func roomy(t *testing.T, edit func(*job.Job), rects ...geometry.Rect) *Plan {
	t.Helper()
	j := job.Job{Items: []job.Item{{ID: 1, Name: "art", Placement: geometry.Identity(), Copies: 1}}}
	colours := []colour.RGB{{R: 0xE0}, {G: 0x90}, {B: 0xD0}}
	for i, r := range rects {
		j.Items[0].Layers = append(j.Items[0].Layers, job.Layer{
			ID: job.LayerID(i + 1), Name: "layer", Colour: colours[i], Alpha: 1, Knocks: true, Shown: true, Transform: geometry.Identity(),
			Content: job.Outlines{Shapes: []job.Shape{{Path: r.Path(), Rule: geometry.NonZero}}},
		})
	}
	if edit != nil {
		edit(&j)
	}
	p, err := Compute(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func box(x, y, w, h float64) geometry.Rect { return geometry.RectXYWH(x, y, w, h) }

func TestBeyond_SaysWhatIsTooSmallAndByHowMuch(t *testing.T) {
	blank := func(w, h float64) func(*job.Job) {
		return func(j *job.Job) {
			j.Settings.BlankShape = &job.Blank{Name: "B", WidthMM: w, HeightMM: h, At: geometry.Pt(50, 30)}
		}
	}
	for _, c := range []struct {
		name  string
		edit  func(*job.Job)
		rects []geometry.Rect
		id    string
		over  float64
		frame bool
	}{
		{"fits", nil, []geometry.Rect{box(0, 0, 100, 60)}, "", 0, false},
		{"the usual sheet, exactly", nil, []geometry.Rect{box(0, 0, 304.8, 292.1)}, "", 0, false},
		{"wider than the cutter both ways", nil, []geometry.Rect{box(0, 0, 300, 304)}, "beyond-cutter", 300 - 292.1, false},
		{"longer than the sheet", nil, []geometry.Rect{box(0, 0, 310, 20)}, "beyond-sheet", 310 - 304.8, false},
		{"turned, a long sheet holds it", func(j *job.Job) { j.Settings.SheetWidthMM, j.Settings.SheetHeightMM = 114.3, 304.8 }, []geometry.Rect{box(0, 0, 300, 110)}, "", 0, false},
		{"neither way round", func(j *job.Job) { j.Settings.SheetWidthMM, j.Settings.SheetHeightMM = 114.3, 304.8 }, []geometry.Rect{box(0, 0, 300, 120)}, "beyond-sheet", 120 - 114.3, false},
		{"on its blank", blank(100, 60), []geometry.Rect{box(0, 0, 100, 60)}, "", 0, false},
		{"over its blank", blank(96, 60), []geometry.Rect{box(0, 0, 100, 60)}, "beyond-blank", 2, false},
		{"a frame over the blank, as said", func(j *job.Job) {
			blank(104, 64)(j)
			j.Settings.Frame = job.FrameRule{Mode: job.FrameAlways, MarginMM: 5}
		}, []geometry.Rect{box(0, 0, 100, 60)}, "beyond-blank-frame", 3, true},
		{"a frame wider than the cutter, as said", func(j *job.Job) {
			j.Settings.CutterMM = 68
			j.Settings.Frame = job.FrameRule{Mode: job.FrameAlways, MarginMM: 5}
		}, []geometry.Rect{box(0, 0, 100, 60)}, "beyond-cutter-frame", 2, true},
	} {
		p := roomy(t, c.edit, c.rects...)
		switch {
		case c.id == "":
			if len(p.Beyond) != 0 || p.Verdict.State != Ready {
				t.Errorf("%s: %+v, %s", c.name, p.Beyond, p.Verdict.ID)
			}
		case len(p.Beyond) != 1:
			t.Errorf("%s: %+v", c.name, p.Beyond)
		default:
			x := p.Beyond[0]
			over := math.Max(x.OverWidthMM, x.OverHeightMM)
			// The blank's edge forgives a hundredth.
			if x.ID != c.id || math.Abs(over-c.over) > 0.0101 || x.Frame != c.frame || p.Verdict.State != Trouble || p.Verdict.ID != c.id {
				t.Errorf("%s: %+v, %s", c.name, x, p.Verdict.ID)
			}
		}
	}
}

func TestFrame_ComesCloserWhereThereIsNoRoom(t *testing.T) {
	two := []geometry.Rect{box(0, 0, 60, 60), box(50, 50, 50, 50)} // a frame is needed; 100 × 100
	at := geometry.Pt(50, 50)
	for _, c := range []struct {
		name   string
		edit   func(*job.Job)
		margin float64
		reason string
		beyond int
	}{
		{"room enough", nil, 5, "frame-needed", 0},
		{"on a blank", func(j *job.Job) { j.Settings.BlankShape = &job.Blank{WidthMM: 107, HeightMM: 120, At: at} }, 3.5, "frame-needed-less", 0},
		{"on a sheet", func(j *job.Job) { j.Settings.SheetWidthMM, j.Settings.SheetHeightMM = 106, 106 }, 3, "frame-needed-less", 0},
		{"in the cutter", func(j *job.Job) { j.Settings.CutterMM = 104 }, 2, "frame-needed-less", 0},
		{"in the cutter with marks outside", func(j *job.Job) { j.Settings.CutterMM, j.Settings.Marks = 120, true }, 2, "frame-needed-less", 0},
		{"not closer than that", func(j *job.Job) { j.Settings.CutterMM = 101 }, 5, "frame-needed", 1},
		{"not when the user said how far", func(j *job.Job) { j.Settings.CutterMM, j.Settings.Frame.MarginMM = 104, 5 }, 5, "frame-needed", 1},
	} {
		p := roomy(t, c.edit, two...)
		if p.Frame == nil || math.Abs(p.Frame.MarginMM-c.margin) > 1e-9 || p.FrameReason.ID != c.reason || len(p.Beyond) != c.beyond {
			t.Errorf("%s: %+v, %v, %+v", c.name, p.Frame, p.FrameReason, p.Beyond)
		}
	}
}

// A place 4 mm further in than the 1 mm that must be left, across and down, lets
// an arc be as round as q = 4 + 4 + 1 + √(2·4·4): see framer.roundest, where the
// equation is.
func TestFrame_RoundingNeverComesCloserToTheArtThanAllowed(t *testing.T) {
	corner := func(mm float64) func(*job.Job) {
		return func(j *job.Job) { j.Settings.Frame = job.FrameRule{Mode: job.FrameAlways, CornerMM: mm} }
	}
	for mm, want := range map[float64]float64{0: 0, 3: 3, 40: math.Floor((9+math.Sqrt(32))*100) / 100} {
		p := roomy(t, corner(mm), box(0, 0, 100, 60))
		if math.Abs(p.Frame.CornerMM-want) > 1e-9 || p.Frame.Outline.Bounds() != p.Frame.Bounds {
			t.Errorf("%g mm: %g, want %g; %v, %v", mm, p.Frame.CornerMM, want, p.Frame.Outline.Bounds(), p.Frame.Bounds)
		}
		near := math.Inf(1)
		for _, c := range p.Frame.Outline.Flatten(0.001) {
			for _, s := range c.Segments {
				for _, a := range []geometry.Point{geometry.Pt(0, 0), geometry.Pt(100, 0), geometry.Pt(0, 60), geometry.Pt(100, 60)} {
					near = math.Min(near, s.End.Sub(a).Len())
				}
			}
		}
		if near < job.LeastMarginMM-0.002 {
			t.Errorf("%g mm: the frame comes as close as %g mm", mm, near)
		}
	}
}

func TestFrame_IsRoundWhereOnlyThatLiesOnARoundBlank(t *testing.T) {
	disc := func(j *job.Job) {
		j.Settings.Frame.Mode = job.FrameAlways
		j.Settings.BlankShape = &job.Blank{WidthMM: 90, HeightMM: 90, Round: true, At: geometry.Pt(40, 40)}
		j.Items[0].Layers[0].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.Path{geometry.Ellipse(geometry.Pt(40, 40), 40, 40)}}}}
	}
	p := roomy(t, disc, box(0, 0, 80, 80))
	if len(p.Beyond) != 0 || p.Frame.MarginMM != 5 || p.Frame.CornerMM < 44.9 {
		t.Errorf("%+v %+v", p.Frame, p.Beyond)
	}
}

func TestBase_HasRoomOrIsChosen(t *testing.T) {
	// Red reaches furthest, on a sheet that its frame would not fit; the frame
	// fits green's.
	rects := []geometry.Rect{box(0, 0, 100, 100), box(60, 60, 60, 60)}
	small := func(j *job.Job) {
		j.Sheets = []job.Sheet{{ID: 1, Name: "small red", Pressed: colour.RGB{R: 0xE0}, WidthMM: 110, HeightMM: 110}}
		j.Assign = map[colour.RGB]job.Target{{R: 0xE0}: {Sheet: 1}}
	}
	p := roomy(t, small, rects...)
	if p.Separations[0].Colour != (colour.RGB{G: 0x90}) || p.BaseReason.ID != "base-has-room" || len(p.Beyond) != 0 {
		t.Errorf("%v %+v", p.BaseReason, p.Beyond)
	}
	if p = roomy(t, nil, rects...); p.Separations[0].Colour != (colour.RGB{R: 0xE0}) || p.BaseReason.ID != "base-largest" {
		t.Errorf("%v", p.BaseReason)
	}
	green := colour.RGB{G: 0x90}
	if p = roomy(t, func(j *job.Job) { j.Settings.Base = &green }, rects...); p.Separations[0].Colour != green || p.BaseReason.ID != "base-chosen" || p.Frame == nil {
		t.Errorf("%v", p.BaseReason)
	}
	none := colour.RGB{R: 1, G: 2, B: 3}
	p = roomy(t, func(j *job.Job) { j.Settings.Base = &none }, rects...)
	if p.BaseReason.ID != "base-largest" || len(p.Warnings) != 1 || p.Warnings[0].ID != "base-missing" {
		t.Errorf("%v %v", p.BaseReason, p.Warnings)
	}
}
