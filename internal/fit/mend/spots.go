package mend

import (
	"cmp"
	"context"
	"slices"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/own"
	"abut/internal/job"
)

// Limits returns what counts as weak under a job's settings.
func Limits(s job.Settings) weak.Options {
	return weak.Options{WidthMM: s.Narrowest(), SpeckMM: s.Speck()}
}

// Piece is a piece of what is cut, with what it is cut from.
type Piece struct {
	Of      own.Material
	Outline geometry.Path
	Bounds  geometry.Rect
}

// Spot is a weak spot with materials for pieces. Its Piece indexes the pieces
// that were looked at.
type Spot struct {
	weak.Spot
	// Of is what its piece is cut from, own.Bare for a gap.
	Of own.Material
	// Neighbours are the materials that it touches, longest border first;
	// own.Bare is what nothing is cut for.
	Neighbours []Neighbour

	whole geometry.Path // its piece, nil for a gap
	half  *own.Material // what is to take its tip, see pairHalves
	// What is found of it when somebody asks, nil until then.
	end      *Spot         // see blunt
	hairline *Spot         // see narrowed
	cover    geometry.Path // see covered
}

// Neighbour is a material that a spot touches.
type Neighbour struct {
	Of       own.Material
	LengthMM float64
}

// mostly returns whose is more than half of the border of a spot, its own piece aside; own.Bare where no one's is.
func (s *Spot) mostly() own.Material {
	all := 0.0
	for _, n := range s.Neighbours {
		all += n.LengthMM
	}
	if len(s.Neighbours) == 0 || 2*s.Neighbours[0].LengthMM < all {
		return own.Bare
	}
	return s.Neighbours[0].Of
}

// spotSagittaMM is how far the chords may stray that stand for curves when
// widths are measured.
const spotSagittaMM = 0.005

// Find returns the weak spots of pieces. Where colours stack, each material is
// looked at by itself and gaps are not looked for. Errors as own.Lay.
func Find(ctx context.Context, pieces []Piece, stacked bool, o weak.Options) ([]Spot, error) {
	if !stacked {
		return find(ctx, pieces, o)
	}
	o.NoGaps = true
	var materials []own.Material
	for _, p := range pieces {
		if !slices.Contains(materials, p.Of) {
			materials = append(materials, p.Of)
		}
	}
	var out []Spot
	for _, m := range materials {
		var of []Piece
		var index []int32
		for i, p := range pieces {
			if p.Of == m {
				of = append(of, p)
				index = append(index, int32(i))
			}
		}
		found, err := find(ctx, of, o)
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

func find(ctx context.Context, pieces []Piece, o weak.Options) ([]Spot, error) {
	outlines := make([]geometry.Path, len(pieces))
	for i := range pieces {
		outlines[i] = pieces[i].Outline.Flatten(spotSagittaMM)
	}
	spots, err := weak.Find(ctx, outlines, o)
	if err != nil {
		return nil, own.Explain(err, nil)
	}
	out := make([]Spot, len(spots))
	for i, s := range spots {
		out[i] = Spot{Spot: s}
		if s.Piece != weak.NoPiece {
			out[i].Of, out[i].whole = pieces[s.Piece].Of, outlines[s.Piece]
		}
		for _, n := range s.Neighbours {
			of := own.Bare
			if n.Piece != weak.NoPiece {
				of = pieces[n.Piece].Of
			}
			out[i].touch(of, n.LengthMM)
		}
		slices.SortStableFunc(out[i].Neighbours, func(a, b Neighbour) int { return cmp.Compare(b.LengthMM, a.LengthMM) })
	}
	return out, nil
}

// touch adds to what a spot touches.
func (s *Spot) touch(m own.Material, length float64) {
	for i := range s.Neighbours {
		if s.Neighbours[i].Of == m {
			s.Neighbours[i].LengthMM += length
			return
		}
	}
	s.Neighbours = append(s.Neighbours, Neighbour{m, length})
}

// Finder finds spots again by where they lie. It remembers what they enclose, for a neck may
// go round the whole picture: one goroutine at a time.
type Finder struct {
	spots  []Spot
	inside []*geometry.Enclosure
}

// NewFinder returns one for spots, which are not copied.
func NewFinder(spots []Spot) *Finder {
	return &Finder{spots, make([]*geometry.Enclosure, len(spots))}
}

// Nearest returns the spot of that kind that is nearest to a place, no further
// than within; −1 when there is none.
func (f *Finder) Nearest(at geometry.Point, kind job.SpotKind, within float64) int {
	best, limit := -1, within
	for i := range f.spots {
		s := &f.spots[i]
		if job.SpotKind(s.Kind) != kind || !s.Bounds.Grow(limit).Contains(at) {
			continue
		}
		d := 0.0
		if s.At != at {
			if f.inside[i] == nil {
				f.inside[i] = geometry.NewEnclosure(s.Outline)
			}
			if !f.inside[i].Holds(at) {
				d = s.Outline.Distance(at)
			}
		}
		if d < limit || d == limit && best < 0 {
			best, limit = i, d
		}
	}
	return best
}
