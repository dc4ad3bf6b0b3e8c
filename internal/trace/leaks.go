package trace

// beneath are what may shine through between shapes before all inks are known.
func (t *tracer) beneath() []rgba { return []rgba{{255, 255, 255, 255}, {}, t.inks[t.ground].c} }

// leaks reports whether a pixel is a blend of two inks near it, other than its own,
// and some of a ground: programs that smooth one shape after the other let what is
// beneath shine through where two meet.
func (t *tracer) leaks(i int, own uint8, grounds []rgba) bool {
	var room [16]uint8
	set := t.around(i%t.pic.w, i/t.pic.w, room[:0])
	for k, a := range set {
		for _, b := range set[:k] {
			if a == own || b == own {
				continue
			}
			ca, cb := t.inks[a].c, t.inks[b].c
			for _, ground := range grounds {
				if ca == ground || cb == ground {
					continue
				}
				if x, y, off2, ok := mix(t.pic.pix[i], ground, ca, cb); ok && x > 0 && y > 0 && x+y > 0.4 && x+y < 1 && off2 <= t.off2 {
					return true
				}
			}
		}
	}
	return false
}

// fades reports whether a pixel at the rim is more than half an ink near it, and else
// one or two grounds: shapes that end within the last row of pixels let what is beneath
// and beyond them shine through there.
func (t *tracer) fades(i int, own uint8, grounds []rgba) bool {
	var room [16]uint8
	for _, a := range t.around(i%t.pic.w, i/t.pic.w, room[:0]) {
		if a == own {
			continue
		}
		near := t.inks[a].c
		for n, g := range grounds {
			if share, off2 := blend(t.pic.pix[i], g, near, 0); share > 0.5 && share < 1 && off2 <= t.off2 {
				return true
			}
			for _, h := range grounds[:n] {
				if x, y, off2, ok := mix(t.pic.pix[i], g, near, h); ok && x > 0.5 && y > 0 && x+y < 1 && off2 <= t.off2 {
					return true
				}
			}
		}
	}
	return false
}

// atRim reports whether a pixel lies at a side of the picture.
func (t *tracer) atRim(i int) bool {
	x, y := i%t.pic.w, i/t.pic.w
	return x == 0 || y == 0 || x == t.pic.w-1 || y == t.pic.h-1
}
