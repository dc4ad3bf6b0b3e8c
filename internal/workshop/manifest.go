package workshop

import (
	"context"
	"encoding/json"
	"io"
	"math"

	"abut/geometry"
	"abut/internal/cutfile"
	"abut/internal/fit"
	"abut/internal/fit/assemble"
	"abut/internal/job"
	"abut/internal/words"
)

// Schema names the layout of job.json.
const Schema = "abut-job/1"

// Manifest is job.json: what was written, for other programs. Lengths are
// millimetres.
type Manifest struct {
	Schema string `json:"schema"`
	Art    string `json:"art"`
	// WidthMM and HeightMM are the art's extent.
	WidthMM  float64 `json:"width_mm"`
	HeightMM float64 `json:"height_mm"`
	// PageMM is the page of every cut file, frame and margin included.
	PageMM [2]float64 `json:"page_mm"`
	// SourceToPage maps the art's root user units to page millimetres, before
	// mirroring: SVG's matrix(a b c d e f).
	SourceToPage [6]float64 `json:"source_to_page"`
	Mirrored     bool       `json:"mirrored"`
	// Base is the name of the separation whose backing is the carrier.
	Base string `json:"base"`
	// StackedBeforeMM2 is what stacks in the art as drawn, StackedAfterMM2
	// what stacks in what was written.
	StackedBeforeMM2 float64 `json:"stacked_before_mm2"`
	StackedAfterMM2  float64 `json:"stacked_after_mm2"`
	// Marks says that every file has small shapes outside the art to line film up.
	Marks bool `json:"marks"`
	// Room is what the art had to fit, and Beyond what of it is too small: the
	// files were written all the same, as asked.
	Room   ManifestRoom     `json:"room"`
	Beyond []ManifestBeyond `json:"beyond"`
	// FrameMarginMM and FrameCornerMM describe the frame, 0 without one.
	FrameMarginMM float64              `json:"frame_margin_mm"`
	FrameCornerMM float64              `json:"frame_corner_mm"`
	Separations   []ManifestSeparation `json:"separations"`
	// Drawings are what is drawn on sheets before they are cut; DrawnOffMM is how
	// much of the lines lies on no piece and is not drawn.
	Drawings   []ManifestDrawing  `json:"drawings"`
	DrawnOffMM float64            `json:"drawn_off_mm"`
	WeakSpots  []ManifestWeakSpot `json:"weak_spots"`
	LeftOut    []string           `json:"left_out"`
	Warnings   []ManifestWarning  `json:"warnings"`
	Verdict    string             `json:"verdict"`
}

// ManifestSeparation is one cut file.
type ManifestSeparation struct {
	Order   int        `json:"order"`
	Name    string     `json:"name"`
	Color   string     `json:"color"`
	Use     string     `json:"use"`
	File    string     `json:"file"`
	Pieces  int        `json:"pieces"`
	AreaMM2 float64    `json:"area_mm2"`
	CutMM   float64    `json:"cut_mm"`
	TrimMM  [2]float64 `json:"trim_mm"`
	// Frame says that the file holds the frame line.
	Frame bool           `json:"frame"`
	Carry assemble.Carry `json:"carry"`
	// CarryWhy says why it goes over so.
	CarryWhy string `json:"carry_why"`
}

// ManifestDrawing is a file for the pen.
type ManifestDrawing struct {
	// Order is that of the sheet that is drawn on.
	Order    int      `json:"order"`
	Sheet    string   `json:"sheet"`
	Color    string   `json:"color"`
	File     string   `json:"file"`
	Layers   []string `json:"layers"`
	LengthMM float64  `json:"length_mm"`
}

func describeDrawings(j job.Job, page *cutfile.Page) []ManifestDrawing {
	out := []ManifestDrawing{}
	for _, d := range page.Drawings {
		x := ManifestDrawing{
			Order: page.Separations[d.Sheet].Order, Sheet: page.Separations[d.Sheet].Name, Color: d.Colour.String(),
			File: page.DrawingFileName(d, "svg"), Layers: []string{}, LengthMM: rounded(d.LengthMM),
		}
		for _, id := range d.Layers {
			if l, _, ok := j.Layer(id); ok {
				x.Layers = append(x.Layers, l.Name)
			}
		}
		out = append(out, x)
	}
	return out
}

// ManifestRoom is what the art has to fit: the width that the cutter can cut,
// sheets that say nothing of their own, and the blank, empty when none was chosen.
type ManifestRoom struct {
	CutterMM float64    `json:"cutter_mm"`
	SheetMM  [2]float64 `json:"sheet_mm"`
	Blank    string     `json:"blank"`
	BlankMM  [2]float64 `json:"blank_mm"`
}

// ManifestBeyond is something that is too small for the art with its frame.
type ManifestBeyond struct {
	// What is blank, cutter or sheet.
	What       string     `json:"what"`
	Separation string     `json:"separation"`
	OverMM     [2]float64 `json:"over_mm"`
	// Frame: the frame is counted in.
	Frame bool   `json:"frame"`
	Text  string `json:"text"`
}

func room(s job.Settings) ManifestRoom {
	r := ManifestRoom{CutterMM: s.Cutter()}
	r.SheetMM[0], r.SheetMM[1] = s.SheetSize()
	if b := s.BlankShape; b != nil {
		r.Blank, r.BlankMM = b.Name, [2]float64{b.WidthMM, b.HeightMM}
	}
	return r
}

func describeBeyond(w *words.Words, p *fit.Plan) []ManifestBeyond {
	out := []ManifestBeyond{}
	for _, x := range p.Beyond {
		name := ""
		if s, _ := p.Find(x.Of); s != nil {
			name = s.Name
		}
		out = append(out, ManifestBeyond{
			What: x.What.String(), Separation: name, Frame: x.Frame, Text: w.Message(x.Message),
			OverMM: [2]float64{rounded(x.OverWidthMM), rounded(x.OverHeightMM)},
		})
	}
	return out
}

// ManifestWeakSpot is a place that is hard to cut, weed or carry.
type ManifestWeakSpot struct {
	Kind       string  `json:"kind"`
	XMM        float64 `json:"x_mm"`
	YMM        float64 `json:"y_mm"`
	WidthMM    float64 `json:"width_mm"`
	Separation string  `json:"separation"`
	Mended     bool    `json:"mended"`
}

// ManifestWarning is a warning in words.
type ManifestWarning struct {
	ID      string `json:"id"`
	Text    string `json:"text"`
	Line    int    `json:"line"`
	Element string `json:"element"`
	Remedy  string `json:"remedy"`
}

// manifest describes the page. before is what stacks in the art as drawn.
func manifest(j job.Job, p *fit.Plan, page *cutfile.Page, before float64, warnings []job.Warning, spots []fit.WeakSpot) *Manifest {
	w := words.Chosen().In(j.Settings.Units)
	m := &Manifest{
		Schema:           Schema,
		WidthMM:          rounded(p.Extent.Width()),
		HeightMM:         rounded(p.Extent.Height()),
		PageMM:           [2]float64{page.Width.MM(), page.Height.MM()},
		Mirrored:         true,
		StackedBeforeMM2: rounded(before),
		StackedAfterMM2:  rounded(p.Stacked.AreaMM2),
		Marks:            p.Marks != nil,
		Room:             room(j.Settings),
		Beyond:           describeBeyond(w, p),
		Separations:      []ManifestSeparation{},
		Drawings:         describeDrawings(j, page),
		DrawnOffMM:       rounded(p.Off.LengthMM),
		WeakSpots:        DescribeSpots(p, spots),
		LeftOut:          append([]string{}, p.LeftOut...),
		Warnings:         DescribeWarnings(w, warnings),
		Verdict:          w.Message(Verdict(p, spots).Message),
	}
	toPage := page.BoardToPage
	if len(j.Items) > 0 {
		m.Art = j.Items[0].Source
		toPage = toPage.Mul(j.Items[0].Placement)
	}
	m.SourceToPage = sixNumbers(toPage)
	for _, s := range page.Separations {
		tw, th := s.TrimMM()
		m.Separations = append(m.Separations, ManifestSeparation{
			Order: s.Order, Name: s.Name, Color: s.Colour.String(), Use: s.Use.String(), File: s.FileName("svg"),
			Pieces: len(s.Pieces), AreaMM2: rounded(s.AreaMM2), CutMM: rounded(s.CutMM),
			TrimMM: [2]float64{tw, th}, Frame: s.Frame != nil, Carry: s.Carry,
			CarryWhy: w.Message(p.Separations[s.Order-1].CarryReason),
		})
	}
	if p.Frame != nil {
		m.FrameMarginMM, m.FrameCornerMM = rounded(p.Frame.MarginMM), rounded(p.Frame.CornerMM)
	}
	if len(page.Separations) > 0 {
		m.Base = page.Separations[0].Name
	}
	return m
}

// DescribeWarnings puts warnings into words.
func DescribeWarnings(w *words.Words, list []job.Warning) []ManifestWarning {
	out := []ManifestWarning{}
	for _, x := range list {
		text, remedy := w.Warning(x)
		out = append(out, ManifestWarning{ID: x.ID, Text: text, Line: x.Line, Element: x.Element, Remedy: remedy})
	}
	return out
}

// Warnings returns everything to know about a job and its plan: what the
// imports had to say first.
func Warnings(j job.Job, p *fit.Plan) []job.Warning {
	var out []job.Warning
	for _, it := range j.Items {
		out = append(out, ArtWarnings(it)...)
	}
	out = append(out, seeThrough(j, p)...)
	return append(out, p.Warnings...)
}

// Write writes the manifest as JSON.
func (m *Manifest) Write(w io.Writer) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(m)
}

// stackedAsDrawn is the area where colours stack when nothing is knocked out.
func stackedAsDrawn(ctx context.Context, c *fit.Cache, j job.Job, p *fit.Plan) (float64, error) {
	drawn := true
	for _, it := range j.Items {
		for _, l := range it.Layers {
			drawn = drawn && !l.Knocks
		}
	}
	if drawn {
		return p.Stacked.AreaMM2, nil
	}
	j, err := job.ClearMends(j) // the art as drawn
	if err == nil {
		j, err = job.SetKnocks(j, j.LayerIDs(), false)
	}
	if err != nil {
		return 0, explain(err)
	}
	before, err := FitCached(ctx, c, j)
	if err != nil {
		return 0, err
	}
	return before.Stacked.AreaMM2, nil
}

// rounded drops what floats add beyond a millionth.
func rounded(v float64) float64 { return math.Round(v*1e6) / 1e6 }

func sixNumbers(m geometry.Affine) [6]float64 {
	return [6]float64{m.A, m.B, m.C, m.D, m.E, m.F}
}
