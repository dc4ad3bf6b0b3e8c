// Package print makes PDF pages at true size: text that can be searched, in
// fonts that come along, and outlines with their curves.
//
//	d := print.New(print.A4, print.Info{Title: "Puffin", Language: "en"})
//	d.AddPage()
//	y := d.Paragraph(geometry.Pt(15, 20), 180, "Cut colour side up.", print.Type{Size: 10})
//	d.Ruler(geometry.Pt(15, y+10), "mm", print.Type{Size: 7})
//	err := d.Write(w)
//
// Lengths are millimetres from the page's upper left corner, y down; sizes of
// type are points, 1/72 inch. What is drawn lies within 0.004 mm of where it is
// asked for: the library writes hundredths of a point. The same calls give the
// same bytes, but for letters that only fonts of this computer have.
package print
