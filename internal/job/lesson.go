package job

import (
	"maps"
	"slices"
	"strings"
)

// Lesson is what a teacher decided about the lesson that is made of the job. Steps are
// named by their ids; those that the job does not have (any longer) wait there.
type Lesson struct {
	// Hidden steps are not shown.
	Hidden []string `json:",omitempty"`
	// Order are steps in the order in which they come, in the places that they have
	// among the others.
	Order []string `json:",omitempty"`
	// Captions are said in place of a step's own sentence.
	Captions map[string]string `json:",omitempty"`
}

// SetLesson returns the job with another lesson. Captions of nothing but spaces are
// none.
func SetLesson(j Job, l Lesson) (Job, error) {
	l.Hidden, l.Order = slices.Clone(l.Hidden), slices.Clone(l.Order)
	l.Captions = maps.Clone(l.Captions)
	maps.DeleteFunc(l.Captions, func(_, text string) bool { return strings.TrimSpace(text) == "" })
	if len(l.Captions) == 0 {
		l.Captions = nil
	}
	j.Settings.Lesson = l
	return j, nil
}
