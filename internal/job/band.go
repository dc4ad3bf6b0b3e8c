package job

import (
	"math"
	"slices"
	"strconv"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/gradient"
)

// MaxBands is how many bands a gradient may become: each is cut and laid by
// itself, and more than this nobody does for one shape.
const MaxBands = 12

// maxBandShapes is how many shapes a layer in bands may have: every band has all
// of them, each with a clip of its own.
const maxBandShapes = 4000

// Band says which bands a layer belongs to. The zero value is no band: a whole
// gradient in its mean colour, or no gradient at all.
type Band struct {
	// Of names the bands that belong together: the id of the first of them.
	Of LayerID
	// Count is how many bands were asked for.
	Count uint8
	// Name, Colour and Alpha are those of the layer that the band comes of.
	Name   string
	Colour colour.RGB
	Alpha  float64
}

// CanBand reports whether the layer is a gradient, or a band of one, that can
// be shown in bands.
func CanBand(l Layer) bool {
	o, ok := l.Content.(Outlines)
	if !ok || len(o.Shapes) == 0 || len(o.Shapes) > maxBandShapes {
		return false
	}
	for _, s := range o.Shapes {
		if s.Gradient == nil || !s.Gradient.Bandable(s.Path.Bounds()) {
			return false
		}
	}
	return true
}

// SetBands shows the gradients of the layers in n bands of flat colour, or with
// n = 1 each as one layer of its mean colour again. The bands' edges lie where n
// flat colours come nearest to the gradient. Bands are layers of their own, in
// the place of the layer that they come of; those that belong together change
// together, whichever of them is named. Layers without a gradient that can be
// shown so stay as they are.
func SetBands(j Job, ids []LayerID, n int) (Job, error) {
	if n < 1 || n > MaxBands {
		return j, refuse(BadBands)
	}
	set, err := lookUp(j, ids)
	if err != nil {
		return j, err
	}
	out := j
	last, lastItem := lastIDs(j)
	replaced := map[LayerID][]LayerID{}
	for i, it := range j.Items {
		chosen := map[LayerID]bool{}
		for _, l := range it.Layers {
			if set[l.ID] && CanBand(l) {
				chosen[l.bandOf()] = true
			}
		}
		if len(chosen) == 0 {
			continue
		}
		var layers []Layer
		now := map[LayerID][]LayerID{} // by bandOf: the new layers
		before := map[LayerID]LayerID{}
		for _, l := range it.Layers {
			of := l.bandOf()
			if !chosen[of] || !CanBand(l) {
				layers = append(layers, l)
				continue
			}
			before[l.ID] = of
			switch {
			case l.Locked:
				return j, refuseLayer(LayerLocked, l.ID, l.Name)
			case now[of] == nil:
				made := Bands(l.whole(), n)
				for k := range made[1:] {
					last++
					made[k+1].ID = last
				}
				for _, b := range made {
					now[of] = append(now[of], b.ID)
				}
				layers = append(layers, made...)
			}
		}
		for id, of := range before {
			replaced[id] = now[of]
		}
		out = withLayers(out, i, layers)
		out.LastLayer, out.LastItem = last, lastItem
	}
	return rerouteAll(out, replaced), nil
}

// BandsWith returns the layers that change along with these when another number
// of bands is chosen: the bands that belong to theirs.
func BandsWith(j Job, ids []LayerID) []LayerID {
	var out []LayerID
	for _, it := range j.Items {
		of := map[LayerID]bool{}
		for _, l := range it.Layers {
			if slices.Contains(ids, l.ID) {
				of[l.bandOf()] = true
			}
		}
		for _, l := range it.Layers {
			if of[l.bandOf()] {
				out = append(out, l.ID)
			}
		}
	}
	return out
}

// bandOf names the bands that the layer belongs to or would become.
func (l Layer) bandOf() LayerID {
	if l.Band.Of != 0 {
		return l.Band.Of
	}
	return l.ID
}

// rebind lets copied bands belong to each other instead of to those that they
// were copied from.
func rebind(copies []Layer) {
	first := map[LayerID]LayerID{}
	for i := range copies {
		if of := copies[i].Band.Of; of != 0 {
			if first[of] == 0 {
				first[of] = copies[i].ID
			}
			copies[i].Band.Of = first[of]
		}
	}
}

// whole returns the layer that a band comes of, under the band's own id.
func (l Layer) whole() Layer {
	if l.Band.Of == 0 {
		return l
	}
	shapes := slices.Clone(l.Content.(Outlines).Shapes)
	for i := range shapes {
		if n := len(shapes[i].Clips); n > 0 && shapes[i].Clips[n-1].Band {
			shapes[i].Clips = shapes[i].Clips[: n-1 : n-1]
		}
	}
	l.Content, l.Name, l.Colour, l.Alpha, l.Band = Outlines{shapes}, l.Band.Name, l.Band.Colour, l.Band.Alpha, Band{}
	return l
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
		if alpha < 1.0/255 && (len(out) > 0 || k < len(bands)-1) {
			continue
		}
		b := l
		b.ID = 0
		b.Name = l.Name + " " + strconv.Itoa(len(out)+1)
		b.Band = Band{Of: l.ID, Count: uint8(n), Name: l.Name, Colour: l.Colour, Alpha: l.Alpha}
		b.Colour, b.Alpha = band.RGB(), math.Max(alpha, 1.0/255)
		clipped := slices.Clone(shapes)
		for i, s := range clipped {
			clip := &Clip{Band: true}
			for _, strip := range s.Gradient.Strips(s.Path.Bounds(), band.From, band.To) {
				clip.Shapes = append(clip.Shapes, Shape{Path: strip, Rule: geometry.EvenOdd})
			}
			clipped[i].Clips = append(slices.Clip(s.Clips), clip)
		}
		b.Content = Outlines{clipped}
		out = append(out, b)
	}
	out[0].ID = l.ID
	return out
}
