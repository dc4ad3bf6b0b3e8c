package show

import "math"

// between returns how far something is that begins and ends at these times: 0 before,
// 1 after, slow at both ends.
func (d *drawing) between(from, to float64) float64 {
	x := math.Min(math.Max((d.t-from)/(to-from), 0), 1)
	return x * x * (3 - 2*x)
}

// turn returns when the k-th of n begins and ends, in equal shares of what lies
// between two times, so that they overlap by half.
func turn(k, n int, from, to float64) (begin, end float64) {
	each := (to - from) / (float64(n) + 1)
	begin = from + each*float64(k)
	return begin, begin + 2*each
}
