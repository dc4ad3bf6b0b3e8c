package typeset

import (
	"math"
	"testing"
)

func TestShape_LatinAdvancesAreTheFontsOwn(t *testing.T) {
	// Go Regular has 2,048 units per em: at that size advances are whole.
	f := Embedded()
	one, two := f.Shape("H", Face{}, 2048, false), f.Shape("HH", Face{}, 2048, false)
	if len(one.Glyphs) != 1 || math.Abs(two.Advance-2*one.Advance) > 1e-9 || one.Advance != math.Trunc(one.Advance) {
		t.Fatalf("H is %v wide, HH %v", one.Advance, two.Advance)
	}
	if got := f.Shape("H", Face{}, 1024, false).Advance; math.Abs(got-one.Advance/2) > 1e-9 {
		t.Errorf("at half the size H is %v wide, want %v", got, one.Advance/2)
	}
	b := one.Glyphs[0].Outline.Bounds()
	if b.Empty() || b.Max.Y > 1e-9 || b.Min.Y > -1000 {
		t.Errorf("H reaches from %v: it stands on the base line, y down", b)
	}
}

func TestShape_MarksSitOnTheirLetters(t *testing.T) {
	f := Embedded()
	l := f.Shape("e\u0301", Face{}, 100, false)
	if math.Abs(l.Advance-f.Shape("e", Face{}, 100, false).Advance) > 1e-9 {
		t.Errorf("e with an acute is %v wide, e alone %v", l.Advance, f.Shape("e", Face{}, 100, false).Advance)
	}
	for _, g := range l.Glyphs {
		if g.Rune != 0 {
			t.Errorf("a glyph of the cluster starts at rune %d, want 0", g.Rune)
		}
	}
}

func TestShape_SaysWhatWasMissing(t *testing.T) {
	f := Embedded()
	for _, c := range []struct {
		text     string
		families []string
		missing  bool
		used     string
	}{
		{"abc", nil, false, "go"},
		{"abc", []string{"sans-serif"}, false, "go"},
		{"abc", []string{"monospace"}, false, "gomono"},
		{"abc", []string{"No Such Family", "sans-serif"}, true, "go"},
		{"\u4e16", nil, true, "go"}, // no embedded font has it
	} {
		l := f.Shape(c.text, Face{Families: c.families}, 10, false)
		if l.Missing != c.missing || len(l.Used) == 0 || l.Used[0] != c.used {
			t.Errorf("%q in %v: missing %v, used %v; want %v, %s", c.text, c.families, l.Missing, l.Used, c.missing, c.used)
		}
	}
}

func TestShape_BoldIsBolder(t *testing.T) {
	f := Embedded()
	ink := func(w Face) float64 {
		sum := 0.0
		for _, g := range f.Shape("l", w, 100, false).Glyphs {
			sum += math.Abs(g.Outline.SignedArea())
		}
		return sum
	}
	if ink(Face{Weight: 700}) <= ink(Face{}) {
		t.Error("bold has no more ink than regular")
	}
}

func TestShape_NothingFromNothing(t *testing.T) {
	f := Embedded()
	for _, size := range []float64{0, -1, math.NaN()} {
		if l := f.Shape("abc", Face{}, size, false); len(l.Glyphs) != 0 {
			t.Errorf("size %v gave %d glyphs", size, len(l.Glyphs))
		}
	}
	if l := f.Shape("", Face{}, 10, false); l.Advance != 0 {
		t.Error("no text has a width")
	}
}

func TestShape_WhiteSpaceHasNoOutline(t *testing.T) {
	l := Embedded().Shape("a b", Face{}, 10, false)
	if len(l.Glyphs) != 3 || len(l.Glyphs[1].Outline) != 0 || !(l.Glyphs[1].Advance > 0) {
		t.Errorf("got %+v", l.Glyphs)
	}
}
