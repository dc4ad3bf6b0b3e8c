package geometry

import (
	"math/rand/v2"
	"testing"
)

func TestNears_IsWhetherTheDistanceIsLess(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	at := func() Point { return Pt(20*r.Float64(), 20*r.Float64()) }
	near := 0
	for range 2000 {
		p, q, within := Path{Polygon(at(), at(), at(), at())}, at(), 2*r.Float64()
		want := p.Distance(q) < within
		if got := p.Nears(q, within); got != want {
			t.Fatalf("%v nears %v by %g: %v, %g mm", p, q, within, got, p.Distance(q))
		}
		if got := NewEnclosure(p).Nears(q, within); got != want {
			t.Fatalf("%v nears %v by %g once it is filed: %v, %g mm", p, q, within, got, p.Distance(q))
		}
		if want {
			near++
		}
	}
	if near < 200 || near > 1800 {
		t.Errorf("%d of 2000 are near: too few to tell", near)
	}
	if Near(Pt(0, 0), Pt(4, 0), Pt(2, 1), 1) {
		t.Error("as far as the distance is no nearer")
	}
}
