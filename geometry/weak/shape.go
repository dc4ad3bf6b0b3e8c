package weak

import (
	"math"
	"slices"

	"abut/geometry"
)

// shape is a piece, or a connected part of what no piece has.
type shape struct {
	piece   int32 // NoPiece for a gap
	outline geometry.Path
	bounds  geometry.Rect
	area    float64
	samples int // how often its outline is asked for its width
	sides   []side
	across  []int32 // the shape on the other side of each, −1 where it has other corners or none is
	grid    *grid
	answered
	// discs are those of thin places, and opening touch at too blunt an angle to
	// be in one.
	discs, opening []disc
	pinched        []int32
	pinches        []*pinch
	changes        []change
	whole          []int32
	banked         *banked       // nil where thin parts are found on a map
	shallow        *shallows     // nil where bands are half a width deep throughout
	core           geometry.Path // what shrinking leaves, near thin places
	parts          *overlay      // what is thin and what is sturdy, where it takes a map to tell
	measured       *way
}

func newShape(piece int32, outline geometry.Path, l *lengths) shape {
	s := shape{piece: piece, outline: outline, bounds: outline.Bounds(), area: math.Abs(outline.SignedArea()), sides: sides(outline)}
	for i := range s.sides {
		s.samples += l.samples(&s.sides[i])
	}
	return s
}

// mapped reports whether it takes a map to find the shape's thin parts.
func (s *shape) mapped() bool { return len(s.discs) > 0 && s.banked == nil }

// wanted reports whether something with these bounds is looked for.
func (o *Options) wanted(b geometry.Rect) bool {
	return o.Within == nil || slices.ContainsFunc(o.Within, func(r geometry.Rect) bool { return !r.Intersect(b).Empty() })
}

func (s *shape) isSpeck(o Options) bool {
	return s.piece != NoPiece && s.bounds.Longer() < o.SpeckMM
}
