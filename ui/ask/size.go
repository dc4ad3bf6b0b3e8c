package ask

import (
	"encoding/json"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/geometry"
	"abut/internal/job"
	"abut/internal/words"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/dialogs"
	"abut/ui/entry"
)

// Ways of saying how large art is.
const (
	byWidth = iota
	byHeight
	byBlank
)

// lastSize is the size that was chosen last.
type lastSize struct {
	By int
	MM float64
	// Blank is the key of the blank that was filled.
	Blank string
}

const prefSize = "size-last"

func (h *Host) lastSize() lastSize {
	last := lastSize{MM: workshop.UnsizedMM}
	kept := last
	if s := h.Prefs.String(prefSize); s != "" && json.Unmarshal([]byte(s), &kept) == nil && kept.By >= byWidth && kept.By <= byBlank && kept.MM > 0 {
		last = kept
	}
	return last
}

func (h *Host) keepSize(s lastSize) {
	if text, err := json.Marshal(s); err == nil {
		h.Prefs.SetString(prefSize, string(text))
	}
}

// sizeDialog asks how large the art is: its width, its height, or the blank that
// it fills.
type sizeDialog struct {
	h      *Host
	d      *dialogs.Dialog
	by     *controls.Choice
	units  *controls.Choice
	entry  *controls.Entry
	typed  *fyne.Container
	list   *fyne.Container
	blanks []*controls.Press
	// offered are the blanks to fill, blank the chosen one.
	offered []offeredBlank
	blank   int
	later   *controls.Press
	set     *controls.Press
	// paper is whether white paper around the art is to be left out, paperLayer the layer of it, 0 where there is none;
	// all and cut are the bounds with and without it.
	paper      *controls.Check
	papers     *fyne.Container
	paperLayer job.LayerID
	all, cut   geometry.Rect
	// comes says what size comes of it.
	comes, wrong *controls.Para
	// shape is width over height of what the size is of.
	shape float64
	// mm is the length that counts while by says width or height.
	mm float64
}

// Size asks how large the art is when its file does not say.
func (h *Host) Size() {
	last, now := h.lastSize(), h.artBounds()
	s := &sizeDialog{h: h, d: h.Desk.New(520, say("ui-size-title")), mm: last.MM, shape: shapeOf(now), all: now, cut: now}
	s.d.SetHelp("size-and-blank")
	s.by = controls.NewChoice(func(i int) { s.choose(i) }, say("ui-details-width"), say("ui-details-height"), say("ui-size-blank"))
	s.by.Fills = true
	s.units = controls.NewChoice(func(i int) { s.setUnits(job.Units(i)) }, "mm", "in")
	s.entry = controls.NewEntry("")
	s.entry.OnChanged = func(string) { s.typedLength() }
	s.typed = container.NewBorder(nil, nil, nil, s.units, s.entry)
	s.list = container.New(&controls.Flow{Gap: 4})
	s.offered = h.blanks()
	for i, o := range s.offered {
		p := controls.NewAction("", o.Name, "", func() { s.pick(i) })
		p.Framed, p.Height = true, 32
		s.blanks = append(s.blanks, p)
		s.list.Add(p)
		if o.key == last.Blank {
			s.blank = i
		}
	}
	s.comes, s.wrong = controls.NewPara("", controls.Text), controls.NewPara("", controls.Care)
	s.papers = container.New(&controls.Flow{})
	s.papers.Hide()
	for _, o := range []fyne.CanvasObject{controls.NewPara(say("ui-size-why"), controls.Quiet), s.by, s.typed, s.list, s.papers, s.comes, s.wrong} {
		s.d.Body.Add(o)
	}
	s.later = dialogs.Button(s.keeps(), func() {
		s.d.Close()
		s.leaveOut()
		h.Session.AcceptSize()
	})
	s.set = dialogs.Button(say("ui-size-set"), s.accept)
	s.d.SetButtons(s.later, s.set)
	s.d.OnEscape = s.d.Cancel
	h.sizing = s
	s.look()
	s.by.Choose(last.By)
	s.units.Choose(int(h.Session.Job().Settings.Units))
	s.show(s.mm)
	s.pick(s.blank)
	s.d.Show(s.entry)
	s.choose(last.By)
}

// PlanFound brings a dialog that shows up to what the job comes to since it came up: it is asked for at once, before
// that is known, and pictures may be dropped meanwhile.
func (h *Host) PlanFound() {
	s := h.sizing
	if s == nil || !s.d.Shown() {
		return
	}
	all, cut, paper := s.all, s.cut, s.paper
	if s.look(); s.all != all || s.cut != cut || s.paper != paper {
		s.measure()
	}
}

// look finds how large all is, and offers to leave out the paper around what is cut, where there is some.
func (s *sizeDialog) look() {
	s.all = s.h.artBounds()
	plan, exact := s.h.Session.Plan()
	if plan == nil || !exact {
		return
	}
	layer, cut, ok := plan.Paper()
	l, _, there := s.h.Session.Job().Layer(layer)
	if !ok || !there || cut.Empty() {
		s.paper, s.cut = nil, s.all
		s.papers.RemoveAll()
		s.papers.Hide()
		return
	}
	s.paperLayer, s.cut = layer, cut
	if s.paper == nil {
		s.paper = controls.NewCheck(say("ui-size-paper", "name", l.Name), func(bool) { s.measure() })
		s.papers.Add(s.paper)
		s.papers.Show()
	}
}

// measure brings what is said up to what the size is of.
func (s *sizeDialog) measure() {
	s.shape = shapeOf(s.bounds())
	s.later.Label = s.keeps()
	s.later.Refresh()
	s.tell()
	s.d.Fit()
}

// isLeftOut reports whether the paper is to be left out.
func (s *sizeDialog) isLeftOut() bool { return s.paper != nil && s.paper.Checked }

// bounds are those of what the size is of.
func (s *sizeDialog) bounds() geometry.Rect {
	if s.isLeftOut() {
		return s.cut
	}
	return s.all
}

// keeps says what size there is if none is said.
func (s *sizeDialog) keeps() string {
	b := s.bounds()
	return say("ui-size-later", "size", words.SizeIn(b.Width(), b.Height(), s.h.Session.Job().Settings.Units))
}

func (s *sizeDialog) leaveOut() {
	if s.isLeftOut() {
		s.h.Session.SetUse([]job.LayerID{s.paperLayer}, job.LeftOut)
	}
}

// artBounds is where the art reaches, nearly: its curves may reach a little
// further than what is covered.
func (h *Host) artBounds() geometry.Rect {
	if plan, exact := h.Session.Plan(); exact && plan != nil && !plan.Extent.Empty() {
		return plan.Extent
	}
	j := h.Session.Job()
	return job.BoundsOf(j, j.LayerIDs())
}

// shapeOf is the width of art over its height, 1 when it has none.
func shapeOf(r geometry.Rect) float64 {
	if r.Empty() || !(r.Width() > 0) || !(r.Height() > 0) {
		return 1
	}
	return r.Width() / r.Height()
}

// choose asks for a width, a height or a blank. What was said stays: the width
// becomes the height that belongs to it.
func (s *sizeDialog) choose(by int) {
	switch was := s.by.Chosen(); {
	case was == byWidth && by == byHeight:
		s.mm /= s.shape
	case was == byHeight && by == byWidth:
		s.mm *= s.shape
	}
	s.by.Choose(by)
	s.typed.Hidden, s.list.Hidden = by == byBlank, by != byBlank
	s.show(s.mm)
	s.tell()
	s.d.Fit()
	if by == byBlank {
		s.d.Focus(s.set)
		return
	}
	s.d.Focus(s.entry)
	s.entry.TypedShortcut(&fyne.ShortcutSelectAll{})
}

func (s *sizeDialog) setUnits(u job.Units) {
	s.units.Choose(int(u))
	s.show(s.mm)
	s.tell()
}

// show writes the length into the entry.
func (s *sizeDialog) show(mm float64) {
	e := entry.Length{Units: job.Units(s.units.Chosen())}
	s.entry.SetText(e.Format(mm))
	s.mm = mm // not what rounding for the entry made of it
}

func (s *sizeDialog) pick(i int) {
	s.blank = i
	for k, p := range s.blanks {
		p.SetOn(k == i)
	}
	s.tell()
}

// typedLength takes what is in the entry; s.mm is 0 while that is no length.
func (s *sizeDialog) typedLength() {
	text := s.entry.Text
	if job.Units(s.units.Chosen()) == job.Inches && strings.Trim(text, "0123456789., ") == "" {
		text += "in"
	}
	s.mm, _ = words.ParseLength(text)
	s.tell()
}

// size is what comes of what is said, in millimetres.
func (s *sizeDialog) size() (width, height float64) {
	switch s.by.Chosen() {
	case byWidth:
		return s.mm, s.mm / s.shape
	case byHeight:
		return s.mm * s.shape, s.mm
	}
	r := s.offered[s.blank].Room(s.shape)
	return r.Width(), r.Height()
}

func (s *sizeDialog) tell() {
	s.wrong.SetText("")
	u := job.Units(s.units.Chosen())
	width, height := s.size()
	comes := say("edit-bad-size.remedy")
	switch {
	case s.by.Chosen() == byBlank:
		b := s.offered[s.blank]
		comes = say("ui-size-fills", "blank", b.Name, "safe", words.SizeIn(b.WidthMM-2*b.SafeMM, b.HeightMM-2*b.SafeMM, u), "size", words.SizeIn(width, height, u))
	case s.mm > 0:
		comes = say("ui-size-comes", "size", words.SizeIn(width, height, u))
	}
	if s.paper != nil && !s.paper.Checked && width > 0 {
		k := width / s.all.Width()
		comes += " " + say("ui-size-paper-counts", "size", words.SizeIn(k*s.cut.Width(), k*s.cut.Height(), u))
	}
	s.comes.SetText(comes)
}

func (s *sizeDialog) accept() {
	h, by := s.h, s.by.Chosen()
	if by != byBlank && !(s.mm > 0) {
		s.comes.SetText("")
		s.wrong.SetText(say("edit-bad-size.remedy"))
		s.d.Fit()
		return
	}
	s.d.Close()
	h.keepSize(lastSize{By: by, MM: max(s.mm, 1e-3), Blank: s.offered[s.blank].key})
	if u := job.Units(s.units.Chosen()); u != h.Session.Job().Settings.Units {
		h.SetUnits(u)
	}
	s.leaveOut()
	switch by {
	case byWidth:
		h.Session.Resize(s.mm, 0)
	case byHeight:
		h.Session.Resize(0, s.mm)
	default:
		h.Session.FillBlank(s.offered[s.blank].Blank)
	}
}
