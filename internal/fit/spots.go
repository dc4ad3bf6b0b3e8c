package fit

import (
	"context"
	"slices"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/job"
)

// WeakSpot is a place that is hard to cut, weed or carry.
type WeakSpot struct {
	Kind job.SpotKind
	// Piece indexes Plan.Pieces and Separation Plan.Separations; both are −1 for
	// a gap.
	Piece, Separation int
	// Whole: the spot is all of its piece.
	Whole bool
	// At is a place inside, where a neck is narrowest.
	At geometry.Point
	// WidthMM is how broad it truly is: see weak.Spot.
	WidthMM, LengthMM, AreaMM2 float64
	// Outline is the thin part, closed polygons, even-odd.
	Outline geometry.Path
	Bounds  geometry.Rect
	// Neighbours are the separations that it touches, longest border first; a
	// Separation of −1 is what nothing is cut for.
	Neighbours []SpotNeighbour
	// Kept says that a mend keeps it as it is, and Reason why it could not be
	// mended, empty when it is kept on purpose.
	Kept   bool
	Reason string
}

// SpotNeighbour is a separation that a spot touches.
type SpotNeighbour struct {
	Separation int
	LengthMM   float64
}

// Weak returns the weak spots of the plan of job j: where a piece, or a gap
// between pieces, is narrower than the job's narrowest width, and pieces that
// are smaller than its smallest speck. It costs about as much as Compute, and
// more where much is thin; the drag path does without. Where colours stack, each
// separation is looked at by itself and gaps are not looked for.
func Weak(ctx context.Context, p *Plan, j job.Job) ([]WeakSpot, error) {
	var c Cache
	return c.Weak(ctx, p, j)
}

// Weak is the function Weak with a memory of the last plan.
func (c *Cache) Weak(ctx context.Context, p *Plan, j job.Job) ([]WeakSpot, error) {
	o := options(j.Settings)
	limits := [2]float64{o.WidthMM, o.SpeckMM}
	c.mu.Lock()
	if c.weakPlan == p && c.weakLimits == limits {
		defer c.mu.Unlock()
		return c.weak, nil
	}
	c.mu.Unlock()
	pieces := make([]pieceOf, len(p.Pieces))
	for i := range p.Pieces {
		pieces[i] = pieceOf{int32(p.Pieces[i].Separation), p.Pieces[i].Outline, p.Pieces[i].Bounds}
	}
	raw, err := findSpots(ctx, pieces, len(p.Separations), len(p.Stacked.Places) > 0, o)
	if err != nil {
		return nil, err
	}
	spots := make([]WeakSpot, len(raw))
	for i := range raw {
		s := &raw[i]
		spots[i] = WeakSpot{
			Kind: job.SpotKind(s.Kind), Piece: int(s.Piece), Separation: int(s.sep), Whole: s.Whole, At: s.At,
			WidthMM: s.WidthMM, LengthMM: s.LengthMM, AreaMM2: s.AreaMM2, Outline: s.Outline, Bounds: s.Bounds,
		}
		for _, n := range s.neighbours {
			spots[i].Neighbours = append(spots[i].Neighbours, SpotNeighbour{int(n.sep), n.length})
		}
	}
	for _, m := range p.Mends {
		if m.Do != job.Keep || m.State != MendDone {
			continue
		}
		if k := nearestSpot(raw, m.At, m.Spot, o.WidthMM); k >= 0 {
			spots[k].Kept, spots[k].Reason = true, m.Reason
		}
	}
	c.mu.Lock()
	c.weakPlan, c.weakLimits, c.weak = p, limits, spots
	c.mu.Unlock()
	return spots, nil
}

func options(s job.Settings) weak.Options {
	return weak.Options{WidthMM: s.Narrowest(), SpeckMM: s.Speck()}
}

// pieceOf is a piece of a separation.
type pieceOf struct {
	sep     int32
	outline geometry.Path
	bounds  geometry.Rect
}

// rawSpot is a spot with separations for pieces.
type rawSpot struct {
	weak.Spot
	sep        int32         // bare for a gap
	whole      geometry.Path // its piece, nil for a gap
	neighbours []sepLength
}

type sepLength struct {
	sep    int32 // bare for what nothing is cut for
	length float64
}

// spotSagittaMM is how far the chords may stray that stand for curves when
// widths are measured.
const spotSagittaMM = 0.005

func findSpots(ctx context.Context, pieces []pieceOf, separations int, stacked bool, o weak.Options) ([]rawSpot, error) {
	if !stacked {
		return spotsOf(ctx, pieces, o, separations)
	}
	o.NoGaps = true
	var out []rawSpot
	for s := range separations {
		own := make([]pieceOf, 0, len(pieces))
		index := make([]int32, 0, len(pieces))
		for i, p := range pieces {
			if p.sep == int32(s) {
				own = append(own, p)
				index = append(index, int32(i))
			}
		}
		found, err := spotsOf(ctx, own, o, separations)
		if err != nil {
			return nil, err
		}
		for i := range found {
			found[i].Piece = index[found[i].Piece]
		}
		out = append(out, found...)
	}
	return out, nil
}

func spotsOf(ctx context.Context, pieces []pieceOf, o weak.Options, separations int) ([]rawSpot, error) {
	outlines := make([]geometry.Path, len(pieces))
	for i := range pieces {
		outlines[i] = pieces[i].outline.Flatten(spotSagittaMM)
	}
	spots, err := weak.Find(ctx, outlines, o)
	if err != nil {
		return nil, explain(err, nil)
	}
	out := make([]rawSpot, len(spots))
	length := make([]float64, separations+1)
	for i, s := range spots {
		out[i] = rawSpot{Spot: s, sep: bare}
		if s.Piece != weak.NoPiece {
			out[i].sep, out[i].whole = pieces[s.Piece].sep, outlines[s.Piece]
		}
		clear(length)
		for _, n := range s.Neighbours {
			if n.Piece == weak.NoPiece {
				length[separations] += n.LengthMM
			} else {
				length[pieces[n.Piece].sep] += n.LengthMM
			}
		}
		for sep, l := range length {
			switch {
			case l == 0:
			case sep == separations:
				out[i].neighbours = append(out[i].neighbours, sepLength{bare, l})
			default:
				out[i].neighbours = append(out[i].neighbours, sepLength{int32(sep), l})
			}
		}
		slices.SortStableFunc(out[i].neighbours, func(a, b sepLength) int {
			switch {
			case a.length > b.length:
				return -1
			case a.length < b.length:
				return 1
			}
			return 0
		})
	}
	return out, nil
}

// nearestSpot returns the spot of that kind that is nearest to a place, no
// further than within; −1 when there is none.
func nearestSpot(spots []rawSpot, at geometry.Point, kind job.SpotKind, within float64) int {
	best, limit := -1, within
	for i := range spots {
		s := &spots[i]
		if job.SpotKind(s.Kind) != kind || !s.Bounds.Grow(limit).Contains(at) {
			continue
		}
		d := 0.0
		if s.At != at && !geometry.NewEnclosure(s.Outline).Holds(at) {
			d = s.Outline.Distance(at)
		}
		if d < limit || d == limit && best < 0 {
			best, limit = i, d
		}
	}
	return best
}
