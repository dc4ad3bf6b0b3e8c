package workshop

import (
	"slices"
	"strings"

	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/words"
)

// maxPlaces is how many stacked places, or things that are too small, a sentence
// names.
const maxPlaces = 3

// Where says where the largest stacked places are, measured from the art's top
// left corner, and which layers lie over each other there.
func Where(j job.Job, p *fit.Plan) string {
	var out []string
	for _, s := range p.Stacked.Places[:min(maxPlaces, len(p.Stacked.Places))] {
		out = append(out, PlaceText(j, p, s))
	}
	return strings.Join(out, "; ")
}

// mostOver is how many layers are told in turn where they lie over each other; of more it is the topmost and a list.
const mostOver = 3

// PlaceText says where one stacked place is and what lies over what there.
func PlaceText(j job.Job, p *fit.Plan, s fit.StackedPlace) string {
	w := words.Chosen().In(j.Settings.Units)
	layers, names := "", LayerNames(j, s.Layers) // bottom first
	if top := len(names) - 1; top >= mostOver {
		slices.Reverse(names)
		names = []string{words.Few(names[1:]), names[0]}
	}
	for _, name := range names {
		if layers != "" {
			name = w.Message(words.Pairs("stacked-over", "upper", name, "lower", layers))
		}
		layers = name
	}
	return w.Message(words.Pairs("stacked-place", "layers", layers, "area", message.MM2(s.AreaMM2),
		"x", message.MM(s.Inside.X-p.Extent.Min.X), "y", message.MM(s.Inside.Y-p.Extent.Min.Y)))
}

// LayerNames returns the names of those layers that the job has.
func LayerNames(j job.Job, ids []job.LayerID) []string {
	out := []string{}
	for _, id := range ids {
		if l, _, ok := j.Layer(id); ok {
			out = append(out, l.Name)
		}
	}
	return out
}

// BeyondText says what the art with its frame is too large for, and by how much.
func BeyondText(j job.Job, p *fit.Plan) string {
	w := words.Chosen().In(j.Settings.Units)
	var out []string
	for i, x := range p.Beyond {
		if i == maxPlaces {
			out = append(out, w.Message(words.Pairs("beyond-more", "count", words.Count(len(p.Beyond)-i))))
			break
		}
		out = append(out, w.Message(x.Message))
	}
	return strings.Join(out, " ")
}
