package mend

import (
	"math"
	"slices"
)

const (
	// sameSize is how much larger one of two letters may be of one size: an I and a W that stand askew.
	sameSize = 1.6
	// sameStroke is how much broader the strokes of one may be.
	sameStroke = 1.2
)

const (
	// sameDots is how many times as large as one of them another of a few dots may be, and dotsApart how far
	// apart, in the size of the larger, one is from the next.
	sameDots  = 2
	dotsApart = 2
)

// goesWith reports whether two are of one text, or lettering of one kind, such as the numerals of a dial, or small things of one
// colour and about one size side by side, such as the laces of a shoe, each a layer of its own: bold and thin, or large and
// small, beside each other they would look like a mistake.
func (a *attempt) goesWith(b *attempt) bool {
	if a.of != b.of {
		return false
	}
	if a.small && b.small {
		return within(a.size, b.size, sameDots) && slices.ContainsFunc(a.members, func(x member) bool {
			near := x.bounds.Grow(dotsApart * math.Max(a.size, b.size))
			return slices.ContainsFunc(b.members, func(y member) bool { return !near.Intersect(y.bounds).Empty() })
		})
	}
	if a.text != "" && a.layer == b.layer && a.text == b.text {
		return true // on a curve or askew each letter may stand alone, and an A has thinner strokes than a B
	}
	return a.letters() && b.letters() && within(a.size, b.size, sameSize) && within(a.stem, b.stem, sameStroke)
}

// within reports whether one of two values is no more than some times the other.
func within(a, b, times float64) bool { return math.Max(a, b) < times*math.Min(a, b) }

// together divides attempts into those that go with each other, one way or another.
func together(attempts []*attempt) (sets [][]*attempt) {
	for _, a := range attempts {
		set := []*attempt{a}
		sets = slices.DeleteFunc(sets, func(s []*attempt) bool {
			if a.letters() && slices.ContainsFunc(s, a.goesWith) {
				set = append(set, s...)
				return true
			}
			return false
		})
		sets = append(sets, set)
	}
	return sets
}

// manner is how letters are drawn anew: those that go with each other all are so in the same one.
type manner uint8

const (
	hairlines  manner = iota // broader, and the stems as they are
	spaced                   // likewise, and further apart
	bolder                   // evenly so
	rims                     // where what shows of them around others is thin
	larger                   // and all of that
	muchLarger               // likewise
	largest
	onlyLarger
	manners = iota
)

// in returns the option of an attempt that is good in a manner, or of a word that needs no more what comes nearest to it; −1
// without any.
func (a *attempt) in(m manner) int {
	for _, m := range [...][]manner{hairlines: {hairlines, bolder}, spaced: {spaced, hairlines, bolder}, bolder: {bolder}, rims: {rims}, larger: {larger}, muchLarger: {muchLarger}, largest: {largest}, onlyLarger: {onlyLarger}}[m] {
		if n := slices.Index(a.manners, m); n >= 0 {
			if _, good := a.good[n]; good {
				return n
			}
		}
	}
	return -1
}

// crowdedTimes is how many times as much there is at least to do about what letters leave of something else, as there was, where
// they are crowded: larger ones are better, however little that is.
const crowdedTimes = 1.25

// prefer finds the best of what was tried so far about things that go together: of lettering the same about each, and of that
// and of outlines nothing that comes later, and changes more of the look, unless it is clearly better.
func prefer(set []*attempt) {
	ways, best := len(set[0].options), 0.0
	if set[0].letters() {
		ways = manners
	}
	spaces := 0.0 // that there were
	for _, a := range set {
		best += a.before.all()
		spaces += a.before.spaces
	}
	found, crowded := false, false
	for way := range ways {
		picked := make([]int, len(set))
		left, narrow := 0.0, 0.0
		for i, a := range set {
			if picked[i] = way; a.letters() {
				picked[i] = a.in(manner(way))
			}
			rest, good := a.good[picked[i]]
			if !good {
				left = math.Inf(1)
				break
			}
			left += rest.all()
			narrow += rest.spaces
		}
		least := best
		// Evenly broader than they must be leaves even less space than there is.
		if more := manner(way) > spaced && (!crowded || manner(way) < larger); found && (set[0].rim || set[0].letters() && more) {
			least *= gainShare
		}
		if left >= least {
			continue
		}
		best, found, crowded = left, true, narrow > crowdedTimes*spaces
		for i, a := range set {
			a.best, a.left = picked[i], a.good[picked[i]]
		}
	}
}

// alike leaves out what goes with others that are not chosen.
func alike(attempts, chosen []*attempt) []*attempt {
	for {
		left := slices.DeleteFunc(slices.Clone(chosen), func(a *attempt) bool {
			return slices.ContainsFunc(attempts, func(b *attempt) bool { return a.goesWith(b) && !slices.Contains(chosen, b) })
		})
		if len(left) == len(chosen) {
			return left
		}
		chosen = left // others may go with those
	}
}
