package fit

import (
	"cmp"
	"context"
	"errors"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/geometry/weak"
	"abut/internal/job"
)

// Why MendAll keeps a spot: ids of sentences.
const (
	// ReasonTooDense: thin parts lie so close together that making room for one
	// always leaves another one thin.
	ReasonTooDense = "unmendable-too-dense"
	// ReasonNowhere: nothing lies beside a gap that could close it.
	ReasonNowhere = "unmendable-nowhere"
)

// MendAll returns the job with a mend for every weak spot that has none yet.
// Spots are given to a neighbour or widened, whichever changes less of the
// picture; gaps are closed. Nothing is left bare by it. Mending changes what
// lies beside a spot, which may leave another one: those are mended in rounds of
// their own. What is left after the last round is kept, with the reason. Once
// more on the result changes nothing.
//
// It is a pure edit: neither the job nor a plan of it is changed. Cost: some
// passes of Compute and of Weak for each round; a picture has a handful.
func MendAll(ctx context.Context, j job.Job) (job.Job, error) {
	m, err := startMending(ctx, j)
	if err != nil {
		return j, err
	}
	before, err := m.run(ctx, j)
	if err != nil {
		return j, err
	}
	var kept []MadeMend
	rest, round := withoutLapsed(j, before)
	for _, x := range before {
		if x.State == MendDone && x.Do == job.Keep {
			kept = append(kept, x)
		}
	}
	var fresh []job.Mend
	tries := attempts{cell: j.Settings.Narrowest(), at: map[[2]int32]int{}}
	var crowded *planar.ComplexityError
	var last []rawSpot
	sure, start := 0, round // mends of the rounds before the last
	for ; ; round++ {
		spots, err := m.spots(ctx, j.Settings)
		if round > start && errors.As(err, &crowded) {
			// The last round made things worse: without it, what was there
			// before stays.
			fresh = fresh[:sure]
			for _, k := range withoutKept(last, kept, j.Settings) {
				mend := m.about(&last[k], round-1)
				mend.Do, mend.Reason = job.Keep, ReasonTooDense
				fresh = append(fresh, mend)
			}
			break
		}
		if err != nil {
			return j, err
		}
		last, sure = spots, len(fresh)
		open := withoutKept(spots, kept, j.Settings)
		if len(open) == 0 {
			break
		}
		if round >= job.MaxRounds-1 {
			for _, k := range open {
				mend := m.about(&spots[k], min(round, job.MaxRounds-1))
				mend.Do, mend.Reason = job.Keep, ReasonTooDense
				fresh = append(fresh, mend)
			}
			break
		}
		laid := len(m.layers)
		busy := map[[2]int32]bool{}
		for _, k := range open {
			s := &spots[k]
			cells := cellsOf(s.Outline, j.Settings.Narrowest())
			if slices.ContainsFunc(cells, func(c [2]int32) bool { return busy[c] }) {
				continue // its neighbour is being mended: look again afterwards
			}
			mend := m.about(s, round)
			m.choose(&mend, s, j.Settings, max(tries.count(s.At), round-start-4), round-start >= lateRound)
			tries.add(s.At)
			l, ok, err := m.layer(ctx, s, mend, j.Settings)
			if err != nil {
				return j, err
			}
			if !ok {
				mend.Do, mend.Reason = job.Keep, ReasonNowhere
				fresh = append(fresh, mend)
				kept = append(kept, MadeMend{Mend: mend, At: s.At})
				continue
			}
			for _, c := range cells {
				busy[c] = true
			}
			l.mend = -1
			fresh = append(fresh, mend)
			m.layers = append(m.layers, l)
		}
		if len(m.layers) > laid {
			if err := m.lay(ctx, false); err != nil {
				return j, err
			}
		}
	}
	if len(fresh) == 0 {
		return j, nil
	}
	out := rest
	for _, mend := range fresh {
		if out, err = job.AddMend(out, mend); err != nil {
			return j, err
		}
	}
	return out, nil
}

// withoutLapsed returns the job without the mends that could not be made, and
// how many rounds the others take when none is left out between them: rounds are
// few. What is made stays the same.
func withoutLapsed(j job.Job, made []MadeMend) (job.Job, int) {
	done := map[job.Mend]bool{}
	var rounds []uint8
	for _, x := range made {
		if x.State == MendDone {
			done[x.Mend] = true
			rounds = append(rounds, x.Round)
		}
	}
	slices.Sort(rounds)
	rounds = slices.Compact(rounds)
	j.Items = slices.Clone(j.Items)
	for i := range j.Items {
		var mends []job.Mend
		for _, m := range j.Items[i].Mends {
			if done[m] {
				n, _ := slices.BinarySearch(rounds, m.Round)
				m.Round = uint8(n)
				mends = append(mends, m)
			}
		}
		j.Items[i].Mends = mends
	}
	return j, len(rounds)
}

// startMending lays out the job as it is without mends.
func startMending(ctx context.Context, j job.Job) (*mending, error) {
	placed, _, err := new(bands).place(ctx, j)
	if err != nil {
		return nil, err
	}
	m := &mending{placed: placed, keys: make([]layerKey, len(placed)), rules: newRules(j, placed)}
	for i, p := range placed {
		m.keys[i] = keyOf(p)
	}
	return m, m.lay(ctx, false)
}

// withoutKept returns which spots no mend keeps, the smallest first.
func withoutKept(spots []rawSpot, kept []MadeMend, s job.Settings) []int {
	keep := map[int]bool{}
	for _, x := range kept {
		if k := nearestSpot(spots, x.At, x.Spot, s.Narrowest()); k >= 0 {
			keep[k] = true
		}
	}
	var open []int
	for k := range spots {
		if !keep[k] {
			open = append(open, k)
		}
	}
	slices.SortStableFunc(open, func(a, b int) int { return cmp.Compare(spots[a].AreaMM2, spots[b].AreaMM2) })
	return open
}

// attempts counts the mends that were made about a place.
type attempts struct {
	cell float64
	at   map[[2]int32]int
}

func (a *attempts) in(p geometry.Point) [2]int32 {
	return [2]int32{int32(math.Floor(p.X / a.cell)), int32(math.Floor(p.Y / a.cell))}
}

func (a *attempts) add(p geometry.Point) { a.at[a.in(p)]++ }

// count returns how many mends were made there or next to it.
func (a *attempts) count(p geometry.Point) int {
	c, most := a.in(p), 0
	for dy := int32(-1); dy <= 1; dy++ {
		for dx := int32(-1); dx <= 1; dx++ {
			most = max(most, a.at[[2]int32{c[0] + dx, c[1] + dy}])
		}
	}
	return most
}

// lateRound is the round from which what is still weak is given away where it
// can be, whatever the picture loses by it: there is little of it by then.
const lateRound = 6

// choose picks what to do about a spot. tries counts the mends made about this
// place in earlier rounds, or all rounds but the first few: what came back is
// done the other way round, and a little more of it, for two narrow parts side by
// side would take from each other for ever.
func (m *mending) choose(mend *job.Mend, s *rawSpot, settings job.Settings, tries int, late bool) {
	w := settings.Narrowest()
	_, neighbour := m.target(s, job.Mend{Do: job.Give})
	piece := math.Abs(s.whole.SignedArea())
	mend.Do = job.Give
	switch {
	case s.Kind == weak.Gap: // closed, whoever closes it
		if to, ok := m.target(s, *mend); ok && tries > 0 {
			// Once more, and so broad that what closes it is not thin itself.
			mend.Do, mend.To, mend.Chosen = job.Recolour, m.rules.separations[to].colour, true
			mend.WidthMM = w * math.Min(1+0.1*float64(tries), 1.5)
		}
		return
	case neighbour && s.Kind == weak.Speck && tries == 0 && growing(s, settings) < s.AreaMM2:
		mend.Do = job.Widen // an eye stays an eye
		return
	case neighbour && s.Kind == weak.Speck:
		if tries > 1 {
			to, _ := m.target(s, *mend)
			mend.Do, mend.To, mend.Chosen = job.Recolour, m.rules.separations[to].colour, true
			mend.WidthMM = s.LengthMM + w/2
		}
		return
	case neighbour && tries >= 2 && piece < 6*w*w, neighbour && late && piece < 12*w*w:
		mend.Whole = true // there is not much of it anyway
		return
	}
	give := neighbour && s.AreaMM2 <= m.widening(s, w) && (s.Whole || m.surrounded(s))
	// Giving a waist away that is shorter than it must be broad leaves the
	// neighbour a waist of that length.
	short := s.Kind == weak.Neck && s.LengthMM < 1.3*w
	if tries%2 == 1 && neighbour {
		give = !give
	}
	if late && neighbour {
		give = !short || tries%2 == 0
	}
	if give && !(short && tries < 4) {
		return
	}
	mend.Do = job.Widen
	mend.WidthMM = w * math.Min(1+0.1*float64(tries/2), 1.5)
}

// growing estimates the area that a speck takes from what lies around it when it
// is made as large as the smallest one.
func growing(s *rawSpot, settings job.Settings) float64 {
	d := settings.Speck() + widenMM
	return math.Max(0, math.Pi/4*d*d-s.AreaMM2)
}

// enclosing is the share of a spot's border, its own piece aside, that the
// neighbour which takes it must have. What is left of the piece ends in an arc;
// where another one lies beside that, the taker would end in a cusp between them.
const enclosing = 0.85

func (m *mending) surrounded(s *rawSpot) bool {
	all, most := 0.0, 0.0
	for _, n := range s.neighbours {
		all += n.length
		if n.sep != bare && n.sep != s.sep {
			most = math.Max(most, n.length)
		}
	}
	return most >= enclosing*all
}

// widening estimates the area that widening takes from what lies around.
func (m *mending) widening(s *rawSpot, w float64) float64 {
	length := 0.0
	for _, l := range s.Spine {
		length += l[0].Sub(l[1]).Len()
	}
	ends := 0.0
	switch {
	case s.Whole && len(s.Outline) == 1:
		ends = math.Pi / 4 * w * w
	case s.Kind == weak.Sliver || s.Kind == weak.Point:
		ends = math.Pi / 8 * w * w
	}
	return math.Max(0, w*length+ends-s.AreaMM2)
}

// about returns a mend of a spot without saying what is done about it.
func (m *mending) about(s *rawSpot, round int) job.Mend {
	p := &m.placed[m.anchor(s)]
	at := s.At
	if inv, ok := p.transform.Invert(); ok {
		at = inv.Apply(at)
	}
	return job.Mend{Layer: p.layer.ID, At: at, Spot: job.SpotKind(s.Kind), Round: uint8(round)}
}

// anchor returns the layer that a spot goes with: the topmost one that covers
// it and is cut from its sheet, else the topmost there, else the nearest.
func (m *mending) anchor(s *rawSpot) int {
	n := int32(len(m.placed))
	best := -1
	cover := m.overlay.m.Cover(m.overlay.m.Locate(s.At))
	for i := len(cover) - 1; i >= 0; i-- {
		if cover[i] >= n {
			continue
		}
		if best < 0 {
			best = int(cover[i])
		}
		if l := &m.rules.layers[cover[i]]; l.use == job.Cut && l.alpha == 1 && m.rules.separation(l.colour) == s.sep {
			return int(cover[i])
		}
	}
	if best >= 0 {
		return best
	}
	room := math.Inf(1)
	for i := range m.placed {
		b := m.overlay.bounds[i]
		d := s.At.Sub(geometry.Pt(
			math.Max(b.Min.X, math.Min(b.Max.X, s.At.X)),
			math.Max(b.Min.Y, math.Min(b.Max.Y, s.At.Y)))).Len()
		if best < 0 || d <= room {
			best, room = i, d
		}
	}
	return best
}

// cellsOf returns the squares of that size that an outline's corners and sides
// are in or next to.
func cellsOf(p geometry.Path, size float64) [][2]int32 {
	seen := map[[2]int32]bool{}
	var out [][2]int32
	add := func(q geometry.Point) {
		c := [2]int32{int32(math.Floor(q.X / size)), int32(math.Floor(q.Y / size))}
		if !seen[c] {
			seen[c] = true
			out = append(out, c)
		}
	}
	if len(p) == 1 && len(p[0].Segments) == 0 {
		add(p[0].Start)
		return out
	}
	forEachSide(p, func(a, b geometry.Point) {
		n := int(b.Sub(a).Len()/size*2) + 1
		for k := range n {
			q := a.Lerp(b, float64(k)/float64(n))
			add(q.Sub(geometry.Pt(size/2, size/2)))
			add(q.Add(geometry.Pt(size/2, size/2)))
			add(q.Add(geometry.Pt(size/2, -size/2)))
			add(q.Add(geometry.Pt(-size/2, size/2)))
		}
	})
	return out
}

// NewMend returns the mend that does the given thing about a weak spot of the
// job's plan. Put it into the job with job.AddMend.
func NewMend(ctx context.Context, j job.Job, s WeakSpot, do job.MendKind) (job.Mend, error) {
	m, err := startMending(ctx, j)
	if err != nil {
		return job.Mend{}, err
	}
	if len(m.placed) == 0 {
		return job.Mend{}, &job.EditError{Message: job.Message{ID: job.NoSuchLayer}}
	}
	// A spot that is there without any mend is of the first round.
	spots, err := m.spots(ctx, j.Settings)
	if err != nil {
		return job.Mend{}, err
	}
	round := 0
	kind := s.Kind
	if nearestSpot(spots, s.At, kind, 0.1) < 0 {
		for _, it := range j.Items {
			for _, x := range it.Mends {
				round = max(round, int(x.Round)+1)
			}
		}
	}
	// The separation, as the rules count them.
	raw := &rawSpot{Spot: weak.Spot{Kind: weak.Kind(kind), At: s.At}, sep: bare}
	if k := nearestSpot(spots, s.At, kind, 0.1); k >= 0 {
		raw.sep = spots[k].sep
	}
	mend := m.about(raw, min(round, job.MaxRounds-1))
	mend.Do = do
	return mend, nil
}
