package class

import (
	"bytes"
	"context"
	"fmt"
	"hash/fnv"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"abut/assets"
	"abut/geometry"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/show"
	"abut/internal/words"
	"abut/internal/workshop"
	"abut/ui/paint"
	"abut/ui/theme"
)

// program is the toolkit's app of all tests.
var program = sync.OnceValue(func() fyne.App {
	app := test.NewApp()
	app.Settings().SetTheme(&theme.Theme{})
	return app
})

func demo(t testing.TB, id string) job.Job {
	t.Helper()
	for _, d := range assets.Demos() {
		if d.ID == id {
			j, err := workshop.OpenSVG(context.Background(), d.ID, bytes.NewReader(d.SVG))
			if err != nil {
				t.Fatal(err)
			}
			return j
		}
	}
	t.Fatalf("no demo %s", id)
	return job.Job{}
}

func lesson(t testing.TB, j job.Job) *show.Show {
	t.Helper()
	s, err := show.Make(context.Background(), new(fit.Cache), j)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// open opens a class in a headless window of a size.
func open(t *testing.T, s *show.Show, size fyne.Size, o Options) *Class {
	t.Helper()
	program()
	c := Open(s, o)
	c.win.Resize(size)
	t.Cleanup(func() { c.Close() })
	return c
}

func press(c *Class, name fyne.KeyName) { c.key(&fyne.KeyEvent{Name: name}) }

func sum(img image.Image) uint64 {
	h := fnv.New64a()
	b := img.Bounds()
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			r, g, b, _ := img.At(x, y).RGBA()
			h.Write([]byte{byte(r >> 8), byte(g >> 8), byte(b >> 8)})
		}
	}
	return h.Sum64()
}

func TestClass_ThereAndBackShowsTheSamePictures(t *testing.T) {
	for _, id := range []string{"pair", "rich"} {
		s := lesson(t, demo(t, id))
		c := open(t, s, fyne.NewSize(640, 360), Options{Calm: true})
		var there []uint64
		for i := range s.Steps {
			if c.at != i {
				t.Fatalf("%s: at %d, want %d", id, c.at, i)
			}
			there = append(there, sum(c.win.Canvas().Capture()))
			press(c, fyne.KeyPageDown)
		}
		for i := len(s.Steps) - 1; i >= 0; i-- {
			if got := sum(c.win.Canvas().Capture()); got != there[i] {
				t.Errorf("%s: step %s is another picture on the way back", id, s.Steps[i].ID)
			}
			press(c, fyne.KeyPageUp)
		}
	}
}

func TestClass_StepsAreReachedByNumber(t *testing.T) {
	c := open(t, lesson(t, demo(t, "nested")), fyne.NewSize(640, 360), Options{Calm: true})
	for _, r := range "12" {
		c.rune(r)
	}
	press(c, fyne.KeyReturn)
	if c.at != 11 {
		t.Errorf("at %d, want 11", c.at)
	}
	for _, r := range "99" {
		c.rune(r)
	}
	press(c, fyne.KeyReturn)
	if c.at != len(c.show.Steps)-1 {
		t.Errorf("at %d, want the last", c.at)
	}
	c.rune('3')
	press(c, fyne.KeyEscape) // takes the number back and leaves nothing
	press(c, fyne.KeyHome)
	if c.at != 0 || c.typed != "" {
		t.Errorf("at %d, typed %q", c.at, c.typed)
	}
}

func TestClass_EveryPictureIsInBothLanguagesOnTwoLines(t *testing.T) {
	program()
	for _, l := range words.Languages() {
		w := words.For(l.Tag)
		for _, d := range assets.Demos() {
			for _, s := range lesson(t, demo(t, d.ID)).Steps {
				for _, m := range []string{s.Sentence.ID, s.Notes.ID} {
					if !w.Has(m) {
						t.Errorf("%s: no sentence %s", l.Tag, m)
					}
				}
				for _, wide := range []float64{1280, 960} {
					text := w.Message(s.Sentence)
					lines, size, ok := sentence(text, wide-2*sentenceMargin)
					if !ok || size < show.LabelSize || len(lines) > 2 || strings.Contains(text, "[") {
						t.Errorf("%s, %s, %s at %g: %q on lines %q", l.Tag, d.ID, s.ID, wide, text, lines)
					}
				}
			}
		}
	}
}

// WCAG 2.2, contrast (enhanced): 7 : 1.
func TestClass_WordsHaveContrastInBothRooms(t *testing.T) {
	for _, r := range []show.Room{show.LightRoom, show.DarkRoom} {
		if k := theme.Contrast(nrgba(r.Ink), nrgba(r.Ground)); k < 7 {
			t.Errorf("%v on %v: %.1f", r.Ink, r.Ground, k)
		}
	}
}

func TestClass_PlacesThatArePointedAtAreJudged(t *testing.T) {
	s := lesson(t, demo(t, "pair"))
	c := open(t, s, fyne.NewSize(1280, 720), Options{Calm: true})
	for s.Steps[c.at].ID != "ask" {
		press(c, fyne.KeySpace)
	}
	at := s.Board(1280)
	for _, p := range []geometry.Point{{X: 45, Y: 62}, {X: 45, Y: 80}} { // the hull, over the sea, and the sea alone
		c.press(at.Apply(p), 1280)
	}
	if len(c.picks) != 2 || c.step().ID != "ask" {
		t.Fatalf("%v in %s", c.picks, c.step().ID)
	}
	press(c, fyne.KeySpace)
	if !s.Stacks(c.picks[0]) || s.Stacks(c.picks[1]) {
		t.Errorf("judged %v, %v", s.Stacks(c.picks[0]), s.Stacks(c.picks[1]))
	}
	marks := c.scene(1280).Marks
	if a, b := marks[len(marks)-3].Shape, marks[len(marks)-1].Shape; a != pickTick || b != pickCross {
		t.Error("the answers are not a tick and a cross")
	}
}

func TestClass_WhatIsDraggedTurnsRedAndGoesBack(t *testing.T) {
	s := lesson(t, demo(t, "pair"))
	c := open(t, s, fyne.NewSize(1280, 720), Options{Calm: true})
	for s.Steps[c.at].ID != "what-if" {
		press(c, fyne.KeySpace)
	}
	before := sum(c.win.Canvas().Capture())
	at := s.Board(1280)
	from := at.Apply(geometry.Pt(45, 62))
	c.drag(from, from.Add(geometry.Pt(0, -60)), 1280)
	c.letGo()
	if c.sheet < 0 || c.by.Y >= 0 {
		t.Fatalf("sheet %d moved by %v", c.sheet, c.by)
	}
	if sum(c.win.Canvas().Capture()) == before {
		t.Error("nothing moved")
	}
	press(c, fyne.KeyBackspace)
	if sum(c.win.Canvas().Capture()) != before {
		t.Error("it did not go back")
	}
}

func TestClass_ClosingInMidShowTellsWhoOpenedIt(t *testing.T) {
	program()
	closed := 0
	c := Open(lesson(t, demo(t, "pair")), Options{OnClosed: func() { closed++ }})
	press(c, fyne.KeySpace)
	press(c, fyne.KeyEscape)
	if closed != 1 || c.moving != nil {
		t.Errorf("closed %d times, moving %v", closed, c.moving != nil)
	}
}

// TestClass_Pictures writes every step's picture into the folder CLASS_PICTURES, to be
// looked at; CLASS_ART names more pictures.
func TestClass_Pictures(t *testing.T) {
	dir := os.Getenv("CLASS_PICTURES")
	if dir == "" {
		t.Skip("CLASS_PICTURES is not set")
	}
	jobs := map[string]job.Job{}
	for _, d := range assets.Demos() {
		jobs[d.ID] = demo(t, d.ID)
	}
	for _, file := range strings.Fields(os.Getenv("CLASS_ART")) {
		j, err := workshop.Open(context.Background(), file)
		if err == nil {
			j, err = workshop.Size(context.Background(), j, 80, 0)
		}
		if err != nil {
			t.Fatal(err)
		}
		jobs[strings.TrimSuffix(filepath.Base(file), ".svg")] = j
	}
	for name, j := range jobs {
		s := lesson(t, j)
		for _, l := range words.Languages() {
			words.Use(words.For(l.Tag))
			for _, size := range []fyne.Size{{Width: 1280, Height: 720}, {Width: 1920, Height: 1080}, {Width: 960, Height: 720}} {
				for _, dark := range []bool{false, true} {
					c := open(t, s, size, Options{Calm: true, Dark: dark})
					for i, step := range s.Steps {
						f, err := os.Create(filepath.Join(dir, fmt.Sprintf("%s-%s-%gx%g-%t-%02d-%s.png", name, l.Tag, size.Width, size.Height, dark, i+1, step.ID)))
						if err != nil {
							t.Fatal(err)
						}
						if err := png.Encode(f, c.win.Canvas().Capture()); err != nil {
							t.Error(err)
						}
						f.Close()
						press(c, fyne.KeySpace)
					}
					c.Close()
				}
			}
		}
	}
	words.Use(words.For("en"))
}

// BenchmarkFrame_1920x1080 is a frame of an animation: our own work, without the
// toolkit's. Each step's drawing is taken at a hundred times.
func BenchmarkFrame_1920x1080(b *testing.B) {
	for _, id := range []string{"pair", "rich"} {
		s := lesson(b, demo(b, id))
		for i := range s.Steps {
			if step := &s.Steps[i]; step.Seconds > 0 {
				b.Run(id+"/"+step.ID, func(b *testing.B) {
					c := &screen{c: &Class{show: s, at: i, moving: &fyne.Animation{}, zoom: zoom{times: 1}, question: question{sheet: -1}}}
					c.pixels(1920, 810)
					for n := range b.N {
						c.c.t = float64(n%100) / 100
						c.pixels(1920, 810)
					}
				})
			}
		}
	}
}

func TestClass_TheTeacherSeesWhatComesNext(t *testing.T) {
	s := lesson(t, demo(t, "pair"))
	c := open(t, s, fyne.NewSize(640, 360), Options{Calm: true})
	c.rune('t')
	if c.teacher == nil || len(c.screens) != 2 {
		t.Fatal("no teacher's screen")
	}
	press(c, fyne.KeySpace)
	w := words.Chosen()
	if got := c.teacher.next.Text; !strings.HasSuffix(got, w.Message(s.Steps[2].Sentence)) {
		t.Errorf("next: %q", got)
	}
	if got := c.teacher.notes.Text; got != w.Message(s.Steps[1].Notes) {
		t.Errorf("notes: %q", got)
	}
	if dir := os.Getenv("CLASS_PICTURES"); dir != "" {
		f, err := os.Create(filepath.Join(dir, "teacher.png"))
		if err == nil {
			err = png.Encode(f, c.teacher.win.Canvas().Capture())
		}
		if err != nil {
			t.Error(err)
		}
	}
	c.rune('t')
	if c.teacher != nil || len(c.screens) != 1 {
		t.Error("it did not close")
	}
	c.rune('t')
	c.Close()
	if c.teacher != nil {
		t.Error("it is there without the class")
	}
}

// A stage paints only what changed. Once it stands still that is, to the last bit, the
// picture that painting all of it gives.
func TestStage_PaintsAsIfAllWereNew(t *testing.T) {
	for _, id := range []string{"pair", "rich"} {
		s := lesson(t, demo(t, id))
		var stage paint.Stage
		for i := range s.Steps {
			for k := range 8 {
				at := float64(k) / 7
				stage.Paint(s.Steps[i].Scene(&show.LightRoom, 1280, at-0.02), show.LightRoom.Ground, 480, 202, true)
				scene := s.Steps[i].Scene(&show.LightRoom, 1280, at)
				got := stage.Paint(scene, show.LightRoom.Ground, 480, 202, false)
				want := new(paint.Stage).Paint(scene, show.LightRoom.Ground, 480, 202, false)
				if !bytes.Equal(got.Pix, want.Pix) {
					t.Errorf("%s, %s at %d of 7: another picture", id, s.Steps[i].ID, k)
				}
			}
		}
	}
}
