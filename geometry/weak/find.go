package weak

import (
	"cmp"
	"context"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/planar"
)

const (
	// sagittaMM is how far the arcs of offsets may be off; two of them add up
	// to a fifth of what the found width may be wrong.
	sagittaMM = 0.0025
	// slackMM is how much further a shrunk piece is grown back, so that rounding
	// and chords leave no hairlines along an outline that is not thin.
	slackMM = 0.006
	// barMM is half the width of the bars across a waist.
	barMM = 0.06
	// reach, in widths, is how far from a thin place the outline is shrunk and
	// grown. Half a width each way is what both can do; the rest is room.
	reach = 1.75
)

// halfTurn are the directions of a half circle's corners, for capsule; around
// the circle of the true radius, 24 a turn.
var halfTurn = func() []geometry.Point {
	const n = 12
	var out []geometry.Point
	for i := range n + 1 {
		sin, cos := math.Sincos(math.Pi * (float64(i)/n - 0.5))
		out = append(out, geometry.Pt(cos, sin).Mul(1/math.Cos(math.Pi/2/n)))
	}
	return out
}()

// shape is a piece, or a connected part of what no piece has.
type shape struct {
	piece   int32 // NoPiece for a gap
	outline geometry.Path
	grid    *grid
	discs   []disc
	// opening are discs that touch at too blunt an angle to be thin places.
	opening []disc
}

// maxCrossings bounds what the bands around thin parts may cross each other, far
// below what a map allows: where a picture is so fine that they do so a million
// times, nobody will mend its spots one by one, and a second has gone by.
const maxCrossings = 1_000_000

// Find returns the weak spots of pieces that do not overlap, ordered by piece
// and place. Each piece is closed polygons, even-odd, on planar's grid, outer
// contours clockwise on screen and holes anticlockwise, as Division.Outline
// gives them. Errors as planar.Build.
func Find(ctx context.Context, pieces []geometry.Path, o Options) ([]Spot, error) {
	if !(o.WidthMM > 0) || len(pieces) == 0 {
		return nil, nil
	}
	shapes := make([]shape, len(pieces))
	for i, p := range pieces {
		shapes[i] = shape{piece: int32(i), outline: p}
	}
	if !o.NoGaps {
		gaps, err := unowned(ctx, pieces, o.WidthMM)
		if err != nil {
			return nil, err
		}
		for _, g := range gaps {
			shapes = append(shapes, shape{piece: NoPiece, outline: g})
		}
	}
	something := false
	for i := range shapes {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		s := &shapes[i]
		list := sides(s.outline)
		if len(list) == 0 {
			continue
		}
		s.grid = newGrid(list, o.WidthMM)
		s.discs, s.opening = thinDiscs(s.grid, o.WidthMM/2)
		something = something || len(s.discs) > 0 || s.isSpeck(o)
	}
	if !something {
		return nil, nil
	}
	f := &finder{o: o, reach: reach, shapes: shapes}
	if err := f.divide(ctx); err != nil {
		return nil, err
	}
	return f.spots(ctx)
}

// unowned returns the outlines of the places that no piece has, the one around
// everything included.
func unowned(ctx context.Context, pieces []geometry.Path, width float64) ([]geometry.Path, error) {
	layers := make([]planar.Layer, 2)
	b := geometry.EmptyRect()
	for _, p := range pieces {
		layers[1].Figures = append(layers[1].Figures, planar.Figure{Path: p, Rule: geometry.EvenOdd})
		b = b.Union(p.Bounds())
	}
	if b.Empty() {
		return nil, nil
	}
	layers[0].Figures = []planar.Figure{{Path: b.Grow(4 * width).Path()}}
	m, err := planar.Build(ctx, layers, planar.Options{})
	if err != nil {
		return nil, err
	}
	labels := make([]int32, m.NumFaces())
	for f := range labels {
		labels[f] = planar.None
		if c := m.Cover(planar.FaceID(f)); len(c) == 1 && c[0] == 0 {
			labels[f] = 0
		}
	}
	d := m.Divide(labels)
	out := make([]geometry.Path, len(d.Pieces))
	for i := range d.Pieces {
		out[i] = d.Outline(i)
	}
	return out, nil
}

func (s *shape) isSpeck(o Options) bool {
	b := s.outline.Bounds()
	return s.piece != NoPiece && math.Max(b.Width(), b.Height()) < o.SpeckMM
}

// finder divides shapes into thin and sturdy parts.
type finder struct {
	o      Options
	reach  float64
	shapes []shape
	parts  *planar.Division // label i is the thin part of shape i, n + i the sturdy one
}

// divide lays on one map all shapes, the thin ones opened, and the bars of
// their medial discs.
func (f *finder) divide(ctx context.Context) error {
	n := len(f.shapes)
	opened, err := f.open(ctx)
	if err != nil {
		return err
	}
	layers := make([]planar.Layer, 3*n)
	for i := range f.shapes {
		s := &f.shapes[i]
		layers[i].Figures = []planar.Figure{{Path: s.outline, Rule: geometry.EvenOdd}}
		layers[n+i].Figures = opened[i]
		layers[2*n+i].Figures = s.bars()
	}
	m, err := planar.Build(ctx, layers, planar.Options{SagittaMM: sagittaMM, MaxCrossings: maxCrossings})
	if err != nil {
		return err
	}
	byCover := make([]int32, m.NumCovers())
	for id := range byCover {
		byCover[id] = f.label(m.CoverByID(int32(id)))
	}
	labels := make([]int32, m.NumFaces())
	for i := range labels {
		labels[i] = byCover[m.CoverID(planar.FaceID(i))]
	}
	f.parts = m.Divide(labels)
	return nil
}

// label says whether a place is thin, and of which shape. cover is ascending.
func (f *finder) label(cover []int32) int32 {
	n := int32(len(f.shapes))
	if len(cover) == 0 || cover[0] >= n {
		return planar.None
	}
	i := cover[0]
	if f.shapes[i].grid == nil {
		return planar.None
	}
	_, open := slices.BinarySearch(cover, n+i)
	_, barred := slices.BinarySearch(cover, 2*n+i)
	if len(f.shapes[i].discs) > 0 && (!open || barred) {
		return i
	}
	return n + i
}

// bars returns the places between the two walls of thin places: from where
// medial discs touch to where they touch, and a little beyond, so that no
// hairline is left there. Opening may leave at a waist but a crumb on either
// side.
func (s *shape) bars() []planar.Figure {
	var out []planar.Figure
	// Each is a figure of its own: they may be wound either way.
	add := func(c ...geometry.Contour) { out = append(out, planar.Figure{Path: c}) }
	for i := 0; i < len(s.discs); {
		k, least := i+1, i
		for k < len(s.discs) && s.follows(k) {
			if s.discs[k].r < s.discs[least].r {
				least = k
			}
			k++
		}
		if k-i > 1 {
			add(s.ribbon(s.discs[i:k]))
		}
		add(s.bar(&s.discs[least])...)
		i = k
	}
	return out
}

// follows reports whether disc k touches next to where the one before does, on
// both sides.
func (s *shape) follows(k int) bool {
	const jump = 5 * sampleMM
	c, d := &s.discs[k-1], &s.discs[k]
	return c.run == d.run && c.c.Sub(d.c).Len() < jump && s.touch(c.t, c).Sub(s.touch(d.t, d)).Len() < jump
}

// touch returns where a disc touches a side, a little outside.
func (s *shape) touch(t int32, d *disc) geometry.Point {
	v := s.grid.sides[t].nearest(d.c).Sub(d.c)
	if l := v.Len(); l > 1e-6 {
		return d.c.Add(v.Mul(1 + slackMM/l))
	}
	return d.c
}

// ribbon is what lies between the walls that discs touch which follow each
// other.
func (s *shape) ribbon(discs []disc) geometry.Contour {
	pts := make([]geometry.Point, 0, 2*len(discs))
	for i := range discs {
		pts = append(pts, s.touch(discs[i].s, &discs[i]))
	}
	for i := len(discs) - 1; i >= 0; i-- {
		pts = append(pts, s.touch(discs[i].t, &discs[i]))
	}
	return geometry.Polygon(pts...)
}

// bar is the way across one disc.
func (s *shape) bar(d *disc) geometry.Path {
	var out geometry.Path
	for _, end := range [2]geometry.Point{s.touch(d.s, d), s.touch(d.t, d)} {
		v := end.Sub(d.c)
		l := v.Len()
		if l < 1e-6 {
			continue
		}
		u := v.Mul(1 / l)
		side := geometry.Pt(-u.Y, u.X).Mul(barMM)
		from := d.c.Sub(u.Mul(barMM))
		out = append(out, geometry.Polygon(from.Sub(side), end.Sub(side), end.Add(side), from.Add(side)))
	}
	return out
}

// open returns, for each shape with thin places, what is left of it there
// after shrinking by half the width and growing back, as figures of one layer.
// It is larger than the true opening where nothing thin is near.
func (f *finder) open(ctx context.Context) ([][]planar.Figure, error) {
	n := len(f.shapes)
	r := f.o.WidthMM / 2
	out := make([][]planar.Figure, n)
	layers := make([]planar.Layer, 2*n)
	near := make([]*nearby, n)
	for i := range f.shapes {
		s := &f.shapes[i]
		if len(s.discs) == 0 {
			continue
		}
		near[i] = newNearby(s.discs, f.reach*f.o.WidthMM)
		layers[i].Figures = []planar.Figure{{Path: s.outline, Rule: geometry.EvenOdd}}
		layers[n+i].Figures = []planar.Figure{{Path: near[i].band(s.outline, -r)}}
	}
	m, err := planar.Build(ctx, layers, planar.Options{SagittaMM: sagittaMM, MaxCrossings: maxCrossings})
	if err != nil {
		return nil, err
	}
	byCover := make([]int32, m.NumCovers())
	for id := range byCover {
		byCover[id] = planar.None
		if c := m.CoverByID(int32(id)); len(c) > 0 && int(c[0]) < n {
			if _, shrunk := slices.BinarySearch(c, int32(n)+c[0]); !shrunk {
				byCover[id] = c[0]
			}
		}
	}
	labels := make([]int32, m.NumFaces())
	for k := range labels {
		labels[k] = byCover[m.CoverID(planar.FaceID(k))]
	}
	d := m.Divide(labels)
	for k := range d.Pieces {
		i := d.Pieces[k].Label
		core := d.Outline(k)
		out[i] = append(out[i],
			planar.Figure{Path: core, Rule: geometry.EvenOdd},
			planar.Figure{Path: near[i].band(core, r+slackMM)})
	}
	return out, nil
}

// nearby answers whether a place is near a disc.
type nearby struct {
	cell float64
	in   map[[2]int32]bool
}

func newNearby(discs []disc, within float64) *nearby {
	k := &nearby{cell: within, in: map[[2]int32]bool{}}
	for i := range discs {
		x, y := k.at(discs[i].c)
		for dy := int32(-1); dy <= 1; dy++ {
			for dx := int32(-1); dx <= 1; dx++ {
				k.in[[2]int32{x + dx, y + dy}] = true
			}
		}
	}
	return k
}

func (k *nearby) at(p geometry.Point) (x, y int32) {
	return int32(math.Floor(p.X / k.cell)), int32(math.Floor(p.Y / k.cell))
}

func (k *nearby) touches(a, b geometry.Point) bool {
	r := geometry.EmptyRect().Include(a).Include(b)
	x0, y0 := k.at(r.Min)
	x1, y1 := k.at(r.Max)
	if int64(x1-x0+1)*int64(y1-y0+1) > int64(4*len(k.in)) {
		return true
	}
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			if k.in[[2]int32{x, y}] {
				return true
			}
		}
	}
	return false
}

// band is geometry.OffsetBand of the parts of the outline that are near.
func (k *nearby) band(p geometry.Path, d float64) geometry.Path {
	var out geometry.Path
	all := sides(p)
	wound := func(c geometry.Contour) geometry.Contour {
		if d < 0 {
			return geometry.Path{c}.Reverse()[0]
		}
		return c
	}
	for i := range all {
		s := &all[i]
		if !k.touches(s.a, s.b) {
			continue
		}
		n := s.inward().Mul(-d)
		out = append(out, wound(geometry.Polygon(s.a, s.a.Add(n), s.b.Add(n), s.b)))
		m := all[s.next].inward().Mul(-d)
		if turn := n.Cross(m) * math.Copysign(1, d); turn > 0 || turn == 0 && n.Dot(m) < 0 {
			out = append(out, wound(sector(s.b, n, m, d)))
		}
	}
	return out
}

// sector is the part of the disc around b between the ends of n and m, its arc
// in chords that stray less than the map's sagitta, around the true arc when
// growing so that nothing is lost.
func sector(b, n, m geometry.Point, d float64) geometry.Contour {
	angle := math.Atan2(n.Cross(m), n.Dot(m))
	if angle == 0 {
		angle = math.Copysign(math.Pi, d)
	}
	r := math.Abs(d)
	step := 2 * math.Acos(math.Max(0, 1-sagittaMM/r))
	k := max(1, int(math.Ceil(math.Abs(angle)/step)))
	pts := make([]geometry.Point, 0, k+2)
	pts = append(pts, b, b.Add(n))
	for i := 1; i < k; i++ {
		sin, cos := math.Sincos(angle * float64(i) / float64(k))
		pts = append(pts, b.Add(geometry.Pt(n.X*cos-n.Y*sin, n.X*sin+n.Y*cos)))
	}
	return geometry.Polygon(append(pts, b.Add(m))...)
}

// spots looks at every connected thin part.
func (f *finder) spots(ctx context.Context) ([]Spot, error) {
	n := int32(len(f.shapes))
	var out []Spot
	speck := make([]bool, n)
	for i := range f.parts.Pieces {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		p := &f.parts.Pieces[i]
		k := p.Label % n
		if s := &f.shapes[k]; s.isSpeck(f.o) {
			if !speck[k] {
				speck[k] = true
				out = append(out, f.speck(k))
			}
			continue
		}
		if p.Label >= n {
			continue
		}
		if s, ok := f.spot(int32(i)); ok {
			out = append(out, s)
		}
	}
	slices.SortStableFunc(out, func(a, b Spot) int {
		return cmp.Or(cmp.Compare(uint32(a.Piece), uint32(b.Piece)), cmp.Compare(a.Bounds.Min.Y, b.Bounds.Min.Y), cmp.Compare(a.Bounds.Min.X, b.Bounds.Min.X))
	})
	return out, nil
}

// border is what surrounds a connected thin part.
type border struct {
	runs       int // stretches along which its own piece goes on
	freeMM     float64
	corners    int // sharp ones on the outline
	tip        geometry.Point
	diameterMM float64
	neighbours map[int32]float64 // by piece, or NoPiece
}

// sharp is the cosine of the turn from which a corner counts: 60°.
const sharp = 0.5

func (f *finder) border(i int32) border {
	d, n := f.parts, int32(len(f.shapes))
	p := &d.Pieces[i]
	shape := p.Label % n
	b := border{neighbours: map[int32]float64{}}
	var hull []geometry.Point
	for _, ring := range p.Rings {
		var free [][]geometry.Point
		first, before := false, false
		runs := 0
		for k, ref := range ring.Seams {
			seam := &d.Seams[ref.Index()]
			across := seam.Left
			if ref.Backwards() {
				across = seam.Right
			}
			owner := int32(-1)
			if across != planar.None {
				owner = d.Pieces[across].Label % n
			}
			contact := owner == shape
			pts := make([]geometry.Point, len(seam.Points))
			for q, v := range seam.Points {
				pts[q] = v.MM()
			}
			if ref.Backwards() {
				slices.Reverse(pts)
			}
			hull = append(hull, pts...)
			switch {
			case !contact:
				b.freeMM += seam.LengthMM
				other := NoPiece
				if owner >= 0 {
					other = f.shapes[owner].piece
				}
				b.neighbours[other] += seam.LengthMM
				if k > 0 && !before {
					last := len(free) - 1
					free[last] = append(free[last], pts[1:]...)
				} else {
					free = append(free, pts)
				}
			case k == 0 || !before:
				runs++
			}
			if k == 0 {
				first = contact
			}
			before = contact
		}
		if first && before && runs > 1 {
			runs--
		}
		if !first && !before && len(free) > 1 {
			free[0] = append(free[len(free)-1], free[0][1:]...)
			free = free[:len(free)-1]
		}
		b.runs += runs
		for _, way := range free {
			b.count(way)
		}
	}
	b.diameterMM = diameter(hull)
	return b
}

// count adds the sharp corners of a stretch of outline.
func (b *border) count(way []geometry.Point) {
	way = withoutSteps(way)
	for q := 1; q+1 < len(way); q++ {
		u, v := way[q].Sub(way[q-1]), way[q+1].Sub(way[q])
		if u.Dot(v) < sharp*u.Len()*v.Len() && u.Cross(v) > 0 {
			b.corners++
			b.tip = way[q]
		}
	}
}

// withoutSteps leaves out the points that are nearer to the last than rounding
// can be trusted with.
func withoutSteps(way []geometry.Point) []geometry.Point {
	const near = 0.03
	out := way[:1:1]
	for _, p := range way[1:] {
		if p.Sub(out[len(out)-1]).Len() > near {
			out = append(out, p)
		}
	}
	return out
}

// diameter returns the largest distance of two of the points along 32
// directions: at most 0.5 % too small.
func diameter(pts []geometry.Point) float64 {
	best := 0.0
	for k := range 32 {
		sin, cos := math.Sincos(math.Pi * float64(k) / 32)
		u := geometry.Pt(cos, sin)
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, p := range pts {
			v := p.Dot(u)
			lo, hi = math.Min(lo, v), math.Max(hi, v)
		}
		best = math.Max(best, hi-lo)
	}
	return best
}

func (f *finder) speck(k int32) Spot {
	s := &f.shapes[k]
	b := s.outline.Bounds()
	out := Spot{
		Kind: Speck, Piece: s.piece, Whole: true, Outline: s.outline, Bounds: b,
		WidthMM: math.Min(b.Width(), b.Height()), LengthMM: math.Max(b.Width(), b.Height()),
		AreaMM2: math.Abs(s.outline.SignedArea()),
	}
	n := int32(len(f.shapes))
	all := map[int32]float64{}
	for i := range f.parts.Pieces {
		p := &f.parts.Pieces[i]
		if p.Label%n != k {
			continue
		}
		for other, l := range f.border(int32(i)).neighbours {
			all[other] += l
		}
		if p.Area2 > 0 && out.At == (geometry.Point{}) {
			out.At = f.parts.Inside(i)
		}
	}
	out.Neighbours = sorted(all)
	out.Spine = [][2]geometry.Point{{b.Centre(), b.Centre()}}
	return out
}

// spot measures a connected thin part; false when it is but a corner.
func (f *finder) spot(i int32) (Spot, bool) {
	p := &f.parts.Pieces[i]
	s := &f.shapes[p.Label]
	w := f.o.WidthMM
	b := f.border(i)
	out := Spot{
		Piece: s.piece, Outline: f.parts.Outline(int(i)), Bounds: p.Bounds, AreaMM2: p.AreaMM2(),
		Whole: b.runs == 0, Neighbours: sorted(b.neighbours),
	}
	if out.Whole && out.AreaMM2 < 0.5*math.Abs(s.outline.SignedArea()) {
		return out, false // a crumb of rounding that touches its piece at corners
	}
	discs := s.within(out.Outline, out.Bounds)
	switch {
	case b.runs == 0:
		out.Kind = Sliver
	case len(discs) == 0:
		return out, false
	case b.runs > 1:
		out.Kind = Neck
	case b.diameterMM+f.cusp() <= w:
		return out, false
	case b.corners == 1:
		out.Kind = Point
	default:
		out.Kind = Sliver
	}
	if s.piece == NoPiece {
		if out.Kind == Point {
			return out, false // waste that ends in a point harms nothing
		}
		out.Kind = Gap
	}
	f.measure(&out, s, discs, &b)
	return out, true
}

// cusp is how much of its side a corner's residue loses because shapes are grown
// back by slackMM more than they were shrunk: where the larger circle meets the
// side.
func (f *finder) cusp() float64 {
	return math.Sqrt(f.o.WidthMM*slackMM + slackMM*slackMM)
}

// within returns the medial discs with their centres inside the outline.
func (s *shape) within(outline geometry.Path, bounds geometry.Rect) []disc {
	var out []disc
	for i := range s.discs {
		if c := s.discs[i].c; bounds.Contains(c) && encloses(outline, c) {
			out = append(out, s.discs[i])
		}
	}
	return out
}

// encloses is the even-odd rule for polygons.
func encloses(path geometry.Path, p geometry.Point) bool {
	in := false
	for _, c := range path {
		a := c.End()
		b := c.Start
		for k := 0; ; k++ {
			if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
				in = !in
			}
			if k == len(c.Segments) {
				break
			}
			a, b = b, c.Segments[k].End
		}
	}
	return in
}

// measure fills in widths, length, place and spine.
func (f *finder) measure(out *Spot, s *shape, discs []disc, b *border) {
	narrow, wide := math.Inf(1), 0.0
	at := geometry.Point{}
	var middle geometry.Point
	for k := range discs {
		d := &discs[k]
		if 2*d.r < narrow {
			narrow, at = 2*d.r, d.c
		}
		if 2*d.r > wide {
			wide, middle = 2*d.r, d.c
		}
	}
	if len(discs) == 0 { // a whole piece without two sides that face each other
		narrow = math.Min(out.Bounds.Width(), out.Bounds.Height())
		wide, at, middle = narrow, out.Bounds.Centre(), out.Bounds.Centre()
		discs = []disc{{c: middle}}
	}
	switch {
	case out.Kind == Point:
		out.LengthMM = b.freeMM/2 + f.cusp()
		out.WidthMM, out.At = out.AreaMM2/out.LengthMM, middle
	case out.Whole:
		out.LengthMM = math.Max(b.freeMM/2-wide*boolTo(b.runs == 0 && f.simple(out)), wide)
		out.WidthMM, out.At = wide, middle
		if out.Kind == Gap {
			out.WidthMM, out.At = narrow, at
		}
	case b.runs == 1:
		out.LengthMM = math.Max((b.freeMM-narrow)/2, 0)
		out.WidthMM, out.At = narrow, at
	default:
		out.LengthMM = b.freeMM / 2
		out.WidthMM, out.At = narrow, at
	}
	if out.Kind == Neck || out.Kind == Gap {
		discs = append(discs, s.beyond(discs, f.o.WidthMM)...)
	}
	out.Spine = spine(discs, f.o.WidthMM/2, out.Kind == Point, b.tip)
}

// beyond returns the discs at which a waist that opens at a wide angle goes on
// to widen: they touch at a blunter angle than a thin place does.
func (s *shape) beyond(discs []disc, width float64) []disc {
	var out []disc
	for _, d := range s.opening {
		best, r := width, 0.0
		for k := range discs {
			if l := discs[k].c.Sub(d.c).Len(); l < best {
				best, r = l, discs[k].r
			}
		}
		// Towards a plain corner discs become smaller.
		if best < width && d.r > r {
			out = append(out, d)
		}
	}
	return out
}

// simple reports whether the spot has no hole.
func (f *finder) simple(s *Spot) bool { return len(s.Outline) == 1 }

func boolTo(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// spine joins the centres of discs that follow each other along the outline. A
// point's are left out near its tip, which a disc of radius r further back
// covers.
func spine(discs []disc, r float64, point bool, tip geometry.Point) [][2]geometry.Point {
	var kept []disc
	if point {
		furthest := discs[0]
		for _, d := range discs {
			if d.c.Sub(tip).Len() > furthest.c.Sub(tip).Len() {
				furthest = d
			}
			if d.c.Sub(tip).Len() >= r-barMM {
				kept = append(kept, d)
			}
		}
		if len(kept) == 0 {
			kept = append(kept, furthest)
		}
	} else {
		kept = discs
	}
	// Both sides of a thin place have the same middle: what another line covers
	// is left out.
	var out [][2]geometry.Point
	const same = 0.04
	covered := func(p geometry.Point) bool {
		for _, l := range out {
			if (&side{a: l[0], b: l[1]}).distance(p) < same {
				return true
			}
		}
		return false
	}
	for i := 0; i < len(kept); {
		// A straight run becomes one line.
		k := i
		for k+1 < len(kept) && kept[k+1].run == kept[i].run && straightRun(kept[i:k+2]) {
			k++
		}
		a, b := kept[i].c, kept[k].c
		if !(covered(a) && covered(b) && covered(a.Lerp(b, 0.5))) {
			out = append(out, [2]geometry.Point{a, b})
		}
		if k > i && k+1 < len(kept) && kept[k+1].run == kept[i].run {
			i = k // lines of a run share their ends
		} else if k+1 < len(kept) && kept[k+1].run == kept[k].run && kept[k+1].c.Sub(b).Len() < r {
			out = append(out, [2]geometry.Point{b, kept[k+1].c})
			i = k + 1
		} else {
			i = k + 1
		}
	}
	return out
}

func (s *side) distance(p geometry.Point) float64 {
	if s.a == s.b {
		return s.a.Sub(p).Len()
	}
	return s.nearest(p).Sub(p).Len()
}

// straightRun reports whether the centres between lie on the line from the
// first to the last.
func straightRun(discs []disc) bool {
	const off = 0.006
	l := side{a: discs[0].c, b: discs[len(discs)-1].c}
	for i := range discs {
		if l.distance(discs[i].c) > off {
			return false
		}
	}
	return true
}

func sorted(m map[int32]float64) []Neighbour {
	var out []Neighbour
	for p, l := range m {
		out = append(out, Neighbour{p, l})
	}
	slices.SortFunc(out, func(a, b Neighbour) int {
		return cmp.Or(cmp.Compare(b.LengthMM, a.LengthMM), cmp.Compare(a.Piece, b.Piece))
	})
	return out
}
