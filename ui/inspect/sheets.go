package inspect

import (
	"fmt"
	"strconv"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/internal/fit/assemble"
	"abut/internal/session"
	"abut/internal/words"
	"abut/ui/controls"
)

// manySheets is how many sheets are listed before the list folds.
const manySheets = 10

// cards list what is cut from which sheet, in the order of laying.
type cards struct {
	p    *Panel
	rows *controls.Rows
	// all: the list is unfolded.
	all bool
}

func newCards(p *Panel) *cards {
	c := &cards{p: p, rows: controls.NewRows(4)}
	colours := p.h.Commands.Press("colours")
	colours.Framed, colours.IconSide, colours.Height = true, 18, 32
	p.section("ui-details-sheets", c.rows.Object, container.NewHBox(colours))
	return c
}

func (c *cards) show(st session.State) {
	var rows []controls.Row
	if st.Plan != nil {
		list := st.Plan.Separations
		for i := range list {
			if i == manySheets-2 && len(list) > manySheets && !c.all {
				text := say("ui-details-all", "count", words.Count(len(list)))
				rows = append(rows, controls.Row{Key: text, Make: func() fyne.CanvasObject {
					return container.NewHBox(controls.NewAction("layers", text, "", func() {
						c.all = true
						c.show(c.p.state)
						c.p.relay()
					}))
				}})
				break
			}
			rows = append(rows, sheetCard(in(st.Job), i, &list[i]))
		}
	}
	c.rows.Show(rows...)
}

// carryIcons are the signs of how pieces get to the carrier.
var carryIcons = map[assemble.Carry]string{assemble.Stays: "sheet", assemble.ByHand: "hand", assemble.WithFilm: "film"}

// sheetCard is one separation: its place in the order, colour, name, pieces, and how
// they get to the carrier; the reason is said where pointer or keyboard rest.
func sheetCard(in *words.Words, i int, s *assemble.Separation) controls.Row {
	title := words.Capital(words.Chosen().Put(s.Called()))
	what := say("ui-pieces", "count", words.Count(len(s.Pieces))) + " · " + in.Area(s.AreaMM2)
	why, colour, icon := "", s.Colour, carryIcons[s.Carry]
	if s.CarryReason.ID != "" {
		why = in.Message(s.CarryReason)
	}
	return controls.Row{Key: fmt.Sprint(i, title, what, why, colour), Make: func() fyne.CanvasObject {
		n := controls.NewLine(strconv.Itoa(i+1), controls.Quiet)
		n.Align = fyne.TextAlignTrailing
		name, amount := controls.NewLine(title, controls.Text), controls.NewLine(what, controls.Quiet)
		name.Shrinks, amount.Shrinks = true, true
		lead := container.NewHBox(container.NewGridWrap(fyne.NewSize(20, 40), n), container.NewCenter(controls.NewSwatch(colour, 22)))
		texts := container.New(&controls.Stack{}, name, amount)
		var sign fyne.CanvasObject
		if icon != "" && why != "" {
			sign = container.NewCenter(controls.NewMark(icon, why, nil))
		}
		return controls.NewDock(nil, nil, nil, sign, container.New(&controls.Lead{Gap: 10}, lead, texts))
	}}
}
