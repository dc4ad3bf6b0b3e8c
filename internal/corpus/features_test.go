package corpus

import (
	"strings"
	"testing"

	"abut/internal/oracle"
	"abut/internal/svgimport"
)

// feature is a picture of one thing. Where resvg does not support it or has a
// mistake, librsvg is the judge; where neither supports it, same says the same
// in older words.
type feature struct {
	name, root, inner string
	same              string
	second            bool
	told              string // the only thing that is told of it
}

func TestFeatures_ComeInAsTheyAreDrawn(t *testing.T) {
	if testing.Short() {
		t.Skip("needs the renderers: ./run test brings them")
	}
	r := oracle.StartRenderer(t)
	for _, f := range features {
		t.Run(f.name, func(t *testing.T) {
			root := f.root
			if root == "" {
				root = `viewBox="0 0 100 100"`
			}
			page := func(inner string) []byte {
				return []byte(`<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" ` + root + `>` + inner + `</svg>`)
			}
			art := f.inner
			if f.same != "" {
				art = f.same
			}
			a := bringIn(r, page(f.inner), page(art))
			switch {
			case a.err != nil:
				t.Error(a.err)
			case strings.Join(a.warnings, " ") != f.told:
				t.Errorf("warnings %v", a.warnings)
			case a.off <= maxOff && f.second:
				t.Error("resvg draws it as we do by now: no exception is needed")
			case a.off > maxOff && !(f.second && a.explained):
				t.Errorf("%.2f %% of the pixels are off for resvg, %.2f %% for librsvg", 100*a.off, 100*a.second)
			}
		})
	}
}

const square = `<rect width="40" height="40" fill="red"/>`

// clipped is a red rectangle of 80 × 60 at 10, 10 with a clip.
func clipped(by string) string {
	return `<rect width="80" height="60" x="10" y="10" fill="red" style="clip-path:` + by + `"/>`
}

func clippedBy(shape string) string {
	return `<clipPath id="c">` + shape + `</clipPath>` + clipped("url(#c)")
}

var features = []feature{
	{name: "root transform", root: `viewBox="0 0 100 100" transform="translate(20 10) rotate(20)"`, inner: square},
	// resvg moves it inside the viewBox; SVG 2, 8.2 says outside.
	{name: "root transform with a size", root: `width="200" height="100" viewBox="0 0 100 100" transform="scale(.5)"`, inner: square, second: true},
	{name: "root opacity", root: `viewBox="0 0 100 100" opacity=".5"`, inner: square + `<rect x="20" width="40" height="50"/>`},
	{name: "root clip", root: `viewBox="0 0 100 100" clip-path="url(#c)"`, inner: `<clipPath id="c"><circle r="30"/></clipPath>` + square},
	{name: "root clip in its box", root: `viewBox="0 0 100 100" clip-path="url(#c)"`, inner: `<clipPath id="c" clipPathUnits="objectBoundingBox"><rect width=".5" height=".6"/></clipPath>` + square},
	{name: "root mask", root: `viewBox="0 0 100 100" mask="url(#c)"`, inner: `<mask id="c"><circle r="30" fill="#fff"/></mask>` + square},
	{name: "geometry in a sheet", second: true, inner: `<style>circle{cx:50px;cy:40px;r:20px}rect{x:5px;y:70px;width:60px;height:20px;rx:9px}ellipse{cx:80px;cy:80px;rx:10px;ry:15px}</style><circle fill="red"/><rect/><ellipse fill="blue"/>`},
	{name: "geometry in a style", second: true, inner: `<circle style="r:20px;cx:20%;cy:50%" fill="red"/><rect width="1" height="1" style="width:50px;height:20px"/>`},
	{name: "geometry without a unit", inner: `<circle style="r:20" r="30" cx="50" cy="50" fill="red"/>`, same: `<circle r="30" cx="50" cy="50" fill="red"/>`, told: svgimport.WarnValue},
	{name: "path in a sheet", inner: `<path d="M0 0H90V90z" style="d:path('M10 10H90V90z')" fill="red"/>`, same: `<path d="M10 10H90V90z" fill="red"/>`},
	{name: "circle()", inner: clipped(`circle(30px at 40px 40px)`), same: clippedBy(`<circle cx="50" cy="50" r="30"/>`)},
	{name: "circle() of no radius", inner: clipped(`circle()`), same: clippedBy(`<circle cx="50" cy="40" r="30"/>`)},
	{name: "circle() of a share", inner: clipped(`circle(40% at right 10px bottom 20%)`), same: clippedBy(`<circle cx="80" cy="58" r="28.284271"/>`)},
	{name: "circle() to the far side", inner: clipped(`circle(farthest-side at left center)`), same: clippedBy(`<circle cx="10" cy="40" r="80"/>`)},
	{name: "ellipse()", inner: clipped(`ellipse(20px 30% at 25% 50%)`), same: clippedBy(`<ellipse cx="30" cy="40" rx="20" ry="18"/>`)},
	{name: "inset()", inner: clipped(`inset(10px 20% 5px 10px)`), same: clippedBy(`<rect x="20" y="20" width="54" height="45"/>`)},
	{name: "inset() round", inner: clipped(`inset(5px round 10px)`), same: clippedBy(`<rect x="15" y="15" width="70" height="50" rx="10"/>`)},
	{name: "inset() round at corners", inner: clipped(`inset(0 round 20px 0 30px 10px / 20px 0 10px 10px)`), same: clippedBy(`<path d="M10 30A20 20 0 0 1 30 10H90V60A30 10 0 0 1 60 70H20A10 10 0 0 1 10 60z"/>`)},
	{name: "inset() round too much", inner: clipped(`inset(0 round 100px)`), same: clippedBy(`<rect x="10" y="10" width="80" height="60" rx="30"/>`)},
	{name: "polygon()", inner: clipped(`polygon(0 0, 100% 0, 50% 100%)`), same: clippedBy(`<path d="M10 10H90L50 70z"/>`)},
	{name: "polygon() even-odd", inner: clipped(`polygon(evenodd, 0 0, 80px 0, 80px 60px, 0 60px, 0 0, 10px 10px, 70px 10px, 70px 50px, 10px 50px, 10px 10px)`), same: clippedBy(`<path clip-rule="evenodd" d="M10 10h80v60h-80zM20 20h60v40h-60z"/>`)},
	{name: "path()", inner: clipped(`path('M0 0H40V40z')`), same: clippedBy(`<path d="M10 10H50V50z"/>`)},
	{name: "shape in the view box", inner: clipped(`circle(50%) view-box`), same: clippedBy(`<circle cx="50" cy="50" r="50"/>`)},
	{name: "shape in the stroke's box", inner: `<rect width="40" height="40" x="20" y="20" fill="red" stroke="blue" stroke-width="20" clip-path="inset(5px)"/>`, same: `<clipPath id="c"><rect x="15" y="15" width="50" height="50"/></clipPath><rect width="40" height="40" x="20" y="20" fill="red" stroke="blue" stroke-width="20" clip-path="url(#c)"/>`},
	{name: "shape in the fill's box", inner: `<rect width="40" height="40" x="20" y="20" fill="red" stroke="blue" stroke-width="20" clip-path="fill-box circle()"/>`, same: `<clipPath id="c"><circle cx="40" cy="40" r="20"/></clipPath><rect width="40" height="40" x="20" y="20" fill="red" stroke="blue" stroke-width="20" clip-path="url(#c)"/>`},
	{name: "a box alone", inner: `<rect width="40" height="40" x="20" y="20" fill="red" stroke="blue" stroke-width="20" clip-path="fill-box"/>`, same: `<clipPath id="c"><rect x="20" y="20" width="40" height="40"/></clipPath><rect width="40" height="40" x="20" y="20" fill="red" stroke="blue" stroke-width="20" clip-path="url(#c)"/>`},
	// resvg draws nothing of it.
	{name: "far to the sides", second: true, inner: `<rect x="-1e7" y="40" width="2e7" height="20" fill="red"/><path d="M50 -9e6L9e6 9e6H-9e6z" fill="blue" opacity=".5"/>`},
	{name: "transform-origin", inner: `<rect x="20" y="30" width="40" height="20" fill="red" transform="rotate(30)" transform-origin="50 50"/>`, same: `<rect x="20" y="30" width="40" height="20" fill="red" transform="rotate(30 50 50)"/>`},
	{name: "transform-origin in a sheet", inner: `<style>rect{transform-origin:center;transform:rotate(30deg)}</style><rect x="20" y="30" width="40" height="20" fill="red"/>`, same: `<rect x="20" y="30" width="40" height="20" fill="red" transform="rotate(30 50 50)"/>`},
	{name: "transform-origin in its box", inner: `<rect x="20" y="30" width="40" height="20" fill="red" style="transform:rotate(30deg);transform-box:fill-box;transform-origin:right bottom"/>`, same: `<rect x="20" y="30" width="40" height="20" fill="red" transform="rotate(30 60 50)"/>`},
}
