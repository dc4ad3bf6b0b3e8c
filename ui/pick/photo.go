package pick

import (
	"context"
	"image"
	"math"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"

	"abut/internal/colour"
	"abut/internal/session"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/dialogs"
	"abut/ui/files"
)

// photoPx is how large a photo is worked on: more pixels than a screen shows help
// nobody who points at it.
const photoPx = 1600

// photo shows a photo, and has use get the colour of a place on it.
func (h *Host) photo(path string, use func(colour.RGB)) {
	session.Each(h.Session, []string{path}, func(_ context.Context, path string) (image.Image, error) {
		img, err := files.ReadPhoto(path)
		if err != nil {
			return nil, err
		}
		return files.Within(img, photoPx), nil
	}, func(_ string, img image.Image, err error) {
		if err != nil {
			text, remedy := workshop.Explain(err)
			h.Desk.Message(say("ui-trouble"), "trouble", controls.Care, text, remedy, say("ui-ok"))
			return
		}
		h.pickFrom(img, use)
	})
}

func (h *Host) pickFrom(img image.Image, use func(colour.RGB)) {
	d := h.Desk.New(640, say("pick-photo-title"))
	b := img.Bounds()
	room := fyne.NewSize(592, max(160, h.Desk.Room().Height-310))
	scale := min(room.Width/float32(b.Dx()), room.Height/float32(b.Dy()))
	sample := controls.NewSwatch(colour.White, 36)
	word := controls.NewLine(say("pick-photo-none"), controls.Text)
	take := dialogs.Button(say("ui-colour-set"), func() {
		d.Close()
		use(sample.Colour)
	})
	take.Disable()
	var p *area
	p = newArea(canvas.NewImageFromImage(img), fyne.NewSize(float32(b.Dx())*scale, float32(b.Dy())*scale), func(x, y float64) {
		p.mark(x, y)
		sample.Colour = mean(img, b.Min.Add(image.Pt(int(x*float64(b.Dx())), int(y*float64(b.Dy())))))
		sample.Refresh()
		word.SetText(Word(sample.Colour))
		take.Enable()
	})
	p.mark(0.5, 0.5)
	d.Body.Add(controls.NewPara(say("pick-photo-why"), controls.Quiet))
	d.Body.Add(container.NewCenter(p))
	d.Body.Add(container.New(&controls.Lead{Gap: 12}, container.NewCenter(sample), container.New(&controls.Inset{Y: 8}, word)))
	d.SetButtons(dialogs.Button(say("ui-cancel"), d.Close), take)
	d.Show(p)
}

// mean returns the mean colour of a photo around a pixel, of a patch of about a
// fortieth of its longer side: enough to even out its noise and the sheet's grain.
// The mean is that of the light, as the eye sees a fine pattern from afar.
func mean(img image.Image, at image.Point) colour.RGB {
	b := img.Bounds()
	half := max(b.Dx(), b.Dy()) / 80
	patch := image.Rect(at.X-half, at.Y-half, at.X+half+1, at.Y+half+1).Intersect(b)
	var sum [3]float64
	for y := patch.Min.Y; y < patch.Max.Y; y++ {
		for x := patch.Min.X; x < patch.Max.X; x++ {
			r, g, b, _ := img.At(x, y).RGBA()
			for i, v := range [3]uint32{r, g, b} {
				sum[i] += colour.Linear(float64(v) / 0xffff)
			}
		}
	}
	n := float64(patch.Dx() * patch.Dy())
	if n == 0 {
		return colour.White
	}
	part := func(i int) uint8 { return uint8(math.Round(255 * colour.Encoded(sum[i]/n))) }
	return colour.RGB{R: part(0), G: part(1), B: part(2)}
}
