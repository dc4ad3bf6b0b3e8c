package planar

import (
	"cmp"
	"slices"
)

// Border is what two pieces have in common, or a piece and what nobody owns.
type Border struct {
	// A and B index Division.Pieces; A is None for unowned places, else less
	// than B.
	A, B int32
	// LengthMM is the total length of the seams that they share. Pieces that
	// touch at points only share none and have no border.
	LengthMM float64
	// Seams index Division.Seams.
	Seams []int32
}

// Borders lists who touches whom, ordered by A and then by B.
func (d *Division) Borders() []Border {
	seams := make([]int32, len(d.Seams))
	for i := range seams {
		seams[i] = int32(i)
	}
	pair := func(s int32) (a, b int32) {
		l, r := d.Seams[s].Left, d.Seams[s].Right
		return min(l, r), max(l, r)
	}
	slices.SortStableFunc(seams, func(s, t int32) int {
		a, b := pair(s)
		c, e := pair(t)
		return cmp.Or(cmp.Compare(a, c), cmp.Compare(b, e))
	})
	var out []Border
	for _, s := range seams {
		a, b := pair(s)
		if n := len(out); n == 0 || out[n-1].A != a || out[n-1].B != b {
			out = append(out, Border{A: a, B: b})
		}
		last := &out[len(out)-1]
		last.LengthMM += d.Seams[s].LengthMM
		last.Seams = append(last.Seams, s)
	}
	return out
}
