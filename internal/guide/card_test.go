package guide

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/oracle"
	"abut/internal/press"
	"abut/internal/print"
	"abut/internal/words"
)

func cardOf(t *testing.T, title string, p *fit.Plan, b *job.Blank, paper print.Paper, lang string) oracle.PDF {
	t.Helper()
	var out bytes.Buffer
	page := pageOf(t, p)
	g := &Guide{Title: title, Plan: p, Page: page, FileOf: fileOf(page), Blank: b, Words: words.For(lang)}
	if err := g.WriteCard(&out, paper); err != nil {
		t.Fatal(err)
	}
	keep(t, fmt.Sprintf("card-%.8s-%t-%s-%s.pdf", title, b != nil, paper.Slug(), lang), out.Bytes())
	return oracle.ReadPDF(t, out.Bytes())
}

func TestCard_IsOnePageAndTellsAll(t *testing.T) {
	long := &job.Blank{Name: strings.Repeat("Kaffeebecher für den Leuchtturm ", 6), WidthMM: 215, HeightMM: 90, Press: job.Pressing{
		Kind: "mug", HeatC: 230, Seconds: 90, Pressure: "mittel, Stufe 4 am großen Rad, nicht ganz zugedreht", Note: strings.Repeat("Vorher zwei Minuten aufheizen, dann zudrehen. ", 8),
	}}
	for _, b := range []*job.Blank{nil, long} {
		for _, paper := range print.Papers {
			for _, lang := range []string{"en", "de"} {
				w := words.For(lang)
				text := cardOf(t, strings.Repeat("Papageitaucher ", 12), tiles(60, 150, 120), b, paper, lang).Text()
				if n := strings.Count(text, "\f"); n != 1 {
					t.Errorf("%s %s: %d pages", paper.Name, lang, n)
				}
				whole := squeezed(text)
				ids := []string{"press-title", "press-own", "press-start", "press-before-how", "press-during-how", "press-after-how", "press-once", "press-once-how", "press-decide", "guide-also", "press-looked"}
				for _, c := range cautions {
					ids = append(ids, c.ID, c.ID+"-how")
				}
				for _, id := range ids {
					if !strings.Contains(whole, squeezed(w.Say(id, nil))) {
						t.Errorf("%s %s: does not say %q", paper.Name, lang, w.Say(id, nil))
					}
				}
				for _, r := range press.Rows() {
					if !strings.Contains(whole, squeezed(w.Message(r.Heat())+w.Message(r.Time()))) {
						t.Errorf("%s %s: no starting points for %s", paper.Name, lang, r.ID)
					}
				}
				if b != nil {
					for _, m := range append(press.Doubts(*b), press.HeatOf(230), press.TimeOf(90)) {
						if !strings.Contains(whole, squeezed(w.Message(m))) {
							t.Errorf("%s %s: does not say %q", paper.Name, lang, w.Message(m))
						}
					}
				}
			}
		}
	}
}

func TestCard_WithoutValuesHasRoomToWrite(t *testing.T) {
	text := cardOf(t, "Puffin", tiles(4, 100, 100), &job.Blank{Name: "Shirt", WidthMM: 280, HeightMM: 350, Material: job.Polyester}, print.A4, "en").Text()
	for _, want := range []string{"Nothing noted yet", "Date", "Pressure", "Blank: Shirt, 280 × 350 mm"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in %s", want, text)
		}
	}
}
