package story

import (
	"cmp"
	"image"
	"image/color"
	"image/png"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"abut/internal/oracle"
)

const (
	// byRenderer is how far a channel of a pixel is off, at most, that another renderer
	// painted. Mesa's, llvmpipe and softpipe, round edges of letters and outlines
	// differently: the same window came out equal to within 5 % of 255, and most of it
	// exactly.
	byRenderer = 13
	// byPalette is how far it may be off by the few colours that are published.
	byPalette = 12
	offBy     = byRenderer + byPalette
)

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
	but := others[name]
	name = inLanguage(name)
	if name == "" || !strings.Contains(shown(), name+".png)") {
		return
	}
	file := filepath.Join(oracle.Root(s.t), "docs", name+".png")
	if os.Getenv("ABUT_RENEW") != "" {
		if was, err := readPNG(file); err != nil || differ(was, img, but) > 0 {
			s.write(file, paletted(img))
		}
		return
	}
	want, err := readPNG(file)
	if err != nil {
		s.t.Error(err)
		return
	}
	if n := differ(want, img, but); n > 0 {
		s.save("failed-"+name, img)
		s.t.Errorf("%s is stale, by %d pixels: look at the window, then ./run pictures takes it anew", file, n)
	}
}

// paletted returns a picture in 256 colours, a third as large as a file: the most frequent
// ones, which are all of the areas, and of the others one each that is near, which are what
// smooths edges. A picture that has more colours than that stays as it is.
func paletted(img image.Image) image.Image {
	count := map[color.NRGBA]int{}
	src := plain(img)
	for i := 0; i < len(src.Pix); i += 4 {
		count[color.NRGBA{R: src.Pix[i], G: src.Pix[i+1], B: src.Pix[i+2], A: src.Pix[i+3]}]++
	}
	order := slices.SortedFunc(maps.Keys(count), func(a, b color.NRGBA) int {
		return cmp.Or(cmp.Compare(count[b], count[a]), cmp.Compare(a.R, b.R), cmp.Compare(a.G, b.G), cmp.Compare(a.B, b.B))
	})
	for within := range byPalette + 1 {
		var few []color.NRGBA
		to := map[color.NRGBA]uint8{}
		for _, c := range order {
			k := slices.IndexFunc(few, func(p color.NRGBA) bool { return apart(p, c) <= within })
			if k < 0 {
				k = len(few)
				few = append(few, c)
			}
			to[c] = uint8(k)
			if len(few) > 256 {
				break
			}
		}
		if len(few) > 256 {
			continue
		}
		out := image.NewPaletted(src.Rect, nil)
		for _, c := range few {
			out.Palette = append(out.Palette, c)
		}
		for i := range out.Pix {
			out.Pix[i] = to[color.NRGBA{R: src.Pix[4*i], G: src.Pix[4*i+1], B: src.Pix[4*i+2], A: src.Pix[4*i+3]}]
		}
		return out
	}
	return img
}

// apart is how far two colours are apart in the channel in which they are furthest.
func apart(a, b color.NRGBA) int {
	d := func(x, y uint8) int { return int(max(x, y) - min(x, y)) }
	return max(d(a.R, b.R), d(a.G, b.G), d(a.B, b.B), d(a.A, b.A))
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
	r := a.Bounds()
	var all image.Rectangle
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			if p, q := a.(*image.NRGBA).NRGBAAt(x, y), b.(*image.NRGBA).NRGBAAt(x, y); apart(p, q) > offBy && !image.Pt(x, y).In(but) {
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

// A published picture has few colours, those of its areas exactly, and none that is far off.
func TestPaletted_KeepsAreasAndIsNear(t *testing.T) {
	img := image.NewNRGBA(image.Rect(0, 0, 64, 64))
	for i := range 64 * 64 {
		c := color.NRGBA{R: 30, G: 90, B: 200, A: 255}
		if i%64 > 40 {
			c = color.NRGBA{R: uint8(i % 128), G: uint8(i / 32), B: 90, A: 255}
		}
		img.SetNRGBA(i%64, i/64, c)
	}
	few, ok := paletted(img).(*image.Paletted)
	if !ok || len(few.Palette) > 256 {
		t.Fatalf("%T", paletted(img))
	}
	back := plain(few)
	if c := back.NRGBAAt(3, 3); c != img.NRGBAAt(3, 3) {
		t.Errorf("an area is %v", c)
	}
	for i := range 64 * 64 {
		if p, q := img.NRGBAAt(i%64, i/64), back.NRGBAAt(i%64, i/64); apart(p, q) > byPalette {
			t.Fatalf("%v became %v", p, q)
		}
	}
	// All corners of a grid that is too wide for 256.
	for i := range 64 * 64 {
		img.SetNRGBA(i%64, i/64, color.NRGBA{R: uint8(i % 16 * 16), G: uint8(i / 16 % 16 * 16), B: uint8(i / 256 * 16), A: 255})
	}
	if same := paletted(img); same != image.Image(img) {
		t.Errorf("%d colours became %T", 4096, same)
	}
}
