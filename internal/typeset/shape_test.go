package typeset

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"abut/geometry"
)

// set sets one span in the embedded fonts.
func set(text string, style Style) Line { return Embedded().Shape([]Span{{text, style}}, false) }

func at(size float64) Style { return Style{Size: size} }

func TestShape_LatinAdvancesAreTheFontsOwn(t *testing.T) {
	// Go Regular has 2,048 units per em: at that size advances are whole.
	one, two := set("H", at(2048)), set("HH", at(2048))
	if len(one.Glyphs) != 1 || math.Abs(two.Advance-2*one.Advance) > 1e-9 || one.Advance != math.Trunc(one.Advance) {
		t.Fatalf("H is %v wide, HH %v", one.Advance, two.Advance)
	}
	if got := set("H", at(1024)).Advance; math.Abs(got-one.Advance/2) > 1e-9 {
		t.Errorf("at half the size H is %v wide, want %v", got, one.Advance/2)
	}
	b := one.Glyphs[0].Outline.Bounds()
	if b.Empty() || b.Max.Y > 1e-9 || b.Min.Y > -1000 {
		t.Errorf("H reaches from %v: it stands on the base line, y down", b)
	}
}

func TestShape_QuadraticsBecomeExactCubics(t *testing.T) {
	outline := set("o", at(2048)).Glyphs[0].Outline
	if len(outline) != 2 {
		t.Fatalf("o has %d contours", len(outline))
	}
	for _, c := range outline {
		from := c.Start
		for _, s := range c.Segments {
			if !s.Cubic {
				t.Fatal("a line in o")
			}
			// Both controls lead to the same quadratic one, a whole or half unit.
			q1 := s.C1.Mul(1.5).Sub(from.Mul(0.5))
			q2 := s.C2.Mul(1.5).Sub(s.End.Mul(0.5))
			if q1.Sub(q2).Len() > 1e-9 || math.Abs(q1.X*2-math.Round(q1.X*2)) > 1e-9 {
				t.Fatalf("controls %v and %v", q1, q2)
			}
			from = s.End
		}
	}
}

func TestShape_MarksSitOnTheirLetters(t *testing.T) {
	l := set("e\u0301", at(100))
	if math.Abs(l.Advance-set("e", at(100)).Advance) > 1e-9 {
		t.Errorf("e with an acute is %v wide, e alone %v", l.Advance, set("e", at(100)).Advance)
	}
	for _, g := range l.Glyphs {
		if g.Rune != 0 || g.Runes != 2 {
			t.Errorf("a glyph of the cluster stands for %d runes from %d, want 2 from 0", g.Runes, g.Rune)
		}
	}
}

// What is not set as asked is told, with what was used.
func TestShape_Notes(t *testing.T) {
	for name, c := range map[string]struct {
		text string
		face Face
		want []Note
	}{
		"nothing asked":   {"abc", Face{}, nil},
		"generic":         {"abc", Face{Families: []string{"sans-serif"}}, nil},
		"ours by name":    {"abc", Face{Families: []string{"Go Mono", "serif"}}, nil},
		"missing":         {"abc", Face{Families: []string{"No Such", "serif"}}, []Note{{Kind: FontMissing, Wanted: "No Such", Used: []string{"Go"}}}},
		"missing bold":    {"abc", Face{Families: []string{"No Such"}, Weight: 700, Italic: true}, []Note{{Kind: FontMissing, Wanted: "No Such Bold Italic", Used: []string{"Go Bold Italic"}}}},
		"no bold of it":   {"abc", Face{Families: []string{"Go Mono"}, Weight: 700}, []Note{{Kind: FontMissing, Wanted: "Go Mono Bold", Used: []string{"Go Mono"}}}},
		"lost letters":    {"a\u4e16b\u754c", Face{}, []Note{{Kind: LettersLost, Rune: 1, Letters: "\u4e16 \u754c"}}},
		"a lost mark":     {"a\u0f71", Face{}, []Note{{Kind: LettersLost, Rune: 0, Letters: "a"}}},
		"white space":     {"\u2003\u3000 \t", Face{}, nil},
		"never seen":      {"a\u200d\ufe0fb\u2060", Face{}, nil},
		"only whitespace": {"  ", Face{Families: []string{"No Such"}}, nil},
	} {
		got := set(c.text, Style{Face: c.face, Size: 10}).Notes
		if name == "a lost mark" { // which rune is named is the font's affair
			if len(got) != 1 || got[0].Kind != LettersLost {
				t.Errorf("%s: %+v", name, got)
			}
			continue
		}
		if !slices.EqualFunc(got, c.want, func(a, b Note) bool {
			return a.Kind == b.Kind && a.Rune == b.Rune && a.Wanted == b.Wanted && slices.Equal(a.Used, b.Used) && a.Letters == b.Letters
		}) {
			t.Errorf("%s: %+v, want %+v", name, got, c.want)
		}
	}
}

func TestShape_LostLettersLeaveNoBox(t *testing.T) {
	l := set("\u4e16", at(100))
	if len(l.Glyphs) != 1 || len(l.Glyphs[0].Outline) != 0 || l.Advance <= 0 {
		t.Errorf("a letter that no font has gave %+v", l)
	}
}

func TestShape_BoldIsBolder(t *testing.T) {
	ink := func(w Face) float64 {
		sum := 0.0
		for _, g := range set("l", Style{Face: w, Size: 100}).Glyphs {
			sum += math.Abs(g.Outline.SignedArea())
		}
		return sum
	}
	if ink(Face{Weight: 700}) <= ink(Face{}) {
		t.Error("bold has no more ink than regular")
	}
}

func TestShape_NothingFromNothing(t *testing.T) {
	for _, size := range []float64{0, -1, math.NaN()} {
		if l := set("abc", at(size)); len(l.Glyphs) != 0 {
			t.Errorf("size %v gave %d glyphs", size, len(l.Glyphs))
		}
	}
	if l := set("", at(10)); l.Advance != 0 {
		t.Error("no text has a width")
	}
	if l := Embedded().Shape(nil, false); l.Advance != 0 {
		t.Error("no span has a width")
	}
}

func TestShape_Spacing(t *testing.T) {
	plain := set("a b c", at(10)).Advance
	for name, c := range map[string]struct {
		letters, words, more float64
	}{
		"letters": {2, 0, 8}, // between five, not after the last
		"words":   {0, 3, 6},
		"both":    {1, 3, 10},
		"tighter": {-1, 0, -4},
	} {
		got := set("a b c", Style{Size: 10, LetterSpacing: c.letters, WordSpacing: c.words}).Advance
		if math.Abs(got-plain-c.more) > 1e-9 {
			t.Errorf("%s: %v more, want %v", name, got-plain, c.more)
		}
	}
}

// order returns the runes' indices from left to right.
func order(text string, rightToLeft bool) []int {
	var out []int
	for _, g := range Embedded().Shape([]Span{{text, at(10)}}, rightToLeft).Glyphs {
		out = append(out, g.Rune)
	}
	return out
}

// Letters of Hebrew need no font here: what counts is the order.
func TestShape_Bidi(t *testing.T) {
	const alef, bet = "\u05d0", "\u05d1"
	for _, c := range []struct {
		text string
		rtl  bool
		want []int
	}{
		{"ab", false, []int{0, 1}},
		{"ab", true, []int{0, 1}},
		{alef + bet, false, []int{1, 0}},
		{alef + bet, true, []int{1, 0}},
		// A paragraph keeps its direction whatever its first letter.
		{alef + " a", false, []int{0, 1, 2}},
		{"a " + alef, true, []int{2, 1, 0}},
		// A number within Hebrew within Latin: two levels deep.
		{"a " + alef + " 12 " + bet + " b", false, []int{0, 1, 7, 6, 4, 5, 3, 2, 8, 9}},
	} {
		if got := order(c.text, c.rtl); !slices.Equal(got, c.want) {
			t.Errorf("%q, right to left %v: %v, want %v", c.text, c.rtl, got, c.want)
		}
	}
}

func TestShape_SpansKeepTheirIndices(t *testing.T) {
	l := Embedded().Shape([]Span{{"ab", at(10)}, {"c", at(10)}, {"d", at(20)}}, false)
	var got []int
	for _, g := range l.Glyphs {
		got = append(got, g.Span)
	}
	if !slices.Equal(got, []int{0, 0, 1, 2}) {
		t.Errorf("spans %v", got)
	}
	if want := set("abc", at(10)).Advance + set("d", at(20)).Advance; math.Abs(l.Advance-want) > 1e-9 {
		t.Errorf("advance %v, want %v", l.Advance, want)
	}
}

func TestSingleFont_ReadsPostScriptNames(t *testing.T) {
	for name, want := range map[string]struct {
		family string
		style  nameStyle
	}{
		"MyriadPro-Regular":      {"MyriadPro", nameStyle{}},
		"MyriadPro-BoldIt":       {"MyriadPro", nameStyle{weight: 700, italic: true}},
		"ArialMT":                {"Arial", nameStyle{}},
		"Arial-BoldItalicMT":     {"Arial", nameStyle{weight: 700, italic: true}},
		"TimesNewRomanPSMT":      {"TimesNewRoman", nameStyle{}},
		"TimesNewRomanPS-BoldMT": {"TimesNewRoman", nameStyle{weight: 700}},
		"Foo-SemiBold":           {"Foo", nameStyle{weight: 600}},
		"Foo-LightCondensed":     {"Foo", nameStyle{weight: 300, stretch: 0.75}},
		"Plain Name":             {"Plain Name", nameStyle{}},
	} {
		if family, style := singleFont(name); family != want.family || style != want.style {
			t.Errorf("%s: %s %+v, want %s %+v", name, family, style, want.family, want.style)
		}
	}
}

func TestMetrics_AreOfTheFont(t *testing.T) {
	m := Embedded().Metrics(at(2048))
	if !(m.XHeight > 900 && m.CapHeight > m.XHeight && m.Ascent > m.CapHeight && m.Descent < -200 && m.Underline < 0 && m.UnderlineThickness >= 50) {
		t.Errorf("%+v", m)
	}
	if z := (Embedded().Metrics(at(0))); z != (Metrics{}) {
		t.Errorf("without a size: %+v", z)
	}
}

func TestFamilies_HaveTheEmbeddedOnes(t *testing.T) {
	names, err := Embedded().Families(context.Background())
	if err != nil || !slices.Equal(names, []string{"Go", "Go Mono"}) {
		t.Errorf("%v, %v", names, err)
	}
}

func TestSystem_EndsWithItsContext(t *testing.T) {
	done, cancel := context.WithCancel(context.Background())
	cancel()
	if f, err := System(done); err == nil && f == nil {
		t.Error("neither fonts nor an error")
	}
	f, err := System(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	if l := f.Shape([]Span{{"abc", at(10)}}, false); len(l.Glyphs) != 3 || l.Advance <= 0 {
		t.Errorf("the installed fonts set abc as %+v", l)
	}
}

func TestTrack_MeasuresAndPlaces(t *testing.T) {
	circle := NewTrack(geometry.Path{geometry.Ellipse(geometry.Pt(0, 0), 10, 10)})
	if got := circle.Length(); math.Abs(got-2*math.Pi*10) > 0.01 { // the circle itself is four cubics
		t.Errorf("a circle of radius 10 is %v long", got)
	}
	square := NewTrack(geometry.RectXYWH(0, 0, 10, 10).Path())
	for _, c := range []struct {
		s     float64
		p     geometry.Point
		angle float64
		ok    bool
	}{
		{5, geometry.Pt(5, 0), 0, true}, {15, geometry.Pt(10, 5), math.Pi / 2, true}, {35, geometry.Pt(0, 5), -math.Pi / 2, true},
		{-1, geometry.Point{}, 0, false}, {41, geometry.Point{}, 0, false}, {math.NaN(), geometry.Point{}, 0, false},
	} {
		p, angle, ok := square.at(c.s)
		if ok != c.ok || p.Sub(c.p).Len() > 1e-9 || math.Abs(angle-c.angle) > 1e-9 {
			t.Errorf("at %v: %v, %v, %v", c.s, p, angle, ok)
		}
	}
	// Steps along a curve are as long as asked.
	curve := NewTrack(geometry.Path{{Segments: []geometry.Segment{geometry.CubicTo(geometry.Pt(0, 50), geometry.Pt(100, -50), geometry.Pt(100, 0))}}})
	last, sum := geometry.Point{}, 0.0
	const steps = 20000
	for k := 1; k <= steps; k++ {
		p, _, ok := curve.at(curve.Length() * float64(k) / steps)
		if !ok {
			t.Fatal("off the curve")
		}
		sum += p.Sub(last).Len()
		last = p
	}
	if math.Abs(sum-curve.Length()) > 1e-4 {
		t.Errorf("a walk of %v along %v", sum, curve.Length())
	}
	if _, _, ok := NewTrack(nil).at(0); ok {
		t.Error("a point on nothing")
	}
}

func TestLine_AlongAStraightTrackIsStraight(t *testing.T) {
	l := set("Abut e\u0301", at(20))
	track := NewTrack(geometry.Path{{Segments: []geometry.Segment{geometry.LineTo(geometry.Pt(500, 0))}}})
	got, off := l.Along(track, 0)
	want := l.Outline()
	if off != 0 || len(got) != len(want) {
		t.Fatalf("%d contours, %d off; want %d", len(got), off, len(want))
	}
	for i := range got {
		if got[i].Start.Sub(want[i].Start).Len() > 1e-9 {
			t.Fatalf("contour %d begins at %v, want %v", i, got[i].Start, want[i].Start)
		}
	}
	if _, off := l.Along(track, 480); off == 0 {
		t.Error("nothing fell off the end")
	}
}

// Whatever the text and the sizes, lines are finite and clusters tell where they
// are from.
func FuzzShape(f *testing.F) {
	for _, s := range []string{"", "abc", "e\u0301", "\u0633\u0644\u0627\u0645 12 abc", "\u202eabc\u202c(\u05d0)", "\xff\u200d\U0001f469\u200d\U0001f466", "\u0f71\u0f72 \u2029\t"} {
		f.Add(s, 10.0, 0.5, true)
	}
	fonts := Embedded()
	f.Fuzz(func(t *testing.T, s string, size, spacing float64, rtl bool) {
		if len(s) > 1000 || math.Abs(size) > 1e6 || math.Abs(spacing) > 1e6 {
			return
		}
		half := len(s) / 2
		spans := []Span{{s[:half], Style{Size: size, LetterSpacing: spacing}}, {s[half:], Style{Size: 12, Face: Face{Weight: 700}}}}
		l := fonts.Shape(spans, rtl)
		n := len([]rune(spans[0].Text)) + len([]rune(spans[1].Text))
		for _, g := range l.Glyphs {
			if g.Rune < 0 || g.Runes < 1 || g.Rune+g.Runes > n || g.Span < 0 || g.Span > 1 || !g.Outline.Finite() {
				t.Fatalf("glyph %+v of %d runes", g, n)
			}
		}
		if math.IsNaN(l.Advance) || math.IsInf(l.Advance, 0) || !l.Outline().Finite() {
			t.Fatalf("advance %v", l.Advance)
		}
		if again := fonts.Shape(spans, rtl); again.Advance != l.Advance || len(again.Glyphs) != len(l.Glyphs) {
			t.Fatal("not the same twice")
		}
		for _, note := range l.Notes {
			if strings.ContainsRune(note.Letters, '\n') {
				t.Fatalf("note %+v", note)
			}
		}
	})
}

func BenchmarkShape(b *testing.B) {
	fonts := Embedded()
	text := strings.Repeat("Colours that touch. ", 50) // 1,000 letters
	b.ReportAllocs()
	for b.Loop() {
		if l := fonts.Shape([]Span{{text, at(10)}}, false); len(l.Glyphs) != 1000 {
			b.Fatal(len(l.Glyphs))
		}
	}
}
