package oracle

import "abut/geometry"

// Figure is one filled outline as the geometry engine gets it: raw, whatever
// its contours do. It covers a point when the path encloses it under the rule
// and, of every clip, one figure covers it too.
type Figure struct {
	Path  geometry.Path
	Rule  geometry.FillRule
	Clips [][]Figure
}

// Part is what is visible of a layer.
type Part struct{ AreaMM2, BorderMM float64 }
