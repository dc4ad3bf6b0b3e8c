package mend

import (
	"context"
	"math"
	"testing"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// What mends leave of art: which colour lies at a place, and how many spots are listed.
func mended(t *testing.T, layers ...string) (at func(x, y float64) string, listed int) {
	t.Helper()
	return mendedJob(t, sketch.Art(t, layers...))
}

func mendedJob(t *testing.T, j job.Job) (at func(x, y float64) string, listed int) {
	t.Helper()
	j, err := All(context.Background(), j, nil)
	if err != nil {
		t.Fatal(err)
	}
	m, err := start(context.Background(), j)
	if err == nil {
		_, err = m.run(context.Background(), j)
	}
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range j.Items[0].Mends {
		if x.Do == job.Keep {
			listed++
		}
	}
	inside := make([]*geometry.Enclosure, len(m.Materials))
	for i := range m.Separations {
		inside[i] = geometry.NewEnclosure(m.Separations[i].Outline.Flatten(0.01))
	}
	return func(x, y float64) string {
		for i, of := range m.Materials {
			if inside[i].Holds(geometry.Pt(x, y)) {
				return of.Colour.String()
			}
		}
		return "bare"
	}, listed
}

// A mast that grows leaves a hair of the sky before the sail: the sail closes that, and the
// mast stays as straight as it is.
func TestAll_ClosesWhatIsNarrowBesideALine(t *testing.T) {
	at, listed := mended(t, "#badee6 rect 0 0 40 40 knock", "#3b2a26 rect 12 3 0.7 34 knock", "#f3e3c2 rect 13 10 14 20 knock")
	if listed != 0 {
		t.Errorf("%d spots are listed", listed)
	}
	for y := 11.5; y < 28.5; y += 0.5 {
		if left, mast, right := at(11.8, y), at(12.35, y), at(12.95, y); left != "#badee6" || mast != "#3b2a26" || right != "#f3e3c2" {
			t.Fatalf("at %g mm: %s, %s, %s", y, left, mast, right)
		}
	}
}

// A strip of the sea between the horizon and a boat only ends at the mast: it is mended as if
// the mast were not there.
func TestAll_MendsWhatOnlyEndsAtALine(t *testing.T) {
	_, listed := mended(t, "#badee6 rect 0 0 60 30 knock", "#4fa3b5 rect 0 30 60 20 knock", "#8c3b2e rect 15 30.5 25 8 knock", "#3b2a26 rect 27 5 0.5 30 knock")
	if listed != 0 {
		t.Errorf("%d spots are listed", listed)
	}
}

// The end of a line that lacks a tenth of a millimetre is no end that is cut off.
func TestRemedies_AnEndThatLacksALittleGrowsFirst(t *testing.T) {
	j := sketch.Art(t, "green rect 0 0 40 40 knock", "red rect 10 10 10 20 + rect 14 9 0.9 1 knock")
	m, err := start(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	spots, err := m.spots(context.Background(), j.Settings, nil)
	if err != nil || len(spots) != 1 || spots[0].Kind != weak.Sliver {
		t.Fatalf("%+v, %v", spots, err)
	}
	if all, _ := m.remedies(&spots[0], j.Settings); all[0].Do != job.Widen {
		t.Errorf("first it would %v", all[0].Do)
	}
}

// A point is cut off where it gets too thin; made broad it would be a block.
func TestRemedies_APointIsBluntedFirst(t *testing.T) {
	j := sketch.Art(t, "green rect 0 0 40 40 knock")
	j.Items[0].Layers = append(j.Items[0].Layers, sketch.Art(t, "red rect 0 0 1 1 knock").Items[0].Layers[0])
	l := &j.Items[0].Layers[1]
	l.ID = 2
	l.Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.Path{geometry.Polygon(geometry.Pt(20, 5), geometry.Pt(24, 35), geometry.Pt(16, 35))}}}}
	m, err := start(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	spots, err := m.spots(context.Background(), j.Settings, nil)
	if err != nil || len(spots) != 1 || spots[0].Kind != weak.Point || spots[0].LengthMM < shortPoint {
		t.Fatalf("%+v, %v", spots, err)
	}
	if all, _ := m.remedies(&spots[0], j.Settings); all[0].Do != job.Give {
		t.Errorf("first it would %v", all[0].Do)
	}
}

// Of the sky that ends in a notch of a letter, 35° where its arm leaves the stem, the tip is the letter's: it is no wider there
// than nobody sees. A notch of 56° is no weak spot, and stays as it is.
func TestAll_TheNotchOfALetterIsFilledAtItsTip(t *testing.T) {
	for _, c := range []struct {
		degrees float64
		filled  bool
	}{{35, true}, {56, false}} {
		j := sketch.Art(t, "#badee6 rect 0 0 30 30 knock", "#3b2a26 rect 5 3 3 22 knock")
		sin, cos := math.Sincos(c.degrees * math.Pi / 180)
		arm := geometry.Pt(8+6*sin, 8-6*cos)
		j.Items[0].Layers[1].Content = job.Outlines{Shapes: []job.Shape{{Element: "text", Path: geometry.Path{geometry.Polygon(
			geometry.Pt(5, 1), geometry.Pt(8, 1), geometry.Pt(8, 8), arm, arm.Add(geometry.Pt(3*cos, 3*sin)), geometry.Pt(8, 16), geometry.Pt(8, 25), geometry.Pt(5, 25),
		)}}, {Element: "text", Path: geometry.RectXYWH(20, 1, 0.9, 24).Path()}}}
		at, listed := mendedJob(t, j)
		if listed != 0 {
			t.Errorf("%g°: %d spots are listed", c.degrees, listed)
		}
		tip, open := at(8+0.1*sin, 8-0.3*cos), at(8+0.7*sin, 8-2*cos)
		if tip == "#3b2a26" != c.filled || open != "#badee6" {
			t.Errorf("%g°: %s in the tip, %s in the notch", c.degrees, tip, open)
		}
	}
}

// The sharp corners of a stroke that leans, 40°, are blunted where they are too fine, and it stays a letter.
func TestAll_TheCornersOfALetterAreBlunted(t *testing.T) {
	j := sketch.Art(t, "#badee6 rect 0 0 40 30 knock", "#3b2a26 rect 5 3 3 22 knock")
	sin, cos := math.Sincos(40 * math.Pi / 180)
	up := geometry.Pt(15*cos/sin, -15)
	a, b := geometry.Pt(5, 20), geometry.Pt(9, 20)
	j.Items[0].Layers[1].Content = job.Outlines{Shapes: []job.Shape{
		{Element: "text", Path: geometry.Path{geometry.Polygon(a, a.Add(up), b.Add(up), b)}},
		{Element: "text", Path: geometry.RectXYWH(33, 5, 0.9, 15).Path()},
	}}
	at, listed := mendedJob(t, j)
	if listed != 0 {
		t.Errorf("%d spots are listed", listed)
	}
	for p, want := range map[geometry.Point]string{
		geometry.Pt(5.2, 19.95): "#badee6", geometry.Pt(7, 19.5): "#3b2a26", // the tip, and what is behind it
		b.Add(up).Add(geometry.Pt(-0.2, 0.05)): "#badee6", b.Add(geometry.Pt(-0.2, -0.05)): "#3b2a26", // the other one, and a blunt corner
	} {
		if got := at(p.X, p.Y); got != want {
			t.Errorf("at %v: %s, want %s", p, got, want)
		}
	}
}

// A hyphen becomes as bold as letters do, however short it is.
func TestAll_AHyphenBecomesBold(t *testing.T) {
	j := sketch.Art(t, "#badee6 rect 0 0 40 30 knock", "#3b2a26 rect 5 3 3 22 knock")
	j.Items[0].Layers[1].Content = job.Outlines{Shapes: []job.Shape{
		{Element: "text", Path: geometry.RectXYWH(5, 2, 0.8, 6).Path()},
		{Element: "text", Path: geometry.RectXYWH(1.2, 22, 2.4, 0.7).Path()},
		{Element: "text", Path: geometry.RectXYWH(20, 2, 0.8, 6).Path()},
	}}
	at, listed := mendedJob(t, j)
	if listed != 0 || at(1.5, 21.9) != "#3b2a26" || at(1.5, 22.8) != "#3b2a26" {
		t.Errorf("%d spots are listed, over the hyphen is %s", listed, at(1.5, 21.9))
	}
}
