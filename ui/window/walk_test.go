package window

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"

	"abut/internal/abutfile"
	"abut/internal/job"
	"abut/internal/words"
	"abut/ui/command"
	"abut/ui/controls"
	"abut/ui/inspect"
	"abut/ui/layers"
	"abut/ui/theme"
)

// walker uses a window at random: by pointer and keyboard, by every command of
// the table, and by typing that nobody finishes. What works in the background is
// done when chance has it.
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
		switch w.r.IntN(8) {
		case 0, 1:
			w.board.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
		case 2: // something else is done before the button is let go
			w.command()
		}
		w.board.DragEnd()
	}
	w.board.MouseUp(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: at}, Button: button})
	w.board.Modifiers = func() fyne.KeyModifier { return 0 }
}

// beyond are commands that leave the window or the document, or that take as long
// as the picture is large.
var beyond = []string{"quit", "close", "new-window", "open-window", "open", "add-picture", "walk"}

// leaves reports whether a command is beyond a walk: another document begins with
// another history.
func leaves(id string) bool {
	return slices.Contains(beyond, id) || strings.HasPrefix(id, "demo-") || strings.HasPrefix(id, "recent-") || id == "start-empty"
}

// teaching gives the class that goes on a key: what is open may change behind it.
func (w *walker) teaching() {
	keys := []fyne.KeyName{fyne.KeyRight, fyne.KeyRight, fyne.KeyRight, fyne.KeyLeft, fyne.KeyEnd, fyne.KeyHome, fyne.KeyReturn, fyne.KeyBackspace, fyne.KeyEscape}
	runes := []rune("17tdz+-")
	for _, win := range fyne.CurrentApp().Driver().AllWindows() {
		if c := win.Canvas(); win != w.win && c.OnTypedKey() != nil && c.OnTypedRune() != nil {
			if n := w.r.IntN(len(keys) + len(runes)); n < len(keys) {
				c.OnTypedKey()(&fyne.KeyEvent{Name: keys[n]})
			} else {
				c.OnTypedRune()(runes[n-len(keys)])
			}
			return
		}
	}
}

// maxLayers is how many layers a walk may make: each makes the next step slower.
const maxLayers = 40

// command runs a command of the table, whether it can be run or not.
func (w *walker) command() {
	all := w.commands.All()
	c := all[w.r.IntN(len(all))]
	more := strings.HasPrefix(c.ID, "ui-add-") || slices.Contains([]string{"duplicate", "paste", "split"}, c.ID)
	switch {
	case leaves(c.ID):
	case more && len(w.session.Job().LayerIDs()) > maxLayers:
	case c.ID == "mend-all" && w.r.IntN(4) > 0: // it takes seconds
	default:
		if c.Typing && w.r.IntN(2) == 0 {
			w.focusBoard()
		}
		w.commands.Run(c.ID)
	}
}

// typing types into a field of Details, or its lettering, and may leave it at that.
func (w *walker) typing() {
	var entries []fyne.Focusable
	for _, f := range inDetails[*inspect.Field](w.stage) {
		if !f.Disabled() {
			entries = append(entries, f)
		}
	}
	for _, f := range inDetails[*inspect.Lines](w.stage) {
		if !f.Disabled() {
			entries = append(entries, f)
		}
	}
	if len(entries) == 0 {
		return
	}
	e := entries[w.r.IntN(len(entries))]
	w.win.Canvas().Focus(e)
	if w.r.IntN(3) > 0 {
		e.(fyne.Shortcutable).TypedShortcut(&fyne.ShortcutSelectAll{})
	}
	for _, c := range []string{"12", "7", "80", "2.5", "1 in", "Quay", "", "-3", "99999"}[w.r.IntN(9)] {
		e.TypedRune(c)
	}
	switch w.r.IntN(6) {
	case 0:
		e.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	case 1:
		e.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	case 2:
		w.focusBoard()
	}
}

// press presses something in Details, or in the dialog that lies over it.
func (w *walker) press() {
	root := w.details.Object
	if top := w.win.Canvas().Overlays().Top(); top != nil {
		root = top
	}
	var list []fyne.Tappable
	for _, o := range test.LaidOutObjects(root) {
		d, can := o.(fyne.Disableable)
		t, is := o.(fyne.Tappable)
		if is && o.Visible() && (!can || !d.Disabled()) && !w.writes(o) {
			list = append(list, t)
		}
	}
	if len(list) > 0 {
		list[w.r.IntN(len(list))].Tapped(&fyne.PointEvent{})
	}
}

// writes reports whether something is a press that writes files, opens a picker
// of files, or begins another language or size of type: each has its own tests.
func (w *walker) writes(o fyne.CanvasObject) bool {
	switch o := o.(type) {
	case *controls.Press:
		for _, id := range []string{"ui-export-write", "ui-save", "ui-export-choose", "ui-leave-go", "settings-system"} {
			if o.Label == say(id) {
				return true
			}
		}
		// Find an action lists all commands.
		if slices.ContainsFunc(w.commands.All(), func(c *command.Command) bool {
			return leaves(c.ID) && o.Label == strings.TrimSuffix(w.commands.Label(c.ID), "…")
		}) {
			return true
		}
		return strings.HasSuffix(o.Label, "%") || slices.ContainsFunc(words.Languages(), func(l words.Language) bool { return l.Name == o.Label }) ||
			strings.Contains(o.Label, "…") && !strings.HasPrefix(o.Label, say("ui-choose")) // it asks for a file
	case *widget.Entry, *widget.Select, *controls.Select, *controls.Entry:
		return true
	}
	return false
}

func (w *walker) step() {
	if w.desk.Open() && w.r.IntN(3) > 0 {
		w.inDialog()
	}
	if w.class != nil && w.r.IntN(3) == 0 {
		w.teaching()
	}
	// How often each is done.
	switch n := w.r.IntN(20); {
	case n < 8 || n == 10 || n == 11:
		if !w.covered() {
			w.inWindow(n)
		}
	case n < 10:
		w.press()
	case n == 12:
		w.blank()
	default:
		w.command()
	}
	w.later()
}

// inDialog leaves the dialog that lies over the window, or presses something in it.
func (w *walker) inDialog() {
	switch w.r.IntN(3) {
	case 0:
		escape := &fyne.KeyEvent{Name: fyne.KeyEscape}
		if f := w.win.Canvas().Focused(); f != nil {
			f.TypedKey(escape)
		} else {
			w.typedKey(escape)
		}
	case 1:
		w.desk.Clear()
	default:
		w.press()
	}
}

// inWindow does something with the board, the list or the panels.
func (w *walker) inWindow(n int) {
	keys := []fyne.KeyName{fyne.KeyLeft, fyne.KeyRight, fyne.KeyUp, fyne.KeyDown, fyne.KeyEscape, fyne.KeySpace, fyne.KeyDelete, fyne.KeyHome, fyne.KeyEnd}
	ids := w.session.Job().LayerIDs()
	switch {
	case n < 3:
		w.pointer()
	case n == 3:
		w.board.TypedKey(&fyne.KeyEvent{Name: keys[w.r.IntN(5)]})
	case n == 4:
		w.list.TypedKey(&fyne.KeyEvent{Name: keys[w.r.IntN(len(keys))]})
	case n < 8:
		w.typing()
	case len(ids) == 0:
	case n == 10:
		w.session.Select([]job.LayerID{ids[w.r.IntN(len(ids))]})
	default: // the list
		var some []job.LayerID
		for _, id := range ids {
			if w.r.IntN(len(ids)) < 2 {
				some = append(some, id)
			}
		}
		w.list.OnMove(some, ids[w.r.IntN(len(ids))])
	}
}

// blank chooses a blank, or none.
func (w *walker) blank() {
	var b *job.Blank
	if w.r.IntN(4) > 0 {
		b = &job.Blank{Name: "Mug", WidthMM: 30 + 200*w.r.Float64(), HeightMM: 30 + 100*w.r.Float64(), SafeMM: 10 * w.r.Float64(), Round: w.r.IntN(2) == 0, At: w.session.Page().Centre()}
	}
	w.do("ui-step-blank", func(j job.Job) (job.Job, error) { return job.SetBlankShape(j, b) })
}

// later does some of what the background hands over, by chance all, some or
// nothing.
func (w *walker) later() {
	for range w.r.IntN(4) {
		select {
		case f := <-w.queue:
			f()
		default:
			return
		}
	}
}

// agrees checks that what is shown is what the document holds, and what its files
// hold: nothing of before, and nothing that was typed is lost.
func (w *walker) agrees(when string) {
	t := w.t
	t.Helper()
	settled := false
	w.session.Ready(func() { settled = true })
	w.settle()
	if d := w.session.Draft(); d != nil || !settled && w.session.Waiting() {
		t.Errorf("%s: something is still being typed, or waited for", when)
	}
	w.desk.Clear() // what was refused was said
	j := w.session.Job()
	st := w.session.State()
	if !reflect.DeepEqual(w.board.Job(), j) {
		t.Errorf("%s: the board shows another job", when)
	}
	if got, want := w.list.Rows(), layers.RowsOf(j, st.Plan); !reflect.DeepEqual(got, want) {
		t.Errorf("%s: the list shows\n%v, want\n%v", when, got, want)
	}
	for _, f := range inDetails[*inspect.Field](w.stage) {
		if !f.Untouched() && !f.Disabled() {
			t.Errorf("%s: a field shows %q for %g", when, f.Text, f.Value())
		}
	}
	_, open := w.panels.Open()
	if open && st.Plan != nil && st.Exact {
		f := w.field("ui-details-width", 0)
		if nothing := st.Plan.Extent.Empty(); nothing && f.Text != "" || !nothing && math.Abs(f.Value()-st.Plan.Extent.Width()) > 1e-9 {
			t.Errorf("%s: the width is said to be %q, it is %g mm", when, f.Text, st.Plan.Extent.Width())
		}
	}
	if l, _, ok := st.One(); ok {
		if p, is := l.Content.(job.Text); open && is && w.lettering().Text != p.Text {
			t.Errorf("%s: the entry says %q, the layer %q", when, w.lettering().Text, p.Text)
		}
	}
	path := filepath.Join(t.TempDir(), "walk.abut")
	w.session.Save(path, true, func(err error) {
		if err != nil {
			t.Errorf("%s: %v", when, err)
		}
	})
	w.settle()
	if saved, err := os.ReadFile(path); err != nil || !bytes.Equal(saved, bits(t, j)) {
		t.Errorf("%s: the file holds something else: %v", when, err)
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

// Random use of pointer, keys, commands, fields and dialogs, with background work
// that is late: the document, the screen and the files agree; undoing it all
// gives the start and redoing it all the end, bit for bit.
func TestWindow_RandomUseThenUndoAll(t *testing.T) {
	rounds, each := 500, 4
	if testing.Short() {
		rounds = 40
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
	for i := range rounds {
		for range each {
			w.step()
		}
		if i%5 == 0 {
			w.look()
		}
		w.agrees(fmt.Sprintf("seed %d, round %d", seed, i))
		if t.Failed() {
			return
		}
	}
	labels, _ := w.session.Steps()
	w.session.GoTo(len(labels)) // what was undone last still belongs to the end
	w.settle()
	end := bits(t, w.session.Job())
	steps := 0
	w.focusBoard()
	for w.session.CanUndo() {
		w.session.Undo()
		steps++
	}
	if !bytes.Equal(bits(t, w.session.Job()), start) {
		t.Errorf("undoing %d steps does not give the start (seed %d)", steps, seed)
	}
	for w.session.CanRedo() {
		w.session.Redo()
	}
	if !bytes.Equal(bits(t, w.session.Job()), end) {
		t.Errorf("redoing %d steps does not give the end (seed %d)", steps, seed)
	}
	w.settle()
	t.Logf("%d rounds, %d steps", rounds, steps)
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
