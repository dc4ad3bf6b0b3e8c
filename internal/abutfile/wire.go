package abutfile

import (
	"errors"
	"fmt"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
)

// file is the whole of a file. The types below put a field of their own over
// one that JSON cannot hold as it is: the outer one counts.
type file struct {
	Schema  string
	Version int
	// Of names the document that an autosave belongs to.
	Of string `json:",omitempty"`
	// Pictures tells which files the pictures are from.
	Pictures []Picture `json:",omitempty"`
	// Typed is what was typed in dialogs while it was kept.
	Typed []Typed `json:",omitempty"`
	Job   wireJob
	Clips []wireClip
}

type wireJob struct {
	job.Job
	Assign []wireAssign
	Items  []wireItem
}

type wireAssign struct {
	Colour colour.RGB
	Target job.Target
}

type wireItem struct {
	job.Item
	Layers []wireLayer
}

type wireLayer struct {
	job.Layer
	Content wireContent
}

// wireContent holds one kind of content: the field that is there.
type wireContent struct {
	Outlines  *wireOutlines  `json:",omitempty"`
	Primitive *job.Primitive `json:",omitempty"`
	Text      *wireText      `json:",omitempty"`
	Surround  *job.Surround  `json:",omitempty"`
}

// wireText keeps the outlines with what they came of.
type wireText struct {
	job.Text
	Shapes []wireShape
}

type wireOutlines struct{ Shapes []wireShape }

type wireShape struct {
	job.Shape
	Path   wirePath
	Centre wirePath `json:",omitempty"`
	// Clips and Ignored index the file's table.
	Clips   []int
	Ignored []int `json:",omitempty"`
}

type wireClip struct {
	Shapes []wireShape
	// Band: a band of a gradient.
	Band     bool `json:",omitempty"`
	Doubtful bool `json:",omitempty"`
}

// encoder fills the table of clips. A clip stands behind those that clip it.
type encoder struct {
	table []wireClip
	at    map[*job.Clip]int
	open  map[*job.Clip]bool
	// version is the earliest that knows all that was encoded.
	version int
}

// needs says which version something that is encoded came with.
func (e *encoder) needs(version int) { e.version = max(e.version, version) }

func (e *encoder) job(j job.Job) (wireJob, error) {
	out := wireJob{Job: j}
	for c, t := range j.Assign {
		out.Assign = append(out.Assign, wireAssign{c, t})
	}
	sortAssign(out.Assign)
	for _, it := range j.Items {
		w := wireItem{Item: it}
		for _, m := range it.Mends {
			e.needs(sinceMend[m.Do])
		}
		for _, l := range it.Layers {
			c, err := e.content(l.Content)
			if err != nil {
				return out, err
			}
			w.Layers = append(w.Layers, wireLayer{Layer: l, Content: c})
		}
		out.Items = append(out.Items, w)
	}
	return out, nil
}

func (e *encoder) content(c job.Content) (wireContent, error) {
	switch c := c.(type) {
	case nil:
		return wireContent{Outlines: &wireOutlines{}}, nil
	case job.Outlines:
		shapes, err := e.shapes(c.Shapes)
		return wireContent{Outlines: &wireOutlines{shapes}}, err
	case job.Primitive:
		e.needs(2)
		return wireContent{Primitive: &c}, nil
	case job.Text:
		e.needs(2)
		shapes, err := e.shapes(c.Shapes)
		return wireContent{Text: &wireText{c, shapes}}, err
	case job.Surround:
		e.needs(2)
		return wireContent{Surround: &c}, nil
	}
	return wireContent{}, fmt.Errorf("content %T cannot be saved", c)
}

func (e *encoder) shapes(list []job.Shape) ([]wireShape, error) {
	var out []wireShape
	for _, s := range list {
		w := wireShape{Shape: s, Path: wirePath(s.Path), Centre: wirePath(s.Centre)}
		var err error
		if w.Clips, err = e.clips(s.Clips); err != nil {
			return nil, err
		}
		if w.Ignored, err = e.clips(s.Ignored); err != nil {
			return nil, err
		}
		out = append(out, w)
	}
	return out, nil
}

func (e *encoder) clips(list []*job.Clip) (at []int, err error) {
	for _, c := range list {
		i, err := e.clip(c)
		if err != nil {
			return nil, err
		}
		at = append(at, i)
	}
	return at, nil
}

func (e *encoder) clip(c *job.Clip) (int, error) {
	if i, ok := e.at[c]; ok {
		return i, nil
	}
	if c == nil || e.open[c] {
		return 0, errors.New("a clip is missing or clips itself")
	}
	e.open[c] = true
	shapes, err := e.shapes(c.Shapes)
	if err != nil {
		return 0, err
	}
	delete(e.open, c)
	e.table = append(e.table, wireClip{shapes, c.Band, c.Doubtful})
	e.at[c] = len(e.table) - 1
	return len(e.table) - 1, nil
}

// decoder makes the job of a file.
type decoder struct{ clips []*job.Clip }

func (d *decoder) job(f *file) (job.Job, error) {
	for i, c := range f.Clips {
		shapes, err := d.shapes(c.Shapes)
		if err != nil {
			return job.Job{}, fmt.Errorf("clip %d: %w", i, err)
		}
		d.clips = append(d.clips, &job.Clip{Shapes: shapes, Band: c.Band, Doubtful: c.Doubtful})
	}
	j := f.Job.Job
	j.Items, j.Assign = nil, nil
	for _, a := range f.Job.Assign {
		if j.Assign == nil {
			j.Assign = map[colour.RGB]job.Target{}
		}
		j.Assign[a.Colour] = a.Target
	}
	for _, w := range f.Job.Items {
		it := w.Item
		it.Layers = nil
		for _, wl := range w.Layers {
			l := wl.Layer
			var err error
			if l.Content, err = d.content(wl.Content); err != nil {
				return job.Job{}, fmt.Errorf("layer %d: %w", l.ID, err)
			}
			it.Layers = append(it.Layers, l)
		}
		j.Items = append(j.Items, it)
	}
	return j, check(j)
}

func (d *decoder) content(w wireContent) (job.Content, error) {
	switch {
	case w.Outlines != nil:
		shapes, err := d.shapes(w.Outlines.Shapes)
		return job.Outlines{Shapes: shapes}, err
	case w.Primitive != nil:
		return job.NewPrimitive(*w.Primitive)
	case w.Text != nil:
		shapes, err := d.shapes(w.Text.Shapes)
		if err != nil {
			return nil, err
		}
		t := w.Text.Text
		t.Shapes = shapes
		return t, t.Check()
	case w.Surround != nil:
		return *w.Surround, w.Surround.Check()
	}
	return nil, errors.New("no outlines")
}

func (d *decoder) shapes(list []wireShape) ([]job.Shape, error) {
	var out []job.Shape
	for _, w := range list {
		s := w.Shape
		s.Path, s.Centre = geometry.Path(w.Path), geometry.Path(w.Centre)
		if s.Rule > geometry.EvenOdd {
			return nil, fmt.Errorf("fill rule %d", s.Rule)
		}
		if s.Gradient != nil && !s.Gradient.Sound() {
			return nil, fmt.Errorf("a gradient that cannot be")
		}
		var err error
		if s.Clips, err = d.clipsAt(w.Clips); err != nil {
			return nil, err
		}
		if s.Ignored, err = d.clipsAt(w.Ignored); err != nil {
			return nil, err
		}
		out = append(out, s)
	}
	return out, nil
}

func (d *decoder) clipsAt(list []int) (out []*job.Clip, err error) {
	for _, i := range list {
		if i < 0 || i >= len(d.clips) {
			return nil, fmt.Errorf("no clip %d yet", i)
		}
		out = append(out, d.clips[i])
	}
	return out, nil
}
