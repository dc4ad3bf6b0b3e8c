package colour

import "math"

// lightnessFactor is CIEDE2000's parametric factor of lightness, 2 as is usual for
// textiles (CIE 142-2001): tints of one hue are merged before two hues of one
// lightness.
const lightnessFactor = 2

// weight is how much it matters that something of an area changes by a difference.
// A person sees that a small red thing turned grey, but hardly that a large grey one
// is a little darker, so it grows slower than area and faster than the difference.
// By the plain product of both, six colours of the demo picture of a lighthouse had
// no yellow and five no red, while both kept two blues and cream.
func weight(areaMM2, difference float64) float64 {
	return math.Sqrt(math.Max(areaMM2, 0)) * difference * difference
}

// strangeness is how far one colour is from being taken for the other: the
// CIEDE2000 difference, of which lightness counts half, and up to twice that where
// one has less than half of the other's chroma. What was blue and turns grey is
// another thing, and so is grey that turns blue, while a tint is still the blue.
func (p Lab) strangeness(q Lab) float64 {
	d := p.deltaE(q, lightnessFactor)
	less, more := math.Hypot(p.A, p.B), math.Hypot(q.A, q.B)
	if less > more {
		less, more = more, less
	}
	if more < neutral {
		return d
	}
	return d * (1 + math.Max(0, 1-2*less/more))
}

// merger is a Merging whose shades that go together are one.
type merger struct {
	costs
	// change is how much the picture changes, area × ΔE, laid out as the costs.
	change costs
	most   int
	// group is the one of each shade; lab and area are of the largest shade of each.
	group []int
	lab   []Lab
	hue   []float64
	area  []float64
	// goes is where each group has to go, −1 for anywhere; own the group of each
	// candidate's very colour, or −1.
	goes, own []int
	light     []float64 // of each candidate
	things    []thing
	// Of each group: its things and those that it is beside; its pairs of apart;
	// whom it touches.
	thingsOf, apartOf [][]int
	touches           []map[int]bool
}

// thing is what all things of a group with the same neighbours come to.
type thing struct {
	of     int
	beside []int
	weight float64
}

// worth is what a way to merge comes to: how many pairs are together that were to
// be apart, and after that what it costs.
type worth struct{ parted, cost float64 }

func (w worth) plus(o worth) worth { return worth{w.parted + o.parted, w.cost + o.cost} }

// less reports whether w is better than o by more than rounding.
func (w worth) less(o worth) bool {
	if d := w.parted - o.parted; math.Abs(d) > 0.25 {
		return d < 0
	}
	return w.cost < o.cost-1e-9*(1+w.cost)
}

// lostFactor and turnedFactor say what it costs that a thing vanishes, and that two
// shades change places in lightness: as many times what their difference comes to.
// With 4 a thing is kept by a shade that goes twice as far as what the thing itself
// would have gone; much more made rocks teal and the sea yellow so that a wave on it
// stayed, and 1 let go of stripes for which there was another sheet. With 2 a tenth
// as many shades change places as without; 4 made a red hull grey for it.
const (
	lostFactor   = 4
	turnedFactor = 2
)

// all is what a way to merge comes to.
func (m *merger) all(to []int) worth {
	var w worth
	for g := range to {
		w.cost += m.costs[g][to[g]]
		for _, b := range m.apartOf[g] {
			if to[b] == to[g] {
				w.parted += 0.5
			}
		}
		for b := range g {
			if m.related(g, b) {
				w.cost += turnedFactor * m.turned(g, b, m.lab[g].L-m.lab[b].L, m.light[to[g]]-m.light[to[b]])
			}
		}
	}
	for i := range m.things {
		w.cost += lostFactor * m.lost(&m.things[i], to)
	}
	return w
}

func (m *merger) lost(t *thing, to []int) float64 {
	for _, b := range t.beside {
		if to[b] != to[t.of] {
			return 0
		}
	}
	return t.weight
}

// darker is how much darker (in L*) one of two shades must be for anybody to
// remember which it was: about as much as BareDeltaE of package job.
const darker = 2.0

// turned is how much it shows that of two groups that belong together the darker
// one becomes the lighter, by their differences in lightness.
func (m *merger) turned(a, b int, before, after float64) float64 {
	if before*after >= 0 || math.Min(math.Abs(before), math.Abs(after)) < darker {
		return 0
	}
	return weight(math.Min(m.area[a], m.area[b]), math.Abs(before)+math.Abs(after))
}

// neutral is the chroma below which a colour has no hue to speak of, and oneHue
// how far apart, as an angle, shades of one hue lie: a twelfth of the circle, as
// there are twelve names on a painter's colour wheel.
const (
	neutral = 10.0
	oneHue  = math.Pi / 6
)

// related reports whether two groups touch or are of one hue; neutral ones are all
// of one.
func (m *merger) related(a, b int) bool {
	p, q := m.hue[a], m.hue[b]
	if p == noHue || q == noHue {
		return p == q || m.touches[a][b]
	}
	d := math.Abs(p - q)
	return math.Min(d, 2*math.Pi-d) <= oneHue || m.touches[a][b]
}

// noHue stands for the hue of a neutral colour, beyond all angles.
const noHue = 10

func hueOf(p Lab) float64 {
	if math.Hypot(p.A, p.B) < neutral {
		return noHue
	}
	return math.Atan2(p.B, p.A)
}
