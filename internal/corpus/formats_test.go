package corpus

import (
	"bytes"
	"context"
	"encoding/xml"
	"errors"
	"fmt"
	"image"
	"image/draw"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/oracle"
	"abut/internal/workshop"
)

// offMM is how far a line may lie from the same line in another format.
const offMM = 0.01

// Every format shows the same lines, by readers that are not ours: what is written as
// SVG is held to the art by cutAll.
func TestFormats_AgreeForOtherReaders(t *testing.T) {
	names, s := openArt(t, 6, 200, flags, emoji)
	r := oracle.StartRenderer(t)
	var lines, vertices, chords int
	worst := 0.0
	for _, name := range names {
		f, err := formatsOf(t, r, name)
		if err != nil {
			t.Errorf("%s: %v", filepath.Base(name), err)
			continue
		}
		lines, vertices, chords = lines+f.lines, vertices+f.vertices, chords+f.chords
		worst = math.Max(worst, f.worst)
	}
	t.Logf("figures: seed %d, %d files, %d lines, %d vertices with arcs, %d with chords; at most %.4f mm from one another", s, len(names), lines, vertices, chords, worst)
}

// formats is what was found in the files of one picture.
type formats struct {
	lines, vertices, chords int
	worst                   float64
}

func formatsOf(t *testing.T, r *oracle.Renderer, name string) (f formats, err error) {
	art, err := os.ReadFile(name)
	if err != nil {
		return f, err
	}
	ctx, cancel := context.WithTimeout(context.Background(), hangs)
	defer cancel()
	dir := filepath.Join(t.TempDir(), "out")
	_, err = workshop.Cut(ctx, workshop.Source{Path: filepath.Base(name), Art: bytes.NewReader(art)}, workshop.Options{
		WidthMM: 100, Folder: dir, WriteOptions: workshop.WriteOptions{AllowBeyond: true, Formats: workshop.Formats(), WeedingLines: true},
	})
	if err != nil {
		return f, err
	}
	w, err := readWritten(dir)
	if err != nil {
		return f, err
	}
	files := []string{"00-all-sheets-layers-mirrored.dxf"}
	for i := range w.sheets {
		files = append(files, w.stem(i)+"-mirrored.dxf", w.stem(i)+"-r12-mirrored.dxf")
	}
	drawings, err := readDXF(t, dir, files)
	if err != nil {
		return f, err
	}
	all := drawings[0]
	pages, err := os.ReadFile(filepath.Join(dir, "00-all-sheets-mirrored.pdf"))
	if err != nil {
		return f, err
	}
	var onLayers []geometry.Path
	layers, err := os.ReadFile(filepath.Join(dir, "00-all-sheets-layers-mirrored.pdf"))
	if err == nil {
		onLayers, err = readPDF(t, layers, 1)
	}
	if err != nil {
		return f, err
	}
	for i := range w.sheets {
		stem, one, old := w.stem(i), drawings[1+2*i], drawings[2+2*i]
		sheet := w.sheets[i]
		want := slices.Concat(sheet.Weeding, sheet.Outline, sheet.Box, sheet.Frame)
		layered := slices.DeleteFunc(slices.Clone(all.Lines), func(l oracle.DXFLine) bool { return l.Layer != stem })
		for _, x := range []struct {
			what  string
			lines []oracle.DXFLine
		}{{"dxf", one.Lines}, {"dxf-layers", layered}, {"dxf-r12", old.Lines}} {
			var paths []geometry.Path
			for k, l := range x.lines {
				if l.Closed != (k >= len(sheet.Weeding)) {
					return f, fmt.Errorf("%s, %s: line %d is closed: %v", stem, x.what, k, l.Closed)
				}
				paths = append(paths, l.Path(w.PageMM[1]))
			}
			off, err := sameLines(want, paths)
			if err != nil {
				return f, fmt.Errorf("%s, %s: %w", stem, x.what, err)
			}
			f.worst = math.Max(f.worst, off)
		}
		paths, err := readPDF(t, pages, i+1)
		if err == nil {
			var off float64
			off, err = sameLines(want, paths)
			f.worst = math.Max(f.worst, off)
		}
		if a, b := curves(want), curves(slices.Concat(paths...)); err == nil && a != b {
			err = fmt.Errorf("%d curves, want %d", b, a)
		}
		if err != nil {
			return f, fmt.Errorf("%s, page of the PDF: %w", stem, err)
		}
		n := min(len(want), len(onLayers))
		if _, err := sameLines(want, onLayers[:n]); err != nil {
			return f, fmt.Errorf("%s, layer of the PDF: %w", stem, err)
		}
		onLayers = onLayers[n:]
		f.lines += len(want)
		for k := range one.Lines {
			f.vertices, f.chords = f.vertices+one.Lines[k].Vertices, f.chords+old.Lines[k].Vertices
		}
	}
	if err := likeLayers(r, dir, w); err != nil {
		return f, err
	}
	return f, likePicture(r, dir, w)
}

// likeLayers holds the SVG with all sheets to those of the sheets.
func likeLayers(r *oracle.Renderer, dir string, w *written) error {
	paint := func(name string) (*image.RGBA, error) {
		svg, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			return nil, err
		}
		return r.Render(svg, side, true)
	}
	all, err := paint("00-all-sheets-layers-mirrored.svg")
	if err != nil {
		return err
	}
	masks := make([]*image.RGBA, len(w.sheets))
	for i, s := range w.Separations {
		if masks[i], err = paint(s.File); err != nil {
			return err
		}
	}
	if d := differ(all, masks); d.strict > 0 {
		return fmt.Errorf("%d pixels of the SVG with layers are others", d.strict)
	}
	return nil
}

// likePicture holds picture.png to its sheets as another renderer paints them.
func likePicture(r *oracle.Renderer, dir string, w *written) error {
	b, err := os.ReadFile(filepath.Join(dir, "picture.png"))
	if err != nil {
		return err
	}
	decoded, err := png.Decode(bytes.NewReader(b))
	if err != nil {
		return err
	}
	got := image.NewRGBA(decoded.Bounds())
	draw.Draw(got, got.Rect, decoded, image.Point{}, draw.Src)
	var all geometry.Path
	for i := range w.sheets {
		all = append(all, w.unmirrored(i)...)
	}
	box, size := all.Bounds(), got.Rect.Size()
	scale := 1600 / box.Longer()
	// Sheets share no place, so what each covers of a pixel adds up.
	want := make([]int, len(got.Pix))
	for _, s := range w.sheets {
		svg := fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" width="%d" height="%d" viewBox="%v %v %v %v"><path transform="matrix(-1 0 0 1 %v 0)" fill="%s" fill-rule="evenodd" d="%s"/></svg>`,
			size.X, size.Y, box.Min.X, box.Min.Y, float64(size.X)/scale, float64(size.Y)/scale, w.PageMM[0], s.Colour, s.Data)
		mask, err := r.Render([]byte(svg), 1600, false)
		if err != nil {
			return err
		}
		if mask.Rect != got.Rect {
			return fmt.Errorf("a picture of %v, want %v", got.Rect, mask.Rect)
		}
		for k, v := range mask.Pix {
			want[k] += int(v)
		}
	}
	wrong, covered := 0, 0
	for k := 0; k < len(want); k += 4 {
		if want[k+3] > 0 {
			covered++
		}
		for c := range 4 {
			if d := want[k+c] - int(got.Pix[k+c]); d > tolerance || d < -tolerance {
				wrong++
				break
			}
		}
	}
	if share := float64(wrong) / float64(covered); share > maxShare {
		return fmt.Errorf("%.2f %% of the picture's pixels are others", 100*share)
	}
	return nil
}

// stem is how the names of a sheet's files begin.
func (w *written) stem(i int) string {
	return strings.TrimSuffix(w.Separations[i].File, "-mirrored.svg")
}

func readDXF(t *testing.T, dir string, names []string) ([]oracle.DXF, error) {
	paths := make([]string, len(names))
	for i, name := range names {
		paths[i] = filepath.Join(dir, name)
	}
	all, err := oracle.ReadDXF(t, paths...)
	if err != nil {
		return nil, err
	}
	for i, d := range all {
		version, unit := "AC1015", 4
		if strings.Contains(names[i], "-r12-") {
			version, unit = "AC1009", 0
		}
		if len(d.Wrong) > 0 || d.Version != version || d.Units != unit {
			return nil, fmt.Errorf("%s: version %s, unit %d, an audit finds %v", names[i], d.Version, d.Units, d.Wrong)
		}
	}
	return all, nil
}

// readPDF returns the lines on a page of a PDF file in millimetres, y down.
func readPDF(t *testing.T, file []byte, page int) ([]geometry.Path, error) {
	svg, err := oracle.PDFPage(t, file, page)
	if err != nil {
		return nil, err
	}
	var out []geometry.Path
	d, clips := xml.NewDecoder(bytes.NewReader(svg)), 0
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			return out, nil
		}
		if err != nil {
			return nil, err
		}
		if e, ok := tok.(xml.EndElement); ok && e.Name.Local == "clipPath" {
			clips--
		}
		e, ok := tok.(xml.StartElement)
		if ok && e.Name.Local == "clipPath" {
			clips++ // of what reaches beyond the page
		}
		if !ok || e.Name.Local != "path" || clips > 0 {
			continue
		}
		var data string
		m := geometry.Identity()
		for _, a := range e.Attr {
			switch a.Name.Local {
			case "d":
				data = a.Value
			case "transform":
				if _, err := fmt.Sscanf(a.Value, "matrix(%g,%g,%g,%g,%g,%g)", &m.A, &m.B, &m.C, &m.D, &m.E, &m.F); err != nil {
					return nil, err
				}
			}
		}
		const mm = 25.4 / 72
		lines, err := readPoints(strings.Fields(data), geometry.Scale(mm, mm).Mul(m))
		if err != nil {
			return nil, err
		}
		out = append(out, lines...)
	}
}

// readPoints reads path data with a blank between any two things: M, L, C and Z, and
// an M that leads to no line.
func readPoints(fields []string, m geometry.Affine) (out []geometry.Path, err error) {
	var c geometry.Contour
	point := func() (p geometry.Point) {
		if len(fields) < 2 {
			err = errors.New("a point is cut off")
			return p
		}
		for i, v := range []*float64{&p.X, &p.Y} {
			if _, e := fmt.Sscan(fields[i], v); e != nil {
				err = e
			}
		}
		fields = fields[2:]
		return m.Apply(p)
	}
	for len(fields) > 0 && err == nil {
		command := fields[0]
		fields = fields[1:]
		switch command {
		case "M":
			if len(c.Segments) > 0 { // one that is open
				out = append(out, geometry.Path{c})
			}
			c = geometry.Contour{Start: point()}
		case "L":
			c.Segments = append(c.Segments, geometry.LineTo(point()))
		case "C":
			c1, c2 := point(), point()
			c.Segments = append(c.Segments, geometry.CubicTo(c1, c2, point()))
		case "Z":
			out = append(out, geometry.Path{c})
			c = geometry.Contour{}
		default:
			err = fmt.Errorf("command %q", command)
		}
	}
	if len(c.Segments) > 0 {
		out = append(out, geometry.Path{c})
	}
	return out, err
}

// sameLines compares lines one by one, in order, and returns how far they lie apart.
// None may be there twice.
func sameLines(want geometry.Path, got []geometry.Path) (worst float64, err error) {
	if len(want) != len(got) {
		return 0, fmt.Errorf("%d lines, want %d", len(got), len(want))
	}
	seen := map[string]bool{}
	for i, c := range want {
		a, b := geometry.Path{c}.Flatten(0.001), got[i].Flatten(0.001)
		off := math.Max(strayed(a, b), strayed(b, a))
		if worst = math.Max(worst, off); off > offMM {
			return worst, fmt.Errorf("line %d lies %.4f mm off", i, off)
		}
		// A band along the outline, half as broad as lines may be off, is what areas may differ by.
		if d := math.Abs(a.SignedArea() - b.SignedArea()); d > lengthOf(a)*offMM/2+1e-9 {
			return worst, fmt.Errorf("line %d encloses %.4f mm² more or less", i, d)
		}
		key := fmt.Sprint(b.Bounds(), math.Abs(b.SignedArea()))
		if seen[key] {
			return worst, errors.New("a line is there twice")
		}
		seen[key] = true
	}
	return worst, nil
}

// strayed returns how far corners of a lie from b at most.
func strayed(a, b geometry.Path) float64 {
	worst := 0.0
	for p := range a[0].Sides() {
		worst = math.Max(worst, b.Distance(p))
	}
	return worst
}

// curves counts segments that are.
func curves(p geometry.Path) (n int) {
	for _, c := range p {
		for _, s := range c.Segments {
			if s.Cubic {
				n++
			}
		}
	}
	return n
}

func lengthOf(p geometry.Path) (sum float64) {
	for a, b := range p[0].Sides() {
		sum += b.Sub(a).Len()
	}
	return sum
}
