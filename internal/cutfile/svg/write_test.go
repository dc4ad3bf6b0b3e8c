package svg

import (
	"bytes"
	"encoding/xml"
	"errors"
	"regexp"
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/cutfile"
	"abut/internal/fit"
	"abut/internal/fit/assemble"
)

// document is what a cut file may hold, and no more.
type document struct {
	XMLName xml.Name `xml:"http://www.w3.org/2000/svg svg"`
	Width   string   `xml:"width,attr"`
	Height  string   `xml:"height,attr"`
	ViewBox string   `xml:"viewBox,attr"`
	Title   string   `xml:"title"`
	Paths   []struct {
		ID     string `xml:"id,attr"`
		Fill   string `xml:"fill,attr"`
		Rule   string `xml:"fill-rule,attr"`
		Stroke string `xml:"stroke,attr"`
		Width  string `xml:"stroke-width,attr"`
		D      string `xml:"d,attr"`
	} `xml:"path"`
	Others []struct {
		XMLName xml.Name
	} `xml:",any"`
}

func write(t *testing.T, p *fit.Plan, i int) document {
	t.Helper()
	page, err := cutfile.New(p)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := Write(&b, page, i); err != nil {
		t.Fatal(err)
	}
	var d document
	if err := xml.Unmarshal(b.Bytes(), &d); err != nil {
		t.Fatal(err)
	}
	if len(d.Others) > 0 {
		t.Errorf("unexpected element %v", d.Others)
	}
	return d
}

// letterF is 30 × 50 mm with its stem on the left; hole is inside the stem.
func letterF() *fit.Plan {
	hole := geometry.RectXYWH(2, 20, 3, 3)
	outline := geometry.Path{hole.Path()[0], geometry.Polygon(geometry.Pt(0, 0), geometry.Pt(30, 0), geometry.Pt(30, 8),
		geometry.Pt(8, 8), geometry.Pt(8, 20), geometry.Pt(24.1234, 20), geometry.Pt(24.1234, 28), geometry.Pt(8, 28), geometry.Pt(8, 50), geometry.Pt(0, 50))}
	b := outline.Bounds()
	return &fit.Plan{Assembly: assemble.Assembly{Extent: b, Page: b, Separations: []fit.Separation{{
		Name: "a <b> & c", Colour: colour.RGB{R: 0x12, G: 0x34, B: 0x56}, Outline: outline, Bounds: b,
	}}}}
}

func TestWrite_LetterFIsReversed(t *testing.T) {
	d := write(t, letterF(), 0)
	want := "M28 20L25 20 25 23 28 23Z" +
		"M30 0L0 0 0 8 22 8 22 20 5.8766 20 5.8766 28 22 28 22 50 30 50Z"
	if len(d.Paths) != 1 || d.Paths[0].D != want {
		t.Errorf("%v\nwant %s", d.Paths, want)
	}
}

func TestWrite_OneFilledCompoundPathAtTrueSize(t *testing.T) {
	d := write(t, letterF(), 0)
	if d.Width != "30mm" || d.Height != "50mm" || d.ViewBox != "0 0 30 50" {
		t.Errorf("%q %q %q", d.Width, d.Height, d.ViewBox)
	}
	p := d.Paths[0]
	if p.Fill != "#123456" || p.Rule != "evenodd" || p.Stroke != "" || p.ID != "" {
		t.Errorf("%+v", p)
	}
	if d.Title != "1 a <b> & c, mirrored" {
		t.Error(d.Title)
	}
}

func TestWrite_FrameIsOneClosedUnfilledLineOnTheBase(t *testing.T) {
	p := letterF()
	p.Separations = append(p.Separations, p.Separations[0])
	p.Page = p.Page.Grow(5)
	p.Frame = &fit.Frame{Outline: p.Page.Path(), Bounds: p.Page, MarginMM: 5}
	d := write(t, p, 0)
	if len(d.Paths) != 2 {
		t.Fatalf("%v", d.Paths)
	}
	f := d.Paths[1]
	if f.ID != "frame" || f.Fill != "none" || f.Stroke != "#123456" || f.Width != "0.1" || f.D != "M40 0L0 0 0 60 40 60Z" {
		t.Errorf("%+v", f)
	}
	if d.ViewBox != "0 0 40 60" || !strings.HasPrefix(d.Paths[0].D, "M33 25L30 25") {
		t.Errorf("%s %s", d.ViewBox, d.Paths[0].D)
	}
	if other := write(t, p, 1); len(other.Paths) != 1 || other.ViewBox != d.ViewBox {
		t.Errorf("second separation: %v", other)
	}
}

func TestWrite_NoMoreThanFourDecimals(t *testing.T) {
	p := letterF()
	p.Separations[0].Outline = geometry.Path{geometry.Ellipse(geometry.Pt(10, 10), 7, 7)}
	d := write(t, p, 0)
	if long := regexp.MustCompile(`\.\d{5}|\.\d*0[ MLCZ]|[eE]`).FindString(d.Paths[0].D); long != "" {
		t.Errorf("%q in %s", long, d.Paths[0].D)
	}
	if n := strings.Count(d.Paths[0].D, "C"); n != 1 {
		t.Errorf("%d runs of curves: %s", n, d.Paths[0].D)
	}
}

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, errors.New("no space left") }

func TestWrite_ReportsAWriterThatFails(t *testing.T) {
	page, err := cutfile.New(letterF())
	if err != nil {
		t.Fatal(err)
	}
	if Write(fullDisk{}, page, 0) == nil {
		t.Error("no error")
	}
}

func TestWriteDrawing_OpenLinesStayOpenAndAllIsMirrored(t *testing.T) {
	p := &fit.Plan{
		Assembly: assemble.Assembly{
			Extent: geometry.RectXYWH(0, 0, 40, 20), Page: geometry.RectXYWH(0, 0, 40, 20),
			Separations: []fit.Separation{{Name: "Red & co", Outline: geometry.RectXYWH(0, 0, 40, 20).Path()}},
		},
		Drawings: []fit.Drawing{{Name: "Black", Lines: geometry.Path{
			{Start: geometry.Pt(1, 2), Segments: []geometry.Segment{geometry.LineTo(geometry.Pt(5, 2))}},
			geometry.RectXYWH(10, 5, 4, 4).Path()[0],
		}}},
	}
	page, err := cutfile.New(p)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := WriteDrawing(&b, page, 0); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`d="M39 2L35 2M30 5L`, `Z"/>`, `fill="none"`, `Red &amp; co`, `width="40mm"`} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("no %s in %s", want, b.String())
		}
	}
}

// Layers are told by what any reader of SVG knows: groups with an id and a title.
func TestWriteLayers_HasANamedGroupForEachSheetAndPen(t *testing.T) {
	p := letterF()
	p.Separations = append(p.Separations, p.Separations[0])
	p.Separations[1].Name = "Red"
	p.Page = p.Page.Grow(5)
	p.Frame = &fit.Frame{Outline: p.Page.Path(), Bounds: p.Page, MarginMM: 5}
	p.Marks = geometry.RectXYWH(-4, -4, 2, 2).Path()
	p.Drawings = []fit.Drawing{{Name: "Black", Lines: geometry.Path{{Start: geometry.Pt(1, 2), Segments: []geometry.Segment{geometry.LineTo(geometry.Pt(5, 2))}}}}}
	page, err := cutfile.New(p)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := WriteLayers(&b, page); err != nil {
		t.Fatal(err)
	}
	var d struct {
		Groups []struct {
			ID    string `xml:"id,attr"`
			Title string `xml:"title"`
			Paths []struct {
				ID string `xml:"id,attr"`
				D  string `xml:"d,attr"`
			} `xml:"path"`
		} `xml:"g"`
	}
	if err := xml.Unmarshal(b.Bytes(), &d); err != nil {
		t.Fatal(err)
	}
	var got []string
	ids := map[string]bool{}
	for _, g := range d.Groups {
		got = append(got, g.ID+": "+g.Title)
		for _, x := range g.Paths {
			if ids[x.ID] && x.ID != "" {
				t.Errorf("the id %s is there twice", x.ID)
			}
			ids[x.ID] = true
		}
	}
	want := "sheet-01-a-b-c: 1 a <b> & c|sheet-01-a-b-c-drawn-black: 1 a <b> & c, Black|sheet-02-red: 2 Red"
	if strings.Join(got, "|") != want {
		t.Errorf("%s\nwant %s", strings.Join(got, "|"), want)
	}
	// What is cut is the same as in a file of its own.
	for i, group := range []int{0, 2} {
		if one := write(t, p, i); one.Paths[0].D != d.Groups[group].Paths[0].D {
			t.Errorf("sheet %d: %s, in its own file %s", i+1, d.Groups[group].Paths[0].D, one.Paths[0].D)
		}
	}
}
