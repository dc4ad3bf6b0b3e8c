package packing

import (
	"cmp"
	"context"
	"math/rand/v2"
	"slices"

	"abut/geometry"
)

// Shapes packs shapes by their true outlines on as little of the sheets as it finds
// in its time. When the context ends, that is the best layout so far; the error is
// the context's where there is none yet, or planar's for an outline that the grid
// cannot hold.
func Shapes(ctx context.Context, shapes []Shape, o Options) (Packing, error) {
	n, err := newNest(ctx, shapes, o)
	if err == nil && len(n.all) == 0 {
		return Packing{Left: n.left()}, nil
	}
	if err != nil || len(n.items) == 0 {
		return Packing{}, err
	}
	rng := rand.New(rand.NewPCG(o.Seed, 2))
	order := make([]gene, len(n.items))
	for i := range order {
		order[i] = gene{int32(i), anyTurn}
	}
	slices.SortStableFunc(order, func(a, b gene) int {
		return cmp.Compare(n.shapes[n.items[b.item].shape].size, n.shapes[n.items[a.item].shape].size)
	})
	climb(ctx, n, order, rng, o.Steps, o.Tried)
	if n.best.Step == 0 {
		return Packing{}, ctx.Err()
	}
	return n.best, nil
}

func (n *nest) better(ctx context.Context, order []gene, step int) float64 {
	c := costs{nest: n}
	for i, g := range order {
		c.add(n.items[g.item].shape, n.kept[i])
	}
	n.settle(ctx, order)
	p, used := n.packing(order, step)
	if n.best.Step == 0 || used < n.used {
		n.best, n.used = p, used
		if n.told != nil {
			n.told(n.best)
		}
	}
	return c.least()
}

func (n *nest) packing(order []gene, step int) (Packing, float64) {
	p := Packing{Step: step}
	c := costs{nest: n}
	sheet := map[int32]int{}
	for b := range int32(len(n.all)) {
		if slices.ContainsFunc(n.kept, func(at place) bool { return at.bin == b }) {
			sheet[b] = len(p.Sheets)
			p.Sheets = append(p.Sheets, Used{Kind: n.all[b].kind, Nth: n.all[b].nth})
		}
	}
	for i, g := range order {
		it, at := n.items[g.item], n.kept[i]
		if at.bin < 0 {
			p.Left = append(p.Left, int(it.shape))
			c.add(it.shape, at)
			continue
		}
		s, l := &n.shapes[it.shape], n.laid[i]
		f := s.profiles[at.turn]
		c.reach(at.bin, l.x+f.width)
		x, y := l.x-n.edge, l.y-n.edge
		u := &p.Sheets[sheet[at.bin]]
		u.Extent.X = max(u.Extent.X, mm(x+f.width-n.edge))
		u.Extent.Y = max(u.Extent.Y, mm(y+f.height-n.edge))
		p.Placed = append(p.Placed, Placed{
			Item: int(it.shape), Copy: int(it.copy), Sheet: sheet[at.bin], Turn: s.turns[at.turn],
			Shift: geometry.Pt(mm(x-f.lowX), mm(y-f.lowY)),
		})
	}
	slices.SortFunc(p.Placed, func(a, b Placed) int { return cmp.Or(a.Item-b.Item, a.Copy-b.Copy) })
	slices.Sort(p.Left)
	return p, c.least()
}
