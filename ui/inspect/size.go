package inspect

import (
	"context"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/internal/job"
	"abut/internal/session"
	"abut/internal/words"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/entry"
)

// size is the head of the panel, always in sight: how large the picture is, and
// what it is for.
type size struct {
	object        *fyne.Container
	width, height *Field
	unit          *controls.Line
	blank         *controls.Line
	smallest      *controls.Para
	swatch        *fyne.Container
	fill          *controls.Press
	of            job.Settings
}

func newSize(h *Host) *size {
	z := &size{unit: controls.NewLine("", controls.Quiet)}
	to := func(by func(v float64) (w, h float64)) func(*session.Draft, float64) {
		return func(d *session.Draft, v float64) {
			wide, high := by(v)
			d.Later("ui-task-size", session.Outcome(func(ctx context.Context, j job.Job) (job.Job, error) {
				return workshop.Size(ctx, j, wide, high)
			}), func(err error) {
				if err == nil {
					h.Session.AcceptSize()
				}
			})
		}
	}
	z.width = newField(h.Session, "ui-step-size", to(func(v float64) (float64, float64) { return v, 0 }))
	z.height = newField(h.Session, "ui-step-size", to(func(v float64) (float64, float64) { return 0, v }))
	z.blank = controls.NewLine("", controls.Text)
	z.blank.Shrinks = true
	z.swatch = container.NewCenter()
	z.smallest = controls.NewPara("", controls.Quiet)
	z.smallest.Hidden = true
	choose := h.Commands.Press("blank")
	choose.Label, choose.IconName = say("ui-blank-choose"), "blank"
	z.fill = h.Commands.Press("fit-blank")
	z.fill.Label, z.fill.IconName = say("ui-blank-fit"), "fit"
	for _, p := range []*controls.Press{choose, z.fill} {
		p.Framed, p.IconSide, p.Height = true, 18, 32
	}
	times := controls.NewLine("×", controls.Quiet)
	z.object = container.New(&controls.Stack{Gap: 8},
		controls.NewDock(nil, nil, nil, h.help("ui-details-size", "size-and-blank"), controls.NewHeading(say("ui-details-size"))),
		controls.NewDock(nil, nil, nil, container.New(&controls.Inset{X: 6}, container.New(beside{}, z.unit)),
			container.New(&pair{gap: 6}, named("ui-details-width", z.width), times, named("ui-details-height", z.height))),
		z.smallest,
		container.New(&controls.Lead{Gap: 10}, z.swatch, z.blank),
		container.New(&controls.Flow{Gap: 6}, choose, z.fill))
	return z
}

func (z *size) show(st session.State) {
	s := st.Job.Settings
	z.unit.SetText(entry.UnitName(s.Units))
	sized := st.Plan != nil && !st.Plan.Extent.Empty()
	for f, v := range map[*Field]float64{z.width: extent(st, true), z.height: extent(st, false)} {
		if sized {
			f.show(v, s.Units)
		} else {
			f.showNone(s.Units) // nothing is 0 mm wide
		}
		enable(f, st.Opened && (sized || f.draft != nil))
	}
	text := say("ui-blank-none-yet")
	if b := s.BlankShape; b != nil {
		text = b.Name + " · " + words.SizeIn(b.WidthMM, b.HeightMM, s.Units)
	}
	z.blank.SetText(text)
	z.fill.Hidden = s.BlankShape == nil
	if len(z.swatch.Objects) == 0 || z.of.BlankColour() != s.BlankColour() {
		z.swatch.Objects = []fyne.CanvasObject{controls.NewSwatch(s.BlankColour(), 22)}
	}
	z.of = s
	if m, ok := st.Weak.Smallest.Message(); ok {
		z.smallest.SetText(in(st.Job).Message(m))
		z.smallest.Hidden = false
	} else {
		z.smallest.Hidden = st.Weak.State == session.WeakFound || st.Plan == nil
	}
	z.object.Refresh()
}

// extent is how wide or high what is cut is, 0 while that is not known.
func extent(st session.State, wide bool) float64 {
	if st.Plan == nil {
		return 0
	}
	if wide {
		return st.Plan.Extent.Width()
	}
	return st.Plan.Extent.Height()
}

// pair is a layout of two equal things with something small between them, at the
// height of their lower part.
type pair struct{ gap float32 }

// MinSize implements fyne.Layout.
func (p *pair) MinSize(o []fyne.CanvasObject) fyne.Size {
	a, m, b := o[0].MinSize(), o[1].MinSize(), o[2].MinSize()
	return fyne.NewSize(2*max(a.Width, b.Width)+m.Width+2*p.gap, max(a.Height, b.Height))
}

// Layout implements fyne.Layout.
func (p *pair) Layout(o []fyne.CanvasObject, size fyne.Size) {
	m := o[1].MinSize()
	side := (size.Width - m.Width - 2*p.gap) / 2
	o[0].Resize(fyne.NewSize(side, size.Height))
	o[0].Move(fyne.NewPos(0, 0))
	o[1].Resize(m)
	o[1].Move(fyne.NewPos(side+p.gap, besideEntry(m, size)))
	o[2].Resize(fyne.NewSize(side, size.Height))
	o[2].Move(fyne.NewPos(size.Width-side, 0))
}

// beside is a layout of something small beside entries that stand beneath their names.
type beside struct{}

// MinSize implements fyne.Layout.
func (beside) MinSize(o []fyne.CanvasObject) fyne.Size { return o[0].MinSize() }

// Layout implements fyne.Layout.
func (beside) Layout(o []fyne.CanvasObject, size fyne.Size) {
	m := o[0].MinSize()
	o[0].Resize(m)
	o[0].Move(fyne.NewPos(0, besideEntry(m, size)))
}

// besideEntry is how far down something is at the middle of an entry that ends where the room does.
func besideEntry(small, room fyne.Size) float32 { return room.Height - (36+small.Height)/2 }
