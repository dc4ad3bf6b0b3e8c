package fit

import (
	"io"
	"testing"

	"abut/geometry"
	"abut/internal/abutfile"
	"abut/internal/job"
)

// written fails the test where a job cannot be saved.
func written(t interface {
	Helper()
	Error(args ...any)
}, j job.Job) {
	t.Helper()
	if err := abutfile.Write(io.Discard, abutfile.Document{Job: j}); err != nil {
		t.Error(err)
	}
}

// What mends decide can be saved: about letters of which two touch and others are too near to each other, and at the largest
// narrowest width, at which mends make things broader than that.
func TestMendAll_CanBeSaved(t *testing.T) {
	letters := func(shapes ...string) job.Job {
		j := art(t, "yellow rect 0 0 40 30 knock", "black "+shapes[0]+" knock")
		drawn := job.Shapes(j.Items[0].Layers[1].Content)
		for i := range drawn {
			drawn[i].Element = "text"
		}
		j.Items[0].Layers[1].Content = job.Outlines{Shapes: drawn}
		return j
	}
	large := func(j job.Job) job.Job {
		j.Items[0].Placement = geometry.Scale(40, 40)
		j, err := job.SetNarrowest(j, 50, 50)
		if err != nil {
			t.Fatal(err)
		}
		return j
	}
	for name, j := range map[string]job.Job{
		"two letters touch":       letters("rect 12 8 1.2 8 + rect 13.2 16 1.2 8 + rect 14.9 16 1.2 8 + rect 16.6 16 1.2 8"),
		"a line":                  large(hairline(t)),
		"a dot":                   large(art(t, "yellow rect 0 0 40 30 knock", "black circle 20 15 0.3")),
		"a dot at the edge":       large(art(t, "yellow rect 0 0 40 30 knock", "black circle 0.5 15 0.3")),
		"a ring":                  large(art(t, "yellow rect 0 0 40 30 knock", "black ring 20 15 9 8.5")),
		"letters":                 large(letters("rect 12 8 0.9 8 + rect 13.7 8 0.9 8 + rect 15.4 8 0.9 8 + rect 17.1 8 0.9 8")),
		"two dots":                large(art(t, "yellow rect 0 0 40 30 knock", "black circle 15 15 0.4 + circle 20 15 0.4")),
		"a sliver between fields": large(knockAll(t, art(t, "red rect 0 0 20 20", "green rect 20.4 0 20 20"))),
	} {
		t.Run(name, func(t *testing.T) {
			k := mendAll(t, j)
			if len(k.Items[0].Mends) == 0 {
				t.Error("nothing is mended")
			}
			written(t, k)
		})
	}
}
