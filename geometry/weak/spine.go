package weak

import (
	"abut/geometry"
)

// spine joins the centres of discs that follow each other along the outline. A
// point's are left out near its tip, which a disc of radius r further back
// covers.
func spine(discs []disc, r float64, point bool, tip geometry.Point) [][2]geometry.Point {
	var kept []disc
	if point {
		furthest := discs[0]
		for _, d := range discs {
			if d.c.Sub(tip).Len() > furthest.c.Sub(tip).Len() {
				furthest = d
			}
			if d.c.Sub(tip).Len() >= r-barMM {
				kept = append(kept, d)
			}
		}
		if len(kept) == 0 {
			kept = append(kept, furthest)
		}
	} else {
		kept = discs
	}
	// Both sides of a thin place have the same middle: what another line covers
	// is left out.
	var out [][2]geometry.Point
	const same = 0.04
	covered := func(p geometry.Point) bool {
		for _, l := range out {
			if (&side{a: l[0], b: l[1]}).distance(p) < same {
				return true
			}
		}
		return false
	}
	for i := 0; i < len(kept); {
		// A straight run becomes one line.
		k := i
		for k+1 < len(kept) && kept[k+1].run == kept[i].run && straightRun(kept[i:k+2]) {
			k++
		}
		a, b := kept[i].c, kept[k].c
		if !(covered(a) && covered(b) && covered(a.Lerp(b, 0.5))) {
			out = append(out, [2]geometry.Point{a, b})
		}
		if k > i && k+1 < len(kept) && kept[k+1].run == kept[i].run {
			i = k // lines of a run share their ends
		} else if k+1 < len(kept) && kept[k+1].run == kept[k].run && kept[k+1].c.Sub(b).Len() < r {
			out = append(out, [2]geometry.Point{b, kept[k+1].c})
			i = k + 1
		} else {
			i = k + 1
		}
	}
	return out
}

func (s *side) distance(p geometry.Point) float64 {
	if s.a == s.b {
		return s.a.Sub(p).Len()
	}
	return s.nearest(p).Sub(p).Len()
}

// straightRun reports whether the centres between lie on the line from the
// first to the last.
func straightRun(discs []disc) bool {
	const off = 0.006
	l := side{a: discs[0].c, b: discs[len(discs)-1].c}
	for i := range discs {
		if l.distance(discs[i].c) > off {
			return false
		}
	}
	return true
}
