package story

import (
	"encoding/json"
	"image"
	"os"
	"path/filepath"
	"testing"

	"abut/assets"
	"abut/internal/colour"
)

// files writes demos into a folder, by their names.
func files(t *testing.T, ids ...string) []string {
	t.Helper()
	dir := t.TempDir()
	var out []string
	for _, id := range ids {
		for _, d := range assets.Demos() {
			if d.ID == id {
				out = append(out, filepath.Join(dir, d.Name+".svg"))
				if err := os.WriteFile(out[len(out)-1], d.SVG, 0o600); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
	return out
}

// sheets returns the colours of the sheets that were written, and whether
// anything stacks.
func sheets(t *testing.T, folder string) (colours map[string]int, stacked float64) {
	t.Helper()
	var m struct {
		After  float64 `json:"stacked_after_mm2"`
		Sheets []struct {
			Colour string `json:"color"`
			Pieces int    `json:"pieces"`
		} `json:"separations"`
	}
	b, err := os.ReadFile(filepath.Join(folder, "job.json"))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(b, &m); err != nil {
		t.Fatal(err)
	}
	colours = map[string]int{}
	for _, s := range m.Sheets {
		colours[s.Colour] = s.Pieces
	}
	return colours, m.After
}

// written waits until the files of a job are there.
func (s *screen) written(folder string) {
	s.t.Helper()
	s.until("job.json", func(image.Image) bool { _, err := os.Stat(filepath.Join(folder, "job.json")); return err == nil })
}

// TestTwoPicturesDropped drops two pictures at once onto the empty window, a
// third one onto what is then open, knocks everything out and writes the files.
func TestTwoPicturesDropped(t *testing.T) {
	s := open(t)
	boat, compass, finds := files(t, "pair"), files(t, "nested"), files(t, "spread")
	at := image.Pt(640, 300)
	s.drop(at, boat[0], compass[0])
	s.until("red of both", func(img image.Image) bool { return count(img, red) > 500 })
	s.move(image.Pt(640, 790))
	img := s.still("dropped-1-two")
	first, _ := largest(img, hull, 130)
	if first.Empty() {
		t.Error("the boat is not there")
	}

	s.drop(at, finds[0])
	s.until("the question", func(img image.Image) bool { _, n := largest(img, accent, 200); return n > 600 })
	s.still("dropped-2-asks")
	s.key("Return") // put beside
	s.until("the question answered", func(img image.Image) bool { _, n := largest(img, accent, 200); return n < 600 })
	s.key("0") // show all
	s.key("Escape")
	s.still("dropped-3-three")

	s.key("ctrl+k")
	s.until("no red", func(img image.Image) bool { return count(img, red) == 0 })
	s.still("dropped-4-knocked-out")
	s.key("ctrl+e")
	s.until("the dialog's button", func(img image.Image) bool { _, n := largest(img, accent, 200); return n > 600 })
	s.key("Return")
	folder := filepath.Join(filepath.Dir(boat[0]), "Little boat cut files")
	s.written(folder)
	s.still("dropped-5-written")
	colours, stacked := sheets(t, folder)
	if stacked != 0 {
		t.Errorf("%g mm² stack", stacked)
	}
	for _, c := range []colour.RGB{sea, hull} {
		if colours[c.String()] == 0 {
			t.Errorf("nothing is cut from %s: %v", c, colours)
		}
	}
	if len(colours) < 6 {
		t.Errorf("three pictures give %d sheets: %v", len(colours), colours)
	}
	s.key("Return")
	if err := s.endUnsaved(); err != nil {
		t.Error(err)
	}
}

// lettered is a picture with strokes and lettering of its own.
const lettered = `<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="80mm" viewBox="0 0 100 80">
<rect x="5" y="5" width="90" height="70" rx="8" fill="#1f6f8b"/>
<path d="M14 57 C26 47 34 47 46 57 S70 67 86 55" fill="none" stroke="#d9512c" stroke-width="5" stroke-linecap="round"/>
<path d="M16 69 H84" fill="none" stroke="#f2c14e" stroke-width="3" stroke-dasharray="9 5" stroke-linecap="round"/>
<text x="50" y="27" font-family="Go" font-weight="bold" font-size="22" text-anchor="middle" fill="#f7f3e8">Harbour</text>
</svg>`

// TestTextAndStrokes opens a picture with strokes and lettering, adds a word
// and a surround around it, changes the word, and writes the files.
func TestTextAndStrokes(t *testing.T) {
	file := filepath.Join(t.TempDir(), "Harbour.svg")
	if err := os.WriteFile(file, []byte(lettered), 0o600); err != nil {
		t.Fatal(err)
	}
	s := open(t, file)
	s.until("red", func(img image.Image) bool { return count(img, red) > 500 })
	s.move(image.Pt(640, 790))
	s.still("text-1-opened")

	s.key("ctrl+k")
	s.until("no red", func(img image.Image) bool { return count(img, red) == 0 })
	s.key("ctrl+shift+x")
	s.still("text-2-added")
	s.do("type", "--delay", "30", "Ahoy")
	s.still("text-3-typed")
	// A click on the board's edge leaves the entry: what was typed is one step,
	// and nothing is picked any more.
	s.click(image.Pt(300, 720))
	s.still("text-4-left")
	s.key("ctrl+z") // the word
	s.key("ctrl+z") // the text
	img := s.still("text-5-undone")
	s.key("ctrl+shift+z")
	s.key("ctrl+shift+z")
	s.until("the word again", func(now image.Image) bool { return !equal(now, img) })
	s.key("ctrl+a")
	s.key("ctrl+shift+u")
	s.until("a band around all", func(image.Image) bool { return true })
	s.still("text-6-surround")
	s.key("ctrl+2")
	s.move(image.Pt(640, 790))
	s.still("text-7-fitted")
	s.key("ctrl+1")
	s.key("ctrl+e")
	s.until("the dialog's button", func(img image.Image) bool { _, n := largest(img, accent, 200); return n > 600 })
	s.key("Return")
	folder := filepath.Join(filepath.Dir(file), "Harbour cut files")
	s.written(folder)
	s.still("text-8-written")
	colours, stacked := sheets(t, folder)
	if stacked != 0 {
		t.Errorf("%g mm² stack", stacked)
	}
	for _, c := range []string{"#1f6f8b", "#d9512c", "#f2c14e", "#f7f3e8"} {
		if colours[c] == 0 {
			t.Errorf("nothing is cut from %s: %v", c, colours)
		}
	}
	// Seven letters and what was typed: all of one colour, or another.
	if len(colours) < 5 {
		t.Errorf("the surround has no sheet of its own: %v", colours)
	}
	s.key("Return")
	if err := s.endUnsaved(); err != nil {
		t.Error(err)
	}
}
