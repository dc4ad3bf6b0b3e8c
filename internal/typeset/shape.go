package typeset

import (
	"slices"

	"abut/geometry"

	"github.com/go-text/typesetting/di"
	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
	"github.com/go-text/typesetting/language"
	"github.com/go-text/typesetting/shaping"
	"golang.org/x/image/math/fixed"
)

// Glyph is one glyph of a shaped line.
type Glyph struct {
	// Outline is the glyph's shape around its own origin on the base line, to
	// be filled nonzero; empty for white space.
	Outline geometry.Path
	// Offset moves the outline from the pen, Advance moves the pen to the right.
	Offset  geometry.Point
	Advance float64
	// Rune is the index of the first rune of the glyph's cluster; Runes is how
	// many runes the cluster stands for. Glyphs of one cluster share both.
	Rune, Runes int
}

// Line is shaped text, its glyphs from left to right.
type Line struct {
	Glyphs  []Glyph
	Advance float64
	// Used are the families that were taken, in order of first use.
	Used []string
	// Missing says that the first family asked for was not to be had (generic
	// names aside), or that some character has no glyph in any font.
	Missing bool
}

// Shape lays text out on one line at the given font size. rightToLeft is the
// direction of the paragraph; text of the other direction within it is reordered
// as Unicode asks (UAX #9). Spacing between letters and words is for the caller
// to add.
func (f *Fonts) Shape(text string, want Face, size float64, rightToLeft bool) Line {
	f.mu.Lock()
	defer f.mu.Unlock()
	runes := []rune(text)
	var line Line
	if len(runes) == 0 || !(size > 0) {
		return line
	}
	query := want.query()
	f.fm.SetQuery(query)
	dir := di.DirectionLTR
	if rightToLeft {
		dir = di.DirectionRTL
	}
	var segmenter shaping.Segmenter
	inputs := segmenter.Split(shaping.Input{
		Text: runes, RunEnd: len(runes), Direction: dir, Size: fixed.I(1000), Language: language.NewLanguage("und"),
	}, f.fm)
	var shaper shaping.HarfbuzzShaper
	outs := make([]shaping.Output, 0, len(inputs))
	for _, in := range inputs {
		if in.Face == nil {
			line.Missing = true
			continue
		}
		// At a size of its units per em, a font's positions are whole numbers.
		in.Size = fixed.I(int(in.Face.Upem()))
		out := shaper.Shape(in)
		outs = append(outs, out)
		family, _ := f.fm.FontMetadata(in.Face.Font)
		if !slices.Contains(line.Used, family) {
			line.Used = append(line.Used, family)
		}
		line.Missing = line.Missing || slices.ContainsFunc(out.Glyphs, func(g shaping.Glyph) bool { return g.GlyphID == 0 })
	}
	if first := firstNamed(want.Families); first != "" && len(line.Used) > 0 {
		line.Missing = line.Missing || font.NormalizeFamily(line.Used[0]) != font.NormalizeFamily(first)
	}
	for _, out := range visual(outs, runes, dir) {
		line.Glyphs = append(line.Glyphs, glyphs(out, size/float64(out.Face.Upem()))...)
	}
	for _, g := range line.Glyphs {
		line.Advance += g.Advance
	}
	return line
}

func firstNamed(families []string) string {
	if len(families) == 0 || generic(families[0]) {
		return ""
	}
	return families[0]
}

// visual puts runs, given in reading order, from left to right (UAX #9, rule
// L2): laying them out as one endless line does it.
func visual(outs []shaping.Output, text []rune, dir di.Direction) []shaping.Output {
	if len(outs) < 2 {
		return outs
	}
	const endless = 1 << 24 // in font units, beyond any line that fits a product
	var wrapper shaping.LineWrapper
	lines, _ := wrapper.WrapParagraph(shaping.WrapConfig{
		Direction: dir, BreakPolicy: shaping.Never, DisableTrailingWhitespaceTrim: true,
	}, endless, text, shaping.NewSliceIterator(outs))
	var all []shaping.Output
	for _, l := range lines {
		l = slices.Clone(l)
		slices.SortStableFunc(l, func(a, b shaping.Output) int { return int(a.VisualIndex) - int(b.VisualIndex) })
		all = append(all, l...)
	}
	return all
}

func glyphs(out shaping.Output, scale float64) []Glyph {
	glyphs := make([]Glyph, len(out.Glyphs))
	mm := func(v fixed.Int26_6) float64 { return float64(v) / 64 * scale }
	for i, g := range out.Glyphs {
		glyphs[i] = Glyph{
			Offset:  geometry.Pt(mm(g.XOffset), -mm(g.YOffset)),
			Advance: mm(g.Advance),
			Rune:    g.TextIndex(), Runes: g.RunesCount(),
		}
		if o, ok := out.Face.GlyphDataOutline(g.GlyphID); ok {
			glyphs[i].Outline = outline(o, scale)
		}
	}
	return glyphs
}

// outline converts a glyph in font units, y up.
func outline(o font.GlyphOutline, scale float64) geometry.Path {
	var path geometry.Path
	at := geometry.Point{}
	pt := func(p opentype.SegmentPoint) geometry.Point {
		return geometry.Pt(float64(p.X)*scale, -float64(p.Y)*scale)
	}
	for _, s := range o.Segments {
		if s.Op == opentype.SegmentOpMoveTo {
			at = pt(s.Args[0])
			path = append(path, geometry.Contour{Start: at, Closed: true})
			continue
		}
		if len(path) == 0 {
			path = append(path, geometry.Contour{Start: at, Closed: true})
		}
		c := &path[len(path)-1]
		var seg geometry.Segment
		switch s.Op {
		case opentype.SegmentOpLineTo:
			seg = geometry.LineTo(pt(s.Args[0]))
		case opentype.SegmentOpQuadTo:
			seg = geometry.QuadTo(at, pt(s.Args[0]), pt(s.Args[1]))
		default:
			seg = geometry.CubicTo(pt(s.Args[0]), pt(s.Args[1]), pt(s.Args[2]))
		}
		c.Segments = append(c.Segments, seg)
		at = seg.End
	}
	return path
}
