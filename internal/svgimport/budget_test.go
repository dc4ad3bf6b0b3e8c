package svgimport

import (
	"context"
	"errors"
	"strings"
	"testing"
)

// Whatever part of an import reads or draws something, it all goes from one
// budget, and what is past it is an error: never a shape that is not there. Each
// of these would take minutes or more.
func TestBudget_IsOneForAllThatReads(t *testing.T) {
	many := func(n int, s string) string { return strings.Repeat(s, n) }
	path := `d="M0 0` + many(20_000, "h1v1") + `"`
	for name, svg := range map[string]string{
		"a long path used often":     `<defs><path id="p" stroke="red" ` + path + `/></defs>` + many(5000, `<use href="#p"/>`),
		"a long path, clear":         `<defs><path id="p" stroke="red" stroke-opacity="0" ` + path + `/></defs>` + many(5000, `<use href="#p"/>`),
		"a long path in boxes":       `<clipPath id="c" clipPathUnits="objectBoundingBox"><rect width="1" height="1"/></clipPath>` + many(300, `<g clip-path="url(#c)">`) + `<path ` + path + `/>` + many(300, `</g>`),
		"a full pattern used often":  `<pattern id="p" width="1" height="1">` + many(50_000, `<rect width="9" height="9"/>`) + `</pattern><rect id="r" width="9" height="9" fill="url(#p)"/>` + many(5000, `<use href="#r"/>`),
		"a pattern of what is clear": `<pattern id="p" width="1" height="1">` + many(50_000, `<rect width="9" height="9" fill="none"/>`) + `</pattern>` + many(5000, `<rect width="9" height="9" fill="url(#p)"/>`),
		"a mask of what is clear":    `<mask id="p">` + many(50_000, `<rect width="9" height="9" fill="none"/>`) + `</mask>` + many(5000, `<rect width="9" height="9" mask="url(#p)"/>`),
		"a marker of what is clear":  `<marker id="p">` + many(50_000, `<rect width="9" height="9" fill="none"/>`) + `</marker><path d="M0 0` + many(5000, "h1v1") + `" marker-mid="url(#p)"/>`,
		"moves that draw nothing":    `<path id="p" stroke="red" d="` + many(200_000, "M0 0") + `"/>` + many(2000, `<use href="#p"/>`),
	} {
		_, err := Import(context.Background(), strings.NewReader(page100(svg)), Options{MaxSegments: 100_000})
		var ours *Error
		if !errors.As(err, &ours) || ours.ID != ErrWork && ours.ID != ErrComplex && ours.ID != ErrTooMany {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestBudget_CountsTheTextOfAttributes(t *testing.T) {
	if testing.Short() {
		t.Skip("reads 128 MiB")
	}
	svg := `<g id="g" style="` + strings.Repeat("fill:red;", 6000) + `"><rect/></g>` + strings.Repeat(`<use href="#g"/>`, 20_000)
	var ours *Error
	if _, err := Import(context.Background(), strings.NewReader(page100(svg)), Options{}); !errors.As(err, &ours) || ours.ID != ErrWork {
		t.Error(err)
	}
}

// What paints nothing is not read at all.
func TestBudget_IsNotChargedForWhatPaintsNothing(t *testing.T) {
	probe(t, "no paint", `<defs><path id="p" fill="none" d="M0 0`+strings.Repeat("h1v1", 20_000)+`"/></defs>`+strings.Repeat(`<use href="#p"/>`, 2000)+`<rect width="9" height="9" fill="red"/>`, "5,5=#ff0000")
}

// Dashes that lie over each other many times are a solid line, and told: a pen
// 200 wide with dashes of 1 had taken half a minute and 1.3 GiB.
func TestBudget_CrowdedDashesAreSolid(t *testing.T) {
	const bend = `<path transform="scale(.03)" d="M0 0C4000 0 -1000 3000 3000 3000S0 0 3000 0 0 3000 1500 1500" fill="none" stroke="red" stroke-width="200" stroke-linecap="round" `
	probe(t, "crowded", bend+`stroke-dasharray="1"/>`, "45,45=#ff0000", WarnDashes)
	probe(t, "a ruler", `<path d="M0 50H100" stroke="red" stroke-width="10" stroke-dasharray=".1 .4"/>`, "50.05,50=#ff0000 50.2,50=-")
}
