package layout

import (
	"math/rand/v2"
	"testing"

	"abut/internal/cutfile"
	"abut/internal/drawer"
)

// cm is so many centimetres in steps.
func cm(n int) cutfile.Steps { return cutfile.Steps(n) * 10 * cutfile.StepsPerMM }

func boxCM(x, y, w, h int) Box {
	return Box{cutfile.Point{X: cm(x), Y: cm(y)}, cutfile.Point{X: cm(x + w), Y: cm(y + h)}}
}

// On sheets of whole centimetres every rectangle of whole centimetres is tried.
func TestLeft_NoneFreeIsLarger(t *testing.T) {
	const wide, high, keep = 14, 11, drawer.KeepMM / 10
	rng := rand.New(rand.NewPCG(5, 6))
	for n := range 300 {
		var taken []Box
		for range rng.IntN(9) {
			taken = append(taken, boxCM(rng.IntN(wide)-1, rng.IntN(high)-1, 1+rng.IntN(4), 1+rng.IntN(4)))
		}
		free := func(b Box) bool {
			for _, o := range taken {
				if b.meets(o) {
					return false
				}
			}
			return true
		}
		most := 0
		for x := range wide {
			for y := range high {
				for w := keep; x+w <= wide; w++ {
					for h := keep; y+h <= high; h++ {
						if w*h > most && free(boxCM(x, y, w, h)) {
							most = w * h
						}
					}
				}
			}
		}
		got := left(cutfile.Point{X: cm(wide), Y: cm(high)}, taken)
		area := 0.0
		if len(got) > 0 {
			area = got[0].size().WidthMM * got[0].size().HeightMM / 100
		}
		if area != float64(most) {
			t.Fatalf("%d: %v has %v cm², the largest %d, beside %v", n, got, area, most, taken)
		}
		for i, b := range got {
			s := b.size()
			if !free(b) || min(s.WidthMM, s.HeightMM) < drawer.KeepMM || b.Min.X < 0 || b.Min.Y < 0 || b.Max.X > cm(wide) || b.Max.Y > cm(high) || i > 0 && b.meets(got[0]) {
				t.Fatalf("%d: %v is not free beside %v and %v", n, b, taken, got)
			}
		}
	}
}

func TestLeft_NothingIsKeptOfASheetThatIsUsedUp(t *testing.T) {
	if got := left(cutfile.Point{X: cm(20), Y: cm(30)}, []Box{boxCM(0, 0, 18, 30), boxCM(0, 0, 20, 28)}); got != nil {
		t.Errorf("%v", got)
	}
}
