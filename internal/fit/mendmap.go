package fit

import (
	"context"
	"errors"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/geometry/weak"
	"abut/internal/job"
)

// mending is a job's map while mends are made, round after round.
type mending struct {
	placed []placedLayer
	keys   []layerKey
	rules  *rules
	layers []mendLayer
	// units takes each layer's own units to the board where its shapes are on the
	// board already; nil where the layers say so themselves.
	units []geometry.Affine
	// extent is that of the art without mends. Nothing is added beyond it: the
	// picture stays as large as was asked for.
	extent geometry.Rect

	overlay   *overlay // art and the mends so far
	claims    *claims
	divided   *divided
	changedBy []int32 // covers of the places that the last mend changes
	// unmended is each face's label without mends.
	unmended []int32
}

// mendLayer is a mend's place on the map.
type mendLayer struct {
	path geometry.Path // even-odd
	from int32         // separation that it takes from, bare for unowned places, anyone for all
	to   int32         // separation, or bare
	// beside are separations that a place goes to rather than to to, where the
	// art has them beneath.
	beside []int32
	mend   int // index into the job's mends, −1 while one is tried
}

const anyone int32 = -3

// lay puts art and mends on one map and divides it.
func (m *mending) lay(ctx context.Context, curves bool) error {
	o, err := layMended(ctx, m.placed, m.keys, m.layers, m.extent)
	if err != nil {
		return err
	}
	return m.label(ctx, o, curves)
}

// label says of each face of the map whose it is, and divides it.
func (m *mending) label(ctx context.Context, o *overlay, curves bool) error {
	n := int32(len(m.placed))
	art := func(cover []int32) int {
		k, _ := slices.BinarySearch(cover, n)
		return k
	}
	c, err := claim(ctx, m.rules, o.m.NumCovers(), func(id int32) []int32 {
		cover := o.m.CoverByID(id)
		return cover[:art(cover)]
	})
	if err != nil {
		return err
	}
	plain := slices.Clone(c.label)
	m.changedBy = m.changedBy[:0]
	for id := range c.label {
		cover := o.m.CoverByID(int32(id))
		if k := art(cover); k < len(cover) {
			m.relabel(c, int32(id), cover[:k], cover[k:])
		}
	}
	d, err := divide(ctx, o.m, c, len(m.rules.separations), curves, nil)
	if err != nil {
		return err
	}
	m.unmended = make([]int32, o.m.NumFaces())
	for f := range m.unmended {
		m.unmended[f] = plain[o.m.CoverID(planar.FaceID(f))]
	}
	m.overlay, m.claims, m.divided = o, c, d
	return nil
}

// relabel gives the places of a cover to whom the mends over it say, in their
// order. Places where colours stack are left alone.
func (m *mending) relabel(c *claims, id int32, art, mends []int32) {
	owner := bare
	if label := c.label[id]; label >= 0 {
		switch set := c.sets[label]; len(set) {
		case 0:
		case 1:
			owner = set[0]
		default:
			return
		}
	}
	before := owner
	last := int32(len(m.placed) + len(m.layers) - 1)
	for _, k := range mends {
		was := owner
		l := &m.layers[k-int32(len(m.placed))]
		switch {
		case l.from != anyone && l.from != owner:
		case l.beside != nil:
			owner = m.rules.beneath(art, owner, l.beside, l.to)
		default:
			owner = l.to
		}
		if k == last && owner != was {
			m.changedBy = append(m.changedBy, id)
		}
	}
	if owner != before {
		c.label[id] = c.only(owner)
		c.claimants[id] = nil // it is no layer's any longer
	}
}

// changedLast returns how much of the picture, in mm², changes hands by the last
// mend.
func (m *mending) changedLast() float64 {
	sum := 0.0
	for f := range m.overlay.m.NumFaces() {
		if slices.Contains(m.changedBy, m.overlay.m.CoverID(planar.FaceID(f))) {
			sum += m.overlay.m.AreaMM2(planar.FaceID(f))
		}
	}
	return sum
}

// beneath returns the separation that the art has beneath the owner of a place:
// the topmost of its other covers that is of one of the given; otherwise when
// there is none.
func (r *rules) beneath(cover []int32, owner int32, of []int32, otherwise int32) int32 {
	if r.mixing {
		r.mix(cover)
	}
	for i := len(cover) - 1; i >= 0; i-- {
		l := &r.layers[cover[i]]
		if l.use != job.Cut {
			continue
		}
		var s int32
		if l.alpha < 1 {
			s = r.separation(r.mixed[i])
		} else {
			s = r.separation(l.colour)
		}
		if s != owner && slices.Contains(of, s) {
			return s
		}
	}
	return otherwise
}

// only returns the label of one separation alone, or of bare.
func (c *claims) only(sep int32) int32 {
	if sep == bare {
		return bareLabel
	}
	for l, set := range c.sets {
		if len(set) == 1 && set[0] == sep {
			return int32(l)
		}
	}
	c.sets = append(c.sets, []int32{sep})
	return int32(len(c.sets) - 1)
}

// layMended is lay with mends on top of the art, none of them beyond its extent.
func layMended(ctx context.Context, placed []placedLayer, keys []layerKey, mends []mendLayer, extent geometry.Rect) (*overlay, error) {
	o := &overlay{keys: keys, bounds: make([]geometry.Rect, len(placed)), extent: extent}
	layers := make([]planar.Layer, len(placed), len(placed)+len(mends))
	conv := converter{clips: map[clipKey]boundedClip{}}
	for i, p := range placed {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		layers[i].Figures, o.bounds[i] = conv.figures(p.shapes, p.transform)
	}
	within := &planar.Clip{Figures: []planar.Figure{{Path: extent.Path()}}}
	for i := range mends {
		f := planar.Figure{Path: mends[i].path, Rule: geometry.EvenOdd}
		if mends[i].to != bare && !extent.Encloses(f.Path.Bounds()) {
			f.Clips = []*planar.Clip{within}
		}
		layers = append(layers, planar.Layer{Figures: []planar.Figure{f}})
	}
	m, err := planar.Build(ctx, layers, planar.Options{})
	if err != nil {
		return nil, explain(err, placed)
	}
	o.m = m
	return o, nil
}

// pieces lists what is cut, by separation as the rules count them.
func (m *mending) pieces() (pieces []pieceOf, stacked bool) {
	for s := range m.divided.cut {
		for i := range m.divided.cut[s].pieces {
			p := &m.divided.cut[s].pieces[i]
			pieces = append(pieces, pieceOf{int32(s), p.Outline, p.Bounds})
		}
	}
	return pieces, len(m.divided.stacked.places) > 0
}

// spots finds the weak spots of the map, or of parts of it; see weak.Options.
func (m *mending) spots(ctx context.Context, s job.Settings, within []geometry.Rect) ([]rawSpot, error) {
	pieces, stacked := m.pieces()
	o := options(s)
	o.Within = within
	return findSpots(ctx, pieces, len(m.divided.cut), stacked, o)
}

// spotsIn finds the weak spots that reach into any of the areas, whole ones. It
// costs as much as there is in them.
func (m *mending) spotsIn(ctx context.Context, s job.Settings, areas []geometry.Rect) ([]rawSpot, error) {
	pieces, stacked := m.pieces()
	areas = disjoint(areas)
	// Many small windows cost more than the whole picture.
	windows := 0.0
	for _, r := range areas {
		windows += rectArea(r.Grow(windowReach(options(s))))
	}
	if windows > rectArea(m.extent)/8 {
		spots, err := m.spots(ctx, s, nil)
		return slices.DeleteFunc(spots, func(p rawSpot) bool {
			return !slices.ContainsFunc(areas, func(r geometry.Rect) bool { return !r.Intersect(p.Bounds).Empty() })
		}), err
	}
	found := make([][]rawSpot, len(areas))
	errs := make([]error, len(areas))
	err := inParallel(ctx, len(areas), func(i int) {
		found[i], errs[i] = spotsNear(ctx, pieces, len(m.divided.cut), stacked, options(s), areas[i])
	})
	if err := errors.Join(append(errs, err)...); err != nil {
		return nil, err
	}
	var out []rawSpot
	for i, spots := range found {
		for _, p := range spots {
			// One that reaches into several areas is found in each.
			if !slices.ContainsFunc(areas[:i], func(r geometry.Rect) bool { return !r.Intersect(p.Bounds).Empty() }) {
				out = append(out, p)
			}
		}
	}
	return out, nil
}

// disjoint joins rectangles that overlap.
func disjoint(in []geometry.Rect) []geometry.Rect {
	var out []geometry.Rect
	for _, r := range in {
		for i := 0; i < len(out); i++ {
			if !out[i].Intersect(r).Empty() {
				r = r.Union(out[i])
				out = slices.Delete(out, i, i+1)
				i = -1
			}
		}
		out = append(out, r)
	}
	return out
}

// windowReach is how far around an area outlines are needed to find its spots:
// a width for where it is thin, and what opening looks at from there. A piece
// that is cut off so far out is no speck.
func windowReach(o weak.Options) float64 { return math.Max(2.25*o.WidthMM, o.SpeckMM) }

// spotsNear finds the weak spots that reach into an area. It looks at what lies
// around it, outlines cut off there, and further where a spot goes on.
func spotsNear(ctx context.Context, pieces []pieceOf, separations int, stacked bool, o weak.Options, area geometry.Rect) ([]rawSpot, error) {
	around := area
	for {
		var near []pieceOf
		var index []int32
		r := around.Grow(windowReach(o))
		for i, p := range pieces {
			if !p.bounds.Intersect(r).Empty() {
				near = append(near, pieceOf{p.sep, crop(p.outline, r), p.bounds})
				index = append(index, int32(i))
			}
		}
		o.Within = []geometry.Rect{around}
		spots, err := findSpots(ctx, near, separations, stacked, o)
		if err != nil {
			return nil, err
		}
		spots = slices.DeleteFunc(spots, func(p rawSpot) bool { return p.Bounds.Intersect(area).Empty() })
		larger := around
		for i := range spots {
			p := &spots[i]
			if !around.Grow(o.WidthMM / 2).Encloses(p.Bounds) {
				larger = larger.Union(p.Bounds.Grow(o.WidthMM))
			}
			if p.Piece != weak.NoPiece {
				p.Piece = index[p.Piece]
				p.whole = pieces[p.Piece].outline.Flatten(spotSagittaMM)
			}
		}
		if larger == around {
			return spots, nil
		}
		around = larger
	}
}
