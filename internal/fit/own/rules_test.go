package own

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"abut/internal/colour"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// whoClaims describes the claimants of the place that all the job's layers
// cover, topmost first: "3:#ff0000 1:bare".
func whoClaims(j job.Job) string {
	placed, _ := place(j)
	r := newClaimer(NewRules(j, placed))
	cover := make([]int32, len(placed))
	for i := range cover {
		cover[i] = int32(i)
	}
	var out []string
	for _, c := range r.claimants(cover, nil) {
		what := "bare"
		if c.Material != Bare {
			what = c.Material.Colour.String()
		}
		out = append(out, fmt.Sprintf("%d:%s", r.Layers[c.Layer].ID, what))
	}
	return strings.Join(out, " ")
}

func TestClaimants(t *testing.T) {
	const at = " rect 0 0 10 10"
	for _, c := range []struct {
		name   string
		layers []string
		want   string
	}{
		{"fresh art: all that cover", []string{"#aa0000", "#00aa00", "#0000aa"}, "3:#0000aa 2:#00aa00 1:#aa0000"},
		{"down to the first that knocks out", []string{"#aa0000", "#00aa00 knock", "#0000aa"}, "3:#0000aa 2:#00aa00"},
		{"all knock out: the topmost alone", []string{"#aa0000 knock", "#00aa00 knock", "#0000aa knock"}, "3:#0000aa"},
		{"bare knocks out without a flag", []string{"#aa0000", "#00aa00 bare", "#0000aa"}, "3:#0000aa 2:bare"},
		{"white knocks out without a flag: it is bare", []string{"#aa0000", "#ffffff"}, "2:bare"},
		{"near-white is bare too", []string{"#aa0000", "#fefefe"}, "2:bare"},
		{"light grey is not", []string{"#aa0000", "#eeeeee"}, "2:#eeeeee 1:#aa0000"},
		{"drawn claims nothing and hides nothing", []string{"#aa0000", "#00aa00 drawn knock"}, "1:#aa0000"},
		{"left out is as if it were not there", []string{"#aa0000", "#00aa00 leftout knock"}, "1:#aa0000"},
		{"hidden claims as ever", []string{"#aa0000", "#00aa00 hidden knock"}, "2:#00aa00"},
		{"of a group only the topmost", []string{"#aa0000", "#00aa00 group=1", "#0000aa group=1"}, "3:#0000aa 1:#aa0000"},
		{"a member beneath does not knock out", []string{"#aa0000", "#00aa00 group=1 knock", "#0000aa group=1"}, "3:#0000aa 1:#aa0000"},
		{"groups are told apart", []string{"#00aa00 group=1", "#0000aa group=2"}, "2:#0000aa 1:#00aa00"},
		{"group members that others lie between", []string{"#00aa00 group=1", "#aa0000", "#0000aa group=1"}, "3:#0000aa 2:#aa0000"},
		{"translucent over the blank", []string{"#ff0000 alpha=0.5"}, "1:#ff8080"},
		{"translucent over opaque", []string{"#0000ff", "#ff0000 alpha=0.5"}, "2:#800080 1:#0000ff"},
		{"knocking out keeps the mixed colour", []string{"#0000ff knock", "#ff0000 alpha=0.5 knock"}, "2:#800080"},
		{"translucent over translucent", []string{"#0000ff alpha=0.5", "#ff0000 alpha=0.5"}, "2:#c04080 1:#8080ff"},
		{"translucent white over white stays bare", []string{"#ffffff", "#ffffff alpha=0.5"}, "2:bare"},
		{"translucent over bare mixes with the blank", []string{"#0000ff bare", "#ff0000 alpha=0.5"}, "2:#ff8080 1:bare"},
		{"translucent over a pen's lines ignores them", []string{"#0000ff drawn", "#ff0000 alpha=0.5"}, "2:#ff8080"},
		{"group opacity mixes with what lies beneath the group",
			[]string{"#0000ff", "#00ff00 alpha=0.5 group=1", "#ff0000 alpha=0.5 group=1"}, "3:#800080 1:#0000ff"},
		{"a group of three",
			[]string{"#0000ff", "#00ff00 alpha=0.5 group=1", "#ffff00 alpha=0.5 group=1", "#ff0000 alpha=0.5 group=1"}, "4:#800080 1:#0000ff"},
	} {
		var lines []string
		for _, l := range c.layers {
			colour, flags, _ := strings.Cut(l, " ")
			lines = append(lines, colour+at+" "+flags)
		}
		if got := whoClaims(sketch.Art(t, lines...)); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}

func TestClaimants_TintedBlankLiesBeneathEveryMix(t *testing.T) {
	j := sketch.Art(t, "#ff0000 rect 0 0 1 1 alpha=0.5")
	j, _ = job.SetBlank(j, &colour.RGB{})
	if got := whoClaims(j); got != "1:#800000" {
		t.Error(got)
	}
}

func TestClaimants_SheetsAndBareRules(t *testing.T) {
	red, pink, white := colour.RGB{R: 255}, colour.RGB{R: 255, G: 100, B: 100}, colour.White
	base := sketch.Art(t, "#ffffff rect 0 0 1 1", "#ff0000 rect 0 0 1 1", "#ff6464 rect 0 0 1 1")
	base, sheet, err := job.AddSheet(base, job.Sheet{Name: "Poppy", Pressed: colour.RGB{R: 200}})
	if err != nil {
		t.Fatal(err)
	}
	edit := func(j job.Job, err error) job.Job {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return j
	}
	bare := func(r job.BareRule) job.Job { j := base; j.Settings.Bare = r; return j }
	assigned := edit(job.Assign(edit(job.Assign(base, red, job.Target{Sheet: sheet})), pink, job.Target{Sheet: sheet}))
	for _, c := range []struct {
		name string
		job  job.Job
		want string
	}{
		{"as drawn", base, "3:#ff6464 2:#ff0000 1:bare"},
		{"two shades from one sheet", assigned, "3:#c80000 2:#c80000 1:bare"},
		{"a colour left bare", edit(job.Assign(base, red, job.Target{Bare: true})), "3:#ff6464 2:bare"},
		{"no bare", bare(job.BareRule{Mode: job.BareNone}), "3:#ff6464 2:#ff0000 1:#ffffff"},
		{"listed", bare(job.BareRule{Mode: job.BareListed, Colours: []colour.RGB{red}}), "3:#ff6464 2:bare"},
		{"assigning beats the rule", edit(job.Assign(base, white, job.Target{Sheet: sheet})), "3:#ff6464 2:#ff0000 1:#c80000"},
	} {
		if got := whoClaims(c.job); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
	missing := base
	missing.Assign = map[colour.RGB]job.Target{red: {Sheet: 77}}
	if got := whoClaims(missing); got != "3:#ff6464 2:#ff0000 1:bare" {
		t.Error("a sheet that is not there:", got)
	}
}

// The mix of a deep pile against the definition, written down as it stands: a
// layer's colour is its own over that of the nearest one beneath that is not of
// its group.
func TestMix_AgreesWithItsDefinition(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(1, 8).Draw(rt, "layers")
		var lines []string
		for range n {
			lines = append(lines, fmt.Sprintf("#%06x rect 0 0 1 1 alpha=%g group=%d %s",
				rapid.IntRange(0, 0xffffff).Draw(rt, "colour"), rapid.SampledFrom([]float64{1, 0.5, 0.25, 0.9}).Draw(rt, "alpha"),
				rapid.IntRange(0, 2).Draw(rt, "group"), rapid.SampledFrom([]string{"", "", "drawn", "bare"}).Draw(rt, "use")))
		}
		j := sketch.Art(t, lines...)
		layers := j.Items[0].Layers
		var looks func(i int) colour.RGB
		looks = func(i int) colour.RGB {
			if layers[i].Use == job.Bare {
				return colour.White
			}
			for k := i - 1; k >= 0; k-- {
				if layers[k].Use != job.Drawn && (layers[i].Group == 0 || layers[k].Group != layers[i].Group) {
					return layers[i].Colour.Over(looks(k), layers[i].Alpha)
				}
			}
			return layers[i].Colour.Over(colour.White, layers[i].Alpha)
		}
		placed, _ := place(j)
		r := newClaimer(NewRules(j, placed))
		cover := make([]int32, n)
		for i := range cover {
			cover[i] = int32(i)
		}
		r.mix(cover)
		for i := range cover {
			if layers[i].Use != job.Drawn && r.mixed[i] != looks(i) {
				rt.Fatalf("layer %d of %q: %v, want %v", i, lines, r.mixed[i], looks(i))
			}
		}
	})
}

func TestClaim_LabelsNameSetsOfSeparations(t *testing.T) {
	j := sketch.Art(t, "red rect 0 0 1 1", "blue rect 0 0 1 1", "red rect 0 0 1 1", "white rect 0 0 1 1", "black rect 0 0 1 1 drawn")
	placed, _ := place(j)
	covers := [][]int32{{}, {0}, {1}, {0, 1}, {1, 2}, {0, 2}, {3}, {0, 3}, {4}, {0, 4}, {0, 1, 2}}
	c, err := claim(context.Background(), NewRules(j, placed), len(covers), func(i int32) []int32 { return covers[i] })
	if err != nil {
		t.Fatal(err)
	}
	same := func(a, b int) {
		if c.Label[a] != c.Label[b] {
			t.Errorf("covers %v and %v: labels %d and %d", covers[a], covers[b], c.Label[a], c.Label[b])
		}
	}
	if c.Label[0] != -1 || c.Label[8] != -1 {
		t.Error("nobody claims an empty place or a pen's line:", c.Label)
	}
	stacked := func(i int) bool { _, single := c.Owner(c.Label[i]); return !single }
	same(1, 5)  // red over red is red
	same(3, 4)  // red and blue, whichever is on top
	same(4, 10) //
	same(1, 9)
	same(6, 7)
	if c.Label[6] != bareLabel || stacked(6) || stacked(5) || !stacked(3) || c.Label[1] == c.Label[2] {
		t.Error(c.Label, c.Sets)
	}
}

func TestClaim_StopsWhenCancelled(t *testing.T) {
	j := sketch.Art(t, "red rect 0 0 1 1")
	placed, _ := place(j)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := claim(ctx, NewRules(j, placed), 1, func(int32) []int32 { return nil }); !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
}
