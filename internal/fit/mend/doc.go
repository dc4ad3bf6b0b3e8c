// Package mend finds the weak spots of what is cut and says what becomes of
// them: a mend lays the spot's outline, or what makes it broader, over the art as
// one more layer of the map. Places that it covers change their owner: they are
// never claimed twice, so nothing can come to stack, and only a mend that says so
// leaves a place to nobody.
//
// In reading order: outlines.go (outlines cut off at a window, without others, and together), spots.go (weak
// spots, by material), map.go (the map with mends on it), along.go (who lies along a spot, and its middle),
// lost.go (what mends leave of a thing), beneath.go (what lies at a place and beneath it), share.go (who takes
// which part of a spot), tip.go, limb.go and blunt.go (where and beside whom a point ends, what sticks out, and
// what of it goes), chisel.go (where it is cut off straight), grown.go (a spot made broad on one side),
// opened.go (a gap that those open who have room), whole.go, smooth.go and taper.go (a small piece made broad as
// a whole, a spot with smooth sides, a point with straight ones), layer.go (what a mend lays over one), new.go
// (a mend of a spot), todo.go and remedies.go (what there is to do about a spot, and what can be done), front.go
// (who keeps its outline), run.go (a job's mends, made round by round), turning.go and parted.go (what has
// lumps, and what parts), attempt.go, picture.go, eaten.go, spaces.go, together.go, displaced.go, sidestep.go,
// redrawing.go, covered.go, redraw.go, attempts.go, drawn.go, mover.go, aside.go and things.go (things drawn
// broader, larger or further apart, and what moves aside for them), window.go, spare.go, halves.go, rays.go,
// mirror.go, rounds.go, allowed.go, try.go, follow.go and solve.go (mends tried on a part of the map, what they
// leave alone or round, which of two halves of a point takes its tip, and what was done on the other half of a
// symmetric picture), commit.go and settle.go (what was found laid on the whole map, in which order, until
// nothing gets any better), partial.go (what was mended in parts only or on one half, or hides something, taken
// back), all.go (all spots mended).
package mend
