package window

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"

	"abut/internal/job"
	"abut/internal/words"
	"abut/ui/ask"
	"abut/ui/board"
	"abut/ui/theme"
)

// asUsual brings language and size of type back after a test.
func asUsual(t *testing.T) {
	t.Cleanup(func() {
		words.Use(words.English())
		theme.SetTextScale(1)
	})
}

func TestSettings_TheLanguageCountsAtOnceAndTheWorkStays(t *testing.T) {
	asUsual(t)
	s := newStage(t, fyne.NewSize(1100, 740), theme.AlwaysLight)
	s.demo("pair")
	s.session.Select([]job.LayerID{2})
	s.knockOut()
	s.settle()
	s.showView(board.Fitted)
	s.board.Zoom(2)
	at := s.board.PositionOf(s.session.Job().Items[0].Placement.Apply(s.session.Job().Items[0].Canvas.Centre()))
	s.ask.Settings()
	s.press("Deutsch").Tapped(nil)
	s.settle()
	if s.options.Prefs.String("language") != "de" {
		t.Error("it is not kept")
	}
	if got := s.verdict.Text(); !strings.HasPrefix(got, "Nichts liegt übereinander") {
		t.Errorf("verdict: %q", got)
	}
	if s.bar.Main.Items[0].Label != "Datei" || s.commands.Label("undo") != "Rückgängig: alles aussparen" {
		t.Errorf("%q, %q", s.bar.Main.Items[0].Label, s.commands.Label("undo"))
	}
	if !s.desk.Open() {
		t.Error("the settings are gone")
	}
	if got := s.session.Selection(); len(got) != 1 || got[0] != 2 || s.board.Mode() != board.Fitted || !s.session.CanUndo() {
		t.Errorf("%v, %v", got, s.board.Mode())
	}
	if now := s.board.PositionOf(s.session.Job().Items[0].Placement.Apply(s.session.Job().Items[0].Canvas.Centre())); now != at {
		t.Errorf("the view moved from %v to %v", at, now)
	}
	s.press("English").Tapped(nil)
	s.settle()
	if got := s.verdict.Text(); !strings.HasPrefix(got, "Nothing stacks") {
		t.Errorf("verdict: %q", got)
	}
	s.desk.Clear()
	s.run("undo")
	s.settle()
	if got := s.verdict.Text(); !strings.Contains(got, "Press Knock out") {
		t.Errorf("the window built anew does not follow: %q", got)
	}
}

func TestSettings_WithoutADocument(t *testing.T) {
	asUsual(t)
	s := newStage(t, fyne.NewSize(1024, 673), theme.AlwaysDark)
	s.ask.Settings()
	s.press("Deutsch").Tapped(nil)
	s.settle()
	s.press("Zoll").Tapped(nil)
	s.desk.Clear()
	s.demo("pair")
	if got := s.verdict.Facts(); !strings.Contains(got, " in") || !strings.Contains(got, ",") || s.session.Job().Settings.Units != job.Inches {
		t.Errorf("%q", got)
	}
}

func TestSettings_LargerTypeIsKeptAndUsed(t *testing.T) {
	asUsual(t)
	s := newStage(t, fyne.NewSize(1440, 873), theme.AlwaysLight)
	s.demo("pair")
	small := s.verdict.Object.MinSize()
	s.ask.Settings()
	s.press("130 %").Tapped(nil)
	s.settle()
	if large := s.verdict.Object.MinSize(); large.Height <= small.Height {
		t.Errorf("%v, before %v", large, small)
	}
	if got := ask.TextScale(s.options.Prefs); got != 1.3 {
		t.Error(got)
	}
	s.press("100 %").Tapped(nil)
	s.settle()
	if again := s.verdict.Object.MinSize(); again != small {
		t.Errorf("%v, before %v", again, small)
	}
}

// What to do next is said whole, in large type too: facts give way to it.
func TestVerdict_IsSaidWholeBeforeFactsAre(t *testing.T) {
	asUsual(t)
	theme.SetTextScale(1.3)
	s := newStage(t, fyne.NewSize(1600, 873), theme.AlwaysLight)
	s.demo("rich")
	s.knockOut()
	s.settle()
	shown := func(width float32) (facts bool, cut string) {
		s.verdict.Object.Resize(fyne.NewSize(width, s.verdict.Object.MinSize().Height))
		for _, o := range test.LaidOutObjects(s.verdict.Object) {
			if x, is := o.(*canvas.Text); is && strings.HasSuffix(x.Text, "…") {
				cut = x.Text
			}
		}
		return s.verdict.Facts() != "", cut
	}
	if facts, cut := shown(1600); !facts || cut != "" {
		t.Errorf("with room for both: facts %v, cut short: %q", facts, cut)
	}
	if facts, cut := shown(500); facts || cut != "" {
		t.Errorf("with room for one: facts %v, cut short: %q", facts, cut)
	}
}

// The pictures in German, in both themes and with large type. With ABUT_PICTURES
// set to a folder it keeps them there to be looked at.
func TestGerman_Pictures(t *testing.T) {
	dir := os.Getenv("ABUT_PICTURES")
	if dir == "" {
		t.Skip("pictures are for looking at; set ABUT_PICTURES to a folder")
	}
	asUsual(t)
	words.Use(words.For("de"))
	for _, c := range []struct {
		name string
		size fyne.Size
		mode theme.Mode
		text float32
	}{
		{"1024", fyne.NewSize(1024, 673), theme.AlwaysLight, 1}, {"1440", fyne.NewSize(1440, 873), theme.AlwaysDark, 1},
		{"1024", fyne.NewSize(1024, 673), theme.AlwaysDark, 1}, {"1440", fyne.NewSize(1440, 873), theme.AlwaysLight, 1},
		{"1024-large", fyne.NewSize(1024, 673), theme.AlwaysLight, 1.3}, {"1440-large", fyne.NewSize(1440, 873), theme.AlwaysLight, 1.3},
	} {
		theme.SetTextScale(c.text)
		s := newStage(t, c.size, c.mode)
		s.options.State = "/state/abut/work"
		keep := func(state string) {
			s.settle()
			save(t, filepath.Join(dir, fmt.Sprintf("de-%s-%s-%s.png", c.name, c.mode, state)), s.win.Canvas().Capture())
		}
		keep("1-start")
		s.demo("pair")
		keep("2-stacked")
		s.session.Close()
		s.demo("rich")
		s.knockOut()
		s.settle()
		s.session.Select([]job.LayerID{3})
		keep("3-ready")
		s.showView(board.Sheets)
		keep("4-sheets")
		s.showView(board.Assembly)
		keep("4-assembly")
		s.showView(board.Art)
		for _, d := range []struct {
			name string
			ask  func()
		}{
			{"export", s.ask.Export}, {"size", s.ask.Size}, {"keys", s.ask.Keys}, {"steps", s.ask.History}, {"about", s.ask.About}, {"blank", s.ask.Blank},
			{"settings", s.ask.Settings}, {"screen", s.ask.Screen}, {"colours", s.sheets.Colours}, {"drawer", s.sheets.Drawer}, {"base", s.ask.Base},
		} {
			d.ask()
			s.settle()
			keep("5-" + d.name)
			s.desk.Clear()
		}
	}
}

// Longer words and larger type have room, too.
func TestWindow_EverythingHasRoomInGermanAndLarge(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long")
	}
	for _, c := range []struct {
		name, language string
		size           fyne.Size
		text           float32
	}{
		{"de", "de", fyne.NewSize(1024, 673), 1}, {"de-wide", "de", fyne.NewSize(1440, 873), 1},
		{"large", "en", fyne.NewSize(1024, 673), 1.3}, {"de-large", "de", fyne.NewSize(1440, 873), 1.3},
	} {
		t.Run(c.name, func(t *testing.T) {
			asUsual(t)
			words.Use(words.For(c.language))
			theme.SetTextScale(c.text)
			s := newStage(t, c.size, theme.AlwaysLight)
			everyState(s, func(state string) {
				t.Helper()
				s.settle()
				for _, o := range s.untidy() {
					t.Errorf("%s: %s", state, o)
				}
			})
		})
	}
}
