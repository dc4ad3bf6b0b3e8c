package story

import (
	"encoding/json"
	"errors"
	"image"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"abut/assets"
	"abut/internal/colour"
	"abut/internal/words"
	"abut/ui/paint"
	"abut/ui/theme"
)

// What the newcomer goes by.
var (
	red    = paint.StackedColour
	accent = colour.RGB{R: theme.Light.Accent.R, G: theme.Light.Accent.G, B: theme.Light.Accent.B}
	sea    = colour.RGB{R: 0x1f, G: 0x6f, B: 0x8b}
	hull   = colour.RGB{R: 0xd9, G: 0x51, B: 0x2c}
)

// highlighted is an action filled with the accent: the one that comes next.
func highlighted(img image.Image) (image.Point, bool) {
	r, n := largest(img, accent, 0)
	return middle(r), r.Dx() > 60 && r.Dy() > 25 && n > r.Dx()*r.Dy()/2
}

// TestNewcomer opens the little boat, sees what stacks, knocks it out, and
// writes the files; then plays with it.
func TestNewcomer(t *testing.T) { inEach(t, beginAsNewcomer) }

func beginAsNewcomer(t *testing.T) {
	s := open(t)
	first := s.still("story-1-start")
	if n := count(first, red); n != 0 {
		t.Errorf("%d red pixels before any art", n)
	}

	// The boat is the round thing with the most sea.
	boat, _ := largest(first, sea, 0)
	s.click(middle(boat))
	s.until("red", func(img image.Image) bool { return count(img, red) > 500 })
	img := s.still("story-2-stacked")
	next, ok := highlighted(img)
	if !ok {
		t.Fatal("nothing says what to press next")
	}
	before := count(img, red)

	s.click(next)
	s.until("no red", func(img image.Image) bool { return count(img, red) == 0 })
	s.move(image.Pt(640, 780)) // off the button, so that its colour is its own
	img = s.still("story-3-knocked-out")
	// The sails' points are too fine: what comes next mends them, and then comes
	// the export.
	var export image.Point
	for presses := 1; ; presses++ {
		after, ok := highlighted(img)
		if !ok || after.X <= next.X || presses > 2 {
			t.Fatalf("after %d presses the next thing to press is at %v (before: %v)", presses, after, next)
		}
		if next = after; presses == 2 {
			export = after
			break
		}
		s.click(after)
		s.move(image.Pt(640, 780))
		img = s.verdict("ready", ready)
	}

	s.click(export)
	dialog := func(img image.Image) bool {
		r, n := largest(img, accent, 200)
		return n > 600 && r.Dx() > 60
	}
	s.until("the dialog's button", dialog)
	s.still("story-4-export")
	s.key("Return")
	folder := filepath.Join(s.home, words.Say("demo-pair")+" "+words.Say("ui-export-folder-suffix"))
	s.until("job.json", func(image.Image) bool { _, err := os.Stat(filepath.Join(folder, "job.json")); return err == nil })
	s.still("story-5-written")
	var manifest struct {
		Mirrored bool    `json:"mirrored"`
		After    float64 `json:"stacked_after_mm2"`
		Sheets   []struct {
			File string `json:"file"`
		} `json:"separations"`
	}
	b, err := os.ReadFile(filepath.Join(folder, "job.json"))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(b, &manifest); err != nil {
		t.Fatal(err)
	}
	if !manifest.Mirrored || manifest.After != 0 || len(manifest.Sheets) != 3 {
		t.Errorf("job.json: %s", b)
	}
	for _, sheet := range manifest.Sheets {
		if _, err := os.Stat(filepath.Join(folder, sheet.File)); err != nil {
			t.Error(err)
		}
	}
	s.key("Return") // done

	// Take the mending and the knocking out back, and drag the hull about.
	s.until("the window behind the dialog", func(img image.Image) bool { return !dialog(img) })
	s.key("ctrl+z")
	s.verdict("not mended", care)
	s.key("ctrl+z")
	img = s.until("red again", func(img image.Image) bool { return count(img, red) == before })
	grip, _ := largest(img, hull, 0)
	if grip.Empty() {
		t.Fatal("no hull")
	}
	boat, _ = largest(img, sea, 100)
	from := image.Pt(boat.Min.X+boat.Dx()/2, boat.Min.Y+boat.Dy()*7/10)
	s.move(from)
	s.do("mousedown", "1")
	for i := 1; i <= 10; i++ {
		s.move(from.Add(image.Pt(i*25, i*5)))
	}
	s.until("less red while the hull is dragged off", func(img image.Image) bool { return count(img, red) < before*8/10 })
	s.still("story-6-dragging")
	s.key("Escape")
	s.until("the hull back", func(img image.Image) bool { return count(img, red) > before*95/100 }) // but for its handles
	s.do("mouseup", "1")
	s.key("Escape") // picks nothing
	s.until("all as before", func(img image.Image) bool { return count(img, red) == before })
	s.still("story-7-escaped")

	s.key("ctrl+q")
	if err := s.end(); err != nil {
		t.Error("the program ended with ", err)
	}
}

// TestOpenedByName starts the program with the name of a file; its picture of
// the rich demo is the one on the README's first page.
func TestOpenedByName(t *testing.T) {
	for _, d := range assets.Demos() {
		if d.ID != "rich" {
			continue
		}
		file := filepath.Join(t.TempDir(), d.Name+".svg")
		if err := os.WriteFile(file, d.SVG, 0o600); err != nil {
			t.Fatal(err)
		}
		s := open(t, file)
		img := s.until("red", func(img image.Image) bool { return count(img, red) > 500 })
		s.until("what to press next", func(i image.Image) bool { img = i; _, ok := highlighted(i); return ok })
		next, _ := highlighted(img)
		s.click(next)
		s.until("no red", func(img image.Image) bool { return count(img, red) == 0 })
		s.move(image.Pt(640, 780))
		s.still("window")
	}
}

// TestNoScreen: without a screen the program says so and what to do instead.
func TestNoScreen(t *testing.T) {
	if testing.Short() {
		t.Skip("builds the program; run without -short")
	}
	binary := build(t)
	for _, display := range []string{"", ":4711"} {
		c := exec.Command(binary)
		c.Env = []string{"HOME=" + t.TempDir(), "DISPLAY=" + display}
		out, err := c.CombinedOutput()
		var exit *exec.ExitError
		if !errors.As(err, &exit) || exit.ExitCode() != 1 || !strings.Contains(string(out), "no screen") || !strings.Contains(string(out), "abut cut") {
			t.Errorf("on display %q: %v, %s", display, err, out)
		}
	}
}
