package workshop

import (
	"bytes"
	"context"
	"io"
	"slices"
	"strings"

	"abut/internal/cutfile"
	"abut/internal/cutfile/dxf"
	"abut/internal/cutfile/pdf"
	"abut/internal/cutfile/png"
	"abut/internal/cutfile/svg"
	"abut/internal/whole"
)

// Format is a kind of file that a job is written as, by the name that it has on
// the command line.
type Format string

// The formats.
const (
	SVG       Format = "svg"
	SVGLayers Format = "svg-layers"
	DXF       Format = "dxf"
	DXFLayers Format = "dxf-layers"
	DXFR12    Format = "dxf-r12"
	PDF       Format = "pdf"
	PDFLayers Format = "pdf-layers"
	// PNG is a picture of what comes of it, and nothing is cut from it.
	PNG Format = "png"
)

// writer writes a page in one format: a file for each sheet and each drawing, or
// one file for all.
type writer struct {
	format Format
	// ext ends the names of its files; tag stands in them before -mirrored where
	// another format has the same ending.
	ext, tag       string
	sheet, drawing func(io.Writer, *cutfile.Page, int) error
	all            func(io.Writer, *cutfile.Page) error
}

// writers are in the order that their files are listed in.
var writers = []writer{
	{format: SVG, ext: "svg", sheet: svg.Write, drawing: svg.WriteDrawing},
	{format: SVGLayers, ext: "svg", tag: "layers", all: svg.WriteLayers},
	{format: DXF, ext: "dxf", sheet: dxf.Write, drawing: dxf.WriteDrawing},
	{format: DXFLayers, ext: "dxf", tag: "layers", all: dxf.WriteLayers},
	{format: DXFR12, ext: "dxf", tag: "r12", sheet: dxf.WriteR12, drawing: dxf.WriteR12Drawing},
	{format: PDF, ext: "pdf", all: pdf.WritePages},
	{format: PDFLayers, ext: "pdf", tag: "layers", all: pdf.WriteLayers},
	{format: PNG, all: png.Write},
}

// Formats lists all there are.
func Formats() []Format {
	var out []Format
	for _, w := range writers {
		out = append(out, w.format)
	}
	return out
}

// inOne reports whether all sheets are in one file of this format.
func (f Format) inOne() bool {
	return slices.ContainsFunc(writers, func(w writer) bool { return w.format == f && w.all != nil })
}

// FormatsNamed reads names with commas between them: each format once, in the order
// of Formats.
func FormatsNamed(names string) ([]Format, error) {
	var asked []Format
	for name := range strings.SplitSeq(names, ",") {
		f := Format(strings.ToLower(strings.TrimSpace(name)))
		if !slices.Contains(Formats(), f) {
			return nil, fail("format-unknown", nil, "name", strings.TrimSpace(name), "names", FormatNames(Formats()))
		}
		asked = append(asked, f)
	}
	return slices.DeleteFunc(Formats(), func(f Format) bool { return !slices.Contains(asked, f) }), nil
}

// writersOf returns the writers of these formats or, without any, of SVG.
func writersOf(formats []Format) []writer {
	if len(formats) == 0 {
		formats = []Format{SVG}
	}
	return slices.DeleteFunc(slices.Clone(writers), func(w writer) bool { return !slices.Contains(formats, w.format) })
}

// cuts reports whether anything can be cut from what these writers write.
func cuts(all []writer) bool {
	return slices.ContainsFunc(all, func(w writer) bool { return w.format != PNG })
}

// FormatNames lists formats as FormatsNamed reads them.
func FormatNames(formats []Format) string {
	var names []string
	for _, f := range formats {
		names = append(names, string(f))
	}
	return strings.Join(names, ", ")
}

// allSheets begins the names of files with all sheets in them, so that they are
// listed before those with one.
const allSheets = "00-all-sheets"

// pictureFile is the name of the picture: it is neither mirrored nor cut from.
const pictureFile = "picture.png"

// files writes the page, each file with what job.json says about it. One with all
// sheets of the page in it is called all.
func (w writer) files(ctx context.Context, page *cutfile.Page, all string) (files []whole.File, listed []ManifestFile, err error) {
	add := func(stem string, m ManifestFile, write func(io.Writer) error) {
		if err != nil {
			return
		}
		if w.tag != "" {
			stem += "-" + w.tag
		}
		m.File, m.Format, m.Mirrored = stem+"-mirrored."+w.ext, w.format, true
		if w.format == PNG {
			m.File, m.Mirrored = pictureFile, false
		}
		var f whole.File
		if f, err = spell(ctx, m.File, write); err == nil {
			files, listed = append(files, f), append(listed, m)
		}
	}
	if w.all != nil {
		var m ManifestFile
		for _, s := range page.Separations {
			m.Orders = append(m.Orders, s.Order)
		}
		add(all, m, func(b io.Writer) error { return w.all(b, page) })
		return files, listed, err
	}
	for i, s := range page.Separations {
		add(s.Stem(), ManifestFile{Orders: []int{s.Order}}, func(b io.Writer) error { return w.sheet(b, page, i) })
	}
	for i, d := range page.Drawings {
		add(page.DrawingStem(d), ManifestFile{Orders: []int{page.Separations[d.Sheet].Order}, Drawing: i + 1}, func(b io.Writer) error { return w.drawing(b, page, i) })
	}
	return files, listed, err
}

// spell makes a file in memory.
func spell(ctx context.Context, name string, write func(io.Writer) error) (whole.File, error) {
	if err := ctx.Err(); err != nil {
		return whole.File{}, err
	}
	var b bytes.Buffer
	err := write(&b)
	return whole.File{Name: name, Data: b.Bytes()}, err
}
