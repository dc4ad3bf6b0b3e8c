package guide

import (
	"bytes"
	"context"
	"math"
	"os"
	"path/filepath"
	"testing"

	"abut/geometry"
	"abut/internal/cutfile"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/oracle"
	"abut/internal/print"
	"abut/internal/svgimport"
)

// lawful holds what numbers promise: each lies within its piece or has a leader
// that ends in it, and none over another. Whether a place is in a piece is asked of
// the plan's own outline, with its curves.
func lawful(t *testing.T, name string, p *fit.Plan, page *cutfile.Page, list []number, m geometry.Affine) {
	t.Helper()
	back, _ := m.Mul(mirrored(page)).Invert()
	for i, n := range list {
		inside := geometry.NewEnclosure(p.Separations[n.sheet].Pieces[n.n].Outline.Flatten(0.001))
		places := []geometry.Point{n.box.Centre(), n.box.Min, n.box.Max, {X: n.box.Min.X, Y: n.box.Max.Y}, {X: n.box.Max.X, Y: n.box.Min.Y}}
		if n.leader != nil {
			places = n.leader[1:]
			if at := n.leader[0]; !n.box.Grow(0.01).Contains(at) {
				t.Errorf("%s: the leader of %s begins at %v, not at its number", name, n.text, at)
			}
		}
		for _, q := range places {
			if !inside.Holds(back.Apply(q)) {
				t.Errorf("%s: number %s at %v is not in its piece", name, n.text, q)
			}
		}
		for _, o := range list[:i] {
			if r := n.box.Intersect(o.box); r.Width() > 0.01 && r.Height() > 0.01 {
				t.Errorf("%s: %s lies over %s", name, n.text, o.text)
			}
		}
	}
}

// TestNumbers_OfOpenArtLieInTheirPieces takes flags and emoji at 100 mm, all
// sheets on one page and each for itself.
func TestNumbers_OfOpenArtLieInTheirPieces(t *testing.T) {
	count := 24
	if os.Getenv("ABUT_CORPUS") == "all" {
		count = 100
	}
	placed, beside, unplaced := 0, 0, 0
	for _, set := range []string{"flag-icons/flags/4x3/*.svg", "@twemoji/svg/*.svg"} {
		files := oracle.Art(t, set)
		for i := range count {
			file := files[i*len(files)/count]
			p, page := planOf(t, file)
			if p == nil {
				continue
			}
			area := geometry.RectXYWH(0, 0, 180, 220)
			scale := math.Min((area.Width()-2*(besideGap+besideWide))/page.Width.MM(), area.Height()/page.Height.MM())
			m := geometry.Translate(besideGap+besideWide, 0).Mul(geometry.Scale(scale, scale))
			pieces := piecesOf(p, page)
			for k := -1; k < len(p.Separations); k++ {
				var some []*piece
				for n := range pieces {
					if k < 0 || pieces[n].sheet == k {
						some = append(some, &pieces[n])
					}
				}
				list, without := numbering(some, m, area)
				if len(list)+without != len(some) {
					t.Errorf("%s: %d numbers and %d without, of %d pieces", file, len(list), without, len(some))
				}
				lawful(t, file, p, page, list, m)
				placed += len(list)
				unplaced += without
				for _, n := range list {
					if n.leader != nil {
						beside++
						if !area.Encloses(n.box) {
							t.Errorf("%s: %s stands beyond the page at %v", file, n.text, n.box)
						}
					}
				}
			}
		}
	}
	t.Logf("%d numbers, %d of them beside the picture; %d without room", placed, beside, unplaced)
}

// planOf is what is cut of a file at 100 mm, everything knocked out; nil when there
// is nothing to cut.
func planOf(t testing.TB, file string) (*fit.Plan, *cutfile.Page) {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	art, err := svgimport.Import(context.Background(), bytes.NewReader(data), svgimport.Options{})
	if err != nil {
		return nil, nil // nothing in it can be cut; what is refused is held elsewhere
	}
	scale := 100 / art.Canvas.Longer()
	j := job.Job{Items: []job.Item{{ID: 1, Copies: 1, Name: filepath.Base(file), Layers: art.Layers, Canvas: art.Canvas, Placement: geometry.Scale(scale, scale)}}}
	j, err = job.KnockOutAll(j)
	var p *fit.Plan
	if err == nil {
		p, err = new(fit.Cache).ComputeCurves(context.Background(), j)
	}
	if err == nil {
		p, err = fit.Cut(context.Background(), p, j.Settings)
	}
	if err != nil {
		t.Fatal(file, err)
	}
	page, err := cutfile.New(p)
	if err != nil {
		t.Fatal(file, err)
	}
	if len(p.Separations) == 0 {
		return nil, nil
	}
	return p, page
}

// The room that numbers are given holds the figures as they are printed.
func TestFigures_TakeNoMoreRoomThanTheyAreGiven(t *testing.T) {
	d := print.New(print.A4, print.Info{})
	for _, text := range []string{"0", "1", "2", "3", "4", "5", "6", "7", "8", "9", "12.34", "104.888"} {
		const size = 10
		face := print.Type{Size: size / pointMM, Bold: true}
		w, h := figures(text, size)
		if got := d.Width(text, face); got > w-2*figureWhite*size+1e-9 || face.Capitals() > h-2*figureWhite*size {
			t.Errorf("%s is %.2f × %.2f mm, and has %.2f × %.2f", text, got, face.Capitals(), w, h)
		}
	}
	// Beside a picture there is room for six figures and a point.
	if w, _ := figures("1234.56", besideNumber); w > besideWide+2*figureWhite*besideNumber {
		t.Errorf("%.2f mm, and there are %.2f", w, besideWide)
	}
}
