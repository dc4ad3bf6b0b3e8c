package session

import (
	"context"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/fit"
	"abut/internal/job"
)

func TestCautions_SayWhatTheBlankSays(t *testing.T) {
	b := newBench(t)
	b.demo("pair") // a disc of 84 mm around (45, 45)
	ids := func(blank *job.Blank, c *colour.RGB) []string {
		t.Helper()
		j, err := job.SetBlankShape(b.Job(), blank)
		if err == nil {
			j, err = job.SetBlank(j, c)
		}
		if err != nil {
			t.Fatal(err)
		}
		plan, err := fit.Compute(context.Background(), j)
		if err != nil {
			t.Fatal(err)
		}
		beyond, cautions := Cautions(j, plan)
		var out []string
		for _, w := range append(beyond, cautions...) {
			out = append(out, w.ID)
		}
		return out
	}
	plan, _ := b.Plan()
	at := plan.Extent.Centre()
	coaster := func(size, safe float64, at geometry.Point) *job.Blank {
		return &job.Blank{Name: "Coaster", WidthMM: size, HeightMM: size, Round: true, SafeMM: safe, At: at}
	}
	for _, c := range []struct {
		blank *job.Blank
		want  string
	}{
		{nil, ""}, {coaster(90, 3, at), ""}, {coaster(90, 4, at), "blank-art-unsafe"}, {coaster(80, 0, at), "beyond-blank"},
		{coaster(90, 0, at.Add(geometry.Pt(5, 0))), "beyond-blank"},
		{&job.Blank{WidthMM: 200, HeightMM: 200, At: at, Material: job.Cotton}, "blank-cotton"},
	} {
		got := ids(c.blank, nil)
		if c.want == "" && len(got) > 0 || c.want != "" && (len(got) != 1 || got[0] != c.want) {
			t.Errorf("%+v: %v, want %s", c.blank, got, c.want)
		}
	}
	if got := ids(nil, &colour.RGB{R: 0x22, G: 0x24, B: 0x28}); len(got) != 1 || got[0] != "blank-dark" {
		t.Error(got)
	}
	if got := ids(nil, &colour.RGB{R: 0xCF, G: 0xE3, B: 0xF1}); len(got) != 1 || got[0] != "blank-tinted" {
		t.Error(got)
	}
}
