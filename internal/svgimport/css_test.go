package svgimport

import (
	"fmt"
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/job"
)

// Each picture is one rect with id r, classes a and b, in a group g of class k,
// in a group with id outer; what colours it is in question.
func TestCSS_Cascade(t *testing.T) {
	for name, c := range map[string][3]string{
		"default":                 {``, ``, "#000000"},
		"attribute":               {``, `fill="#010000"`, "#010000"},
		"type":                    {`rect{fill:#010000}`, ``, "#010000"},
		"class":                   {`.a{fill:#010000}`, ``, "#010000"},
		"id":                      {`#r{fill:#010000}`, ``, "#010000"},
		"universal":               {`*{fill:#010000}`, ``, "#010000"},
		"rule beats attribute":    {`*{fill:#010000}`, `fill="blue"`, "#010000"},
		"style beats rule":        {`#r{fill:red}`, `style="fill:#010000"`, "#010000"},
		"important beats style":   {`rect{fill:#010000!important}`, `style="fill:red"`, "#010000"},
		"important style wins":    {`rect{fill:red!important}`, `style="fill:#010000 ! important"`, "#010000"},
		"class beats type":        {`.a{fill:#010000} rect{fill:red}`, ``, "#010000"},
		"id beats classes":        {`#r{fill:#010000} .a.b{fill:red}`, ``, "#010000"},
		"two classes":             {`.a.b{fill:#010000} .b{fill:red}`, ``, "#010000"},
		"later wins":              {`.a{fill:red} .b{fill:#010000}`, ``, "#010000"},
		"list":                    {`circle, .b , path{fill:#010000}`, ``, "#010000"},
		"descendant":              {`#outer rect{fill:#010000} rect{fill:red}`, ``, "#010000"},
		"child":                   {`.k>rect{fill:#010000}`, ``, "#010000"},
		"child only":              {`rect{fill:#010000} #outer>rect{fill:red}`, ``, "#010000"},
		"chain":                   {`svg #outer > .k rect.a{fill:#010000}`, ``, "#010000"},
		"sibling":                 {`desc + rect{fill:#010000}`, ``, "#010000"},
		"later sibling":           {`desc ~ rect{fill:#010000}`, ``, "#010000"},
		"attribute there":         {`[id]{fill:#010000}`, ``, "#010000"},
		"attribute equal":         {`rect[id="r"]{fill:#010000}`, ``, "#010000"},
		"attribute word":          {`[class~=b]{fill:#010000} [class~=c]{fill:red}`, ``, "#010000"},
		"attribute prefix":        {`[class^="a"][class$='b'][class*=" "]{fill:#010000}`, ``, "#010000"},
		"last child":              {`rect:last-child{fill:#010000} rect:first-child{fill:red}`, ``, "#010000"},
		"inherited":               {`.k{fill:#010000}`, ``, "#010000"},
		"inherit":                 {`.k{fill:#010000} rect{fill:inherit}`, `fill="red"`, "#010000"},
		"initial":                 {`.k{fill:red} rect{fill:initial}`, ``, "#000000"},
		"unset":                   {`.k{fill:#010000} rect{fill:unset}`, `fill="red"`, "#010000"},
		"current colour":          {`.k{color:red} rect{color:#010000;fill:currentColor}`, ``, "#010000"},
		"current colour from far": {`#outer{color:#010000}`, `fill="currentColor"`, "#010000"},
		"current is a keyword":    {`.k{fill:currentColor;color:red}`, `color="#010000"`, "#010000"},
		"comments":                {`/* a{} */ rect/**/{/* x */fill:/**/#010000;/* y;} */}`, ``, "#010000"},
		"cdata like":              {`<!-- rect{fill:#010000} -->`, ``, "#010000"},
		"broken value":            {`rect{fill:#010000} .a{fill:nonsense}`, ``, "#010000"},
		"broken declaration":      {`rect{what;fill:#010000;:;a:b}`, ``, "#010000"},
		"media":                   {`@media screen{rect{fill:#010000}} @media print{rect{fill:red}}`, ``, "#010000"},
		"media in media":          {`@media screen{@media (min-width:9px){rect{fill:#010000}} @media print{rect{fill:red}}}`, ``, "#010000"},
		"supports":                {`@supports (fill:red) and (not (fill:nonsense)){rect{fill:#010000}} @supports not (fill:red){rect{fill:red}}`, ``, "#010000"},
		"mixture of current":      {`.k{fill:color-mix(in srgb,currentColor,black);color:red} rect{color:#020000}`, ``, "#010000"},
		"font face":               {`@font-face{font-family:x;src:url(y)} rect{fill:#010000}`, ``, "#010000"},
		"charset":                 {`@charset "utf-8"; rect{fill:#010000}`, ``, "#010000"},
		"functions":               {`rect{fill:rgb(1 0 0 / 100%)}`, ``, "#010000"},
		"in the attribute":        {``, `style="fill:rgb(1,0,0);stroke:none"`, "#010000"},
		"upper case":              {`rect{FILL:#010000}`, ``, "#010000"},
		"escaped in style":        {``, `style="-x-note:'a;fill:red';fill:#010000"`, "#010000"},
		"nested block":            {`rect{fill:#010000;.a{fill:red;fill:lime;.b{fill:blue}}fill:red}`, ``, "#010000"},
		"after a nested block":    {`rect{.a{fill:red;stroke:blue};fill:#010000}`, ``, "#010000"},
		"no brace at the end":     {`rect{fill:#010000`, ``, "#010000"},
		"icc":                     {``, `fill="#010000 icc-color(x, 1, 2)"`, "#010000"},
	} {
		svg := page100(`<style><![CDATA[` + c[0] + `]]></style><g id="outer"><g class="k"><desc/><rect id="r" class="a b" width="9" height="9" ` + c[1] + `/></g></g>`)
		res := read(t, svg)
		if got := at(res, geometry.Pt(5, 5)); got != c[2] {
			t.Errorf("%s: %s instead of %s", name, got, c[2])
		}
		told := map[string]string{"broken declaration": WarnProperty, "nested block": WarnProperty, "after a nested block": WarnProperty, "broken value": WarnValue}[name]
		if got := ids(res.Warnings); got != told {
			t.Errorf("%s: %s, want %s", name, got, told)
		}
	}
	probe(t, "not understood", `<style>rect::before{fill:red} rect{fill:#010000}</style><rect width="9" height="9"/>`, "5,5=#010000", WarnStyleSheet)
	probe(t, "import", `<style>@import url("http://example.org/x.css"); rect{fill:#010000}</style><rect width="9" height="9"/>`, "5,5=#010000", WarnExternal)
	probe(t, "other language", `<style type="text/x">rect{fill:red}</style><rect width="9" height="9"/>`, "5,5=#000000", WarnStyleSheet)
}

// Every property works as attribute, in a rule, in a style attribute, and
// with inherit.
func TestCSS_StrokeProperties(t *testing.T) {
	const line = `d="M10 50h40v-30" fill="none"`
	probes := map[string]string{
		"stroke:red;stroke-width:10":                                          "30,54=#ff0000 54,54=#ff0000 7,50=- 30,56=-",
		"stroke:red;stroke-width:10;stroke-linejoin:round":                    "54.5,54.5=- 53,53=#ff0000",
		"stroke:red;stroke-width:10;stroke-linejoin:bevel":                    "53,53=- 52,52=#ff0000",
		"stroke:red;stroke-width:10;stroke-miterlimit:1":                      "53,53=-",
		"stroke:red;stroke-width:10;stroke-miterlimit:0":                      "54,54=#ff0000",
		"stroke:red;stroke-width:10;stroke-linecap:square":                    "6,46=#ff0000",
		"stroke:red;stroke-width:10;stroke-linecap:round":                     "6,50=#ff0000 6,46=-",
		"stroke:red;stroke-width:10;stroke-dasharray:10":                      "15,50=#ff0000 25,50=- 35,50=#ff0000",
		"stroke:red;stroke-width:10;stroke-dasharray:10;stroke-dashoffset:10": "15,50=- 25,50=#ff0000",
		"stroke:red;stroke-width:10;stroke-dasharray:10 -5":                   "25,50=#ff0000",
		"stroke:red;stroke-width:10;stroke-dasharray:none":                    "25,50=#ff0000",
		"stroke:red;stroke-width:10%":                                         "30,54=#ff0000 30,56=-",
		"stroke:red;stroke-width:1em;font-size:10px":                          "30,54=#ff0000 30,56=-",
		"stroke:red;stroke-width:-3":                                          "30,50.4=#ff0000 30,51=-",
		"stroke:red;stroke-width:0":                                           "",
		"stroke:none;stroke-width:10":                                         "",
		"stroke:red;stroke-opacity:.5;stroke-width:10":                        "30,54=#ff0000/0.5",
	}
	for decls, want := range probes {
		var told []string
		if strings.HasSuffix(decls, "-5") || strings.HasSuffix(decls, "-3") || strings.HasSuffix(decls, "miterlimit:0") {
			told = []string{WarnValue}
		}
		var attrs strings.Builder
		for _, d := range strings.Split(decls, ";") {
			n, v, _ := strings.Cut(d, ":")
			fmt.Fprintf(&attrs, ` %s="%s"`, n, v)
		}
		probe(t, "attribute "+decls, `<path `+line+attrs.String()+`/>`, want, told...)
		probe(t, "style "+decls, `<path `+line+` style="`+decls+`"/>`, want, told...)
		probe(t, "rule "+decls, `<style>path{`+decls+`}</style><path `+line+`/>`, want, told...)
		if !strings.Contains(decls, "em;") {
			probe(t, "inherited "+decls, `<g style="`+decls+`"><path `+line+`/></g>`, want, told...)
		}
	}
	probe(t, "transform property", `<rect style="transform:translate(20px,30px) rotate(90deg)" width="9" height="9" fill="red"/>`, "15,35=#ff0000")
	probe(t, "display by rule", `<style>.x{display:none}</style><rect class="x" width="9" height="9"/><rect x="20" width="9" height="9" fill="red"/>`, "5,5=- 25,5=#ff0000")
}

func TestPlainStyle_AgreesWithTheTokens(t *testing.T) {
	for _, s := range []string{"", ";", "fill:red", " fill : red ; stroke:#123;;", "a:b!important;c: d ! important", "nonsense", "x:", ":y", "FILL:Red"} {
		a, b := plainStyle(s), declarations(cssTokens(s))
		if fmt.Sprint(a) != fmt.Sprint(b) {
			t.Errorf("%q: %v and %v", s, a, b)
		}
	}
}

// ids lists the ids of warnings.
func ids(list []job.Warning) string {
	var out []string
	for _, w := range list {
		out = append(out, w.ID)
	}
	return strings.Join(out, " ")
}
