package layout

import (
	"slices"

	"abut/internal/colour"
	"abut/internal/cutfile"
	"abut/internal/job"
)

// separation is all that pages have of one sheet, the first of them first.
type separation []part

// part is a page's.
type part struct {
	page  *cutfile.Page
	n, of int // which page, and which of its separations
}

func (p part) get() *cutfile.Separation { return &p.page.Separations[p.of] }

// separations are those of the first page in its order, with what others have of the
// same, and then what these have besides.
func separations(pages []*cutfile.Page) (out []separation) {
	type sheet struct {
		name   string
		colour colour.RGB
		use    job.Use
		nth    int // of a page's that are alike
	}
	known := map[sheet]int{}
	for n, page := range pages {
		alike := map[sheet]int{}
		for i := range page.Separations {
			s := &page.Separations[i]
			key := sheet{name: s.Name, colour: s.Colour, use: s.Use}
			alike[key]++
			key.nth = alike[key]
			k, is := known[key]
			if !is {
				k = len(out)
				known[key], out = k, append(out, nil)
			}
			out[k] = append(out[k], part{page, n, i})
		}
	}
	return out
}

// way returns how it is laid out: what is a base, or drawn on, always together.
func (s separation) way(way Way) Way {
	for _, p := range s {
		if p.of == 0 || slices.ContainsFunc(p.page.Drawings, func(d cutfile.Drawing) bool { return d.Sheet == p.of }) {
			return Together
		}
	}
	return way
}

// count is how many things are packed of so many copies of each page.
func (s separation) count(way Way, copies int) (n int) {
	for _, p := range s {
		if way == Loose {
			n += len(p.get().Pieces) * copies
		} else {
			n += copies
		}
	}
	return n
}

func bounds(contours []cutfile.Contour) (lo, hi cutfile.Point) {
	var s cutfile.Separation
	s.Min, s.Max = cutfile.Nowhere()
	s.Include(contours)
	return s.Min, s.Max
}

// sorted returns the corners of a rectangle by any two that are opposite.
func sorted(a, b cutfile.Point) (lo, hi cutfile.Point) {
	return cutfile.Point{X: min(a.X, b.X), Y: min(a.Y, b.Y)}, cutfile.Point{X: max(a.X, b.X), Y: max(a.Y, b.Y)}
}
