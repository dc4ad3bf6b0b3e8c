package svgimport

import (
	"bytes"
	"compress/gzip"
	"context"
	"encoding/base64"
	"fmt"
	"net/url"
	"slices"
	"strings"
	"testing"

	"abut/geometry"
)

func inBase64(svg string) string {
	return ` href="data:image/svg+xml;base64,` + base64.StdEncoding.EncodeToString([]byte(svg)) + `"`
}

func svgOf(attrs, inner string) string {
	return `<svg xmlns="http://www.w3.org/2000/svg" ` + attrs + `>` + inner + `</svg>`
}

// The halves of a drawing lie as those of a picture of pixels would (SVG 2, 8.6), its size being that of its
// viewBox where it states none.
func TestDrawing_LiesWhereItsFrameSays(t *testing.T) {
	inner := `<rect width="10" height="10" fill="red"/><rect x="10" width="10" height="10" fill="blue"/>`
	for _, c := range [][3]string{
		{`viewBox="0 0 20 10"`, `x="10" y="20"`, "10 20 20 30, 20 20 30 30"},
		{`viewBox="0 0 20 10"`, `x="10" y="20" width="40"`, "10 20 30 40, 30 20 50 40"},
		{`viewBox="0 0 20 10"`, `width="40" height="40"`, "0 10 20 30, 20 10 40 30"},
		{`viewBox="0 0 20 10"`, `width="40" height="40" preserveAspectRatio="none"`, "0 0 20 40, 20 0 40 40"},
		{`viewBox="0 0 20 10"`, `width="40" height="40" preserveAspectRatio="xMinYMax"`, "0 20 20 40, 20 20 40 40"},
		{`width="40" height="20" viewBox="0 0 20 10"`, `x="5"`, "5 0 25 20, 25 0 45 20"},
		{`width="20" height="10"`, `width="40" height="20"`, "0 0 20 20, 20 0 40 20"},
		{`width="20" height="20" viewBox="0 0 20 10"`, `width="20" height="20"`, "0 5 10 15, 10 5 20 15"},
		{``, `x="10" width="60" height="40"`, "10 0 20 10, 20 0 30 10"},
		{`viewBox="0 0 20 10"`, `width="0" height="40"`, ""},
		{`viewBox="0 0 20 10"`, `visibility="hidden"`, ""},
	} {
		res := read(t, page100(`<rect x="99" y="99" width="1" height="1"/><image `+c[1]+inBase64(svgOf(c[0], inner))+`/>`))
		var got []string
		for _, s := range shapes(res)[1:] {
			b := s.Path.Bounds()
			got = append(got, fmt.Sprintf("%g %g %g %g", b.Min.X, b.Min.Y, b.Max.X, b.Max.Y))
		}
		if s := strings.Join(got, ", "); s != c[2] || len(res.Warnings) > 0 {
			t.Errorf("%v: %s %v", c, s, res.Warnings)
		}
	}
}

// A drawing inside a file has ids, styles and units of its own, and is cut off at its own page.
func TestDrawing_KnowsNothingOfWhatIsAround(t *testing.T) {
	inner := svgOf(`viewBox="0 0 10 10" id="r"`, `<style>.a{fill:#020000}</style><rect id="q" class="a" width="50" height="50"/><use href="#p"/><circle r="2" fill="var(--c,#030000)"/>`)
	res := read(t, page100(`<style>rect{fill:lime!important;--c:blue}.a{fill:red}</style><g fill="blue" style="--c:red" font-size="3"><path id="p" d="M60 60h9v9z" fill="#040000"/><image width="20" height="20"`+inBase64(inner)+`/></g>`))
	for place, want := range map[geometry.Point]string{geometry.Pt(15, 15): "#020000", geometry.Pt(1, 1): "#030000", geometry.Pt(25, 15): "-", geometry.Pt(68, 61): "#040000"} {
		if got := at(res, place); got != want {
			t.Errorf("%v is %q, want %q", place, got, want)
		}
	}
	var told []string
	for _, w := range res.Warnings {
		told = append(told, w.ID)
	}
	if !slices.Equal(told, []string{WarnMissing}) { // #p is outside
		t.Errorf("%v", res.Warnings)
	}
}

// However it is written down, and however deep, it is drawn; what is in too many, or damaged, is told.
func TestDrawing_InAllForms(t *testing.T) {
	inner := svgOf(`viewBox="0 0 10 10"`, `<rect width="10" height="10" fill="#010000"/>`)
	var zipped bytes.Buffer
	z := gzip.NewWriter(&zipped)
	if _, err := z.Write([]byte(inner)); err != nil || z.Close() != nil {
		t.Fatal(err)
	}
	nested := func(times int) string {
		svg := inner
		for range times {
			svg = svgOf(`viewBox="0 0 10 10"`, `<image width="10" height="10"`+inBase64(svg)+`/>`)
		}
		return `data:image/svg+xml,` + url.PathEscape(svg)
	}
	for ref, drawn := range map[string]bool{
		`data:image/svg+xml;charset=utf-8,` + url.PathEscape(inner):                            true,
		`data:image/svg+xml;utf8,` + strings.NewReplacer("<", "&lt;", `"`, "'").Replace(inner): true,
		`data:IMAGE/SVG+XML;base64,` + base64.StdEncoding.EncodeToString(zipped.Bytes()):       true,
		nested(1):                     true,
		nested(maxInside - 1):         true,
		nested(maxInside):             false,
		`data:image/svg+xml,%3Csvg`:   false,
		`data:image/svg+xml;base64,?`: false,
	} {
		res := read(t, page100(`<rect x="99" y="99" width="1" height="1"/><image id="w" width="20" height="20" href="`+ref+`"/>`))
		if is := at(res, geometry.Pt(5, 5)) == "#010000"; is != drawn || (len(res.Warnings) == 1 && res.Warnings[0].ID == WarnImage) == drawn {
			t.Errorf("%.60s: drawn %v, %v", ref, is, res.Warnings)
		}
	}
}

// Copies count as copies of anything do, and what is drawn once does not.
func TestDrawing_CopiesAreBounded(t *testing.T) {
	ref := inBase64(svgOf(`viewBox="0 0 10 10"`, strings.Repeat(`<rect width="9" height="9" fill="red"/>`, 30)))
	many := func(n int) error {
		_, err := Import(context.Background(), strings.NewReader(page100(strings.Repeat(`<image width="9" height="9"`+ref+`/>`, n))), Options{MaxLeaves: 20})
		return err
	}
	if err := many(1); err != nil {
		t.Error(err)
	}
	if err := many(2); err == nil {
		t.Error("copies are not counted")
	}
}
