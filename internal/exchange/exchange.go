// Package exchange puts layers into SVG text, for the clipboard. Any program
// that reads SVG gets their picture at its true size; our own gets the layers
// themselves, to the last bit, from data attributes of the root element.
package exchange

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"encoding/xml"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"abut/geometry"
	"abut/internal/abutfile"
	"abut/internal/colour"
	"abut/internal/job"
)

// The root's attributes: a job with the layers, and the SHA-256 of all that
// follows the root's start tag, so that a text that was changed by another
// program counts as what it shows and not as what it was.
const (
	attrJob = "data-abut-layers"
	attrSum = "data-abut-sum"
)

// ErrEmpty says that the layers draw nothing, so there is no picture.
var ErrEmpty = errors.New("the layers draw nothing")

// Write returns the layers of a job as SVG text, sizes in millimetres. drawn is
// the job with surrounds as outlines, as fit.Plan.Outlined returns it. Layers
// that are left out are kept for ourselves and not drawn.
func Write(j, drawn job.Job, ids []job.LayerID) (string, error) {
	only := job.Only(j, ids)
	var kept bytes.Buffer
	if err := abutfile.Write(&kept, abutfile.Document{Job: only}); err != nil {
		return "", err
	}
	bounds := job.BoundsOf(only, only.LayerIDs())
	if bounds.Empty() {
		return "", ErrEmpty
	}
	body := body(job.Only(drawn, only.LayerIDs()))
	sum := sha256.Sum256([]byte(body))
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="%s %s %s %s" %s="%s" %s="%s">`,
		number(bounds.Width()), number(bounds.Height()), number(bounds.Min.X), number(bounds.Min.Y), number(bounds.Width()), number(bounds.Height()),
		attrSum, hex.EncodeToString(sum[:]), attrJob, base64.StdEncoding.EncodeToString(kept.Bytes()))
	b.WriteString(body)
	return b.String(), nil
}

// Read returns the layers that Write put into a text; false for any other text,
// and for one that was changed since.
func Read(text string) (job.Job, bool) {
	d := xml.NewDecoder(strings.NewReader(text))
	for {
		t, err := d.Token()
		if err != nil {
			return job.Job{}, false
		}
		start, ok := t.(xml.StartElement)
		if !ok {
			continue
		}
		var kept, sum string
		for _, a := range start.Attr {
			switch a.Name.Local {
			case attrJob:
				kept = a.Value
			case attrSum:
				sum = a.Value
			}
		}
		rest := sha256.Sum256([]byte(text[d.InputOffset():]))
		if start.Name.Local != "svg" || kept == "" || sum != hex.EncodeToString(rest[:]) {
			return job.Job{}, false
		}
		b, err := base64.StdEncoding.DecodeString(kept)
		if err != nil {
			return job.Job{}, false
		}
		doc, err := abutfile.Read(bytes.NewReader(b))
		return doc.Job, err == nil && len(doc.Job.Items) > 0
	}
}

// body draws the layers, in board millimetres.
func body(j job.Job) string {
	w := &writer{clips: map[*job.Clip]string{}}
	for _, it := range j.Items {
		for _, l := range it.Layers {
			if l.Use != job.LeftOut {
				w.layer(l, it.Placement.Mul(l.Transform))
			}
		}
	}
	defs := ""
	if w.defs.Len() > 0 {
		defs = "<defs>\n" + w.defs.String() + "</defs>\n"
	}
	return "\n" + defs + w.art.String() + "</svg>\n"
}

type writer struct {
	defs, art strings.Builder
	// clips are the ids of those of the layer at hand that are defined.
	clips map[*job.Clip]string
	n     int
}

func (w *writer) layer(l job.Layer, m geometry.Affine) {
	clear(w.clips)
	c := l.Colour
	if l.Use == job.Bare {
		c = colour.White
	}
	opacity := ""
	if l.Alpha < 1 {
		opacity = fmt.Sprintf(` opacity="%s"`, number(l.Alpha))
	}
	fmt.Fprintf(&w.art, `<g fill="%s"%s>`, c, opacity)
	w.art.WriteString("<title>")
	_ = xml.EscapeText(&w.art, []byte(l.Name)) // a strings.Builder takes everything
	w.art.WriteString("</title>\n")
	for _, s := range job.Shapes(l.Content) {
		w.art.WriteString(w.shape(s, m, "fill-rule"))
	}
	w.art.WriteString("</g>\n")
}

// shape returns a path, in a group for every clip.
func (w *writer) shape(s job.Shape, m geometry.Affine, rule string) string {
	text := fmt.Sprintf(`<path %s="%s" d="%s"/>`, rule, s.Rule, data(s.Path.Transform(m)))
	for _, c := range s.Clips {
		text = fmt.Sprintf(`<g%s>%s</g>`, clippedBy(w.clip(c, m)), text)
	}
	return text + "\n"
}

// clip defines a clip and returns its id.
func (w *writer) clip(c *job.Clip, m geometry.Affine) string {
	if id, ok := w.clips[c]; ok {
		return id
	}
	id := w.define(c, "", m)
	w.clips[c] = id
	return id
}

// all returns the id of what several clips cover together: each is clipped by
// the ones before.
func (w *writer) all(list []*job.Clip, m geometry.Affine) string {
	id := w.clip(list[0], m)
	for _, c := range list[1:] {
		id = w.define(c, clippedBy(id), m)
	}
	return id
}

// define writes a clip with more attributes and returns its id. A shape of a
// clip that is clipped itself stands in a clip of its own: clipPath elements
// hold no groups.
func (w *writer) define(c *job.Clip, attr string, m geometry.Affine) string {
	w.n++
	id := "clip" + strconv.Itoa(w.n)
	var inner strings.Builder
	for _, s := range c.Shapes {
		own := ""
		if len(s.Clips) > 0 {
			own = clippedBy(w.all(s.Clips, m))
		}
		fmt.Fprintf(&inner, `<path clip-rule="%s"%s d="%s"/>`, s.Rule, own, data(s.Path.Transform(m)))
	}
	fmt.Fprintf(&w.defs, "<clipPath id=\"%s\"%s>%s</clipPath>\n", id, attr, inner.String())
	return id
}

func clippedBy(id string) string { return fmt.Sprintf(` clip-path="url(#%s)"`, id) }

// data writes a path; a contour that is filled is closed.
func data(p geometry.Path) string {
	var b strings.Builder
	at := func(p geometry.Point) {
		b.WriteString(number(p.X))
		b.WriteByte(' ')
		b.WriteString(number(p.Y))
	}
	for _, c := range p {
		b.WriteByte('M')
		at(c.Start)
		for _, s := range c.Segments {
			if s.Cubic {
				b.WriteByte('C')
				at(s.C1)
				b.WriteByte(' ')
				at(s.C2)
				b.WriteByte(' ')
			} else {
				b.WriteByte('L')
			}
			at(s.End)
		}
		b.WriteByte('Z')
	}
	return b.String()
}

// number writes millimetres to a hundred-thousandth.
func number(v float64) string {
	s := strconv.FormatFloat(math.Round(v*1e5)/1e5, 'f', -1, 64)
	if s == "-0" {
		return "0"
	}
	return s
}
