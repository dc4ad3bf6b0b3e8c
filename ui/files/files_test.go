package files

import (
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"

	"abut/internal/words"
)

func TestOpen_ByPressingAndWhatIsMarkedAgain(t *testing.T) {
	r := newRig(t)
	r.fill("Mugs/", "Mugs/Puffin.svg", "Buoy.svg")
	got := ""
	r.Open(Pictures, func(path string) { got = path })
	if !r.press(say("ui-open")).Disabled() {
		t.Error("nothing can be opened")
	}
	r.tap("Mugs")
	r.tap("Puffin.svg")
	if got != "" || r.path().Text != filepath.Join(r.Home, "Mugs", "Puffin.svg") {
		t.Fatalf("opened %q at once, or not said: %q", got, r.path().Text)
	}
	r.tap("Puffin.svg")
	if want := filepath.Join(r.Home, "Mugs", "Puffin.svg"); got != want || r.Desk.Open() {
		t.Errorf("opened %q, still asks: %v", got, r.Desk.Open())
	}
	// The folder is where one goes on, and offered from elsewhere.
	if r.lastFolder() != filepath.Join(r.Home, "Mugs") {
		t.Error(r.lastFolder())
	}
	r.Prefs.SetString(prefFolder, "")
	r.Open(Pictures, func(path string) { got = path })
	if !r.said(say("files-recent")) {
		t.Error("folders that were used are not offered")
	}
	r.press("Mugs").Tapped(nil)
	r.tap("Puffin.svg")
}

func TestOpen_ByTypingAndArrows(t *testing.T) {
	r := newRig(t)
	r.fill("Mugs/", "Mugs/Puffin.svg", "Mugs/Puffin flying.svg", "Mugs/Teapot.svg", "Mugs/notes.doc")
	for _, c := range []struct {
		what, typed, want string
		keys              []fyne.KeyName
	}{
		{"a whole path", "Mugs/Teapot.svg", "Mugs/Teapot.svg", []fyne.KeyName{fyne.KeyReturn}},
		{"a part of a name", "Mugs/teap", "Mugs/Teapot.svg", []fyne.KeyName{fyne.KeyReturn}},
		{"the second of two", "Mugs/puffin", "Mugs/Puffin.svg", []fyne.KeyName{fyne.KeyDown, fyne.KeyReturn}},
		{"into a folder, then down", "mug", "Mugs/Puffin flying.svg", []fyne.KeyName{fyne.KeyReturn, fyne.KeyDown, fyne.KeyDown, fyne.KeyReturn}},
		{"another whole path behind the folder's", filepath.Join(r.Home, "Mugs", "Teapot.svg"), "Mugs/Teapot.svg", []fyne.KeyName{fyne.KeyReturn}},
		{"the home behind the folder's", "Mugs/~/Mugs/Puffin.svg", "Mugs/Puffin.svg", []fyne.KeyName{fyne.KeyReturn}},
		{"what cannot be opened", "Mugs/notes.doc", "", []fyne.KeyName{fyne.KeyReturn}},
		{"what is not there", "Mugs/none.svg", "", []fyne.KeyName{fyne.KeyReturn}},
	} {
		got := ""
		r.Prefs.SetString(prefFolder, "")
		r.Open(Pictures, func(path string) { got = path })
		test.Type(r.path(), c.typed)
		r.key(c.keys...)
		if got != "" {
			rel, err := filepath.Rel(r.Home, got)
			if err != nil {
				t.Fatal(err)
			}
			got = rel
		}
		if got != c.want || r.Desk.Open() != (c.want == "") {
			t.Errorf("%s: opened %q, want %q", c.what, got, c.want)
		}
		r.Desk.Clear()
	}
	// A folder that is not there is named, until what is typed is in one that is.
	r.Open(Pictures, func(string) { t.Error("opened") })
	test.Type(r.path(), "Bowls/x")
	if !r.said(say("files-no-such", "folder", "Bowls")) || !r.press(say("ui-open")).Disabled() {
		t.Error("it is not said that there is no such folder")
	}
	r.path().TypedShortcut(&fyne.ShortcutSelectAll{})
	test.Type(r.path(), "~/Mugs/")
	if r.said(say("files-no-such", "folder", "Bowls")) {
		t.Error("it is said still")
	}
	r.Desk.Clear()
	// The home's sign, and Escape at once: a path is nothing to be lost.
	r.Open(Pictures, func(string) { t.Error("opened") })
	r.path().TypedShortcut(&fyne.ShortcutSelectAll{})
	test.Type(r.path(), "~/Mugs/")
	if !r.said("Teapot.svg") {
		t.Error("~ is not the home")
	}
	r.key(fyne.KeyEscape)
	if r.Desk.Open() {
		t.Error("Escape does not close it")
	}
}

func TestOpen_ShowsAndExplainsWhatCannotBeOpened(t *testing.T) {
	r := newRig(t)
	r.fill("Buoy.svg", "photo.HEIC", "letter.doc", ".secret.svg")
	if err := os.WriteFile(filepath.Join(r.Home, "broken.svg"), []byte("<svg"), 0o600); err != nil {
		t.Fatal(err)
	}
	r.Open(Pictures, func(path string) { t.Errorf("opened %s", path) })
	if r.said("secret") {
		t.Error("hidden files are shown")
	}
	for name, why := range map[string]string{"photo.HEIC": "files-pixels", "letter.doc": "files-no-picture"} {
		r.tap(name)
		if !r.said(say(why)) || !r.press(say("ui-open")).Disabled() {
			t.Errorf("%s can be opened, or nothing says why not", name)
		}
		r.key(fyne.KeyReturn)
	}
	r.path().TypedShortcut(&fyne.ShortcutSelectAll{})
	test.Type(r.path(), "phot")
	if !r.said(say("files-pixels")) {
		t.Error("what is found by typing and cannot be opened says nothing")
	}
	r.path().TypedShortcut(&fyne.ShortcutSelectAll{})
	test.Type(r.path(), r.Home+"/")
	if !r.said(say("files-damaged")) {
		t.Error("what is damaged looks like the others")
	}
	r.tap("Buoy.svg")
	if r.said(say("files-pixels")) || r.said(say("files-no-picture")) || r.press(say("ui-open")).Disabled() {
		t.Error("what can be opened is explained, or cannot be")
	}
}

// Each file that can be opened is shown with its own picture.
func TestOpen_ShowsSmallPictures(t *testing.T) {
	r := newRig(t)
	r.fill("Buoy.svg", "letter.doc")
	r.Open(Pictures, func(string) {})
	pictures := shown[*canvas.Image](r)
	if len(pictures) != 1 {
		t.Fatalf("%d pictures", len(pictures))
	}
	img := pictures[0].Image
	b := img.Bounds()
	if c := color.NRGBAModel.Convert(img.At(b.Dx()/2, b.Dy()/2)).(color.NRGBA); c != (color.NRGBA{0xc0, 0x30, 0x20, 255}) {
		t.Errorf("in its middle it is %v", c)
	}
	r.Desk.Clear()
	photo := image.NewNRGBA(image.Rect(0, 0, 400, 100))
	for i := range photo.Pix {
		photo.Pix[i] = 255
	}
	f, err := os.Create(filepath.Join(r.Home, "sheet.png"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := png.Encode(f, photo); err != nil {
		t.Fatal(err)
	}
	r.Open(Photos, func(string) {})
	if pictures = shown[*canvas.Image](r); len(pictures) != 1 || pictures[0].Image.Bounds().Dx() != 4*pictures[0].Image.Bounds().Dy() {
		t.Errorf("photos: %d pictures", len(pictures))
	}
}

func TestSave_ReplacesOnlyWhenSaidTwice(t *testing.T) {
	r := newRig(t)
	r.fill("Mugs/", "My sheets.csv")
	var got []string
	ask := func() { r.Save(Lists, "My sheets.csv", func(path string) { got = append(got, path) }) }
	ask()
	r.key(fyne.KeyReturn)
	if len(got) > 0 || !r.said(say("files-replace", "file", "My sheets.csv")) {
		t.Fatalf("replaced without a word: %v", got)
	}
	r.key(fyne.KeyReturn)
	ask()
	r.tap("Mugs") // the name goes along
	r.press(say("ui-save")).Tapped(nil)
	ask()
	r.path().TypedShortcut(&fyne.ShortcutSelectAll{})
	test.Type(r.path(), "Other") // beside the last one, with its ending
	r.key(fyne.KeyReturn)
	want := []string{"My sheets.csv", "Mugs/My sheets.csv", "Mugs/Other.csv"}
	for i := range got {
		got[i], _ = filepath.Rel(r.Home, got[i])
	}
	if !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}

func TestFolder_IsMadeWhereItIsTyped(t *testing.T) {
	r := newRig(t)
	r.fill("Mugs/", "Buoy.svg")
	got := ""
	r.Folder(filepath.Join(r.Home, "Mugs", "none", "at all"), func(dir string) { got = dir })
	if r.path().Text != filepath.Join(r.Home, "Mugs")+"/" {
		t.Fatalf("begins at %q", r.path().Text)
	}
	test.Type(r.path(), "2026")
	if !r.said(say("files-folder-new", "folder", "2026")) {
		t.Error("it does not say that it makes one")
	}
	r.key(fyne.KeyReturn)
	if want := filepath.Join(r.Home, "Mugs", "2026"); got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if i, err := os.Stat(got); err != nil || !i.IsDir() {
		t.Error(err)
	}
	got = ""
	r.Folder(r.Home, func(dir string) { got = dir })
	if r.said("Buoy.svg") {
		t.Error("files are offered as folders")
	}
	r.press(say("files-folder-use")).Tapped(nil)
	if got != r.Home {
		t.Errorf("the one that is open: %q", got)
	}
}

// The places are those that the desktop names, in its language.
func TestPlaces_AreNamedByTheDesktop(t *testing.T) {
	r := newRig(t)
	r.fill(".config/", "Bilder/", "Downloads/")
	if err := os.WriteFile(filepath.Join(r.Home, ".config", "user-dirs.dirs"), []byte("# by hand\nXDG_PICTURES_DIR=\"$HOME/Bilder\"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	want := []string{r.Home, filepath.Join(r.Home, "Downloads"), filepath.Join(r.Home, "Bilder")}
	if got := r.places(); !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}

// A folder of thousands is listed at once; typing finds the rest.
func TestOpen_FindsWhatIsNotListed(t *testing.T) {
	r := newRig(t)
	for i := range maxListed + 20 {
		if err := os.WriteFile(filepath.Join(r.Home, words.Typed(float64(10000+i), 0)+".txt"), nil, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	got := ""
	r.Open(Lists, func(path string) { got = filepath.Base(path) })
	if !r.said(say("files-more")) {
		t.Error("it is not said that there are more")
	}
	test.Type(r.path(), "10219")
	r.key(fyne.KeyReturn)
	if got != "10219.txt" {
		t.Errorf("opened %q", got)
	}
}
