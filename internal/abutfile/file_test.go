package abutfile

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"abut/assets"
	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
	"abut/internal/watched"
	"abut/internal/workshop"
)

var update = flag.Bool("update", false, "write the golden file anew")

func roundTrip(t interface{ Fatal(...any) }, d Document) Document {
	var b bytes.Buffer
	if err := Write(&b, d); err != nil {
		t.Fatal(err)
	}
	got, err := Read(&b)
	if err != nil {
		t.Fatal(err)
	}
	return got
}

// fill gives everything reached from v a value of its own, in lists of one.
func fill(v reflect.Value, n *int) {
	*n++
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).Tag.Get("json") != "-" { // is worked out anew
				fill(v.Field(i), n)
			}
		}
	case reflect.Pointer:
		if v.Type() == reflect.TypeFor[*job.Clip]() && *n > 500 {
			return
		}
		v.Set(reflect.New(v.Type().Elem()))
		*n += 100
		fill(v.Elem(), n)
	case reflect.Slice:
		if v.Type() == reflect.TypeFor[[]*job.Clip]() && *n > 500 {
			return
		}
		v.Set(reflect.MakeSlice(v.Type(), 1, 1))
		fill(v.Index(0), n)
	case reflect.Map:
		v.Set(reflect.MakeMap(v.Type()))
		key, val := reflect.New(v.Type().Key()).Elem(), reflect.New(v.Type().Elem()).Elem()
		fill(key, n)
		fill(val, n)
		v.SetMapIndex(key, val)
	case reflect.Interface:
		o := reflect.New(reflect.TypeFor[job.Outlines]()).Elem()
		fill(o, n)
		v.Set(o)
	case reflect.Float64:
		v.SetFloat(math.Sqrt(float64(*n)) / 100)
	case reflect.String:
		v.SetString(strings.Repeat("ä\"", *n%3+1))
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Uint8, reflect.Uint32:
		v.SetUint(1)
	case reflect.Int, reflect.Int64:
		v.SetInt(int64(*n))
	default:
		panic("a kind that this test does not know: " + v.Kind().String())
	}
}

// Whatever package job gains is kept: no field is forgotten.
func TestRoundTrip_KeepsEveryFieldThatAJobHas(t *testing.T) {
	var d Document
	n := 0
	fill(reflect.ValueOf(&d).Elem(), &n)
	d.Job.Items[0].Pixels.Tracing.Detail = job.MostDetail
	d.Job.Settings.List.Rows = append(d.Job.Settings.List.Rows, job.ListRow{Line: 3})
	laid := &d.Job.Settings.Laid
	laid.Sheets = append(laid.Sheets, job.LaidSheet{})
	laid.Things[0].Sheet, laid.Free[0].Sheet, laid.Free[0].Max = 1, 1, geometry.Pt(99, 99)
	d.Job.Settings.BlankShape.SafeMM, d.Job.Settings.BlankShape.Name = 1e-3, "Tile"
	if got := roundTrip(t, d); !reflect.DeepEqual(got, d) {
		t.Errorf("got  %+v\nwant %+v", got, d)
	}
}

func TestRoundTrip_ExactNumbers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		number := rapid.Float64Range(-math.MaxFloat64, math.MaxFloat64)
		point := rapid.Custom(func(t *rapid.T) geometry.Point {
			return geometry.Pt(number.Draw(t, "x"), number.Draw(t, "y"))
		})
		segment := rapid.Custom(func(t *rapid.T) geometry.Segment {
			if rapid.Bool().Draw(t, "cubic") {
				return geometry.CubicTo(point.Draw(t, "c1"), point.Draw(t, "c2"), point.Draw(t, "end"))
			}
			return geometry.LineTo(point.Draw(t, "end"))
		})
		contour := rapid.Custom(func(t *rapid.T) geometry.Contour {
			return geometry.Contour{Start: point.Draw(t, "start"), Closed: rapid.Bool().Draw(t, "closed"),
				Segments: rapid.SliceOfN(segment, 1, 4).Draw(t, "segments")}
		})
		shared := &job.Clip{Shapes: []job.Shape{{Path: rapid.SliceOfN(contour, 1, 2).Draw(t, "clip")}}}
		shared = &job.Clip{Shapes: []job.Shape{{Path: rapid.SliceOfN(contour, 1, 2).Draw(t, "clip"), Clips: []*job.Clip{shared}}}}
		var layers []job.Layer
		for i := range rapid.IntRange(1, 4).Draw(t, "layers") {
			layers = append(layers, job.Layer{
				ID: job.LayerID(i + 1), Name: rapid.String().Draw(t, "name"), Alpha: rapid.Float64Range(1e-9, 1).Draw(t, "alpha"),
				Colour: colour.RGB{R: rapid.Byte().Draw(t, "r")}, Transform: geometry.Translate(number.Draw(t, "dx"), 1),
				Use:     job.Use(rapid.IntRange(0, 3).Draw(t, "use")),
				Content: job.Outlines{Shapes: []job.Shape{{Path: rapid.SliceOfN(contour, 1, 3).Draw(t, "path"), Clips: []*job.Clip{shared}}}},
			})
		}
		d := Document{Job: job.Job{LastLayer: 9, Items: []job.Item{{ID: 1, Placement: geometry.Scale(0.1, 0.3), Layers: layers}}}}
		got := roundTrip(t, d)
		// Names that are no text come back as text.
		for i := range layers {
			layers[i].Name = strings.ToValidUTF8(layers[i].Name, "\uFFFD")
		}
		if !reflect.DeepEqual(got, d) {
			t.Fatalf("got %+v\nwant %+v", got, d)
		}
		clips := map[*job.Clip]bool{}
		for _, l := range got.Job.Items[0].Layers {
			clips[l.Content.(job.Outlines).Shapes[0].Clips[0]] = true
		}
		if len(clips) != 1 {
			t.Fatal("a clip that layers shared has become several")
		}
	})
}

// demo returns the richest of the program's own pictures.
func demo(t testing.TB, id string) job.Job {
	for _, d := range assets.Demos() {
		if d.ID == id {
			j, err := workshop.OpenSVG(context.Background(), d.Name, bytes.NewReader(d.SVG))
			if err != nil {
				t.Fatal(err)
			}
			return j
		}
	}
	t.Fatal("no demo ", id)
	return job.Job{}
}

func TestRoundTrip_Demos(t *testing.T) {
	for _, d := range assets.Demos() {
		want := Document{Job: demo(t, d.ID)}
		if got := roundTrip(t, want); !reflect.DeepEqual(got, want) {
			t.Errorf("%s is not what it was", d.ID)
		}
	}
}

func TestWrite_CompressesWhatIsLarge(t *testing.T) {
	j := demo(t, "pair")
	var small, large bytes.Buffer
	if err := Write(&small, Document{Job: j}); err != nil || small.Bytes()[0] != '{' {
		t.Error("a small file is not readable text: ", err)
	}
	l := j.Items[0].Layers
	for range 9 {
		l = append(l, l...)
	}
	for i := range l {
		l[i].ID = job.LayerID(i + 1)
	}
	j.Items[0].Layers = l
	if err := Write(&large, Document{Job: j}); err != nil || large.Bytes()[0] != 0x1f {
		t.Error("a large file is not compressed: ", err)
	}
	if got, err := Read(&large); err != nil || !reflect.DeepEqual(got.Job, j) {
		t.Error(err)
	}
}

func TestRead_Refuses(t *testing.T) {
	for text, id := range map[string]string{
		"":                               NotAJob,
		"<svg/>":                         NotAJob,
		"\x1f\x8b":                       NotAJob,
		`{"Schema":"other","Version":1}`: NotAJob,
		fmt.Sprintf(`{"Schema":"abut","Version":%d,"Job":7}`, Version+1):     TooNew,
		`{"Schema":"abut","Version":1,"Job":7}`:                              Damaged,
		`{"Schema":"abut","Version":1,"Job":{"Items":[{"ID":1}]}}`:           Damaged,
		`{"Schema":"abut","Version":1,"Clips":[{"Shapes":[{"Clips":[0]}]}]}`: Damaged,
		`{"Schema":"abut","Version":1,"Job":{"Settings":{"Units":7}}}`:       Damaged,
	} {
		_, err := Read(strings.NewReader(text))
		var e *Error
		if !errors.As(err, &e) || e.ID != id {
			t.Errorf("%q: %v, want %s", text, err, id)
		}
	}
}

// A file of the first version opens in every later one.
func TestRead_FirstVersion(t *testing.T) {
	name := filepath.Join("testdata", "boat-1.abut")
	if *update {
		var b bytes.Buffer
		if err := Write(&b, Document{Job: demo(t, "pair")}); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	b, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	got, err := Read(bytes.NewReader(b))
	if err != nil || len(got.Job.Items) != 1 || len(got.Job.Items[0].Layers) != 3 || got.Job.Items[0].Name != "Little boat" {
		t.Errorf("%v: %+v", err, got.Job)
	}
}

// Nothing that is read panics, and what is accepted can be written and read
// again. However a file is packed, reading it asks for no more memory than its
// limits allow.
func FuzzRead(f *testing.F) {
	golden, err := os.ReadFile(filepath.Join("testdata", "boat-1.abut"))
	if err != nil {
		f.Fatal(err)
	}
	f.Add(golden)
	f.Add([]byte(`{"Schema":"abut","Version":1,"Job":{"Items":[{"ID":1,"Placement":{"A":1,"D":1},"Layers":[{"ID":1,"Alpha":1,"Transform":{"A":1,"D":1},"Content":{"Outlines":{"Shapes":[{"Path":"M 0 0 L 1 1 C 1 2 3 4 5 6 Z","Clips":[0]}]}}}]}]},"Clips":[{"Shapes":[{"Path":"M 0 0"}]}]}`))
	f.Fuzz(func(t *testing.T, b []byte) {
		before := watched.Allocated()
		d, err := Read(bytes.NewReader(b))
		if n := watched.Allocated() - before; n > 1<<30 {
			t.Fatalf("%d bytes asked for", n)
		}
		if err != nil {
			return
		}
		var out bytes.Buffer
		if err := Write(&out, d); err != nil {
			t.Fatal(err)
		}
		if _, err := Read(&out); err != nil {
			t.Fatal(err)
		}
	})
}

func BenchmarkWrite_Rich(b *testing.B) {
	d := Document{Job: demo(b, "rich")}
	for b.Loop() {
		if err := Write(new(bytes.Buffer), d); err != nil {
			b.Fatal(err)
		}
	}
}
