package window

import (
	"image/png"
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
	dir := os.Getenv("ABUT_PICTURES")
	t.Cleanup(func() { words.Use(words.English()) })
	for _, tag := range []string{"en", "de"} {
		for _, mode := range []theme.Mode{theme.AlwaysLight, theme.AlwaysDark} {
			words.Use(words.For(tag))
			s := newStage(t, usual, mode)
			sheet := func(state string) (enabled map[string]bool) {
				t.Helper()
				s.settle()
				enabled = map[string]bool{}
				columns := container.New(&controls.Inset{X: 16, Y: 16})
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
						t.Errorf("%s, %s: %s does not say what is missing", tag, state, c.ID)
					}
					for _, text := range []string{label, hint} {
						if strings.HasPrefix(text, "[") || strings.Contains(text, "<no value>") {
							t.Errorf("%s, %s: %s says %q", tag, state, c.ID, text)
						}
					}
					if label == "" || p.Label == "" {
						t.Errorf("%s, %s: %s is called nothing", tag, state, c.ID)
					}
					key := ""
					if c.Key != nil {
						key = command.KeyText(c.Key)
					}
					column.Add(container.NewHBox(p, controls.NewLine(key, controls.Quiet), controls.NewLine(hint, controls.Quiet)))
				}
				columns.Add(row)
				w := test.NewTempWindow(t, container.NewStack(controls.NewFill(controls.Ground), columns))
				w.SetPadded(false)
				w.Resize(columns.MinSize())
				look(w.Canvas())
				if dir != "" {
					f, err := os.Create(filepath.Join(dir, "commands-"+tag+"-"+string(mode)+"-"+state+".png"))
					if err != nil {
						t.Fatal(err)
					}
					if err := png.Encode(f, w.Canvas().Capture()); err != nil {
						t.Error(err)
					}
					if err := f.Close(); err != nil {
						t.Error(err)
					}
				}
				return enabled
			}
			first := sheet("1-start")
			s.demo("pair")
			art := sheet("2-art")
			s.session.Select([]job.LayerID{s.session.Job().Items[0].Layers[0].ID})
			selected := sheet("3-selected")
			for id := range first {
				if first[id] && !art[id] || art[id] && !selected[id] {
					t.Errorf("%s: %s can be done with less: %v, %v, %v", tag, id, first[id], art[id], selected[id])
				}
			}
			s.ask.Blank()
			sheet("4-covered")
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
