package inspect

import (
	"fmt"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/internal/job"
	"abut/internal/session"
	"abut/internal/words"
	"abut/ui/controls"
)

// maxPlaces is how many stacked places are listed, the largest first.
const maxPlaces = 8

// stacked lists where colours lie over each other; each is shown on the board
// when it is pressed.
type stacked struct {
	p    *Panel
	part *controls.Section
	rows *controls.Rows
}

func newStacked(p *Panel) *stacked {
	k := &stacked{p: p, rows: controls.NewRows(6)}
	k.part = p.section("ui-details-stacked", k.rows.Object)
	return k
}

func (k *stacked) show(st session.State) {
	var rows []controls.Row
	if st.Plan != nil {
		for i := range st.Plan.Stacked.Places {
			if i == maxPlaces {
				rows = append(rows, more(len(st.Plan.Stacked.Places)-i))
				break
			}
			s := &st.Plan.Stacked.Places[i]
			names, area, at := words.Few(names(st.Job, s.Layers)), in(st.Job).Area(s.AreaMM2), s.Bounds
			rows = append(rows, controls.Row{Key: fmt.Sprint(names, area, at), Make: func() fyne.CanvasObject {
				zoom := controls.NewIconPress("zoom-in", say("ui-details-place"), func() { k.p.h.Look(at) })
				return container.New(&controls.Lead{Gap: 8}, container.NewCenter(zoom), container.New(&controls.Stack{}, controls.NewPara(names, controls.Text), controls.NewLine(area, controls.Quiet)))
			}})
		}
	}
	k.part.SetShown(len(rows) > 0)
	k.rows.Show(rows...)
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
