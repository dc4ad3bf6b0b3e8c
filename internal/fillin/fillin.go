package fillin

import (
	"context"
	"regexp"
	"slices"
	"strings"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/drawer"
	"abut/internal/job"
	"abut/internal/lettering"
	"abut/internal/message"
)

// Error says why a design or a row of a list cannot be filled in.
type Error struct{ message.Message }

func (e *Error) Error() string { return e.ID }

func fail(id string, args ...string) *Error { return &Error{message.Of(id, args...)} }

// Text is a text that was filled in.
type Text struct {
	Layer string
	Text  string
	// Share is its size as part of that of the text that was drawn: less than 1 where
	// it is longer.
	Share float64
}

// Filled is what became of a row.
type Filled struct {
	Texts []Text
	// Notes are what is not as it was asked for.
	Notes []message.Message
}

var (
	among = regexp.MustCompile(`\{\s*([^{}\n]*[^{}\s])\s*\}`)
	whole = regexp.MustCompile(`^\s*\{\s*([^{}\n]*[^{}\s])\s*\}\s*$`)
)

// Fill fills a row of the list into the layers that are marked. Texts keep their
// line and are set smaller where they would be broader than what is drawn, never
// larger. Errors: *Error where nothing is marked, or text that is outlines
// is, a mark names no column, a text would be empty or has letters that no font has, or a colour is none;
// *job.EditError; or the context's own.
func Fill(ctx context.Context, j job.Job, list drawer.List, row int) (job.Job, Filled, error) {
	var done Filled
	marked := false
	for _, id := range j.LayerIDs() {
		l, it, _ := j.Layer(id)
		if l.Use == job.LeftOut {
			continue
		}
		text, isText := l.Content.(job.Text)
		name := whole.FindStringSubmatch(l.Name)
		var err error
		switch {
		case isText && among.MatchString(text.Text):
			marked = true
			var words string
			if words, err = filled(list, row, text.Text); err == nil {
				j, err = done.set(ctx, j, it, l, text, words)
			}
		case lettered(l) && among.MatchString(l.Name): // layers of texts are called after what these say
			err = fail("list-outlines", "layer", l.Name)
		case name == nil:
			continue
		case isText:
			marked = true
			var words string
			if words, err = cell(list, row, name[1]); err == nil {
				j, err = done.set(ctx, j, it, l, text, words)
			}
		default:
			marked = true
			j, err = paint(j, id, list, row, name[1])
		}
		if err != nil {
			return j, done, err
		}
	}
	if !marked {
		return j, done, fail("list-nothing-marked", "mark", "{"+list.Columns[0]+"}")
	}
	return j, done, nil
}

// Unfilled returns the layers whose text has marks: without a list they are cut as they stand.
func Unfilled(j job.Job) (layers []job.Layer) {
	for _, it := range j.Items {
		for _, l := range it.Layers {
			if text, is := l.Content.(job.Text); is && l.Use != job.LeftOut && among.MatchString(text.Text) {
				layers = append(layers, l)
			}
		}
	}
	return layers
}

// Marks returns the columns that a design asks for, as often as it does: those of its texts, which somebody who types no
// headings means first, and then of its colours, each in the order in which its layers lie from the bottom.
func Marks(j job.Job) (columns []string) {
	var colours []string
	for _, id := range j.LayerIDs() {
		l, _, _ := j.Layer(id)
		if l.Use == job.LeftOut {
			continue
		}
		text, isText := l.Content.(job.Text)
		found, to := among.FindAllStringSubmatch(text.Text, -1), &columns
		if m := whole.FindStringSubmatch(l.Name); m != nil && found == nil {
			found = [][]string{m}
			if !isText && !lettered(l) {
				to = &colours
			}
		}
		for _, m := range found {
			*to = append(*to, m[1])
		}
	}
	return append(columns, colours...)
}

// cell is what the row has in a column that must be there.
func cell(list drawer.List, row int, column string) (string, error) {
	text, ok := list.Cell(row, column)
	if !ok {
		return "", &Error{message.Message{ID: "list-no-column", Args: map[string]string{"mark": "{" + column + "}"}, Values: map[string]any{"columns": message.Few(list.Columns)}}}
	}
	return text, nil
}

// filled are the words of a text with the row's in the place of marks.
func filled(list drawer.List, row int, text string) (string, error) {
	var wrong error
	out := among.ReplaceAllStringFunc(text, func(mark string) string {
		words, err := cell(list, row, among.FindStringSubmatch(mark)[1])
		if err != nil {
			wrong = err
		}
		return words
	})
	return out, wrong
}

// lettered reports whether a layer is text that became outlines in a file.
func lettered(l job.Layer) bool {
	o, _ := l.Content.(job.Outlines)
	return slices.ContainsFunc(o.Shapes, func(s job.Shape) bool { return s.IsText() })
}

// paint gives a layer the colour that the row has in a column.
func paint(j job.Job, id job.LayerID, list drawer.List, row int, column string) (job.Job, error) {
	text, err := cell(list, row, column)
	if err != nil {
		return j, err
	}
	c, err := colour.Parse(text)
	if err != nil {
		return j, fail("list-no-colour", "column", column, "text", text)
	}
	return job.SetColour(j, []job.LayerID{id}, c)
}

// set has a text say something else in the place that it has.
func (f *Filled) set(ctx context.Context, j job.Job, it job.Item, l job.Layer, drawn job.Text, words string) (job.Job, error) {
	if strings.TrimSpace(words) == "" {
		return j, fail("list-empty-text", "layer", l.Name)
	}
	place, err := extent(ctx, drawn)
	if err != nil {
		return j, err
	}
	t := drawn
	t.Text = words
	t, notes, err := lettering.Set(ctx, t)
	if m, _ := message.In(err); m.ID == lettering.NoLetters {
		return j, fail("list-letters-lost", "letters", m.Args["letters"], "text", words)
	}
	if err != nil {
		return j, err
	}
	now, err := extent(ctx, t)
	if err != nil {
		return j, err
	}
	share := 1.0
	if now.Width() > place.Width() {
		// All of a text is in proportion to its size, the space between letters too.
		share = place.Width() / now.Width()
		t.SizeMM, t.SpacingMM = t.SizeMM*share, t.SpacingMM*share
		if t, notes, err = lettering.Set(ctx, t); err != nil {
			return j, err
		}
	}
	for _, n := range notes {
		if n.ID == lettering.LettersLost {
			return j, fail("list-letters-lost", "letters", n.Args["letters"], "text", words)
		}
	}
	if j, err = job.SetText(j, l.ID, t); err != nil {
		return j, err
	}
	f.Texts, f.Notes = append(f.Texts, Text{l.Name, words, share}), append(f.Notes, notes...)
	if t.Arc != nil {
		return j, nil
	}
	// Letters begin a little beside where their line does, each its own way.
	if now, err = extent(ctx, t); err != nil {
		return j, err
	}
	by := max(0, place.Min.X-now.Min.X) + min(0, place.Max.X-now.Max.X)
	if by == 0 {
		return j, nil
	}
	d := it.Placement.ApplyVector(l.Transform.ApplyVector(geometry.Pt(by, 0)))
	return job.MoveLayers(j, []job.LayerID{l.ID}, d.X, d.Y)
}

// extent are the bounds of a text's outlines; of one on an arc those that it has on a
// straight line, which tell how much of the arc it takes.
func extent(ctx context.Context, t job.Text) (geometry.Rect, error) {
	if t.Arc != nil {
		t.Arc = nil
		var err error
		if t, _, err = lettering.Set(ctx, t); err != nil {
			return geometry.Rect{}, err
		}
	}
	r := geometry.EmptyRect()
	for _, s := range t.Shapes {
		r = r.Union(s.Path.Bounds())
	}
	return r, nil
}
