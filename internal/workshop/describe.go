package workshop

import (
	"math"

	"abut/geometry"
	"abut/internal/cutfile"
	"abut/internal/fit"
	"abut/internal/fit/mend"
	"abut/internal/job"
	"abut/internal/words"
)

// describe makes the manifest of the plan p as it is laid out on the page.
func describe(j job.Job, p *fit.Plan, page *cutfile.Page) *Manifest {
	w := words.Chosen().In(j.Settings.Units)
	m := &Manifest{
		Schema:          schema,
		WidthMM:         rounded(p.Extent.Width()),
		HeightMM:        rounded(p.Extent.Height()),
		PageMM:          [2]float64{page.Width.MM(), page.Height.MM()},
		Mirrored:        true,
		StackedAfterMM2: rounded(p.Stacked.AreaMM2),
		Marks:           p.Marks != nil,
		Room:            room(j.Settings),
		Beyond:          describeBeyond(w, p),
		Separations:     []ManifestSeparation{},
		Drawings:        describeDrawings(j, page),
		DrawnOffMM:      rounded(p.Off.LengthMM),
		LeftOut:         append([]string{}, p.LeftOut...),
	}
	toPage := page.BoardToPage
	if len(j.Items) > 0 {
		m.Art = j.Items[0].Source
		toPage = toPage.Mul(j.Items[0].Placement)
	}
	m.SourceToPage = [6]float64{toPage.A, toPage.B, toPage.C, toPage.D, toPage.E, toPage.F}
	for i, s := range page.Separations {
		if i == 0 {
			m.Base = s.Name
		}
		tw, th := s.TrimMM()
		m.Separations = append(m.Separations, ManifestSeparation{
			Order: s.Order, Name: s.Name, Color: s.Colour.String(), Use: s.Use.String(), File: s.FileName("svg"),
			Pieces: len(s.Pieces), AreaMM2: rounded(s.AreaMM2), CutMM: rounded(s.CutMM),
			TrimMM: [2]float64{tw, th}, Frame: s.Frame != nil, Carry: s.Carry,
			CarryWhy: w.Message(p.Separations[i].CarryReason),
		})
	}
	if p.Frame != nil {
		m.FrameMarginMM, m.FrameCornerMM = rounded(p.Frame.MarginMM), rounded(p.Frame.CornerMM)
	}
	return m
}

func describeDrawings(j job.Job, page *cutfile.Page) []ManifestDrawing {
	out := []ManifestDrawing{}
	for _, d := range page.Drawings {
		s := &page.Separations[d.Sheet]
		out = append(out, ManifestDrawing{
			Order: s.Order, Sheet: s.Name, Color: d.Colour.String(), File: page.DrawingFileName(d, "svg"),
			Layers: LayerNames(j, d.Layers), LengthMM: rounded(d.LengthMM),
		})
	}
	return out
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
		out = append(out, ManifestBeyond{
			What: x.What.String(), Separation: nameOf(p, x.Of), Frame: x.Frame, Text: w.Message(x.Message),
			OverMM: [2]float64{rounded(x.OverWidthMM), rounded(x.OverHeightMM)},
		})
	}
	return out
}

// describeSpots lists weak spots, and those that were mended, as job.json has
// them: in page millimetres, not mirrored. p is the plan that they were found in.
func describeSpots(p *fit.Plan, spots []fit.WeakSpot) []ManifestWeakSpot {
	out := []ManifestWeakSpot{}
	add := func(kind job.SpotKind, at geometry.Point, width float64, of fit.Material, mended bool) {
		out = append(out, ManifestWeakSpot{
			Kind: kind.String(), XMM: rounded(at.X - p.Page.Min.X), YMM: rounded(at.Y - p.Page.Min.Y),
			WidthMM: rounded(width), Separation: nameOf(p, of), Mended: mended,
		})
	}
	for i := range spots {
		s := &spots[i]
		add(s.Kind, s.At, s.WidthMM, s.Piece.Of, false)
	}
	for _, m := range p.Mends {
		if m.State == mend.Done && m.Do != job.Keep {
			add(m.Spot, m.At, m.SpotMM, m.Of, true)
		}
	}
	return out
}

// nameOf names the plan's separation of a material, nothing when there is none.
func nameOf(p *fit.Plan, of fit.Material) string {
	if s, _ := p.Find(of); s != nil {
		return s.Name
	}
	return ""
}

// describeWarnings puts warnings into words.
func describeWarnings(w *words.Words, list []job.Warning) []ManifestWarning {
	out := []ManifestWarning{}
	for _, x := range list {
		text, remedy := w.Warning(x)
		out = append(out, ManifestWarning{ID: x.ID, Text: text, Line: x.Line, Element: x.Element, Remedy: remedy})
	}
	return out
}

// rounded drops what floats add beyond a millionth.
func rounded(v float64) float64 { return math.Round(v*1e6) / 1e6 }
