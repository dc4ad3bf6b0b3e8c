package mend

import (
	"cmp"
	"context"
	"math"
	"slices"
	"sync"

	"abut/geometry"
	"abut/geometry/boxes"
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
	piece *piece        // what was asked of that; all spots of one share it
	half  *own.Material // what is to take its tip, see pairHalves
	takes bool          // it takes that of its other half
	// What is found of it when somebody asks, nil until then.
	end      *Spot         // see blunt
	hairline *Spot         // see narrowed
	cover    geometry.Path // see covered
	enlarged *enlarged     // see wholeLarger
}

// piece is what is found of the outline of one when somebody asks: it may lie around thousands of spots.
type piece struct {
	inside  func() *geometry.Enclosure
	areaMM2 func() float64
	mu      sync.Mutex
	grown   map[growth]geometry.Path // see offset
}

func newPiece(outline geometry.Path) *piece {
	return &piece{
		inside:  sync.OnceValue(func() *geometry.Enclosure { return geometry.NewEnclosure(outline) }),
		areaMM2: sync.OnceValue(func() float64 { return math.Abs(outline.SignedArea()) }),
	}
}

// ofPiece returns what is asked of the spot's piece.
func (s *Spot) ofPiece() *piece {
	if s.piece == nil {
		return newPiece(s.whole)
	}
	return s.piece
}

// pieceMM2 is how large the spot's piece is, in mm².
func (s *Spot) pieceMM2() float64 { return s.ofPiece().areaMM2() }

// Neighbour is a material that a spot touches.
type Neighbour struct {
	Of       own.Material
	LengthMM float64
}

// mostly returns whose is more than half of the border of a spot, its own piece aside; own.Bare where no one's is.
func (s *Spot) mostly() own.Material {
	if len(s.Neighbours) == 0 || s.along(s.Neighbours[0].Of) < 0.5 {
		return own.Bare
	}
	return s.Neighbours[0].Of
}

// firstBeside returns who has the longest border with a spot, its own piece and what is bare aside; false where nobody has.
func (s *Spot) firstBeside() (own.Material, bool) {
	for _, n := range s.Neighbours {
		if n.Of != own.Bare && n.Of != s.Of {
			return n.Of, true
		}
	}
	return own.Bare, false
}

// touches reports whether a spot does so with a material.
func (s *Spot) touches(of own.Material) bool {
	return slices.ContainsFunc(s.Neighbours, func(n Neighbour) bool { return n.Of == of })
}

// along returns which share of a spot's border a material has.
func (s *Spot) along(of own.Material) float64 {
	part, all := 0.0, 0.0
	for _, n := range s.Neighbours {
		all += n.LengthMM
		if n.Of == of {
			part = n.LengthMM
		}
	}
	return part / all
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
	outlines, asked := make([]geometry.Path, len(pieces)), make([]*piece, len(pieces))
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
			if asked[s.Piece] == nil {
				asked[s.Piece] = newPiece(outlines[s.Piece])
			}
			out[i].Of, out[i].whole, out[i].piece = pieces[s.Piece].Of, outlines[s.Piece], asked[s.Piece]
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
	bounds *boxes.Index // with the middle of each
	inside []*geometry.Enclosure
}

// NewFinder returns one for spots, which are not copied.
func NewFinder(spots []Spot) *Finder {
	bounds := boxes.New(len(spots), func(i int) geometry.Rect { return spots[i].Bounds.Include(spots[i].At) })
	return &Finder{spots, bounds, make([]*geometry.Enclosure, len(spots))}
}

// Nearest returns the spot of that kind that is nearest to a place, no further
// than within; −1 when there is none. Of several that the place lies in, such as two points that meet, it is the one whose
// middle is nearest.
func (f *Finder) Nearest(at geometry.Point, kind job.SpotKind, within float64) int {
	best, limit, middle := -1, within, math.Inf(1)
	for _, i := range f.bounds.Near(at, math.Max(within, own.HealMM)) {
		s := &f.spots[i]
		d, m := 0.0, s.At.Sub(at).Len()
		if job.SpotKind(s.Kind) != kind || m > own.HealMM && !s.Bounds.Grow(limit).Contains(at) {
			continue
		}
		if m > own.HealMM { // where branches of a shape meet, a spot's own middle may lie beside its outline
			if f.inside[i] == nil {
				f.inside[i] = geometry.NewEnclosure(s.Outline)
			}
			if !f.inside[i].Holds(at) {
				d = s.Outline.Distance(at)
			}
		}
		if d < limit || d == limit && m < middle {
			best, limit, middle = i, d, m
		}
	}
	return best
}

// Again returns the spot that a mend is about, −1 when it is not there. Rounding can make a
// point of a neck that goes down to nothing, and what is a neck at one size of the picture is all of a sliver at another.
func (f *Finder) Again(m *Made, within float64) int {
	k := f.Nearest(m.At, m.Spot, within)
	for _, kind := range [...]job.SpotKind{job.Neck, job.Tip, job.Sliver} {
		if k < 0 && m.Spot <= job.Sliver {
			k = f.Nearest(m.At, kind, own.HealMM)
		}
	}
	return k
}

// as returns a spot as one of the kind that it was when a mend was chosen for it: as another kind it would be shared otherwise.
func (s *Spot) as(kind job.SpotKind) *Spot {
	if s.Kind == weak.Kind(kind) {
		return s
	}
	out := *s
	out.Kind = weak.Kind(kind)
	return &out
}

// spotIndex finds out quickly whether one of many spots lies somewhere.
type spotIndex struct {
	spots  []Spot
	bounds *boxes.Index
}

// indexSpots files spots, which are not copied.
func indexSpots(spots []Spot) *spotIndex {
	return &spotIndex{spots, boxes.New(len(spots), func(i int) geometry.Rect { return spots[i].Bounds })}
}

// meets reports whether the bounds of a spot of a material meet others.
func (x *spotIndex) meets(of own.Material, r geometry.Rect) bool {
	return slices.ContainsFunc(x.bounds.Meeting(r), func(i int) bool { return x.spots[i].Of == of })
}
