package svgimport

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/job"
)

// covers reports whether a shape covers a point, clips and all: the slow,
// obvious way.
func covers(s job.Shape, p geometry.Point) bool {
	if !s.Rule.Encloses(winding(s.Path.Flatten(1e-3), p)) {
		return false
	}
	for _, c := range s.Clips {
		hit := false
		for _, k := range c.Shapes {
			hit = hit || covers(k, p)
		}
		if !hit {
			return false
		}
	}
	return true
}

// at says what is on top at a place: the colour, with its opacity when below
// 1, or a dash where there is nothing.
func at(r *Result, p geometry.Point) string {
	for i := len(r.Layers) - 1; i >= 0; i-- {
		l := r.Layers[i]
		for _, s := range l.Content.(job.Outlines).Shapes {
			if covers(s, p) {
				if l.Alpha < 1 {
					return fmt.Sprintf("%s/%.4g", l.Colour, l.Alpha)
				}
				return l.Colour.String()
			}
		}
	}
	return "-"
}

// probe checks places of a picture of 100 × 100 units: "x,y=colour …". An
// empty list stands for a picture with nothing in it.
func probe(t *testing.T, name, inner, probes string, warnings ...string) {
	t.Helper()
	res, err := Import(context.Background(), strings.NewReader(page100(inner)), Options{})
	if err != nil {
		if probes != "" {
			t.Errorf("%s: %v", name, err)
		}
		return
	}
	if probes == "" {
		t.Errorf("%s: something is drawn: %s", name, layerNames(res))
	}
	for _, f := range strings.Fields(probes) {
		var x, y float64
		place, want, _ := strings.Cut(f, "=")
		if _, err := fmt.Sscanf(place, "%g,%g", &x, &y); err != nil {
			t.Fatal(place, err)
		}
		if got := at(res, geometry.Pt(x, y)); got != want {
			t.Errorf("%s: at %s got %s, want %s", name, place, got, want)
		}
	}
	var ids []string
	for _, w := range res.Warnings {
		ids = append(ids, w.ID)
	}
	if fmt.Sprint(ids) != fmt.Sprint(warnings) {
		t.Errorf("%s: warnings %v, want %v", name, ids, warnings)
	}
}

func TestDraw_Shapes(t *testing.T) {
	for name, c := range map[string][2]string{
		"rect":             {`<rect x="10" y="20" width="30" height="40" fill="red"/>`, "11,21=#ff0000 39,59=#ff0000 9,21=- 41,59=-"},
		"rect percent":     {`<rect x="10%" y="20%" width="30%" height="40%" fill="red"/>`, "11,21=#ff0000 39,59=#ff0000 9,21=- 41,59=-"},
		"rect units":       {`<rect width="1in" height="10mm" fill="red"/>`, "95,37=#ff0000 97,37=- 95,39=-"},
		"rounded":          {`<rect width="40" height="40" rx="20" fill="red"/>`, "20,1=#ff0000 3,3=- 7,7=#ff0000"},
		"rounded one way":  {`<rect width="40" height="40" rx="20" ry="4" fill="red"/>`, "3,3=#ff0000 1,1=-"},
		"radius too large": {`<rect width="40" height="40" ry="500" fill="red"/>`, "20,1=#ff0000 3,3=-"},
		"radius negative":  {`<rect width="40" height="40" rx="-5" fill="red"/>`, "1,1=#ff0000"},
		"one negative":     {`<rect width="40" height="40" rx="-5" ry="20" fill="red"/>`, "20,1=#ff0000 3,3=- 7,7=#ff0000"},
		"other negative":   {`<rect width="40" height="40" rx="20" ry="-5" fill="red"/>`, "20,1=#ff0000 3,3=- 7,7=#ff0000"},
		"one radius 0":     {`<rect width="40" height="40" rx="0" ry="20" fill="red"/>`, "1,1=#ff0000"},
		"no width":         {`<rect height="40" fill="red"/>`, ""},
		"circle":           {`<circle cx="50" cy="50" r="20" fill="red"/>`, "50,31=#ff0000 36,36=#ff0000 35,35=-"},
		"circle r 0":       {`<circle cx="50" cy="50" r="0" fill="red"/>`, ""},
		"circle percent":   {`<circle cx="50%" cy="50%" r="20%" fill="red"/>`, "50,31=#ff0000 36,36=#ff0000 35,35=-"},
		"ellipse":          {`<ellipse cx="50" cy="50" rx="20" ry="10" fill="red"/>`, "31,50=#ff0000 50,41=#ff0000 50,39=-"},
		"ellipse negative": {`<ellipse cx="50" cy="50" rx="-5" ry="20" fill="red"/>`, "31,50=#ff0000 50,31=#ff0000 35,35=-"},
		"ellipse flat":     {`<ellipse cx="50" cy="50" rx="20" ry="0" fill="red"/><ellipse cx="50" cy="50" fill="red"/>`, ""},
		"ellipse auto":     {`<ellipse cx="50" cy="50" rx="20" ry="auto" fill="red"/>`, "50,31=#ff0000"},
		"line":             {`<line x1="10" y1="10" x2="90" y2="10" stroke="red" stroke-width="4" fill="blue"/>`, "50,9=#ff0000 50,13=-"},
		"polyline":         {`<polyline points="10,10 90,10 90,90" fill="red" stroke="blue"/>`, "80,20=#ff0000 50,10=#0000ff 50,50=#ff0000 40,60=-"},
		"polygon":          {`<polygon points="10 10 90 10 90 90" fill="none" stroke="blue"/>`, "50,50=#0000ff 80,20=-"},
		"defs not drawn":   {`<defs><rect width="9" height="9"/></defs><symbol><rect width="9" height="9"/></symbol><clipPath><rect width="9" height="9"/></clipPath>`, ""},
		"unknown element":  {`<blob><rect width="9" height="9"/></blob>`, ""},
		"foreign elements": {`<x:rect xmlns:x="http://example.org/x" width="9" height="9"><rect width="9" height="9"/></x:rect>`, ""},
		"order":            {`<rect width="50" height="50" fill="red"/><rect width="20" height="20" fill="blue"/>`, "10,10=#0000ff 30,30=#ff0000"},
		"stroke over fill": {`<rect x="20" y="20" width="50" height="50" fill="red" stroke="blue" stroke-width="10"/>`, "22,22=#0000ff 18,18=#0000ff 30,30=#ff0000"},
		"paint order":      {`<rect x="20" y="20" width="50" height="50" fill="red" stroke="blue" stroke-width="10" paint-order="stroke"/>`, "22,22=#ff0000 18,18=#0000ff"},
		"hidden":           {`<rect width="9" height="9" visibility="hidden"/><g display="none"><rect width="9" height="9"/></g>`, ""},
		"hidden group":     {`<g visibility="hidden"><rect width="9" height="9" visibility="visible" fill="red"/></g>`, "5,5=#ff0000"},
		"switch": {`<switch><rect systemLanguage="xx" width="9" height="9"/><rect systemLanguage="de, en-GB" width="9" height="9" fill="red"/>
			<rect width="9" height="9"/></switch>`, "5,5=#ff0000"},
		"switch past what is not drawn": {`<switch><title>Name</title><desc>What</desc><defs><rect id="d"/></defs><style/><foreignObject/>
			<rect requiredExtensions="http://example.org/x" width="9" height="9"/><rect requiredExtensions=" " width="9" height="9" fill="red"/><rect width="9" height="9"/></switch>`, "5,5=#ff0000"},
		"switch in English":  {`<switch><rect systemLanguage="" width="9" height="9"/><rect systemLanguage="english" width="9" height="9"/><rect systemLanguage="EN" width="9" height="9" fill="red"/></switch>`, "5,5=#ff0000"},
		"switch without any": {`<switch><rect systemLanguage="de" width="9" height="9"/></switch>`, ""},
		"scaled to nothing":  {`<rect width="9" height="9" transform="scale(0 1)"/>`, ""},
		"one curve":          {`<path d="M10 10C10 60 60 60 60 10" fill="red"/>`, "35,20=#ff0000 35,45=#ff0000 35,49=- 35,9=-"},
		"points":             {`<path d="M5 5" fill="red"/><path d="M9 9z" fill="red"/><path d="M0 0h9M5 5" fill="red"/>`, ""},
		"two points":         {`<polygon points="1 1 9 9" fill="red"/><polyline points="5 5" stroke="red"/>`, ""},
		"width in no unit":   {`<rect width="9parsec" height="9" fill="red"/><rect width="9" height="9px" x="50" fill="red"/>`, "5,5=- 55,5=#ff0000"},
		"many points":        {`<polygon points="0 0 ` + strings.Repeat("9 0 9 9 ", 2000) + `0 9" fill="red"/>`, "5,5=#ff0000"},
		"path of no data":    {`<path fill="red"/><path d="" fill="red"/>`, ""},
		"path by style":      {`<path d="M50 50h9v9z" style="d:path('M0 0H9V9H0Z')" fill="red"/><path d="M20 0H29V9H20Z" style="d:none" fill="red"/><path d="M40 0H49V9H40Z" style="d:nonsense" fill="red"/>`, "5,5=#ff0000 55,52=- 25,5=- 45,5=#ff0000"},
		"size by style":      {`<rect width="5" height="5" style="width:9px;x:-2px;y:1em;font-size:10px" fill="red"/><rect x="50" width="9" height="9" style="width:5;height:-3px" fill="red"/>`, "1,11=#ff0000 1,9=- 6,11=#ff0000 8,11=- 57,7=#ff0000"},
		"place by style":     {`<circle style="cx:-2px;cy:-3px;r:9px" fill="red"/><rect style="x:20px;y:-5px;width:9px;height:9px" fill="red"/><circle cx="50" cy="50" r="5" style="r:-3px" fill="red"/>`, "1,1=#ff0000 6,1=#ff0000 8,1=- 1,5=#ff0000 1,7=- 25,3=#ff0000 25,5=- 54,50=#ff0000"},
		"link":               {`<a href="http://example.org"><rect width="9" height="9" fill="red"/></a>`, "5,5=#ff0000"},
	} {
		told := map[string][]string{
			"other negative": {WarnValue}, "one negative": {WarnValue}, "radius negative": {WarnValue}, "ellipse negative": {WarnValue}, "width in no unit": {WarnValue},
			"path by style": {WarnValue}, "place by style": {WarnValue}, "size by style": {WarnValue, WarnValue},
		}[name]
		probe(t, name, c[0], c[1], told...)
	}
	probe(t, "odd points", `<polygon points="10 10 90 10 90 90 5" fill="red"/>`, "80,20=#ff0000", WarnPathData)
}

// SVG 2, 11.3 (fill-rule): the star and the rings, areas recomputed in closed
// form.
func TestDraw_FillRules(t *testing.T) {
	for _, c := range []struct {
		d                string
		nonzero, evenodd float64
		tolerance        float64
	}{
		{"M 250,75 L 323,301 131,161 369,161 177,301 z", 17523.2308548, 12108.4617097, 1},
		{ring(107, 1) + ring(49, 1), 35968.0943, 28425.1303, 0.1},
		{ring(107, 1) + ring(49, 0), 28425.1303, 28425.1303, 0.1},
	} {
		for rule, want := range map[string]float64{"nonzero": c.nonzero, "evenodd": c.evenodd} {
			svg := `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1200 400"><path fill-rule="` + rule + `" d="` + c.d + `"/></svg>`
			s := only(t, svg)
			near(t, rule+" "+c.d[:12], fillArea(s.Path, s.Rule), want, c.tolerance)
		}
	}
}

func ring(r float64, sweep int) string {
	return fmt.Sprintf("M%g 200a%g %g 0 1 %d %g 0a%g %g 0 1 %d %g 0z", 300-r, r, r, sweep, 2*r, r, r, sweep, -2*r)
}

func TestDraw_Use(t *testing.T) {
	const sq = `<rect id="s" width="10" height="10"/>`
	for name, c := range map[string][2]string{
		"use":                {`<defs>` + sq + `</defs><use href="#s" x="30" y="40" fill="red"/>`, "35,45=#ff0000 5,5=-"},
		"xlink":              {`<defs>` + sq + `</defs><use xlink:href="#s" transform="scale(2)" x="10" fill="red"/>`, "21,1=#ff0000 39,19=#ff0000 41,1=-"},
		"both hrefs":         {`<defs>` + sq + `</defs><use xlink:href="#none" href="#s" fill="red"/>`, "5,5=#ff0000"},
		"own paint stays":    {`<defs><rect id="s" width="10" height="10" fill="blue"/></defs><use href="#s" fill="red"/>`, "5,5=#0000ff"},
		"use of a group":     {`<defs><g id="g" transform="translate(5)">` + sq + `</g></defs><use href="#g" fill="red"/>`, "14,5=#ff0000 4,5=-"},
		"use of use":         {`<defs>` + sq + `<use id="u" href="#s" x="20"/></defs><use href="#u" y="20" fill="red"/>`, "25,25=#ff0000"},
		"used before":        {`<use href="#s" fill="red"/><defs>` + sq + `</defs>`, "5,5=#ff0000"},
		"used where drawn":   {`<g fill="blue">` + sq + `</g><use href="#s" x="50" fill="red"/>`, "5,5=#0000ff 55,5=#ff0000"},
		"symbol":             {`<symbol id="y" viewBox="0 0 10 10"><rect width="20" height="5" fill="red"/></symbol><use href="#y" x="10" y="10" width="40" height="40"/>`, "11,11=#ff0000 49,29=#ff0000 51,11=- 49,31=-"},
		"symbol overflow":    {`<symbol id="y" viewBox="0 0 10 10" overflow="visible"><rect width="20" height="5" fill="red"/></symbol><use href="#y" x="10" y="10" width="40" height="40"/>`, "51,11=#ff0000 89,11=#ff0000"},
		"symbol without box": {`<symbol id="y"><rect width="20" height="5" fill="red"/></symbol><use href="#y" x="10" y="10"/>`, "11,11=#ff0000 29,14=#ff0000"},
		"svg used":           {`<defs><svg id="v" width="10" height="10" viewBox="0 0 5 5"><rect width="9" height="5" fill="red"/></svg></defs><use href="#v" width="20" height="20"/>`, "19,19=#ff0000 21,1=-"},
		"symbol moved":       {`<symbol id="y" transform="translate(20 0)"><rect width="9" height="9" fill="red"/></symbol><use href="#y"/>`, "25,5=#ff0000 5,5=-"},
		"symbol clipped":     {`<clipPath id="c"><rect width="5" height="9"/></clipPath><symbol id="y" clip-path="url(#c)"><rect width="9" height="9" fill="red"/></symbol><use href="#y"/>`, "4,5=#ff0000 6,5=-"},
		"symbol hidden":      {`<symbol id="y" display="none"><rect width="9" height="9" fill="red"/></symbol><use href="#y"/>`, ""},
		"symbol faded":       {`<symbol id="y" opacity=".5"><rect width="9" height="9" fill="red"/></symbol><use href="#y"/>`, "5,5=#ff0000/0.5"},
		"svg clipped":        {`<clipPath id="c"><rect width="5" height="9"/></clipPath><defs><svg id="v" clip-path="url(#c)" opacity=".5"><rect width="9" height="9" fill="red"/></svg></defs><use href="#v"/>`, "4,5=#ff0000/0.5 6,5=-"},
		"svg hidden":         {`<defs><svg id="v" display="none"><rect width="9" height="9" fill="red"/></svg></defs><use href="#v"/>`, ""},
		"of nothing":         {`<use href="#"/><use/><rect width="9" height="9" fill="red"/>`, "5,5=#ff0000"},
		"class on the copy":  {`<style>.k{fill:red}</style><defs>` + sq + `</defs><use class="k" href="#s"/>`, "5,5=#ff0000"},
	} {
		probe(t, name, c[0], c[1])
	}
	probe(t, "a transform that makes no sense", `<symbol id="y" transform="turn(3)"><rect width="9" height="9" fill="red"/></symbol><use href="#y"/>`, "5,5=#ff0000", WarnTransform)
	if res := read(t, page100(`<symbol id="Buoy"><rect width="9" height="9"/></symbol><use href="#Buoy"/><rect x="50" width="9" height="9"/>`)); layerNames(res) != "Buoy, Black" || fmt.Sprint(res.Layers[0].Folders) != "[Buoy]" {
		t.Errorf("%s in %v", layerNames(res), res.Layers[0].Folders)
	}
	probe(t, "missing", sq+`<use href="#nothing"/>`, "5,5=#000000", WarnMissing)
	probe(t, "external", sq+`<use href="other.svg#s"/>`, "5,5=#000000", WarnExternal)
}

func TestDraw_NestedViewports(t *testing.T) {
	const art = `<rect width="60" height="5" fill="red"/>`
	for name, c := range map[string][2]string{
		"clipped":     {`<svg x="10" y="10" width="40" height="40">` + art + `</svg>`, "11,11=#ff0000 49,11=#ff0000 51,11=-"},
		"visible":     {`<svg x="10" y="10" width="40" height="40" overflow="visible">` + art + `</svg>`, "51,11=#ff0000"},
		"viewBox":     {`<svg x="10" y="10" width="40" height="20" viewBox="0 0 10 10">` + art + `</svg>`, "21,11=#ff0000 39,19=#ff0000 49,11=#ff0000 19,11=-"},
		"slice":       {`<svg width="40" height="20" viewBox="0 0 10 10" preserveAspectRatio="xMinYMin slice">` + art + `</svg>`, "1,19=#ff0000 41,1=- 1,21=-"},
		"none":        {`<svg width="40" height="20" viewBox="0 0 10 10" preserveAspectRatio="none">` + art + `</svg>`, "1,9=#ff0000 1,11=-"},
		"percentages": {`<svg width="50%" height="50%"><rect width="50%" height="100%" fill="red"/></svg>`, "24,49=#ff0000 26,1=-"},
		"no size":     {`<svg width="0" height="40">` + art + `</svg>`, ""},
	} {
		probe(t, name, c[0], c[1])
	}
}

func TestDraw_Clips(t *testing.T) {
	const big = `<rect width="100" height="100" fill="red" clip-path="url(#c)"/>`
	for name, c := range map[string][2]string{
		"clip":             {`<clipPath id="c"><circle cx="50" cy="50" r="20"/></clipPath>` + big, "50,50=#ff0000 20,50=-"},
		"two shapes":       {`<clipPath id="c"><rect width="10" height="10"/><rect x="50" width="10" height="10"/></clipPath>` + big, "5,5=#ff0000 55,5=#ff0000 30,5=-"},
		"clip rule":        {`<clipPath id="c"><path clip-rule="evenodd" d="M0 0h40v40h-40zM10 10h20v20h-20z"/></clipPath>` + big, "5,5=#ff0000 20,20=-"},
		"fill rule is not": {`<clipPath id="c"><path fill-rule="evenodd" d="M0 0h40v40h-40zM10 10h20v20h-20z"/></clipPath>` + big, "20,20=#ff0000"},
		"inherited rule":   {`<clipPath id="c" clip-rule="evenodd"><path d="M0 0h40v40h-40zM10 10h20v20h-20z"/></clipPath>` + big, "20,20=-"},
		"transforms":       {`<clipPath id="c" transform="translate(20)"><rect transform="translate(0 30)" width="10" height="10"/></clipPath>` + big, "25,35=#ff0000 5,5=- 25,5=-"},
		"moves along":      {`<clipPath id="c"><rect width="10" height="10"/></clipPath><g transform="translate(40 40)">` + big + `</g>`, "45,45=#ff0000 5,5=- 55,45=-"},
		"box units":        {`<clipPath id="c" clipPathUnits="objectBoundingBox"><rect width=".5" height=".5"/></clipPath><rect x="20" y="20" width="40" height="40" fill="red" clip-path="url(#c)"/>`, "39,39=#ff0000 41,39=-"},
		"box of a group":   {`<clipPath id="c" clipPathUnits="objectBoundingBox"><rect width=".5" height=".5"/></clipPath><g clip-path="url(#c)" fill="red"><rect x="20" y="20" width="10" height="10"/><rect x="30" y="30" width="50" height="50"/></g>`, "49,49=#ff0000 51,49=-"},
		"use in it":        {`<defs><rect id="r" width="10" height="10"/></defs><clipPath id="c"><use href="#r" x="30" y="30"/></clipPath>` + big, "35,35=#ff0000 5,5=-"},
		"clip on clip":     {`<clipPath id="d"><rect width="20" height="100"/></clipPath><clipPath id="c" clip-path="url(#d)"><rect width="100" height="20"/></clipPath>` + big, "10,10=#ff0000 30,10=- 10,30=-"},
		"clip on a child":  {`<clipPath id="d"><rect width="20" height="100"/></clipPath><clipPath id="c"><rect width="100" height="20" clip-path="url(#d)"/><rect y="50" width="100" height="9"/></clipPath>` + big, "10,10=#ff0000 30,10=- 90,55=#ff0000"},
		"nested groups":    {`<clipPath id="d"><rect width="20" height="100"/></clipPath><clipPath id="c"><rect width="100" height="20"/></clipPath><g clip-path="url(#d)">` + big + `</g>`, "10,10=#ff0000 30,10=- 10,30=-"},
		"empty":            {`<clipPath id="c"/>` + big, ""},
		"hidden child":     {`<clipPath id="c"><rect width="50" height="50" display="none"/><rect width="10" height="10"/></clipPath>` + big, "5,5=#ff0000 30,30=-"},
		"none":             {`<clipPath id="c"/><rect width="100" height="100" fill="red" clip-path="none"/>`, "5,5=#ff0000"},
		"by style":         {`<style>rect{clip-path:url("#c")}</style><clipPath id="c"><circle cx="50" cy="50" r="20"/></clipPath><rect width="100" height="100" fill="red"/>`, "50,50=#ff0000 20,50=-"},
		"stroke clipped":   {`<clipPath id="c"><rect width="100" height="50"/></clipPath><path d="M0 50h100" stroke="red" stroke-width="20" clip-path="url(#c)"/>`, "50,45=#ff0000 50,55=-"},
	} {
		probe(t, name, c[0], c[1])
	}
	for name, c := range map[string][2]string{
		"use":              {`<defs><rect id="s" width="10" height="10"/></defs><clipPath id="c"><use href="#s" x="20" y="10%"/></clipPath>` + big, "21,11=#ff0000 29,19=#ff0000 19,15=- 31,15=- 25,9=- 25,21=-"},
		"lines and points": {`<clipPath id="c"><path d="M0 0L90 90" stroke="red"/><rect x="60" width="10" height="10"/></clipPath>` + big, "5,5=- 65,5=#ff0000"},
		"a clipped child":  {`<clipPath id="d"><rect width="5" height="9"/></clipPath><clipPath id="c"><rect width="9" height="9" clip-path="url(#d)"/></clipPath>` + big, "4,5=#ff0000 6,5=-"},
		"moved":            {`<clipPath id="c" transform="translate(50 0)"><rect width="9" height="9" transform="translate(0 50)"/></clipPath>` + big, "55,55=#ff0000 5,5=- 55,5=- 5,55=-"},
		"nothing in a box": {`<clipPath id="c" clipPathUnits="objectBoundingBox"><rect width="1" height="1"/></clipPath><g clip-path="url(#c)"/><rect width="9" height="9" fill="red"/>`, "5,5=#ff0000"},
	} {
		probe(t, name, c[0], c[1])
	}
	// A group clips nothing by the standard: what is hidden by that is told, and
	// can be shown.
	for name, c := range map[string][2]string{
		"a group":        {`<clipPath id="c"><g><rect width="10" height="10"/></g></clipPath>` + big, "5,5=- 50,50=-"},
		"what is hidden": {`<clipPath id="c"><rect width="10" height="10" display="none"/><rect x="20" width="10" height="10" visibility="hidden"/><g><rect x="40" width="10" height="10"/></g><rect x="60" width="10" height="10"/></clipPath>` + big, "5,5=- 25,5=- 45,5=- 65,5=#ff0000"},
		"use of a use":   {`<defs><rect id="s" width="10" height="10"/><use id="u" href="#s"/></defs><clipPath id="c"><use href="#u"/><rect x="50" width="9" height="9"/></clipPath>` + big, "5,5=- 55,5=#ff0000"},
	} {
		probe(t, name, c[0], c[1], WarnClipGroup)
		res := read(t, page100(c[0]))
		if has, ignored := job.HasDoubtfulClip(res.Layers[0]); !has || ignored {
			t.Errorf("%s: nothing to choose", name)
		}
	}
	probe(t, "missing", big, "5,5=#ff0000", WarnMissing)
	probe(t, "itself", `<clipPath id="c"><rect width="10" height="10" clip-path="url(#c)"/></clipPath>`+big, "5,5=#ff0000 15,15=-", WarnRecursive)
	probe(t, "transforms that make no sense", `<clipPath id="c" transform="turn(3)"><rect width="10" height="10" transform="scale(x)"/></clipPath>`+big, "5,5=#ff0000 15,15=-", WarnTransform, WarnTransform)
	probe(t, "out of range", `<clipPath id="c"><rect width="10" height="10" transform="scale(1e9)"/><rect width="5" height="5"/></clipPath>`+big, "4,4=#ff0000 6,6=-", WarnRange)
}

// Clips that cut nothing off are not kept, those that do are shared.
func TestDraw_ClipsOnlyWhereNeeded(t *testing.T) {
	ss := shapes(read(t, page100(`<clipPath id="c"><rect x="10" y="10" width="50" height="50"/></clipPath><g clip-path="url(#c)">
		<rect x="20" y="20" width="9" height="9"/><rect x="20" y="20" width="90" height="9"/><circle cx="60" cy="60" r="9"/><rect x="70" y="70" width="9" height="9"/></g>
		<rect x="90" width="20" height="9"/>`)))
	if len(ss) != 4 {
		t.Fatalf("%d shapes", len(ss))
	}
	for i, want := range []int{0, 2, 1, 1} {
		if len(ss[i].Clips) != want {
			t.Errorf("shape %d: %d clips, want %d", i, len(ss[i].Clips), want)
		}
	}
	if ss[1].Clips[1] != ss[2].Clips[0] {
		t.Error("the clip is not shared")
	}
}

func TestDraw_Masks(t *testing.T) {
	const big = `<rect width="100" height="100" fill="red" mask="url(#m)"/>`
	for name, c := range map[string][2]string{
		"white":           {`<mask id="m"><rect width="30" height="30" fill="#fff"/></mask>` + big, "20,20=#ff0000 40,40=-"},
		"white and black": {`<mask id="m"><rect width="90" height="90" fill="#fff"/><circle cx="40" cy="40" r="20"/></mask>` + big, "5,5=#ff0000 40,40=- 95,95=-"},
		"white on black":  {`<mask id="m"><rect width="90" height="90" fill="#fff"/><circle cx="40" cy="40" r="20"/><circle cx="40" cy="40" r="5" fill="#fff"/></mask>` + big, "5,5=#ff0000 30,40=- 40,40=#ff0000"},
		"box content":     {`<mask id="m" maskContentUnits="objectBoundingBox"><rect width=".5" height=".5" fill="#fff"/></mask>` + big, "49,49=#ff0000 51,49=-"},
		"region":          {`<mask id="m" maskUnits="userSpaceOnUse" x="0" y="0" width="20" height="20"><rect width="100" height="100" fill="#fff"/></mask>` + big, "19,19=#ff0000 21,19=-"},
		"alpha":           {`<mask id="m" mask-type="alpha"><rect width="30" height="30"/></mask>` + big, "20,20=#ff0000 40,40=-"},
		"ring":            {`<mask id="m"><rect width="90" height="90" fill="#fff"/><path fill-rule="evenodd" d="M10 10H80V80H10ZM30 30H60V60H30Z"/></mask>` + big, "5,5=#ff0000 20,20=- 45,45=#ff0000"},
		"clipped black":   {`<clipPath id="c"><rect width="40" height="90"/></clipPath><mask id="m"><rect width="90" height="90" fill="#fff"/><circle cx="40" cy="40" r="20" clip-path="url(#c)"/></mask>` + big, "30,40=- 50,40=#ff0000 10,40=#ff0000"},
		"clipped itself":  {`<clipPath id="c"><rect width="20" height="90"/></clipPath><mask id="m" clip-path="url(#c)"><rect width="30" height="30" fill="#fff"/></mask>` + big, "10,20=#ff0000 25,20=-"},
		"black alone":     {`<mask id="m"><rect width="30" height="30"/></mask>` + big, ""},
		"box of nothing":  {`<mask id="m"><rect width="30" height="30" fill="#fff"/></mask><g mask="url(#m)"/><rect width="9" height="9" fill="red"/>`, "5,5=#ff0000"},
		"region of a box": {`<mask id="m" x="0" y="0" width=".5" height="20%"><rect width="100" height="100" fill="#fff"/></mask><rect x="10" y="20" width="40" height="50" fill="red" mask="url(#m)"/>`, "11,21=#ff0000 29,29=#ff0000 31,21=- 11,31=-"},
		"usual region":    {`<mask id="m"><rect width="100" height="100" fill="#fff"/></mask><rect x="20" y="20" width="40" height="40" fill="red" stroke="red" stroke-width="20" mask="url(#m)"/>`, "17,40=#ff0000 15,40=- 63,40=#ff0000 65,40=- 40,17=#ff0000 40,15=-"},
		"moves along":     {`<mask id="m"><rect width="30" height="30" fill="#fff"/></mask><g transform="translate(50)">` + big + `</g>`, "60,20=#ff0000 20,20=- 90,20=-"},
	} {
		probe(t, name, c[0], c[1])
	}
	probe(t, "grey", `<mask id="m"><rect width="30" height="30" fill="#ddd"/><rect x="50" width="30" height="30" fill="#333"/></mask>`+big, "20,20=#ff0000 60,20=-", WarnMask)
	probe(t, "missing", big, "5,5=#ff0000", WarnMissing)
	probe(t, "itself", `<mask id="m"><rect width="30" height="30" fill="#fff" mask="url(#m)"/></mask>`+big, "20,20=#ff0000 40,40=-", WarnRecursive)
	probe(t, "nearly as dark as light", `<mask id="m"><rect width="90" height="90" fill="#fff"/><rect width="30" height="30" fill="#666" opacity=".8"/><rect x="50" width="30" height="30" fill="#444" opacity=".8"/></mask>`+big, "10,10=#ff0000 60,10=- 40,10=#ff0000", WarnMask)
	probe(t, "several contours", `<mask id="m"><rect width="90" height="90" fill="#fff"/><path d="M10 10H30V30H10ZM50 10H70V30H50Z"/></mask>`+big, "5,5=#ff0000 20,20=- 60,20=- 40,20=#ff0000", WarnMask)
	probe(t, "a corner on a side", `<mask id="m"><rect width="90" height="90" fill="#fff"/><path d="M10 10H20H30V30H10Z"/></mask>`+big, "5,5=#ff0000 20,20=- 40,20=#ff0000")
	probe(t, "black clipped by several", `<clipPath id="c"><rect width="30" height="90"/><rect x="60" width="30" height="90"/></clipPath><mask id="m"><rect width="90" height="90" fill="#fff"/><rect x="10" y="10" width="70" height="70" clip-path="url(#c)"/></mask>`+big, "5,5=#ff0000", WarnMask)
	probe(t, "a crossing outline", `<mask id="m"><rect width="90" height="90" fill="#fff"/><path d="M10 10L60 60H10L60 10Z"/></mask>`+big, "5,5=#ff0000 35,20=-", WarnMask)
}

func TestDraw_Opacity(t *testing.T) {
	for name, c := range map[string][2]string{
		"fill":          {`<rect width="9" height="9" fill="red" fill-opacity=".5"/>`, "5,5=#ff0000/0.5"},
		"percent":       {`<rect width="9" height="9" fill="red" fill-opacity="25%"/>`, "5,5=#ff0000/0.25"},
		"colour":        {`<rect width="9" height="9" fill="rgb(255 0 0 / 50%)" opacity=".5"/>`, "5,5=#ff0000/0.25"},
		"element":       {`<rect width="9" height="9" fill="red" opacity=".5"/>`, "5,5=#ff0000/0.5"},
		"not inherited": {`<g opacity=".5"><g><rect width="9" height="9" fill="red"/></g></g>`, "5,5=#ff0000/0.5"},
		"multiplied":    {`<g opacity=".5"><rect width="9" height="9" fill="red" opacity=".5"/></g>`, "5,5=#ff0000/0.25"},
		"none at all":   {`<rect width="9" height="9" opacity="0"/><rect width="9" height="9" fill-opacity="0"/>`, ""},
		"underflow":     {`<g opacity="1e-200"><rect width="9" height="9" opacity="1e-200"/></g>`, ""},
		"text":          {`<rect width="9" height="9" fill="red"/><text font-size="20" y="60" opacity="0">B<tspan opacity="1">C</tspan></text><text font-size="20" y="60"><tspan opacity="0">B<tspan>C</tspan></tspan></text>`, "5,5=#ff0000 5,55=-"},
		"symbol":        {`<symbol id="s" opacity="0"><rect width="50" height="50"/></symbol><use href="#s"/>`, ""},
		"marker":        {`<marker id="m" opacity="0" markerWidth="9" markerHeight="9"><rect width="9" height="9" fill="blue"/></marker><path d="M20 20h40" stroke="red" marker-end="url(#m)"/>`, "62,22=- 40,20=#ff0000"},
		"clamped":       {`<rect width="9" height="9" fill="red" opacity="7"/>`, "5,5=#ff0000"},
		"stroke":        {`<path d="M0 5h90" stroke="red" stroke-width="4" stroke-opacity=".5"/>`, "5,5=#ff0000/0.5"},
	} {
		probe(t, name, c[0], c[1])
	}
	if _, err := Import(context.Background(), strings.NewReader(`<svg viewBox="0 0 9 9" opacity="0"><rect width="9" height="9"/></svg>`), Options{}); err == nil {
		t.Error("a root that cannot be seen has layers")
	}
	two := `<g opacity=".5"><rect width="9" height="9" fill="red"/><rect x="5" width="9" height="9" fill="blue"/></g>`
	r := read(t, page100(two+two))
	g := func(i int) job.GroupID { return r.Layers[i].Group }
	if len(r.Layers) != 4 || g(0) == 0 || g(0) != g(1) || g(2) == 0 || g(2) != g(3) || g(0) == g(2) || r.Layers[1].Alpha != 0.5 {
		t.Errorf("groups %d %d %d %d of %d layers", g(0), g(1), g(2), g(3), len(r.Layers))
	}
	probe(t, "see-through in a group", `<g opacity=".5"><rect width="9" height="9" fill="red"/><rect width="9" height="9" fill="blue" opacity=".5"/></g>`,
		"5,5=#0000ff/0.25", WarnOpacity)
}

func TestDraw_Markers(t *testing.T) {
	mk := func(attrs string) string {
		return `<marker id="m" markerWidth="4" markerHeight="4" refX="2" refY="2" markerUnits="userSpaceOnUse" ` + attrs + `><rect width="4" height="2" fill="red"/></marker>`
	}
	for name, c := range map[string][2]string{
		"ends":            {mk("") + `<path d="M20 20h20h20" fill="none" marker-start="url(#m)" marker-end="url(#m)"/>`, "19,19=#ff0000 61,19=#ff0000 41,19=- 20,21=-"},
		"mid":             {mk("") + `<path d="M20 20h20h20" fill="none" marker-mid="url(#m)"/>`, "19,19=- 41,19=#ff0000"},
		"all":             {mk("") + `<polyline points="20,20 40,20 60,20" fill="none" style="marker:url(#m)"/>`, "19,19=#ff0000 41,19=#ff0000 61,19=#ff0000"},
		"auto":            {mk(`orient="auto"`) + `<path d="M20 20v40" fill="none" marker-end="url(#m)"/>`, "21,60=#ff0000 19,60=-"},
		"no width":        {`<marker id="m" markerWidth="0" markerHeight="4" refX="2" refY="2" markerUnits="userSpaceOnUse" overflow="visible"><rect width="4" height="2" fill="red"/></marker><path d="M20 20h40" fill="none" marker-end="url(#m)"/><rect width="9" height="9"/>`, "61,19=- 59,19=-"},
		"angle":           {mk(`orient="90"`) + `<path d="M20 20h40" fill="none" marker-end="url(#m)"/>`, "61,20=#ff0000 59,20=-"},
		"reverse":         {mk(`orient="auto-start-reverse"`) + `<path d="M20 20h40" fill="none" marker-start="url(#m)"/>`, "20,21=#ff0000 20,19=-"},
		"by width":        {`<marker id="m" refX="1" refY="1"><rect width="2" height="2" fill="red"/></marker><path d="M20 20h40" stroke-width="3" stroke="blue" marker-end="url(#m)"/>`, "62,22=#ff0000 58,18=#ff0000 64,20=-"},
		"viewBox":         {`<marker id="m" markerUnits="userSpaceOnUse" markerWidth="10" markerHeight="10" viewBox="0 0 2 2" refX="1" refY="1"><rect width="2" height="1" fill="red"/></marker><path d="M20 20h40" fill="none" marker-end="url(#m)"/>`, "56,16=#ff0000 64,19=#ff0000 60,21=-"},
		"context":         {`<marker id="m" markerUnits="userSpaceOnUse" refX="1" refY="1"><rect width="2" height="2" fill="context-stroke"/></marker><path d="M20 20h40" fill="none" stroke="blue" stroke-width=".1" marker-end="url(#m)"/>`, "60.5,20.5=#0000ff"},
		"not on rect":     {mk("") + `<rect x="20" y="20" width="9" height="9" marker-start="url(#m)"/>`, "19,19=-"},
		"angle in turns":  {mk(`orient=".25turn"`) + `<path d="M20 20h40" fill="none" marker-end="url(#m)"/>`, "61,20=#ff0000 59,20=-"},
		"no angle":        {mk(`orient="sideways"`) + `<path d="M20 20v40" fill="none" marker-end="url(#m)"/>`, "19,59=#ff0000 19,61=-"},
		"corners":         {mk(`orient="auto"`) + `<path d="M20 20h40v40" fill="none" marker-mid="url(#m)"/>`, "61,19=#ff0000 59,21=-"},
		"straight back":   {mk(`orient="auto"`) + `<path d="M20 20h40h-30" fill="none" marker-mid="url(#m)"/>`, "61,20=#ff0000 59,20=-"},
		"closed":          {mk("") + `<path d="M20 20h40v40z" fill="none" marker-start="url(#m)" marker-end="url(#m)"/>`, "19,19=#ff0000 61,19=- 61,59=-"},
		"a point":         {mk("") + `<path d="M20 20z" fill="none" marker-end="url(#m)"/>`, "19,19=#ff0000"},
		"a point, twice":  {mk(`fill-opacity=".5"`) + `<path d="M20 20z" fill="none" style="marker:url(#m)"/><path d="M60 60z" fill="none" marker-mid="url(#m)"/>`, "19,19=#ff0000/0.5 59,59=-"},
		"percentages":     {`<marker id="m" markerWidth="4%" markerHeight="8%" markerUnits="userSpaceOnUse" overflow="visible" refX="2%"><rect width="100%" height="50%" fill="red"/></marker><path d="M20 20h40" fill="none" marker-end="url(#m)"/>`, "58.5,23=#ff0000 61.5,21=#ff0000 62.5,21=- 60,25=-"},
		"cut to its size": {`<marker id="m" markerWidth="4" markerHeight="4" markerUnits="userSpaceOnUse"><rect width="40" height="40" fill="red"/></marker><path d="M20 20h40" fill="none" marker-end="url(#m)"/>`, "60.5,20.5=#ff0000 63.5,23.5=#ff0000 59.5,21=- 61,19.5=- 65,21=- 61,25=-"},
		"not cut":         {`<marker id="m" markerWidth="4" markerHeight="4" markerUnits="userSpaceOnUse" overflow="visible"><rect width="40" height="40" fill="red"/></marker><path d="M20 20h40" fill="none" marker-end="url(#m)"/>`, "65,21=#ff0000"},
		"of no size":      {`<marker id="m" markerWidth="0" markerHeight="4"><rect width="40" height="40" fill="red"/></marker><path d="M20 20h40v1" fill="blue" marker-end="url(#m)"/>`, "61,21=-"},
		"of a hidden one": {`<marker id="m" display="none"><rect width="40" height="40" fill="red"/></marker><path d="M20 20h40v1" fill="blue" marker-end="url(#m)"/>`, "61,21=-"},
		"by no width":     {`<marker id="m"><rect width="40" height="40" fill="red"/></marker><path d="M20 20h40v9z" fill="blue" stroke-width="0" marker-end="url(#m)"/>`, "20.5,21=- 50,22=#0000ff"},
		"filled in turn":  {`<marker id="m" markerUnits="userSpaceOnUse" refX="1" refY="1"><rect width="2" height="2" fill="context-fill"/></marker><path d="M20 20h40v9z" fill="lime" marker-end="url(#m)"/>`, "20.5,19.5=#00ff00"},
		"context of none": {`<rect width="9" height="9" fill="context-fill" stroke="context-stroke"/><rect x="50" width="9" height="9" fill="red"/>`, "5,5=- 55,5=#ff0000"},
		"faded":           {mk(`opacity=".5"`) + `<path d="M20 20h40" fill="none" marker-end="url(#m)"/>`, "59,19=#ff0000/0.5"},
		"not inside arcs": {mk("") + `<path d="M20 50a30 30 0 0 1 60 0" fill="none" marker-mid="url(#m)" stroke="blue" stroke-width=".1"/>`, "50,19=-"},
	} {
		probe(t, name, c[0], c[1])
	}
}

func TestDraw_MarkersThatAreNotThere(t *testing.T) {
	const line = `<path d="M20 20h40v9z" fill="lime" marker-end="url(#m)"/>`
	probe(t, "missing", line, "59,22=#00ff00", WarnMissing)
	probe(t, "no marker", `<rect id="m" width="9" height="9" fill="red"/>`+line, "59,22=#00ff00 61,21=-", WarnMissing)
	probe(t, "itself", `<marker id="m" markerUnits="userSpaceOnUse" overflow="visible">`+line+`</marker>`+line, "59,22=#00ff00 75,42=#00ff00", WarnRecursive)
}

// A group in a see-through group, and more: one group, each part as see-through as
// all that is around it.
func TestDraw_OpacityGroupsInGroups(t *testing.T) {
	res := read(t, page100(`<g opacity=".5"><g opacity=".5"><rect width="9" height="9" fill="red"/><rect x="20" width="9" height="9" fill="blue"/></g><rect x="50" width="9" height="9" fill="lime"/></g>`))
	var got []string
	groups := map[job.GroupID]bool{}
	for _, l := range res.Layers {
		got = append(got, fmt.Sprintf("%s/%g", l.Colour, l.Alpha))
		groups[l.Group] = true
	}
	if fmt.Sprint(got) != "[#ff0000/0.25 #0000ff/0.25 #00ff00/0.5]" || len(groups) != 1 || groups[0] {
		t.Errorf("%v in groups %v", got, groups)
	}
}

// The root may be moved, clipped, masked, faded and hidden like any group.
func TestDraw_TheRootIsAGroup(t *testing.T) {
	root := func(attrs, inner string) string {
		return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100" ` + attrs + `>` + inner + `<rect width="50" height="50" fill="red"/></svg>`
	}
	for name, c := range map[string]struct{ svg, probes string }{
		"plain":           {root(``, ``), "25,25=#ff0000 60,25=-"},
		"moved":           {root(`transform="translate(30 0)"`, ``), "60,25=#ff0000 25,25=-"},
		"moved by pixels": {root(`transform="translate(60 0)" width="200" height="200"`, ``), "60,25=#ff0000 25,25=-"},
		"clipped":         {root(`clip-path="url(#c)"`, `<clipPath id="c"><rect width="20" height="99"/></clipPath>`), "15,25=#ff0000 25,25=-"},
		"masked":          {root(`mask="url(#m)"`, `<mask id="m"><rect width="20" height="99" fill="#fff"/></mask>`), "15,25=#ff0000 25,25=-"},
		"faded":           {root(`opacity=".5"`, ``), "25,25=#ff0000/0.5"},
		"clipped to half": {root(`style="clip-path:inset(0 50% 0 0) view-box"`, `<rect x="60" width="9" height="9"/>`), "25,25=#ff0000 65,5=-"},
	} {
		res := read(t, c.svg)
		for _, f := range strings.Fields(c.probes) {
			var x, y float64
			place, want, _ := strings.Cut(f, "=")
			if _, err := fmt.Sscanf(place, "%g,%g", &x, &y); err != nil {
				t.Fatal(place, err)
			}
			if got := at(res, geometry.Pt(x, y)); got != want {
				t.Errorf("%s: at %s got %s, want %s", name, place, got, want)
			}
		}
		if len(res.Warnings) > 0 {
			t.Errorf("%s: %v", name, res.Warnings)
		}
	}
	for attrs, id := range map[string]string{`display="none"`: ErrHidden, `transform="scale(0)"`: ErrNothing, `transform="scale(1e300) scale(1e300)"`: ErrUnreadable} {
		_, err := Import(context.Background(), strings.NewReader(root(attrs, ``)), Options{})
		var e *Error
		if !errors.As(err, &e) || e.ID != id {
			t.Errorf("%s: %v", attrs, err)
		}
	}
	if res := read(t, root(`transform="turn(3)"`, ``)); len(res.Warnings) != 1 || res.Warnings[0].ID != WarnTransform || at(res, geometry.Pt(25, 25)) != "#ff0000" {
		t.Errorf("%v", res.Warnings)
	}
}

func TestDraw_OpacityGroupsThatAreExactAreNotWarnedAbout(t *testing.T) {
	const two = `<rect width="9" height="9" fill="red"/><rect x="5" width="9" height="9" fill="blue"/>`
	probe(t, "group in a group", `<g opacity=".5"><g opacity=".5">`+two+`</g></g>`, "7,5=#0000ff/0.25 2,5=#ff0000/0.25")
	probe(t, "apart", `<g opacity=".5">`+two+`<rect x="50" width="9" height="9" fill="lime" opacity=".5"/></g>`, "55,5=#00ff00/0.25")
	probe(t, "empty", `<g opacity=".5"></g>`+two, "7,5=#0000ff")
}
