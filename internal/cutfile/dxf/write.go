// Package dxf writes cut files as DXF in plain text, in millimetres, for programs
// that draw and cut: one sheet in a file, or every sheet on a layer of one file.
//
// The usual is the format of release 2000, which says its unit and knows arcs: a
// curve is written as arcs within SagittaMM of it. The format of release 12, which
// every old program reads, has chords within SagittaMM.
//
// DXF has y up where the page has it down: the writers turn it, so what is seen is
// the page, mirrored once.
package dxf

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"abut/internal/colour"
	"abut/internal/cutfile"
)

// layer is what lies on one layer of a file.
type layer struct {
	name   string
	colour int
	lines  []polyline
}

// Write writes the page's separation i in the format of release 2000. The error is
// the writer's.
func Write(w io.Writer, page *cutfile.Page, i int) error {
	return current(w, page, []layer{sheet(page, i, false)})
}

// WriteDrawing writes the page's drawing i likewise: its open lines stay open.
func WriteDrawing(w io.Writer, page *cutfile.Page, i int) error {
	return current(w, page, []layer{drawing(page, i, false)})
}

// WriteLayers writes the whole page into one file in the format of release 2000: a
// layer for each sheet and, beneath it, for what is drawn on it.
func WriteLayers(w io.Writer, page *cutfile.Page) error {
	var all []layer
	for i := range page.Separations {
		all = append(all, sheet(page, i, false))
		for k, d := range page.Drawings {
			if d.Sheet == i {
				all = append(all, drawing(page, k, false))
			}
		}
	}
	return current(w, page, all)
}

// WriteR12 writes the page's separation i in the format of release 12.
func WriteR12(w io.Writer, page *cutfile.Page, i int) error {
	return r12(w, page, sheet(page, i, true))
}

// WriteR12Drawing writes the page's drawing i likewise.
func WriteR12Drawing(w io.Writer, page *cutfile.Page, i int) error {
	return r12(w, page, drawing(page, i, true))
}

func sheet(page *cutfile.Page, i int, chords bool) layer {
	s, t := &page.Separations[i], tracer{page.Height.MM(), chords}
	l := layer{name: s.Stem(), colour: nearest(s.Colour)}
	for _, c := range s.Weeding {
		l.lines = append(l.lines, t.line(c.Start, c.Segments))
	}
	for _, c := range slices.Concat(s.Contours, s.Marks) {
		l.lines = append(l.lines, t.contour(c))
	}
	for _, c := range []*cutfile.Contour{s.Box, s.Frame} {
		if c != nil {
			l.lines = append(l.lines, t.contour(*c))
		}
	}
	return l
}

func drawing(page *cutfile.Page, i int, chords bool) layer {
	d, t := &page.Drawings[i], tracer{page.Height.MM(), chords}
	l := layer{name: page.DrawingStem(*d), colour: nearest(d.Colour)}
	for _, x := range d.Lines {
		if x.Closed {
			l.lines = append(l.lines, t.contour(x.Contour))
		} else {
			l.lines = append(l.lines, t.line(x.Start, x.Segments))
		}
	}
	return l
}

// standard are the colours that layers have by number, from 1: red, yellow, green,
// cyan, blue, magenta, black or white, whichever shows, dark and light grey.
var standard = []colour.RGB{{R: 255}, {R: 255, G: 255}, {G: 255}, {G: 255, B: 255}, {B: 255}, {R: 255, B: 255}, {}, {R: 128, G: 128, B: 128}, {R: 192, G: 192, B: 192}}

// nearest returns the number of the standard colour that looks most like c: it only
// tells layers apart.
func nearest(c colour.RGB) int {
	best := 0
	for i, s := range standard {
		if c.DeltaE(s) < c.DeltaE(standard[best]) {
			best = i
		}
	}
	return best + 1
}

// tags writes a file's groups, a code and a value each, and counts handles.
type tags struct {
	b      *bufio.Writer
	handle int
}

// put writes groups: codes and values in turn. Lines end as old programs expect.
func (t *tags) put(groups ...any) {
	for i := 0; i < len(groups); i += 2 {
		value := groups[i+1]
		if f, ok := value.(float64); ok {
			value = strconv.FormatFloat(f, 'f', -1, 64)
		}
		fmt.Fprintf(t.b, "%3d\r\n%v\r\n", groups[i], value)
	}
}

// next returns a handle that no other thing of the file has.
func (t *tags) next() string {
	t.handle++
	return fmt.Sprintf("%X", t.handle)
}

func (t *tags) section(name string, write func()) {
	t.put(0, "SECTION", 2, name)
	write()
	t.put(0, "ENDSEC")
}

func (t *tags) extent(page *cutfile.Page) {
	t.put(9, "$EXTMIN", 10, 0.0, 20, 0.0, 30, 0.0)
	t.put(9, "$EXTMAX", 10, page.Width.MM(), 20, page.Height.MM(), 30, 0.0)
}

// maxR12Name is how long a layer's name may be in release 12.
const maxR12Name = 31

// r12 writes one layer in the format of release 12, which knows no unit: a comment
// names it.
func r12(w io.Writer, page *cutfile.Page, l layer) error {
	t := &tags{b: bufio.NewWriter(w)}
	name := strings.ToUpper(l.name)
	name = name[:min(len(name), maxR12Name)]
	t.put(999, "millimetres, mirrored")
	t.section("HEADER", func() {
		t.put(9, "$ACADVER", 1, "AC1009")
		t.extent(page)
	})
	t.section("TABLES", func() {
		t.put(0, "TABLE", 2, "LTYPE", 70, 1, 0, "LTYPE", 2, "CONTINUOUS", 70, 0, 3, "Solid line", 72, 65, 73, 0, 40, 0.0, 0, "ENDTAB")
		t.put(0, "TABLE", 2, "LAYER", 70, 2)
		t.put(0, "LAYER", 2, "0", 70, 0, 62, 7, 6, "CONTINUOUS")
		t.put(0, "LAYER", 2, name, 70, 0, 62, l.colour, 6, "CONTINUOUS", 0, "ENDTAB")
	})
	t.section("ENTITIES", func() {
		for _, p := range l.lines {
			t.put(0, "POLYLINE", 8, name, 66, 1, 10, 0.0, 20, 0.0, 30, 0.0, 70, flag(p.closed))
			for _, v := range p.vertices {
				t.put(0, "VERTEX", 8, name, 10, v.X, 20, v.Y, 30, 0.0)
			}
			t.put(0, "SEQEND", 8, name)
		}
	})
	t.put(0, "EOF")
	return t.b.Flush()
}

func flag(on bool) int {
	if on {
		return 1
	}
	return 0
}
