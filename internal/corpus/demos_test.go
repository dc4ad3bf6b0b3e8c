package corpus

import (
	"bytes"
	"context"
	"crypto/sha256"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"abut/assets"
	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/oracle"
	"abut/internal/workshop"
)

// open brings art in with everything knocked out, at the given width.
func open(t *testing.T, name string, art []byte, width float64) job.Job {
	t.Helper()
	ctx := context.Background()
	j, err := workshop.OpenSVG(ctx, name, bytes.NewReader(art))
	if err != nil {
		t.Fatal(err)
	}
	if j, err = workshop.Size(ctx, j, width, 0); err != nil {
		t.Fatal(err)
	}
	if j, err = job.KnockOutAll(j); err != nil {
		t.Fatal(err)
	}
	return j
}

func demo(t *testing.T, id string) (job.Job, *fit.Plan) {
	t.Helper()
	for _, d := range assets.Demos() {
		if d.ID == id {
			j := open(t, id+".svg", d.SVG, 100)
			return j, fitted(t, j)
		}
	}
	t.Fatalf("no demo %q", id)
	return job.Job{}, nil
}

func fitted(t *testing.T, j job.Job) *fit.Plan {
	t.Helper()
	p, err := fit.Compute(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func export(t *testing.T, j job.Job) (*written, string) {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "out")
	if _, err := workshop.Write(context.Background(), new(fit.Cache), j, fitted(t, j), dir, workshop.WriteOptions{}); err != nil {
		t.Fatal(err)
	}
	w, err := readWritten(dir)
	if err != nil {
		t.Fatal(err)
	}
	return w, dir
}

// alone returns what one layer of the job covers by itself, in mm².
func alone(t *testing.T, j job.Job, name string) float64 {
	t.Helper()
	for _, l := range j.Items[0].Layers {
		if l.Name != name && l.Content.(job.Outlines).Shapes[0].Element != name {
			continue
		}
		var figures []planar.Figure
		for _, s := range l.Content.(job.Outlines).Shapes {
			figures = append(figures, planar.Figure{Path: s.Path.Transform(j.Items[0].Placement.Mul(l.Transform)), Rule: s.Rule})
		}
		m, err := planar.Build(context.Background(), []planar.Layer{{Figures: figures}}, planar.Options{})
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for f := range planar.FaceID(m.NumFaces()) {
			if len(m.Cover(f)) > 0 {
				sum += m.AreaMM2(f)
			}
		}
		return sum
	}
	t.Fatalf("no layer %q", name)
	return 0
}

func byColour(t *testing.T, p *fit.Plan, colour string) fit.Separation {
	t.Helper()
	for _, s := range p.Separations {
		if s.Colour.String() == colour {
			return s
		}
	}
	t.Fatalf("nothing is cut from %s", colour)
	return fit.Separation{}
}

// Upper shapes stay whole and the lower one gets exactly their holes: areas add
// up. (Common practice: this is what knocking out means.)
func TestDemoPair_LowerShapeGetsExactlyTheHolesOfTheUpper(t *testing.T) {
	j, p := demo(t, "pair")
	if len(p.Separations) != 3 || p.Stacked.AreaMM2 != 0 {
		t.Fatalf("%d separations, %v mm² stack", len(p.Separations), p.Stacked.AreaMM2)
	}
	layers := j.Items[0].Layers
	sea, sails, hull := byColour(t, p, "#1f6f8b"), byColour(t, p, "#f2c14e"), byColour(t, p, "#d9512c")
	if sea.Colour != layers[0].Colour {
		t.Fatal("the disc is not at the bottom")
	}
	for i, s := range []fit.Separation{sails, hull} {
		if whole := alone(t, j, layers[i+1].Name); math.Abs(s.AreaMM2-whole) > 1e-9 {
			t.Errorf("%s: %v mm² of %v", s.Name, s.AreaMM2, whole)
		}
	}
	if whole := alone(t, j, layers[0].Name); math.Abs(sea.AreaMM2+sails.AreaMM2+hull.AreaMM2-whole) > 1e-9 {
		t.Errorf("sea %v + sails %v + hull %v is not %v mm²", sea.AreaMM2, sails.AreaMM2, hull.AreaMM2, whole)
	}
	if len(sea.Pieces) != 1 || len(sails.Pieces) != 2 || len(hull.Pieces) != 1 {
		t.Errorf("pieces %d, %d, %d", len(sea.Pieces), len(sails.Pieces), len(hull.Pieces))
	}
	// Each of the three upper pieces leaves one hole.
	if n := len(sea.Pieces[0].Outline); n != 4 {
		t.Errorf("the disc has %d contours, want its rim and three holes", n)
	}
}

func TestDemoNested_FiveRingsAndOneSolid(t *testing.T) {
	_, p := demo(t, "nested")
	if len(p.Separations) != 6 || p.NumPieces() != 6 {
		t.Fatalf("%d separations, %d pieces, want 6 and 6", len(p.Separations), p.NumPieces())
	}
	rings, solids := 0, 0
	for _, s := range p.Separations {
		switch len(s.Pieces[0].Outline) {
		case 1:
			solids++
		case 2:
			rings++
		}
	}
	if rings != 5 || solids != 1 {
		t.Errorf("%d rings, %d solids", rings, solids)
	}
	if p.Frame != nil {
		t.Errorf("a frame, though the outermost ring holds the rest: %v", p.FrameReason)
	}
}

// The frame lies 5 mm beyond the art (common practice), on the base's sheet.
func TestDemoSpread_GetsAFrameOnTheBaseFiveMillimetresOut(t *testing.T) {
	j, p := demo(t, "spread")
	if p.Frame == nil {
		t.Fatalf("no frame: %v", p.FrameReason)
	}
	if p.Stacked.AreaMM2 != 0 || len(p.Separations) != 5 {
		t.Errorf("%v mm² stack in %d separations", p.Stacked.AreaMM2, len(p.Separations))
	}
	for _, gap := range []float64{
		p.Extent.Min.X - p.Frame.Bounds.Min.X, p.Extent.Min.Y - p.Frame.Bounds.Min.Y,
		p.Frame.Bounds.Max.X - p.Extent.Max.X, p.Frame.Bounds.Max.Y - p.Extent.Max.Y,
	} {
		if math.Abs(gap-5) > 1e-4 {
			t.Errorf("the frame lies %v mm out", gap)
		}
	}
	w, _ := export(t, j)
	for i, s := range w.sheets {
		if (s.Frame != nil) != (i == 0) || w.Separations[i].Frame != (i == 0) {
			t.Errorf("sheet %d (%s): frame %v", i+1, w.Separations[i].Name, s.Frame != nil)
		}
	}
	if w.Separations[0].Name != w.Base {
		t.Errorf("base %q, first sheet %q", w.Base, w.Separations[0].Name)
	}
}

func TestDemoBracket_NeedsNoFrameAndSaysWhy(t *testing.T) {
	_, p := demo(t, "bracket")
	if p.Frame != nil {
		t.Errorf("a frame: %v", p.FrameReason)
	}
	if p.FrameReason.ID != "frame-not-needed" {
		t.Errorf("reason %q", p.FrameReason.ID)
	}
	if got := p.Separations[0].Colour.String(); got != "#1d3f5e" {
		t.Errorf("the base is %s, not the towers", got)
	}
	if len(p.Separations[0].Pieces) < 2 {
		t.Error("the base is one piece: nothing to bracket with")
	}
}

func TestDemoRich_HasWhatItPromises(t *testing.T) {
	j, p := demo(t, "rich")
	if n := len(j.Items[0].Layers); n < 15 {
		t.Errorf("%d layers", n)
	}
	if p.Stacked.AreaMM2 != 0 {
		t.Errorf("%v mm² stack", p.Stacked.AreaMM2)
	}
	if p.BareMM2 <= 0 {
		t.Error("white is not bare")
	}
	ids := map[string]bool{}
	for _, w := range j.Items[0].Warnings {
		ids[w.ID] = true
	}
	if len(ids) != 1 || !ids["import-gradient"] {
		t.Errorf("warnings %v, want that of the gradient alone", ids)
	}
	for _, s := range p.Separations {
		if c := s.Colour.String(); c == "#fdfdfb" || c == "#ffffff" {
			t.Errorf("%s is cut, though there is no white dye", c)
		}
	}
}

// The demos come out as they look, too, whatever is bare or has a frame.
func TestDemos_AreCutAsTheyLook(t *testing.T) {
	r := oracle.StartRenderer(t)
	g := oracle.StartGeos(t)
	for _, d := range assets.Demos() {
		w, _, err := cut(context.Background(), d.ID+".svg", d.SVG, filepath.Join(t.TempDir(), d.ID))
		if err != nil {
			t.Fatal(err)
		}
		diff, err := compare(r, d.SVG, w)
		if err != nil {
			t.Fatal(err)
		}
		// In the rich picture the sky is a gradient, cut in one colour.
		if !diff.right() && d.ID != "rich" || diff.twice > 0 {
			t.Errorf("%s: %+v", d.ID, diff)
		}
		if overlap, err := worstOverlap(g, w.outlines()); err != nil || overlap > maxOverlapMM2 {
			t.Errorf("%s: two sheets have %g mm² in common, %v", d.ID, overlap, err)
		}
	}
}

// letterF is unlike its mirror image; its stem is on the left.
const letterF = `<svg xmlns="http://www.w3.org/2000/svg" width="30mm" height="40mm" viewBox="0 0 30 40"><path fill="#8f2a24" d="M5 5H25V10H10V18H20V23H10V35H5Z"/></svg>`

func TestExport_LetterFComesOutReversed(t *testing.T) {
	j := open(t, "f.svg", []byte(letterF), 20)
	w, _ := export(t, j)
	if len(w.sheets) != 1 || w.WidthMM != 20 || w.HeightMM != 30 {
		t.Fatalf("%d sheets, %v × %v mm", len(w.sheets), w.WidthMM, w.HeightMM)
	}
	f := w.sheets[0].Outline
	// In the middle of its height only the stem is left: 5 mm of it, which the
	// mirror has put at the right.
	for _, at := range []struct {
		x    float64
		want bool
	}{{17.5, true}, {2.5, false}} {
		if got := covers(f, geometry.Pt(at.x, 25)); got != at.want {
			t.Errorf("at %v mm from the left: covered %v", at.x, got)
		}
	}
	// Mirrored again it is the art, to the last digit.
	back := w.unmirrored(0)
	toPage := w.sourceToPage()
	for _, c := range back {
		for _, s := range c.Segments {
			if !isCornerOfF(toPage, s.End) {
				t.Errorf("%v is no corner of the letter", s.End)
			}
		}
	}
}

func isCornerOfF(m geometry.Affine, p geometry.Point) bool {
	for _, q := range [][2]float64{{5, 5}, {25, 5}, {25, 10}, {10, 10}, {10, 18}, {20, 18}, {20, 23}, {10, 23}, {10, 35}, {5, 35}} {
		if m.Apply(geometry.Pt(q[0], q[1])).Sub(p).Len() < 1e-9 {
			return true
		}
	}
	return false
}

// covers tells whether the path, made of straight lines, encloses the point.
func covers(p geometry.Path, at geometry.Point) bool {
	in := false
	for _, c := range p {
		for from, to := range c.Sides() {
			if (from.Y > at.Y) != (to.Y > at.Y) && at.X < from.X+(at.Y-from.Y)/(to.Y-from.Y)*(to.X-from.X) {
				in = !in
			}
		}
	}
	return in
}

func TestExport_HidingALayerChangesNoByte(t *testing.T) {
	for _, d := range assets.Demos() {
		j := open(t, d.ID+".svg", d.SVG, 100)
		_, before := export(t, j)
		hidden, err := job.SetShown(j, j.LayerIDs(), false)
		if err != nil {
			t.Fatal(err)
		}
		_, after := export(t, hidden)
		if a, b := digest(t, before), digest(t, after); a != b {
			t.Errorf("%s: files differ:\n%s\n%s", d.ID, a, b)
		}
	}
}

// digest names every file of a folder with what is in it.
func digest(t *testing.T, dir string) string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	out := ""
	for _, e := range entries {
		b, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		out += fmt.Sprintf("%s %x\n", e.Name(), sha256.Sum256(b))
	}
	return out
}
