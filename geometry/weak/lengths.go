package weak

import "fmt"

// MinWidthMM is the narrowest width that can be asked for. What is shrunk and
// grown again must lie further over its own outline than rounding moves either:
// slack less twice the sagitta is a thousandth of the width, and must not be less
// than two steps of planar's grid.
const MinWidthMM = 0.2

// WidthError says that the width asked for is less than MinWidthMM.
type WidthError struct{ WidthMM float64 }

func (e *WidthError) Error() string {
	return fmt.Sprintf("weak: a width of %g mm, the least is %g mm", e.WidthMM, MinWidthMM)
}

// lengths are what the search takes to be small, in millimetres: shares of the
// width asked for, so that art twice as large and twice the width give the same
// spots, twice as large. The shares are those of a width of 1 mm.
type lengths struct {
	// width is the narrowest that is not thin, and r the radius of a disc of it.
	width, r float64
	// thin is the radius below which a disc is one of a thin place: half of what may
	// be found or not less than r, for what was drawn just as broad as the width is
	// so but for rounding.
	thin float64
	// sample is how far apart the outline is asked for its width. A waist between
	// two arcs of radius ρ is found from a deficit of some sample²/(4ρ) on: a
	// fourhundredth of the width at ρ = one width.
	sample float64
	// sagitta is how far the arcs of offsets may be off; two of them add up to a
	// fifth of what the found width may be wrong, in the worst case 2.5 %.
	sagitta float64
	// slack is how much further a shrunk piece is grown back, so that rounding and
	// chords leave no hairlines along an outline that is not thin: two sagittas
	// and a fifth.
	slack float64
	// bar is half the width of the bars across a waist: so much that what two
	// circles leave between them there, less than a sample long, is in the bar.
	bar float64
	// jump is how far apart places on the outline may lie that follow each other:
	// five samples, for around a corner they lie askew.
	jump float64
	// step is how near points of an outline may lie whose direction is rounding
	// and no corner: the chords of a sagitta are longer.
	step float64
	// same is how near another line of a spine a place of it may lie and count as
	// the other's: both sides of a thin place have the same middle, and samples
	// on either are half of one apart.
	same float64
	// straight is how far the centres of discs may lie off one line of a spine:
	// far less than the stroke is broader than what it covers.
	straight float64
	// simple is how far a broadened outline may stray: less than what it is
	// broadened by beyond the narrowest width. Without it many rounds of broadening
	// would end in a heap of tiny corners.
	simple float64
	// nothing is what float arithmetic may make of no length at all, and close how
	// exactly the radius of a disc is found.
	nothing, close float64
	// straightOn is the height above a side that is but rounding.
	straightOn float64
}

func lengthsFor(width float64) lengths {
	return lengths{
		width:    width,
		r:        width / 2,
		thin:     0.4975 * width,
		sample:   0.1 * width,
		sagitta:  0.0025 * width,
		slack:    0.006 * width,
		bar:      0.06 * width,
		jump:     0.5 * width,
		step:     0.03 * width,
		same:     0.04 * width,
		straight: 0.006 * width,
		simple:   0.004 * width,
		nothing:  1e-6 * width,
		close:    1e-7 * width,

		straightOn: 1e-9 * width,
	}
}
