//go:build !oracle

package oracle

import (
	"errors"
	"os"
	"testing"
	"time"

	"abut/geometry"
)

// Main runs the tests; with the build tag oracle it also serves as the
// geometry engine's process.
func Main(m *testing.M) { os.Exit(m.Run()) }

// Geos stands for the second geometry engine in builds without it.
type Geos struct{}

// Overlap is the area that two areas have in common.
type Overlap struct {
	I, J    int
	AreaMM2 float64
}

// StartGeos skips the test: the engine needs the build tag oracle and its
// library.
func StartGeos(tb testing.TB) *Geos {
	tb.Helper()
	missing(tb, "built without the second geometry engine: ./run test builds with -tags oracle")
	return nil
}

var errAbsent = errors.New("built without the second geometry engine")

// Overlaps, UnionArea, StackedArea and Visible are never reached: StartGeos
// skips.
func (*Geos) Overlaps([]geometry.Path) ([]Overlap, error) { return nil, errAbsent }

// UnionArea is never reached.
func (*Geos) UnionArea([]geometry.Path) (float64, error) { return 0, errAbsent }

// StackedArea is never reached.
func (*Geos) StackedArea([]geometry.Path, int, float64, float64) (float64, error) {
	return 0, errAbsent
}

// Visible is never reached.
func (*Geos) Visible([][]Figure, float64) ([]Part, time.Duration, error) {
	return nil, 0, errAbsent
}

// Opened is never reached.
func (*Geos) Opened(geometry.Path, float64) (float64, error) { return 0, errAbsent }

// Distances is never reached.
func (*Geos) Distances([]geometry.Path, []geometry.Point) ([][]float64, error) {
	return nil, errAbsent
}
