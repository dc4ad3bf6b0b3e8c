package controls

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/internal/colour"
)

// NewSwatches returns colours to press, with now marked; chosen is told which was
// pressed, and called names each where pointer or keyboard rest.
func NewSwatches(colours []colour.RGB, now *colour.RGB, chosen func(colour.RGB), called func(colour.RGB) string) *fyne.Container {
	row := container.New(&Flow{Gap: 2})
	for _, c := range colours {
		p := NewIconPress("", called(c), func() { chosen(c) })
		p.On = now != nil && c == *now
		row.Add(container.NewStack(p, container.NewCenter(NewSwatch(c, 22))))
	}
	return row
}
