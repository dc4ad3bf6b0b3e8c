package typeset

import (
	"abut/geometry"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
)

// outline returns a glyph's outline; picture is true for a glyph that is there
// as coloured layers or pixels only, which are no one outline.
func (f *face) outline(gid font.GID, scale float64) (path geometry.Path, picture bool) {
	defer func() {
		if recover() != nil {
			path, picture = nil, true // a damaged glyph
		}
	}()
	o, ok := f.GlyphDataOutline(gid)
	if ok && len(o.Segments) > 0 {
		path = convert(o, scale)
		return path, !path.Finite()
	}
	if _, ok := f.GlyphDataColor(gid); ok {
		return nil, true
	}
	if _, ok := f.GlyphDataSVG(gid); ok {
		return nil, true
	}
	if b, ok := f.GlyphDataBitmap(gid); ok && b.Width > 0 {
		return nil, true
	}
	return nil, false
}

// convert turns a glyph in font units, y up, into a path. Quadratic curves are
// raised to cubics, which changes nothing of their shape.
func convert(o font.GlyphOutline, scale float64) geometry.Path {
	var path geometry.Path
	at := geometry.Point{}
	pt := func(p opentype.SegmentPoint) geometry.Point {
		return geometry.Pt(float64(p.X)*scale, -float64(p.Y)*scale)
	}
	for _, s := range o.Segments {
		if s.Op == opentype.SegmentOpMoveTo || len(path) == 0 {
			if s.Op == opentype.SegmentOpMoveTo {
				at = pt(s.Args[0])
			}
			path = append(path, geometry.Contour{Start: at, Closed: true})
			if s.Op == opentype.SegmentOpMoveTo {
				continue
			}
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
		if !seg.Cubic && seg.End == at {
			continue // fonts close contours with lines to where they are
		}
		c.Segments = append(c.Segments, seg)
		at = seg.End
	}
	kept := path[:0]
	for _, c := range path {
		if len(c.Segments) > 0 { // single points anchor marks and draw nothing
			kept = append(kept, c)
		}
	}
	return kept
}
