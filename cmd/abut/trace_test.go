package main

import (
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestTrace_WritesTheDrawingAlone(t *testing.T) {
	dir := t.TempDir()
	from, out := filepath.Join(dir, "tide.png"), filepath.Join(dir, "tide.svg")
	img := image.NewNRGBA(image.Rect(0, 0, 40, 40))
	for i := range 1600 {
		img.SetNRGBA(i%40, i/40, color.NRGBA{uint8(40 + i/40/20*180), 90, 160, 255})
	}
	f, err := os.Create(from)
	if err != nil {
		t.Fatal(err)
	}
	if err := png.Encode(f, img); err != nil {
		t.Fatal(err)
	}
	f.Close()
	if said := must(t, "trace", from, "-o", out); !strings.Contains(said, "2 colours; shapes that touch and never stack: 2") {
		t.Errorf("%q", said)
	}
	if b, err := os.ReadFile(out); err != nil || strings.Count(string(b), "<path") != 2 {
		t.Errorf("%s, %v", b, err)
	}
	must(t, "cut", from, "-o", filepath.Join(dir, "cut"), "--width", "90mm")
}
