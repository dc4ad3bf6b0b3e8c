// Package svg writes a separation as an SVG file that cutter programs read:
// true size in millimetres, one filled compound path, no stroke; a frame and
// marks are unfilled paths of their own. What a pen draws is in files of its own. Or
// all is in one file, in a group for each sheet and each pen.
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
	return whole(w, page, named(s, "mirrored"), func(b *bufio.Writer) { sheet(b, s, "") })
}

// WriteDrawing writes the page's drawing i: lines without a fill, on the same
// page as the cuts. The error is the writer's.
func WriteDrawing(w io.Writer, page *cutfile.Page, i int) error {
	d := &page.Drawings[i]
	return whole(w, page, named(&page.Separations[d.Sheet], "drawn, mirrored"), func(b *bufio.Writer) { drawing(b, d, "drawn") })
}

// WriteLayers writes the whole page: a group for each separation, which its title
// names, and after it one for each drawing on it.
func WriteLayers(w io.Writer, page *cutfile.Page) error {
	return whole(w, page, "mirrored", func(b *bufio.Writer) {
		for i := range page.Separations {
			s := &page.Separations[i]
			id := "sheet-" + s.Stem() // an id begins with a letter
			fmt.Fprintf(b, "<g id=\"%s\">\n", id)
			title(b, named(s, ""))
			sheet(b, s, id+"-")
			b.WriteString("</g>\n")
			for k := range page.Drawings {
				if d := &page.Drawings[k]; d.Sheet == i {
					id := "sheet-" + page.DrawingStem(*d)
					fmt.Fprintf(b, "<g id=\"%s\">\n", id)
					title(b, named(s, d.Name))
					drawing(b, d, id+"-lines")
					b.WriteString("</g>\n")
				}
			}
		}
	})
}

// named is a sheet's number and name, and what is shown of it.
func named(s *cutfile.Separation, what string) string {
	name := fmt.Sprint(s.Order, " ", s.Name)
	if what != "" {
		name += ", " + what
	}
	return name
}

// whole writes a file: the root, in true millimetres, with its title and contents.
func whole(w io.Writer, page *cutfile.Page, name string, contents func(*bufio.Writer)) error {
	b := bufio.NewWriter(w)
	fmt.Fprintf(b, `<svg xmlns="http://www.w3.org/2000/svg" width="%[1]smm" height="%[2]smm" viewBox="0 0 %[1]s %[2]s">`+"\n",
		page.Width, page.Height)
	title(b, name)
	contents(b)
	b.WriteString("</svg>\n")
	return b.Flush()
}

func title(b *bufio.Writer, name string) {
	b.WriteString("<title>")
	_ = xml.EscapeText(b, []byte(name)) // b keeps its error
	b.WriteString("</title>\n")
}

// sheet writes what is cut from a sheet; ids begin with prefix.
func sheet(b *bufio.Writer, s *cutfile.Separation, prefix string) {
	if len(s.Weeding) > 0 {
		fmt.Fprintf(b, `<path id="%s" fill="none" stroke="%s" stroke-width="0.1" d="`, prefix+"weeding", s.Colour)
		for _, c := range s.Weeding {
			b.Write(data(nil, c.Start, c.Segments))
		}
		b.WriteString("\"/>\n")
	}
	fmt.Fprintf(b, `<path fill="%s" fill-rule="evenodd" d="%s"/>`+"\n", s.Colour, Data(s.Contours))
	if len(s.Marks) > 0 {
		line(b, prefix+"marks", s, s.Marks...)
	}
	if s.Box != nil {
		line(b, prefix+"box", s, *s.Box)
	}
	if s.Frame != nil {
		line(b, prefix+"frame", s, *s.Frame)
	}
}

// line writes contours, in the sheet's colour, that are cut along and enclose no
// piece.
func line(b *bufio.Writer, id string, s *cutfile.Separation, contours ...cutfile.Contour) {
	fmt.Fprintf(b, `<path id="%s" fill="none" stroke="%s" stroke-width="0.1" d="%s"/>`+"\n", id, s.Colour, Data(contours))
}

func drawing(b *bufio.Writer, d *cutfile.Drawing, id string) {
	fmt.Fprintf(b, `<path id="%s" fill="none" stroke="%s" stroke-width="%g" stroke-linecap="round" stroke-linejoin="round" d="`, id, d.Colour, cutfile.PenMM)
	for _, l := range d.Lines {
		b.Write(data(nil, l.Start, l.Segments))
		if l.Closed {
			b.WriteByte('Z')
		}
	}
	b.WriteString("\"/>\n")
}

// Data returns contours as path data in millimetres: absolute commands M, L, C
// and Z only, which every reader knows.
func Data(contours []cutfile.Contour) []byte {
	var b []byte
	for _, c := range contours {
		segments, closes := c.Cut()
		b = data(b, c.Start, segments)
		if closes {
			b = append(b, 'Z')
		}
	}
	return b
}

func data(b []byte, start cutfile.Point, segments []cutfile.Segment) []byte {
	pt := func(p cutfile.Point) {
		b = p.X.Append(b)
		b = append(b, ' ')
		b = p.Y.Append(b)
	}
	b = append(b, 'M')
	pt(start)
	last := byte('M')
	for _, s := range segments {
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
	return b
}
