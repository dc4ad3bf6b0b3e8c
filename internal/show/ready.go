package show

import (
	"fmt"
	"slices"

	"abut/internal/message"
)

// Ready is a lesson of ten minutes about one of the pictures that come along, with what
// to say and when.
type Ready struct {
	// ID is the picture's.
	ID    string
	parts []part
}

// part is a step and how many seconds there are for it.
type part struct {
	step    string
	seconds int
}

// ReadyLessons are those that there are: what lies apart, two shapes over one, and
// shapes within shapes.
var ReadyLessons = []Ready{
	{"spread", []part{{"picture", 120}, {"frame", 150}, {"mirror", 90}, {"sheets", 60}, {"lay-1", 60}, {"lay-2", 30}, {"press", 60}, {"done", 30}}},
	{"pair", []part{
		{"picture", 60}, {"apart", 60}, {"pressed", 60}, {"ask", 60}, {"where", 30}, {"knock-1", 60}, {"knock-2", 30}, {"what-if", 60}, {"edges", 60},
		{"mirror", 60}, {"press", 30}, {"done", 30},
	}},
	{"nested", []part{
		{"picture", 60}, {"apart", 60}, {"pressed", 60}, {"ask", 60}, {"where", 30}, {"knock-1", 60}, {"knock-2", 30}, {"knock-3", 30}, {"edges", 60},
		{"sheets", 30}, {"lay-2", 60}, {"press", 30}, {"done", 30},
	}},
}

// Of returns the ready lesson that is made of its picture's lesson: some of the steps,
// with notes of its own.
func (r Ready) Of(s *Show) *Show {
	out := &Show{art: s.art}
	at := 0
	for _, p := range r.parts {
		from := at
		at += p.seconds
		i := slices.IndexFunc(s.Steps, func(x Step) bool { return x.ID == p.step })
		if i < 0 {
			continue
		}
		step := s.Steps[i]
		step.Notes = message.Message{
			ID:   "class-minutes",
			Args: map[string]string{"from": clock(from), "to": clock(at)},
			Values: map[string]any{"text": message.Message{
				ID: "lesson-" + r.ID + "-" + p.step, Values: step.Sentence.Values,
			}},
		}
		out.Steps = append(out.Steps, step)
	}
	return out
}

// clock writes seconds as minutes and seconds.
func clock(seconds int) string { return fmt.Sprintf("%d:%02d", seconds/60, seconds%60) }
