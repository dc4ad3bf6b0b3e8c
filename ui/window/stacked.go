package window

import (
	"fyne.io/fyne/v2/container"

	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/words"
	"abut/ui/controls"
)

// maxPlaces is how many stacked places are listed, the largest first.
const maxPlaces = 8

// showStacked lists where colours lie over each other; each is shown on the
// board when it is pressed.
func (d *details) showStacked(j job.Job, p *fit.Plan) {
	d.stacked.RemoveAll()
	n := len(p.Stacked.Places)
	d.stackedPart.SetShown(n > 0)
	for i := range p.Stacked.Places {
		if i == maxPlaces {
			d.stacked.Add(controls.NewPara(say("ui-details-more", "count", words.Count(n-i)), controls.Quiet))
			break
		}
		s := &p.Stacked.Places[i]
		var names []string
		for k := len(s.Layers) - 1; k >= 0 && len(names) < maxNamed; k-- {
			if l, _, ok := j.Layer(s.Layers[k]); ok {
				names = append(names, words.Capital(l.Name))
			}
		}
		at := s.Bounds
		zoom := controls.NewIconPress("zoom-in", say("ui-details-place"), func() { d.onPlace(at) })
		name := controls.NewLine(words.List(names), controls.Text)
		name.Shrinks = true
		area := controls.NewLine(wordsOf(j).Area(s.AreaMM2), controls.Quiet)
		d.stacked.Add(container.New(&controls.Lead{Gap: 8}, container.NewCenter(zoom), container.New(&controls.Stack{}, name, area)))
	}
}
