package sheets

import (
	"slices"
	"testing"

	"abut/internal/drawer"
	"abut/internal/job"
	"abut/internal/words"
	"abut/internal/workshop"
	"abut/ui/controls"
)

// The sum is of whole sheets, and said only where all of them have a price: a sum that leaves some out is none.
func TestCost(t *testing.T) {
	whole, offcut, missing := drawer.Taken{}, drawer.Taken{Offcut: &drawer.Size{WidthMM: 1, HeightMM: 1}}, drawer.Taken{Missing: true}
	type add struct {
		t     drawer.Taken
		price float64
	}
	for name, c := range map[string]struct {
		all  []add
		want string
	}{
		"nothing":        {nil, ""},
		"one":            {[]add{{whole, 2.5}}, "1 whole sheet: 2.50"},
		"two":            {[]add{{whole, 2.5}, {whole, 1.255}}, "2 whole sheets: 3.76"},
		"with an offcut": {[]add{{whole, 2.5}, {offcut, 9}}, "1 whole sheet: 2.50"},
		"offcuts alone":  {[]add{{offcut, 9}}, ""},
		"without price":  {[]add{{whole, 2.5}, {whole, 0}}, ""},
		"one is missing": {[]add{{whole, 2.5}, {missing, 2.5}}, ""},
	} {
		var sum cost
		for _, a := range c.all {
			sum.add(a.t, a.price)
		}
		if got := sum.text(); got != c.want {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
}

func TestPrice_IsOfTheSheetOfThatNameAndColour(t *testing.T) {
	all := []drawer.Sheet{{Name: "Red", Pressed: rgb(200, 0, 0), Price: 1}, {Name: "Red", Pressed: rgb(210, 0, 0), Price: 2}, {Name: "Blue", Pressed: rgb(210, 0, 0), Price: 3}}
	if got := price(all, "Red", rgb(210, 0, 0)); got != 2 {
		t.Error(got)
	}
	if got := price(all, "Green", rgb(210, 0, 0)); got != 0 {
		t.Error(got)
	}
}

// Where nothing of it can be taken, My sheets are offered, and nothing is taken.
func TestMarkCut_OfSheetsThatAreNotThere(t *testing.T) {
	r := newRig(t)
	r.svg(shades)
	r.MarkCut()
	if !r.tells("ui-cut-unknown") {
		t.Errorf("it says\n%s", r.said())
	}
	r.tap("ui-menu-drawer")
	if !r.tells("ui-drawer-begin") {
		t.Error("My sheets are not shown")
	}
}

// What is too large for any that is left is told, and what there is of the others is taken.
func TestMarkCut_TellsWhatIsMissing(t *testing.T) {
	r := newRig(t)
	r.svg(shades)
	r.drawer(mine[0], drawer.Sheet{Name: "Royal", Pressed: mine[1].Pressed, WidthMM: 5, HeightMM: 5, Count: 3, Price: 1})
	r.Colours()
	r.tap("ui-colours-bare")
	r.tap("ui-colours-nearest")
	r.tap("ui-colours-use")
	r.MarkCut()
	if !r.tells("ui-cut-missing") || !r.tells("ui-cut-whole") {
		t.Errorf("it says\n%s", r.said())
	}
	if r.tells("ui-cut-cost", "count", words.Count(2), "sum", "3.50") {
		t.Error("it says what all cost though one is missing")
	}
	r.tap("ui-cut-take")
	got, _ := r.Session.Drawer()
	if got[0].Count != 1 || len(got[0].Offcuts) == 0 || got[1].Count != 3 || len(got[1].Offcuts) != 0 {
		t.Errorf("left: %+v", got)
	}
}

// Where all that is left is too small nothing can be taken: what helps is in My sheets.
func TestMarkCut_WhereNothingIsLeftThatIsLargeEnough(t *testing.T) {
	r := newRig(t)
	r.svg(shades)
	small := slices.Clone(mine[:2])
	for i := range small {
		small[i].WidthMM, small[i].HeightMM, small[i].Count = 5, 5, 3
	}
	r.drawer(small...)
	r.Colours()
	r.tap("ui-colours-bare")
	r.tap("ui-colours-nearest")
	r.tap("ui-colours-use")
	r.MarkCut()
	r.press("ui-menu-drawer")
	for _, p := range shown[*controls.Press](r) {
		if p.Label == words.Say("ui-cut-take") {
			t.Error("nothing is taken, and that can be kept")
		}
	}
}

// Rows of a list that are not laid out are refused with a reason, and so is a job without a plan with nothing at all.
func TestMarkCut_RefusesWhatItCannotCount(t *testing.T) {
	r := newRig(t)
	r.MarkCut()
	if r.Desk.Open() || len(r.trouble) > 0 {
		t.Error("asked without a job")
	}
	r.svg(shades)
	if err := r.Session.Do("list", func(j job.Job) (job.Job, error) {
		return job.SetList(j, &job.List{Columns: []string{"name"}, Rows: []job.ListRow{{Cells: []string{"Ada"}}}})
	}); err != nil {
		t.Fatal(err)
	}
	r.settle()
	r.MarkCut()
	if r.Desk.Open() || len(r.trouble) != 1 || !workshop.Is(r.trouble[0], "mark-rows") {
		t.Errorf("trouble: %v", r.trouble)
	}
}
