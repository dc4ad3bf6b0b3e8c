// Package own works out who owns each place of a job: its layers are laid over
// each other on one planar map, rules say from the layers that cover a place who
// claims it for which material, and the map is divided accordingly.
//
// In reading order: set.go (a set of numbers), place.go (layers with where they lie), figures.go (what they
// put on the map), error.go, surround.go (bands around others), overlay.go (the
// map), material.go and rules.go (who claims a place, from a list of layers
// alone), claims.go (the rules applied to a map's covers), divide.go (pieces and
// stacked places), places.go (all of that together, and what is asked of it), vanished.go (the lines
// that are too thin to be anything).
package own
