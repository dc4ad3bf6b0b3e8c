package window

import (
	"abut/internal/job"
	"abut/internal/words"
	"abut/ui/layers"
)

// groupsOf returns the groups that the list shows around a layer: those of the
// art's file, and the gradient that it is a band of.
func groupsOf(it *job.Item, l *job.Layer) (g layers.Groups) {
	n := min(len(l.Folders), len(g))
	for i, name := range l.Folders[:n] {
		g[i] = layers.Group{Name: words.Capital(name), Of: uint32(it.ID)}
	}
	if l.Band.Of != 0 {
		g[min(n, len(g)-1)] = layers.Group{Name: words.Capital(l.Band.Name), Of: uint32(l.Band.Of)}
	}
	return g
}

// groupSum says what is in a group, at length and shortly.
func groupSum(n, pieces int) (long, short string) {
	long = say("list-layers", "count", words.Count(n))
	if pieces == 0 {
		return long, ""
	}
	return long + " · " + say("ui-pieces", "count", words.Count(pieces)), say("list-sum-short", "layers", n, "count", words.Count(pieces))
}
