package planar

import (
	"cmp"
	"context"
	"slices"

	"abut/geometry"
)

// Union returns a division into the groups that pieces belong to, which may
// share some of them: groups names those of a piece by its label, ascending, none
// for a piece that belongs to nobody. A piece of the result is a connected part of
// one group, with the group for its label; pieces are ordered by group, then by
// the first piece of d in them.
//
// So a map is divided once, however many groups lie over each other, and a seam
// is the same points in every outline that runs along it. The seams are d's own:
// what they say of their sides are pieces of d. It costs O(n log n) for the n
// seams around d's pieces, each counted once for each group. Its only error is
// the context's.
func (d *Division) Union(ctx context.Context, groups func(label int32) []int32) (*Division, error) {
	u := &Division{Seams: d.Seams, m: d.m, rotation: d.rotation}
	// A member is a piece in one of its groups; those of a piece follow each other.
	of := make([][]int32, len(d.Pieces))
	first := make([]int32, len(d.Pieces)+1)
	for i := range d.Pieces {
		of[i] = groups(d.Pieces[i].Label)
		first[i+1] = first[i] + int32(len(of[i]))
	}
	parent := make([]int32, first[len(d.Pieces)])
	for m := range parent {
		parent[m] = int32(m)
	}
	for i := range d.Seams {
		if l, r := d.Seams[i].Left, d.Seams[i].Right; l != None && r != None {
			joinCommon(parent, of[l], of[r], first[l], first[r])
		}
	}
	index := make([]int32, len(parent)) // of the union, per root
	var members [][]int32               // per union, pieces of d
	for i := range d.Pieces {
		for k, g := range of[i] {
			root := find(parent, first[i]+int32(k))
			if root == first[i]+int32(k) { // roots are the smallest of their sets
				index[root] = int32(len(members))
				members = append(members, nil)
				u.Pieces = append(u.Pieces, Piece{Label: g, Bounds: geometry.EmptyRect()})
			}
			members[index[root]] = append(members[index[root]], int32(i))
		}
	}
	c := d.chain()
	defer c.done()
	inner := make([]int32, len(d.Seams)) // the last union that a seam lies within, plus one
	for i := range u.Pieces {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		d.unite(&u.Pieces[i], members[i], int32(i)+1, inner, c)
	}
	slices.SortStableFunc(u.Pieces, func(a, b Piece) int { return cmp.Compare(a.Label, b.Label) })
	return u, nil
}

// unite fills in a union of pieces; id tells it from others.
func (d *Division) unite(u *Piece, members []int32, id int32, inner []int32, c *chain) {
	if len(members) == 1 {
		label := u.Label
		*u = d.Pieces[members[0]]
		u.Label = label
		return
	}
	var border []SeamRef
	for _, i := range members {
		p := &d.Pieces[i]
		u.Area2 += p.Area2
		u.Bounds = u.Bounds.Union(p.Bounds)
		u.Faces = append(u.Faces, p.Faces...)
		for _, ring := range p.Rings {
			for _, r := range ring.Seams {
				if _, within := slices.BinarySearch(members, d.leftOf(r)); within {
					inner[r.Index()] = id
				} else {
					border = append(border, r)
					c.used[r] = false
				}
			}
		}
	}
	slices.Sort(u.Faces)
	slices.Sort(border)
	for _, r := range border {
		u.Rings = c.from(u.Rings, r, func(r SeamRef) bool { return inner[r.Index()] != id })
	}
	outerFirst(u.Rings)
}

// joinCommon joins the members of two neighbours in every group that they share.
func joinCommon(parent, a, b []int32, firstA, firstB int32) {
	for i, k := 0, 0; i < len(a) && k < len(b); {
		switch {
		case a[i] < b[k]:
			i++
		case a[i] > b[k]:
			k++
		default:
			join(parent, firstA+int32(i), firstB+int32(k))
			i++
			k++
		}
	}
}
