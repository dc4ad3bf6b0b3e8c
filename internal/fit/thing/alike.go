package thing

import (
	"math"
	"slices"

	"abut/geometry"
)

const (
	// likeLines is by how much the widths of lines may differ that are drawn with one
	// pen, and likeSizes the sides of what is the same but for a little. A hand that
	// draws them differs by as much, and two sizes that are meant differ by more.
	likeLines = 0.15
	likeSizes = 0.15
	// A word's letters are at most so many times as high as each other (x and l; of the capitals of a script, of which an open one
	// has 3.0), what is less than the first of that over one is a dot, the next one is so much of their height away, a full stop
	// or an apostrophe a third of that (by eye), and they stand side by side at least so much.
	letterTimes  = 2.5
	capitalTimes = 3.3
	letterGap    = 1.0
	markGap      = 0.3
	letterBeside = 0.5
	// fewestLetters are a word: two dots are eyes, and a mouth with them no word.
	fewestLetters = 4
	// fewestLarge of them are no dots, which are so many times as large as strokes are broad at least: those of open faces are
	// one to two times (measured on fifteen).
	fewestLarge = 3
	dotStems    = 0.5
	// Their strokes are as broad as each other but for so much, and most stand on one
	// line, to within this share of the highest.
	likeStems    = 0.45
	likeBaseLine = 0.15
	// No letter lies within another one: so much of the rectangle around the smaller one at
	// most lies in that around its neighbour, where they lean or are set closely.
	letterWithin = 0.5
	// spanTimes is how many times as wide as high what spans letters is at least.
	spanTimes = 4
)

// group finds out which things are alike.
func group(things []Thing) {
	words(things)
	for i := range things {
		things[i].Group = i
	}
	for i := range things {
		for k := range i {
			if things[k].Group == k && alike(&things[i], &things[k]) {
				things[i].Group = k
				break
			}
		}
	}
	chainWords(things)
}

func alike(a, b *Thing) bool {
	if a.Kind != b.Kind || a.Stroke != b.Stroke {
		return false
	}
	switch a.Kind {
	case Line:
		return near(a.WidthMM, b.WidthMM, likeLines) && a.Holed == b.Holed
	case Dash:
		return a.Shape == b.Shape
	case Letter:
		return false
	}
	return near(a.Bounds.Width(), b.Bounds.Width(), likeSizes) && near(a.Bounds.Height(), b.Bounds.Height(), likeSizes) && near(a.AreaMM2, b.AreaMM2, 2*likeSizes)
}

// sameForm reports whether two could be the same letter, as far as one tells without reading: of one size,
// or straight bars of whatever length, such as those of a fence. Letters of one pen have all the same width.
func sameForm(a, b *Thing) bool {
	if !alike(a, b) || a.Kind != Line {
		return alike(a, b)
	}
	return a.bar() && b.bar() || near(a.Bounds.Width(), b.Bounds.Width(), likeSizes) &&
		near(a.Bounds.Height(), b.Bounds.Height(), likeSizes) && near(a.AreaMM2, b.AreaMM2, likeSizes)
}

// bar reports whether a line is straight all along.
func (t *Thing) bar() bool {
	length, breadth := upright(t.Outline)
	return t.AreaMM2 >= evenShare*length*breadth
}

func near(a, b, share float64) bool { return math.Abs(a-b) <= share*math.Max(a, b) }

// words makes letters of things that stand in a row like those of a word. Beads,
// dashes and a row of windows are none.
func words(things []Thing) {
	var open []int
	for i := range things {
		if t := &things[i]; t.Kind != Letter && !t.Stroke {
			open = append(open, i)
		}
	}
	if len(open) < fewestWritten || len(open) > mostLetters {
		return
	}
	open = slices.DeleteFunc(slices.Clone(open), func(i int) bool { return spans(things, i, open) })
	for _, row := range rows(open, func(a, b int) bool { return beside(things[a].Bounds, things[b].Bounds) }) {
		if len(row) >= fewestLetters && wordLike(things, row) || handwriting(things, row) {
			row = append(row, marks(things, row, open)...)
			for _, i := range row {
				things[i].Kind = Letter
			}
		}
	}
}

// marks returns what stands beside the letters of a row as full stops, apostrophes and hyphens do: small, and no further from the
// next letter than two are from each other. Of two rows beside each other both may have one.
func marks(things []Thing, row, open []int) (out []int) {
	high := 0.0
	for _, i := range row {
		high = math.Max(high, things[i].Bounds.Height())
	}
	for _, i := range open {
		b := things[i].Bounds
		if slices.Contains(row, i) || letterTimes*b.Longer() > high {
			continue
		}
		if slices.ContainsFunc(row, func(k int) bool {
			gap, overlap := apart(b, things[k].Bounds)
			return gap <= markGap*high && overlap >= letterBeside*b.Height()
		}) {
			out = append(out, i)
		}
	}
	return out
}

// apart returns how far apart two rectangles lie side by side, less than 0 where one is above the other, and how much of their
// heights they have in common.
func apart(a, b geometry.Rect) (gap, overlap float64) {
	return math.Max(a.Min.X, b.Min.X) - math.Min(a.Max.X, b.Max.X), math.Min(a.Max.Y, b.Max.Y) - math.Max(a.Min.Y, b.Min.Y)
}

// spans reports whether a thing is a bar above or beneath others, such as the line under a word or a belt: no letter.
func spans(things []Thing, i int, of []int) bool {
	b, n := things[i].Bounds, 0
	if b.Width() < spanTimes*b.Height() {
		return false
	}
	for _, k := range of {
		if x := things[k].Bounds.Centre().X; k != i && x > b.Min.X && x < b.Max.X {
			n++
		}
	}
	return n > 1
}

// wordLike reports whether what stands in a row could be letters: of even strokes, on
// one line, and no more than twice the same on average, as in mama. Dots and full stops among them say nothing about that.
func wordLike(things []Thing, row []int) bool {
	row, high := largeOnes(things, row)
	if row == nil {
		return false
	}
	same := sameForm
	if levelled(things, row) {
		same = sameDrawn(things, row)
	}
	kinds, stems, based := 0, 0, 0
	for n, i := range row {
		first, mates := true, 0
		for m, k := range row {
			first = first && (m >= n || !same(&things[i], &things[k]))
			if i != k && overlapShare(things[i].Bounds, things[k].Bounds) > letterWithin {
				return false
			}
			if near(things[i].meanMM, things[k].meanMM, likeStems) {
				stems++
			}
			if math.Abs(things[i].Bounds.Max.Y-things[k].Bounds.Max.Y) <= likeBaseLine*high {
				mates++
			}
		}
		if first {
			kinds++
		}
		based = max(based, mates)
	}
	n := len(row)
	return kinds > 1 && 2*kinds >= n && 4*stems >= 3*n*n && 2*based > n
}

// largeOnes returns which in a row are no dots or full stops, and how high the highest is; nil where they are too few for a word,
// with their dots. A crumb, as between the shades of fingers, is none of either.
func largeOnes(things []Thing, row []int) (large []int, high float64) {
	var heights []float64
	for _, i := range row {
		heights = append(heights, things[i].Bounds.Height())
	}
	slices.Sort(heights)
	most, stem := heights[len(row)/2]/letterTimes, math.Inf(1)
	for _, i := range row {
		if t := &things[i]; t.Bounds.Longer() > most {
			large, stem = append(large, i), math.Min(stem, t.meanMM)
		}
	}
	dots := 0
	for _, i := range row {
		if size := things[i].Bounds.Longer(); size <= most && size >= dotStems*stem {
			dots++
		}
	}
	if len(large) < fewestLarge || len(large)+dots < fewestLetters {
		return nil, 0
	}
	return large, heights[len(row)-1]
}

const (
	// likeLevels is by how much, in their height, the heads and feet of capitals of one line differ: round ones reach a little
	// further (common practice: 1 to 3 hundredths).
	likeLevels = 0.04
	// formSteps is how many places there are in each direction at which forms are compared, and otherForm the share of them at
	// which two letters differ at least: an E and an F, or an H and a U, do at a ninth of them.
	formSteps = 12
	otherForm = 0.08
)

// levelled reports whether all in a row are as high as each other on one line, as nothing is but capitals, figures and
// what a machine drew.
func levelled(things []Thing, row []int) bool {
	all := things[row[0]].Bounds
	least := all.Height()
	for _, i := range row {
		all, least = all.Union(things[i].Bounds), math.Min(least, things[i].Bounds.Height())
	}
	return all.Height() <= (1+2*likeLevels)*least
}

// sameDrawn returns what tells whether two in a row are drawn alike: condensed capitals are all of about one size.
func sameDrawn(things []Thing, row []int) func(a, b *Thing) bool {
	forms := map[*Thing]*[formSteps * formSteps]bool{}
	for _, i := range row {
		t, form := &things[i], new([formSteps * formSteps]bool)
		inside := geometry.NewEnclosure(t.Outline)
		step := geometry.Pt(t.Bounds.Width(), t.Bounds.Height()).Mul(1.0 / formSteps)
		for k := range form {
			form[k] = inside.Holds(t.Bounds.Min.Add(geometry.Pt((float64(k%formSteps)+0.5)*step.X, (float64(k/formSteps)+0.5)*step.Y)))
		}
		forms[t] = form
	}
	return func(a, b *Thing) bool {
		if !sameForm(a, b) {
			return false
		}
		differ, one, other := 0, forms[a], forms[b]
		for k := range one {
			if one[k] != other[k] {
				differ++
			}
		}
		return float64(differ) < otherForm*formSteps*formSteps
	}
}

const (
	// windingTimes is how many times as long as the diagonal of its box a line is at least in which letters are joined: the two
	// legs and the arch of an n are twice as long.
	windingTimes = 2.2
	// fewestWritten are handwriting: one that is joined, and another one, such as an initial.
	fewestWritten = 2
	// writtenTimes is how many times as wide as high it is at least.
	writtenTimes = 1.2
	// writtenBold is how broad the strokes of joined letters are at most for their height: those of the boldest types are about
	// a quarter of it (common practice). What is broader is a crumb with a ragged edge.
	writtenBold = 0.25
)

// handwriting reports whether what stands in a row could be letters of which some are joined, with their dots: lines of about one
// width of which one winds to and fro. A crumb beside a ground with holes is no dot.
func handwriting(things []Thing, row []int) bool {
	if len(row) < fewestWritten {
		return false
	}
	all, winds := geometry.EmptyRect(), -1
	for _, i := range row {
		t := &things[i]
		all = all.Union(t.Bounds)
		diagonal := t.Bounds.Max.Sub(t.Bounds.Min).Len()
		if t.Kind == Line && t.WidthMM <= writtenBold*t.Bounds.Height() && t.AreaMM2 >= windingTimes*diagonal*t.WidthMM && (winds < 0 || t.AreaMM2 > things[winds].AreaMM2) {
			winds = i
		}
	}
	if winds < 0 || all.Width() < writtenTimes*all.Height() {
		return false
	}
	return !slices.ContainsFunc(row, func(i int) bool {
		t := &things[i]
		dot := letterTimes*t.Bounds.Height() <= things[winds].Bounds.Height() && t.Outline.Bounds().Longer() >= things[winds].WidthMM
		return !dot && !near(t.WidthMM, things[winds].WidthMM, likeStems)
	})
}

// closeTimes is how far apart, in their own size, alike things are at most that are one
// pattern, such as the holes of a button.
const closeTimes = 1.5

// Cluster returns the rectangle around a thing and those of its group that lie close to it, or
// to one that does.
func Cluster(things []Thing, i int) geometry.Rect {
	all, size := things[i].Bounds, things[i].Bounds.Longer()
	for grown := true; grown; {
		grown = false
		for k := range things {
			b := things[k].Bounds
			if things[k].Group == things[i].Group && !all.Encloses(b) && !all.Grow(closeTimes*size).Intersect(b).Empty() {
				all, grown = all.Union(b), true
			}
		}
	}
	return all
}

// overlapShare returns which share of a rectangle lies in another one.
func overlapShare(a, b geometry.Rect) float64 {
	both := a.Intersect(b)
	if both.Empty() {
		return 0
	}
	return both.Width() * both.Height() / (a.Width() * a.Height())
}

// mostLetters is how many things a layer may have that are looked at for words:
// each is compared with each.
const mostLetters = 400

// nextGap is how far from the one before a letter of a text is at most, in the size of the larger one, that is of its word whatever
// way the line goes there, such as around a rim: the next line of a text is further away.
const nextGap = 0.25

// chainWords gives letters of one row one group, and those of a word on a curve.
func chainWords(things []Thing) {
	var letters []int
	for i := range things {
		if things[i].Kind == Letter {
			letters = append(letters, i)
		}
	}
	for _, row := range rows(letters, func(a, b int) bool {
		return beside(things[a].Bounds, things[b].Bounds) || stop(things[a].Bounds, things[b].Bounds) || next(&things[a], &things[b])
	}) {
		for _, i := range row {
			things[i].Group = row[0]
		}
	}
}

// rows joins things of which one stands beside the other.
func rows(which []int, beside func(a, b int) bool) [][]int {
	of := make([]int, len(which))
	for n := range which {
		of[n] = n
		for k := range n {
			if of[k] != of[n] && beside(which[n], which[k]) {
				from, to := max(of[n], of[k]), min(of[n], of[k])
				for x := range n + 1 {
					if of[x] == from {
						of[x] = to
					}
				}
			}
		}
	}
	var out [][]int
	at := map[int]int{}
	for n, i := range which {
		k, ok := at[of[n]]
		if !ok {
			k = len(out)
			at[of[n]] = k
			out = append(out, nil)
		}
		out[k] = append(out[k], i)
	}
	return out
}

// next reports whether one comes right after the other in the order in which a text is written.
func next(a, b *Thing) bool {
	if a.Text == "" || a.Text != b.Text || a.Shape-b.Shape > 1 || b.Shape-a.Shape > 1 {
		return false
	}
	size := 0.0
	for _, r := range [...]geometry.Rect{a.Bounds, b.Bounds} {
		size = math.Max(size, r.Longer())
	}
	return !a.Bounds.Grow(nextGap * size).Intersect(b.Bounds).Empty()
}

// stop reports whether one of two letters is much lower than the other and stands beside it, such as a hyphen or a full stop.
func stop(a, b geometry.Rect) bool {
	gap, overlap := apart(a, b)
	return gap <= letterGap*math.Max(a.Height(), b.Height()) && overlap >= letterBeside*math.Min(a.Height(), b.Height())
}

// beside reports whether two things stand like letters of a word: or one over the
// other, as the dots of an ü do.
func beside(a, b geometry.Rect) bool {
	low, high := math.Min(a.Height(), b.Height()), math.Max(a.Height(), b.Height())
	gap, overlap := apart(a, b)
	if gap < 0 && -overlap <= letterGap*high/2 && high >= letterTimes*low {
		return true // a dot over a letter
	}
	return gap <= letterGap*high && overlap > 0 && overlap >= letterBeside*low && high <= capitalTimes*low
}
