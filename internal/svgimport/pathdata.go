package svgimport

import (
	"errors"
	"math"

	"abut/geometry"
)

// errPathData says that path data stops making sense.
var errPathData = errors.New("path data that makes no sense")

// parsePath reads path data (SVG 2, chapter 9.3). Quadratics and arcs become
// cubics. On an error it returns what came before, as SVG 2 section 9.5.4
// asks, with the error. full is polled with the number of commands so far and
// stops the reading when it returns an error.
func parsePath(d string, full func(commands int) error) (geometry.Path, error) {
	p, _, err := countPath(d, full)
	return p, err
}

// countPath is parsePath that counts moves, lines and curves.
func countPath(d string, full func(commands int) error) (p geometry.Path, commands int, err error) {
	r := pathReader{sc: scanner{s: d}, full: full}
	err = r.run()
	r.finish()
	return r.path, r.count, err
}

type pathReader struct {
	sc   scanner
	full func(int) error
	path geometry.Path
	// cur is the contour being built; open says that there is one.
	cur  geometry.Contour
	open bool
	// at is the current point, start where closepath returns to.
	at, start geometry.Point
	// control mirrors for S and T; the kinds say whether the last command
	// leaves one.
	control geometry.Point
	last    byte
	count   int
	// inner, when not nil, collects the segments that end inside an arc.
	inner map[joint]bool
}

// joint is the end of one segment of one contour.
type joint struct{ contour, segment int }

// arcJoints returns the segments of a path that end inside an arc, which are
// no vertices of the path.
func arcJoints(d string) map[joint]bool {
	r := pathReader{sc: scanner{s: d}, inner: map[joint]bool{}}
	_ = r.run() // an error has been dealt with when the path was read
	return r.inner
}

func (r *pathReader) finish() {
	if r.open {
		r.path = append(r.path, r.cur)
		r.open = false
	}
}

func (r *pathReader) add(s geometry.Segment) {
	if !r.open {
		r.cur = geometry.Contour{Start: r.at}
		r.open = true
	}
	r.cur.Segments = append(r.cur.Segments, s)
	r.at = s.End
	r.count++
}

func (r *pathReader) run() error {
	var cmd byte
	for {
		r.sc.spaces()
		if r.sc.done() {
			return nil
		}
		if c := r.sc.s[r.sc.i]; isLetter(c) {
			r.sc.i++
			cmd = c
			if r.last == 0 && cmd|0x20 != 'm' {
				return errPathData
			}
			if cmd|0x20 == 'z' {
				r.close()
				continue
			}
			r.sc.spaces()
		} else {
			if r.sc.take(',') {
				r.sc.spaces()
			}
			if cmd = repeated(cmd); cmd == 0 {
				return errPathData
			}
		}
		if err := r.command(cmd); err != nil {
			return err
		}
		if r.count&0xfff == 0xfff && r.full != nil {
			if err := r.full(r.count); err != nil {
				return err
			}
		}
	}
}

// repeated is the command that goes on where coordinates follow without a letter, 0
// where they make no sense: first of all, and after closepath.
func repeated(cmd byte) byte {
	switch cmd {
	case 'M':
		return 'L'
	case 'm':
		return 'l'
	case 'z', 'Z':
		return 0
	}
	return cmd
}

func (r *pathReader) close() {
	if r.open {
		r.cur.Closed = true
		r.finish()
	} else if r.last|0x20 == 'm' {
		// A subpath of one point: nothing to fill, but round caps show.
		r.path = append(r.path, geometry.Contour{Start: r.start, Closed: true})
	}
	r.at = r.start
	r.last = 'z'
}

// command reads the arguments of one command and carries it out.
func (r *pathReader) command(cmd byte) error {
	var base geometry.Point
	if cmd >= 'a' {
		base = r.at
	}
	switch cmd | 0x20 {
	case 'm':
		p, ok := r.points1(base)
		if !ok {
			return errPathData
		}
		r.finish()
		r.at, r.start = p, p
		r.count++ // it takes its time though it draws nothing
	case 'l':
		p, ok := r.points1(base)
		if !ok {
			return errPathData
		}
		r.add(geometry.LineTo(p))
	case 'h':
		v, ok := r.sc.number()
		if !ok {
			return errPathData
		}
		r.add(geometry.LineTo(geometry.Pt(base.X+v, r.at.Y)))
	case 'v':
		v, ok := r.sc.number()
		if !ok {
			return errPathData
		}
		r.add(geometry.LineTo(geometry.Pt(r.at.X, base.Y+v)))
	case 'c', 's', 'q', 't':
		if !r.curve(cmd|0x20, base) {
			return errPathData
		}
	case 'a':
		if !r.arc(base) {
			return errPathData
		}
	default:
		return errPathData
	}
	r.last = cmd
	return nil
}

func (r *pathReader) curve(kind byte, base geometry.Point) bool {
	var p [3]geometry.Point
	n := map[byte]int{'c': 3, 's': 2, 'q': 2, 't': 1}[kind]
	for i := 0; i < n; i++ {
		if i > 0 {
			r.sc.separator()
		}
		q, ok := r.points1(base)
		if !ok {
			return false
		}
		p[i] = q
	}
	mirror := func(kinds ...byte) geometry.Point {
		for _, k := range kinds {
			if r.last|0x20 == k {
				return r.at.Mul(2).Sub(r.control)
			}
		}
		return r.at
	}
	switch kind {
	case 'c':
		r.add(geometry.CubicTo(p[0], p[1], p[2]))
		r.control = p[1]
	case 's':
		r.add(geometry.CubicTo(mirror('c', 's'), p[0], p[1]))
		r.control = p[0]
	case 'q':
		r.add(geometry.QuadTo(r.at, p[0], p[1]))
		r.control = p[0]
	case 't':
		c := mirror('q', 't')
		r.add(geometry.QuadTo(r.at, c, p[0]))
		r.control = c
	}
	return true
}

func (r *pathReader) arc(base geometry.Point) bool {
	var v [3]float64
	for i := range v {
		if i > 0 {
			r.sc.separator()
		}
		var ok bool
		if v[i], ok = r.sc.number(); !ok {
			return false
		}
	}
	r.sc.separator()
	large, ok1 := r.flag()
	r.sc.separator()
	sweep, ok2 := r.flag()
	r.sc.separator()
	if !ok1 || !ok2 {
		return false
	}
	end, ok := r.points1(base)
	if !ok {
		return false
	}
	segs := arcTo(r.at, v[0], v[1], v[2]*math.Pi/180, large, sweep, end)
	for i, s := range segs {
		r.add(s)
		if r.inner != nil && i < len(segs)-1 {
			r.inner[joint{len(r.path), len(r.cur.Segments) - 1}] = true
		}
	}
	return true
}

// arcTo is geometry.ArcTo, and a straight line where floats cannot hold the arc.
func arcTo(at geometry.Point, rx, ry, turn float64, large, sweep bool, end geometry.Point) []geometry.Segment {
	segs := geometry.ArcTo(at, rx, ry, turn, large, sweep, end)
	for _, s := range segs {
		if !s.End.Finite() || s.Cubic && !(s.C1.Finite() && s.C2.Finite()) {
			return []geometry.Segment{geometry.LineTo(end)}
		}
	}
	return segs
}

// flag reads an arc flag: one digit, which the next number may follow at once.
func (r *pathReader) flag() (bool, bool) {
	if r.sc.take('0') {
		return false, true
	}
	if r.sc.take('1') {
		return true, true
	}
	return false, false
}

func (r *pathReader) points1(base geometry.Point) (geometry.Point, bool) {
	x, ok := r.sc.number()
	if !ok {
		return base, false
	}
	r.sc.separator()
	y, ok := r.sc.number()
	if !ok {
		return base, false
	}
	return geometry.Pt(base.X+x, base.Y+y), true
}
