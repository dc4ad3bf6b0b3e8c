package main

import (
	"fmt"
	"strconv"
	"strings"
	"text/tabwriter"

	"abut/internal/layout"
	"abut/internal/words"
	"abut/internal/workshop"
)

// layoutFlags say how it is laid out on sheets.
type layoutFlags struct {
	Layout  string    `enum:"together,loose,none," default:"" placeholder:"together|loose|none" help:"cli-help-layout"`
	Copies  count     `xor:"copies" placeholder:"N" help:"cli-help-copies"`
	Roll    length    `placeholder:"LENGTH" help:"cli-help-roll"`
	Spacing length    `placeholder:"LENGTH" help:"cli-help-spacing"`
	Tries   count     `placeholder:"N" help:"cli-help-tries"`
	Speed   speedFlag `placeholder:"MM/S" help:"cli-help-speed"`
}

// asOne is the way in which nothing is laid out, whatever a saved job says.
const asOne = "none"

func (f layoutFlags) options() workshop.LayoutOptions {
	if f.Layout == asOne {
		return workshop.LayoutOptions{AsOne: true}
	}
	return workshop.LayoutOptions{
		Way: layout.Way(f.Layout), Copies: int(f.Copies), RollMM: float64(f.Roll), GapMM: float64(f.Spacing), Tries: int(f.Tries), SpeedMMS: float64(f.Speed),
	}
}

// speedFlag is a speed in millimetres a second.
type speedFlag float64

// fastest is more than any cutter's speed, in mm/s.
const fastest = 10_000

// UnmarshalText reads the flag's value.
func (f *speedFlag) UnmarshalText(text []byte) error {
	number := strings.TrimSpace(strings.TrimSuffix(strings.ToLower(strings.TrimSpace(string(text))), "mm/s"))
	v, err := strconv.ParseFloat(strings.Replace(number, ",", ".", 1), 64)
	if err != nil || !(v > 0 && v <= fastest) { // neither is a number that is none
		return wrong("cli-wrong-speed", "text", string(text))
	}
	*f = speedFlag(v)
	return nil
}

// laidOut tells what that takes.
func (s streams) laidOut(l *workshop.ManifestLayout) {
	kinds := map[layout.Kind]int{}
	used := 0.0
	for _, x := range l.Sheets {
		kinds[x.Kind]++
		used += x.UsedMM[0] * x.UsedMM[1]
	}
	var what []string
	for _, k := range []layout.Kind{layout.Whole, layout.Offcut, layout.Roll} {
		if kinds[k] > 0 {
			what = append(what, words.Say("cli-laid-"+string(k), "count", words.Count(kinds[k])))
		}
	}
	s.say("cli-laid-out", "copies", words.Say("cli-laid-copies", "count", words.Count(l.Copies)), "sheets", words.List(what), "used", words.MM2(used), "density", workshop.DensityText(words.Chosen(), l))
	t := tabwriter.NewWriter(s.out, 0, 0, 2, ' ', 0)
	for _, row := range workshop.CostsTable(words.Chosen(), l) {
		fmt.Fprintln(t, "  "+strings.Join(row, "\t"))
	}
	_ = t.Flush()
	if l.Sheets[0].Files != nil {
		s.say("cli-laid-where")
	}
	s.say("cli-costs-rough", "speed", words.Number(l.Costs.SpeedMMS))
}
