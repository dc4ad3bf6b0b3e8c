package svgimport

import (
	"fmt"
	"math"
	"math/rand"
	"strings"
	"testing"

	"abut/geometry"
)

// maxErrorMM is how far a control point may lie from where exact arithmetic puts
// it when the picture is 300 mm wide.
const maxErrorMM = 0.001

// controls returns the control points of a path in order, starts included.
func controls(p geometry.Path) []geometry.Point {
	var out []geometry.Point
	for _, c := range p {
		out = append(out, c.Start)
		for _, s := range c.Segments {
			if s.Cubic {
				out = append(out, s.C1, s.C2)
			}
			out = append(out, s.End)
		}
	}
	return out
}

// compareExact returns the largest distance, in units, or fails.
func compareExact(t *testing.T, what string, got []geometry.Point, want []exactPoint) float64 {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("%s: %d control points, %d by exact arithmetic", what, len(got), len(want))
	}
	worst := 0.0
	for i, p := range got {
		dx, _ := sub(fresh().SetFloat64(p.X), want[i].x).Float64()
		dy, _ := sub(fresh().SetFloat64(p.Y), want[i].y).Float64()
		worst = math.Max(worst, math.Hypot(dx, dy))
	}
	return worst
}

// decimals draws a number with four decimals.
func decimals(rnd *rand.Rand, from, to float64) string {
	return fmt.Sprintf("%.4f", from+rnd.Float64()*(to-from))
}

// randomTransform is one function that neither flattens nor blows up.
func randomTransform(rnd *rand.Rand) (name string, args []string) {
	switch rnd.Intn(6) {
	case 0:
		return "translate", []string{decimals(rnd, -20, 20), decimals(rnd, -20, 20)}
	case 1:
		return "rotate", []string{decimals(rnd, -360, 360)}
	case 2:
		return "scale", []string{decimals(rnd, 0.7, 1.4), decimals(rnd, 0.7, 1.4)}
	case 3:
		return "skewX", []string{decimals(rnd, -30, 30)}
	case 4:
		return "skewY", []string{decimals(rnd, -30, 30)}
	}
	return "matrix", []string{decimals(rnd, 0.8, 1.2), decimals(rnd, -0.3, 0.3), decimals(rnd, -0.3, 0.3), decimals(rnd, 0.8, 1.2), decimals(rnd, -5, 5), decimals(rnd, -5, 5)}
}

// randomNest returns a transform for each of some nested groups, and what they
// come to.
func randomNest(rnd *rand.Rand) (lists []string, m exactMatrix) {
	m = exactIdentity()
	for range 1 + rnd.Intn(6) {
		var list []string
		for range 1 + rnd.Intn(3) {
			name, args := randomTransform(rnd)
			list = append(list, name+"("+strings.Join(args, " ")+")")
			m = m.mul(exactTransform(name, args))
		}
		lists = append(lists, strings.Join(list, " "))
	}
	return lists, m
}

func nest(lists []string, inner string) string {
	for i := len(lists) - 1; i >= 0; i-- {
		inner = `<g transform="` + lists[i] + `">` + inner + `</g>`
	}
	// Without a viewBox: nothing is off the canvas.
	return `<svg xmlns="http://www.w3.org/2000/svg">` + inner + `</svg>`
}

// exactPath draws path data of random commands and follows it exactly. arcs of
// the result are the places where an arc's cubics begin.
func exactPath(rnd *rand.Rand) (d string, points func(segments func(arc int) int) []exactPoint) {
	type arc struct {
		at, to       exactPoint
		rx, ry, turn num
		large, sweep bool
	}
	var data strings.Builder
	var pts []exactPoint
	arcs := map[int]arc{}
	at := exactPoint{exact(decimals(rnd, 20, 80)), exact(decimals(rnd, 20, 80))}
	fmt.Fprintf(&data, "M%s %s", at.x.Text('f', 4), at.y.Text('f', 4))
	pts = append(pts, at)
	var cubic, quad exactPoint
	last := byte('m')
	for range 12 {
		rel := rnd.Intn(2) == 0
		pair := func() exactPoint {
			if rel {
				a, b := decimals(rnd, -30, 30), decimals(rnd, -30, 30)
				fmt.Fprintf(&data, " %s %s", a, b)
				return at.plus(exactPoint{exact(a), exact(b)})
			}
			a, b := decimals(rnd, 0, 100), decimals(rnd, 0, 100)
			fmt.Fprintf(&data, " %s %s", a, b)
			return exactPoint{exact(a), exact(b)}
		}
		cmd := "lhvcsqta"[rnd.Intn(8)]
		written := cmd
		if !rel {
			written -= 'a' - 'A'
		}
		data.WriteByte(written)
		mirrored := func(c exactPoint, kinds string) exactPoint {
			if strings.IndexByte(kinds, last) >= 0 {
				return at.times(whole(2)).minus(c)
			}
			return at
		}
		quadratic := func(c, end exactPoint) {
			third := div(whole(2), whole(3))
			pts = append(pts, at.plus(c.minus(at).times(third)), end.plus(c.minus(end).times(third)), end)
			quad, at = c, end
		}
		switch cmd {
		case 'l':
			at = pair()
			pts = append(pts, at)
		case 'h', 'v':
			v := decimals(rnd, -30, 30)
			fmt.Fprintf(&data, " %s", v)
			to := exactPoint{at.x, at.y}
			switch {
			case cmd == 'h' && rel:
				to.x = add(at.x, exact(v))
			case cmd == 'h':
				to.x = exact(v)
			case rel:
				to.y = add(at.y, exact(v))
			default:
				to.y = exact(v)
			}
			at = to
			pts = append(pts, at)
		case 'c':
			a, b, e := pair(), pair(), pair()
			pts = append(pts, a, b, e)
			cubic, at = b, e
		case 's':
			a := mirrored(cubic, "cs")
			b, e := pair(), pair()
			pts = append(pts, a, b, e)
			cubic, at = b, e
		case 'q':
			c, e := pair(), pair()
			quadratic(c, e)
		case 't':
			quadratic(mirrored(quad, "qt"), pair())
		case 'a':
			rx, ry, turn := decimals(rnd, 2, 60), decimals(rnd, 2, 60), decimals(rnd, -180, 180)
			large, sweep := rnd.Intn(2), rnd.Intn(2)
			fmt.Fprintf(&data, " %s %s %s %d %d", rx, ry, turn, large, sweep)
			to := pair()
			arcs[len(pts)] = arc{at, to, exact(rx), exact(ry), exact(turn), large == 1, sweep == 1}
			pts = append(pts, to) // takes the place of the arc's cubics
			at = to
		}
		last = cmd
	}
	return data.String(), func(segments func(int) int) []exactPoint {
		var out []exactPoint
		k := 0
		for i, p := range pts {
			a, is := arcs[i]
			if !is {
				out = append(out, p)
				continue
			}
			out = append(out, exactArc(a.at, a.rx, a.ry, a.turn, a.large, a.sweep, a.to, segments(k))...)
			k++
		}
		return out
	}
}

// Paths of all commands in nested groups.
func TestPrecision_PathsInNestedTransforms(t *testing.T) {
	const seed = 3
	rnd := rand.New(rand.NewSource(seed))
	worst := 0.0
	for n := range rounds(150, 40) {
		d, points := exactPath(rnd)
		lists, m := randomNest(rnd)
		s := only(t, nest(lists, `<path d="`+d+`"/>`))
		// How many cubics each arc became is ours to choose: read it off.
		var counts []int
		inner := arcJoints(d)
		plain := mustPath(t, d)
		for c, contour := range plain {
			run := 0
			for i := range contour.Segments {
				if inner[joint{c, i}] {
					run++
				} else if run > 0 {
					counts = append(counts, run+1)
					run = 0
				}
			}
		}
		if strings.Count(strings.ToLower(d), "a") != len(counts) {
			continue // an arc of one cubic only: seldom
		}
		want := points(func(k int) int { return counts[k] })
		for i := range want {
			want[i] = m.apply(want[i])
		}
		off := compareExact(t, fmt.Sprintf("seed %d, path %d", seed, n), controls(s.Path), want)
		if worst = math.Max(worst, off); 3*off > maxErrorMM {
			t.Errorf("seed %d, path %d is off by %g mm: %s in %s", seed, n, 3*off, d, lists)
		}
	}
	t.Logf("figures: control points of paths at 300 mm within %.1g mm of exact arithmetic", 3*worst)
}

// Circles, ellipses, rectangles with round corners, lines and polygons, in nested
// groups and nested viewports.
func TestPrecision_Shapes(t *testing.T) {
	const seed = 5
	rnd := rand.New(rand.NewSource(seed))
	worst := 0.0
	check := func(what string, p geometry.Path, want []exactPoint, m exactMatrix) {
		t.Helper()
		for i := range want {
			want[i] = m.apply(want[i])
		}
		off := compareExact(t, what, controls(p), want)
		if worst = math.Max(worst, off); 3*off > maxErrorMM {
			t.Errorf("seed %d: %s is off by %g mm", seed, what, 3*off)
		}
	}
	v := func(from, to float64) (string, num) {
		s := decimals(rnd, from, to)
		return s, exact(s)
	}
	for range rounds(40, 10) {
		lists, m := randomNest(rnd)
		cx, ecx := v(20, 80)
		cy, ecy := v(20, 80)
		rx, erx := v(1, 40)
		ry, ery := v(1, 40)
		svg := fmt.Sprintf(`<ellipse cx="%s" cy="%s" rx="%s" ry="%s"/>`, cx, cy, rx, ry)
		p := only(t, nest(lists, svg)).Path
		frame := exactMatrix{erx, whole(0), whole(0), ery, ecx, ecy}
		start := exactPoint{add(ecx, erx), ecy}
		check(svg, p, append([]exactPoint{start}, exactUnitArc(frame, whole(0), mul(whole(2), exactPi), len(p[0].Segments))...), m)

		w, ew := v(30, 50)
		h, eh := v(30, 50)
		qx, eqx := v(1, 14)
		qy, eqy := v(1, 14)
		svg = fmt.Sprintf(`<rect x="%s" y="%s" width="%s" height="%s" rx="%s" ry="%s"/>`, cx, cy, w, h, qx, qy)
		p = only(t, nest(lists, svg)).Path
		n := (len(p[0].Segments) - 4) / 4 // cubics a corner
		x2, y2 := add(ecx, ew), add(ecy, eh)
		at := func(x, y num) exactPoint { return exactPoint{x, y} }
		corner := func(from, to exactPoint) []exactPoint {
			return exactArc(from, eqx, eqy, whole(0), false, true, to, n)
		}
		want := []exactPoint{at(add(ecx, eqx), ecy), at(sub(x2, eqx), ecy)}
		want = append(want, corner(at(sub(x2, eqx), ecy), at(x2, add(ecy, eqy)))...)
		want = append(want, at(x2, sub(y2, eqy)))
		want = append(want, corner(at(x2, sub(y2, eqy)), at(sub(x2, eqx), y2))...)
		want = append(want, at(add(ecx, eqx), y2))
		want = append(want, corner(at(add(ecx, eqx), y2), at(ecx, sub(y2, eqy)))...)
		want = append(want, at(ecx, add(ecy, eqy)))
		want = append(want, corner(at(ecx, add(ecy, eqy)), at(add(ecx, eqx), ecy))...)
		check(svg, p, want, m)

		svg = fmt.Sprintf(`<polygon points="%s,%s %s,%s %s,%s"/>`, cx, cy, w, h, qx, qy)
		check(svg, only(t, nest(lists, svg)).Path, []exactPoint{at(ecx, ecy), at(ew, eh), at(eqx, eqy)}, m)

		// A viewport in a viewport: scaled alike, in the middle.
		svg = fmt.Sprintf(`<svg x="%s" y="%s" width="40" height="60" viewBox="0 0 7 3" overflow="visible"><polygon points="%s,%s 1,2 3,4"/></svg>`, cx, cy, qx, qy)
		scale := div(whole(40), whole(7))
		box := exactMatrix{scale, whole(0), whole(0), scale, ecx, add(ecy, div(sub(whole(60), mul(whole(3), scale)), whole(2)))}
		check(svg, only(t, nest(lists, svg)).Path, []exactPoint{at(eqx, eqy), at(whole(1), whole(2)), at(whole(3), whole(4))}, m.mul(box))
	}
	t.Logf("figures: control points of shapes at 300 mm within %.1g mm of exact arithmetic", 3*worst)
}

// Large offsets that cancel: a group moved a million units away and its content
// moved back.
func TestPrecision_FarOrigins(t *testing.T) {
	s := only(t, page100(`<g transform="translate(1000000 -2000000) rotate(33.3)"><g transform="rotate(-33.3) translate(-1000000 2000000)"><path d="M12.345 67.89L50 20.5 70 80z"/></g></g>`))
	m := exactTransform("translate", []string{"1000000", "-2000000"}).mul(exactTransform("rotate", []string{"33.3"})).
		mul(exactTransform("rotate", []string{"-33.3"})).mul(exactTransform("translate", []string{"-1000000", "2000000"}))
	var want []exactPoint
	for _, p := range [][2]string{{"12.345", "67.89"}, {"50", "20.5"}, {"70", "80"}} {
		want = append(want, m.apply(exactPoint{exact(p[0]), exact(p[1])}))
	}
	if off := 3 * compareExact(t, "far", controls(s.Path), want); off > maxErrorMM {
		t.Errorf("off by %g mm", off)
	} else {
		t.Logf("figures: from a million units away and back within %.1g mm", off)
	}
}

// The exact arithmetic itself: known values, and sin² + cos² = 1 to ninety digits.
func TestExactArithmetic(t *testing.T) {
	const pi = "3.14159265358979323846264338327950288419716939937510582097494459230781640628620899"
	if d, _ := sub(exactPi, exact(pi)).Float64(); math.Abs(d) > 1e-78 {
		t.Errorf("π is off by %g", d)
	}
	for _, deg := range []string{"30", "-45", "123.4567", "359"} {
		s, c := sinCos(radians(exact(deg)))
		if d, _ := sub(add(mul(s, s), mul(c, c)), whole(1)).Float64(); math.Abs(d) > 1e-85 {
			t.Errorf("%s°: off by %g", deg, d)
		}
	}
	if s, _ := sinCos(radians(exact("30"))); s.Text('f', 60) != exact("0.5").Text('f', 60) {
		t.Errorf("sin 30° is %s", s.Text('f', 60))
	}
}
