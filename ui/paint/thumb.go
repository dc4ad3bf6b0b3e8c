package paint

import (
	"image"

	"abut/geometry"
	"abut/internal/job"
)

// Thumb paints a job as large as it fits into a picture of so many pixels, with a
// margin, on white.
func Thumb(j job.Job, w, h int) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for i := range img.Pix {
		img.Pix[i] = 255
	}
	var r geometry.Rect
	for i, it := range j.Items {
		if canvas := it.Placement.MapRect(it.Canvas); i == 0 {
			r = canvas
		} else {
			r = r.Union(canvas)
		}
	}
	if r.Empty() || r.Width() == 0 || r.Height() == 0 {
		return img
	}
	margin := float64(min(w, h)) / 14
	scale := min((float64(w)-2*margin)/r.Width(), (float64(h)-2*margin)/r.Height())
	origin := image.Pt(int(float64(w)/2-r.Centre().X*scale), int(float64(h)/2-r.Centre().Y*scale))
	img.Rect = img.Rect.Sub(origin)
	new(Builder).Scene(j, scale, img.Rect).Compose(img)
	img.Rect = img.Rect.Add(origin)
	return img
}
