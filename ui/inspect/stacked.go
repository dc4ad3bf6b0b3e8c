package inspect

import (
	"fmt"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/geometry"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/session"
	"abut/internal/words"
	"abut/ui/controls"
)

// maxStacks is how many groups of layers that stack are listed, those with the largest
// places first.
const maxStacks = 8

// stacked lists which layers lie over each other, those of a word's letters once:
// pressing one goes from place to place on the board.
type stacked struct {
	p    *Panel
	part *controls.Section
	rows *controls.Rows
	// shown is how many places of a group were looked at, by what its row says.
	shown map[string]int
}

// stack is some layers and where just these stack.
type stack struct {
	layers  []job.LayerID
	places  []geometry.Rect
	areaMM2 float64
}

func newStacked(p *Panel) *stacked {
	k := &stacked{p: p, rows: controls.NewRows(6), shown: map[string]int{}}
	k.part = p.section("ui-details-stacked", k.rows.Object)
	return k
}

// stacks groups places by the layers that stack there, in the order in which they come.
func stacks(places []fit.StackedPlace) (out []stack) {
	for i := range places {
		at := slices.IndexFunc(out, func(s stack) bool { return slices.Equal(s.layers, places[i].Layers) })
		if at < 0 {
			at, out = len(out), append(out, stack{layers: places[i].Layers})
		}
		out[at].places = append(out[at].places, places[i].Bounds)
		out[at].areaMM2 += places[i].AreaMM2
	}
	return out
}

func (k *stacked) show(st session.State) {
	var rows []controls.Row
	shown := map[string]int{} // of what is there still
	if st.Plan != nil {
		all := stacks(st.Plan.Stacked.Places)
		for i, s := range all {
			if i == maxStacks {
				rows = append(rows, more(len(all)-i))
				break
			}
			row, facts := k.row(st, s)
			shown[facts] = k.shown[facts]
			rows = append(rows, row)
		}
	}
	k.shown = shown
	k.part.SetShown(len(rows) > 0)
	k.rows.Show(rows...)
}

// row is the row of a group, and what it says while no place is looked at.
func (k *stacked) row(st session.State, s stack) (row controls.Row, facts string) {
	names, area, n := over(names(st.Job, s.layers)), in(st.Job).Area(s.areaMM2), len(s.places)
	if n > 1 {
		area = say("ui-stacked-places", "count", words.Count(n), "area", area)
	}
	facts = fmt.Sprint(names, area, s.places[0])
	seen := k.shown[facts]
	if seen > 0 && n > 1 {
		area = say("ui-stacked-place", "at", words.Count(seen), "count", words.Count(n))
	}
	return controls.Row{Key: fmt.Sprint(facts, seen), Make: func() fyne.CanvasObject {
		zoom := controls.NewIconPress("zoom-in", say(map[bool]string{false: "ui-details-place", true: "ui-stacked-next"}[n > 1]), func() {
			k.p.h.Look(s.places[seen%n])
			k.shown[facts] = seen%n + 1
			k.show(k.p.state)
			k.p.relay()
		})
		return container.New(&controls.Lead{Gap: 8}, container.NewCenter(zoom), container.New(&controls.Stack{}, controls.NewPara(names, controls.Text), controls.NewLine(area, controls.Quiet)))
	}}, facts
}

// over says which layers lie over which, the topmost first.
func over(names []string) string {
	if len(names) < 2 {
		return words.Few(names)
	}
	return say("ui-stacked-over", "top", names[0], "beneath", words.Few(names[1:]))
}

// more says that there are others.
func more(n int) controls.Row {
	text := say("ui-details-more", "count", words.Count(n))
	return controls.Row{Key: text, Make: func() fyne.CanvasObject { return controls.NewPara(text, controls.Quiet) }}
}

// names returns the names of layers, the topmost first.
func names(j job.Job, ids []job.LayerID) []string {
	var out []string
	for i := len(ids) - 1; i >= 0; i-- {
		if l, _, ok := j.Layer(ids[i]); ok {
			out = append(out, words.Capital(l.Name))
		}
	}
	return out
}
