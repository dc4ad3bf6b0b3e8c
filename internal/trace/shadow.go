package trace

import (
	"context"
	"math"
	"slices"
)

// A hand, a telephone or a window's frame casts a shadow on a drawing that is photographed,
// and no surface of the second degree follows one. Its edge is soft, and those of what is
// drawn are sharp: what of a picture's brightness changes little by little is light, and what
// changes at once is drawn (E. Land and J. McCann, "Lightness and retinex theory", 1971; as a
// field that is solved for, B. Horn, "Determining lightness from an image", 1974).

// field is the light on a picture at places some pixels apart, each linked to those beside it.
type field struct {
	w, h  int
	at    []rgba
	links []link
	// bright are the logarithms of how bright the picture is, light those of how bright its
	// paper is, and colours those of how bright each colour is there.
	bright, light []float64
	colours       [3][]float64
}

// link says that from place a to place b light changes as brightness does, or that an edge hides how.
type link struct {
	a, b int
	soft bool
}

const (
	// mostPlaces is how many places of a field there are along the longer side: with 128 narrow paper between
	// strokes had none, and the shadow stayed there.
	mostPlaces = 192
	// sharpStep is by how much the logarithm of brightness changes from a pixel to the next but one
	// at an edge of something drawn; the edge of a hand's shadow is ten times as broad.
	sharpStep = 0.035
	// sharpTone is how far tones are apart there.
	sharpTone = 0.02
	// darkest is the brightness below which grain hides how light changes.
	darkest = 40
	// across is how much it weighs that light goes on evenly where an edge hides how it does.
	across = 0.02
	// leastPlaces are along the shorter side of a picture that is looked at.
	leastPlaces = 8
	// settled is the step of the logarithm from which on nothing would be seen of another round.
	settled = 1e-5
	// leastPaper is the share of a picture that is paper, and leastShade that which a shadow makes
	// another ink.
	leastPaper, leastShade = 0.25, 0.03
	// toneOfShade is by how much the share of a colour in a shadow is another than in the light, at most: a
	// shadow that only the sky lights is bluer, and a wash of paint is of its own colour.
	toneOfShade = 0.015
	// seenShade is a shadow that is seen, clearShade one that is darker than pale greys that are drawn, of which
	// edges may be as soft, and darkestShade one that hides what is drawn.
	seenShade, clearShade, darkestShade = 0.08, 0.14, 1.2
	// onPaper is how much it weighs that paper is paper.
	onPaper = 0.1
	// paperStrays is by how much paper differs from one place to another once the light is even.
	paperStrays = 0.04
)

// shadow returns the light of each colour on a picture without grain where a shadow lies on its
// paper; nil where none is seen, or a surface follows the light as well.
func (p *picture) shadow(ctx context.Context, surface lamp) (*field, error) {
	f := newField(p)
	if f == nil {
		return nil, nil
	}
	var err error
	if f.light, err = f.solve(ctx, f.bright, f.brighter, nil); err != nil {
		return nil, err
	}
	even := make([]float64, len(f.bright))
	for i, v := range f.bright {
		even[i] = v - f.light[i]
	}
	at, share := paperIn(even)
	for i, v := range f.bright {
		f.light[i] += at
		even[i] = v - surface((float64(i%f.w)+0.5)/float64(f.w), (float64(i/f.w)+0.5)/float64(f.h))[0]
	}
	sheets := f.sheets()
	paper := slices.Concat(sheets...)
	if share < leastPaper || !f.isShade(paper) || float64(shaded(sheets, even)) < leastShade*float64(len(even)) {
		return nil, nil
	}
	return f, f.colour(ctx, paper)
}

// shaded counts the places of paper that are darker than most of what hangs together with them.
func shaded(sheets [][]int, even []float64) (n int) {
	for _, sheet := range sheets {
		of := make([]float64, len(sheet))
		for j, i := range sheet {
			of[j] = even[i]
		}
		at, _ := paperIn(of)
		for _, v := range of {
			if v < at-clearShade {
				n++
			}
		}
	}
	return n
}

// newField reads a picture without grain at the places of a field; nil where it is too small.
func newField(p *picture) *field {
	side := math.Max(2, math.Ceil(float64(max(p.w, p.h))/mostPlaces))
	f := &field{w: int(float64(p.w) / side), h: int(float64(p.h) / side)}
	if min(f.w, f.h) < leastPlaces {
		return nil
	}
	pixel := func(i int) int { return int((float64(i/f.w)+0.5)*side)*p.w + int((float64(i%f.w)+0.5)*side) }
	f.at, f.bright = make([]rgba, f.w*f.h), make([]float64, f.w*f.h)
	for i := range f.at {
		f.at[i] = p.pix[pixel(i)]
		f.bright[i] = math.Log(math.Max(1, float64(f.at[i].brightness())))
		if i%f.w > 0 {
			f.links = append(f.links, link{i - 1, i, soft(p, pixel(i-1), pixel(i), 1)})
		}
		if i >= f.w {
			f.links = append(f.links, link{i - f.w, i, soft(p, pixel(i-f.w), pixel(i), p.w)})
		}
	}
	return f
}

// soft reports whether brightness changes little by little from one pixel to another.
func soft(p *picture, a, b, by int) bool {
	for i := a; i+by <= b; i += by {
		c, d := p.pix[i], p.pix[min(i+2*by, b)]
		u, v := float64(c.brightness()), float64(d.brightness())
		if u < darkest || v < darkest || math.Abs(math.Log(v/u)) > sharpStep || c.tone(d) > sharpTone {
			return false
		}
	}
	return true
}

// brighter returns by how much brightness grows along a link.
func (f *field) brighter(l link) float64 { return f.bright[l.b] - f.bright[l.a] }

// solve finds the light that grows along soft links as said, a logarithm: least squares by
// conjugate gradients, each place weighed by what its links weigh. Known is the light at some
// places; without any, how bright it is all over is not known. It begins with what is nearly so.
func (f *field) solve(ctx context.Context, nearly []float64, grows func(l link) float64, known map[int]float64) ([]float64, error) {
	n, out := len(nearly), slices.Clone(nearly)
	weight, rest := make([]float64, n), make([]float64, n) // rest is the right side less what the solution makes of it
	for _, l := range f.links {
		k, by := l.weight(), out[l.a]-out[l.b]
		if l.soft {
			by += grows(l)
		}
		weight[l.a] += k
		weight[l.b] += k
		rest[l.a] -= k * by
		rest[l.b] += k * by
	}
	holds := make([]float64, n)
	for i, v := range known {
		holds[i] = onPaper
		weight[i] += onPaper
		rest[i] += onPaper * (v - out[i])
	}
	z, dir, of := make([]float64, n), make([]float64, n), make([]float64, n)
	was := math.Inf(1)
	for range 4 * (f.w + f.h) {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		now, most := 0.0, 0.0
		for i := range z {
			z[i] = rest[i] / weight[i]
			now += z[i] * rest[i]
			most = math.Max(most, math.Abs(z[i]))
		}
		if most < settled {
			break
		}
		for i := range dir {
			dir[i] = z[i] + now/was*dir[i]
		}
		was = now
		for i := range of {
			of[i] = holds[i] * dir[i]
		}
		for _, l := range f.links {
			d := l.weight() * (dir[l.a] - dir[l.b])
			of[l.a] += d
			of[l.b] -= d
		}
		bend := 0.0
		for i := range dir {
			bend += dir[i] * of[i]
		}
		for i := range out {
			out[i] += now / bend * dir[i]
			rest[i] -= now / bend * of[i]
		}
	}
	return f.blurred(out), nil
}

// weight is how much it counts that light changes so.
func (l link) weight() float64 {
	if l.soft {
		return 1
	}
	return across
}

// blurred returns means over some places: thin pale strokes are no light.
func (f *field) blurred(of []float64) []float64 {
	const around = 1
	out := make([]float64, len(of))
	for i := range out {
		x, y := i%f.w, i/f.w
		sum, n := 0.0, 0.0
		for v := max(0, y-around); v <= min(f.h-1, y+around); v++ {
			for u := max(0, x-around); u <= min(f.w-1, x+around); u++ {
				sum += of[v*f.w+u]
				n++
			}
		}
		out[i] = sum / n
	}
	return out
}

// paperIn returns how bright paper is, as a logarithm, and which share of the places are paper:
// the brightest there is much of.
func paperIn(even []float64) (at, share float64) {
	sorted := slices.Clone(even)
	slices.Sort(sorted)
	best, lo := 0, 0
	for hi := range sorted {
		for sorted[hi]-sorted[lo] > 2*paperStrays {
			lo++
		}
		if n := hi - lo + 1; n > best && len(sorted)-hi <= len(sorted)/20+1 { // hardly anything is brighter
			best, at = n, sorted[(hi+lo)/2]
		}
	}
	return at, float64(best) / float64(len(sorted))
}

// isShade reports whether what darkens the paper is a shadow: it takes away from all colours nearly
// alike, leaves a third of the light, and comes in from the picture's edge, as the light beside it does.
// Washes of colour and soft pencil do not.
func (f *field) isShade(paper []int) bool {
	least, most := slices.Min(f.light), slices.Max(f.light)
	if most-least > darkestShade {
		return false
	}
	half := (least + most) / 2
	var n, red, blue [2]float64 // in the light, and in the shade
	for _, i := range paper {
		k := 0
		if f.light[i] <= half {
			k = 1
		}
		r, b := f.at[i].tones()
		n[k], red[k], blue[k] = n[k]+1, red[k]+r, blue[k]+b
	}
	if min(n[0], n[1]) == 0 {
		return false
	}
	for k := range n {
		red[k], blue[k] = red[k]/n[k], blue[k]/n[k]
	}
	return math.Max(math.Abs(red[0]-red[1]), math.Abs(blue[0]-blue[1])) < toneOfShade &&
		math.Max(math.Abs(red[0]-1.0/3), math.Abs(blue[0]-1.0/3)) < whiteInLight &&
		f.comesIn(func(i int) bool { return f.light[i] < most-seenShade }) && f.comesIn(func(i int) bool { return f.light[i] > half })
}

// tones returns which share of its brightness is red, and which blue.
func (c rgba) tones() (red, blue float64) {
	return shares(float64(c[0]), float64(c[1]), float64(c[2]))
}

// shares returns which share of three is the first, and which the last.
func shares(red, green, blue float64) (first, last float64) {
	sum := math.Max(1, red+green+blue)
	return red / sum, blue / sum
}

// tone returns by how much the tones of two colours differ.
func (c rgba) tone(d rgba) float64 {
	r, b := c.tones()
	s, e := d.tones()
	return math.Max(math.Abs(r-s), math.Abs(b-e))
}

// sheets returns the places that are paper under even light, and those that are reached from them
// without an edge: what hangs together so is one sheet.
func (f *field) sheets() (out [][]int) {
	beside := make([][]int32, len(f.bright))
	for _, l := range f.links {
		if l.soft {
			beside[l.a], beside[l.b] = append(beside[l.a], int32(l.b)), append(beside[l.b], int32(l.a))
		}
	}
	in := make([]bool, len(f.bright))
	for i := range in {
		if in[i] || math.Abs(f.bright[i]-f.light[i]) >= paperStrays {
			continue
		}
		in[i] = true
		sheet := []int{i}
		for k := 0; k < len(sheet); k++ {
			for _, j := range beside[sheet[k]] {
				if !in[j] {
					in[j], sheet = true, append(sheet, int(j))
				}
			}
		}
		out = append(out, sheet)
	}
	return out
}

// comesIn reports whether all such places but a fiftieth of the picture hang together, over others
// of them, with its edge.
func (f *field) comesIn(such func(i int) bool) bool {
	within, seen := 0, make([]bool, len(f.light))
	var queue []int
	for i := range f.light {
		if !such(i) {
			continue
		}
		within++
		if x, y := i%f.w, i/f.w; x == 0 || y == 0 || x == f.w-1 || y == f.h-1 {
			seen[i], queue = true, append(queue, i)
		}
	}
	for len(queue) > 0 {
		i := queue[len(queue)-1]
		queue = queue[:len(queue)-1]
		within--
		x, y := i%f.w, i/f.w
		for _, d := range [4][2]int{{-1, 0}, {1, 0}, {0, -1}, {0, 1}} {
			u, v := x+d[0], y+d[1]
			if k := v*f.w + u; u >= 0 && v >= 0 && u < f.w && v < f.h && !seen[k] && such(k) {
				seen[k], queue = true, append(queue, k)
			}
		}
	}
	return 50*within <= len(f.light)
}

// colour finds the light of each colour: a shadow is a little bluer than what lies in the sun, and
// would be another ink.
func (f *field) colour(ctx context.Context, paper []int) (err error) {
	for k := range f.colours {
		// Of what is dark in a colour grain is more than light.
		grows := func(l link) float64 {
			if a, b := f.at[l.a][k], f.at[l.b][k]; min(a, b) >= darkest {
				return math.Log(float64(b) / float64(a))
			}
			return f.brighter(l)
		}
		known, mean := map[int]float64{}, 0.0
		for _, i := range paper {
			if c := f.at[i][k]; c >= darkest && math.Abs(f.bright[i]-f.light[i]) < paperStrays {
				known[i] = math.Log(float64(c))
				mean += known[i] - f.light[i]
			}
		}
		for i := range known { // paper keeps its colour
			known[i] -= mean / float64(len(known))
		}
		if f.colours[k], err = f.solve(ctx, f.light, grows, known); err != nil {
			return err
		}
	}
	return nil
}

// on returns the logarithms of the light of each colour at a place from 0 0 to 1 1.
func (f *field) on(x, y float64) (out [3]float64) {
	u := math.Max(0, math.Min(float64(f.w-1), x*float64(f.w)-0.5))
	v := math.Max(0, math.Min(float64(f.h-1), y*float64(f.h)-0.5))
	i, j := min(int(u), f.w-2), min(int(v), f.h-2)
	s, t, at := u-float64(i), v-float64(j), j*f.w+i
	for k, l := range f.colours {
		out[k] = (l[at]*(1-s)+l[at+1]*s)*(1-t) + (l[at+f.w]*(1-s)+l[at+f.w+1]*s)*t
	}
	return out
}
