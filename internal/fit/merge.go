package fit

import (
	"cmp"
	"slices"

	"abut/geometry"
	"abut/geometry/planar"
)

// A division's pieces have one label each: they are the atoms that everything
// else is made of. A separation that lies beneath others, not knocked out, is
// many atoms wide: its pieces are unions of atoms, and their borders are the
// atoms' seams without those between two of them. So the map is divided once,
// however many separations lie over each other, and a seam is the same points
// in every outline that runs along it.

// union is a connected union of atoms that belong to one group.
type union struct {
	group int32
	atoms []int32 // ascending
	piece planar.Piece
}

// unions joins the atoms of each group along their seams: groupsOf names the
// groups (0 … groups−1, ascending) of an atom with the given label. The result
// is ordered by group, then by lowest atom. Cost: linear in the atoms' groups
// and, for each group, in its atoms' seams.
func unions(d *planar.Division, groups int, groupsOf func(label int32) []int32) []union {
	// A pair is an atom in one of its groups; pairs of an atom follow each other.
	first := make([]int32, len(d.Pieces)+1)
	for a := range d.Pieces {
		first[a+1] = first[a] + int32(len(groupsOf(d.Pieces[a].Label)))
	}
	parent := make([]int32, first[len(d.Pieces)])
	for p := range parent {
		parent[p] = int32(p)
	}
	for i := range d.Seams {
		l, r := d.Seams[i].Left, d.Seams[i].Right
		if l == planar.None || r == planar.None {
			continue
		}
		joinCommon(parent, groupsOf(d.Pieces[l].Label), groupsOf(d.Pieces[r].Label), first[l], first[r])
	}

	var out []union
	index := make([]int32, len(parent)) // of a root's union, plus one
	for a := range d.Pieces {
		for k, g := range groupsOf(d.Pieces[a].Label) {
			root := findRoot(parent, first[a]+int32(k))
			if index[root] == 0 {
				out = append(out, union{group: g})
				index[root] = int32(len(out))
			}
			u := &out[index[root]-1]
			u.atoms = append(u.atoms, int32(a))
		}
	}
	slices.SortStableFunc(out, func(a, b union) int { return cmp.Compare(a.group, b.group) })
	for i := range out {
		u := &out[i]
		if len(u.atoms) == 1 {
			u.piece = d.Pieces[u.atoms[0]]
			continue
		}
		u.piece = planar.Piece{Bounds: geometry.EmptyRect()}
		var border []planar.SeamRef
		for _, a := range u.atoms {
			p := &d.Pieces[a]
			u.piece.Area2 += p.Area2
			u.piece.Bounds = u.piece.Bounds.Union(p.Bounds)
			for _, ring := range p.Rings {
				for _, ref := range ring.Seams {
					if over := across(d, ref); over == planar.None || !contains(groupsOf(d.Pieces[over].Label), u.group) {
						border = append(border, ref)
					}
				}
			}
		}
		u.piece.Rings = chain(d, border)
	}
	return out
}

// joinCommon joins the pairs of two neighbours in every group that they share.
func joinCommon(parent, a, b []int32, firstA, firstB int32) {
	for i, k := 0, 0; i < len(a) && k < len(b); {
		switch {
		case a[i] < b[k]:
			i++
		case a[i] > b[k]:
			k++
		default:
			x, y := findRoot(parent, firstA+int32(i)), findRoot(parent, firstB+int32(k))
			if x < y {
				parent[y] = x
			} else {
				parent[x] = y
			}
			i++
			k++
		}
	}
}

func findRoot(parent []int32, i int32) int32 {
	for parent[i] != i {
		parent[i] = parent[parent[i]]
		i = parent[i]
	}
	return i
}

func contains(sorted []int32, v int32) bool {
	_, ok := slices.BinarySearch(sorted, v)
	return ok
}

// across returns the piece on the other side of a seam from the piece that
// follows it.
func across(d *planar.Division, ref planar.SeamRef) int32 {
	s := &d.Seams[ref.Index()]
	if ref.Backwards() {
		return s.Right
	}
	return s.Left
}

// ends returns where a seam starts and ends in the direction in which it is
// followed, and the points next to them.
func ends(d *planar.Division, ref planar.SeamRef) (from, second, last, to planar.Point) {
	p := d.Seams[ref.Index()].Points
	n := len(p)
	if ref.Backwards() {
		return p[n-1], p[n-2], p[1], p[0]
	}
	return p[0], p[1], p[n-2], p[n-1]
}

// chain makes closed, simple rings of the seams that bound a region, the region
// on the right hand of each: outer rings first, then holes.
func chain(d *planar.Division, border []planar.SeamRef) []planar.Ring {
	start := func(r planar.SeamRef) planar.Point { from, _, _, _ := ends(d, r); return from }
	byStart := slices.Clone(border)
	slices.SortFunc(byStart, func(a, b planar.SeamRef) int { return cmp.Or(comparePoints(start(a), start(b)), cmp.Compare(a, b)) })
	used := make([]bool, len(byStart))
	// next returns the place in byStart of the seam that follows r: the first
	// anticlockwise from where r comes in, since the region is in between.
	next := func(r planar.SeamRef) int {
		_, _, last, node := ends(d, r)
		at, _ := slices.BinarySearchFunc(byStart, node, func(r planar.SeamRef, p planar.Point) int { return comparePoints(start(r), p) })
		best := at
		for k := at + 1; k < len(byStart) && start(byStart[k]) == node; k++ {
			_, a, _, _ := ends(d, byStart[k])
			_, b, _, _ := ends(d, byStart[best])
			if anticlockwiseBefore(vector(node, last), vector(node, a), vector(node, b)) {
				best = k
			}
		}
		return best
	}
	var rings []planar.Ring
	for i := range byStart {
		if used[i] {
			continue
		}
		// Whatever comes back to a node is a ring; what is left goes on.
		at := map[planar.Point]int{}
		var stack []planar.SeamRef
		for k := i; !used[k]; {
			used[k] = true
			r := byStart[k]
			from, _, _, to := ends(d, r)
			at[from] = len(stack)
			stack = append(stack, r)
			if n, back := at[to]; back {
				ring := slices.Clone(stack[n:])
				for _, inner := range ring {
					delete(at, start(inner))
				}
				stack = stack[:n]
				rings = append(rings, planar.Ring{Seams: ring, Area2: ringArea2(d, ring)})
			}
			k = next(r)
		}
	}
	slices.SortStableFunc(rings, func(a, b planar.Ring) int { return cmp.Compare(cmp.Compare(b.Area2, 0), cmp.Compare(a.Area2, 0)) })
	return rings
}

func comparePoints(a, b planar.Point) int {
	return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y))
}

// direction is a difference of grid points; products of two fit 64 bits.
type direction struct{ x, y int64 }

func vector(from, to planar.Point) direction {
	return direction{int64(to.X) - int64(from.X), int64(to.Y) - int64(from.Y)}
}

func (u direction) cross(v direction) int64 { return u.x*v.y - u.y*v.x }

// anticlockwiseBefore reports whether a turn anticlockwise on screen from u
// meets a before b. Nothing lies in u's own direction.
func anticlockwiseBefore(u, a, b direction) bool {
	// With y down, a negative cross product is an anticlockwise turn.
	sector := func(v direction) int {
		switch c := u.cross(v); {
		case c < 0:
			return 0
		case c == 0:
			return 1 // straight on
		default:
			return 2
		}
	}
	if sa, sb := sector(a), sector(b); sa != sb {
		return sa < sb
	}
	return a.cross(b) < 0
}

// ringArea2 returns twice the area within a ring in square steps, positive when
// it runs clockwise on screen. Sums may wrap around on the way; the result fits.
func ringArea2(d *planar.Division, ring []planar.SeamRef) int64 {
	total := int64(0)
	for _, ref := range ring {
		sum := int64(0)
		pts := d.Seams[ref.Index()].Points
		for i := 1; i < len(pts); i++ {
			a, b := pts[i-1], pts[i]
			sum += (int64(b.Y) - int64(a.Y)) * (int64(a.X) + int64(b.X))
		}
		if ref.Backwards() {
			sum = -sum
		}
		total += sum
	}
	return total
}

// withPieces returns a division with the same seams and the unions for pieces.
func withPieces(d *planar.Division, us []union) *planar.Division {
	out := *d
	out.Pieces = make([]planar.Piece, len(us))
	for i := range us {
		out.Pieces[i] = us[i].piece
		out.Pieces[i].Label = us[i].group
	}
	return &out
}
