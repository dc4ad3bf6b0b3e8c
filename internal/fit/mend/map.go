package mend

import (
	"context"
	"slices"
	"sync"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/geometry/weak"
	"abut/internal/colour"
	"abut/internal/fit/own"
	"abut/internal/job"
)

// mending is a job's map while mends are made, round after round.
type mending struct {
	*own.Places             // art and the mends so far
	base        *own.Places // the art alone
	placed      []own.Placed
	layers      []layer
	// units takes each layer's own units to the board where its shapes are on the
	// board already; nil where the layers say so themselves.
	units []geometry.Affine
	// page is the extent of the art without mends, of the whole picture where this
	// is a part of it. Nothing is added beyond it: the picture stays as large as
	// was asked for.
	page geometry.Rect
	// part is what of the picture the map is, empty where it is all.
	part geometry.Rect

	// whole says which layers mends that are tried leave as they are, nil for none; taken
	// that the last one does not.
	whole     []bool
	taken     bool
	last      int     // how many layers the last mend lays
	changedBy []int32 // covers of the places that the last mend changes
	// took says, for covers of which the owner changed, which of the layers changed it last.
	took map[int32]int32
	// unmended is each face's label without mends.
	unmended []int32
	answers  *weak.Memory // see memory
	// all are the spots of the map as it is, nil while nobody looked for them.
	all []Spot
	// known is the same for all maps of one picture.
	known *asDrawn
	// simple are the outlines of the separations as they are seen, nil as long as
	// nobody asked for them: see simplify.
	simple []geometry.Path
	sheets sheets // what each separation encloses, nil as long as nobody asked: see enclosed
}

// asDrawn remembers what was asked of a picture as it was drawn. Several may ask at a time.
type asDrawn struct {
	mu sync.Mutex
	// lines are the outlines of each layer, nil for those that nobody asked for: see chords.
	lines []*geometry.Enclosure
	// spots are those of which somebody asked, and whether they were drawn so: see drawn.
	spots map[spotKey]bool
}

// layer is a mend's place on the map.
type layer struct {
	path geometry.Path // even-odd
	from taker
	to   own.Material
	mend int // index into the job's mends, −1 while one is tried
	// straight: what grows ends straight, with two corners for one.
	straight bool
}

// taker says whose places a mend takes: one material's (own.Bare: unowned
// places), or everybody's.
type taker struct {
	of       own.Material
	everyone bool
	but      []own.Material // who keeps their places all the same
	// hairs: what is bare, too. Beside a spot that lies on nothing bare that is hairlines only, between outlines that were
	// bent one without the other. Those are somebody's all along; left there, that would part the spot from who gets it.
	hairs bool
}

func (t *taker) takes(from own.Material) bool {
	if t.everyone {
		return !slices.Contains(t.but, from)
	}
	return t.of == from || t.hairs && from == own.Bare
}

// goes takes a spot from whom it is of.
func (s *Spot) goes() taker {
	bare := s.touches(own.Bare)
	return taker{of: s.Of, hairs: !bare}
}

// start lays out a job as it is without mends.
func start(ctx context.Context, j job.Job) (*mending, error) {
	return startWith(ctx, j, &memory{surrounds: new(own.Surrounds)})
}

// memory keeps what is the same in what is tried one after the other: layers with their things
// drawn anew, and what outlines answered when spots were looked for last, nil where nobody
// keeps that.
type memory struct {
	surrounds *own.Surrounds
	outlines  *weak.Memory
}

// startWith does so with a memory.
func startWith(ctx context.Context, j job.Job, known *memory) (*mending, error) {
	placed, _, err := known.surrounds.Place(ctx, j)
	if err != nil {
		return nil, err
	}
	o, err := own.Lay(ctx, placed)
	if err != nil {
		return nil, err
	}
	p, err := own.Find(ctx, o, own.NewRules(j, placed), false, nil)
	if err != nil {
		return nil, err
	}
	m := newMending(p, placed)
	m.answers = known.outlines
	return m, nil
}

// newMending returns art before any mend.
func newMending(art *own.Places, placed []own.Placed) *mending {
	return &mending{Places: art, base: art, placed: placed, page: art.Extent, unmended: art.Fresh, known: new(asDrawn)}
}

// lay puts art and mends on one map and divides it.
func (m *mending) lay(ctx context.Context) error {
	m.all, m.simple, m.sheets = nil, nil, nil
	within := &planar.Clip{Figures: []planar.Figure{{Path: m.page.Path()}}}
	over := make([]planar.Layer, len(m.layers))
	for i, l := range m.layers {
		f := planar.Figure{Path: l.path, Rule: geometry.EvenOdd}
		if l.to != own.Bare && !m.page.Encloses(f.Path.Bounds()) {
			f.Clips = []*planar.Clip{within}
		}
		over[i].Figures = []planar.Figure{f}
	}
	o, err := m.Overlay.Over(ctx, over)
	if err != nil {
		return err
	}
	laid := *m.Places // others may hold those before
	laid.Overlay = o
	m.Places = &laid
	return m.divide(ctx, m.Rules, false, nil)
}

// divide finds who owns the places of the map by rules, and then by the mends.
func (m *mending) divide(ctx context.Context, r *own.Rules, curves bool, last *own.Division) error {
	c, err := own.Claim(ctx, r, m.Map)
	if err != nil {
		return err
	}
	m.unmended = m.Map.LabelByID(c.Label)
	m.changedBy, m.taken, m.took = m.changedBy[:0], false, map[int32]int32{}
	for id := range c.Label {
		cover := m.Map.CoverByID(int32(id))
		if art := r.Art(cover); len(art) < len(cover) {
			m.relabel(c, int32(id), cover[len(art):])
		}
	}
	p, err := own.Divide(ctx, m.Overlay, r, c, curves, last)
	if err == nil {
		m.Places = p
	}
	return err
}

// relabel gives the places of a cover to whom the mends over it say, in their
// order. Places where colours stack are left alone.
func (m *mending) relabel(c *own.Claims, id int32, mends []int32) {
	owner, single := c.Owner(c.Label[id])
	if !single {
		return
	}
	before := owner
	n := int32(len(m.placed))
	for _, k := range mends {
		was := owner
		l := &m.layers[k-n]
		if l.from.takes(owner) {
			owner = l.to
		}
		if owner != was {
			m.took[id] = k - n
		}
		if int(k-n) >= len(m.layers)-m.last && owner != was {
			m.changedBy = append(m.changedBy, id)
			for _, x := range c.Claimants[id] {
				m.taken = m.taken || m.whole != nil && m.whole[x.Layer] && x.Material == was
			}
		}
	}
	if owner != before {
		c.Give(id, owner)
	}
}

// changedLast returns how much of the picture, in mm², changes hands by the last
// mend.
func (m *mending) changedLast() float64 {
	sum := 0.0
	for f := range m.Map.NumFaces() {
		if slices.Contains(m.changedBy, m.Map.CoverID(planar.FaceID(f))) {
			sum += m.Map.AreaMM2(planar.FaceID(f))
		}
	}
	return sum
}

// edgeMoved returns how much of the picture, in mm², is bare that was not as it was drawn, or
// the other way round. Where what ends there is hardly another colour than the blank nobody sees its edge.
func (m *mending) edgeMoved(blank colour.RGB) (sum float64) {
	for f, was := range m.unmended {
		now := m.Fresh[f]
		if was == now {
			continue
		}
		before, _ := m.Owner(was)
		after, _ := m.Owner(now)
		if (before == own.Bare) != (after == own.Bare) && !pale(before, blank) && !pale(after, blank) {
			sum += m.Map.AreaMM2(planar.FaceID(f))
		}
	}
	return sum
}

// paleDeltaE is how much, as ΔE, something differs from the blank at most for nobody to see where it ends: as light greys and the
// shadows of white things in open icons do from white. A silver of 10 is seen (by eye).
const paleDeltaE = 8

// pale reports whether something is nearly of the blank's colour.
func pale(of own.Material, blank colour.RGB) bool {
	return of != own.Bare && of.Colour.DeltaE(blank) <= paleDeltaE
}

// pieces lists what is cut.
func (m *mending) pieces() (pieces []Piece, stacked bool) {
	for s := range m.Separations {
		for i := range m.Separations[s].Pieces {
			p := &m.Separations[s].Pieces[i]
			pieces = append(pieces, Piece{m.Materials[s], p.Outline, p.Bounds})
		}
	}
	return pieces, len(m.Stacked) > 0
}

// piecesNear returns those pieces of a material that reach into a rectangle.
func (m *mending) piecesNear(of own.Material, within geometry.Rect) (near []*own.Piece) {
	i := slices.Index(m.Materials, of)
	if i < 0 {
		return nil
	}
	for k := range m.Separations[i].Pieces {
		if p := &m.Separations[i].Pieces[k]; !p.Bounds.Intersect(within).Empty() {
			near = append(near, p)
		}
	}
	return near
}

// indexOf returns which of what is placed a layer is, −1 for none.
func (m *mending) indexOf(layer job.LayerID) int {
	return slices.IndexFunc(m.placed, func(p own.Placed) bool { return p.Layer.ID == layer })
}

// spots finds the weak spots of the map, or those that reach into some areas; see weak.Options.
// Those of the whole map are remembered until it is laid anew: the settings stay.
func (m *mending) spots(ctx context.Context, s job.Settings, within []geometry.Rect) ([]Spot, error) {
	if m.all != nil {
		if within == nil {
			return m.all, nil
		}
		var some []Spot
		for _, p := range m.all {
			if reaches(p.Bounds, within) {
				some = append(some, p)
			}
		}
		return some, nil
	}
	spots, err := m.look(ctx, s, within)
	if within == nil && err == nil {
		m.all = append([]Spot{}, spots...)
		return m.all, nil
	}
	return spots, err
}

// look looks for those spots, whatever is remembered of the whole map: of an outline of which only a part is looked at, a spot may
// end a little elsewhere.
func (m *mending) look(ctx context.Context, s job.Settings, within []geometry.Rect) ([]Spot, error) {
	pieces, stacked := m.pieces()
	o := Limits(s)
	o.Within, o.Memory = within, m.answers
	return Find(ctx, pieces, stacked, o)
}

// reaches reports whether r meets any of the areas.
func reaches(r geometry.Rect, areas []geometry.Rect) bool {
	return slices.ContainsFunc(areas, func(a geometry.Rect) bool { return !a.Intersect(r).Empty() })
}

// reachesPoint reports whether a place lies in any of the areas.
func reachesPoint(p geometry.Point, areas []geometry.Rect) bool {
	return slices.ContainsFunc(areas, func(r geometry.Rect) bool { return r.Contains(p) })
}

// withPlaces adds to areas the places of spots that reach into them by their bounds alone, so
// that they are found again where they are still there.
func withPlaces(areas []geometry.Rect, spots []Spot) []geometry.Rect {
	out := slices.Clone(areas)
	for i := range spots {
		if p := &spots[i]; reaches(p.Bounds, areas) && !reaches(geometry.Rect{Min: p.At, Max: p.At}, areas) {
			out = append(out, geometry.Rect{Min: p.At, Max: p.At})
		}
	}
	return out
}
