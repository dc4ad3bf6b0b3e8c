package oracle

import (
	"image/color"
	"testing"
)

func TestRenderer_DrawsCrispSquaresWhereTheyAre(t *testing.T) {
	r := StartRenderer(t)
	svg := []byte(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 20 10"><path fill="#d5182b" d="M0 0H5.1V10H0Z"/></svg>`)
	img, err := r.Render(svg, 40, true)
	if err != nil {
		t.Fatal(err)
	}
	if img.Rect.Dx() != 40 || img.Rect.Dy() != 20 {
		t.Fatalf("size %v", img.Rect)
	}
	// 5.1 units are 10.2 pixels: pixel 10 has its centre outside.
	if got := img.RGBAAt(9, 7); got != (color.RGBA{0xd5, 0x18, 0x2b, 0xff}) {
		t.Errorf("inside: %v", got)
	}
	if got := img.RGBAAt(10, 7); got != (color.RGBA{}) {
		t.Errorf("outside: %v", got)
	}
	if _, err := r.Render([]byte("no picture"), 40, true); err == nil {
		t.Error("nonsense must be refused")
	}
	if _, err := r.Render(svg, 40, false); err != nil {
		t.Errorf("after a refusal: %v", err)
	}
}
