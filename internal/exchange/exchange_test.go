package exchange

import (
	"context"
	"math"
	"reflect"
	"strings"
	"testing"

	"abut/assets"
	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/lettering"
	"abut/internal/svgimport"
	"abut/internal/workshop"
)

// art is the rich demo, with clips and translucent layers, and something of each
// kind drawn over it.
func art(t *testing.T) (job.Job, *fit.Plan) {
	t.Helper()
	var j job.Job
	for _, d := range assets.Demos() {
		if d.ID == "rich" {
			var err error
			if j, err = workshop.OpenSVG(context.Background(), d.Name, strings.NewReader(string(d.SVG))); err != nil {
				t.Fatal(err)
			}
		}
	}
	p, err := job.NewPrimitive(job.Primitive{Form: job.Star, Width: 30, Height: 30, Points: 5, Inner: 0.4})
	if err != nil {
		t.Fatal(err)
	}
	j, star, err := job.Add(j, job.Added{Name: "a <star> & more", Content: p, Colour: colour.RGB{R: 200, G: 10, B: 99}}, geometry.Pt(20, 30))
	if err != nil {
		t.Fatal(err)
	}
	text, _, err := lettering.Set(context.Background(), job.Text{Text: "Ahoy", Weight: 700, SizeMM: 20})
	if err != nil {
		t.Fatal(err)
	}
	j, _, _ = job.Add(j, job.Added{Name: "Ahoy", Content: text, Colour: colour.RGB{B: 99}}, geometry.Pt(0, 0))
	j, _, _ = job.AddSurround(j, []job.LayerID{star}, job.Surround{WidthMM: 2}, "band", colour.RGB{G: 99})
	j, made := job.AddBeside(j, job.Only(j, []job.LayerID{star}))
	j, _, _ = job.AddSurround(j, []job.LayerID{star, made[0]}, job.Surround{WidthMM: 1}, "both", colour.RGB{G: 44})
	j, _ = job.SetUse(j, []job.LayerID{star}, job.Bare)
	j, _ = job.SetKnocks(j, j.LayerIDs()[:4], true)
	j, _ = job.SetUse(j, j.LayerIDs()[:1], job.LeftOut)
	plan, err := fit.Compute(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	return j, plan
}

func TestReadWrite_KeepsLayersToTheLastBit(t *testing.T) {
	j, plan := art(t)
	text, err := Write(j, plan.Outlined(j), j.LayerIDs())
	if err != nil {
		t.Fatal(err)
	}
	got, ok := Read(text)
	if !ok {
		t.Fatal("not taken for our own")
	}
	want := job.Only(j, j.LayerIDs())
	if !reflect.DeepEqual(got, want) {
		t.Error("other layers came back")
	}
}

// For everybody else it is a picture: read as any SVG it cuts the same.
func TestWrite_IsThePictureForOthers(t *testing.T) {
	j, plan := art(t)
	for _, it := range j.Items {
		for _, l := range it.Layers {
			if l.Use == job.LeftOut {
				j, _ = job.DeleteLayers(j, []job.LayerID{l.ID})
			}
		}
	}
	text, err := Write(j, plan.Outlined(j), j.LayerIDs())
	if err != nil {
		t.Fatal(err)
	}
	read, err := svgimport.Import(context.Background(), strings.NewReader(text), svgimport.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(read.Warnings) > 0 {
		t.Errorf("%+v", read.Warnings)
	}
	bounds := job.BoundsOf(j, j.LayerIDs())
	if math.Abs(read.PhysicalMM.X-bounds.Width()) > 1e-4 || math.Abs(read.PhysicalMM.Y-bounds.Height()) > 1e-4 {
		t.Errorf("%v mm, want %v", read.PhysicalMM, bounds)
	}
	area := func(j job.Job) (float64, float64) {
		j, _ = job.KnockOutAll(j)
		j.Settings.Bare.Mode = job.BareNone
		p, err := fit.Compute(context.Background(), j)
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for _, s := range p.Separations {
			sum += s.AreaMM2
		}
		return sum + p.BareMM2, p.Extent.Width()
	}
	other, err := workshop.OpenSVG(context.Background(), "pasted", strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	a, aw := area(j)
	b, bw := area(other)
	if math.Abs(a-b) > 1e-3*a || math.Abs(aw-bw) > 0.01 {
		t.Errorf("%.3f mm² in %.3f mm, read by others %.3f in %.3f", a, aw, b, bw)
	}
	if !strings.Contains(text, "a &lt;star&gt; &amp; more") {
		t.Error("the name is not there, or not escaped")
	}
}

func TestRead_WhatWasChangedCountsAsWhatItShows(t *testing.T) {
	j, plan := art(t)
	text, err := Write(j, plan.Outlined(j), j.LayerIDs()[:3])
	if err != nil {
		t.Fatal(err)
	}
	for name, other := range map[string]string{
		"changed": strings.Replace(text, "<g fill=", `<g id="x" fill=`, 1), "cut short": text[:len(text)-10], "empty": "", "a word": "hello",
		"another picture": `<svg xmlns="http://www.w3.org/2000/svg"><path d="M0 0H9V9Z"/></svg>`,
	} {
		if _, ok := Read(other); ok {
			t.Errorf("%s: taken for our own as it was", name)
		}
	}
	if _, ok := Read("<?xml version=\"1.0\"?>\n" + text); !ok {
		t.Error("a declaration before it makes it another's")
	}
}

func TestWrite_RefusesWhatDrawsNothing(t *testing.T) {
	j := job.Job{Items: []job.Item{{ID: 1, Placement: geometry.Identity(), Layers: []job.Layer{{ID: 1, Alpha: 1, Transform: geometry.Identity()}}}}}
	if _, err := Write(j, j, j.LayerIDs()); err != ErrEmpty {
		t.Error(err)
	}
}

// What clips a clip counts wherever it stands in the row of clips.
func TestWrite_ClipsOfClipsCountForOthersToo(t *testing.T) {
	box := func(x, y, w, h float64, clips ...*job.Clip) job.Shape {
		return job.Shape{Path: geometry.RectXYWH(x, y, w, h).Path(), Clips: clips}
	}
	clip := func(s job.Shape) *job.Clip { return &job.Clip{Shapes: []job.Shape{s}} }
	lower := clip(box(0, 5, 10, 5))
	both := clip(box(0, 0, 10, 10, clip(box(0, 0, 5, 10)), clip(box(0, 0, 10, 10, lower))))
	j := job.Job{Items: []job.Item{{ID: 1, Placement: geometry.Identity(), Copies: 1, Layers: []job.Layer{{
		ID: 1, Name: "quarter", Colour: colour.RGB{R: 200}, Alpha: 1, Transform: geometry.Identity(), Shown: true,
		Content: job.Outlines{Shapes: []job.Shape{box(0, 0, 10, 10, both)}},
	}}}}}
	text, err := Write(j, j, j.LayerIDs())
	if err != nil {
		t.Fatal(err)
	}
	other, err := workshop.OpenSVG(context.Background(), "pasted", strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	p, err := fit.Compute(context.Background(), other)
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Separations) != 1 || math.Abs(p.Separations[0].AreaMM2-25) > 1e-3 {
		t.Errorf("others see %+v, want a quarter of 100 mm²", p.Separations)
	}
}
