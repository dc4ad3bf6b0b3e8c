package workshop

import (
	"slices"

	"abut/geometry"
	"abut/internal/cutfile"
	"abut/internal/drawer"
	"abut/internal/job"
	"abut/internal/layout"
)

// Kept is where all of a layout lies, for the job to keep. What of it is pinned, and what
// is kept free, is as the job has it.
func (l Laid) Kept() job.Laid {
	var out job.Laid
	pinned := pinsOf(l.was)
	for i := range l.sheets {
		s := &l.sheets[i]
		out.Sheets = append(out.Sheets, job.LaidSheet{
			Row: l.rows[s.From], Of: s.Of, Kind: string(s.Kind), SizeMM: [2]float64{s.Size.WidthMM, s.Size.HeightMM}, Nth: s.Nth,
		})
		for _, x := range s.Placed {
			t := job.LaidThing{
				Sheet: i, Row: l.rows[x.From], Of: x.Of, Copy: (x.Copy-1)%l.each + 1, Piece: x.Piece, Turn: x.Turn, Min: x.Min.MM(), Max: x.Max.MM(),
			}
			t.Pinned = pinned[keyOf(t)]
			out.Things = append(out.Things, t)
		}
	}
	for _, f := range l.was.Free {
		on := l.was.Sheets[f.Sheet]
		if f.Sheet = slices.Index(out.Sheets, on); f.Sheet < 0 { // nothing lies there now
			f.Sheet, out.Sheets = len(out.Sheets), append(out.Sheets, on)
		}
		out.Free = append(out.Free, f)
	}
	return out
}

// laidKey is what a thing is, wherever it lies.
type laidKey struct{ row, of, copy, piece int }

func keyOf(t job.LaidThing) laidKey { return laidKey{t.Row, t.Of, t.Copy, t.Piece} }

// pinsOf are the things that are pinned.
func pinsOf(l job.Laid) map[laidKey]bool {
	out := map[laidKey]bool{}
	for _, t := range l.Things {
		if t.Pinned {
			out[keyOf(t)] = true
		}
	}
	return out
}

// keep has designs laid out as they lay, as far as the job knows: what is of rows that
// are not cut lapses.
func (o LayoutOptions) keep(set *layout.Options, all []design) {
	page := map[int]int{}
	for i, d := range all {
		page[d.row] = i
	}
	at := func(p geometry.Point) cutfile.Point {
		return cutfile.Point{X: cutfile.ToSteps(p.X), Y: cutfile.ToSteps(p.Y)}
	}
	on := func(i int) (w layout.Which, ok bool) {
		s := o.laid.Sheets[i]
		w = layout.Which{Of: s.Of, Kind: layout.Kind(s.Kind), Size: drawer.Size{WidthMM: s.SizeMM[0], HeightMM: s.SizeMM[1]}, Nth: s.Nth}
		w.From, ok = page[s.Row]
		return w, ok
	}
	each := max(1, o.Copies)
	for _, t := range o.laid.Things {
		w, ok := on(t.Sheet)
		from, too := page[t.Row]
		if !ok || !too {
			continue
		}
		p := layout.Pinned{On: w, Placed: layout.Placed{Copy: from*each + t.Copy, Piece: t.Piece, From: from, Of: t.Of, Turn: t.Turn, Min: at(t.Min), Max: at(t.Max)}}
		set.Earlier = append(set.Earlier, p)
		if t.Pinned {
			set.Pinned = append(set.Pinned, p)
		}
	}
	for _, f := range o.laid.Free {
		if w, ok := on(f.Sheet); ok {
			set.KeptFree = append(set.KeptFree, layout.KeptFree{On: w, Box: layout.Box{Min: at(f.Min), Max: at(f.Max)}})
		}
	}
	if o.Tries > 0 { // better ones are asked for
		set.Earlier = nil
	}
}

// ListFrom is a list as a job keeps it; file is the name that it was read from.
func ListFrom(l drawer.List, file string) *job.List {
	out := &job.List{File: file, Columns: l.Columns}
	for _, r := range l.Rows {
		out.Rows = append(out.Rows, job.ListRow{Line: r.Line, Cells: r.Cells})
	}
	return out
}

// ListOf is the list of a job as it is filled in.
func ListOf(l *job.List) drawer.List {
	out := drawer.List{Columns: l.Columns}
	for _, r := range l.Rows {
		out.Rows = append(out.Rows, drawer.ListRow{Line: r.Line, Cells: slices.Clone(r.Cells), Out: r.Out})
	}
	return out
}
