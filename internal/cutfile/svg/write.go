// Package svg writes a separation as an SVG file that cutter programs read:
// true size in millimetres, one filled compound path, no stroke; on a base that
// has one, the frame is a second, unfilled path.
package svg

import (
	"bufio"
	"encoding/xml"
	"fmt"
	"io"

	"abut/internal/cutfile"
)

// Write writes the page's separation i. Coordinates are exact, with at most
// four decimals.
func Write(w io.Writer, page *cutfile.Page, i int) error {
	s := page.Separations[i]
	b := bufio.NewWriter(w)
	fmt.Fprintf(b, `<svg xmlns="http://www.w3.org/2000/svg" width="%[1]smm" height="%[2]smm" viewBox="0 0 %[1]s %[2]s">`,
		page.Width, page.Height)
	fmt.Fprintf(b, "\n<title>%d ", s.Order)
	if err := xml.EscapeText(b, []byte(s.Name)); err != nil {
		return err
	}
	b.WriteString(", mirrored</title>\n")
	fmt.Fprintf(b, `<path fill="%s" fill-rule="evenodd" d="`, s.Colour)
	b.Write(Data(s.Contours))
	b.WriteString("\"/>\n")
	if s.Frame != nil {
		fmt.Fprintf(b, `<path id="frame" fill="none" stroke="%s" stroke-width="0.1" d="`, s.Colour)
		b.Write(Data([]cutfile.Contour{*s.Frame}))
		b.WriteString("\"/>\n")
	}
	if len(s.Marks) > 0 {
		fmt.Fprintf(b, `<path id="marks" fill="none" stroke="%s" stroke-width="0.1" d="`, s.Colour)
		b.Write(Data(s.Marks))
		b.WriteString("\"/>\n")
	}
	b.WriteString("</svg>\n")
	return b.Flush()
}

// PenWidthMM is how broad drawn lines look in their file; a pen has its own
// width.
const PenWidthMM = 0.3

// WriteDrawing writes the page's drawing i: lines without a fill, on the same
// page as the cuts.
func WriteDrawing(w io.Writer, page *cutfile.Page, i int) error {
	d := page.Drawings[i]
	s := page.Separations[d.Sheet]
	b := bufio.NewWriter(w)
	fmt.Fprintf(b, `<svg xmlns="http://www.w3.org/2000/svg" width="%[1]smm" height="%[2]smm" viewBox="0 0 %[1]s %[2]s">`,
		page.Width, page.Height)
	fmt.Fprintf(b, "\n<title>%d ", s.Order)
	if err := xml.EscapeText(b, []byte(s.Name)); err != nil {
		return err
	}
	b.WriteString(", drawn, mirrored</title>\n")
	fmt.Fprintf(b, `<path id="drawn" fill="none" stroke="%s" stroke-width="%g" stroke-linecap="round" stroke-linejoin="round" d="`, d.Colour, PenWidthMM)
	for _, l := range d.Lines {
		data := Data([]cutfile.Contour{l.Contour})
		if !l.Closed {
			data = data[:len(data)-1] // without the Z
		}
		b.Write(data)
	}
	b.WriteString("\"/>\n</svg>\n")
	return b.Flush()
}

// Data returns contours as path data in millimetres: absolute commands M, L, C
// and Z only, which every reader knows.
func Data(contours []cutfile.Contour) []byte {
	var b []byte
	pt := func(p cutfile.Point) {
		b = p.X.Append(b)
		b = append(b, ' ')
		b = p.Y.Append(b)
	}
	for _, c := range contours {
		b = append(b, 'M')
		pt(c.Start)
		last := byte('M')
		for _, s := range c.Segments {
			cmd := byte('L')
			if s.Cubic {
				cmd = 'C'
			}
			if cmd == last {
				b = append(b, ' ')
			} else {
				b = append(b, cmd)
				last = cmd
			}
			if s.Cubic {
				pt(s.C1)
				b = append(b, ' ')
				pt(s.C2)
				b = append(b, ' ')
			}
			pt(s.End)
		}
		b = append(b, 'Z')
	}
	return b
}
