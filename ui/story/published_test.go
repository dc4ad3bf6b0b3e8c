package story

import (
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"abut/internal/oracle"
)

// offBy is how far a channel of a pixel may be off in a published picture. Mesa's
// renderers, llvmpipe and softpipe, round edges of letters and outlines differently: the
// same window came out equal to within 5 % of 255, and most of it exactly.
const offBy = 16

// others are places that show what is called otherwise each time: the folder to write
// into.
var others = map[string]image.Rectangle{"story-4-export": image.Rect(264, 194, 926, 231)}

// shown are the names of the pictures of this window that documents show.
var shown = sync.OnceValue(func() string {
	var all strings.Builder
	for _, pattern := range []string{"README.md", "DEVELOPERS.md", "docs/*.md"} {
		files, _ := filepath.Glob(filepath.Join("..", "..", filepath.FromSlash(pattern)))
		for _, file := range files {
			b, _ := os.ReadFile(file)
			all.Write(b)
		}
	}
	return all.String()
})

// published holds a picture that a document shows to what is on screen now. With
// ABUT_RENEW set it takes the picture anew.
func (s *screen) published(name string, img image.Image) {
	s.t.Helper()
	if name == "" || !strings.Contains(shown(), name+".png)") {
		return
	}
	file := filepath.Join(oracle.Root(s.t), "docs", name+".png")
	if os.Getenv("ABUT_RENEW") != "" {
		if was, err := readPNG(file); err != nil || differ(was, img, others[name]) > 0 {
			s.write(file, img)
		}
		return
	}
	want, err := readPNG(file)
	if err != nil {
		s.t.Error(err)
		return
	}
	if n := differ(want, img, others[name]); n > 0 {
		s.save("failed-"+name, img)
		s.t.Errorf("%s is stale, by %d pixels: look at the window, then ./run pictures takes it anew", file, n)
	}
}

// caret is how large at most that is which blinks where one types: other differences
// are hardly ever upright lines and nothing else.
var caret = image.Pt(2, 26)

// differ returns how many pixels of two pictures are plainly others but for those in
// one place and a caret, all of them where the pictures are of two sizes.
func differ(a, b image.Image, but image.Rectangle) (n int) {
	if a.Bounds() != b.Bounds() {
		return a.Bounds().Dx() * a.Bounds().Dy()
	}
	far := func(x, y uint8) bool { return max(x, y)-min(x, y) > offBy }
	r := a.Bounds()
	var all image.Rectangle
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			if p, q := at(a, x, y), at(b, x, y); (far(p.R, q.R) || far(p.G, q.G) || far(p.B, q.B)) && !image.Pt(x, y).In(but) {
				n++
				all = all.Union(image.Rect(x, y, x+1, y+1))
			}
		}
	}
	if size := all.Size(); size.X <= caret.X && size.Y <= caret.Y && n == size.X*size.Y {
		return 0
	}
	return n
}

func readPNG(file string) (image.Image, error) {
	f, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	img, err := png.Decode(f)
	if err != nil {
		return nil, err
	}
	return plain(img), nil
}

// A picture that changed by a word is told, one that another renderer rounds is not.
func TestDiffer_TellsAWordAndForgivesRounding(t *testing.T) {
	img := image.NewNRGBA(image.Rect(0, 0, 40, 20))
	for i := range img.Pix {
		img.Pix[i] = 200
	}
	rounded, word := plain(img), plain(img)
	for i := range rounded.Pix {
		rounded.Pix[i] += 13
	}
	for i := range 30 {
		word.Pix[4*i] = 20
	}
	if a, b := differ(img, rounded, image.Rectangle{}), differ(img, word, image.Rectangle{}); a != 0 || b != 30 {
		t.Errorf("rounded %d, a word %d", a, b)
	}
	blink := plain(img)
	for y := 2; y < 18; y++ {
		blink.Set(7, y, color.Black)
	}
	if n := differ(img, blink, image.Rectangle{}); n != 0 {
		t.Errorf("a caret: %d", n)
	}
	blink.Set(30, 2, color.Black)
	if n := differ(img, blink, image.Rectangle{}); n != 17 {
		t.Errorf("a caret and a dot: %d", n)
	}
	if n := differ(img, word, image.Rect(0, 0, 20, 1)); n != 10 {
		t.Errorf("besides its beginning: %d", n)
	}
	if n := differ(img, image.NewNRGBA(image.Rect(0, 0, 41, 20)), image.Rectangle{}); n != 800 {
		t.Errorf("another size: %d", n)
	}
}
