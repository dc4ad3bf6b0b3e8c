package assemble

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"abut/internal/colour"
	"abut/internal/job"
	"abut/internal/message"
)

// nameAll gives each separation a plain name: its sheet's, or a word for its
// colour. Where several would have the same, those after the first get a
// number: Red, Red 2, Red 3.
func (b *bench) nameAll(j job.Job) {
	taken := map[string]bool{}
	names := namesOf(j)
	for i := range b.Separations {
		s := &b.Separations[i]
		sheet, _ := b.rules.Sheet(s.Of)
		name, n := strings.TrimSpace(sheet.Name), 1
		byColour := name == ""
		if byColour {
			name, n = names.Of(s.Colour)
		}
		unique := numbered(name, n)
		// Compared without case: names become file names.
		for taken[strings.ToLower(unique)] {
			n++
			unique = numbered(name, n)
		}
		if byColour {
			s.Word = message.ColourName{Word: name, Number: n}
		}
		taken[strings.ToLower(unique)] = true
		s.Name = unique
	}
}

func numbered(name string, n int) string {
	if n < 2 {
		return name
	}
	return name + " " + strconv.Itoa(n)
}

// namesOf knows the colours of a job's layers in the order in which layers came
// in, as their own names do: a sheet is called like the layers that are cut from
// it, whatever is knocked out, moved up or left out meanwhile. Bands of a gradient
// come later than any colour that was drawn.
func namesOf(j job.Job) *colour.Names {
	var layers []job.Layer
	for _, it := range j.Items {
		layers = append(layers, it.Layers...)
	}
	slices.SortFunc(layers, func(a, b job.Layer) int { return cmp.Compare(a.ID, b.ID) })
	names := new(colour.Names)
	for _, l := range layers {
		if l.Band.Of != 0 {
			l.Colour = l.Band.Colour
		}
		names.Of(l.Colour)
	}
	return names
}
