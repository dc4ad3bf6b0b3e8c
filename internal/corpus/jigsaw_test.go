package corpus

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/colour"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/oracle"
)

// jigsaws returns the two jigsaws of testdata, assembled: convex polygons that
// tile the square from (0,0) to (100,100), in millimetres.
func jigsaws(t *testing.T) map[string][]geometry.Path {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(oracle.Root(t), "testdata", "jigsaw", "jigsaws.json"))
	if err != nil {
		t.Fatal(err)
	}
	var sets map[string][]struct {
		Polygon [][2]float64
		At      [2]float64
	}
	if err := json.Unmarshal(b, &sets); err != nil {
		t.Fatal(err)
	}
	out := map[string][]geometry.Path{}
	for name, pieces := range sets {
		for _, p := range pieces {
			var pts []geometry.Point
			for _, q := range p.Polygon {
				pts = append(pts, geometry.Pt(q[0]+p.At[0], q[1]+p.At[1]))
			}
			out[name] = append(out[name], geometry.Path{geometry.Polygon(pts...)})
		}
	}
	if len(out) != 2 {
		t.Fatalf("%d jigsaws, want 2", len(out))
	}
	return out
}

// asJob makes a job with one layer, of a colour of its own, for every piece.
func asJob(pieces []geometry.Path) job.Job {
	item := job.Item{ID: 1, Name: "jigsaw", Canvas: geometry.Rect{Max: geometry.Pt(100, 100)}, Placement: geometry.Identity(), Copies: 1}
	for i, p := range pieces {
		item.Layers = append(item.Layers, job.Layer{
			ID: job.LayerID(i + 1), Name: fmt.Sprint("piece ", i+1), Alpha: 1, Shown: true, Transform: geometry.Identity(),
			Colour:  colour.RGB{R: uint8(10 + 14*i), G: uint8(200 - 11*i), B: uint8(60 * (i % 4))},
			Content: job.Outlines{Shapes: []job.Shape{{Path: p}}},
		})
	}
	return job.Job{Items: []job.Item{item}}
}

// stackedArea returns what two or more of the paths cover, by the planar map.
func stackedArea(t *testing.T, pieces []geometry.Path) float64 {
	t.Helper()
	layers := make([]planar.Layer, len(pieces))
	for i, p := range pieces {
		layers[i].Figures = []planar.Figure{{Path: p}}
	}
	m, err := planar.Build(context.Background(), layers, planar.Options{})
	if err != nil {
		t.Fatal(err)
	}
	sum := 0.0
	for f := range planar.FaceID(m.NumFaces()) {
		if f != planar.Outside && len(m.Cover(f)) > 1 {
			sum += m.AreaMM2(f)
		}
	}
	return sum
}

func TestJigsaws_AssembledStackNothingAndLeaveNoGap(t *testing.T) {
	for name, pieces := range jigsaws(t) {
		p, err := fit.Compute(context.Background(), asJob(pieces))
		if err != nil {
			t.Fatal(err)
		}
		if p.Stacked.AreaMM2 != 0 || len(p.Stacked.Places) != 0 {
			t.Errorf("%s: %v mm² stack in %d places", name, p.Stacked.AreaMM2, len(p.Stacked.Places))
		}
		if p.NumPieces() != len(pieces) {
			t.Errorf("%s: %d pieces, want %d", name, p.NumPieces(), len(pieces))
		}
		sum := 0.0
		for _, s := range p.Separations {
			for _, q := range s.Pieces {
				sum += q.AreaMM2
			}
		}
		// All coordinates are whole millimetres, so nothing is rounded: pieces
		// that do not stack and whose areas add up to the square leave no gap.
		if math.Abs(sum-10000) > 1e-6 || p.Extent.Width() != 100 || p.Extent.Height() != 100 {
			t.Errorf("%s: %v mm² within %v", name, sum, p.Extent)
		}
		if p.Healed.Faces != 0 {
			t.Errorf("%s: %d hairlines in a perfect tiling", name, p.Healed.Faces)
		}
	}
}

func TestJigsaws_APieceMovedStacksWhatTheSecondEngineSays(t *testing.T) {
	g := oracle.StartGeos(t)
	// One millimetre each way, in steps that fall on the grid and off it.
	moves := []geometry.Point{geometry.Pt(1, 0), geometry.Pt(0, -1), geometry.Pt(-0.6, 0.8), geometry.Pt(math.Cos(1), math.Sin(1))}
	for name, pieces := range jigsaws(t) {
		for i := range pieces {
			for _, by := range moves {
				want, err := g.StackedArea(pieces, i, by.X, by.Y)
				if err != nil {
					t.Fatal(err)
				}
				moved := append([]geometry.Path(nil), pieces...)
				moved[i] = pieces[i].Transform(geometry.Translate(by.X, by.Y))
				// Rounding to the grid moves an edge by half a step at most, on
				// each axis; what stacks is bounded by edges of the moved piece
				// and of those beneath it, no longer together than twice its own.
				bound := 0.5 / planar.StepsPerMM * math.Sqrt2 * 2 * length(pieces[i])
				if got := stackedArea(t, moved); math.Abs(got-want) > bound+1e-9 {
					t.Errorf("%s, piece %d by %v: %v mm² stack on the map, %v by GEOS (bound %g)", name, i, by, got, want, bound)
				}
				j := asJob(pieces)
				if j, err = job.MoveLayers(j, []job.LayerID{job.LayerID(i + 1)}, by.X, by.Y); err != nil {
					t.Fatal(err)
				}
				p, err := fit.Compute(context.Background(), j)
				if err != nil {
					t.Fatal(err)
				}
				// What is thinner than a hairline no longer counts in the plan.
				if got := p.Stacked.AreaMM2; math.Abs(got-want) > bound+p.Healed.AreaMM2+1e-9 || want > 1 && got == 0 {
					t.Errorf("%s, piece %d by %v: %v mm² stack in the plan, %v by GEOS (healed %v)", name, i, by, got, want, p.Healed.AreaMM2)
				}
			}
		}
	}
}

func length(p geometry.Path) float64 {
	sum := 0.0
	for _, c := range p {
		for a, b := range c.Sides() {
			sum += b.Sub(a).Len()
		}
	}
	return sum
}
