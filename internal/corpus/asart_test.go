package corpus

import (
	"fmt"
	"strconv"
	"strings"

	"abut/geometry"
	"abut/internal/job"
	"abut/internal/svgimport"
)

// asArt writes what an import made of a picture as SVG again, in the plainest
// words there are: filled paths, clip paths, groups with an opacity. A renderer
// that draws it like the original confirms the import.
func asArt(res *svgimport.Result) []byte {
	w := artWriter{ids: map[*job.Clip]string{}}
	c := res.Canvas
	fmt.Fprintf(&w.out, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="%s %s %s %s">`, number(c.Min.X), number(c.Min.Y), number(c.Width()), number(c.Height()))
	for i := 0; i < len(res.Layers); {
		first := res.Layers[i]
		j := i + 1
		top := first.Alpha
		for ; first.Group != 0 && j < len(res.Layers) && res.Layers[j].Group == first.Group; j++ {
			top = max(top, res.Layers[j].Alpha)
		}
		// A layer is one area however its shapes overlap, so its opacity is that
		// of a group, too.
		fmt.Fprintf(&w.out, `<g opacity="%s">`, number(top))
		for _, l := range res.Layers[i:j] {
			fmt.Fprintf(&w.out, `<g fill="%s" opacity="%s">`, l.Colour, number(l.Alpha/top))
			for _, s := range l.Content.(job.Outlines).Shapes {
				w.shape(s, "fill-rule")
			}
			w.out.WriteString(`</g>`)
		}
		w.out.WriteString(`</g>`)
		i = j
	}
	w.out.WriteString(`</svg>`)
	return []byte(w.out.String())
}

type artWriter struct {
	out   strings.Builder
	ids   map[*job.Clip]string
	count int
}

// shape writes a shape in one group for each of its clips.
func (w *artWriter) shape(s job.Shape, rule string) {
	ids := make([]string, len(s.Clips))
	for i, c := range s.Clips {
		ids[i] = w.clip(c)
	}
	for _, id := range ids {
		fmt.Fprintf(&w.out, `<g%s>`, clipOf(id))
	}
	w.path(s, rule, "")
	for range s.Clips {
		w.out.WriteString(`</g>`)
	}
}

func (w *artWriter) path(s job.Shape, rule, more string) {
	value := "nonzero"
	if s.Rule == geometry.EvenOdd {
		value = "evenodd"
	}
	fmt.Fprintf(&w.out, `<path %s="%s"%s d="%s"/>`, rule, value, more, pathData(s.Path))
}

// clip writes a clip path and returns its id.
func (w *artWriter) clip(c *job.Clip) string {
	id := w.ids[c]
	if id == "" {
		id = w.clipWithin(c, "")
		w.ids[c] = id
	}
	return id
}

// clipWithin writes a clip path that is itself clipped by the one with the id
// outer. That is how several clips on one of its shapes are said.
func (w *artWriter) clipWithin(c *job.Clip, outer string) string {
	chains := make([]string, len(c.Shapes))
	for i, s := range c.Shapes {
		for _, k := range s.Clips {
			if chains[i] == "" {
				chains[i] = w.clip(k)
			} else {
				chains[i] = w.clipWithin(k, chains[i])
			}
		}
	}
	w.count++
	id := fmt.Sprintf("c%d", w.count)
	fmt.Fprintf(&w.out, `<clipPath id="%s"%s>`, id, clipOf(outer))
	for i, s := range c.Shapes {
		w.path(s, "clip-rule", clipOf(chains[i]))
	}
	w.out.WriteString(`</clipPath>`)
	return id
}

func clipOf(id string) string {
	if id == "" {
		return ""
	}
	return fmt.Sprintf(` clip-path="url(#%s)"`, id)
}

func number(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

func pathData(p geometry.Path) string {
	var b strings.Builder
	put := func(cmd string, ps ...geometry.Point) {
		b.WriteString(cmd)
		for _, q := range ps {
			b.WriteString(number(q.X) + " " + number(q.Y) + " ")
		}
	}
	for _, c := range p {
		put("M", c.Start)
		for _, s := range c.Segments {
			if s.Cubic {
				put("C", s.C1, s.C2, s.End)
			} else {
				put("L", s.End)
			}
		}
		if c.Closed {
			b.WriteString("Z")
		}
	}
	return b.String()
}
