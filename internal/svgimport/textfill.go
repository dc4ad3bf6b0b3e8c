package svgimport

import (
	"slices"
	"strings"

	"abut/geometry"
	"abut/internal/job"
	"abut/internal/layering"
	"abut/internal/lettering"
)

// usualFamily is what text is set in that names no font that is there.
const usualFamily = "serif"

// mostFamilies is how many of a list are tried: people name two or three.
const mostFamilies = 6

// markedText is text that a list fills in, kept as text: set in its file's units, and where these lie.
type markedText struct {
	text job.Text
	at   geometry.Affine // of its origin in user space
}

// marked returns what is drawn as text, where words of it or its name have a mark that a list fills in, such as {name}; nil where
// setting it anew gives other outlines than are drawn, as where letters are turned one by one: that stays outlines.
func (im *importer) marked(n *node, laid laidText, label string) (*markedText, error) {
	says := strings.Join(strings.Fields(n.wholeText()), " ")
	if len(laid.parts) != 1 || !hasMark(says) && !hasMark(label) {
		return nil, nil
	}
	p := laid.parts[0]
	f := p.st.font
	if p.st.fill.kind != paintColour && p.st.fill.kind != paintCurrent || p.st.stroke.kind != paintNone || says == "" {
		return nil, nil
	}
	fonts, err := im.fonts()
	if err != nil {
		return nil, err
	}
	t := job.Text{
		Text: says, Weight: f.weight, Italic: f.italic, SizeMM: p.st.fontSize, SpacingMM: f.letterSpacing,
		Align: map[textAnchor]job.TextAlign{anchorStart: job.TextStart, anchorMiddle: job.TextMiddle, anchorEnd: job.TextEnd}[f.anchor],
	}
	if t.Weight == 0 {
		t.Weight = 400
	}
	named := f.families[:min(len(f.families), mostFamilies)]
	for _, t.Family = range append(slices.Clone(named), usualFamily, lettering.OwnFamily) {
		set, _, err := lettering.SetIn(fonts, t)
		if err != nil {
			continue // its numbers are none of a text's
		}
		var path geometry.Path
		for _, s := range set.Shapes {
			path = append(path, s.Path...)
		}
		move := p.path.Bounds().Min.Sub(path.Bounds().Min)
		if sameOutlines(path.Transform(geometry.Translate(move.X, move.Y)), p.path, 1e-6*t.SizeMM) {
			return &markedText{set, geometry.Translate(move.X, move.Y)}, nil
		}
	}
	return nil, nil
}

// keep has an area be text, as a layer of its own; nothing where t is nil.
func (t *markedText) keep(area *layering.Area, ctm geometry.Affine) {
	if t != nil {
		area.Text, area.Paint = &job.Layer{Content: t.text, Transform: ctm.Mul(t.at)}, t
	}
}

// hasMark reports whether there may be the name of a column in braces.
func hasMark(s string) bool {
	_, after, open := strings.Cut(s, "{")
	return open && strings.Contains(after, "}")
}

// sameOutlines reports whether two paths have the same contours, point by point within a distance.
func sameOutlines(a, b geometry.Path, within float64) bool {
	near := func(p, q geometry.Point) bool { return p.Sub(q).Len() <= within }
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if len(a[i].Segments) != len(b[i].Segments) || !near(a[i].Start, b[i].Start) {
			return false
		}
		for k, s := range a[i].Segments {
			o := b[i].Segments[k]
			if s.Cubic != o.Cubic || !near(s.End, o.End) || s.Cubic && (!near(s.C1, o.C1) || !near(s.C2, o.C2)) {
				return false
			}
		}
	}
	return true
}
