package workshop

import (
	"math"

	"abut/geometry"
	"abut/internal/cutfile"
	"abut/internal/fit"
	"abut/internal/fit/mend"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/words"
)

// describe makes the manifest of the plan p as it is laid out on the page and in
// files.
func describe(j job.Job, p *fit.Plan, page *cutfile.Page, files []ManifestFile) *Manifest {
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
		Pictures:        []ManifestPicture{},
		Separations:     []ManifestSeparation{},
		Files:           files,
		DrawnOffMM:      rounded(p.Off.LengthMM),
		LeftOut:         append([]string{}, p.LeftOut...),
	}
	for _, it := range j.Items {
		to := page.BoardToPage.Mul(it.Placement)
		m.Pictures = append(m.Pictures, ManifestPicture{it.Name, it.Source, [6]float64{to.A, to.B, to.C, to.D, to.E, to.F}})
	}
	m.Art, m.SourceToPage = m.Pictures[0].File, m.Pictures[0].SourceToPage // what is cut is of one
	for i, s := range page.Separations {
		if i == 0 {
			m.Base = s.Name
		}
		m.describeSeparation(w, s.Order, &s, p.Separations[i].CarryReason)
	}
	m.Drawings = m.describeDrawings(j, page)
	if p.Frame != nil {
		m.FrameMarginMM, m.FrameCornerMM = rounded(p.Frame.MarginMM), rounded(p.Frame.CornerMM)
	}
	return m
}

func (m *Manifest) describeSeparation(w *words.Words, order int, s *cutfile.Separation, why message.Message) {
	tw, th := s.TrimMM()
	m.Separations = append(m.Separations, ManifestSeparation{
		Order: order, Name: s.Name, Color: s.Colour.String(), Use: s.Use.String(), File: m.fileOf(order, 0),
		Pieces: len(s.Pieces), AreaMM2: rounded(s.AreaMM2), CutMM: rounded(s.CutMM),
		TrimMM: [2]float64{tw, th}, Frame: s.Frame != nil, Carry: s.Carry,
		CarryWhy: w.Message(why), CarrySays: says(why),
	})
}

func (m *Manifest) describeDrawings(j job.Job, page *cutfile.Page) []ManifestDrawing {
	out := []ManifestDrawing{}
	for i, d := range page.Drawings {
		s := &page.Separations[d.Sheet]
		out = append(out, ManifestDrawing{
			Order: s.Order, Sheet: s.Name, Color: d.Colour.String(), File: m.fileOf(s.Order, i+1),
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
			What: x.What.String(), Separation: nameOf(p, x.Of), Frame: x.Frame,
			ManifestMessage: says(x.Message), Text: w.Message(x.Message),
			OverMM: [2]float64{rounded(x.OverWidthMM), rounded(x.OverHeightMM)},
		})
	}
	return out
}

// describeSpots lists weak spots, and those that were mended, as job.json has
// them: in page millimetres, not mirrored. p is the plan that they were found in.
func describeSpots(p *fit.Plan, spots []fit.WeakSpot) []ManifestWeakSpot {
	out := []ManifestWeakSpot{}
	add := func(kind job.SpotKind, at geometry.Point, width, length float64, of fit.Material, mended bool) {
		out = append(out, ManifestWeakSpot{
			Kind: kind.String(), XMM: rounded(at.X - p.Page.Min.X), YMM: rounded(at.Y - p.Page.Min.Y),
			WidthMM: rounded(width), LengthMM: rounded(length), Separation: nameOf(p, of), Mended: mended,
		})
	}
	for i := range spots {
		s := &spots[i]
		add(s.Kind, s.At, s.WidthMM, s.LengthMM, s.Piece.Of, false)
	}
	for _, m := range p.Mends {
		if m.State == mend.Done && m.Do != job.Keep {
			add(m.Spot, m.At, m.SpotMM, 0, m.Of, true)
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

// describeThings lists what weak spots belong to.
func describeThings(w *words.Words, things []fit.WeakThing) []ManifestWeakThing {
	out := []ManifestWeakThing{}
	for i := range things {
		t := &things[i]
		m := ManifestWeakThing{Layer: t.Name, Count: t.Count, WidthMM: rounded(t.WidthMM), Text: w.Message(t.Message()), Spots: t.Spots}
		if t.Layer != 0 {
			m.Kind = t.Kind.String()
		}
		out = append(out, m)
	}
	return out
}

// describeWarnings puts the job's Warnings, and more that follow them, into words.
func describeWarnings(w *words.Words, j job.Job, list []job.Warning) []ManifestWarning {
	var pictures []string // of the first ones, which their imports gave
	for _, it := range j.Items {
		for range artWarnings(it) {
			pictures = append(pictures, it.Name)
		}
	}
	out := []ManifestWarning{}
	for i, x := range list {
		text, remedy := w.Warning(x)
		m := ManifestWarning{ManifestMessage: says(x.Message), Text: text, Line: x.Line, Element: x.Element, Remedy: remedy}
		if i < len(pictures) {
			m.Picture = pictures[i]
		}
		out = append(out, m)
	}
	return out
}

// says is a message for other programs.
func says(m message.Message) ManifestMessage {
	args := map[string]any{}
	for name, text := range m.Args {
		args[name] = text
	}
	for name, v := range m.Values {
		if v != nil {
			args[name] = argument(v)
		}
	}
	return ManifestMessage{m.ID, args}
}

// argument is a message's value in JSON: lengths, areas and counts are numbers, a
// size is two, names stand as they are, several of them are a list, and what is
// said within what is said is a message again.
func argument(v any) any {
	switch v := v.(type) {
	case message.MM:
		return rounded(float64(v))
	case message.Fine:
		return rounded(float64(v))
	case message.MM2:
		return rounded(float64(v))
	case message.Number:
		return rounded(float64(v))
	case message.Exact:
		return rounded(v.Value)
	case message.Size:
		return []float64{rounded(v.Width), rounded(v.Height)}
	case message.Few:
		return append([]string{}, v...)
	case message.List:
		out := make([]any, len(v))
		for i, x := range v {
			out[i] = argument(x)
		}
		return out
	case message.ColourName:
		return map[string]any{"word": v.Word, "number": v.Number}
	case message.Message:
		return says(v)
	}
	return v // a text, a whole number or texts
}

// rounded drops what floats add beyond a millionth.
func rounded(v float64) float64 { return math.Round(v*1e6) / 1e6 }
