package window

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/test"

	"abut/internal/job"
	"abut/internal/words"
	"abut/ui/command"
	"abut/ui/controls"
	"abut/ui/theme"
)

// TestCommands_InEveryState makes a sheet of all commands of the table as they are
// before any art, with art, with something selected, and behind a dialog: what each
// is called, its key, and what it does or what is missing. With ABUT_PICTURES set
// to a folder it keeps the sheets there to be looked at.
func TestCommands_InEveryState(t *testing.T) {
	t.Cleanup(func() { words.Use(words.English()) })
	for _, tag := range []string{"en", "de"} {
		for _, mode := range []theme.Mode{theme.AlwaysLight, theme.AlwaysDark} {
			words.Use(words.For(tag))
			s := newStage(t, usual, mode)
			prefix := tag + "-" + string(mode) + "-"
			first := s.commandSheet(prefix + "1-start")
			s.demo("pair")
			art := s.commandSheet(prefix + "2-art")
			s.session.Select([]job.LayerID{s.session.Job().Items[0].Layers[0].ID})
			selected := s.commandSheet(prefix + "3-selected")
			for id := range first {
				if first[id] && !art[id] || art[id] && !selected[id] {
					t.Errorf("%s: %s can be done with less: %v, %v, %v", tag, id, first[id], art[id], selected[id])
				}
			}
			s.ask.Blank()
			s.commandSheet(prefix + "4-covered")
			steps, _ := s.session.Steps()
			for _, c := range s.commands.All() {
				if !c.Over && !c.Typing && s.commands.Run(c.ID) {
					t.Errorf("%s: %s is run behind a dialog", tag, c.ID)
				}
			}
			if now, _ := s.session.Steps(); len(now) != len(steps) || !s.covered() {
				t.Errorf("%s: something was done behind a dialog", tag)
			}
		}
	}
}

// commandSheet makes a sheet of all commands as they are now, and returns which can be done.
func (s *stage) commandSheet(state string) (enabled map[string]bool) {
	t := s.t
	t.Helper()
	s.settle()
	enabled = map[string]bool{}
	row := container.NewHBox()
	var column *fyne.Container
	for i, c := range s.commands.All() {
		if i%26 == 0 {
			column = container.New(&controls.Stack{Gap: 4})
			row.Add(column)
		}
		p := s.commands.Press(c.ID)
		p.OnTapped = nil
		label, hint := s.commands.Label(c.ID), s.commands.Hint(c.ID)
		if enabled[c.ID] = c.Enabled(); !enabled[c.ID] && hint == "" {
			t.Errorf("%s: %s does not say what is missing", state, c.ID)
		}
		for _, text := range []string{label, hint} {
			if strings.HasPrefix(text, "[") || strings.Contains(text, "<no value>") {
				t.Errorf("%s: %s says %q", state, c.ID, text)
			}
		}
		if label == "" || p.Label == "" {
			t.Errorf("%s: %s is called nothing", state, c.ID)
		}
		key := ""
		if c.Key != nil {
			key = command.KeyText(c.Key)
		}
		column.Add(container.NewHBox(p, controls.NewLine(key, controls.Quiet), controls.NewLine(hint, controls.Quiet)))
	}
	columns := container.New(&controls.Inset{X: 16, Y: 16}, row)
	w := test.NewTempWindow(t, container.NewStack(controls.NewFill(controls.Ground), columns))
	w.SetPadded(false)
	w.Resize(columns.MinSize())
	look(w.Canvas())
	if dir := os.Getenv("ABUT_PICTURES"); dir != "" {
		save(t, filepath.Join(dir, "commands-"+state+".png"), w.Canvas().Capture())
	}
	return enabled
}
