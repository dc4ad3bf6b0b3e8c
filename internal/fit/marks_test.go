package fit

import (
	"testing"

	"abut/geometry"
	"abut/internal/fit/assemble"
	"abut/internal/job"
)

func TestMarks_LieOutsideArtAndFrameOnThePage(t *testing.T) {
	for name, mode := range map[string]job.FrameMode{"framed": job.FrameAlways, "bare": job.FrameNone} {
		edit := func(j *job.Job) { j.Settings.Frame.Mode = mode }
		plain := roomy(t, edit, box(0, 0, 100, 60), box(20, 20, 20, 20))
		p := roomy(t, func(j *job.Job) { edit(j); j.Settings.Marks = true }, box(0, 0, 100, 60), box(20, 20, 20, 20))
		if len(plain.Marks) != 0 || len(p.Marks) != 3 || p.Page != plain.Page.Grow(8) || p.Extent != plain.Extent {
			t.Fatalf("%s: %v, %v", name, p.Marks, p.Page)
		}
		for _, c := range p.Marks {
			b := geometry.Path{c}.Bounds()
			if !p.Page.Encloses(b) || !b.Intersect(plain.Page).Empty() || b.Width() != 6 || b.Height() != 6 {
				t.Errorf("%s: %v", name, b)
			}
		}
	}
}

func TestMarks_NeedRoomOnTheSheetToo(t *testing.T) {
	p := roomy(t, func(j *job.Job) {
		j.Settings.Marks, j.Settings.CutterMM = true, 70
		j.Settings.Frame.Mode = job.FrameNone
	}, box(0, 0, 100, 60))
	if len(p.Beyond) != 1 || p.Beyond[0].What != assemble.BeyondCutter || p.Beyond[0].OverWidthMM != 6 {
		t.Errorf("%+v", p.Beyond)
	}
}
