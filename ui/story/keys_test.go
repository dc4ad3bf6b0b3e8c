package story

import (
	"bytes"
	"image"
	"image/draw"
	"os"
	"path/filepath"
	"testing"
)

// TestKeysAlone does a whole job without a pointer: a picture is opened by its path, made ready, exported, saved and closed; opened
// again it looks as it did, and its files are the same.
func TestKeysAlone(t *testing.T) {
	file := files(t, "pair")[0]
	dir := filepath.Dir(file)
	s := open(t)
	s.move(image.Pt(640, 790)) // out of the way, and it stays there
	s.key("ctrl+o")
	s.until("the question which file", whichFile)
	s.do("type", file)
	s.still("keys-1-which")
	s.key("Return")
	s.until("red", func(img image.Image) bool { return count(img, red) > 500 })
	s.key("ctrl+k")
	s.until("no red", func(img image.Image) bool { return count(img, red) == 0 })
	s.key("ctrl+j")
	s.verdict("ready", ready)
	s.export(filepath.Join(dir, "Little boat cut files"))

	kept := filepath.Join(dir, "Little boat.abut")
	s.key("ctrl+s")
	s.until("the question where to", asked)
	s.key("Return")
	s.until("the job in its file", func(img image.Image) bool { _, err := os.Stat(kept); return err == nil && !asked(img) })
	before := s.verdict("ready still", ready)
	s.still("keys-2-saved")
	s.key("ctrl+w")
	s.until("the first page", func(img image.Image) bool { r, _ := largest(img, accent, 150); return !r.Empty() })
	s.key("ctrl+o")
	s.until("the question which file", whichFile)
	s.do("type", kept)
	s.key("Return")
	s.verdict("ready again", ready)
	s.still("keys-3-again")
	// What is written in the tools tells what was exported, which a file does not know: below them all is the same.
	cut := image.Rect(0, below, 1280, 740)
	if a, b := part(before, cut), part(s.look(), cut); !equal(a, b) {
		t.Error("the job does not look as it did when it was saved")
	}
	s.export(filepath.Join(dir, "Little boat cut files 2"))
	first, _ := filepath.Glob(filepath.Join(dir, "Little boat cut files", "*.svg"))
	if len(first) != 3 {
		t.Errorf("%d sheets", len(first))
	}
	for _, f := range first {
		one, _ := os.ReadFile(f)
		other, err := os.ReadFile(filepath.Join(dir, "Little boat cut files 2", filepath.Base(f)))
		if err != nil || !bytes.Equal(one, other) {
			t.Errorf("%s: other files than before: %v", filepath.Base(f), err)
		}
	}
}

// export writes the files into the folder that is proposed, and is done with it.
func (s *screen) export(folder string) {
	s.t.Helper()
	s.key("ctrl+e")
	s.until("the question what to write", asked)
	s.key("Return")
	s.written(folder)
	s.until("that it is written", asked)
	s.key("Return")
	s.until("the window", func(img image.Image) bool { return !asked(img) })
}

// whichFile reports whether a file is asked for: nothing is highlighted until one is there.
func whichFile(img image.Image) bool {
	_, n := largest(img, accent, 150)
	return n < 600
}

// part is the part of a picture in a rectangle.
func part(img image.Image, r image.Rectangle) image.Image {
	out := image.NewNRGBA(r)
	draw.Draw(out, r, img, r.Min, draw.Src)
	return out
}
