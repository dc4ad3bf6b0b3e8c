package window

import (
	"bytes"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"abut/internal/abutfile"
	"abut/internal/job"
	"abut/ui/board"
	"abut/ui/theme"
)

// walker uses a window at random.
type walker struct {
	*stage
	r *rand.Rand
}

func (w *walker) place() fyne.Position {
	size := w.board.Size()
	return fyne.NewPos(w.r.Float32()*size.Width, w.r.Float32()*size.Height)
}

// pointer presses a button somewhere and perhaps drags and gives up.
func (w *walker) pointer() {
	w.board.Modifiers = func() fyne.KeyModifier {
		return []fyne.KeyModifier{0, 0, fyne.KeyModifierShift, fyne.KeyModifierAlt, fyne.KeyModifierControl}[w.r.IntN(5)]
	}
	button := []desktop.MouseButton{desktop.MouseButtonPrimary, desktop.MouseButtonPrimary, desktop.MouseButtonTertiary}[w.r.IntN(3)]
	at := w.place()
	if w.r.IntN(3) == 0 { // a corner of what is selected
		if r := job.BoundsOf(w.session.Job(), w.session.Selection()); !r.Empty() {
			at = w.board.PositionOf(r.Max)
		}
	}
	w.board.MouseMoved(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: at}})
	w.board.MouseDown(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: at}, Button: button})
	if n := w.r.IntN(5); n > 0 {
		for range n {
			w.board.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: w.place()}})
		}
		if w.r.IntN(4) == 0 {
			w.board.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
		}
		w.board.DragEnd()
	}
	w.board.MouseUp(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: at}, Button: button})
	w.board.Modifiers = func() fyne.KeyModifier { return 0 }
}

func (w *walker) step() {
	keys := []fyne.KeyName{fyne.KeyLeft, fyne.KeyRight, fyne.KeyUp, fyne.KeyDown, fyne.KeyEscape, fyne.KeySpace, fyne.KeyDelete, fyne.KeyHome, fyne.KeyEnd}
	var layers []job.Layer
	if items := w.session.Job().Items; len(items) > 0 {
		layers = items[0].Layers
	}
	switch w.r.IntN(34) {
	case 0, 1, 2, 3, 4:
		w.pointer()
	case 5, 6:
		w.board.TypedKey(&fyne.KeyEvent{Name: keys[w.r.IntN(5)]})
	case 7:
		w.list.TypedKey(&fyne.KeyEvent{Name: keys[w.r.IntN(len(keys))]})
	case 8:
		w.knockOut()
	case 9:
		w.toggleFrame()
	case 10:
		w.arrange(job.Step(w.r.IntN(4)))
	case 11:
		w.showView(board.Mode(w.r.IntN(4)))
	case 12:
		w.session.Resize(20+100*w.r.Float64(), 0)
		w.settle()
	case 13:
		if len(layers) < 60 {
			w.duplicate()
		}
	case 14:
		w.align(job.Alignment(w.r.IntN(6)))
	case 15:
		w.spread(w.r.IntN(2) == 0)
		w.centre()
	case 16:
		w.turn(w.r.Float64() * math.Pi)
		w.flip(w.r.IntN(2) == 0)
	case 17:
		w.setUse(uses[w.r.IntN(4)])
	case 18:
		w.toggleLock()
	case 19:
		w.selectAll()
	case 20:
		if len(layers) > 0 {
			w.session.Select([]job.LayerID{layers[w.r.IntN(len(layers))].ID})
			w.toggleKnock()
			w.toggleShown()
		}
	case 21:
		w.board.Scrolled(&fyne.ScrollEvent{Scrolled: fyne.Delta{DX: w.r.Float32()*80 - 40, DY: w.r.Float32()*80 - 40}})
		w.board.Zoom(0.8 + 0.4*w.r.Float64())
	case 22:
		labels, _ := w.session.Steps()
		if w.r.IntN(4) == 0 {
			w.session.GoTo(max(0, len(labels)-w.r.IntN(20)))
		}
	case 31:
		if len(layers) < 60 {
			w.copySelected()
			w.paste()
			w.settle()
		}
	case 33: // an edit may come before it is done, and make it void
		if w.r.IntN(5) == 0 { // it takes seconds
			w.mendAll()
			if w.r.IntN(2) == 0 {
				w.settle()
			}
		}
	case 32:
		w.recolour(palette[w.r.IntN(len(palette))])
	case 23:
		w.run([]string{"undo", "redo"}[w.r.IntN(2)])
	case 24: // grid and snapping
		a := &w.aids
		a.grid, a.snap, a.step = w.r.IntN(2) == 0, w.r.IntN(4) > 0, w.r.IntN(len(gridSteps[0]))
		a.to = board.Snapping{Layers: w.r.IntN(2) == 0, Blank: w.r.IntN(2) == 0, Grid: w.r.IntN(2) == 0}
		w.useAids()
		w.bar.Update()
		w.board.ShowBlank()
	case 25: // a blank, or none
		var b *job.Blank
		if w.r.IntN(4) > 0 {
			b = &job.Blank{WidthMM: 30 + 200*w.r.Float64(), HeightMM: 30 + 100*w.r.Float64(), SafeMM: 10 * w.r.Float64(), Round: w.r.IntN(2) == 0, At: w.pageRect(w.session.Job()).Centre()}
		}
		w.do("ui-step-blank", func(j job.Job) (job.Job, error) { return job.SetBlankShape(j, b) })
	case 26: // the list
		if len(layers) > 0 {
			var ids []job.LayerID
			for _, l := range layers {
				if w.r.IntN(len(layers)) < 2 {
					ids = append(ids, l.ID)
				}
			}
			w.list.OnMove(ids, layers[w.r.IntN(len(layers))].ID)
		}
	case 27:
		w.setUnits(job.Units(w.r.IntN(2)))
	case 28:
		if ids := w.session.Selection(); len(ids) > 1 && w.r.IntN(3) == 0 {
			w.session.Merge(ids)
		} else if len(layers) < 60 {
			w.split()
		}
		w.settle()
	case 29:
		if list := w.addables(); len(layers) < 60 {
			w.showView(board.Art)
			list[w.r.IntN(len(list))].add()
			w.settle()
		}
	case 30:
		w.nextSpot()
	}
}

// bits is a job as it is saved: every number to its last digit.
func bits(t *testing.T, j job.Job) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := abutfile.Write(&b, abutfile.Document{Job: j}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// Random use of pointer, keys and commands never breaks anything; undoing it
// all gives the start and redoing it all the end, bit for bit.
func TestWindow_RandomUseThenUndoAll(t *testing.T) {
	events := 2000
	if testing.Short() {
		events = 200
	}
	seed := walkSeed(t)
	defer func() {
		if v := recover(); v != nil {
			t.Errorf("seed %d: %v", seed, v)
			panic(v)
		}
	}()
	w := &walker{newStage(t, usual, theme.AlwaysLight), rand.New(rand.NewPCG(seed, 1))}
	w.demo("pair")
	start := bits(t, w.session.Job())
	for i := range events {
		w.desk.Clear()
		w.step()
		if i%20 == 0 {
			w.settle()
			w.win.Canvas().Capture()
		}
	}
	labels, _ := w.session.Steps()
	w.session.GoTo(len(labels)) // what was undone last still belongs to the end
	w.settle()
	end := bits(t, w.session.Job())
	steps := 0
	for w.session.CanUndo() {
		w.run("undo")
		steps++
	}
	if !bytes.Equal(bits(t, w.session.Job()), start) {
		t.Errorf("undoing %d steps does not give the start (seed %d)", steps, seed)
	}
	for w.session.CanRedo() {
		w.run("redo")
	}
	if !bytes.Equal(bits(t, w.session.Job()), end) {
		t.Errorf("redoing %d steps does not give the end (seed %d)", steps, seed)
	}
	w.settle()
	t.Logf("%d events, %d steps", events, steps)
}

// walkSeed is always the same in ./run test, so that it fails for what was
// changed; ./run test-all walks anew, and ABUT_SEED walks the same way again.
func walkSeed(t *testing.T) uint64 {
	if s := os.Getenv("ABUT_SEED"); s != "" {
		v, err := strconv.ParseUint(s, 10, 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	if os.Getenv("ABUT_CORPUS") == "all" {
		return rand.Uint64()
	}
	return 2
}
