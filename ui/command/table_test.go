package command

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
)

type paper struct {
	table     Table
	ran       []string
	art, over bool
	draft     error
	settled   int
	whole     bool
	later     []func()
	typed     []string
}

func (p *paper) TypedShortcut(s fyne.Shortcut) { p.typed = append(p.typed, s.ShortcutName()) }

func newPaper() *paper {
	p := &paper{art: true}
	p.table.Covered = func() bool { return p.over }
	p.table.Settle = func(whole bool, run func()) {
		p.settled++
		p.whole = whole
		switch {
		case p.draft != nil:
		case p.later != nil:
			p.later = append(p.later, run)
		default:
			run()
		}
	}
	art := &Condition{"ui-needs-art", func() bool { return p.art }}
	ran := func(id string) func() { return func() { p.ran = append(p.ran, id) } }
	p.table.Add(
		&Command{ID: "cut", Label: "ui-menu-cut-out", Key: &fyne.ShortcutCut{}, When: []*Condition{art}, Typing: true, Run: ran("cut")},
		&Command{ID: "save", Label: "ui-save", Hint: "ui-save-hint", Key: Ctrl(fyne.KeyS), When: []*Condition{art}, On: func() bool { return p.art }, Whole: true, Run: ran("save")},
		&Command{ID: "quit", Label: "ui-menu-quit", Over: true, Run: ran("quit")})
	return p
}

func TestRun_RefusesWhatCannotBeDoneNow(t *testing.T) {
	p := newPaper()
	p.art = false
	if p.table.Run("save") || len(p.ran) > 0 {
		t.Error("saved nothing")
	}
	p.art, p.over = true, true
	if p.table.Run("save") || len(p.ran) > 0 {
		t.Error("saved behind a dialog")
	}
	if !p.table.Run("quit") || !slices.Equal(p.ran, []string{"quit"}) || p.settled > 0 {
		t.Error("what may be run over a dialog was not, or settled what is typed in it")
	}
}

func TestRun_SettlesWhatIsTypedFirst(t *testing.T) {
	p := newPaper()
	if !p.table.Run("save") || p.settled != 1 || !p.whole || !slices.Equal(p.ran, []string{"save"}) {
		t.Error(p.settled, p.whole, p.ran)
	}
	p.draft = errors.New("that is no length")
	if p.table.Run("save"); len(p.ran) != 1 {
		t.Error("saved although what is typed makes no sense")
	}
	// What was typed takes its time, and may change what can be done.
	p.draft, p.later = nil, []func(){}
	for what, change := range map[string]func(){"nothing": func() {}, "what is there": func() { p.art = false }, "what lies over it": func() { p.over = true }} {
		p.ran, p.later, p.art, p.over = nil, p.later[:0], true, false
		p.table.Run("save")
		if len(p.ran) > 0 {
			t.Error("did not wait")
		}
		change()
		p.later[0]()
		if ran := len(p.ran) > 0; ran != (what == "nothing") {
			t.Errorf("%s changed meanwhile: saved %v", what, ran)
		}
	}
}

func TestRun_WhileTextIsTypedCopyingBelongsToIt(t *testing.T) {
	p := newPaper()
	p.table.Entry = func() fyne.Shortcutable { return p }
	p.over = true // entries of dialogs, too
	if !p.table.Run("cut") || len(p.ran) > 0 || !slices.Equal(p.typed, []string{"Cut"}) {
		t.Error(p.ran, p.typed)
	}
	p.over = false
	if !p.table.Run("save") || len(p.typed) != 1 {
		t.Error("saving went to the entry")
	}
}

// draftEntry is an entry that tells whether something is typed that does not count yet.
type draftEntry struct {
	*paper
	drafting bool
}

func (e *draftEntry) Drafting() bool { return e.drafting }

// Undoing is the entry's while something is typed that does not count yet, and the
// document's as soon as it does, although the keyboard is still there.
func TestRun_StepsAreTheDocumentsOnceWhatIsTypedCounts(t *testing.T) {
	p := newPaper()
	p.table.Get("cut").Steps = true
	e := &draftEntry{paper: p}
	p.table.Entry = func() fyne.Shortcutable { return e }
	if p.table.Run("cut"); len(p.typed) > 0 || !slices.Equal(p.ran, []string{"cut"}) {
		t.Error(p.ran, p.typed)
	}
	e.drafting = true
	if p.table.Run("cut"); len(p.typed) != 1 || len(p.ran) != 1 {
		t.Error(p.ran, p.typed)
	}
}

func TestAdd_TwoOfANameOrKeyAreAMistake(t *testing.T) {
	for _, c := range []*Command{{ID: "save", Label: "ui-save"}, {ID: "other", Label: "ui-save", Key: Ctrl(fyne.KeyS)}} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s was taken", c.ID)
				}
			}()
			newPaper().table.Add(c)
		}()
	}
}

func TestBar_ShowsWhatCanBeDoneAndItsActionsGoThroughTheDoor(t *testing.T) {
	test.NewTempApp(t)
	p := newPaper()
	b := p.table.NewBar("quit", Menu{"ui-menu-file", append(Items("save", "", "quit"), Item{Within: &Menu{"ui-menu-edit", Items("cut")}})})
	file := b.Main.Items[0]
	save, within := file.Items[0], file.Items[3].ChildMenu
	if save.Disabled || !save.Checked || !file.Items[1].IsSeparator || !file.Items[2].IsQuit || len(within.Items) != 1 {
		t.Fatalf("%+v", file.Items)
	}
	p.art = false
	b.Update()
	if !save.Disabled || save.Checked || !within.Items[0].Disabled {
		t.Error("it does not follow")
	}
	save.Action() // the toolkit runs a disabled item's shortcut all the same
	if len(p.ran) > 0 {
		t.Error("a disabled item was run")
	}
}

func TestContext_HoldsOnlyWhatCanBeDone(t *testing.T) {
	p := newPaper()
	p.art = false
	m := p.table.Context(append(Items("", "save", "", "quit", ""), Item{Within: &Menu{"ui-menu-edit", Items("cut")}})...)
	if len(m.Items) != 1 || m.Items[0].Label != p.table.Label("quit") {
		t.Errorf("%+v", m.Items)
	}
	p.art = true
	if m = p.table.Context(Items("", "save", "", "", "quit", "")...); len(m.Items) != 3 || !m.Items[1].IsSeparator {
		t.Errorf("%+v", m.Items)
	}
}

func TestKeys_AreWrittenAsPeopleDo(t *testing.T) {
	got := map[string]string{}
	for _, k := range newPaper().table.Keys() {
		got[k[1]] = k[0]
	}
	if got["Save"] != "Ctrl+S" || len(got) != 2 {
		t.Error(got)
	}
	if s := KeyText(CtrlShift(fyne.KeyPageUp)); s != "Ctrl+Shift+Page up" {
		t.Error(s)
	}
}

func TestHint_SaysWhatIsMissing(t *testing.T) {
	p := newPaper()
	does := p.table.Hint("save")
	p.art = false
	if missing := p.table.Hint("save"); does == "" || missing == does || !strings.HasSuffix(missing, ".") {
		t.Errorf("%q, %q", does, missing)
	}
}

func TestFind_ListsWhatCanBeDoneFirst(t *testing.T) {
	p := newPaper()
	names := func(text string) (out []string) {
		for _, c := range p.table.Find(text) {
			out = append(out, c.ID)
		}
		return out
	}
	if got := names(""); len(got) != 3 {
		t.Error(got)
	}
	if got := names("SAV"); !slices.Equal(got, []string{"save"}) {
		t.Error(got)
	}
	if got := names("u"); !slices.Equal(got, []string{"cut", "quit"}) {
		t.Error(got)
	}
	p.art = false
	if got := names("u"); !slices.Equal(got, []string{"quit", "cut"}) {
		t.Error("what cannot be done comes first:", got)
	}
	if got := names("weave"); got != nil {
		t.Error(got)
	}
	p.table.NewBar("quit", Menu{Label: "ui-menu-file", Items: Items("quit", "save")}, Menu{Label: "ui-menu-edit", Items: Items("cut")})
	if got := names("file"); !slices.Equal(got, []string{"quit", "save"}) {
		t.Error("by the name of their menu:", got)
	}
}
