package oracle

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os/exec"
	"path/filepath"
	"strconv"
	"sync"
	"testing"

	"abut/geometry"
)

// DXF is what another library (ezdxf) finds in a DXF file.
type DXF struct {
	// Version is the format's own name, such as AC1015; Units its code, 4 for
	// millimetres.
	Version string
	Units   int
	// Wrong is what an audit finds wrong.
	Wrong  []string
	Layers []string
	Lines  []DXFLine
}

// DXFLine is a line in a DXF file.
type DXFLine struct {
	Kind, Layer string
	Closed      bool
	Vertices    int
	// Points are at most 0.0005 units from the line's arcs, y up.
	Points [][2]float64
}

// Path returns the line in millimetres with y down, on a page of this height.
func (l DXFLine) Path(heightMM float64) geometry.Path {
	var pts []geometry.Point
	for _, p := range l.Points {
		pts = append(pts, geometry.Pt(p[0], heightMM-p[1]))
	}
	return geometry.Path{geometry.Polygon(pts...)}
}

// python is an interpreter that has ezdxf: that of the system, where packages of
// the system are, or the one on the PATH.
var python = sync.OnceValue(func() string {
	for _, try := range []string{"/usr/bin/python3", "python3"} {
		if exec.Command(try, "-c", "import ezdxf").Run() == nil {
			return try
		}
	}
	return ""
})

// ReadDXF reads DXF files, all in one process.
func ReadDXF(tb testing.TB, files ...string) ([]DXF, error) {
	tb.Helper()
	if python() == "" {
		missing(tb, "python3-ezdxf is not installed: ./run test installs it")
	}
	out, err := read(nil, python(), append([]string{filepath.Join(Root(tb), "testdata", "python", "dxf.py")}, files...)...)
	if err != nil {
		return nil, err
	}
	var d []DXF
	return d, json.Unmarshal(out, &d)
}

// PDFPage returns a page of a PDF file, the first being 1, as SVG in points, the
// way another library (poppler) draws it: in steps of 1/256 point.
func PDFPage(tb testing.TB, file []byte, page int) ([]byte, error) {
	tb.Helper()
	if _, err := exec.LookPath("pdftocairo"); err != nil {
		missing(tb, "poppler-utils is not installed: ./run test installs it")
	}
	n := strconv.Itoa(page)
	return read(file, "pdftocairo", "-svg", "-noshrink", "-nocenter", "-f", n, "-l", n, "-", "-")
}

// read has a tool read a file from its standard input.
func read(file []byte, tool string, args ...string) ([]byte, error) {
	cmd := exec.Command(tool, args...)
	var out, trouble bytes.Buffer
	cmd.Stdin, cmd.Stdout, cmd.Stderr = bytes.NewReader(file), &out, &trouble
	if err := cmd.Run(); err != nil {
		return nil, fmt.Errorf("%s: %w\n%s", tool, err, trouble.Bytes())
	}
	return out.Bytes(), nil
}
