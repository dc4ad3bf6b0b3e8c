package layers

import (
	"slices"
	"strings"

	"abut/internal/job"
	"abut/internal/words"
)

// Group is a group of layers: one of the art's file, or the bands of a gradient.
type Group struct {
	Name string
	// Of tells groups of one name apart.
	Of uint32
}

// deepest is how many groups within each other the list shows: more would leave
// no room for names.
const deepest = 3

// Groups are the groups around a layer, the outermost first; those without a
// name are none.
type Groups [deepest]Group

// line is what the list shows in one row: a layer, or the heading of a group.
type line struct {
	// Row is the layer's, or sums a group's up.
	Row
	// first and count say which of all layers it stands for.
	first, count int
	// deep is how many headings it is under.
	deep int
	// heading names the heading, the zero value for a layer.
	heading headingKey
	folded  bool
}

// headingKey names a heading as long as the document is open: by its groups,
// and which it is of several with the same ones, where other layers lie between.
type headingKey struct {
	groups Groups
	nth    int
}

func (n *line) isHeading() bool { return n.heading != headingKey{} }

// opened reports whether it is a heading with its layers beneath it.
func (n *line) opened() bool { return n.isHeading() && !n.folded }

// tree makes the lines of the list.
type tree struct {
	l     *List
	want  string // what the filter looks for, in small letters
	lines []line
	seen  map[Groups]int
	heads int
	// flat: groups are passed over.
	flat bool
}

// lines returns what is to be shown: layers under the headings of their groups,
// as far as the filter lets them through and their groups are not folded. Fewer
// than two groups need no headings.
func (l *List) linesOf(want string) []line {
	t := tree{l: l, want: want, seen: map[Groups]int{}}
	if slices.ContainsFunc(l.all, func(r Row) bool { return r.Groups != Groups{} }) {
		t.add(0, len(l.all), 0, 0, true, "")
	}
	if t.heads < 2 {
		t = tree{l: l, want: want, flat: true}
		if want == "" {
			t.lines = make([]line, 0, len(l.all))
		}
		t.add(0, len(l.all), 0, 0, true, "")
	}
	return t.lines
}

// add lists all[from:to], which share their groups down to a level; shown tells
// whether no heading around them is folded, under is the name of the innermost.
func (t *tree) add(from, to, level, deep int, shown bool, under string) {
	for from < to {
		end := from + 1
		if level < deepest && !t.flat {
			end = t.run(from, to, level)
		}
		switch {
		case end-from < 2:
			if shown && t.passes(from) {
				n := line{Row: t.l.all[from], first: from, count: 1, deep: deep}
				n.Name = within(n.Name, under)
				t.lines = append(t.lines, n)
			}
		case end-from == len(t.l.all) || level+1 < deepest && t.run(from, end, level+1) == end:
			t.add(from, end, level+1, deep, shown, under) // the group says nothing that those around or in it don't
		default:
			t.head(from, end, level, deep, shown)
		}
		from = end
	}
}

// run returns where the layers end that are in the group of the first one at a
// level; right after it where that is in none.
func (t *tree) run(from, to, level int) int {
	g := t.l.all[from].Groups[level]
	end := from + 1
	for g.Name != "" && end < to && t.l.all[end].Groups[level] == g {
		end++
	}
	return end
}

// head lists a group: its heading, and what is in it.
func (t *tree) head(from, to, level, deep int, shown bool) {
	t.heads++
	var key headingKey
	copy(key.groups[:], t.l.all[from].Groups[:level+1])
	key.nth = t.seen[key.groups]
	t.seen[key.groups]++
	n := line{Row: t.l.sum(from, to), first: from, count: to - from, deep: deep, heading: key}
	n.Name = words.Capital(key.groups[level].Name)
	n.folded = t.want == "" && t.l.isFolded(key)
	found := false
	for i := from; i < to && !found; i++ {
		found = t.passes(i)
	}
	if shown && found {
		t.lines = append(t.lines, n)
	}
	t.add(from, to, level+1, deep+1, shown && !n.folded, n.Name)
}

// within is a layer's name under the heading of a group: what the heading says
// already is left away, so that "Puffin, orange" is "Orange" under "Puffin".
func within(name, group string) string {
	n := len(group)
	if group == "" || len(name) < n+3 || !strings.EqualFold(name[:n], group) || name[n:n+2] != ", " {
		return name
	}
	return words.Capital(name[n+2:])
}

// passes reports whether the filter lets a layer through: by its own name or by
// that of a group around it.
func (t *tree) passes(i int) bool {
	has := func(name string) bool { return strings.Contains(strings.ToLower(name), t.want) }
	r := &t.l.all[i]
	return t.want == "" || has(r.Name) || !t.flat && slices.ContainsFunc(r.Groups[:], func(g Group) bool { return has(g.Name) })
}

// sum is what the heading says of all[from:to]: marks that one layer has are on
// where all have them, but what one shows is shown.
func (l *List) sum(from, to int) Row {
	r := Row{Knocks: true, Locked: true}
	stack := 0
	for _, o := range l.all[from:to] {
		r.Pieces += o.Pieces
		r.Shown = r.Shown || o.Shown
		r.Knocks = r.Knocks && o.Knocks
		r.Locked = r.Locked && o.Locked
		if o.Stacks != "" {
			stack++
		}
	}
	if l.Hints.Sum != nil {
		r.Use, r.ShortUse = l.Hints.Sum(to-from, r.Pieces)
	}
	if stack > 0 && l.Hints.Stack != nil {
		r.Stacks = l.Hints.Stack(stack)
	}
	return r
}

// isFolded reports whether a heading is folded: as the user left it, else as
// the list began.
func (l *List) isFolded(k headingKey) bool {
	if f, ok := l.folds[k]; ok {
		return f
	}
	return l.startFolded
}

// fold folds or unfolds a heading.
func (l *List) fold(i int, on bool) {
	if n := &l.lines[i]; n.isHeading() && n.folded != on && l.filter.want() == "" {
		l.folds[n.heading] = on
		l.showRows()
		l.reveal(i)
		l.table.place() // where it was scrolled to
	}
}

// Unfold brings layers out from under folded headings, so that what happens to
// them is seen.
func (l *List) Unfold(ids []job.LayerID) {
	for i := 0; i < len(l.lines); i++ {
		if n := &l.lines[i]; n.isHeading() && n.folded && slices.ContainsFunc(l.idsOf(i), func(id job.LayerID) bool { return slices.Contains(ids, id) }) {
			l.fold(i, false)
		}
	}
}

// FoldAs folds what is folded in another list of the same document.
func (l *List) FoldAs(o *List) { l.folds, l.startFolded, l.fresh = o.folds, o.startFolded, o.fresh }

// idsOf returns the layers that a line stands for, the top one first.
func (l *List) idsOf(i int) []job.LayerID {
	n := &l.lines[i]
	ids := make([]job.LayerID, 0, n.count)
	for _, r := range l.all[n.first : n.first+n.count] {
		ids = append(ids, r.ID)
	}
	return ids
}

// lineOf returns the innermost line that stands for a layer, −1 where the filter
// lets none through.
func (l *List) lineOf(id job.LayerID) int {
	at := slices.IndexFunc(l.all, func(r Row) bool { return r.ID == id })
	found := -1
	for i := range l.lines {
		if n := &l.lines[i]; at >= n.first && at < n.first+n.count {
			found = i
		}
	}
	return found
}

// parent returns the heading that a line is under, −1 for none.
func (l *List) parent(i int) int {
	for k := i - 1; k >= 0; k-- {
		if l.lines[k].isHeading() && l.lines[k].deep < l.lines[i].deep {
			return k
		}
	}
	return -1
}
