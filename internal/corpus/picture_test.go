package corpus

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"image"
	"io"
	"strings"

	"abut/internal/oracle"
)

// How the picture of what was cut is compared with that of the art.
//
// Both are painted by the same renderer with crisp edges: a pixel has the
// colour at its centre, over white. Where an edge passes within the flattening
// tolerance (0.01 mm, a twentieth of a pixel) of a pixel's centre, either side
// may win. Strictly counted such ties are a few of every hundred pixels along
// edges, and say nothing. So a pixel counts as wrong when its colour in either
// picture is not found, within tolerance, in the 3 × 3 pixels around it in the
// other. What that forgives is an edge that is out of place by less than a
// pixel (0.2 mm at 100 mm wide); what it does not forgive is a line a pixel
// wide that is missing, too much, or of another colour. The strict count is
// reported beside it.
//
// Renderers have mistakes of their own: the first leaves out markers on a line
// without a stroke, and paths whose transform shrinks them 20,000 times. Where a
// cut differs from the first renderer's picture, a second one draws the art too;
// if the two disagree about the art, agreeing with either is enough, and the
// file is named.
const (
	side      = 512
	tolerance = 48 // of 255 in any channel: far less than between two sheets that one would tell apart
)

type difference struct {
	size   image.Point
	art    int // pixels that the art covers
	wrong  int
	strict int
	// twice counts pixels that two sheets cover, away from the edges of both.
	twice int
	// disputed: a second renderer draws this art differently from the first,
	// and second is the share by which the cut differs from that.
	disputed bool
	second   float64
}

// right says whether the cut looks like its art: as the first renderer draws it
// or, where the two renderers disagree about the art, as the second does.
func (d difference) right() bool {
	return d.share() <= maxShare || d.disputed && d.second <= maxShare
}

func (d difference) share() float64       { return float64(d.wrong) / float64(max(d.art, 1)) }
func (d difference) strictShare() float64 { return float64(d.strict) / float64(max(d.art, 1)) }

// differsMuch says whether the two pictures of the same art, by two renderers,
// are further apart than a cut may be from its art: then one of them is wrong
// and the first alone cannot be the judge.
func differsMuch(a, b *image.RGBA) bool {
	d := differ(a, []*image.RGBA{b})
	return d.share() > maxShare
}

// compare paints the written sheets, un-mirrored and moved to where they lie in
// the art, and compares the result with the art itself.
func compare(r *oracle.Renderer, art []byte, w *written) (difference, error) {
	want, err := r.Render(art, side, true)
	if err != nil {
		return difference{}, err
	}
	masks, err := paintSheets(r, art, w, want.Rect)
	if err != nil {
		return difference{}, err
	}
	d := differ(want, masks)
	if d.share() <= maxShare {
		return d, nil
	}
	other, err := oracle.SecondOpinion(art, want.Rect.Dx(), want.Rect.Dy())
	if err != nil {
		return difference{}, err
	}
	if differsMuch(want, other) {
		second := differ(other, masks)
		d.disputed, d.second = true, second.share()
	}
	return d, nil
}

// paintSheets paints each sheet by itself, un-mirrored, where it lies in the
// art.
func paintSheets(r *oracle.Renderer, art []byte, w *written, size image.Rectangle) ([]*image.RGBA, error) {
	masks := make([]*image.RGBA, len(w.sheets))
	for i := range w.sheets {
		svg, err := laidBack(art, w, w.sheets[i:i+1])
		if err != nil {
			return nil, err
		}
		if masks[i], err = r.Render(svg, side, true); err != nil {
			return nil, err
		}
		if masks[i].Rect != size {
			return nil, fmt.Errorf("pictures of %v and %v", masks[i].Rect, size)
		}
	}
	return masks, nil
}

// laidBack returns sheets as one picture, un-mirrored, where they lie in the art.
func laidBack(art []byte, w *written, sheets []sheet) ([]byte, error) {
	head, err := rootOf(art)
	if err != nil {
		return nil, err
	}
	back, ok := w.sourceToPage().Invert()
	if !ok {
		return nil, errors.New("source_to_page has no inverse")
	}
	out := bytes.NewBufferString(head)
	for _, s := range sheets {
		fmt.Fprintf(out, `<g transform="matrix(%v %v %v %v %v %v) matrix(-1 0 0 1 %v 0)"><path fill="%s" fill-rule="evenodd" d="%s"/></g>`,
			back.A, back.B, back.C, back.D, back.E, back.F, w.PageMM[0], s.Colour, s.Data)
	}
	out.WriteString("</svg>")
	return out.Bytes(), nil
}

// rootOf returns a start tag with the size and viewBox of the SVG's root.
func rootOf(svg []byte) (string, error) {
	d := xml.NewDecoder(strings.NewReader(string(svg)))
	for {
		tok, err := d.Token()
		if err != nil {
			if errors.Is(err, io.EOF) {
				err = errors.New("no root element")
			}
			return "", err
		}
		if e, ok := tok.(xml.StartElement); ok {
			head := `<svg xmlns="http://www.w3.org/2000/svg"`
			for _, a := range e.Attr {
				switch a.Name.Local {
				case "width", "height", "viewBox", "preserveAspectRatio":
					head += fmt.Sprintf(" %s=%q", a.Name.Local, a.Value)
				}
			}
			return head + ">", nil
		}
	}
}

type rgb [3]int

func (a rgb) near(b rgb) bool {
	for k := range a {
		if d := a[k] - b[k]; d > tolerance || d < -tolerance {
			return false
		}
	}
	return true
}

// overWhite returns the pixels of a premultiplied picture over white.
func overWhite(img *image.RGBA) []rgb {
	out := make([]rgb, len(img.Pix)/4)
	for i := range out {
		p := img.Pix[4*i : 4*i+4]
		rest := 255 - int(p[3])
		out[i] = rgb{int(p[0]) + rest, int(p[1]) + rest, int(p[2]) + rest}
	}
	return out
}

// around calls f with the index of every pixel of the 3 × 3 around pixel i of a
// picture of w × h, until f returns false, and returns whether it never did.
func around(i, w, h int, f func(k int) bool) bool {
	x, y := i%w, i/w
	for yy := max(y-1, 0); yy <= min(y+1, h-1); yy++ {
		for xx := max(x-1, 0); xx <= min(x+1, w-1); xx++ {
			if !f(yy*w + xx) {
				return false
			}
		}
	}
	return true
}

// overlaid paints sheets over white, the later over the earlier, and counts the
// pixels that two of them cover, away from the edges of both: beside an edge the
// renderer's own rounding decides, and the areas that sheets have in common are
// measured exactly elsewhere.
func overlaid(masks []*image.RGBA, w, h int) (out []rgb, twice int) {
	out = make([]rgb, w*h)
	owner := make([]*image.RGBA, w*h)
	for i := range out {
		out[i] = rgb{255, 255, 255}
	}
	for _, m := range masks {
		c := overWhite(m)
		interior := func(of *image.RGBA, i int) bool {
			return around(i, w, h, func(k int) bool { return of.Pix[4*k+3] != 0 })
		}
		for i := range out {
			if m.Pix[4*i+3] == 0 {
				continue
			}
			if owner[i] != nil && interior(m, i) && interior(owner[i], i) {
				twice++
			}
			out[i], owner[i] = c[i], m
		}
	}
	return out, twice
}

func differ(want *image.RGBA, masks []*image.RGBA) difference {
	w, h := want.Rect.Dx(), want.Rect.Dy()
	d := difference{size: want.Rect.Size()}
	var b []rgb
	a := overWhite(want)
	b, d.twice = overlaid(masks, w, h)
	found := func(c rgb, in []rgb, i int) bool {
		return !around(i, w, h, func(k int) bool { return !c.near(in[k]) })
	}
	for i := range a {
		if want.Pix[4*i+3] != 0 {
			d.art++
		}
		if a[i].near(b[i]) {
			continue
		}
		d.strict++
		if !found(a[i], b, i) || !found(b[i], a, i) {
			d.wrong++
		}
	}
	return d
}
