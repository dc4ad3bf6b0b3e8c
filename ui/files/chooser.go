package files

import (
	"os"
	"path/filepath"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/internal/system"
	"abut/ui/controls"
	"abut/ui/dialogs"
)

// mode is what is asked for.
type mode uint8

const (
	opens mode = iota
	saves
	folders
)

// maxListed is how many files are listed at a time: the rest is found by typing.
const maxListed = 200

const (
	placesWide = 172
	listWide   = 524
	// around is what lies beside them: margins, and what is between them.
	around  = 96
	rowHigh = 44
)

// chooser is the dialog: folders at the left, what is in the one that is open at the
// right, and over both the path, which can be typed as well.
type chooser struct {
	*dialogs.Dialog
	h    *Host
	mode mode
	kind Kind
	use  func(path string)

	dir string
	// all is what is in the folder, shown what of it is listed; at is the row that is
	// marked, below 0 for none.
	all, shown []entry
	rows       []*row
	at         int
	// replace is the file that may be written over: that was said.
	replace string

	path   *controls.Entry
	up     *controls.Press
	list   *fyne.Container
	scroll *container.Scroll
	places *fyne.Container
	note   *controls.Para
	goOn   *controls.Press
	stop   func()
	// setting: the path is set, not typed.
	setting bool
}

// Open asks for a file of a kind.
func (h *Host) Open(k Kind, use func(path string)) {
	h.choose(opens, k, k.Title, "ui-open", h.lastFolder(), "", use)
}

// Save asks where a file is written; one that is there is replaced only after a
// question.
func (h *Host) Save(k Kind, name string, use func(path string)) {
	h.choose(saves, k, "files-save-title", "ui-save", h.lastFolder(), name, use)
}

// Folder asks for a folder, beginning at one or at the next above it that is there.
func (h *Host) Folder(from string, use func(dir string)) {
	for {
		if i, err := os.Stat(from); err == nil && i.IsDir() || filepath.Dir(from) == from {
			break
		}
		from = filepath.Dir(from)
	}
	h.choose(folders, Kind{Why: "files-only-folders"}, "files-folder-title", "files-folder-use", from, "", use)
}

func (h *Host) choose(m mode, k Kind, title, button, dir, name string, use func(string)) {
	room := h.Desk.Room()
	c := &chooser{Dialog: h.Desk.New(placesWide+listWide+64, say(title)), h: h, mode: m, kind: k, use: use, at: -1, stop: func() {}}
	c.path = controls.NewEntry("")
	c.path.Passing = m != saves
	c.path.OnChanged = func(string) { c.typed() }
	c.path.OnMove = func(rows int) { c.mark(max(0, min(c.at+rows, len(c.shown)-1))) }
	c.up = controls.NewIconPress("up", say("files-up"), func() { c.enter(filepath.Dir(c.dir), "") })
	c.list = container.New(&controls.Stack{})
	c.scroll = controls.NewScroll(c.list)
	c.places = container.New(&controls.Stack{Gap: 2})
	c.note = controls.NewPara("", controls.Quiet)
	rows := max(3, min(8, int((room.Height-330)/rowHigh)))
	high := float32(rows*rowHigh + 8)
	c.Body.Add(controls.NewDock(nil, nil, container.New(&controls.Inset{X: 0}, container.NewHBox(c.up)), nil, c.path))
	places := controls.NewScroll(c.places)
	wide := min(listWide, room.Width-placesWide-around)
	framed := container.NewStack(controls.NewCard(controls.Ground, controls.Rule), container.New(&controls.Inset{X: 4, Y: 4}, c.scroll))
	c.Body.Add(container.New(&controls.Lead{Gap: 12}, container.NewGridWrap(fyne.NewSize(placesWide, high), places), container.NewGridWrap(fyne.NewSize(wide, high), framed)))
	c.Body.Add(c.note)
	c.goOn = dialogs.Button(say(button), c.accept)
	c.OnCancel = c.close
	c.SetButtons(dialogs.Button(say("ui-cancel"), c.Cancel), c.goOn)
	c.showPlaces()
	c.Show(c.path)
	c.enter(dir, name)
}

func (c *chooser) close() {
	c.stop()
	c.Close()
}

// showPlaces lists the folders that were used and those that everyone has.
func (c *chooser) showPlaces() {
	add := func(heading string, dirs []string, name func(string) string) {
		if len(dirs) == 0 {
			return
		}
		c.places.Add(container.New(&controls.Inset{X: 8, Y: 4}, controls.NewCaption(say(heading))))
		for _, dir := range dirs {
			p := controls.NewAction("open", name(dir), dir, func() { c.enter(dir, "") })
			p.Fills, p.Height, p.IconSide = true, 32, 18
			c.places.Add(p)
		}
	}
	add("files-recent", c.h.recent(), filepath.Base)
	own := c.h.places()
	add("files-places", own, func(dir string) string {
		if dir == own[0] {
			return say("files-home")
		}
		return filepath.Base(dir)
	})
}

// enter opens a folder; name is what is to be written in it.
func (c *chooser) enter(dir, name string) {
	all, err := list(dir)
	if err != nil {
		c.say(say("files-no-folder", "folder", filepath.Base(dir)), controls.Care)
		return
	}
	if c.mode == saves && name == "" && c.dir != "" {
		_, name = typedPath(c.path.Text, c.dir)
	}
	c.dir, c.all, c.at = dir, all, -1
	c.up.SetEnabled(filepath.Dir(dir) != dir)
	c.set(filepath.Join(dir, name), name == "")
	c.showList("")
	c.Focus(c.path)
	if name != "" {
		c.path.TypedShortcut(&fyne.ShortcutSelectAll{})
	}
}

// set puts a path into its entry; a folder's ends in a separator, so that one goes
// on typing.
func (c *chooser) set(path string, folder bool) {
	if sep := string(filepath.Separator); folder && !strings.HasSuffix(path, sep) {
		path += sep
	}
	c.setting = true
	c.path.SetText(path)
	c.path.CursorColumn = len([]rune(path))
	c.path.Refresh()
	c.setting = false
}

// typed follows what is typed: into another folder, and down to the names that have
// it in them.
func (c *chooser) typed() {
	if c.setting {
		return
	}
	if text := system.Here().Anew(c.path.Text); text != c.path.Text {
		c.set(text, false)
	}
	dir, part := typedPath(c.path.Text, c.dir)
	c.replace = ""
	if dir != c.dir {
		if all, err := list(dir); err == nil {
			c.dir, c.all = dir, all
			c.up.SetEnabled(filepath.Dir(dir) != dir)
		} else {
			c.all = nil
		}
	}
	c.at = -1
	if c.mode == saves {
		part = "" // it is a new name
	}
	c.showList(part)
	if c.mode == opens && part != "" && len(c.shown) > 0 { // Enter takes what is found, or it is said why not
		c.at = max(0, slices.IndexFunc(c.shown, func(e entry) bool { return e.folder || c.kind.Takes(e.name()) }))
		c.showMark()
	}
	if c.mode == opens && !isFolder(dir) {
		c.say(say("files-no-such", "folder", filepath.Base(dir)), controls.Quiet)
	}
}

// showList lists what has a text in its name.
func (c *chooser) showList(part string) {
	c.stop()
	part = strings.ToLower(part)
	c.shown, c.rows = nil, nil
	var rows []fyne.CanvasObject // a list lays all of itself out for each that is added
	more := false
	for _, e := range c.all {
		if !strings.Contains(strings.ToLower(e.name()), part) || c.mode == folders && !e.folder {
			continue
		}
		if more = len(c.shown) == maxListed; more {
			break
		}
		c.shown = append(c.shown, e)
		r := newRow(c, len(c.rows), e)
		c.rows = append(c.rows, r)
		rows = append(rows, r.object)
	}
	if text := map[bool]string{true: say("files-more"), false: say("files-none")}[more]; more || len(c.shown) == 0 {
		rows = append(rows, container.New(&controls.Inset{X: 12, Y: 10}, controls.NewPara(text, controls.Quiet)))
	}
	c.list.Objects = rows
	c.scroll.ScrollToTop()
	c.list.Refresh()
	c.scroll.Refresh()
	c.showMark()
	c.thumbs()
}

// mark marks a row, with its path for all to see.
func (c *chooser) mark(at int) {
	if at < 0 || at >= len(c.shown) {
		return
	}
	c.at = at
	c.replace = ""
	c.set(c.shown[at].path, c.shown[at].folder)
	top, high := float32(at)*rowHigh, c.scroll.Size().Height
	if top < c.scroll.Offset.Y || top+rowHigh > c.scroll.Offset.Y+high {
		c.scroll.ScrollToOffset(fyne.NewPos(0, max(0, top-high/2)))
	}
	c.showMark()
}

// pressed marks a row; a folder is entered, and a file that is marked is taken.
func (c *chooser) pressed(at int) {
	switch {
	case c.shown[at].folder:
		c.enter(c.shown[at].path, "")
	case at == c.at && c.mode == opens:
		c.accept()
	default:
		c.mark(at)
		c.Focus(c.path)
	}
}

// showMark says what goes with the row that is marked.
func (c *chooser) showMark() {
	for i, r := range c.rows {
		r.mark.SetOn(i == c.at)
	}
	ready, text := true, ""
	switch {
	case c.mode == opens && c.at < 0:
		_, err := os.Stat(c.path.Text)
		ready = err == nil && c.kind.Takes(c.path.Text)
	case c.mode == opens && !c.shown[c.at].folder && !c.kind.Takes(c.shown[c.at].path):
		ready, text = false, c.kind.why(c.shown[c.at].path)
	case c.mode == saves:
		_, name := typedPath(c.path.Text, c.dir)
		ready = name != ""
	case c.mode == folders:
		if dir := c.target(); !isFolder(dir) {
			text = say("files-folder-new", "folder", filepath.Base(dir))
		}
	}
	c.goOn.SetEnabled(ready)
	c.say(text, controls.Quiet)
}

func (c *chooser) say(text string, tone controls.Tone) {
	if c.note.Text() != text {
		c.note.SetTone(tone)
		c.note.SetText(text)
		c.Fit()
	}
}

func isFolder(path string) bool {
	i, err := os.Stat(path)
	return err == nil && i.IsDir()
}

// target is the path that is meant.
func (c *chooser) target() string {
	if c.at >= 0 {
		return c.shown[c.at].path
	}
	dir, name := typedPath(c.path.Text, c.dir)
	return filepath.Join(dir, name)
}

// accept goes on with what is marked or typed, or into it.
func (c *chooser) accept() {
	path := c.target()
	if c.goOn.Disabled() {
		return
	}
	if c.mode != folders && isFolder(path) {
		c.enter(path, "")
		return
	}
	dir := filepath.Dir(path)
	switch c.mode {
	case opens:
		if !c.kind.Takes(path) {
			return
		}
	case saves:
		if filepath.Ext(path) == "" {
			path += c.kind.Endings[0]
		}
		if _, err := os.Lstat(path); err == nil && c.replace != path {
			c.replace = path
			c.say(say("files-replace", "file", filepath.Base(path)), controls.Care)
			return
		}
	case folders:
		if err := os.MkdirAll(path, 0o777); err != nil {
			c.say(say("files-no-new-folder", "folder", filepath.Base(path)), controls.Care)
			return
		}
		dir = path
	}
	c.h.remember(dir)
	c.close()
	c.use(path)
}
