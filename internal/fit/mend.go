package fit

import (
	"context"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/geometry/weak"
	"abut/internal/job"
)

// A mend is made by laying the spot's outline, or what makes it broader, over
// the art as one more layer. Places that it covers change their owner: they are
// never claimed twice, so nothing can come to stack, and only a mend that says
// so leaves a place to nobody.

// MadeMend is a mend of the job and what became of it.
type MadeMend struct {
	job.Mend
	Item job.ItemID
	// At is the place on the board, where the layer lies now.
	At    geometry.Point
	State MendState
	// SpotMM is how broad the spot was, and Separation the index of the one that
	// it belonged to in Plan.Separations: −1 for a gap, or when nothing of that
	// separation is left.
	SpotMM     float64
	Separation int
	// AreaMM2 is how much of the picture changed hands by it.
	AreaMM2 float64

	sep int32
}

// MendState is what became of a mend.
type MendState uint8

const (
	// MendDone: the spot was found again and the mend made.
	MendDone MendState = iota
	// MendLapsed: no such spot is there any longer, or its layer is gone.
	MendLapsed
	// MendRefused: the spot is there, but not what the mend asks for, such as a
	// neighbour to give it to.
	MendRefused
)

// widenMM is how much broader than the narrowest width a mended place becomes,
// so that it is no spot again by rounding and chords.
const widenMM = 0.02

// mendLayer is a mend's place on the map.
type mendLayer struct {
	figure planar.Figure
	from   int32 // separation that it takes from, bare for unowned places, anyone for all
	to     int32 // separation, or bare
	mend   int   // index into the job's mends, −1 while one is tried
}

const anyone int32 = -3

// wholeMost is how large, in squares of the narrowest width, a piece may be that
// a mend takes all of. MendAll does so up to 12; a half more each way is room for
// resizing.
const wholeMost = 12 * 1.5 * 1.5

// mending is a job's map while mends are made, round after round.
type mending struct {
	placed []placedLayer
	keys   []layerKey
	rules  *rules
	layers []mendLayer

	overlay *overlay // art and the mends so far
	claims  *claims
	divided *divided
	// unmended is each face's label without mends.
	unmended []int32
}

// lay puts art and mends on one map and divides it.
func (m *mending) lay(ctx context.Context, curves bool) error {
	o, err := layMended(ctx, m.placed, m.keys, m.layers)
	if err != nil {
		return err
	}
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
	for id := range c.label {
		cover := o.m.CoverByID(int32(id))
		for _, k := range cover[art(cover):] {
			m.apply(c, int32(id), &m.layers[k-n])
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

// apply gives the places of a cover to whom the mend says. Places where colours
// stack are left alone.
func (m *mending) apply(c *claims, id int32, l *mendLayer) {
	label := c.label[id]
	owner := bare
	if label >= 0 {
		switch set := c.sets[label]; len(set) {
		case 0:
		case 1:
			owner = set[0]
		default:
			return
		}
	}
	if owner == l.to || l.from != anyone && l.from != owner {
		return
	}
	c.label[id] = c.only(l.to)
	c.claimants[id] = nil // it is no layer's any longer
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

// layMended is lay with mends on top of the art.
func layMended(ctx context.Context, placed []placedLayer, keys []layerKey, mends []mendLayer) (*overlay, error) {
	if len(mends) == 0 {
		return lay(ctx, placed, keys)
	}
	o := &overlay{keys: keys, bounds: make([]geometry.Rect, len(placed))}
	layers := make([]planar.Layer, len(placed), len(placed)+len(mends))
	conv := converter{clips: map[clipKey]boundedClip{}}
	art, broader := geometry.EmptyRect(), geometry.EmptyRect()
	for i, p := range placed {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		layers[i].Figures, o.bounds[i] = conv.figures(p.shapes, p.transform)
		art = art.Union(o.bounds[i])
	}
	for i := range mends {
		layers = append(layers, planar.Layer{Figures: []planar.Figure{mends[i].figure}})
		if mends[i].to != bare {
			broader = broader.Union(mends[i].figure.Path.Bounds())
		}
	}
	m, err := planar.Build(ctx, layers, planar.Options{})
	if err != nil {
		return nil, explain(err, placed)
	}
	o.m = m
	covered := geometry.EmptyRect()
	n := int32(len(placed))
	for e := range m.NumEdges() {
		edge := m.Edge(planar.EdgeID(e))
		if a, b := m.Cover(edge.Left), m.Cover(edge.Right); len(a) > 0 && a[0] < n || len(b) > 0 && b[0] < n {
			covered = covered.Include(m.Vertex(edge.From).MM()).Include(m.Vertex(edge.To).MM())
		}
	}
	o.extent = onGrid(sharpen(covered, art, reachMM))
	if !o.extent.Encloses(broader) {
		o.extent = onGrid(o.extent.Union(broader))
	}
	return o, nil
}

// pieces lists what is cut, by separation as the rules count them.
func (m *mending) pieces() (pieces []pieceOf, stacked bool) {
	for s := range m.divided.cut {
		for i := range m.divided.cut[s].pieces {
			pieces = append(pieces, pieceOf{int32(s), m.divided.cut[s].pieces[i].Outline})
		}
	}
	return pieces, len(m.divided.stacked.places) > 0
}

func (m *mending) spots(ctx context.Context, s job.Settings) ([]rawSpot, error) {
	pieces, stacked := m.pieces()
	return findSpots(ctx, pieces, len(m.divided.cut), stacked, options(s))
}

// target returns to whom the mend gives a spot; false when there is nobody.
func (m *mending) target(s *rawSpot, mend job.Mend) (int32, bool) {
	if mend.Do == job.Recolour {
		sep := m.rules.named(mend.To)
		return sep, mend.Chosen && sep != s.sep
	}
	for _, n := range s.neighbours {
		if n.sep == bare || n.sep == s.sep {
			continue
		}
		if !mend.Chosen || m.rules.separations[n.sep].colour == mend.To {
			return n.sep, true
		}
		// A colour of the art that has been sent to a sheet since.
		if s, ok := m.rules.byColour[mend.To]; ok && s == n.sep {
			return n.sep, true
		}
	}
	return bare, false
}

// layer returns what a mend lays over a spot; false when it cannot be made.
// Keeping lays nothing.
func (m *mending) layer(ctx context.Context, s *rawSpot, mend job.Mend, settings job.Settings) (mendLayer, bool, error) {
	l := mendLayer{figure: planar.Figure{Path: s.Outline, Rule: geometry.EvenOdd}, from: s.sep, to: bare}
	if mend.Whole && s.whole != nil {
		// A spot of that kind at that place, but of another piece: nobody ever
		// meant to give that away.
		if w := settings.Narrowest(); math.Abs(s.whole.SignedArea()) > wholeMost*w*w {
			return l, false, nil
		}
		l.figure.Path = s.whole
	}
	switch mend.Do {
	case job.Give, job.Recolour:
		to, ok := m.target(s, mend)
		l.to = to
		if mend.Do == job.Recolour && mend.WidthMM > 0 {
			path, err := s.Widened(ctx, mend.WidthMM)
			l.figure.Path, l.from = path, anyone
			return l, ok, explain(err, nil)
		}
		return l, ok, nil
	case job.Drop:
		return l, s.sep != bare, nil
	case job.Widen:
		width := math.Max(settings.Narrowest(), mend.WidthMM)
		if s.Kind == weak.Speck {
			width = math.Max(settings.Speck(), width)
		}
		path, err := s.Widened(ctx, width+widenMM)
		l.figure.Path, l.from, l.to = path, anyone, s.sep
		return l, true, explain(err, nil)
	case job.Join:
		path, ok, err := m.bridge(ctx, s, settings.Narrowest()+widenMM)
		l.figure.Path, l.from, l.to = path, anyone, s.sep
		return l, ok, explain(err, nil)
	}
	return l, true, nil
}

// joinMM is how far a speck may lie from the piece that it is joined to: three
// times what a speck is, beyond which a bridge is a new shape.
const joinMM = 6

// bridge returns a bar from a speck to the nearest other piece of its
// separation.
func (m *mending) bridge(ctx context.Context, s *rawSpot, width float64) (geometry.Path, bool, error) {
	if s.sep == bare {
		return nil, false, nil
	}
	best, from, to := joinMM+0.0, geometry.Point{}, geometry.Point{}
	for i := range m.divided.cut[s.sep].pieces {
		p := &m.divided.cut[s.sep].pieces[i]
		if p.Bounds.Intersect(s.Bounds.Grow(best)).Empty() || inside(s.Outline, p.Inside) {
			continue
		}
		forEachSide(p.Outline, func(a, b geometry.Point) {
			forEachSide(s.Outline, func(c, _ geometry.Point) {
				d := b.Sub(a)
				t := 0.0
				if l := d.Dot(d); l > 0 {
					t = max(0, min(1, c.Sub(a).Dot(d)/l))
				}
				if q := a.Lerp(b, t); q.Sub(c).Len() < best {
					best, from, to = q.Sub(c).Len(), c, q
				}
			})
		})
	}
	if from == to {
		return nil, false, nil
	}
	// From the speck's middle to as deep in the other piece as the bar is broad.
	way := to.Sub(from)
	spot := s.Spot
	spot.Spine = [][2]geometry.Point{{s.At, to.Add(way.Mul(width / way.Len() / 2))}}
	path, err := spot.Widened(ctx, width)
	return path, true, err
}

// jobMends lists the mends of all items with where they are on the board;
// false for those whose layer is not on the map.
func jobMends(j job.Job, placed []placedLayer) ([]MadeMend, []bool) {
	at := map[job.LayerID]geometry.Affine{}
	for _, p := range placed {
		at[p.layer.ID] = p.transform
	}
	var out []MadeMend
	var there []bool
	for _, it := range j.Items {
		for _, m := range it.Mends {
			t, ok := at[m.Layer]
			made := MadeMend{Mend: m, Item: it.ID, State: MendLapsed, Separation: -1, sep: bare}
			if ok {
				made.At = t.Apply(m.At)
			}
			out, there = append(out, made), append(there, ok)
		}
	}
	return out, there
}

// run makes the job's mends, round by round, and says what became of each.
func (m *mending) run(ctx context.Context, j job.Job) ([]MadeMend, error) {
	mends, there := jobMends(j, m.placed)
	last := -1
	for i := range mends {
		if there[i] {
			last = max(last, int(mends[i].Round))
		}
	}
	for round := 0; round <= last; round++ {
		if !slices.ContainsFunc(mends, func(x MadeMend) bool { return int(x.Round) == round }) {
			continue
		}
		spots, err := m.spots(ctx, j.Settings)
		if err != nil {
			return nil, err
		}
		taken := map[int]bool{}
		laid := len(m.layers)
		for i := range mends {
			x := &mends[i]
			if !there[i] || int(x.Round) != round {
				continue
			}
			k := nearestSpot(spots, x.At, x.Spot, j.Settings.Narrowest())
			if k < 0 || taken[k] {
				continue
			}
			taken[k] = true
			x.SpotMM, x.sep = spots[k].WidthMM, spots[k].sep
			l, ok, err := m.layer(ctx, &spots[k], x.Mend, j.Settings)
			if err != nil {
				return nil, err
			}
			if !ok {
				x.State = MendRefused
				continue
			}
			x.State = MendDone
			if x.Do != job.Keep {
				l.mend = i
				m.layers = append(m.layers, l)
			}
		}
		if len(m.layers) > laid {
			if err := m.lay(ctx, false); err != nil {
				return nil, err
			}
		}
	}
	return mends, nil
}

// changed returns the area that mends gave to someone else, and how much of it
// nobody has any longer; it adds each mend's share to the list.
func (m *mending) changed(mends []MadeMend) (changed, uncovered float64) {
	n := int32(len(m.placed))
	for f, was := range m.unmended {
		is := m.divided.fresh[f]
		if same(m.claims, was, is) {
			continue
		}
		area := m.overlay.m.AreaMM2(planar.FaceID(f))
		changed += area
		if is < 0 || len(m.claims.sets[is]) == 0 {
			uncovered += area
		}
		cover := m.overlay.m.Cover(planar.FaceID(f))
		for i := len(cover) - 1; i >= 0 && cover[i] >= n; i-- {
			if k := m.layers[cover[i]-n].mend; k >= 0 {
				mends[k].AreaMM2 += area
				break
			}
		}
	}
	return changed, uncovered
}

// same reports whether two labels look the same: nothing is cut for either
// None or bare.
func same(c *claims, a, b int32) bool {
	empty := func(l int32) bool { return l < 0 || len(c.sets[l]) == 0 }
	return a == b || empty(a) && empty(b)
}

// mendedBefore remembers mends that were made on a map that is still the same.
type mendedBefore struct {
	base     *divided // the map without mends
	mends    []MadeMend
	settings [2]float64
	mending  mending
	made     []MadeMend
}

// mend makes the job's mends and returns what the plan is built from.
func (c *Cache) mend(ctx context.Context, j job.Job, m *mending, curves bool) (*builder, error) {
	base := m.divided
	asked, _ := jobMends(j, m.placed)
	settings := [2]float64{j.Settings.Narrowest(), j.Settings.Speck()}
	c.mu.Lock()
	before := c.mended
	c.mu.Unlock()
	if before != nil && before.base == base && before.settings == settings && slices.Equal(before.mends, asked) {
		// The rules are new but count separations as they did: colours that
		// only mends ask for come after all others, in the mends' order.
		for _, x := range before.made {
			if x.Do == job.Recolour && x.State != MendLapsed {
				m.rules.named(x.To)
			}
		}
		rules := m.rules
		*m = before.mending
		m.rules = rules
	} else {
		made, err := m.run(ctx, j)
		if err != nil {
			return nil, err
		}
		before = &mendedBefore{base, asked, settings, *m, made}
		c.mu.Lock()
		c.mended = before
		c.mu.Unlock()
	}
	mends := slices.Clone(before.made)
	if curves {
		if err := m.lay(ctx, true); err != nil {
			return nil, err
		}
	}
	b := &builder{job: j, overlay: m.overlay, rules: m.rules, claims: m.claims, divided: m.divided, mends: mends}
	if len(m.layers) > 0 {
		b.mendedMM2, b.uncoveredMM2 = m.changed(mends)
	}
	return b, nil
}
