package files

import (
	"context"
	"image"
	"image/color"
	"os"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"

	"abut/internal/session"
	"abut/internal/words"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/paint"
	"abut/ui/theme"
)

// row is a file or folder: its picture, name and time.
type row struct {
	mark    *controls.Mark
	picture *fyne.Container
	facts   *controls.Line
	object  fyne.CanvasObject
}

// thumbSide is the side of a small picture in units; twice as many pixels are sharp
// on screens of twice the density.
const thumbSide = 36

func newRow(c *chooser, at int, e entry) *row {
	tone, facts := controls.Text, ""
	switch {
	case e.folder:
	case c.mode == opens && !c.kind.Takes(e.name()):
		tone, facts = controls.Quiet, say("files-not-openable")
	default:
		facts = words.Time(e.time)
	}
	r := &row{mark: controls.NewMark("", "", func() { c.pressed(at) })}
	r.mark.Height = rowHigh
	icon := "open"
	if !e.folder {
		icon = iconOf(e.name())
	}
	r.picture = container.NewCenter(controls.NewIcon(22, func() string { return icon }, func() color.NRGBA { return controls.Quiet(theme.Current()) }))
	name := controls.NewLine(e.name(), tone)
	name.Shrinks = true
	r.facts = controls.NewCaption(facts)
	line := controls.NewDock(nil, nil, container.New(&controls.Inset{X: 4}, container.NewGridWrap(fyne.NewSize(thumbSide, thumbSide), r.picture)), container.New(&controls.Inset{X: 8}, container.NewCenter(r.facts)), container.New(&controls.Inset{X: 6, Y: 8}, name))
	r.object = container.NewStack(r.mark, container.New(&controls.Inset{X: 4, Y: (rowHigh - thumbSide) / 2}, line))
	return r
}

// iconOf is the sign of a file without a picture of its own.
func iconOf(name string) string {
	if session.IsDocument(name) {
		return "save"
	}
	return "drawn"
}

// maxThumbBytes is how large a file is read for a small picture: most are far
// smaller, and larger ones keep the machine busy for longer than one looks.
const maxThumbBytes = 3 << 20

// thumbs paints small pictures of the files that are listed, in the background. What
// cannot be read says so.
func (c *chooser) thumbs() {
	var paths []string
	for _, e := range c.shown {
		if !e.folder && c.mode == opens && c.kind.Takes(e.name()) && c.kind.Why != Lists.Why {
			paths = append(paths, e.path)
		}
	}
	if len(paths) == 0 {
		c.stop = func() {}
		return
	}
	c.stop = session.Each(c.h.Session, paths, thumb, func(path string, img image.Image, err error) {
		i := slices.IndexFunc(c.shown, func(e entry) bool { return e.path == path })
		if i < 0 {
			return
		}
		r := c.rows[i]
		if err != nil {
			text, _ := workshop.Explain(err)
			r.facts.SetText(say("files-damaged"))
			r.mark.Hint = text
			return
		}
		if img == nil {
			return
		}
		p := canvas.NewImageFromImage(img)
		p.FillMode = canvas.ImageFillContain
		p.SetMinSize(fyne.NewSize(thumbSide, thumbSide))
		r.picture.Objects = []fyne.CanvasObject{p}
		r.picture.Refresh()
	})
}

// thumb paints a small picture of a file, nil where that would take too long.
func thumb(ctx context.Context, path string) (image.Image, error) {
	if i, err := os.Stat(path); err != nil || i.Size() > maxThumbBytes {
		return nil, err
	}
	for _, ending := range photoEndings {
		if strings.HasSuffix(strings.ToLower(path), ending) {
			img, err := ReadPhoto(path)
			if err != nil {
				return nil, err
			}
			return Within(img, 2*thumbSide), nil
		}
	}
	j, err := session.Read(ctx, path)
	if err != nil {
		return nil, err
	}
	return paint.Thumb(j, 2*thumbSide, 2*thumbSide), nil
}
