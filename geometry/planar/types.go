package planar

import (
	"fmt"
	"math"

	"abut/geometry"
)

// StepsPerMM is the grid's resolution: one step is 0.1 µm, so that every grid
// coordinate is exact with four decimals of a millimetre.
const StepsPerMM = 10000

// Point is a vertex of the grid, in steps of 0.1 µm.
type Point struct{ X, Y int32 }

// MM returns the vertex in millimetres.
func (p Point) MM() geometry.Point {
	return geometry.Point{X: float64(p.X) / StepsPerMM, Y: float64(p.Y) / StepsPerMM}
}

// Figure is one filled path in millimetres, curves kept. It covers a point
// when its path encloses the point under Rule and every clip covers it too.
// Contours may be open (they are closed by a straight line), may cross
// themselves and each other, and may run either way.
type Figure struct {
	Path  geometry.Path
	Rule  geometry.FillRule
	Clips []*Clip
}

// Clip covers a point when any of its figures does. One that is shared (by
// pointer) between figures is put on the map once.
type Clip struct{ Figures []Figure }

// Layer covers a point when any of its figures does.
type Layer struct{ Figures []Figure }

// Enclosed is the layer of what a path encloses by the even-odd rule, as the outlines of a
// Division do.
func Enclosed(p geometry.Path) Layer {
	return Layer{Figures: []Figure{{Path: p, Rule: geometry.EvenOdd}}}
}

// Options steer Build. The zero value is usable.
type Options struct {
	// SagittaMM is how far chords may stray from curves; 0 means 0.01 mm.
	SagittaMM float64
	// MaxCrossings is the budget of crossings between segments; 0 means
	// 4 million. A picture of real art has a few per hundred segments; the
	// budget stops drawings whose crossings grow with the square of their
	// segments.
	MaxCrossings int
}

type (
	// FaceID is the index of a Map's face.
	FaceID = int32
	// EdgeID is the index of a Map's edge.
	EdgeID = int32
	// VertexID is the index of a Map's vertex.
	VertexID = int32
)

// Outside is the unbounded face; no layer covers it.
const Outside FaceID = 0

// Tag says which source segment an edge lies on, and where on it.
type Tag struct {
	// Layer and Figure index Build's input; Layer is −1 for an edge that comes
	// from a clip.
	Layer, Figure int32
	// Contour and Segment index the figure's path. Segment equals the number
	// of segments for the straight line that closes an open contour.
	Contour, Segment int32
	// T0 and T1 are the parameters on that segment where the edge starts and
	// ends, in the edge's own direction: T0 > T1 when it runs against it.
	T0, T1 float64
}

// ComplexityError says that the input has more crossings, or more shapes over
// one spot, than can be worked out in reasonable time and memory.
type ComplexityError struct {
	// At is a place where they crowd, in millimetres.
	At geometry.Point
	// Budget is what was exceeded: Options.MaxCrossings, or maxWindings.
	Budget int
}

func (e *ComplexityError) Error() string {
	return fmt.Sprintf("too complex near %.1f, %.1f mm (budget %d)", e.At.X, e.At.Y, e.Budget)
}

// RangeError says that a coordinate is not a number or lies too far out for
// the grid, 53.7 m from the origin.
type RangeError struct {
	// Layer and Figure index Build's input; Layer is −1 for a figure of a clip,
	// which Figure counts within its clip.
	Layer, Figure int
	// At is the coordinate or, of a curve, one of its points or controls.
	At geometry.Point
}

func (e *RangeError) Error() string {
	return fmt.Sprintf("layer %d, figure %d: coordinate %g, %g lies outside the grid", e.Layer, e.Figure, e.At.X, e.At.Y)
}

// OnGrid rounds the corners of r, millimetres, to the grid, so that coordinates
// measured from them stay exact with four decimals. An empty rectangle stays
// empty.
func OnGrid(r geometry.Rect) geometry.Rect {
	if r.Empty() {
		return geometry.EmptyRect()
	}
	round := func(v float64) float64 { return math.Round(v*StepsPerMM) / StepsPerMM }
	return geometry.Rect{
		Min: geometry.Pt(round(r.Min.X), round(r.Min.Y)),
		Max: geometry.Pt(round(r.Max.X), round(r.Max.Y)),
	}
}
