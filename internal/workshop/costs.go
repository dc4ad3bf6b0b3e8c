package workshop

import (
	"encoding/csv"
	"io"
	"math"
	"strconv"
	"strings"

	"abut/internal/cutfile"
	"abut/internal/drawer"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/layout"
	"abut/internal/message"
	"abut/internal/words"
)

// costsFile is the table of costs, where it is laid out.
const costsFile = "costs.csv"

// DefaultSpeedMMS is how fast a blade is taken to cut, in millimetres a second, where
// nobody says: a guess, to be replaced by one's own. What cutters' makers state, 100 to
// 400 mm/s (from memory), is reached on long straight lines; around small shapes most of
// the way is corners.
const DefaultSpeedMMS = 30

// ManifestCosts say what a layout takes. Prices are in whatever money the user's own
// list of sheets has them.
type ManifestCosts struct {
	// SpeedMMS is the speed that times are reckoned with.
	SpeedMMS float64        `json:"speed_mm_s"`
	Colors   []ManifestCost `json:"colors"`
	// Cost is that of all, null where a price is not known, and CostEach that of one
	// copy.
	Cost     *float64 `json:"cost"`
	CostEach *float64 `json:"cost_each"`
	CutMM    float64  `json:"cut_mm"`
	CutS     float64  `json:"cut_s"`
}

// ManifestCost is what one separation takes.
type ManifestCost struct {
	Order int    `json:"order"`
	Name  string `json:"name"`
	// Own is what the user's own list calls the sheet, empty where that has none.
	Own   string `json:"own"`
	Color string `json:"color"`
	// Sheets and Offcuts are how many are used, RollMM the length of roll.
	Sheets  int     `json:"sheets"`
	Offcuts int     `json:"offcuts"`
	RollMM  float64 `json:"roll_mm"`
	// LeastSheets are how many whole sheets no layout can do with fewer of, even if every
	// offcut were filled, and LeastRollMM the same of a roll.
	LeastSheets int     `json:"least_sheets"`
	LeastRollMM float64 `json:"least_roll_mm"`
	// UsedMM2 is what is used of them, AreaMM2 the pieces.
	UsedMM2 float64 `json:"used_mm2"`
	AreaMM2 float64 `json:"area_mm2"`
	// Buy is how many sheets there are too few, null where the user's own list does not
	// know.
	Buy *int `json:"buy"`
	// Price is that of one sheet and Cost that of those used, of a roll by its area; null
	// where no price is known. An offcut was paid for with its sheet.
	Price *float64 `json:"price"`
	Cost  *float64 `json:"cost"`
	CutMM float64  `json:"cut_mm"`
	CutS  float64  `json:"cut_s"`

	called any // for people
}

// owned is the user's own sheet that a separation is cut from, nil for none.
func (o LayoutOptions) owned(j job.Job, s *fit.Separation) *drawer.Sheet {
	sheet, _ := j.Sheet(s.Of.Sheet)
	for i := range o.Drawer {
		if d := &o.Drawer[i]; d.Name == sheet.Name && d.Pressed == s.Colour {
			return d
		}
	}
	return nil
}

// costs says what a layout of designs takes, cut as on these pages.
func (o LayoutOptions) costs(l *layout.Layout, all []design, pages []*cutfile.Page) *ManifestCosts {
	m := &ManifestCosts{SpeedMMS: DefaultSpeedMMS}
	if o.SpeedMMS > 0 {
		m.SpeedMMS = o.SpeedMMS
	}
	for i := 0; i < len(l.Sheets); {
		first := &l.Sheets[i]
		sep := &first.Page.Separations[0]
		c := ManifestCost{Order: sep.Order, Name: sep.Name, Color: sep.Colour.String(), LeastSheets: l.Least[sep.Order-1].Sheets, LeastRollMM: rounded(l.Least[sep.Order-1].RollMM)}
		for ; i < len(l.Sheets) && l.Sheets[i].Page.Separations[0].Order == c.Order; i++ {
			c.add(&l.Sheets[i], &pages[i].Separations[0])
		}
		d := &all[first.From]
		c.called = d.cut.Separations[first.Of].Called()
		own := o.owned(d.job, &d.cut.Separations[first.Of])
		c.price(own)
		if own != nil {
			c.Own = own.Name
		}
		if own != nil && own.Count >= 0 && first.Kind != layout.Roll {
			buy := max(0, c.Sheets-own.Count)
			c.Buy = &buy
		}
		c.UsedMM2, c.AreaMM2, c.RollMM, c.CutMM = rounded(c.UsedMM2), rounded(c.AreaMM2), rounded(c.RollMM), rounded(c.CutMM)
		c.CutS = rounded(c.CutMM / m.SpeedMMS)
		m.Colors = append(m.Colors, c)
		m.CutMM, m.CutS = rounded(m.CutMM+c.CutMM), rounded(m.CutS+c.CutS)
	}
	m.sum(len(all) * max(1, o.Copies))
	return m
}

// sum adds up the costs of so many copies, unless one is not known.
func (m *ManifestCosts) sum(copies int) {
	sum := 0.0
	for _, c := range m.Colors {
		if c.Cost == nil {
			return
		}
		sum += *c.Cost
	}
	all, each := cents(sum), cents(sum/float64(copies))
	m.Cost, m.CostEach = &all, &each
}

// cents rounds money.
func cents(v float64) float64 { return math.Round(v*100) / 100 }

func (c *ManifestCost) add(s *layout.Sheet, cut *cutfile.Separation) {
	switch s.Kind {
	case layout.Whole:
		c.Sheets++
	case layout.Offcut:
		c.Offcuts++
	case layout.Roll:
		c.RollMM += s.Page.Height.MM()
	}
	c.UsedMM2 += s.UsedMM.WidthMM * s.UsedMM.HeightMM
	c.AreaMM2 += s.AreaMM2
	c.CutMM += s.CutMM() + cut.AidsMM()
}

// price says what that costs where the user's own sheet has a price.
func (c *ManifestCost) price(own *drawer.Sheet) {
	if own != nil && own.Price > 0 {
		price := own.Price
		c.Price = &price
	}
	var cost float64
	switch {
	case c.Sheets == 0 && c.RollMM == 0: // offcuts alone
	case c.Price == nil:
		return
	case c.RollMM > 0:
		area := own.WidthMM * own.HeightMM
		if area == 0 {
			return // of what the price is nobody knows
		}
		cost = cents(*c.Price * c.UsedMM2 / area)
	default:
		cost = cents(float64(c.Sheets) * *c.Price)
	}
	c.Cost = &cost
}

// CostsTable are the costs in words, a row for each colour with the names of the columns
// above and the sum below: what it takes, what of that goes back, what it costs and how
// long it is cut.
func CostsTable(w *words.Words, l *ManifestLayout) [][]string {
	m := l.Costs
	say := func(id string, pairs ...any) string { return w.Message(words.Pairs(id, pairs...)) }
	cut := func(mm, s float64) []string {
		return []string{say("costs-metres", "length", message.Exact{Value: mm / 1000, Decimals: 2}), say("costs-minutes", "count", words.Count(max(1, int(math.Round(s/60)))))}
	}
	rows := [][]string{{say("costs-sheet"), say("costs-takes"), say("costs-left"), say("costs-to-buy"), say("costs-cost"), say("costs-cut"), say("costs-time")}}
	for _, c := range m.Colors {
		buy := "–"
		if c.Buy != nil {
			buy = strconv.Itoa(*c.Buy)
		}
		rows = append(rows, append([]string{words.Capital(w.Put(c.called)), w.List(c.takes(w)), l.left(w, c.Order), buy, moneyText(w, c.Cost)}, cut(c.CutMM, c.CutS)...))
	}
	return append(rows, append([]string{say("costs-all"), "", "", "", m.sumText(w, l.Copies)}, cut(m.CutMM, m.CutS)...))
}

// sumText says what all costs, and each of several copies.
func (m *ManifestCosts) sumText(w *words.Words, copies int) string {
	sum := moneyText(w, m.Cost)
	if copies > 1 && m.CostEach != nil {
		sum = w.Message(words.Pairs("costs-each", "sum", sum, "each", moneyText(w, m.CostEach)))
	}
	return sum
}

// DensityText says how much of what is used are pieces, what no layout can do with less
// of, and what could not stay where it was pinned.
func DensityText(w *words.Words, l *ManifestLayout) string {
	return strings.TrimSpace(l.densityText(w) + " " + LapsedText(w, l.lapsed))
}

// LapsedText says how many things cannot stay where they were pinned, nothing where all can.
func LapsedText(w *words.Words, lapsed int) string {
	if lapsed == 0 {
		return ""
	}
	return w.Message(words.Pairs("costs-lapsed", "count", words.Count(lapsed)))
}

func (l *ManifestLayout) densityText(w *words.Words) string {
	var used, area, roll float64
	sheets, least := 0, 0
	for _, c := range l.Costs.Colors {
		used, area, roll = used+c.UsedMM2, area+c.AreaMM2, roll+c.LeastRollMM
		sheets, least = sheets+c.Sheets, least+c.LeastSheets
	}
	share := math.Round(100 * area / math.Max(used, 1e-9))
	switch {
	case roll > 0:
		return w.Message(words.Pairs("costs-density-roll", "percent", message.Number(share), "length", message.MM(math.Floor(roll))))
	case least >= sheets:
		return w.Message(words.Pairs("costs-density-least", "percent", message.Number(share)))
	}
	return w.Message(words.Pairs("costs-density", "percent", message.Number(share), "count", words.Count(least)))
}

// moneyText writes money, nil for a price that is not known.
func moneyText(w *words.Words, v *float64) string {
	if v == nil {
		return w.Message(words.Pairs("costs-no-price"))
	}
	return w.Put(message.Exact{Value: *v, Decimals: 2})
}

// left says which offcuts there are of a separation's sheets.
func (l *ManifestLayout) left(w *words.Words, order int) string {
	var sizes message.Few
	for _, s := range l.Sheets {
		for _, left := range s.LeftMM {
			if s.Order == order {
				sizes = append(sizes, w.Size(left[0], left[1]))
			}
		}
	}
	if len(sizes) == 0 {
		return "–"
	}
	return w.Put(sizes)
}

// takes says how many sheets and offcuts, or how long a roll, that takes.
func (c *ManifestCost) takes(w *words.Words) (out []string) {
	if c.Sheets > 0 {
		out = append(out, w.Message(words.Pairs("cli-laid-sheet", "count", words.Count(c.Sheets))))
	}
	if c.Offcuts > 0 {
		out = append(out, w.Message(words.Pairs("cli-laid-offcut", "count", words.Count(c.Offcuts))))
	}
	if c.RollMM > 0 {
		out = append(out, w.Message(words.Pairs("costs-roll", "length", message.MM(c.RollMM))))
	}
	return out
}

// writeCosts writes the table for spreadsheets; what is not known is empty.
func writeCosts(m *ManifestCosts) func(io.Writer) error {
	number := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	known := func(v *float64) string {
		if v == nil {
			return ""
		}
		return number(*v)
	}
	return func(out io.Writer) error {
		rows := [][]string{{"order", "name", "color", "sheets", "offcuts", "roll_mm", "used_mm2", "area_mm2", "buy", "price", "cost", "cut_mm", "cut_s"}}
		for _, c := range m.Colors {
			buy := ""
			if c.Buy != nil {
				buy = strconv.Itoa(*c.Buy)
			}
			rows = append(rows, []string{
				strconv.Itoa(c.Order), drawer.Cell(c.Name), c.Color, strconv.Itoa(c.Sheets), strconv.Itoa(c.Offcuts), number(c.RollMM), number(c.UsedMM2), number(c.AreaMM2),
				buy, known(c.Price), known(c.Cost), number(c.CutMM), number(c.CutS),
			})
		}
		rows = append(rows, []string{"", "", "", "", "", "", "", "", "", "", known(m.Cost), number(m.CutMM), number(m.CutS)})
		return csv.NewWriter(out).WriteAll(rows)
	}
}
