package oracle

import (
	"bytes"
	"fmt"
	"image"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// PDF is a document as a reader of PDF that is not ours (poppler) has it.
type PDF struct {
	tb   testing.TB
	path string
}

// ReadPDF hands a document to the reader.
func ReadPDF(tb testing.TB, data []byte) PDF {
	tb.Helper()
	for _, tool := range []string{"pdftocairo", "pdftotext", "pdffonts", "pdfinfo"} {
		if _, err := exec.LookPath(tool); err != nil {
			missing(tb, "no %s: ./run test installs poppler-utils", tool)
		}
	}
	path := filepath.Join(tb.TempDir(), "document.pdf")
	if err := os.WriteFile(path, data, 0o644); err != nil {
		tb.Fatal(err)
	}
	return PDF{tb, path}
}

// Text returns the text of the document, in the order in which it was written; pages end
// with a form feed.
func (p PDF) Text() string { return string(p.run("pdftotext", "-raw", p.path, "-")) }

// Title returns what the document is called.
func (p PDF) Title() string {
	for line := range strings.Lines(string(p.run("pdfinfo", "-enc", "UTF-8", p.path))) {
		if title, is := strings.CutPrefix(line, "Title:"); is {
			return strings.TrimSpace(title)
		}
	}
	return ""
}

// Fonts returns the reader's table of fonts, a line for each under two of heads.
func (p PDF) Fonts() string { return string(p.run("pdffonts", p.path)) }

// Page paints a page, counted from 1, with so many pixels to an inch.
func (p PDF) Page(n, dpi int) image.Image {
	p.tb.Helper()
	data := p.run("pdftocairo", "-png", "-singlefile", "-r", strconv.Itoa(dpi), "-f", strconv.Itoa(n), "-l", strconv.Itoa(n), p.path, "-")
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		p.tb.Fatal(err)
	}
	return img
}

// SVG returns a page, counted from 1, as SVG whose coordinates are points, not scaled to
// any paper.
func (p PDF) SVG(n int) []byte {
	return p.run("pdftocairo", "-svg", "-noshrink", "-nocenter", "-f", strconv.Itoa(n), "-l", strconv.Itoa(n), p.path, "-")
}

// run runs one of the reader's tools and returns what it writes.
func (p PDF) run(tool string, args ...string) []byte {
	p.tb.Helper()
	var complaint bytes.Buffer
	c := exec.Command(tool, args...)
	c.Stderr = &complaint
	out, err := c.Output()
	if err != nil {
		p.tb.Fatal(fmt.Errorf("%s: %w\n%s", tool, err, complaint.Bytes()))
	}
	if complaint.Len() > 0 {
		p.tb.Errorf("%s: %s", tool, complaint.Bytes())
	}
	return out
}
