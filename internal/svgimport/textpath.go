package svgimport

import (
	"errors"

	"abut/geometry"
	"abut/internal/typeset"
)

// textPath is a path that text runs along.
type textPath struct {
	n     *node
	track *typeset.Track
	start float64        // where the text begins
	end   geometry.Point // of the path
}

// textPath reads a textPath element (SVG 2, 11.8); nil, with a warning, when it
// has no path in this file.
func (im *importer) textPath(n *node, st *style, view viewport) (*textPath, error) {
	var path geometry.Path
	scale := 1.0 // lengths along the path as the file counts them
	if d, ok := n.attr("path"); ok {
		var err error
		path, err = im.parse(d)
		if errors.Is(err, errPathData) {
			im.warn(WarnPathData, n)
		} else if err != nil {
			return nil, err
		}
	} else {
		id, inside := n.href()
		if !inside {
			im.warn(WarnExternal, n, "target", shorten(id))
			return nil, nil
		}
		target := im.doc.byID[id]
		if target == nil {
			im.warn(WarnText, n)
			return nil, nil
		}
		tst := im.styleOf(target)
		var err error
		if path, err = im.shapePath(target, tst, view); err != nil {
			return nil, err
		}
		m, ok := im.transform(target, tst, scope{view: view})
		if !ok {
			im.warn(WarnTransform, target)
		}
		whole := typeset.NewTrack(path).Length()
		path = path.Transform(m)
		if l, ok := target.length("pathLength"); ok && l.v > 0 {
			scale = whole / l.v
		}
	}
	if len(path) == 0 || !within(path, maxCoordinate) {
		im.warn(WarnText, n)
		return nil, nil
	}
	if n.get("side") == "right" {
		path = backwards(path)
	}
	p := &textPath{n: n, track: typeset.NewTrack(path)}
	if p.track.Length() == 0 {
		im.warn(WarnText, n)
		return nil, nil
	}
	last := path[len(path)-1]
	p.end = last.End()
	if l, ok := n.length("startOffset"); ok {
		if l.unit == unitPercent {
			p.start = l.v / 100 * p.track.Length()
		} else {
			p.start = l.user(view, diagonal, st.fontSize) * scale
		}
	}
	return p, nil
}

// backwards is the path run from its end to its start.
func backwards(p geometry.Path) geometry.Path {
	r := p.Reverse()
	out := make(geometry.Path, 0, len(r))
	for i := len(r) - 1; i >= 0; i-- {
		out = append(out, r[i])
	}
	return out
}
