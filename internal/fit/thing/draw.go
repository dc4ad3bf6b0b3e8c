package thing

import (
	"context"
	"maps"
	"math"
	"slices"

	"abut/geometry"
	"abut/internal/job"
)

// Made is a mend of a thing that was found.
type Made struct {
	job.Mend
	// AreaMM2 is by how much what is alike grew, whatever lies over it.
	AreaMM2 float64
	// Fewer is how many dashes fewer there are.
	Fewer int
	// Moves say where the alike things come to lie, in their order; nil where all stay.
	Moves []geometry.Affine
	// CutOff: there was not enough room on the page for letters, which end at its edge.
	CutOff bool
}

// Layer is a layer that mends are about.
type Layer struct {
	Shapes    []job.Shape
	Transform geometry.Affine // to the board
	Text      bool            // it is lettering
	// Beneath are the layers that it lies over, bottom first, and Front those of another colour that lie over it.
	Beneath, Front []Ground
}

// foundMM is how far from its place a thing may lie that a mend is about: rounding
// moves it by far less.
const foundMM = 0.1

// Draw returns the layer's shapes with its things as the mends would have them, in
// the layer's own units, and the mends whose thing is there. What is alike is
// treated alike. Nothing comes to lie outside of page, the extent of the art, that
// was within: it moves in, or is cut off there. Errors as planar.Build.
func Draw(ctx context.Context, l Layer, page geometry.Rect, mends []job.Mend) ([]job.Shape, []Made, error) {
	back, ok := l.Transform.Invert()
	if !ok {
		return l.Shapes, nil, nil
	}
	d, err := newDrawing(ctx, l, page)
	if err != nil {
		return nil, nil, err
	}
	// Larger comes before broader, which is in true millimetres.
	order := slices.Clone(mends)
	slices.SortStableFunc(order, func(a, b job.Mend) int { return int(b.Do) - int(a.Do) })
	var made []Made
	var groups []int
	things := NewFinder(d.things)
	for _, m := range order {
		at := things.At(l.Transform.Apply(m.At), foundMM)
		if at < 0 {
			continue
		}
		done := Made{Mend: m}
		if err := d.mend(ctx, &done, at); err != nil {
			return nil, nil, err
		}
		made, groups = append(made, done), append(groups, d.things[at].Group)
	}
	if len(d.changed) == 0 {
		return l.Shapes, made, nil
	}
	cutOff, err := keepInside(ctx, d.things, d.fresh, d.changed, d.still, page)
	if err != nil {
		return nil, nil, err
	}
	for i := range made {
		made[i].CutOff = cutOff[groups[i]]
	}
	return d.shapes(back), made, nil
}

// drawing is a layer's things while they are drawn anew.
type drawing struct {
	Layer
	scale   float64 // of its units, in mm
	things  []Thing // as they were
	fresh   []geometry.Path
	changed map[int]bool
	still   map[int]bool          // what they are the outline of does not move with them
	moved   map[int]bool          // shapes in which something was moved
	dots    []int                 // the dots of the letters that are drawn anew
	slim    map[int]geometry.Path // and how they are without being larger
	grounds grounds
	fronts  grounds
	page    geometry.Rect
}

func newDrawing(ctx context.Context, l Layer, page geometry.Rect) (*drawing, error) {
	things, err := Find(ctx, l.Shapes, l.Transform, l.Text)
	if err != nil {
		return nil, err
	}
	d := &drawing{Layer: l, scale: math.Sqrt(math.Abs(l.Transform.Det())), things: things, changed: map[int]bool{}, still: map[int]bool{}, moved: map[int]bool{}, slim: map[int]geometry.Path{}, grounds: grounds{of: l.Beneath}, fronts: grounds{of: l.Front}, page: page}
	for i := range things {
		d.fresh = append(d.fresh, things[i].Outline)
	}
	return d, nil
}

// group returns the things that are alike one.
func (d *drawing) group(at int) (members []int) {
	for i := range d.things {
		if d.things[i].Group == d.things[at].Group {
			members = append(members, i)
		}
	}
	return members
}

// mend draws what is alike a thing as a mend would have it, and says what became of it.
func (d *drawing) mend(ctx context.Context, m *Made, at int) error {
	if m.WidthMM <= m.Drawn*d.scale {
		return nil
	}
	if m.Do == job.Displace { // alone: what is alike lies elsewhere
		m.AreaMM2 = d.displace(m.Mend, at)
		return nil
	}
	members := d.group(at)
	if d.things[at].Kind == Dash && len(members) > 1 && m.Do == job.Broaden { // one alone has no pace: it is a stroke
		return d.dash(ctx, m, members)
	}
	var sooner map[int]geometry.Path
	if m.Apart && d.things[at].Kind != Letter {
		sooner = Spread(d.things, d.things[at].Group, m.WidthMM)
	}
	before, err := d.allAnew(ctx, m, sooner, members)
	if err != nil {
		return err
	}
	for n, i := range members {
		d.changed[i] = true
		d.still[i] = d.still[i] || m.Around || d.things[i].Outlines(m.Drawn*d.scale)
		m.AreaMM2 += math.Abs(d.fresh[i].SignedArea()) - math.Abs(before[n].SignedArea())
	}
	return nil
}

// allAnew draws alike things, and returns how they were.
func (d *drawing) allAnew(ctx context.Context, m *Made, sooner map[int]geometry.Path, members []int) ([]geometry.Path, error) {
	before := make([]geometry.Path, len(members))
	letters := m.Do == job.Broaden && d.things[members[0]].Kind == Letter
	d.dots = nil
	if letters && m.LengthMM > 0 {
		d.dots = Dots(d.fresh, members, m.LengthMM)
	}
	for n, i := range members {
		before[n] = d.fresh[i]
		if err := d.anew(ctx, m, i, sooner[i], members); err != nil {
			return nil, err
		}
	}
	if !letters {
		return before, nil
	}
	d.space(m, members, geometry.Identity())
	if m.Around {
		return before, nil
	}
	if err := d.squeeze(ctx, m, members, before); err != nil {
		return nil, err
	}
	d.slimmer(m, members)
	return before, nil
}

// dotApart is how far, in widths, a larger dot stays away from other letters at least: it would run into them.
const dotApart = 0.2

// slimmer draws those dots as large as they were that would come too near to another letter as large as they must be: both
// dots of an ü where they come too near to each other.
func (d *drawing) slimmer(m *Made, members []int) {
	boxes := make([]geometry.Rect, len(members)) // lines of a text that dots join are one group of thousands
	for n, k := range members {
		boxes[n] = d.fresh[k].Bounds()
	}
	apart := dotApart * m.WidthMM
	var tight []int
	for _, i := range d.dots {
		near := d.fresh[i].Bounds().Grow(apart)
		for n, k := range members {
			if k != i && !near.Intersect(boxes[n]).Empty() && nearer(d.fresh[i], d.fresh[k], apart) && !nearer(d.things[i].Outline, d.things[k].Outline, apart) {
				tight = append(tight, i)
				break
			}
		}
	}
	for _, i := range tight {
		to := d.fresh[i].Bounds().Centre().Sub(d.slim[i].Bounds().Centre())
		d.fresh[i] = d.slim[i].Transform(geometry.Translate(to.X, to.Y))
	}
}

// LeastSqueezed is how large letters stay at least for being drawn broader, and further apart, within a page that they fill: what
// is less is seen.
const LeastSqueezed = 0.9

// squeezes is how often that is done: what is smaller is thinner, too, and grows a little more.
const squeezes = 3

// squeeze draws letters that became broader than the page has room for anew, so much smaller before that they then fill it as they
// did: it would cut their feet off. before is how they were.
func (d *drawing) squeeze(ctx context.Context, m *Made, members []int, before []geometry.Path) error {
	drawn := geometry.EmptyRect()
	for n, i := range members {
		if d.things[i].strands != nil && !m.Fine { // drawn from these
			return nil
		}
		drawn = drawn.Union(before[n].Bounds())
	}
	was, slim, moves := slices.Clone(d.fresh), maps.Clone(d.slim), m.Moves
	box := drawn
	for range squeezes {
		is := geometry.EmptyRect()
		for _, i := range members {
			is = is.Union(d.fresh[i].Bounds())
		}
		room := roomFor(drawn, is, Room(drawn, d.page, m.WidthMM))
		if room.Encloses(is) {
			return nil
		}
		// By as much as they grew they begin further in; where they have room they stay as small as they are by now.
		if is.Width() > room.Width() {
			box.Min.X, box.Max.X = room.Min.X+box.Min.X-is.Min.X, room.Max.X+box.Max.X-is.Max.X
		}
		if is.Height() > room.Height() {
			box.Min.Y, box.Max.Y = room.Min.Y+box.Min.Y-is.Min.Y, room.Max.Y+box.Max.Y-is.Max.Y
		}
		k := geometry.Pt(box.Width()/drawn.Width(), box.Height()/drawn.Height())
		if math.Min(k.X, k.Y) < LeastSqueezed {
			d.fresh, d.slim, m.Moves = was, slim, moves
			return nil
		}
		to := geometry.Translate(box.Min.X, box.Min.Y).Mul(geometry.Scale(k.X, k.Y)).Mul(geometry.Translate(-drawn.Min.X, -drawn.Min.Y))
		for n, i := range members {
			d.fresh[i] = before[n].Transform(to)
			if err := d.anew(ctx, m, i, nil, members); err != nil {
				return err
			}
		}
		d.space(m, members, to)
	}
	return nil
}

// anew draws one of alike things; sooner is it ending sooner, nil where it does not.
func (d *drawing) anew(ctx context.Context, m *Made, i int, sooner geometry.Path, members []int) (err error) {
	t, before := &d.things[i], d.fresh[i]
	switch {
	case sooner != nil:
		d.fresh[i], err = union(ctx, sooner)
		d.moved[t.Shape] = true
	case m.Do == job.Enlarge:
		to := d.enlarged(m.Mend, i, members)
		d.fresh[i], m.Moves = before.Transform(to), append(m.Moves, to)
		d.moved[t.Shape] = true
	case m.Fine && m.Around:
		d.fresh[i], err = rim(ctx, before, &d.fronts, roomFor(t.Bounds, anywhere, d.page), m.WidthMM)
	case m.Fine:
		d.fresh[i], err = strengthened(ctx, before, m.WidthMM)
	case t.strands != nil:
		d.fresh[i], err = t.strongly(ctx, m.WidthMM)
	default:
		d.fresh[i], err = d.broader(ctx, m.Mend, t, before)
	}
	if slices.Contains(d.dots, i) {
		d.slim[i] = d.fresh[i]
		d.fresh[i] = Dotted(d.fresh[i], m.LengthMM)
	}
	return err
}

// space moves letters apart, if they are to be, and notes where they come to lie that lay elsewhere before they were drawn anew.
func (d *drawing) space(m *Made, members []int, lie geometry.Affine) {
	m.Moves = nil
	var moves []geometry.Affine
	if m.Apart {
		moves = Spacing(d.things, members, d.fresh, d.Transform.ApplyVector(geometry.Pt(1, 0)), m.WidthMM)
	}
	if moves == nil && lie == geometry.Identity() {
		return
	}
	for n, i := range members {
		to := lie
		if moves != nil {
			d.fresh[i], to = d.fresh[i].Transform(moves[n]), moves[n].Mul(lie)
		}
		m.Moves = append(m.Moves, to)
		d.moved[d.things[i].Shape] = true
	}
}

// coveredShare is how much of how broad a line is shows at most where something lies over it all along.
const coveredShare = 0.7

// Outlines reports whether a thing is a ring of which, as broad as it is seen, half lies beneath what it is the outline of.
func (t *Thing) Outlines(seenMM float64) bool {
	return t.Kind == Line && t.Holed && seenMM < coveredShare*t.WidthMM
}

// broader draws a thing evenly broader; a line ends where what it lies on has room for it, and a
// shape at the edge of that.
func (d *drawing) broader(ctx context.Context, m job.Mend, t *Thing, before geometry.Path) (geometry.Path, error) {
	out, err := t.broader(ctx, before, (m.WidthMM-m.Drawn*d.scale)/2, m.Side)
	switch {
	case err != nil:
		return nil, err
	case t.Holed: // what goes all round has no end
		return out, nil
	case t.Stroke && t.Kind == Line:
		return t.endOn(ctx, out, m.WidthMM, &d.grounds)
	case !t.Stroke && (t.Kind == Line || t.Kind == Figure):
		return t.endOn(ctx, out, 0, &d.grounds)
	}
	return out, nil
}

// enlarged returns what makes a thing larger about its own centre, that of the word that it
// is a letter of, or of the pattern that it is a dot of. members are those that it is alike.
func (d *drawing) enlarged(m job.Mend, i int, members []int) geometry.Affine {
	t := &d.things[i]
	centre := t.Bounds.Centre()
	if t.Kind == Letter {
		word := geometry.EmptyRect()
		for _, k := range members {
			word = word.Union(d.things[k].Bounds)
		}
		centre = word.Centre()
	} else if m.Together {
		centre = Cluster(d.things, i).Centre()
	}
	by := d.Transform.Apply(m.Moved).Sub(d.Transform.Apply(geometry.Point{}))
	return geometry.Translate(by.X, by.Y).Mul(larger(centre, m.WidthMM/(m.Drawn*d.scale)))
}

// displace moves a thing or an edge of it as a mend says, and returns about how much of the picture
// that changes, in mm².
func (d *drawing) displace(m job.Mend, i int) float64 {
	by := d.Transform.Apply(m.Moved).Sub(d.Transform.Apply(geometry.Point{}))
	if room := m.WidthMM - m.Drawn*d.scale; !m.Whole && by.Len() > room {
		by = by.Mul(room / by.Len())
	}
	before := d.fresh[i]
	d.changed[i], d.moved[d.things[i].Shape] = true, true
	if !m.Edge {
		d.fresh[i] = before.Transform(geometry.Translate(by.X, by.Y))
		b := before.Bounds()
		return 2 * (b.Width()*math.Abs(by.Y) + b.Height()*math.Abs(by.X))
	}
	after, ok := moveEdge(before, d.Transform.Apply(m.At), by)
	if !ok {
		return 0
	}
	d.fresh[i] = after
	return math.Abs(after.SignedArea() - before.SignedArea())
}

// dash draws dashes broader: fewer and longer ones, all with the first of them.
func (d *drawing) dash(ctx context.Context, m *Made, members []int) error {
	var run []*Thing
	before := 0.0
	for _, i := range members {
		run = append(run, &d.things[i])
		before += d.things[i].AreaMM2
		d.fresh[i] = nil
		d.changed[i], d.moved[d.things[i].Shape] = true, true
	}
	t := run[0]
	anew := dashes{nib{t.WidthMM, t.caps}, run, m.WidthMM, m.LengthMM, m.Aside * math.Copysign(d.scale, d.Transform.Det())}
	all, n, err := anew.drawn(ctx)
	if err != nil {
		return err
	}
	d.fresh[members[0]] = all
	m.AreaMM2, m.Fewer = math.Abs(all.SignedArea())-before, len(members)-n
	return nil
}

// shapes returns the layer's shapes with what was drawn anew.
func (d *drawing) shapes(back geometry.Affine) []job.Shape {
	out := slices.Clone(d.Shapes)
	for i := 0; i < len(d.things); {
		s, anew := d.things[i].Shape, false
		var path geometry.Path
		for ; i < len(d.things) && d.things[i].Shape == s; i++ {
			path = append(path, d.fresh[i]...)
			anew = anew || d.changed[i]
		}
		if anew {
			out[s].Path, out[s].Rule = path.Transform(back), geometry.NonZero
			if d.moved[s] {
				out[s].Centre = nil // no longer what a pen would follow
			}
		}
	}
	return out
}

// keepInside moves what grew out of the page in again, letters of a word together,
// and cuts off what has no room, or stays where it is. Where it was drawn beyond the page, it may grow there. It returns the groups of
// which letters were cut off so far that one sees it.
func keepInside(ctx context.Context, things []Thing, fresh []geometry.Path, changed, still map[int]bool, page geometry.Rect) (cutOff map[int]bool, _ error) {
	cutOff = map[int]bool{}
	type extent struct{ drawn, is geometry.Rect }
	bounds := map[int]extent{}
	key := func(i int) int {
		if things[i].Kind == Letter {
			return things[i].Group
		}
		return i
	}
	for i := range things {
		if changed[i] {
			b, ok := bounds[key(i)]
			if !ok {
				b = extent{geometry.EmptyRect(), geometry.EmptyRect()}
			}
			bounds[key(i)] = extent{b.drawn.Union(things[i].Bounds), b.is.Union(fresh[i].Bounds())}
		}
	}
	for i := range things {
		b := bounds[key(i)]
		room := roomFor(b.drawn, b.is, page)
		if !changed[i] || room.Encloses(b.is) {
			continue
		}
		if !still[i] {
			move := inside(b.is, room)
			fresh[i] = fresh[i].Transform(geometry.Translate(move.X, move.Y))
		}
		if box := fresh[i].Bounds(); !room.Encloses(box) {
			if things[i].Kind == Letter && !room.Grow(cutOffMM).Encloses(box) {
				cutOff[things[i].Group] = true
			}
			var err error
			if fresh[i], err = within(ctx, fresh[i], room); err != nil {
				return nil, err
			}
		}
	}
	return cutOff, nil
}

// cutOffMM is how far a letter is cut off at most at the page's edge for nobody to miss it: twice what one sees at arm's length.
const cutOffMM = 0.16

// anywhere is as much room as there may be.
var anywhere = geometry.Rect{Min: geometry.Pt(math.Inf(-1), math.Inf(-1)), Max: geometry.Pt(math.Inf(1), math.Inf(1))}

// Room returns where letters may lie on a page that were drawn within some bounds: no nearer to its edge than a width, in mm, unless
// they were.
func Room(drawn, page geometry.Rect, width float64) geometry.Rect {
	off := func(as float64) float64 { return math.Max(0, math.Min(width, as)) }
	return geometry.Rect{
		Min: page.Min.Add(geometry.Pt(off(drawn.Min.X-page.Min.X), off(drawn.Min.Y-page.Min.Y))),
		Max: page.Max.Sub(geometry.Pt(off(page.Max.X-drawn.Max.X), off(page.Max.Y-drawn.Max.Y))),
	}
}

// roomFor returns where something may lie that was drawn anew: on the page, and on those sides on which it lay beyond that
// before as far as it does.
func roomFor(drawn, is, page geometry.Rect) geometry.Rect {
	near := page.Grow(foundMM)
	if drawn.Min.X < near.Min.X {
		page.Min.X = math.Min(page.Min.X, is.Min.X)
	}
	if drawn.Min.Y < near.Min.Y {
		page.Min.Y = math.Min(page.Min.Y, is.Min.Y)
	}
	if drawn.Max.X > near.Max.X {
		page.Max.X = math.Max(page.Max.X, is.Max.X)
	}
	if drawn.Max.Y > near.Max.Y {
		page.Max.Y = math.Max(page.Max.Y, is.Max.Y)
	}
	return page
}
