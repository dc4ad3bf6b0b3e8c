package fit

import (
	"cmp"
	"context"
	"math"
	"slices"

	"abut/geometry"
	"abut/internal/fit/own"
	"abut/internal/fit/thing"
	"abut/internal/job"
	"abut/internal/message"
)

// WeakThing is what a person drew and what is too thin about it; or all spots that
// nobody drew, between things, where Layer is 0.
type WeakThing struct {
	Layer job.LayerID
	Name  string // the layer's
	Kind  thing.Kind
	// Count is how many alike things there are with spots in them.
	Count int
	// WidthMM is how narrow the narrowest of its spots is.
	WidthMM float64
	// Small: they are not thin but small, all of them.
	Small bool
	// Spaces: they are what its letters leave of something else, within and between them; Count is how many.
	Spaces bool
	// Pen: all of its layer is lines, dots or letters, such as one draws with a pen, and of
	// letters half or more are too fine to cut. See CheckPens.
	Pen bool
	// Spots are indexes of the list that was asked about.
	Spots []int
	alike int // how many there are, those without spots too
}

// Message names the thing and says how thin it is.
func (t *WeakThing) Message() message.Message {
	id := "thing-between"
	switch {
	case t.Layer == 0:
	case t.Spaces:
		id = "thing-space"
	case t.Small && t.Kind != thing.Dot:
		id = "thing-small"
	default:
		id = "thing-" + t.Kind.String()
	}
	return message.Message{ID: id, Args: map[string]string{"layer": t.Name}, Values: map[string]any{
		"count": message.Count(t.Count), "width": message.Fine(t.WidthMM),
	}}
}

// WeakThings says which things of a job its weak spots belong to, in the order of the
// spots; those between things come last. Errors as Compute.
func WeakThings(ctx context.Context, j job.Job, spots []WeakSpot) ([]WeakThing, error) {
	placed, _, err := new(own.Surrounds).Place(ctx, j)
	if err != nil || len(spots) == 0 {
		return nil, err
	}
	drawn := newDrawnThings(j, placed)
	type key struct {
		layer, group int
		spaces       bool
	}
	at := map[key]int{}
	members := map[[2]int]bool{}
	var out []WeakThing
	between := WeakThing{WidthMM: math.Inf(1)}
	for i := range spots {
		s := &spots[i]
		layer, n, spaces, err := drawn.partOf(ctx, s)
		if err != nil {
			return nil, err
		}
		if layer < 0 {
			between.add(i, s)
			between.Count++
			continue
		}
		group := key{layer, drawn.things[layer].Things[n].Group, spaces}
		x, ok := at[group]
		if !ok {
			x = len(out)
			at[group] = x
			out = append(out, drawn.named(layer, n))
			out[x].Spaces = spaces
		}
		out[x].add(i, s)
		if member := [2]int{layer, n}; spaces || !members[member] {
			members[member] = members[member] || !spaces
			out[x].Count++
		}
	}
	offerPens(out)
	slices.SortStableFunc(out, func(a, b WeakThing) int { return cmp.Compare(a.Spots[0], b.Spots[0]) })
	if between.Count > 0 {
		out = append(out, between)
	}
	return out, nil
}

// offerPens takes Pen from words of which under half is too fine, and what lies between letters has it where they do: drawn
// by a pen they lie over it.
func offerPens(things []WeakThing) {
	for i := range things {
		t := &things[i]
		t.Pen = t.Pen && (t.Kind != thing.Letter || 2*t.Count >= t.alike) && !t.Spaces
	}
	for i := range things {
		t := &things[i]
		t.Pen = t.Pen || t.Spaces && slices.ContainsFunc(things, func(x WeakThing) bool { return x.Pen && x.Layer == t.Layer })
	}
}

// CheckPens takes Pen from those things of which a pen would lose something: they must lie
// on what is cut, and ink must show there. Where there are any it costs what Compute does.
// Errors as Compute.
func CheckPens(ctx context.Context, j job.Job, things []WeakThing) error {
	ids := PenLayers(things)
	if len(ids) == 0 {
		return nil
	}
	j, err := job.DrawWithPen(j, ids)
	if err != nil {
		return err
	}
	p, err := (&Cache{pens: pens{hollow: true}}).Compute(ctx, j)
	if err != nil {
		return err
	}
	ill := p.illDrawn()
	for i := range things {
		t := &things[i]
		t.Pen = t.Pen && !slices.Contains(ill, t.Layer)
	}
	return nil
}

// PenLayers lists the layers of those things that a pen could draw.
func PenLayers(things []WeakThing) (out []job.LayerID) {
	for _, t := range things {
		if t.Pen && !slices.Contains(out, t.Layer) {
			out = append(out, t.Layer)
		}
	}
	return out
}

// add notes that a spot belongs to it.
func (t *WeakThing) add(i int, s *WeakSpot) {
	t.Small = s.Kind == job.Speck && (t.Small || len(t.Spots) == 0)
	t.Spots, t.WidthMM = append(t.Spots, i), math.Min(t.WidthMM, s.WidthMM)
}

// drawnThings are the things of layers, each found when it is first asked for.
type drawnThings struct {
	placed    []own.Placed
	materials []own.Material
	bounds    []geometry.Rect
	things    []*thing.Finder // nil where they are not known yet
	narrowest float64
}

func newDrawnThings(j job.Job, placed []own.Placed) *drawnThings {
	n := len(placed)
	d := &drawnThings{placed, make([]own.Material, n), make([]geometry.Rect, n), make([]*thing.Finder, n), j.Settings.Narrowest()}
	rules := own.NewRules(j, placed)
	for k, p := range placed {
		d.materials[k], _ = rules.Material(p.Layer.Colour)
		d.bounds[k] = job.Bounds(j, p.Layer.ID)
	}
	return d
}

// partOf returns the thing that a spot belongs to, by its layer and its number there: what it is in, or with spaces the letter
// that it lies within or beside, since nobody drew what is left of a figure there; −1 where nobody drew the spot.
func (d *drawnThings) partOf(ctx context.Context, s *WeakSpot) (layer, n int, spaces bool, err error) {
	if layer, n, err = d.with(ctx, s); err != nil || layer >= 0 && kindOf(&d.things[layer].Things[n], d.narrowest) != thing.Figure {
		return layer, n, false, err
	}
	if l, letter, err := d.letterBy(ctx, s, layer); err != nil || l >= 0 {
		return l, letter, true, err
	}
	return layer, n, false, nil
}

// with returns the topmost thing that has a spot in it, by its layer and its number there; −1
// where nobody drew the spot.
func (d *drawnThings) with(ctx context.Context, s *WeakSpot) (layer, n int, _ error) {
	for k, p := range slices.Backward(d.placed) {
		if d.materials[k] != s.Piece.Of || p.Layer.Use != job.Cut || !d.bounds[k].Grow(s.WidthMM).Contains(s.At) {
			continue
		}
		things, err := d.of(ctx, k)
		if err != nil {
			return -1, -1, err
		}
		if t := things.At(s.At, own.HealMM); t >= 0 {
			return k, t, nil
		}
	}
	return -1, -1, nil
}

// of returns the things of a layer.
func (d *drawnThings) of(ctx context.Context, k int) (*thing.Finder, error) {
	if d.things[k] == nil {
		p := d.placed[k]
		_, text := p.Layer.Content.(job.Text)
		things, err := thing.Find(ctx, p.Shapes, p.Transform, text)
		if err != nil {
			return nil, own.Explain(err, d.placed)
		}
		d.things[k] = thing.NewFinder(things)
	}
	return d.things[k], nil
}

// letterBy returns the letter that a spot lies in or beside, where most of its border is that of letters which lie
// over the layer that it is of, or over none; −1 where there is none.
func (d *drawnThings) letterBy(ctx context.Context, s *WeakSpot, beneath int) (layer, n int, _ error) {
	border, most := 0.0, -1
	for i, x := range s.Neighbours {
		if border += x.LengthMM; most < 0 || x.LengthMM > s.Neighbours[most].LengthMM {
			most = i
		}
	}
	if most < 0 || s.Neighbours[most].Of == own.Bare || 2*s.Neighbours[most].LengthMM < border {
		return -1, -1, nil
	}
	for k := len(d.placed) - 1; k > beneath; k-- {
		if d.materials[k] != s.Neighbours[most].Of || d.placed[k].Layer.Use != job.Cut || !d.bounds[k].Grow(d.narrowest).Contains(s.At) {
			continue
		}
		things, err := d.of(ctx, k)
		if err != nil {
			return -1, -1, err
		}
		if near := things.LetterNear(s.At, d.narrowest); near >= 0 {
			return k, near, nil
		}
	}
	return -1, -1, nil
}

// named returns what a thing is called, without spots.
func (d *drawnThings) named(layer, n int) WeakThing {
	l, alike, things := d.placed[layer].Layer, 0, d.things[layer].Things
	for i := range things {
		if things[i].Group == things[n].Group {
			alike++
		}
	}
	return WeakThing{
		Layer: l.ID, Name: l.Name, Kind: kindOf(&things[n], d.narrowest),
		WidthMM: math.Inf(1), Pen: fine(things, d.narrowest), alike: alike,
	}
}

// fine reports whether things are all such as one draws with a pen.
func fine(things []thing.Thing, narrowest float64) bool {
	return !slices.ContainsFunc(things, func(t thing.Thing) bool { return kindOf(&t, narrowest) == thing.Figure })
}

const (
	// boldTimes is how many narrowest widths a line is broad at most to be called one,
	// and dotTimes how many a dot is large.
	boldTimes = 2
	dotTimes  = 5
)

// kindOf returns what a person would call a thing of its size.
func kindOf(t *thing.Thing, narrowest float64) thing.Kind {
	large := t.Bounds.Longer()
	if t.Kind == thing.Line && t.WidthMM > boldTimes*narrowest || t.Kind == thing.Dot && large > dotTimes*narrowest {
		return thing.Figure
	}
	return t.Kind
}
