package layout

import (
	"math"
	"math/rand/v2"
	"testing"

	"abut/geometry"
	"abut/internal/cutfile"
	"abut/internal/oracle"
)

// What nothing is in the way of can be kept: laid out as it lies then it is the same, and
// by GEOS nothing lies over anything. What is in the way of all else is so by GEOS, too,
// within the gap.
func TestMoved_SaysWhatIsInTheWayByGEOS(t *testing.T) {
	geos := oracle.StartGeos(t)
	rng := rand.New(rand.NewPCG(21, 22))
	free, near := 0, 0
	for range 40 {
		r := relay(t, rng)
		i := rng.IntN(len(r.got.Sheets))
		s := &r.got.Sheets[i]
		k := rng.IntN(len(s.Placed))
		for range 4 {
			by := cutfile.Point{X: cutfile.Steps(rng.IntN(1_200_000) - 600_000), Y: cutfile.Steps(rng.IntN(1_200_000) - 600_000)}
			quarters := rng.IntN(4)
			x, why, err := s.Moved(t.Context(), k, quarters, by)
			if err != nil {
				t.Fatal(err)
			}
			o := r.o
			o.Earlier, o.Pinned = nil, nil
			for n := range r.got.Sheets {
				for m, p := range r.got.Sheets[n].Placed {
					if n == i && m == k {
						p = x
					}
					o.Earlier = append(o.Earlier, Pinned{On: r.got.Sheets[n].Which, Placed: p})
				}
			}
			switch why {
			case Nothing:
				free++
				o.KeptFree = nil
				got := mustLay(t, r.page, o)
				checkLaid(t, r.page, got, o)
				found := false
				for n := range got.Sheets {
					for _, p := range got.Sheets[n].Placed {
						found = found || key(p) == key(x) && p.Min == x.Min && p.Max == x.Max && math.Abs(p.Turn-x.Turn) < 1e-9 // it takes the turn that it was packed with, to the last digit
					}
				}
				if !found {
					t.Fatalf("%+v is not where it was put", x)
				}
			case TooNear:
				near++
				var all []geometry.Path
				for m := range s.Placed {
					if m != k {
						all = append(all, path(s.outline(m)))
					}
				}
				grown := Box{x.Min, x.Max}
				gap := cutfile.ToSteps(r.o.GapMM)
				grown.Min, grown.Max = cutfile.Point{X: grown.Min.X - gap, Y: grown.Min.Y - gap}, cutfile.Point{X: grown.Max.X + gap, Y: grown.Max.Y + gap}
				over, err := geos.Overlaps(append(all, path([]cutfile.Contour{grown.contour()})))
				if err != nil || len(over) == 0 {
					t.Fatalf("nothing is near %+v, %v", x, err)
				}
			}
		}
	}
	if free < 5 || near < 5 {
		t.Errorf("%d were free, %d too near", free, near)
	}
}

func TestMoved_KeepsToTheSheetAndOffWhatIsKeptFree(t *testing.T) {
	page := pageOf([]cutfile.Piece{piece(boxAt(0, 0, 900, 400))})
	o := Options{Way: Together, Stock: stocked(200, 300), EdgeMM: 5, GapMM: 2, CutterMM: 180}
	s := &mustLay(t, page, o).Sheets[0]
	for _, c := range []struct {
		x, y     float64
		quarters int
		want     Obstacle
	}{{0, 0, 0, Nothing}, {20, 100, 0, Nothing}, {-400, 0, 0, OffSheet}, {0, 400, 0, OffSheet}, {0, 50, 1, Nothing}} {
		lo := s.Placed[0].Min
		to := cutfile.Point{X: cutfile.ToSteps(c.x), Y: cutfile.ToSteps(c.y)}
		if c.x >= 0 { // from the corner of the room on
			to = cutfile.Point{X: s.Room.Min.X + to.X - lo.X, Y: s.Room.Min.Y + to.Y - lo.Y}
		}
		if x, why, err := s.Moved(t.Context(), 0, c.quarters, to); err != nil || why != c.want {
			t.Errorf("%+v: %v at %+v in %+v, %v", c, why, x, s.Room, err)
		}
	}
	s.Free = []Box{{s.Placed[0].Min, s.Placed[0].Max}}
	if _, why, _ := s.Moved(t.Context(), 0, 0, cutfile.Point{}); why != OnFree {
		t.Error(why)
	}
}

func TestAt_IsTheSmallestThingThere(t *testing.T) {
	page := pageOf([]cutfile.Piece{piece(boxAt(0, 0, 10, 10))}, []cutfile.Piece{piece(boxAt(100, 100, 600, 600), boxAt(0, 0, 800, 800)), piece(boxAt(1000, 0, 300, 300))})
	l := mustLay(t, page, Options{Way: Loose, Stock: stocked(80, 80), GapMM: 1, Tries: 5})
	s := &l.Sheets[1] // one piece lies in the hole of the other
	for k, x := range s.Placed {
		mid := cutfile.Point{X: x.Min.X + 5, Y: x.Min.Y + 5}
		if got := s.At(mid); got != k {
			t.Errorf("at %v lies %d, not %d", mid, got, k)
		}
	}
	if s.At(cutfile.Point{X: -1, Y: 5}) >= 0 {
		t.Error("something lies beside the sheet")
	}
	if p := s.Alone(0); len(p.Separations[0].Contours) != len(s.Page.Separations[0].Pieces[0].Contours) || p.Width != s.Placed[0].Max.X-s.Placed[0].Min.X {
		t.Errorf("%+v", p)
	}
}
