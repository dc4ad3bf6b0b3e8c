package show

import (
	"cmp"
	"context"
	"math"
	"slices"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/fit"
	"abut/internal/fit/assemble"
	"abut/internal/fit/mend"
	"abut/internal/job"
)

// art is what the drawings are made of: a job as it was drawn, with nothing knocked
// out, and as it is cut when all of it is. Lengths are board millimetres.
type art struct {
	blank colour.RGB
	shape *job.Blank
	// extent is the picture, page what is laid on the carrier.
	extent, page geometry.Rect
	under        *Shape // the blank beneath the picture, as far as it is shown
	// drawn are the sheets as drawn, the lowest first, and cut those that are cut, in
	// order of assembly.
	drawn, cut []sheet
	// stacked is where colours stack as drawn, places how many that are, and
	// impressions what prints there.
	stacked     *Shape
	places      int
	impressions []impression
	// knocks are the largest of the lifts layers that lie over others.
	knocks []knock
	lifts  int
	frame  *Shape
	// before are the sheets that would be cut without mends, nil where none is made.
	before []sheet
	weak   weakSpots
	seam   *seam
}

// sheet is what is cut from one sheet.
type sheet struct {
	of     fit.Material
	name   any
	colour colour.RGB
	all    *Shape
	pieces []*Shape
	area   float64
	carry  assemble.Carry
	bounds geometry.Rect
	// broad is how broad its pieces are on the whole, in millimetres.
	broad float64
	// inks are what a pen draws on it.
	inks []ink
}

// ink is all that a pen of one colour draws on a sheet, as broad as it comes out.
type ink struct {
	shape  *Shape
	colour colour.RGB
}

// impression is a place where colours stack, in about the colour that prints there.
type impression struct {
	shape  *Shape
	colour colour.RGB
}

// knock is one layer that lies over others: upper is all of it, hole where it does.
type knock struct {
	upper, hole *Shape
	of          fit.Material
	beneath     []fit.Material // that with most of it first
	area        float64
	bounds      geometry.Rect
}

// weakSpots are the places that are too fine to cut: open those that are still to be
// mended, mended those that were; at is where to look closely.
type weakSpots struct {
	open, mended []geometry.Point
	at           geometry.Point
	widthMM      float64
}

// seam is a place where two sheets of a plan touch: across points from one to the
// other, which has the number upper in the order of assembly.
type seam struct {
	at, across geometry.Point
	upper      int
}

// whole is all of an outline, shared by the drawings.
func whole(p geometry.Path) *Shape { return &Shape{p} }

// newArt works out what there is to draw of a job. cache may know its plan. Errors as
// fit.Compute.
func newArt(ctx context.Context, cache *fit.Cache, j job.Job) (*art, error) {
	fitted, err := job.KnockOutAll(j)
	if err != nil {
		return nil, err
	}
	plan, err := cache.Compute(ctx, fitted)
	if err != nil {
		return nil, err
	}
	bare, err := job.ClearMends(j)
	if err != nil {
		return nil, err
	}
	lying, err := job.SetKnocks(bare, bare.LayerIDs(), false)
	if err != nil {
		return nil, err
	}
	other := cache.Fork()
	drawn, err := other.Compute(ctx, lying)
	if err != nil {
		return nil, err
	}
	over, err := other.Overlaps(ctx, lying)
	if err != nil {
		return nil, err
	}
	a := &art{blank: j.Settings.BlankColour(), shape: j.Settings.BlankShape, extent: plan.Extent, page: plan.Page}
	a.under = whole(around(plan.Extent).Path())
	a.cut = sheetsOf(plan)
	a.drawn = asDrawn(sheetsOf(drawn), over)
	if plan.Frame != nil {
		a.frame = whole(plan.Frame.Outline)
	}
	if a.places = len(drawn.Stacked.Places); a.places > 0 {
		a.stacked = whole(drawn.Stacked.Outline)
	}
	if err := a.addStacked(ctx, lying, over); err != nil {
		return nil, err
	}
	if err := a.addWeak(ctx, cache, plan, fitted); err != nil {
		return nil, err
	}
	a.seam = findSeam(a.cut)
	return a, nil
}

func sheetsOf(p *fit.Plan) []sheet {
	var out []sheet
	for i := range p.Separations {
		s := &p.Separations[i]
		x := sheet{of: s.Of, name: s.Called(), colour: s.Colour, all: whole(s.Outline), area: s.AreaMM2, carry: s.Carry, bounds: s.Bounds}
		if s.CutMM > 0 {
			x.broad = 2 * s.AreaMM2 / s.CutMM // as of a long strip
		}
		for k := range s.Pieces {
			x.pieces = append(x.pieces, whole(s.Pieces[k].Outline))
		}
		for _, d := range p.Drawings {
			if d.Of == s.Of {
				x.inks = append(x.inks, ink{whole(broad(d.Lines, fit.PenMM)), d.Colour})
			}
		}
		out = append(out, x)
	}
	return out
}

// broad returns lines as broad as a pen draws them, with round ends, to be filled nonzero.
func broad(lines geometry.Path, width float64) geometry.Path {
	const sagittaMM = 0.02 // less than a pixel of any stage
	var outlines geometry.Path
	for _, c := range lines.Flatten(sagittaMM) {
		points := []geometry.Point{c.Start}
		for _, s := range c.Segments {
			points = append(points, s.End)
		}
		if c.Closed {
			points = append(points, c.Start)
		}
		for i := len(points) - 2; i > 0; i-- { // and back
			points = append(points, points[i])
		}
		outlines = append(outlines, geometry.Polygon(points...))
	}
	return geometry.OffsetBand(outlines, width/2, geometry.Join{})
}

// asDrawn returns sheets in the order in which they lie: whichever lies over another
// where they stack comes later, as far as that can be.
func asDrawn(all []sheet, overlaps []fit.Overlap) []sheet {
	of := map[fit.Material]int{}
	over := make([][]float64, len(all)) // over[i][k] is the area where i lies over k
	for i := range over {
		of[all[i].of] = i
		over[i] = make([]float64, len(all))
	}
	for _, x := range overlaps {
		for n, upper := range x.Of {
			for _, lower := range x.Of[:n] {
				over[of[upper]][of[lower]] += x.AreaMM2
			}
		}
	}
	var out []sheet
	left := make([]int, len(all))
	for i := range left {
		left[i] = i
	}
	// The lowest is the one that lies over the others least; larger before smaller.
	for len(left) > 0 {
		least, at := math.Inf(1), 0
		for n, i := range left {
			sum := 0.0
			for _, k := range left {
				sum += over[i][k]
			}
			if sum < least || sum == least && all[i].area > all[left[at]].area {
				least, at = sum, n
			}
		}
		out = append(out, all[left[at]])
		left = slices.Delete(left, at, at+1)
	}
	return out
}

// addStacked takes over what prints where colours stack, and which layers would have to
// be knocked out.
func (a *art) addStacked(ctx context.Context, j job.Job, overlaps []fit.Overlap) error {
	mixes := map[colour.RGB]*Shape{}
	knocks := map[job.LayerID]*knock{}
	area := map[[2]any]float64{} // of a layer over a sheet
	var uppers []job.LayerID
	for _, x := range overlaps {
		n := len(x.Of) - 1
		top := x.Layers[n]
		k := knocks[top]
		if k == nil {
			k = &knock{of: x.Of[n], hole: &Shape{}}
			knocks[top] = k
			uppers = append(uppers, top)
		}
		k.hole.Path = append(k.hole.Path, x.Outline...)
		k.area += x.AreaMM2
		c := x.Of[n].Colour
		for _, lower := range slices.Backward(x.Of[:n]) {
			if !slices.Contains(k.beneath, lower) {
				k.beneath = append(k.beneath, lower)
			}
			area[[2]any{top, lower}] += x.AreaMM2
			c = impress(c, lower.Colour, a.blank)
		}
		if mixes[c] == nil {
			mixes[c] = &Shape{}
			a.impressions = append(a.impressions, impression{mixes[c], c})
		}
		mixes[c].Path = append(mixes[c].Path, x.Outline...)
	}
	slices.SortStableFunc(uppers, func(x, y job.LayerID) int { return cmp.Compare(knocks[y].area, knocks[x].area) })
	a.lifts = len(uppers)
	for _, id := range uppers[:min(len(uppers), maxKnocks)] {
		k := knocks[id]
		slices.SortStableFunc(k.beneath, func(x, y fit.Material) int { return cmp.Compare(area[[2]any{id, y}], area[[2]any{id, x}]) })
		parts, err := fit.Parts(ctx, j, id)
		if err != nil {
			return err
		}
		_, it, _ := j.Layer(id)
		k.upper = &Shape{}
		for _, part := range parts {
			for _, s := range part {
				k.upper.Path = append(k.upper.Path, s.Path.Transform(it.Placement)...)
			}
		}
		k.bounds = k.upper.Path.Bounds()
		a.knocks = append(a.knocks, *k)
	}
	return nil
}

// maxKnocks is how many knock-outs are shown one by one: after three a class has seen
// it, and ten would take the lesson.
const maxKnocks = 3

// impress returns about what prints where an upper sheet's paper lies between a lower
// sheet and the blank: dye of both, the lower one's held back, and all of it paler
// because heat and pressure come through two papers. The shares are our choice: that
// it prints pale and mixed is common practice, how much nobody has measured.
func impress(upper, lower, blank colour.RGB) colour.RGB {
	const (
		ofUpper = 0.65 // of the dye that reaches the blank
		printed = 0.5  // as dark as it would be
	)
	mix := func(u, l, b uint8) uint8 {
		light := func(v uint8) float64 { return max(colour.Linear(float64(v)/255), 1e-3) }
		dye := math.Pow(light(u), ofUpper) * math.Pow(light(l), 1-ofUpper)
		return uint8(math.Round(255 * colour.Encoded(printed*dye+(1-printed)*light(b))))
	}
	return colour.RGB{R: mix(upper.R, lower.R, blank.R), G: mix(upper.G, lower.G, blank.G), B: mix(upper.B, lower.B, blank.B)}
}

// addSpots lists what is too fine, and shows the largest place.
func (w *weakSpots) addSpots(spots []fit.WeakSpot) {
	widest := -1.0
	for i := range spots {
		if s := &spots[i]; !s.Accepted() {
			w.open = append(w.open, s.At)
			if s.AreaMM2 > widest {
				widest, w.at, w.widthMM = s.AreaMM2, s.At, s.WidthMM
			}
		}
	}
}

// addMends lists what was mended, and shows that rather than what was not.
func (w *weakSpots) addMends(mends []fit.MadeMend) {
	widest, thing := -1.0, false
	for _, m := range mends {
		if m.State != mend.Done || m.Do == job.Keep {
			continue
		}
		w.mended = append(w.mended, m.At)
		// What is drawn broader shows best what mending is.
		if is := m.Do.OfThing(); is && !thing || is == thing && m.AreaMM2 > widest {
			widest, thing, w.at, w.widthMM = m.AreaMM2, is, m.At, m.SpotMM
		}
	}
}

// addWeak finds what is too fine to cut, and what mends have made of it.
func (a *art) addWeak(ctx context.Context, cache *fit.Cache, p *fit.Plan, j job.Job) error {
	spots, err := cache.Weak(ctx, p, j)
	if err != nil {
		if ctx.Err() != nil {
			return ctx.Err()
		}
		return nil // so much is thin that nobody could look at it
	}
	a.weak.addSpots(spots)
	a.weak.addMends(p.Mends)
	if len(a.weak.mended) == 0 {
		return nil
	}
	bare, err := job.ClearMends(j)
	if err != nil {
		return err
	}
	before, err := cache.Fork().Compute(ctx, bare)
	if err == nil {
		a.before = sheetsOf(before)
	}
	return err
}

// touchMM is how close two outlines are that touch: chords of one curve are the same
// points, so this forgives rounding alone.
const touchMM = 1e-3

// findSeam returns a place where a sheet touches one before it, nil where none does:
// amid a side, for corners have several neighbours.
func findSeam(sheets []sheet) *seam {
	const looks = 64 // places of each outline: enough to find a border that is worth showing
	flat := make([]geometry.Path, len(sheets))
	for i := range sheets {
		flat[i] = sheets[i].all.Path.Flatten(0.01)
	}
	for upper := 1; upper < len(sheets); upper++ {
		var sides [][2]geometry.Point
		for _, c := range flat[upper] {
			for p, q := range c.Sides() {
				sides = append(sides, [2]geometry.Point{p, q})
			}
		}
		slices.SortStableFunc(sides, func(a, b [2]geometry.Point) int {
			return cmp.Compare(b[1].Sub(b[0]).Len(), a[1].Sub(a[0]).Len())
		})
		for _, s := range sides[:min(looks, len(sides))] {
			at, along := s[0].Lerp(s[1], 0.5), s[1].Sub(s[0])
			if along.Len() == 0 {
				continue
			}
			for lower := range upper {
				if flat[lower].Distance(at) > touchMM {
					continue
				}
				across := geometry.Pt(-along.Y, along.X).Mul(1 / along.Len())
				if in := at.Add(across.Mul(0.1)); !geometry.NewEnclosure(flat[upper]).Holds(in) {
					across = across.Mul(-1)
				}
				return &seam{at, across, upper}
			}
		}
	}
	return nil
}
