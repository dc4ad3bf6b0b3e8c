package print

import (
	"io"
	"strings"
	"time"
	"unicode/utf16"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"

	"abut/geometry"
)

// Paper is a format of pages, upright, in millimetres.
type Paper struct {
	// Name is what the format is called: "A4".
	Name          string
	Width, Height float64
}

// The formats that desk printers take: ISO 216 A4 and 8.5 × 11 inches.
var (
	A4     = Paper{"A4", 210, 297}
	Letter = Paper{"Letter", 215.9, 279.4}
)

// Papers are all formats.
var Papers = []Paper{A4, Letter}

// Slug is the format's name in names of files.
func (p Paper) Slug() string { return strings.ToLower(p.Name) }

// Within is the page without a margin on all sides.
func (p Paper) Within(margin float64) geometry.Rect {
	return geometry.RectXYWH(0, 0, p.Width, p.Height).Grow(-margin)
}

// Info is what a document says of itself: its title and, as a BCP 47 tag, its
// language, "" for none.
type Info struct{ Title, Language string }

// Document is a PDF in the making. It is for one goroutine.
type Document struct {
	paper Paper
	pdf   *fpdf.Fpdf
	// ends is the style of lines' ends as it stands.
	ends string
}

// family is the embedded fonts' name within the document.
const family = "Go"

// day stands in every document for when it was made, so that the same input
// gives the same bytes.
var day = time.Date(2000, time.January, 1, 0, 0, 0, 0, time.UTC)

// New returns a document without pages.
func New(p Paper, about Info) *Document {
	pdf := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: p.Width, Ht: p.Height}})
	pdf.SetCatalogSort(true)
	pdf.SetCreationDate(day)
	pdf.SetModificationDate(day)
	pdf.SetTitle(textString(plain(about.Title)), false)
	pdf.SetLang(about.Language)
	pdf.SetProducer("Abut", false)
	pdf.SetMargins(0, 0, 0)
	pdf.SetAutoPageBreak(false, 0)
	pdf.AddUTF8FontFromBytes(family, "", goregular.TTF)
	pdf.AddUTF8FontFromBytes(family, "B", gobold.TTF)
	return &Document{paper: p, pdf: pdf}
}

// textString is text as a document's entries have it (ISO 32000-1, 7.9.2.2): UTF-16 with its
// mark. The library's own knows no letters of four bytes, and reads on where the last is cut off.
func textString(text string) string {
	b := []byte{0xFE, 0xFF}
	for _, u := range utf16.Encode([]rune(text)) {
		b = append(b, byte(u>>8), byte(u))
	}
	return string(b)
}

// Paper returns the format of the pages.
func (d *Document) Paper() Paper { return d.paper }

// AddPage begins a page; all that follows is drawn on it.
func (d *Document) AddPage() { d.pdf.AddPage() }

// Pages returns how many pages there are.
func (d *Document) Pages() int { return d.pdf.PageCount() }

// Write writes the document. Nothing can be drawn after it. What went wrong while
// drawing is its error.
func (d *Document) Write(w io.Writer) error { return d.pdf.Output(w) }
