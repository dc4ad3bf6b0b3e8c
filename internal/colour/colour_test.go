package colour

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"
)

// Sharma, Wu, Dalal 2005, table 1 (testdata/README.md), tolerance 1e-4.
func TestDeltaE_AgreesWithThePublishedPairs(t *testing.T) {
	f, err := os.Open("testdata/ciede2000.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != 35 || rows[0][7] != "dE00_published" {
		t.Fatalf("%d rows, header %v", len(rows), rows[0])
	}
	for _, r := range rows[1:] {
		var v [7]float64
		for i := range v {
			if v[i], err = strconv.ParseFloat(r[i+1], 64); err != nil {
				t.Fatal(err)
			}
		}
		a, b := Lab{v[0], v[1], v[2]}, Lab{v[3], v[4], v[5]}
		for _, d := range []float64{a.DeltaE(b), b.DeltaE(a)} {
			if math.Abs(d-v[6]) > 1e-4 {
				t.Errorf("pair %s: %.6f, published %.4f", r[0], d, v[6])
			}
		}
	}
}

func TestDeltaE_OfColours(t *testing.T) {
	red := RGB{0xff, 0, 0}
	if d := red.DeltaE(red); d != 0 {
		t.Error(d)
	}
	// Black and white differ by their whole lightness: ΔL' = 100, SL = 1 at a
	// mean L' of 50 (the formula itself).
	if d := (RGB{}).DeltaE(White); math.Abs(d-100) > 1e-3 {
		t.Error(d)
	}
}

func TestParse(t *testing.T) {
	for s, want := range map[string]RGB{"#ff8000": {255, 128, 0}, "FF8000": {255, 128, 0}, "#f80": {255, 136, 0}, "#000": {}} {
		if c, err := Parse(s); err != nil || c != want {
			t.Errorf("%q: %v, %v", s, c, err)
		}
	}
	for _, s := range []string{"", "#", "#ff", "#fffff", "#gggggg", "red", "#fffffff", "#ééé"} {
		if c, err := Parse(s); err == nil {
			t.Errorf("%q: %v", s, c)
		}
	}
	if c := (RGB{1, 0xab, 0xff}); c.String() != "#01abff" {
		t.Error(c)
	}
}

func TestOver_MixesInSRGB(t *testing.T) {
	red, white := RGB{255, 0, 0}, White
	if c := red.Over(white, 1); c != red {
		t.Error(c)
	}
	if c := red.Over(white, 0); c != white {
		t.Error(c)
	}
	if c := red.Over(white, 0.5); c != (RGB{255, 128, 128}) {
		t.Error(c)
	}
}

// Dyes that lie on each other let through what both do: yellow on cyan is green (Beer–Lambert; no dye is as pure).
func TestThrough_LightIsTakenByBoth(t *testing.T) {
	yellow, cyan := RGB{255, 255, 0}, RGB{0, 255, 255}
	for _, c := range []struct{ on, under, want RGB }{
		{White, yellow, yellow}, {yellow, White, yellow}, {yellow, cyan, RGB{0, 255, 0}}, {RGB{}, yellow, RGB{}},
		{RGB{188, 188, 188}, RGB{188, 188, 188}, RGB{138, 138, 138}}, // half of the light, twice: a quarter
	} {
		if got := c.on.Through(c.under); got != c.want {
			t.Errorf("%v on %v: %v, want %v", c.on, c.under, got, c.want)
		}
	}
}
