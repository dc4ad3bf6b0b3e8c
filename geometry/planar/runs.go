package planar

import (
	"context"
	"math/bits"
	"slices"

	"abut/geometry/parallel"
)

// run is chords that follow each other from left to right, all of them up or all of
// them down, so that none meets another of them but where it goes on. It lies in the
// box of its ends, which tells most runs apart from each other, whatever their chords.
type run struct {
	line              // from the end that sorts first to the other
	first, last int32 // its chords are runs.chords[first:last]
}

// runs are lines put together to runs. What a curve was cut into meets little else: to
// file each chord of it and to test it against its neighbours takes most of the time.
type runs struct {
	all    []run
	chords []line                  // run by run, from left to right in each
	ids    []int32                 // per chord, its name
	parts  [parallel.Workers][]run // room for those of each worker; all of them in the first
}

const (
	// A run has at most so many chords. Where two runs meet, their chords are looked
	// at one by one.
	longestRun = 16
	// So many lines are taken to be one run, to guess how large a cell will be: a run of
	// several lines is no larger than that, for it is filed by its box.
	usualRun = 4
)

// makeRuns puts lines together, each with the one that comes before it in the list if it
// goes on from there; ids names them. Those of a run come to be listed from left to right.
// Where workers share the list, no run is of two shares.
func (rs *runs) makeRuns(ctx context.Context, lines []line, ids []int32, lo, hi Point) error {
	n := len(lines)
	rs.chords, rs.ids = lines, ids
	side := int64(1) << cellShift(lo, hi, n/usualRun)
	parts, err := parallel.Collect(ctx, n, worthSplitting, func(part, from, to int) ([]run, error) {
		rs.parts[part] = rs.ofShare(room(rs.parts[part], (to-from)/2), from, to, side)
		return rs.parts[part], nil
	})
	rs.all = parts[0]
	for _, more := range parts[1:] {
		rs.all = append(rs.all, more...)
	}
	rs.parts[0] = rs.all
	return err
}

// ofShare appends the runs of a share of the chords.
func (rs *runs) ofShare(all []run, from, to int, side int64) []run {
	for i := from; i < to; {
		n, back := take(rs.chords[i:to], side)
		if back {
			slices.Reverse(rs.chords[i : i+n])
			slices.Reverse(rs.ids[i : i+n])
		}
		all = append(all, run{line{rs.chords[i].a, rs.chords[i+n-1].b}, int32(i), int32(i + n)})
		i += n
	}
	return all
}

// take returns how many of the lines make a run, within a square of the given side, and
// whether each goes on from the left end of the one before.
func take(lines []line, side int64) (n int, back bool) {
	if len(lines) == 1 {
		return 1, false
	}
	first := &lines[0]
	back = lines[1].b == first.a
	at, start, rise := first.b, first.a, first.b.Y-first.a.Y
	if back {
		at, start = start, at
	}
	for n = 1; n < len(lines) && n < longestRun; n++ {
		l := &lines[n]
		from, to := l.a, l.b
		if back {
			from, to = to, from
		}
		d := l.b.Y - l.a.Y
		if from != at || d > 0 && rise < 0 || d < 0 && rise > 0 ||
			abs64(int64(to.X)-int64(start.X)) > side || abs64(int64(to.Y)-int64(start.Y)) > side {
			break
		}
		at, rise = to, rise|d
	}
	return n, back
}

// at returns a member of cells: a run or, by the complement of its place, a chord.
func (rs *runs) at(id int32) run {
	if id < 0 {
		return run{rs.chords[^id], ^id, ^id + 1}
	}
	return rs.all[id]
}

// within returns the chords of members of a cell that lie in its box or within a margin of
// it: where runs crowd, they are told apart chord by chord. They come from left to right, and last until
// the scratch is asked again.
func (rs *runs) within(p *pace, ids []int32, lo, hi Point, margin int32, sc *cellScratch) ([]int32, error) {
	items, first, last := sc.items[:0], hi.X, lo.X
	for _, id := range ids {
		r := rs.at(id)
		for i := r.first; i < r.last; i++ {
			c := &rs.chords[i]
			if c.b.X >= lo.X-margin && c.a.X <= hi.X+margin && max(c.a.Y, c.b.Y) >= lo.Y-margin && min(c.a.Y, c.b.Y) <= hi.Y+margin {
				items = append(items, keyed{id: ^i})
				first, last = min(first, c.a.X), max(last, c.a.X)
			}
		}
	}
	for i := range items {
		items[i].key = uint64(rs.chords[^items[i].id].a.X - first)
	}
	sc.items, sc.spare = items, room(sc.spare, len(items))[:len(items)]
	if err := sortKeyed(p, items, sc.spare, bits.Len32(uint32(last-first))); err != nil {
		return nil, err
	}
	out := room(sc.chords, len(items))
	for _, it := range items {
		out = append(out, it.id)
	}
	sc.chords = out
	return out, nil
}

// single takes lines as chords without runs, and returns their names as members of cells.
func (rs *runs) single(lines []line) (members []int32) {
	rs.chords = lines
	for i := range lines {
		rs.ids = append(rs.ids, int32(i))
		members = append(members, ^int32(i))
	}
	return members
}

// cellShift returns the binary logarithm of the side of cells of which at most so many,
// and one, make up a box.
func cellShift(lo, hi Point, target int) uint {
	w, h, shift := int64(hi.X)-int64(lo.X), int64(hi.Y)-int64(lo.Y), uint(minShift)
	for (w>>shift+1)*(h>>shift+1) > int64(target)+1 {
		shift++
	}
	return shift
}

// minShift is that of the smallest cells: crossings in so small a place are told apart by the
// pair tests alone.
const minShift = 4
