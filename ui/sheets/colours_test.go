package sheets

import (
	"slices"
	"strings"
	"testing"

	"abut/internal/colour"
	"abut/internal/drawer"
	"abut/internal/words"
	"abut/internal/workshop"
	"abut/ui/controls"
)

// mine are sheets of which two are there, one is used up but for an offcut, one is used up and one is patterned.
var mine = []drawer.Sheet{
	{Name: "Tomato", Pressed: rgb(0xd0, 0x2f, 0x21), Unpressed: rgb(0x90, 0x50, 0x48), WidthMM: 300, HeightMM: 200, Count: 2, Price: 2.5},
	{Name: "Royal", Pressed: rgb(0x21, 0x41, 0xc1), Unpressed: rgb(0x48, 0x50, 0x80), WidthMM: 300, HeightMM: 200, Count: -1},
	{Name: "Brick", Pressed: rgb(0xa0, 0x30, 0x20), Unpressed: rgb(0x90, 0x50, 0x48), Count: 0, Offcuts: []drawer.Size{{WidthMM: 50, HeightMM: 50}}},
	{Name: "Lemon", Pressed: rgb(0xff, 0xee, 0), Count: 0},
	{Name: "Stripes", Pressed: rgb(0x28, 0x48, 0xc8), Count: 4, Pattern: "stripes"},
}

// selects are the choices of the rows, in their order.
func (r *rig) selects() []*controls.Select { r.t.Helper(); return shown[*controls.Select](r) }

// A colour is offered what is there, the nearest first, be it patterned or a mere offcut; what is used up is not.
func TestColours_OffersWhatIsThereTheNearestFirst(t *testing.T) {
	r := newRig(t)
	r.svg(shades)
	r.drawer(mine...)
	r.Colours()
	all := r.selects()
	if len(all) != 5 {
		t.Fatalf("%d rows", len(all))
	}
	for _, s := range all {
		if slices.ContainsFunc(s.Options, func(o string) bool { return strings.HasPrefix(o, "Lemon") }) || len(s.Options) != 2+4 {
			t.Errorf("offered: %q", s.Options)
		}
	}
	d := coloursDialog{h: r.Host, sheets: mine}
	for c, want := range map[colour.RGB]string{rgb(0xd8, 0x38, 0x28): "Tomato Brick Stripes Royal", rgb(0x20, 0x40, 0xc0): "Royal Stripes Brick Tomato"} {
		var names []string
		for _, s := range d.offered(c) {
			names = append(names, s.Name)
		}
		if got := strings.Join(names, " "); got != want {
			t.Errorf("to %s are offered %s, want %s", c, got, want)
		}
	}
}

// To the nearest sheet goes whatever is cut, to a plain one that is there; what is left bare stays so, and so it is told and kept as
// one step. The same once more is none.
func TestColours_NearestKeepsWhatIsBare(t *testing.T) {
	r := newRig(t)
	r.svg(shades)
	r.drawer(mine...)
	r.Colours()
	bare := words.Say("ui-colours-bare")
	for _, s := range r.selects() { // the cream is the last by its lightness or not: it is the one that is nearly white
		if slices.ContainsFunc(s.Options, func(o string) bool { return o == bare }) && s.Selected == bare {
			t.Error("bare without being asked")
		}
	}
	if !r.tells("near-white", "name", "Off-white") {
		t.Errorf("nothing is said of what is nearly white:\n%s", r.said())
	}
	r.tap("ui-colours-bare") // the proposal beside that sentence
	r.tap("ui-colours-nearest")
	before := r.steps()
	r.tap("ui-colours-use")
	var names []string
	for _, s := range r.plan().Separations {
		names = append(names, s.Name)
	}
	slices.Sort(names)
	if strings.Join(names, " ") != "Royal Tomato" || r.steps() != before+1 {
		t.Errorf("cut from %q, %d steps more", names, r.steps()-before)
	}
	r.Colours()
	r.tap("ui-colours-use")
	if r.steps() != before+1 {
		t.Error("the same choices are a step")
	}
	r.Colours()
	r.tap("ui-colours-own")
	r.tap("ui-colours-use")
	if n := len(r.plan().Separations); n != 4 {
		t.Errorf("each on its own sheet: %d sheets", n)
	}
}

// Without plain sheets nothing is offered that goes to the nearest of them.
func TestColours_WithoutPlainSheets(t *testing.T) {
	r := newRig(t)
	r.svg(shades)
	r.drawer(mine[3:]...)
	r.Colours()
	for _, p := range shown[*controls.Press](r) {
		if p.Label == words.Say("ui-colours-nearest") {
			t.Error("there is no plain sheet that is left")
		}
	}
	r.tap("ui-cancel")
	if r.Desk.Open() {
		t.Error("it is open still")
	}
}

// Only numbers of sheets are read; what was worked out for another number comes too late, and nothing can be used meanwhile.
func TestFewer_ReadsNumbersAndDropsLateAnswers(t *testing.T) {
	r := newRig(t)
	r.svg(shades)
	r.Fewer()
	r.settle()
	most := shown[*controls.Entry](r)[0]
	for _, bad := range []string{"0", "-1", "two", "1.5", ""} {
		most.SetText(bad)
		r.settle()
		if !r.tells("ui-fewer-wrong") || !r.press("ui-colours-use").Disabled() {
			t.Errorf("%q is taken for a number of sheets", bad)
		}
	}
	most.SetText("1")
	most.SetText("2")
	if !r.press("ui-colours-use").Disabled() && r.Session.Busy() {
		t.Error("it can be used before it is known")
	}
	r.settle()
	if r.tells("ui-fewer-wrong") {
		t.Error("2 is said to be wrong")
	}
	r.tap("ui-colours-use")
	if n := len(r.plan().Separations); n != 2 {
		t.Errorf("%d sheets of 2", n)
	}
}

// With my sheets alone any number is asked for by nothing.
func TestFewer_OfMySheetsNeedsNoNumber(t *testing.T) {
	r := newRig(t)
	r.svg(shades)
	r.drawer(mine...)
	r.Fewer()
	r.settle()
	shown[*controls.Entry](r)[0].SetText("")
	r.settle()
	if r.tells("ui-fewer-wrong") {
		t.Fatalf("it says\n%s", r.said())
	}
	r.tap("ui-colours-use")
	for _, s := range r.plan().Separations {
		if !slices.ContainsFunc(mine, func(m drawer.Sheet) bool { return m.Name == s.Name && m.Pattern == "" && m.Count != 0 }) {
			t.Errorf("cut from %s", s.Name)
		}
	}
}

func TestThere(t *testing.T) {
	for _, c := range []struct {
		s    drawer.Sheet
		want bool
	}{{drawer.Sheet{Count: -1}, true}, {drawer.Sheet{Count: 1}, true}, {drawer.Sheet{}, false}, {drawer.Sheet{Offcuts: make([]drawer.Size, 1)}, true}} {
		if got := there(c.s); got != c.want {
			t.Errorf("%+v: %v", c.s, got)
		}
	}
}

func TestLikeness(t *testing.T) {
	red := rgb(200, 20, 20)
	if likeness(red, red) != workshop.Likeness(0) || likeness(red, rgb(20, 20, 200)) == likeness(red, rgb(201, 20, 20)) {
		t.Error("likeness does not tell colours apart")
	}
}
