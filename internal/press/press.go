// Package press knows at what heat and for how long blanks are commonly pressed,
// and what to say of values that a person has settled on. All of its figures are
// starting points: the makers of sheet, blank and press decide.
package press

import (
	_ "embed"
	"encoding/csv"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"

	"abut/internal/job"
	"abut/internal/message"
)

//go:embed table.csv
var table string

// Row is what is said of one kind of blank. Its source stands beside it.
type Row struct {
	// ID names the kind, a sentence 'press-ID' is what people call it.
	ID string
	// LowC and HighC bound the heat, LowS and HighS the seconds. Where guides name one
	// heat only the two are the same.
	LowC, HighC, LowS, HighS float64
	Source                   string
}

// Rows returns the table of starting points: cloth first, then what is coated.
func Rows() []Row { return slices.Clone(rows()) }

var rows = sync.OnceValue(func() []Row {
	lines, err := csv.NewReader(strings.NewReader(table)).ReadAll()
	if err != nil {
		panic(err) // the table is part of the program
	}
	var out []Row
	for _, l := range lines[1:] {
		r := Row{ID: l[0], Source: l[5]}
		for i, to := range []*float64{&r.LowC, &r.HighC, &r.LowS, &r.HighS} {
			if *to, err = strconv.ParseFloat(l[1+i], 64); err != nil {
				panic(err)
			}
		}
		out = append(out, r)
	}
	return out
})

// For returns the rows that a blank may belong to: those for what it is made of and, of
// them, the one that its values are for; all for nothing known, none for cotton, which
// takes no dye.
func For(b *job.Blank) []Row {
	if b == nil {
		return Rows()
	}
	var may []Row
	switch b.Material {
	case job.Polyester, job.Blend:
		may = Rows()[:1]
	case job.Coated:
		may = Rows()[1:]
	}
	if i := slices.IndexFunc(may, func(r Row) bool { return r.ID == b.Press.Kind }); i >= 0 {
		return may[i : i+1]
	}
	return may
}

// Fahrenheit returns a heat in °C in °F.
func Fahrenheit(c float64) float64 { return c*9/5 + 32 }

// Celsius returns a heat in °F in °C.
func Celsius(f float64) float64 { return (f - 32) * 5 / 9 }

// Name is what people call the kind of blank.
func (r Row) Name() message.Message { return message.Of("press-" + r.ID) }

// Heat is the heat in both units: '180–210 °C (356–410 °F)'.
func (r Row) Heat() message.Message {
	if r.LowC == r.HighC {
		return put("press-heat-about", "c", whole(r.LowC), "f", whole(Fahrenheit(r.LowC)))
	}
	return put("press-heat-range", "c", whole(r.LowC), "to", whole(r.HighC), "f", whole(Fahrenheit(r.LowC)), "tof", whole(Fahrenheit(r.HighC)))
}

// Time is the time, in minutes where all of it is whole ones: '30–60 s', '4–8 min'.
func (r Row) Time() message.Message {
	if math.Mod(r.LowS, 60) == 0 && math.Mod(r.HighS, 60) == 0 {
		return put("press-time-minutes", "from", whole(r.LowS/60), "to", whole(r.HighS/60))
	}
	return put("press-time-seconds", "from", whole(r.LowS), "to", whole(r.HighS))
}

// Sourced is the source for people.
func (r Row) Sourced() message.Message {
	if strings.Contains(r.Source, "disagree") {
		return message.Of("press-source-disagree")
	}
	return message.Of("press-source-practice")
}

// HeatOf is one heat in both units: '204 °C (399 °F)'.
func HeatOf(c float64) message.Message {
	return put("press-heat-own", "c", whole(c), "f", whole(Fahrenheit(c)))
}

// TimeOf is one time: '60 s'.
func TimeOf(seconds float64) message.Message { return put("press-time-own", "s", whole(seconds)) }

func whole(v float64) message.Number { return message.Number(math.Round(v)) }

func put(id string, pairs ...any) message.Message {
	m := message.Message{ID: id, Values: map[string]any{}}
	for i := 0; i < len(pairs); i += 2 {
		m.Values[pairs[i].(string)] = pairs[i+1]
	}
	return m
}

const (
	// softC and meltsC are polyester's window (PET: glass transition up to 85 °C, melting
	// from 242 °C; from memory): under the one its chains do not let the dye in, over the
	// other cloth and coating go.
	softC, meltsC = 85, 242
	// aboutC is how far from the one heat that guides name 'about' reaches (our choice).
	aboutC = 5
)

// Doubts says what is doubtful about the values of a blank, nothing where none are
// kept: a heat that polyester does not take, and what lies outside every range that is
// published for such a blank.
func Doubts(b job.Blank) (out []message.Message) {
	v := b.Press
	switch {
	case v.HeatC == 0:
	case v.HeatC <= softC:
		out = append(out, put("press-too-cool", "heat", HeatOf(v.HeatC), "limit", HeatOf(softC)))
	case v.HeatC >= meltsC:
		out = append(out, put("press-too-hot", "heat", HeatOf(v.HeatC), "limit", HeatOf(meltsC)))
	}
	may := For(&b)
	if len(may) == 0 {
		return append(out, message.Of("blank-cotton"))
	}
	if v.HeatC > 0 && len(out) == 0 && !slices.ContainsFunc(may, func(r Row) bool { return r.holdsHeat(v.HeatC) }) {
		out = append(out, put("press-heat-outside", "heat", HeatOf(v.HeatC)))
	}
	if v.Seconds > 0 && !slices.ContainsFunc(may, func(r Row) bool { return v.Seconds >= r.LowS && v.Seconds <= r.HighS }) {
		out = append(out, put("press-time-outside", "time", TimeOf(v.Seconds)))
	}
	return out
}

func (r Row) holdsHeat(c float64) bool {
	if r.LowC == r.HighC {
		return math.Abs(c-r.LowC) <= aboutC
	}
	return c >= r.LowC && c <= r.HighC
}
