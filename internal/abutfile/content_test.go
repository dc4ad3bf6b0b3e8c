package abutfile

import (
	"bytes"
	"reflect"
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
)

// drawn is a job with every kind of content.
func drawn(t *testing.T) job.Job {
	t.Helper()
	j := job.Job{}
	for _, f := range job.Forms {
		p := job.Primitive{Form: f, Width: 30, Height: 20.5}
		switch f {
		case job.Rectangle:
			p.Radius = 3.25
		case job.Polygon:
			p.Points = 6
		case job.Star:
			p.Points, p.Inner = 5, 0.4
		}
		p, err := job.NewPrimitive(p)
		if err != nil {
			t.Fatal(err)
		}
		if j, _, err = job.Add(j, job.Added{Name: f.String(), Content: p, ItemName: "drawn"}, geometry.Pt(1, 2)); err != nil {
			t.Fatal(err)
		}
	}
	text := job.Text{Text: "Two\nlines", Family: "Go", Weight: 700, Italic: true, SizeMM: 12, Align: job.TextMiddle, SpacingMM: 0.1,
		Arc:    &job.Arc{RadiusMM: 40, Inside: true},
		Shapes: []job.Shape{{Path: geometry.Path{geometry.Ellipse(geometry.Point{}, 0.1, 1.0/3)}, Rule: geometry.NonZero, Element: "text"}}}
	j, id, err := job.Add(j, job.Added{Name: "text", Content: text}, geometry.Pt(3, 4))
	if err != nil {
		t.Fatal(err)
	}
	j, _, err = job.AddSurround(j, []job.LayerID{1, id}, job.Surround{WidthMM: 2.5, Sharp: true, Filled: true}, "band", colour.White)
	if err != nil {
		t.Fatal(err)
	}
	// And one around layers of two items.
	j, made := job.AddBeside(j, job.Only(j, []job.LayerID{1}))
	if j, _, err = job.AddSurround(j, []job.LayerID{id, made[0]}, job.Surround{WidthMM: 1}, "both", colour.White); err != nil {
		t.Fatal(err)
	}
	return j
}

func TestRoundTrip_KeepsWhatStaysEditable(t *testing.T) {
	j := drawn(t)
	if got := roundTrip(t, Document{Job: j}).Job; !reflect.DeepEqual(got, j) {
		t.Errorf("wrote\n%+v\nread\n%+v", j, got)
	}
}

// A program that knows nothing of such content says that the file is too new,
// not that it is damaged; one without any can be read by it.
func TestWrite_SaysTheEarliestVersionThatKnowsAllInIt(t *testing.T) {
	one := func(c job.Content) job.Job {
		return job.Job{Items: []job.Item{{ID: 1, Layers: []job.Layer{{ID: 1, Content: c}}}}}
	}
	for _, c := range []struct {
		j    job.Job
		want string
	}{
		{job.Job{}, `"Version":1`}, {one(job.Outlines{}), `"Version":1`}, {drawn(t), `"Version":2`},
		{one(job.Primitive{}), `"Version":2`}, {one(job.Text{}), `"Version":2`}, {one(job.Surround{}), `"Version":2`},
	} {
		var b bytes.Buffer
		unchecked(t, &b, c.j)
		if !strings.Contains(b.String()[:60], c.want) {
			t.Errorf("%+v: no %s in %.60s", c.j, c.want, b.String())
		}
	}
}

// A kind of mend that has no version would go into files that older programs call damaged.
func TestSinceMend_KnowsEveryKind(t *testing.T) {
	for k := job.Keep; k.Known(); k++ {
		if v, ok := sinceMend[k]; !ok || v < 1 || v > Version {
			t.Errorf("%v came with version %d of %d", k, v, Version)
		}
	}
	j := job.Job{Items: []job.Item{{ID: 1, Mends: []job.Mend{{Do: job.Keep}, {Do: job.Enlarge}, {Do: job.Drop}}}}}
	if f, err := wire(Document{Job: j}); err != nil || f.Version != 3 {
		t.Errorf("a thing that is enlarged: version %d, %v", f.Version, err)
	}
}

func TestRead_RefusesContentThatNoEditMakes(t *testing.T) {
	var b bytes.Buffer
	if err := Write(&b, Document{Job: drawn(t)}); err != nil {
		t.Fatal(err)
	}
	whole := b.String()
	for _, change := range [][2]string{
		{`"Points":6`, `"Points":2`}, {`"Inner":0.4`, `"Inner":-1`}, {`"Weight":700`, `"Weight":7000`}, {`"SizeMM":12`, `"SizeMM":0`},
		{`"WidthMM":2.5`, `"WidthMM":-2.5`}, {`"Form":4`, `"Form":9`}, {`"Radius":3.25`, `"Radius":-3`}, {`"RadiusMM":40`, `"RadiusMM":0`},
	} {
		bad := strings.Replace(whole, change[0], change[1], 1)
		if bad == whole {
			t.Fatalf("no %s in the file", change[0])
		}
		if _, err := Read(strings.NewReader(bad)); err == nil {
			t.Errorf("%s was taken", change[1])
		}
	}
}
