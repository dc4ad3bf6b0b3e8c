package svgimport

import (
	"maps"
	"math"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
	"abut/internal/layering"
)

// A mask whose parts are purely black or purely white is a clip: where the
// topmost part is white the element shows. One that is the same grey all over makes
// it see-through. Softer masks are decided at half, with a warning. White parts become the clip's shapes; a black part over them
// takes the place that it covers away from every white part beneath, as one
// more clip on them that covers everything else.

// applyMask adds the element's mask to what it is drawn in, and returns how opaque it leaves
// the element, from 0 to 1.
func (im *importer) applyMask(n *node, st *style, in *scope) (share float64, err error) {
	if st.own.mask == "" || im.boxOnly != 0 {
		return 1, nil
	}
	mk := im.lookup(st.own.mask, n)
	if mk == nil || mk.name != "mask" {
		im.warn(WarnMissing, n, "target", shorten(st.own.mask))
		return 1, nil // like a clip that is not there: nothing is masked
	}
	if im.using[mk] {
		im.warn(WarnRecursive, mk)
		return 1, nil
	}
	im.using[mk] = true
	defer delete(im.using, mk)
	var box geometry.Rect
	unitBox := mk.get("maskUnits") != "userSpaceOnUse"
	contentBox := mk.get("maskContentUnits") == "objectBoundingBox"
	if unitBox || contentBox {
		box = im.userBounds(n, *in)
		if flatBox(box) {
			in.clips = withClip(in.clips, im.noRoom(n, st.own.mask, *in))
			return 1, nil
		}
	}
	toBox := geometry.Affine{A: box.Width(), D: box.Height(), E: box.Min.X, F: box.Min.Y}
	region := maskRegion(mk, in.view, unitBox)
	if unitBox {
		region = toBox.MapRect(region)
	}
	sc := scope{ctm: in.ctm, style: im.styleOf(mk), view: in.view, depth: in.depth, copied: true, clips: []*job.Clip{}}
	if contentBox {
		sc.ctm = sc.ctm.Mul(toBox)
		sc.view = viewport{1, 1}
	}
	clip, share, err := im.clipOfMask(n, mk, sc)
	if err != nil {
		return 1, err
	}
	im.remember(clipKey{n: n, ctm: in.ctm, box: box}, clip)
	in.clips = withClip(in.clips, clip)
	if region.Width() > 0 && region.Height() > 0 {
		in.clips = withClip(in.clips, im.rectClip(region, in.ctm, mk))
	}
	// The mask may itself be masked or clipped.
	if err := im.applyClip(mk, sc.style, in); err != nil {
		return 1, err
	}
	more, err := im.applyMask(n, sc.style, in)
	return share * more, err
}

// clipOfMask draws what is in an element's mask and returns it as a clip, and how opaque what
// it lets through is.
func (im *importer) clipOfMask(n, mk *node, sc scope) (*job.Clip, float64, error) {
	im.checkLengths(mk)
	side := im.aside()
	side.keep = im.keep
	side.quiet = im.quiet
	if err := side.children(mk, sc); err != nil {
		return nil, 1, err
	}
	im.account(side)
	share, even := evenMask(side.out, sc.style.own.alphaMask)
	if even {
		for i := range side.out {
			side.out[i].Colour, side.out[i].Alpha = colour.RGB{R: 255, G: 255, B: 255}, 1
		}
	}
	clip, exact := maskClip(side.out, sc.style.own.alphaMask)
	if !exact {
		im.warn(WarnMask, n)
	}
	maps.Copy(im.clipped, side.clipped)
	return clip, share, nil
}

// evenMask reports whether a mask lets one and the same share through wherever it lets
// anything through, and that share; else 1.
func evenMask(items []layering.Area, byAlpha bool) (share float64, even bool) {
	for i, it := range items {
		v := it.Alpha * lightOf(it, byAlpha)
		if v < 0.01 || i > 0 && (math.Abs(v-share) > 1e-9 || it.Alpha < 1 || items[0].Alpha < 1) || it.Shape.Gradient != nil {
			return 1, false
		}
		share = v
	}
	return share, len(items) > 0
}

// lightOf is the luminance of an area of a mask: by the coefficients for linear RGB on the
// values as they are (CSS Masking 1, 7.10). By alpha alone everything is white.
func lightOf(it layering.Area, byAlpha bool) float64 {
	if byAlpha {
		return 1
	}
	return (0.2125*float64(it.Colour.R) + 0.7154*float64(it.Colour.G) + 0.0721*float64(it.Colour.B)) / 255
}

// maskRegion reads the part of the plane that a mask lets through at all; the
// default is the element's box and a tenth of it around.
func maskRegion(mk *node, view viewport, unitBox bool) geometry.Rect {
	if unitBox {
		view = viewport{1, 1}
	}
	num := func(name string, ax axis, percent float64) float64 {
		l, ok := mk.length(name)
		if !ok {
			l = length{percent, unitPercent}
		}
		return l.user(view, ax, 16)
	}
	return geometry.RectXYWH(num("x", alongX, -10), num("y", alongY, -10), num("width", alongX, 120), num("height", alongY, 120))
}

// maskClip turns what a mask paints into a clip; exact says that nothing had
// to be decided.
func maskClip(items []layering.Area, byAlpha bool) (c *job.Clip, exact bool) {
	c = &job.Clip{}
	exact = true
	frame := geometry.EmptyRect()
	for _, it := range items {
		frame = frame.Union(it.Bounds)
	}
	frame = frame.Grow(1 + frame.Longer())
	for _, it := range items {
		light := lightOf(it, byAlpha)
		if v := it.Alpha * light; v > 0.01 && v < 0.99 || it.Alpha < 0.99 && it.Alpha > 0.01 {
			exact = false
		}
		switch {
		case it.Alpha*light >= 0.5:
			c.Shapes = append(c.Shapes, it.Shape)
		case it.Alpha*(1-light) > 0.5 && len(c.Shapes) > 0:
			rest, ok := everythingBut(it.Shape, frame)
			exact = exact && ok
			for i := range c.Shapes {
				c.Shapes[i].Clips = withClip(c.Shapes[i].Clips, rest)
			}
		}
	}
	return c, exact
}

// everythingBut returns the clip that covers what the shape does not, within a
// frame: all outside the path, or outside any of its clips. It is exact under the
// even-odd rule, and under the nonzero rule for a path of one contour that does
// not cross itself; false when that is not certain.
func everythingBut(s job.Shape, frame geometry.Rect) (*job.Clip, bool) {
	outside := s
	outside.Clips = nil
	outside.Path = append(frame.Path(), s.Path...)
	outside.Rule = geometry.EvenOdd
	c := &job.Clip{Shapes: []job.Shape{outside}}
	exact := s.Rule == geometry.EvenOdd || simple(s.Path)
	for _, k := range s.Clips {
		for _, part := range k.Shapes {
			if len(k.Shapes) > 1 {
				exact = false // outside a union is the common part, not the sum
			}
			rest, ok := everythingBut(part, frame)
			exact = exact && ok
			c.Shapes = append(c.Shapes, rest.Shapes...)
		}
	}
	return c, exact
}

// simple reports whether a path is one contour that certainly does not cross
// itself: its flattened outline turns one way only, once around.
func simple(p geometry.Path) bool {
	if len(p) != 1 {
		return false
	}
	b := p.Bounds()
	flat := p.Flatten(b.Longer()/1000 + 1e-12)[0]
	var dirs []geometry.Point
	from := flat.Start
	for _, s := range append(append([]geometry.Segment{}, flat.Segments...), geometry.LineTo(flat.Start)) {
		if d, ok := unitVector(s.End.Sub(from)); ok {
			dirs = append(dirs, d)
			from = s.End
		}
	}
	total, sign := 0.0, 0.0
	for i := range dirs {
		a, z := dirs[i], dirs[(i+1)%len(dirs)]
		turn := math.Atan2(a.Cross(z), a.Dot(z))
		if math.Abs(turn) < 1e-9 {
			continue
		}
		if turn*sign < 0 {
			return false
		}
		sign = turn
		total += turn
	}
	return math.Abs(math.Abs(total)-2*math.Pi) < 1e-6
}
