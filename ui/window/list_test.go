package window

import (
	"bytes"
	"fmt"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"abut/internal/job"
	"abut/ui/layers"
	"abut/ui/theme"
)

const twoGroups = `<svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="60mm" viewBox="0 0 90 60"><rect id="Ground" y="50" width="90" height="10" fill="#20a040"/>
	<g id="bird"><rect id="left" x="20" width="9" height="9" fill="#d03020"/><rect id="right" x="30" y="2" width="9" height="9" fill="#2040c0"/><circle id="beak" cx="60" cy="20" r="9" fill="#e0a010"/></g>
	<g id="tree"><rect id="trunk" x="40" y="30" width="5" height="30" fill="#804020"/><circle id="leaf" cx="42" cy="30" r="9" fill="#10a010"/></g></svg>`

// Groups of the art come into the list as headings; what is done to one is one
// step that is undone bit for bit.
func TestList_GroupsAndSeveralLayersInOneStep(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.svg(twoGroups)
	start := s.session.Job()
	rows := layers.RowsOf(start, nil)
	if got := rows[0].Groups[0].Name + " " + rows[2].Groups[0].Name + " " + rows[5].Groups[0].Name; got != "Tree Bird " {
		t.Fatalf("the groups are %q", got)
	}
	ids := start.LayerIDs() // Ground, left, right, beak, trunk, leaf
	s.list.OnMove(ids[4:], ids[0])
	s.settle()
	if got := s.session.Job().LayerIDs(); !slices.Equal(got, []job.LayerID{ids[4], ids[5], ids[0], ids[1], ids[2], ids[3]}) {
		t.Fatalf("%v", got)
	}
	if got := s.session.UndoLabel(); got != "list-step-order-several" {
		t.Errorf("the step is called %q", got)
	}
	s.list.OnMove(ids[4:], ids[0]) // there already
	s.session.Select(ids[3:4])
	s.arrange(job.ToTop) // likewise
	if labels, _ := s.session.Steps(); len(labels) != 1 {
		t.Errorf("steps %q", labels)
	}
	s.list.OnShown(ids[1:4], false)
	s.list.OnKnocks(ids[1:4], true)
	s.list.OnLocked(ids[1:4], true)
	if l, _, _ := s.session.Job().Layer(ids[2]); l.Shown || !l.Knocks || !l.Locked {
		t.Errorf("%+v", l)
	}
	for range 4 {
		s.run("undo")
	}
	s.settle()
	if !reflect.DeepEqual(s.session.Job(), start) {
		t.Error("undone, the job is another")
	}
}

// In the real list: a heading's layers are picked with it, and Alt with an arrow
// takes them past the ground.
func TestList_AltArrowMovesWhatAHeadingPicks(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.svg(twoGroups)
	ids := s.session.Job().LayerIDs()
	s.list.TypedKey(&fyne.KeyEvent{Name: fyne.KeyHome})
	if got := s.session.Selection(); !slices.Equal(got, []job.LayerID{ids[5], ids[4]}) {
		t.Fatalf("the first line picks %v", got)
	}
	s.list.TypedKey(&fyne.KeyEvent{Name: fyne.KeyLeft}) // fold it
	for range 9 {
		s.list.TypedShortcut(&desktop.CustomShortcut{KeyName: fyne.KeyDown, Modifier: fyne.KeyModifierAlt})
	}
	s.settle()
	if got := s.session.Job().LayerIDs(); !slices.Equal(got, []job.LayerID{ids[4], ids[5], ids[0], ids[1], ids[2], ids[3]}) {
		t.Errorf("%v", got)
	}
}

func TestListPictures(t *testing.T) {
	looks(t, "list", func(s *stage, keep func(string)) {
		file := os.Getenv("ABUT_LOOK_AT") // an SVG file with many layers
		svg := []byte(manyGroups())
		if file != "" {
			var err error
			if svg, err = os.ReadFile(file); err != nil {
				t.Fatal(err)
			}
		}
		s.session.OpenSVG("list", bytes.NewReader(svg))
		s.settle()
		s.desk.Clear() // the question for its size
		keep("folded")
		s.list.TypedKey(&fyne.KeyEvent{Name: fyne.KeyHome})
		s.list.TypedKey(&fyne.KeyEvent{Name: fyne.KeyRight})
		keep("unfolded")
		s.list.Unfold(s.session.Job().LayerIDs())
		keep("all")
	})
}

// manyGroups is a picture of 8 groups of 6 shapes.
func manyGroups() string {
	var b strings.Builder
	b.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="60mm" viewBox="0 0 90 60">`)
	names := []string{"sky", "hills", "house", "garden", "fence", "tree", "bird", "sun"}
	colours := []string{"#a0d0f0", "#20a040", "#d08040", "#e0a010", "#804020", "#107030", "#2040c0", "#f0d020"}
	at := func(format string, a ...any) { b.WriteString(strings.TrimSpace(fmt.Sprintf(format, a...))) }
	for i, n := range names {
		at(`<g id="%s">`, n)
		for k := range 6 {
			at(`<rect id="%s %c" x="%d" y="%d" width="8" height="5" fill="%s"/>`, n, 'a'+k, 2+k*14, 1+i*7, colours[(i+k)%8])
		}
		at(`</g>`)
	}
	b.WriteString(`</svg>`)
	return b.String()
}
