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
	path, scale, err := im.trackOf(n, view)
	if err != nil || path == nil {
		return nil, err
	}
	if !within(path, maxCoordinate) {
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

// trackOf returns the path of a textPath element, its own or that of what it refers to,
// and by what lengths along it are to be multiplied as the file counts them. The path is
// nil, with a warning, where there is none.
func (im *importer) trackOf(n *node, view viewport) (path geometry.Path, scale float64, err error) {
	if d, ok := n.attr("path"); ok {
		path, err = im.parse(d)
		switch {
		case errors.Is(err, errPathData):
			im.warn(WarnPathData, n)
		case err != nil:
			return nil, 0, err
		}
		if len(path) == 0 {
			im.warn(WarnText, n)
			return nil, 0, nil
		}
		return path, 1, nil
	}
	id, inside := n.href()
	if !inside {
		im.warn(WarnExternal, n, "target", shorten(id))
		return nil, 0, nil
	}
	target := im.doc.byID[id]
	if target == nil {
		im.warn(WarnText, n)
		return nil, 0, nil
	}
	st := im.styleOf(target)
	if path, err = im.shapePath(target, st, view); err != nil {
		return nil, 0, err
	}
	m, ok := im.transform(target, st, scope{view: view})
	if !ok {
		im.warn(WarnTransform, target)
	}
	if len(path) == 0 {
		im.warn(WarnText, n)
		return nil, 0, nil
	}
	scale = 1
	if l, ok := target.length("pathLength"); ok && l.v > 0 {
		scale = typeset.NewTrack(path).Length() / l.v
	}
	return path.Transform(m), scale, nil
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
