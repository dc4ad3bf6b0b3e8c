package layers

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"abut/internal/job"
)

// grouped gives the list a row for each path, "Bird/Wing/left" being layer left
// in two groups; ids count down.
func grouped(l *List, paths ...string) {
	var rows []Row
	for i, p := range paths {
		parts := strings.Split(p, "/")
		r := Row{ID: job.LayerID(len(paths) - i), Name: parts[len(parts)-1], Shown: true, Pieces: 2}
		for k, g := range parts[:len(parts)-1] {
			r.Groups[k] = Group{Name: g, Of: 1}
		}
		rows = append(rows, r)
	}
	l.SetRows(rows)
}

// outline is what the list shows, a mark for headings, set in by their depth.
func outline(l *List) string {
	var out []string
	for i := range l.lines {
		n := &l.lines[i]
		mark := ""
		switch {
		case n.opened():
			mark = "-"
		case n.isHeading():
			mark = "+"
		}
		out = append(out, strings.Repeat(".", n.deep)+mark+n.Name)
	}
	return strings.Join(out, " ")
}

var birdAndTree = []string{"sun", "Bird/beak", "Bird/Wing/left", "Bird/Wing/right", "Bird/body", "Tree/leaf", "Tree/trunk", "ground"}

func line0(l *List, name string) int {
	return slices.IndexFunc(l.lines, func(n line) bool { return n.Name == name })
}

func TestTree_HeadingsWhereTheySaySomething(t *testing.T) {
	for _, c := range []struct {
		name  string
		paths []string
		want  string
	}{
		{"two groups and one within", birdAndTree, "sun -Bird .beak .-Wing ..left ..right .body -Tree .leaf .trunk ground"},
		{"no group", []string{"a", "b"}, "a b"},
		{"one group", []string{"a", "Bird/b", "Bird/c"}, "a b c"},
		{"one around all", []string{"All/Bird/a", "All/Bird/b", "All/Tree/c", "All/Tree/d"}, "-Bird .a .b -Tree .c .d"},
		{"one of a single layer", []string{"Bird/a", "Tree/b", "Tree/c", "Sea/d", "Sea/e"}, "a -Tree .b .c -Sea .d .e"},
		{"one that is all of another", []string{"Out/Bird/a", "Out/Bird/b", "Tree/c", "Tree/d"}, "-Bird .a .b -Tree .c .d"},
		{"one torn by what lies between", []string{"Bird/a", "Bird/b", "x", "Bird/c", "Bird/d"}, "-Bird .a .b x -Bird .c .d"},
	} {
		l := newList(t, 0)
		grouped(l, c.paths...)
		if got := outline(l); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}

func TestTree_FoldsByKeysAndMouse(t *testing.T) {
	l := newList(t, 0)
	grouped(l, birdAndTree...)
	var picked []job.LayerID
	l.OnSelect = func(ids []job.LayerID) { picked = ids }
	key := func(k fyne.KeyName) { l.TypedKey(&fyne.KeyEvent{Name: k}) }
	l.pickLine(line0(l, "left"))
	key(fyne.KeyLeft) // to the heading
	if l.at() != line0(l, "Wing") || !slices.Equal(picked, []job.LayerID{6, 5}) {
		t.Fatalf("at %d, picked %v", l.at(), picked)
	}
	key(fyne.KeyLeft)
	if got := outline(l); got != "sun -Bird .beak .+Wing .body -Tree .leaf .trunk ground" {
		t.Errorf("folded: %s", got)
	}
	key(fyne.KeyLeft)
	key(fyne.KeyLeft)
	if got := outline(l); got != "sun +Bird -Tree .leaf .trunk ground" || !slices.Equal(picked, []job.LayerID{7, 6, 5, 4}) {
		t.Errorf("folded: %s, picked %v", got, picked)
	}
	key(fyne.KeyRight)
	key(fyne.KeyRight) // into it
	if got := outline(l); got != "sun -Bird .beak .+Wing .body -Tree .leaf .trunk ground" || !slices.Equal(picked, []job.LayerID{7}) {
		t.Errorf("unfolded: %s, picked %v", got, picked)
	}
	// Other rows, the same folds; another document, none.
	grouped(l, append(slices.Clone(birdAndTree), "water")...)
	if got := outline(l); !strings.Contains(got, ".+Wing") {
		t.Errorf("with one layer more: %s", got)
	}
	for _, r := range l.pool {
		if r.data.Name == "Tree" {
			r.open.Tapped(nil)
		}
	}
	if got := outline(l); !strings.Contains(got, "+Tree ground") {
		t.Errorf("the mark does not fold: %s", got)
	}
	l.Reset()
	grouped(l, birdAndTree...)
	if got := outline(l); strings.Contains(got, "+") {
		t.Errorf("another document begins with %s", got)
	}
}

func TestTree_LongListsBeginFolded(t *testing.T) {
	l := newList(t, 0)
	var paths []string
	for i := range foldFrom {
		paths = append(paths, fmt.Sprintf("G%d/l%d", i/9, i))
	}
	grouped(l, paths...)
	if got := outline(l); got != "+G0 +G1 +G2" {
		t.Errorf("%s", got)
	}
	l.filter.SetText("l12")
	if got := outline(l); got != "-G1 .l12" {
		t.Errorf("the filter shows %s", got)
	}
	l.filter.SetText("g2")
	if len(l.lines) != 8 {
		t.Errorf("by a group's name: %s", outline(l))
	}
	l.filter.SetText("")
	l.Select([]job.LayerID{1}) // from the board: what is folded stays so
	if got := outline(l); got != "+G0 +G1 +G2" || l.at() != 2 || l.pickedOf(2) != 1 {
		t.Errorf("%s, at %d", got, l.at())
	}
	l.Unfold([]job.LayerID{1})
	if shown := l.table.seen; shown[0].Position().Y > l.scroll.Offset.Y || shown[len(shown)-1].Position().Y+rowHigh() < l.scroll.Offset.Y+min(l.scroll.Size().Height, l.table.MinSize().Height) {
		t.Errorf("scrolled to %g, rows from %g to %g", l.scroll.Offset.Y, shown[0].Position().Y, shown[len(shown)-1].Position().Y)
	}
	if got := outline(l); !strings.HasPrefix(got, "+G0 +G1 -G2 .l18") {
		t.Errorf("%s", got)
	}
	o := newList(t, 0)
	o.FoldAs(l)
	grouped(o, paths...)
	if got := outline(o); got != outline(l) {
		t.Errorf("built anew it shows %s", got)
	}
}

func TestTree_AHeadingSpeaksForItsLayers(t *testing.T) {
	l := newList(t, 0)
	l.Hints.Sum = func(n, pieces int) (long, short string) { return fmt.Sprint(n, " of ", pieces), "" }
	l.Hints.Stack = func(n int) string { return fmt.Sprint(n, " stack") }
	grouped(l, birdAndTree...)
	rows := slices.Clone(l.all)
	rows[1].Shown, rows[1].Knocks, rows[4].Stacks, rows[5].Locked, rows[6].Locked = false, true, "stacks", true, true
	l.SetRows(rows)
	bird, tree := l.lines[line0(l, "Bird")], l.lines[line0(l, "Tree")]
	if bird.Use != "4 of 8" || bird.Stacks != "1 stack" || !bird.Shown || bird.Knocks || bird.Locked || !tree.Locked || tree.Stacks != "" {
		t.Errorf("%+v\n%+v", bird.Row, tree.Row)
	}
	var got string
	say := func(what string) func([]job.LayerID, bool) {
		return func(ids []job.LayerID, on bool) { got = fmt.Sprint(what, ids, on) }
	}
	l.OnShown, l.OnKnocks, l.OnLocked = say("shown"), say("knocks"), say("locked")
	l.OnStacks = func(id job.LayerID) { got = fmt.Sprint("stacks", id) }
	var head, treeHead *row
	for _, r := range l.pool {
		switch r.data.Name {
		case "Bird":
			head = r
		case "Tree":
			treeHead = r
		}
	}
	for _, c := range []struct {
		press func(*fyne.PointEvent)
		want  string
	}{
		{head.eye.Tapped, "shown[7 6 5 4] false"}, {head.knocks.Tapped, "knocks[7 6 5 4] true"}, {head.warn.Tapped, "stacks4"},
		{treeHead.lock.Tapped, "locked[3 2] false"},
	} {
		if c.press(nil); got != c.want {
			t.Errorf("%s, want %s", got, c.want)
		}
	}
	l.tapped(head.index)
	l.TypedKey(&fyne.KeyEvent{Name: fyne.KeySpace})
	if got != "shown[7 6 5 4] false" {
		t.Errorf("space: %s", got)
	}
	// With Ctrl a heading's layers leave or join the others.
	l.Modifiers = func() fyne.KeyModifier { return fyne.KeyModifierShortcutDefault }
	l.tapped(line0(l, "body"))
	l.tapped(line0(l, "Tree"))
	if !slices.Equal(l.selected, []job.LayerID{7, 6, 5, 3, 2}) {
		t.Errorf("picked %v", l.selected)
	}
}

func TestTree_DragsWholeGroupsAndSeveralRows(t *testing.T) {
	for _, c := range []struct {
		name   string
		pick   []job.LayerID
		fold   string
		from   string
		before string // the line that it is dropped above
		want   []job.LayerID
	}{
		{"a folded group", nil, "Bird", "Bird", "ground", []job.LayerID{8, 3, 2, 7, 6, 5, 4, 1}},
		{"an open group", nil, "", "Tree", "sun", []job.LayerID{3, 2, 8, 7, 6, 5, 4, 1}},
		{"past a folded group", nil, "Bird", "sun", "Tree", []job.LayerID{7, 6, 5, 4, 8, 3, 2, 1}},
		{"three that lie apart", []job.LayerID{1, 8, 5}, "", "ground", "leaf", []job.LayerID{7, 6, 4, 8, 5, 1, 3, 2}},
		{"one that is not picked", []job.LayerID{8, 7}, "", "ground", "sun", []job.LayerID{1, 8, 7, 6, 5, 4, 3, 2}},
		{"to the top of its own group", nil, "", "body", "beak", []job.LayerID{8, 4, 7, 6, 5, 3, 2, 1}},
		{"into itself", nil, "", "Bird", "left", []job.LayerID{8, 7, 6, 5, 4, 3, 2, 1}},
	} {
		l := newList(t, 0)
		l.Hints.Moving = func(n int) string { return fmt.Sprint(n, " layers") }
		grouped(l, birdAndTree...)
		moved(l)
		if c.fold != "" {
			l.fold(line0(l, c.fold), true)
		}
		l.Select(c.pick)
		from := line0(l, c.from)
		n := len(l.idsOf(from))
		if l.pickedOf(from) > 0 {
			n = len(c.pick)
		}
		dragRow(l, from, (float32(line0(l, c.before))+0.1)*rowHigh())
		if says := l.table.says.Text; l.table.ghost.Hidden || n > 1 && says != fmt.Sprint(n, " layers") || n == 1 && says != c.from {
			t.Errorf("%s: the ghost says %q", c.name, says)
		}
		l.dragEnd()
		if got := order(l); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// Between a heading and the first layer under it only what is of the group finds
// a place: beneath another one the line says where the layer will be.
func TestTree_TheLineIsWhereItGoes(t *testing.T) {
	l := newList(t, 0)
	grouped(l, birdAndTree...)
	for _, c := range []struct{ from, gap, want int }{
		{line0(l, "sun"), line0(l, "beak"), line0(l, "Bird")},
		{line0(l, "body"), line0(l, "Bird"), line0(l, "beak")},
		{line0(l, "body"), line0(l, "left"), line0(l, "Wing")},
	} {
		dragRow(l, c.from, float32(c.gap)*rowHigh())
		if l.drag.gap != c.want {
			t.Errorf("line %d to gap %d: %d, want %d", c.from, c.gap, l.drag.gap, c.want)
		}
		l.giveUpDrag()
		l.dragEnd()
	}
}

func TestTree_StepsPassLayersAndFoldedGroups(t *testing.T) {
	for _, c := range []struct {
		fold string
		pick []job.LayerID
		key  fyne.KeyName
		want []job.LayerID
	}{
		{"Bird", []job.LayerID{8}, fyne.KeyDown, []job.LayerID{7, 6, 5, 4, 8, 3, 2, 1}},
		{"", []job.LayerID{8}, fyne.KeyDown, []job.LayerID{7, 8, 6, 5, 4, 3, 2, 1}},
		{"", []job.LayerID{1}, fyne.KeyUp, []job.LayerID{8, 7, 6, 5, 4, 3, 1, 2}},
		{"", []job.LayerID{7}, fyne.KeyUp, []job.LayerID{7, 8, 6, 5, 4, 3, 2, 1}},
		{"Bird", []job.LayerID{7, 6, 5, 4}, fyne.KeyUp, []job.LayerID{7, 6, 5, 4, 8, 3, 2, 1}},
		{"", []job.LayerID{3, 5}, fyne.KeyDown, []job.LayerID{8, 7, 6, 4, 2, 5, 3, 1}},
		{"", []job.LayerID{8}, fyne.KeyUp, []job.LayerID{8, 7, 6, 5, 4, 3, 2, 1}},
	} {
		l := newList(t, 0)
		grouped(l, birdAndTree...)
		moved(l)
		if c.fold != "" {
			l.fold(line0(l, c.fold), true)
		}
		l.Select(c.pick)
		l.TypedShortcut(&desktop.CustomShortcut{KeyName: c.key, Modifier: fyne.KeyModifierAlt})
		if got := order(l); !slices.Equal(got, c.want) {
			t.Errorf("%v by %s: %v, want %v", c.pick, c.key, got, c.want)
		}
	}
}

func TestDrag_LockedLayersStayAndAllWithThem(t *testing.T) {
	l := newList(t, 0)
	grouped(l, birdAndTree...)
	rows := slices.Clone(l.all)
	rows[2].Locked = true
	l.SetRows(rows)
	l.OnMove = func(ids []job.LayerID, under job.LayerID) { t.Errorf("moved %v under %d", ids, under) }
	l.Select([]job.LayerID{8, 6})
	for _, name := range []string{"left", "Bird", "sun"} {
		dragRow(l, line0(l, name), 9*rowHigh())
		l.dragEnd()
	}
}

func TestTree_NamesLeaveAwayWhatTheHeadingSays(t *testing.T) {
	for _, c := range []struct{ name, group, want string }{
		{"Puffin, orange", "Puffin", "Orange"}, {"Puffin, white 2", "puffin", "White 2"}, {"Türm, rot", "Türm", "Rot"},
		{"Puffin", "Puffin", "Puffin"}, {"Puffins, white", "Puffin", "Puffins, white"}, {"Puffin, ", "Puffin", "Puffin, "},
		{"Beak", "Puffin", "Beak"}, {"Beak", "", "Beak"}, {"Tü", "T\xc3", "Tü"},
	} {
		if got := within(c.name, c.group); got != c.want {
			t.Errorf("%q under %q is %q, want %q", c.name, c.group, got, c.want)
		}
	}
}
