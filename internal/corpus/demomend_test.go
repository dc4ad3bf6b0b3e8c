package corpus

import (
	"context"
	"testing"

	"abut/assets"
	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/fit"
	"abut/internal/fit/mend"
	"abut/internal/job"
)

// richAt60 is the rich demo picture 60 mm wide, which leaves much of it less
// than 1 mm broad.
func richAt60(t *testing.T) job.Job {
	t.Helper()
	for _, d := range assets.Demos() {
		if d.ID == "rich" {
			return open(t, "rich.svg", d.SVG, 60)
		}
	}
	t.Fatal("no rich demo")
	return job.Job{}
}

// colourAt returns the colour of the sheet that a place of the art, in its own
// units, is cut from; false where nothing is.
func colourAt(j job.Job, p *fit.Plan, x, y float64) (colour.RGB, bool) {
	at := j.Items[0].Placement.Apply(geometry.Pt(x, y))
	for _, s := range p.Separations {
		if geometry.NewEnclosure(s.Outline.Flatten(0.005)).Holds(at) {
			return s.Colour, true
		}
	}
	return colour.RGB{}, false
}

// Mend all makes the demo picture cuttable at half its size without taking from
// it what one looks at: the letters, the puffin's eye, beak and feet.
func TestDemo_MendAllKeepsWhatOneLooksAt(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes some seconds")
	}
	j := richAt60(t)
	before := fitted(t, j)
	share := 0.0
	k, err := mend.All(context.Background(), j, func(s float64, _ job.Job) { share = max(share, s) })
	if err != nil {
		t.Fatal(err)
	}
	if share <= 0 || share > 1 {
		t.Errorf("it tells %g as the share that is done", share)
	}
	p := fitted(t, k)
	for _, c := range []struct {
		what string
		x, y float64 // units of the picture
	}{
		{"the eye", 58.4, 98.6},
		{"the white around the eye", 50, 103},
		{"the slate part of the beak", 70, 98},
		{"the stripe of the beak", 75.3, 100},
		{"the tip of the beak", 82, 110}, {"the tip above its line", 80, 100},
		{"the left foot", 41, 149.5},
		{"the right foot", 56, 150},
		{"the L's stem", 120.6, 168}, {"the L's foot", 126, 174.2},
		{"the I", 139.6, 169},
		{"the G's back", 150, 169}, {"the G's top", 156, 163.4}, {"the G's bottom", 156, 174.6}, {"inside the G", 154.8, 169}, {"the G's bar", 162.6, 171.5},
		{"the H's left stem", 172.2, 169}, {"the H's right stem", 182, 169}, {"the H's bar", 177, 169},
		{"the T's bar", 196.8, 163.8}, {"the T's stem", 196.8, 171},
		{"the lantern's light", 179, 40}, {"the lantern's frame", 174.9, 37},
		{"the left railing's post", 168.05, 44}, {"its hand rail", 171, 41.05}, {"the right railing's post", 195.95, 44},
		{"the rod on the dome", 182, 17.2}, {"the tail's end", 15.6, 142.6}, {"the puffin's crown", 50, 84.8}, {"the ribbon's lower corner", 226.3, 178.6},
		{"the upper window", 182, 60}, {"the middle window", 182, 88},
		{"the house's left window", 210.7, 111.5}, {"the house's right window", 221.7, 111.5},
	} {
		was, ok := colourAt(j, before, c.x, c.y)
		if !ok {
			t.Fatalf("%s is not in the picture", c.what)
		}
		if is, _ := colourAt(k, p, c.x, c.y); is != was {
			t.Errorf("%s was %v and is %v", c.what, was, is)
		}
	}
	if w := p.Extent.Width(); w > 60.0001 {
		t.Errorf("it was asked for 60 mm wide and is %.3f mm", w)
	}
	if m := p.Proof.MendedPercent(); m > 4 {
		t.Errorf("%.2f %% of the picture has changed", m)
	}
	spots, err := new(fit.Cache).Weak(context.Background(), p, k)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range spots {
		if !s.Kept || s.Reason == "" {
			t.Errorf("left without a reason: %+v", s)
		}
	}
	t.Logf("%.2f %% changed, %d spots left, given away: %+v", p.Proof.MendedPercent(), len(spots), p.GivenAway)
	// What is gone is said in words.
	said := false
	for _, w := range p.Warnings {
		said = said || w.ID == "pieces-given-away"
	}
	if said != (len(p.GivenAway) > 0) {
		t.Errorf("%d pieces are given away; said so: %v", len(p.GivenAway), said)
	}
}
