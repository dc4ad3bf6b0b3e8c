// Package svg writes a separation as an SVG file that cutter programs read:
// true size in millimetres, one filled compound path, no stroke; a frame and
// marks are unfilled paths of their own. What a pen draws is in files of its own.
package svg

import (
	"bufio"
	"encoding/xml"
	"fmt"
	"io"

	"abut/internal/cutfile"
)

// Write writes the page's separation i. Coordinates are exact, with at most
// four decimals. The error is the writer's.
func Write(w io.Writer, page *cutfile.Page, i int) error {
	s := &page.Separations[i]
	b := bufio.NewWriter(w)
	if err := start(b, page, s, "mirrored"); err != nil {
		return err
	}
	fmt.Fprintf(b, `<path fill="%s" fill-rule="evenodd" d="%s"/>`+"\n", s.Colour, Data(s.Contours))
	if s.Frame != nil {
		line(b, "frame", s, *s.Frame)
	}
	if len(s.Marks) > 0 {
		line(b, "marks", s, s.Marks...)
	}
	b.WriteString("</svg>\n")
	return b.Flush()
}

// start writes the root, in true millimetres, and the title: the sheet's number
// and name, and what it shows.
func start(b *bufio.Writer, page *cutfile.Page, s *cutfile.Separation, what string) error {
	fmt.Fprintf(b, `<svg xmlns="http://www.w3.org/2000/svg" width="%[1]smm" height="%[2]smm" viewBox="0 0 %[1]s %[2]s">`,
		page.Width, page.Height)
	fmt.Fprintf(b, "\n<title>%d ", s.Order)
	if err := xml.EscapeText(b, []byte(s.Name)); err != nil {
		return err
	}
	fmt.Fprintf(b, ", %s</title>\n", what)
	return nil
}

// line writes contours, in the sheet's colour, that are cut along and enclose no
// piece.
func line(b *bufio.Writer, id string, s *cutfile.Separation, contours ...cutfile.Contour) {
	fmt.Fprintf(b, `<path id="%s" fill="none" stroke="%s" stroke-width="0.1" d="%s"/>`+"\n", id, s.Colour, Data(contours))
}

// penWidthMM is how broad drawn lines look in their file; a pen has its own
// width.
const penWidthMM = 0.3

// WriteDrawing writes the page's drawing i: lines without a fill, on the same
// page as the cuts. The error is the writer's.
func WriteDrawing(w io.Writer, page *cutfile.Page, i int) error {
	d := &page.Drawings[i]
	b := bufio.NewWriter(w)
	if err := start(b, page, &page.Separations[d.Sheet], "drawn, mirrored"); err != nil {
		return err
	}
	fmt.Fprintf(b, `<path id="drawn" fill="none" stroke="%s" stroke-width="%g" stroke-linecap="round" stroke-linejoin="round" d="`, d.Colour, penWidthMM)
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
