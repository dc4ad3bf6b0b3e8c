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
	// Pen: all of its layer is lines, dots or letters that a pen could draw.
	Pen bool
	// Spots are indexes of the list that was asked about.
	Spots []int
}

// Message names the thing and says how thin it is.
func (t *WeakThing) Message() message.Message {
	id := "thing-between"
	if t.Layer != 0 {
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
	rules := own.NewRules(j, placed)
	materials := make([]own.Material, len(placed))
	bounds := make([]geometry.Rect, len(placed))
	for k, p := range placed {
		materials[k], _ = rules.Material(p.Layer.Colour)
		bounds[k] = job.Bounds(j, p.Layer.ID)
	}
	found := make([][]thing.Thing, len(placed))
	known := make([]bool, len(placed))
	type key struct{ layer, group int }
	at := map[key]int{}
	members := map[[2]int]bool{}
	var out []WeakThing
	var between WeakThing
	between.WidthMM = math.Inf(1)
	for i := range spots {
		s := &spots[i]
		layer, n := -1, -1
		for k, p := range slices.Backward(placed) {
			if materials[k] != s.Piece.Of || p.Layer.Use != job.Cut || !bounds[k].Grow(s.WidthMM).Contains(s.At) {
				continue
			}
			if !known[k] {
				_, text := p.Layer.Content.(job.Text)
				if found[k], err = thing.Find(ctx, p.Shapes, p.Transform, text); err != nil {
					return nil, own.Explain(err, placed)
				}
				known[k] = true
			}
			if t := thing.At(found[k], s.At, own.HealMM); t >= 0 {
				layer, n = k, t
				break
			}
		}
		if layer < 0 {
			between.Spots, between.Count, between.WidthMM = append(between.Spots, i), between.Count+1, math.Min(between.WidthMM, s.WidthMM)
			continue
		}
		t := &found[layer][n]
		x, ok := at[key{layer, t.Group}]
		if !ok {
			x = len(out)
			at[key{layer, t.Group}] = x
			l := placed[layer].Layer
			out = append(out, WeakThing{Layer: l.ID, Name: l.Name, Kind: kindOf(t, j.Settings.Narrowest()), WidthMM: math.Inf(1), Pen: fine(found[layer], j.Settings.Narrowest())})
		}
		o := &out[x]
		o.Spots, o.WidthMM = append(o.Spots, i), math.Min(o.WidthMM, s.WidthMM)
		if !members[[2]int{layer, n}] {
			members[[2]int{layer, n}] = true
			o.Count++
		}
	}
	slices.SortStableFunc(out, func(a, b WeakThing) int { return cmp.Compare(a.Spots[0], b.Spots[0]) })
	if between.Count > 0 {
		out = append(out, between)
	}
	return out, nil
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
	large := math.Max(t.Bounds.Width(), t.Bounds.Height())
	if t.Kind == thing.Line && t.WidthMM > boldTimes*narrowest || t.Kind == thing.Dot && large > dotTimes*narrowest {
		return thing.Figure
	}
	return t.Kind
}
