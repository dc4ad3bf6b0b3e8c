package ask

import (
	"context"
	"image"
	"image/color"
	"math"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"golang.org/x/image/draw"
	"golang.org/x/image/math/f64"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
	"abut/internal/session"
	"abut/internal/trace"
	"abut/internal/words"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/dialogs"
	"abut/ui/paint"
	"abut/ui/theme"
)

// traceDialog shows a picture of pixels beside what comes of it, and asks about
// its colours.
type traceDialog struct {
	h       *Host
	d       *dialogs.Dialog
	t       *session.Tracer
	slider  *slider
	picture image.Image
	result  *trace.Result
	// names are what its colours are called.
	names *colour.Names
	// drawing stops the painting that is under way.
	drawing func()

	chips              *fyne.Container
	inks               []*inkChip
	well               *controls.Press
	chosen             *colour.RGB
	about              *fyne.Container
	detail             *controls.Choice
	fewer, more, found *controls.Press
	ground, sheet      *controls.Check
	mine, beneath      *controls.Check
	// sheets are the colours of one's own sheets, without patterns.
	sheets       []colour.RGB
	options      *fyne.Container
	comes, wrong *controls.Para
	use          *controls.Press
	// showing: what is set here was not chosen by anyone.
	showing bool
	then    func()
}

// tracePx is how many pixels of the pictures go on a unit: sharp on screens of twice
// the density.
const tracePx = 2

// traceWide is how wide the dialog is, in units.
const traceWide = 860

// Trace asks how the picture of pixels of an item becomes a drawing; then is called
// once that is answered.
func (h *Host) Trace(item job.ItemID, then func()) {
	t := h.Session.Tracer(item)
	if t == nil {
		then()
		return
	}
	s := &traceDialog{h: h, t: t, then: then, drawing: func() {}}
	s.d = h.Desk.New(traceWide, say("ui-trace-title"))
	s.d.SetHelp("art-in")
	s.slider = newSlider(s.room())
	s.chips = container.New(&controls.Flow{Gap: 8})
	s.about = container.New(&controls.Stack{Gap: 8})
	s.well = controls.NewFramed("bare", say("ui-trace-bare"), say("ui-trace-bare-hint"), func() { s.bare() })
	s.detail = controls.NewChoice(func(i int) {
		s.ask(func(how *job.Tracing) { how.Detail = i - 1 })
	}, say("ui-trace-less"), say("ui-trace-usual"), say("ui-trace-more"))
	s.fewer = controls.NewFramed("minus", "", say("ui-trace-fewer"), func() { s.step(-1) })
	s.more = controls.NewFramed("plus", "", say("ui-trace-many"), func() { s.step(1) })
	s.found = controls.NewFramed("", say("ui-trace-found"), say("ui-trace-found-hint"), func() {
		s.ask(func(how *job.Tracing) { how.Colours = 0 })
	})
	s.ground = controls.NewCheck(say("ui-trace-ground"), s.leaveGround)
	s.sheet = controls.NewCheck(say("ui-trace-sheet"), func(on bool) { s.ask(func(how *job.Tracing) { how.Sheet = on }) })
	if own, err := h.Session.Drawer(); err == nil { // what is wrong with it is told where it is asked for
		s.sheets = workshop.SheetColours(own)
	}
	s.mine = controls.NewCheck(say("ui-trace-mine"), func(on bool) {
		s.ask(func(how *job.Tracing) {
			how.Sheets = nil
			if on {
				how.Sheets = s.sheets
			}
		})
	})
	s.beneath = controls.NewCheck(say("ui-trace-beneath"), func(on bool) { s.ask(func(how *job.Tracing) { how.Beneath = on }) })
	s.options = container.New(&controls.Flow{Gap: 12})
	s.comes, s.wrong = controls.NewPara(say("ui-trace-reading"), controls.Text), controls.NewPara("", controls.Care)
	for _, o := range []fyne.CanvasObject{s.slider, s.chips, s.about, s.options, s.comes, s.wrong} {
		s.d.Body.Add(o)
	}
	s.use = dialogs.Button(say("ui-trace-use"), s.accept)
	cancel := dialogs.Button(say("ui-cancel"), s.cancel)
	s.d.SetButtons(cancel, s.use)
	s.d.OnCancel = s.cancel
	s.t.OnResult, s.t.OnCut = s.came, s.counted
	s.showOptions()
	s.d.Show(s.use)
	s.t.Ask(t.Wanted())
	s.use.Disable()
}

// room is how large the pictures are: what the window leaves beside all else.
func (s *traceDialog) room() fyne.Size {
	const others = 490
	all := s.h.Desk.Room()
	return fyne.NewSize(min(traceWide, all.Width-32)-48, max(150, min(460, all.Height-others)))
}

func (s *traceDialog) cancel() {
	s.t.Stop()
	s.drawing()
	s.d.Close()
	s.then()
}

func (s *traceDialog) accept() {
	if s.t.Busy() || s.result == nil {
		return
	}
	s.drawing()
	s.d.Close()
	s.t.Stop() // counting
	s.t.Use()
	s.then()
}

// ask has it traced in another way, unless what is set says so only because it is
// that way already.
func (s *traceDialog) ask(change func(*job.Tracing)) {
	if s.showing {
		return
	}
	how := s.t.Wanted()
	how.Bare, how.Joined = slices.Clone(how.Bare), slices.Clone(how.Joined)
	change(&how)
	s.use.Disable()
	s.t.Ask(how)
	s.showOptions()
}

// step allows one colour less or more than there are.
func (s *traceDialog) step(by int) {
	if s.result == nil {
		return
	}
	n := max(1, len(s.result.Inks)+by)
	s.ask(func(how *job.Tracing) {
		how.Colours, how.Bare, how.Joined = n, nil, nil
	})
}

// came takes what was traced.
func (s *traceDialog) came(r *trace.Result, err error) {
	s.wrong.SetText("")
	if err != nil {
		text, remedy := workshop.Explain(err)
		s.wrong.SetText(text + " " + remedy)
		if s.result != nil {
			s.use.Enable()
		}
		s.d.Fit()
		return
	}
	s.result, s.names = r, namesOf(r)
	if s.picture == nil {
		s.picture = s.t.Image()
	}
	s.use.Enable()
	s.showInks()
	s.showAbout()
	s.showOptions()
	s.tell(say("ui-trace-beside"))
	s.slider.size = s.room()
	s.d.Fit()
	s.paint()
}

// tell says what the pictures are.
func (s *traceDialog) tell(text string) {
	if s.result.Photo {
		text = say("ui-trace-photo") + " " + text
	}
	s.comes.SetText(text)
}

// counted takes what is cut of what was traced.
func (s *traceDialog) counted(sheets, pieces int, err error) {
	if err != nil {
		text, remedy := workshop.Explain(err)
		s.wrong.SetText(text + " " + remedy)
	} else {
		s.tell(say("ui-trace-comes", "count", words.Count(sheets), "pieces", say("ui-pieces", "count", words.Count(pieces))))
	}
	s.d.Fit()
}

// paint has both pictures painted in the background.
func (s *traceDialog) paint() {
	s.drawing()
	r, picture := s.result, s.picture
	size := image.Pt(int(s.slider.size.Width*tracePx), int(s.slider.size.Height*tracePx))
	// A blank is light in a dark room too: what is black must show on it.
	ground := theme.Light.Board
	type both struct{ before, after *image.RGBA }
	s.drawing = session.Each(s.h.Session, []struct{}{{}}, func(context.Context, struct{}) (both, error) {
		before, after := compared(picture, r, size, ground)
		return both{before, after}, nil
	}, func(_ struct{}, b both, err error) {
		if err == nil {
			s.slider.set(b.before, b.after)
		}
	})
}

// compared paints a picture and what was traced of it, as large as they fit in the
// middle of a size, on a ground.
func compared(picture image.Image, r *trace.Result, size image.Point, ground color.NRGBA) (before, after *image.RGBA) {
	before = image.NewRGBA(image.Rectangle{Max: size})
	draw.Draw(before, before.Rect, image.NewUniform(ground), image.Point{}, draw.Src)
	after = image.NewRGBA(before.Rect)
	copy(after.Pix, before.Pix)
	scale := math.Min(float64(size.X)/r.Canvas.Width(), float64(size.Y)/r.Canvas.Height())
	shift := geometry.Translate(math.Round(float64(size.X)/scale-r.Canvas.Width())/2, math.Round(float64(size.Y)/scale-r.Canvas.Height())/2)
	corner := shift.Apply(geometry.Point{}).Mul(scale)
	paper := image.Rect(int(corner.X), int(corner.Y), int(corner.X+r.Canvas.Width()*scale), int(corner.Y+r.Canvas.Height()*scale))
	m := geometry.Scale(scale, scale).Mul(shift).Mul(r.Upright)
	// Where much is made little, each pixel is to be the mean of many.
	how := draw.Transformer(draw.ApproxBiLinear)
	if scale < 0.5 {
		how = draw.BiLinear
	}
	only := before.SubImage(paper).(*image.RGBA)
	how.Transform(only, f64.Aff3{m.A, m.C, m.E, m.B, m.D, m.F}, picture, picture.Bounds(), draw.Over, nil)

	// What is traced never overlaps: so covers add up, and nothing shines through
	// where two meet.
	w, h := size.X, size.Y
	sum := make([][4]float32, w*h)
	var k paint.Masker
	for _, l := range r.Layers {
		mask, ok := k.Layer(l.Content, shift, scale, after.Rect)
		if !ok || mask == nil {
			continue
		}
		c := [3]float32{float32(l.Colour.R), float32(l.Colour.G), float32(l.Colour.B)}
		box := mask.Box.Intersect(after.Rect)
		for y := box.Min.Y; y < box.Max.Y; y++ {
			for x := box.Min.X; x < box.Max.X; x++ {
				if a := float32(mask.At(image.Pt(x, y))) / 255; a > 0 {
					p := &sum[y*w+x]
					p[0], p[1], p[2], p[3] = p[0]+a*c[0], p[1]+a*c[1], p[2]+a*c[2], p[3]+a
				}
			}
		}
	}
	for i, p := range sum {
		if p[3] == 0 {
			continue
		}
		over := max(1, p[3])
		rest := 1 - min(1, p[3])
		for j := range 3 {
			after.Pix[4*i+j] = uint8(min(255, p[j]/over+rest*float32(after.Pix[4*i+j])+0.5))
		}
	}
	return before, after
}

// showAbout offers what can be done about the chosen colour.
func (s *traceDialog) showAbout() {
	s.about.RemoveAll()
	s.well.SetEnabled(s.chosen != nil)
	if s.chosen == nil || s.result == nil {
		s.about.Add(controls.NewPara(say("ui-trace-how"), controls.Quiet))
		return
	}
	i := slices.IndexFunc(s.result.Inks, func(k trace.Ink) bool { return k.Colour == *s.chosen })
	ink, c := s.result.Inks[i], *s.chosen
	if ink.Joined && !slices.ContainsFunc(s.t.Wanted().Joined, func(j job.Joined) bool { return j.From == c }) {
		s.about.Add(controls.NewPara(say("ui-trace-one-sheet", "name", s.called(c), "other", s.called(ink.To)), controls.Quiet))
		return
	}
	if ink.Joined || ink.Bare {
		s.about.Add(container.NewHBox(controls.NewFramed("", say("ui-trace-apart", "name", s.called(c)), "", func() { s.apart(c) })))
		return
	}
	var others []colour.RGB
	for _, k := range s.result.Inks {
		if k.Colour != c && !k.Joined && !k.Bare {
			others = append(others, k.Colour)
		}
	}
	if len(others) > 0 {
		s.about.Add(controls.NewLine(say("ui-trace-join", "name", s.called(c)), controls.Quiet))
		s.about.Add(controls.NewSwatches(others, nil, func(to colour.RGB) { s.join(c, to) }, s.called))
	}
}

// showOptions shows what was asked for, and what there is to ask.
func (s *traceDialog) showOptions() {
	s.showing = true
	defer func() { s.showing = false }()
	how := s.t.Wanted()
	s.detail.Choose(max(0, min(2, how.Detail+1)))
	g := s.groundInk()
	s.ground.SetChecked(how.BareGround || g != nil && (g.Paper && !how.KeepGround || slices.Contains(how.Bare, g.Colour)))
	s.mine.SetChecked(len(how.Sheets) > 0)
	s.beneath.SetChecked(how.Beneath)
	s.sheet.SetChecked(how.Sheet)
	s.found.SetEnabled(how.Colours != 0)
	s.options.RemoveAll()
	s.options.Add(s.detail)
	colours := controls.NewLine(say("ui-trace-colours"), controls.Quiet)
	s.options.Add(container.NewHBox(container.NewCenter(colours), s.fewer, s.more, s.found))
	if g != nil {
		s.ground.Text = say("ui-trace-ground", "name", s.called(g.Colour))
		s.options.Add(s.ground)
	}
	if s.result != nil && s.result.Sheet != nil {
		s.options.Add(s.sheet)
	}
	if len(s.sheets) > 0 || len(how.Sheets) > 0 {
		s.options.Add(s.mine)
	}
	s.options.Add(s.beneath)
	s.options.Refresh()
}
