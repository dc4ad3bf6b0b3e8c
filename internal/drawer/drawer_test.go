package drawer

import (
	"bytes"
	"errors"
	"reflect"
	"strings"
	"testing"

	"abut/internal/colour"
)

func TestRead_WhatWriteWrote(t *testing.T) {
	want := []Sheet{
		{Name: "Red, the bright one", Pressed: colour.RGB{R: 220, G: 30, B: 30}, Unpressed: colour.RGB{R: 150, G: 60, B: 60}, WidthMM: 304.8, HeightMM: 304.8, Count: 3, Price: 2.49, Offcuts: []Size{{120, 80.5}, {60, 40}}},
		{Name: "Stripes", Pressed: colour.RGB{B: 200}, Unpressed: colour.RGB{B: 200}, Count: -1, Pattern: "stripes", Direction: Upright},
	}
	var b bytes.Buffer
	if err := Write(&b, want); err != nil {
		t.Fatal(err)
	}
	got, err := Read(&b)
	if err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("%+v, %v", got, err)
	}
}

func TestRead_SpreadsheetsOfOtherCountries(t *testing.T) {
	got, err := Read(strings.NewReader("\ufeffPressed;Name;price\r\n#f00;Rot;2,49\r\n"))
	if err != nil || len(got) != 1 || got[0].Name != "Rot" || got[0].Price != 2.49 || got[0].Count != -1 {
		t.Errorf("%+v, %v", got, err)
	}
}

func TestRead_SaysWhatIsWrongAndWhere(t *testing.T) {
	for text, want := range map[string]struct {
		id   string
		line int
	}{
		"":                                      {"drawer-unreadable", 1},
		"name\nRed\n":                           {"drawer-no-column", 1},
		"name,pressed\nRed,#f00\nBlue,b\n":      {"drawer-bad-value", 3},
		"name,pressed\n,#f00\n":                 {"drawer-bad-value", 2},
		"name,pressed,count\nRed,#f00,-1":       {"drawer-bad-value", 2},
		"name,pressed,price\nRed,#f00,NaN":      {"drawer-bad-value", 2},
		"name,pressed,direction\nRed,#f00,up":   {"drawer-bad-value", 2},
		"name,pressed,offcuts_mm\nRed,#f00,12":  {"drawer-bad-value", 2},
		"name,pressed,offcuts_mm\nRed,#f00,0x4": {"drawer-bad-value", 2},
		"name,pressed\n\"Red,#f00\n":            {"drawer-unreadable", 2},
	} {
		var e *Error
		if _, err := Read(strings.NewReader(text)); !errors.As(err, &e) || e.ID != want.id || e.Line != want.line {
			t.Errorf("%q: %v", text, err)
		}
	}
}

// Sizes are read as people write them, and as screen and file do.
func TestParseOffcuts(t *testing.T) {
	for text, want := range map[string]string{
		"": "", "120x80": "120x80", "120x80 60.5x40": "120x80 60.5x40", "120 x 80; 60,5 × 40": "120x80 60.5x40",
		"100X50, 20x30": "100x50 20x30", " 7 ×9 ": "7x9",
	} {
		got, ok := ParseOffcuts(text)
		if !ok || OffcutsText(got) != want {
			t.Errorf("%q is %q (%v), want %q", text, OffcutsText(got), ok, want)
		}
	}
	for _, text := range []string{"100", "100x", "x50", "100x0", "100x-5", "a x b", "100 50", "10x10x10", "100 x 50 mm"} {
		if got, ok := ParseOffcuts(text); ok {
			t.Errorf("%q is read as %v", text, got)
		}
	}
}
