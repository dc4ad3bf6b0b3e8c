package guide

import (
	"bytes"
	"strings"
	"testing"

	"abut/internal/cutfile"
	"abut/internal/layout"
	"abut/internal/oracle"
	"abut/internal/print"
	"abut/internal/words"
)

// laidOut is a layout of so many copies: the first separation on a sheet for each copy, all of
// the others together on one sheet.
func laidOut(page *cutfile.Page, copies int, w, h float64) *layout.Layout {
	l := &layout.Layout{}
	add := func(i int, placed ...layout.Placed) {
		sheet := *page
		sheet.Width, sheet.Height = cutfile.ToSteps(w), cutfile.ToSteps(h)
		sheet.Separations = page.Separations[i : i+1]
		s := layout.Sheet{Page: &sheet, Placed: placed}
		s.Of, s.Kind = i, layout.Whole
		l.Sheets = append(l.Sheets, s)
	}
	for i := range page.Separations {
		var all []layout.Placed
		for c := range copies {
			var p layout.Placed
			p.Copy = c + 1
			if i == 0 {
				add(i, p)
			}
			all = append(all, p)
		}
		if i > 0 {
			add(i, all...)
		}
	}
	return l
}

// Sheets that copies share are not trimmed to the size of one copy, and the copies are separated before
// anything is laid. How many there are is said.
func TestGuide_CopiesThatShareSheets(t *testing.T) {
	p := tiles(9, 80, 60)
	page, err := cutfile.New(p)
	if err != nil {
		t.Fatal(err)
	}
	write := func(copies int) (html, pdf string) {
		g := &Guide{Title: "totes", Plan: p, Page: page, FileOf: fileOf(page), Words: words.For("en")}
		if copies > 0 {
			g.Layout = laidOut(page, copies, 305, 200)
		}
		var a, b bytes.Buffer
		if err := g.Write(&a); err != nil {
			t.Fatal(err)
		}
		if err := g.WriteAssembly(&b, print.A4); err != nil {
			t.Fatal(err)
		}
		return plain(t, a.String()), strings.Join(strings.Fields(oracle.ReadPDF(t, b.Bytes()).Text()), " ")
	}
	html, pdf := write(0)
	for _, text := range []string{html, pdf} {
		for _, want := range []string{"Trim to", "34 × 66 mm", "Cut each sheet down to its trim size", "3 sheets"} {
			if !strings.Contains(text, want) {
				t.Errorf("of one %q is not said: %s", want, text)
			}
		}
		if strings.Contains(text, "copies") {
			t.Errorf("of one it tells of copies: %s", text)
		}
	}
	html, pdf = write(4)
	for _, text := range []string{html, pdf} {
		for _, want := range []string{"4 copies", "6 sheets", "9 pieces each", "4 sheets of 305 × 200 mm", "sheet of 305 × 200 mm",
			"do not trim them", "Separate the copies.", "for each of the 4 copies"} {
			if !strings.Contains(text, want) {
				t.Errorf("of four %q is not said: %s", want, text)
			}
		}
		if strings.Contains(text, "Trim to") || strings.Contains(text, "34 × 66 mm") || strings.Contains(text, "trim size") {
			t.Errorf("of four it tells to trim sheets that are shared: %s", text)
		}
	}
	html, _ = write(1)
	if strings.Contains(html, "Separate") || strings.Contains(html, "trim size") {
		t.Errorf("one copy on whole sheets: %s", html)
	}
}
