package svgimport

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"abut/geometry"
	"abut/internal/job"
	"abut/internal/watched"
)

// hangs is when reading counts as without end: only what hangs takes as long, on
// the slowest machine.
const hangs = 5 * time.Minute

// mostAllocated is how many bytes an import may ask for in all: what the limits
// of a file allow, not what its author wished for.
const mostAllocated = 1 << 30

// Whatever comes in, an import ends soon, in a typed error or in layers that
// the rest can rely on, and asks for little memory.
func FuzzImport(f *testing.F) {
	for _, s := range []string{
		page100(`<rect width="9" height="9"/>`), "", "<svg", "<svg/>",
		page100(`<style>.a>b,#c{fill:red!important}</style><g class="a" transform="rotate(3)"><use href="#c"/><path id="c" d="M0 0h9v9z" stroke="#123" stroke-dasharray="3 4"/></g>`),
		page100(`<clipPath id="a" clipPathUnits="objectBoundingBox"><circle r=".5"/></clipPath><mask id="m"><rect width="9" height="9" fill="#fff"/></mask><g clip-path="url(#a)" mask="url(#m)"><circle r="9"/></g>`),
		page100(`<linearGradient id="g"><stop stop-color="red"/><stop offset="1"/></linearGradient><pattern id="p" width="1" height="1"><rect width="2" height="2"/></pattern><path d="M0 0h9v9z" fill="url(#g)" stroke="url(#p)"/>`),
		page100(`<marker id="m" orient="auto"><rect width="1" height="1"/></marker><path d="M0 0h9a3 3 0 019 9z" marker-mid="url(#m)" opacity=".3"/>`),
		page100(`<symbol id="s" viewBox="0 0 1 1"><rect width="1" height="1"/></symbol><use href="#s" width="50%" height="5"/><svg x="1em" width="5" height="5" viewBox="0 0 1 2"><rect width="1" height="1"/></svg>`),
		`<!DOCTYPE svg [<!ENTITY a "b">]><svg xmlns="http://www.w3.org/2000/svg"><desc>&a;</desc><rect width="1e30" height="NaN"/></svg>`,
		page100(`<rect style="clip-path:inset(1px 2% round 3px/4px) fill-box;x:1px;width:5px;height:6em;transform:rotate(3deg);transform-origin:right 2px bottom 10%" height="9"/><circle r="9" clip-path="ellipse(closest-side 3px at left)"/><path clip-path="polygon(evenodd,0 0,1em 2%,3px 4px)" style="d:path('M0 0h9v9')" stroke="red" stroke-dasharray="0 3 1" transform-box="fill-box"/>`),
		`<svg xmlns="http://www.w3.org/2000/svg" width="3in" height="9" viewBox="1 2 3 4" transform="skewX(3)" clip-path="circle()"><g id="Beak"><rect x="-1e8" width="2e8" height="9"/></g></svg>`,
		bomb(3, `<rect width="9" height="9"/>`),
		page100(`<defs><g id="k"><circle r="9"/></g></defs><clipPath id="c" clipPathUnits="objectBoundingBox" transform="scale(.5)"><use href="#k"/><g/></clipPath><g clip-path="url(#c)" opacity="0"><rect width="9" height="9" visibility="hidden"/></g><path d="M0 9h9" stroke="url(#p)" mask="url(#m)"/><pattern id="p" width="1" height="1"><image/></pattern><mask id="m" mask="url(#m)"><rect width="9" height="9" fill="#fff"/></mask>`),
		page100(`<style>@supports (fill:lab(50% 40 20)) and (not (glitter:1)){path{fill:color-mix(in oklch longer hue,currentColor 30%,oklch(none .2 30/.5))}}@media (300px<=width<80em){path{stroke:color(xyz-d50 .1 2 3)}}</style><path d="M0 0h9v9z"/>`),
		page100(`<image width="50" height="20" preserveAspectRatio="xMinYMid slice" href="data:image/svg+xml,%3Csvg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 9 9'%3E%3Cstyle%3Epath{fill:red}%3C/style%3E%3Cpath d='M0 0h9v9z'/%3E%3C/svg%3E"/>`),
		page100(`<pattern id="h" width=".2" height=".3"><circle r="2"/></pattern><pattern id="g" width="20" height="20" patternUnits="userSpaceOnUse"><rect width="15" height="9" fill="url(#h)"/></pattern><rect width="50" height="50" fill="url(#g)"/>`),
		page100(`<style media="print">@layer a{g{fill:red}} @media (color),print{path{--a:var(--b,3px);stroke-width:var(--a)}}</style><path d="M0 0h9v9" pathLength="3" stroke="context-stroke" stroke-dasharray="1" vector-effect="non-scaling-stroke" paint-order="markers" style="translate:3px;rotate:3deg;scale:2 1;background:red"/>`),
		page100(`<text font-size="9" rotate="3deg" textLength="9" style="text-transform:capitalize">ab<tspan opacity="0" textLength="3">c<blob/></tspan></text><radialGradient id="g" r=".3" fr=".3"><stop offset="5px"/><stop offset=".2" stop-color="red icc-color(a)"/></radialGradient><rect width="9" height="9" fill="url(#g) rgba(1%,2,3)"/>`),
		page100(`<linearGradient id="g" spreadMethod="reflect" x2=".3"><stop offset=".5" stop-color="red"/><stop offset=".5" stop-opacity=".3"/></linearGradient><radialGradient id="r" href="#g" fx=".4" fr=".1" gradientTransform="rotate(9)"/><rect width="50" height="50" fill="url(#g)"/><circle r="50" fill="url(#r)" opacity=".5" clip-path="circle(9px)"/>`),
		page100(strings.Repeat(`<g id="Wing"><path d="M0 0h9v9z" stroke="red"/><circle cx="9" r="9" fill="blue" opacity=".5"/><rect y="5" width="9" height="9" fill="lime"/></g><rect x="7" width="5" height="90"/>`, 20)),
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		ctx, cancel := context.WithTimeout(context.Background(), hangs)
		defer cancel()
		before := watched.Allocated()
		res, err := Import(ctx, strings.NewReader(s), Options{MaxLeaves: 1000, MaxSegments: 1 << 18})
		if n := watched.Allocated() - before; n > mostAllocated {
			t.Fatalf("%d bytes asked for", n)
		}
		if err != nil {
			var e *Error
			if !errors.As(err, &e) || e.ID == "" {
				t.Fatalf("error of another kind: %v", err)
			}
			return
		}
		if len(res.Layers) == 0 || res.Canvas.Empty() {
			t.Fatalf("nothing, and no error: %+v", res)
		}
		for _, l := range res.Layers {
			if !(l.Alpha > 0 && l.Alpha <= 1) || l.Name == "" {
				t.Fatalf("layer %+v", l)
			}
			for _, s := range l.Content.(job.Outlines).Shapes {
				checkShape(t, s)
			}
		}
		// Gradients can be cut into bands, and those are sound, too.
		j := job.Job{Items: []job.Item{{ID: 1, Placement: geometry.Identity(), Layers: res.Layers}}}
		banded, err := job.SetBands(j, j.LayerIDs(), 3)
		if err != nil {
			t.Fatal(err)
		}
		for _, l := range banded.Items[0].Layers {
			if !(l.Alpha > 0 && l.Alpha <= 1) {
				t.Fatalf("band %+v", l)
			}
			for _, s := range l.Content.(job.Outlines).Shapes {
				checkShape(t, s)
			}
		}
		for _, w := range res.Warnings {
			if w.ID == "" || w.ID != WarnMore && (w.Line == 0 || w.Element == "") {
				t.Fatalf("warning %+v", w)
			}
		}
	})
}

func checkShape(t *testing.T, s job.Shape) {
	if !s.Path.Finite() || len(s.Path) == 0 {
		t.Fatalf("path %v", s.Path)
	}
	for _, c := range s.Clips {
		for _, k := range c.Shapes {
			checkShape(t, k)
		}
	}
}

// Path data never panics; printing what was read and reading it again is the
// same path.
func FuzzPathData(f *testing.F) {
	for _, s := range []string{"", "M0 0L1 1z", "m1 2h3v4H5V6c1 2 3 4 5 6s1 2 3 4q1 2 3 4t5 6a1 2 3 014 5zm1 1", "M1e9-1e-9.5.5", "M0 0A1e-300 1e300 7 1 0 1 1", "M0,0,,1"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, d string) {
		p, _ := parsePath(d, nil)
		if !within(p, 1e6) || !p.Finite() {
			return
		}
		again, err := parsePath(text(p), nil)
		if err != nil && len(p) > 0 {
			t.Fatalf("%q became %q: %v", d, text(p), err)
		}
		if a, b := text(again), text(p); a != b {
			t.Fatalf("%q: %q became %q", d, b, a)
		}
		for _, e := range p {
			edges(e)
		}
	})
}

// A transform that is read has six numbers; applied to itself it is the list
// written twice.
func FuzzTransform(f *testing.F) {
	for _, s := range []string{"", "matrix(1 2 3 4 5 6)", "translate(1)rotate(45,1,2),scale(2)", "skewX(1e1)skewY(.5turn)", "rotate(", "scale(1e400)"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		m, ok := parseTransform(s)
		if !ok {
			if m != geometry.Identity() {
				t.Fatalf("%q failed but moves: %v", s, m)
			}
			return
		}
		if strings.TrimSpace(s) == "none" || !m.Finite() {
			return
		}
		twice, ok := parseTransform(s + " " + s)
		if !ok {
			t.Fatalf("%q is read, twice in a row is not", s)
		}
		want := m.Mul(m)
		if d := math.Abs(twice.A-want.A) + math.Abs(twice.F-want.F); want.Finite() && d > 1e-6*(math.Abs(want.A)+math.Abs(want.F)+1) && twice.Finite() {
			t.Fatalf("%q: %v twice is %v, not %v", s, m, twice, want)
		}
	})
}

// Style sheets never panic and never make an element match without its key.
func FuzzCSS(f *testing.F) {
	for _, s := range []string{"", "a{b:c}", ".a>b+c~d e[f=g]:root,#h{i:j!important;k:url(l;m)}", "@media all{a{b:c}}", "@import 'x';", "a{b:c", "}}{{", "a{b:\"c;}", "/*", "[a|=b][c^='d']{}"} {
		f.Add(s)
	}
	root := &node{name: "svg", id: "root"}
	n := &node{name: "rect", id: "r", parent: root, attrs: []attr{{"class", "a b"}}, line: 1}
	root.children = []*node{n}
	f.Fuzz(func(t *testing.T, s string) {
		var sheet styleSheet
		sheet.addSheet(s)
		for _, r := range sheet.matching(n) {
			last := r.selector.parts[len(r.selector.parts)-1]
			if last.typ != "" && last.typ != "rect" || last.id != "" && last.id != "r" {
				t.Fatalf("%q matches %+v", s, last)
			}
		}
		st := initialStyle()
		for _, d := range append(parseStyle(s), sheet.cascade(n)...) {
			if d.property != nil {
				st.set(d, initialStyle())
			}
		}
		if !(st.own.opacity >= 0 && st.own.opacity <= 1) || !(st.miterLimit >= 1) || !(st.strokeWidth.v >= 0) {
			t.Fatalf("%q gives %+v", s, st)
		}
	})
}

// Whatever is written, putting variables in ends, within the length that a value
// may have, and leaves none of them.
func FuzzVariables(f *testing.F) {
	for _, s := range []string{"red", "var(--a)", "var(--a, var(--b, blue))", "var(--c)", "a var(--b) var(--b) var(", "var(--d,)"} {
		f.Add(s, "red", "var(--a)", "var(--c) var(--c)")
	}
	f.Fuzz(func(t *testing.T, v, a, b, c string) {
		budget := maxSubstitutions
		out, ok := substitute(v, map[string]string{"--a": a, "--b": b, "--c": c, "--d": ""}, &budget)
		if ok && (strings.Contains(out, "var(") || len(out) > maxValue) {
			t.Fatalf("%q became %q", v, out)
		}
	})
}

// A list of media says the same with white space around it, and one with another
// medium that applies applies too.
func FuzzMedia(f *testing.F) {
	for _, s := range []string{"", "screen", "print", "only screen and (color)", "not print, tv", "(min-width: 3px)", "(3px<=width<9em) and (not (hover))"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, list string) {
		a, known := onScreen(list)
		if b, k := onScreen(" " + list + " "); a != b || known != k {
			t.Fatalf("%q: %v %v, with spaces %v %v", list, a, known, b, k)
		}
		if b, _ := onScreen("screen," + list); !b {
			t.Fatalf("screen or %q does not apply", list)
		}
	})
}
