package job

import (
	"math"
	"slices"
	"strconv"

	"abut/geometry"
	"abut/internal/gradient"
)

// MaxBands is how many bands a gradient may become: each is cut and laid by
// itself, and more than this nobody does for one shape.
const MaxBands = 12

// maxBandShapes is how many shapes a layer in bands may have: every band has all
// of them, each with a clip of its own, so twelve bands of more would make a job
// too slow to work on.
const maxBandShapes = 4000

// faintest is the least opacity that 8 bits tell from nothing.
const faintest = 1.0 / 255

// CanBand reports whether the layer is a gradient, or a band of one, that can
// be shown in bands.
func CanBand(l Layer) bool {
	o, ok := l.Content.(Outlines)
	if !ok || len(o.Shapes) == 0 || len(o.Shapes) > maxBandShapes {
		return false
	}
	for _, s := range o.Shapes {
		if s.Gradient == nil || !slices.Equal(s.Gradient.Stops, o.Shapes[0].Gradient.Stops) || !s.Gradient.Bandable(s.Path.Bounds()) {
			return false
		}
	}
	return true
}

// Bands returns the layer, a gradient for which CanBand holds and no band yet,
// as n flat bands, or itself for n = 1. The first keeps its id, the others have
// none yet. There are fewer where the gradient has fewer colours or fades away.
func Bands(l Layer, n int) []Layer {
	if n <= 1 {
		return []Layer{l}
	}
	shapes := l.Content.(Outlines).Shapes
	areas := make([]gradient.Area, len(shapes))
	for i, s := range shapes {
		areas[i] = gradient.Area{Gradient: s.Gradient, Path: s.Path, Rule: s.Rule}
	}
	bands := gradient.Divide(areas, n)
	strength := l.Alpha / shapes[0].Gradient.MeanAlpha
	var out []Layer
	for k, band := range bands {
		alpha := math.Min(1, band.Alpha*strength)
		if alpha < faintest && (len(out) > 0 || k < len(bands)-1) {
			continue
		}
		b := l
		b.ID = 0
		b.Name = l.Name + " " + strconv.Itoa(len(out)+1)
		b.Band = Band{Of: l.ID, Count: uint8(n), Name: l.Name, Colour: l.Colour, Alpha: l.Alpha}
		b.Colour, b.Alpha = band.RGB(), math.Max(alpha, faintest)
		clipped := slices.Clone(shapes)
		reaches := false
		for i, s := range clipped {
			clip := &Clip{Band: true}
			for _, strip := range s.Gradient.Strips(s.Path.Bounds(), band.From, band.To) {
				clip.Shapes = append(clip.Shapes, Shape{Path: strip, Rule: geometry.EvenOdd})
				reaches = true
			}
			clipped[i].Clips = append(slices.Clip(s.Clips), clip)
		}
		if !reaches && (len(out) > 0 || k < len(bands)-1) {
			continue
		}
		b.Content = Outlines{clipped}
		out = append(out, b)
	}
	out[0].ID = l.ID
	return out
}

// bandOf names the bands that the layer belongs to or would become.
func (l Layer) bandOf() LayerID {
	if l.Band.Of != 0 {
		return l.Band.Of
	}
	return l.ID
}

// bandClip returns where among a shape's clips its band is, −1 for nowhere.
func (s Shape) bandClip() int {
	if n := len(s.Clips) - 1; n >= 0 && s.Clips[n].Band {
		return n
	}
	return -1
}

// whole returns the layer that a band comes of, under the band's own id.
func (l Layer) whole() Layer {
	if l.Band.Of == 0 {
		return l
	}
	shapes := slices.Clone(Shapes(l.Content))
	for i, s := range shapes {
		if n := s.bandClip(); n >= 0 {
			shapes[i].Clips = s.Clips[:n:n]
		}
	}
	l.Content, l.Name, l.Colour, l.Alpha, l.Band = Outlines{shapes}, l.Band.Name, l.Band.Colour, l.Band.Alpha, Band{}
	return l
}

// joinBands returns bands of one gradient as one band, which is the last of them
// but covers what all do; false for any other layers, and for bands that were
// moved apart.
func joinBands(bands []Layer) (Layer, bool) {
	last := bands[len(bands)-1]
	shapes := slices.Clone(Shapes(last.Content))
	clips := make([]Clip, len(shapes))
	for _, b := range bands {
		own := Shapes(b.Content)
		if b.Band.Of == 0 || b.Band.Of != last.Band.Of || b.Transform != last.Transform || len(own) != len(shapes) {
			return Layer{}, false
		}
		for i, s := range own {
			n := s.bandClip()
			if n < 0 {
				return Layer{}, false
			}
			clips[i].Shapes = append(clips[i].Shapes, s.Clips[n].Shapes...)
		}
	}
	for i, s := range shapes {
		clips[i].Band = true
		shapes[i].Clips = append(slices.Clone(s.Clips[:len(s.Clips)-1]), &clips[i])
	}
	last.Content = Outlines{shapes}
	return last, true
}

// rebind names bands that belong together by the first of them.
func rebind(layers []Layer) {
	first := map[LayerID]LayerID{}
	for i := range layers {
		if of := layers[i].Band.Of; of != 0 {
			if first[of] == 0 {
				first[of] = layers[i].ID
			}
			layers[i].Band.Of = first[of]
		}
	}
}
