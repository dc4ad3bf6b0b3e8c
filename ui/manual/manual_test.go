package manual

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"

	"abut/docs"
	"abut/internal/words"
	"abut/ui/controls"
	"abut/ui/theme"
)

// languages are those of the program, each with its pages.
func languages(t *testing.T) map[string][]*page {
	t.Helper()
	out := map[string][]*page{}
	for _, k := range words.Languages() {
		pages, err := open(k.Tag)
		if err != nil {
			t.Fatal(err)
		}
		out[k.Tag] = pages
	}
	return out
}

// Everything on a page comes into the window: no kind of block, line or picture is left
// out, and every word of a section is there.
func TestPages_AreSetWhole(t *testing.T) {
	test.NewTempApp(t).Settings().SetTheme(&theme.Theme{})
	for tag, pages := range languages(t) {
		for _, p := range pages {
			if p.title == "" || len(p.sections) == 0 {
				t.Errorf("%s, %s: %q with %d sections", tag, p.name, p.title, len(p.sections))
			}
			said := ""
			for _, s := range p.sections {
				set := &setter{source: p.source, wide: lineWide, lead: func(string) func() { return nil }}
				objects, err := set.set(s.nodes)
				if err != nil {
					t.Errorf("%s, %s, %s: %v", tag, p.name, s.title, err)
				}
				said += s.title + " " + textOf(objects)
			}
			for _, word := range wordsOf(string(p.source)) {
				if !strings.Contains(said, word) {
					t.Errorf("%s, %s: %q is not shown", tag, p.name, word)
				}
			}
		}
	}
}

// wordsOf returns the plain words of a page, without what stands for its form. What
// stands over two columns goes without saying.
func wordsOf(source string) []string {
	source = regexp.MustCompile(`(?m)^\|[^|\n]*\|[^|\n]*\|\n\|---`).ReplaceAllString(source, "")
	source = regexp.MustCompile(`\]\([^)]*\)|<!--.*?-->`).ReplaceAllString(source, " ")
	return regexp.MustCompile(`\p{L}{4,}`).FindAllString(source, -1)
}

func textOf(objects []fyne.CanvasObject) string {
	out := ""
	for _, o := range objects {
		switch o := o.(type) {
		case *widget.RichText:
			for _, s := range o.Segments {
				out += s.Textual() + " "
				if l, is := s.(*widget.ListSegment); is {
					for _, item := range l.Items {
						for _, part := range item.(*widget.ParagraphSegment).Texts {
							out += part.Textual() + " "
						}
					}
				}
			}
		case *controls.Para:
			out += o.Text() + " "
		case *fyne.Container:
			out += textOf(o.Objects)
		}
	}
	return out
}

// A page in another language has the sections of the English one, with the same
// pictures and as many points, so that help leads to the same place.
func TestPages_FollowTheEnglishOnes(t *testing.T) {
	all := languages(t)
	shape := func(s section) (out []string) {
		for _, n := range s.nodes {
			kind := n.Kind().String()
			if kind == "List" {
				kind += strings.Repeat(".", n.ChildCount())
			}
			out = append(out, kind)
		}
		return out
	}
	for tag, pages := range all {
		for i, p := range pages {
			english := all["en"][i]
			if len(p.sections) != len(english.sections) {
				t.Errorf("%s, %s: %d sections, in English %d", tag, p.name, len(p.sections), len(english.sections))
				continue
			}
			for k, s := range p.sections {
				if a, b := strings.Join(shape(s), " "), strings.Join(shape(english.sections[k]), " "); a != b {
					t.Errorf("%s, %s, %s: %s, in English %s", tag, p.name, s.title, a, b)
				}
			}
			// The same pictures, of the window in the page's language.
			pictures := regexp.MustCompile(`\([\w-]+(\.\w+)?\.png\)`)
			a, b := pictures.FindAllString(string(p.source), -1), pictures.FindAllString(string(english.source), -1)
			for k := range b {
				if string(p.source) != string(english.source) {
					b[k] = strings.Replace(b[k], ".png", "."+tag+".png", 1)
				}
			}
			if !slices.Equal(a, b) {
				t.Errorf("%s, %s: pictures %v, not %v", tag, p.name, a, b)
			}
		}
	}
}

// Links to pages that are in the guide lead there, all others are plain words.
func TestLinks_LeadToSections(t *testing.T) {
	for tag, pages := range languages(t) {
		for i, p := range pages {
			for _, m := range regexp.MustCompile(`[^!]\[[^\]]*\]\(([^)]+)\)`).FindAllStringSubmatch(string(p.source), -1) {
				file, _, _ := strings.Cut(m[1], "#")
				_, err := docs.Files.ReadFile(file)
				inGuide := file == "" || err == nil
				if _, ok := find(pages, i, m[1]); ok != inGuide {
					t.Errorf("%s, %s: %s leads somewhere: %v", tag, p.name, m[1], ok)
				}
			}
		}
	}
	pages := languages(t)["de"]
	if at, ok := find(pages, -1, "crafting.md#weed"); !ok || pages[at.page].sections[at.section].title == "" || at.section < 10 {
		t.Errorf("%+v, %v", at, ok)
	}
	if _, ok := find(pages, -1, "crafting.md#nowhere"); ok {
		t.Error("a heading that is not there was found")
	}
}

// The window opens at a heading, turns over the ends of pages by keys, follows links
// and closes by Escape.
func TestManual_IsReadByKeys(t *testing.T) {
	test.NewTempApp(t).Settings().SetTheme(&theme.Theme{})
	closed := 0
	m := Open("crafting.md#press", Options{OnClosed: func() { closed++ }, OnTrouble: func(err error) { t.Error(err) }})
	key := func(k fyne.KeyName) { m.key(&fyne.KeyEvent{Name: k}) }
	if m.Title() != "Press" {
		t.Errorf("opened at %q", m.Title())
	}
	key(fyne.KeyRight)
	key(fyne.KeyRight)
	if m.Title() != "A lesson with Abut" {
		t.Errorf("two on it is %q", m.Title())
	}
	key(fyne.KeyLeft)
	if m.Title() != "If it went wrong" {
		t.Errorf("one back it is %q", m.Title())
	}
	m.Show("crafting.md")
	key(fyne.KeyLeft)
	if m.at != (place{}) {
		t.Errorf("before the beginning it is %v", m.at)
	}
	m.Show("crafting.md#weak-spots-and-mending")
	link := linkIn(m.column)
	if link == nil {
		t.Fatal("no link")
	}
	link.OnTapped()
	if m.Title() != "Mended designs" {
		t.Errorf("the link led to %q", m.Title())
	}
	if entry := m.entries[m.at]; !entry.On {
		t.Error("the list does not mark what is shown")
	}
	if scroll := m.scroll; scroll.Content.MinSize().Width > lineWide+60 {
		t.Errorf("the text is %.0f wide", scroll.Content.MinSize().Width)
	}
	key(fyne.KeyEscape)
	if closed != 1 {
		t.Errorf("closed %d times", closed)
	}
}

// In a window that is narrower, as on a small screen, lines are broken earlier, and pictures are
// smaller: nothing is beyond its side.
func TestManual_IsReadInANarrowWindow(t *testing.T) {
	test.NewTempApp(t).Settings().SetTheme(&theme.Theme{})
	told := 0
	m := Open("crafting.md#copies-and-names", Options{OnTrouble: func(err error) { t.Error(err) }, Shown: func(fyne.Window) { told++ }})
	if told != 1 {
		t.Errorf("told %d times that the window is there", told)
	}
	high := m.column.MinSize().Height
	list, line := widths()
	for _, wide := range []float32{800, 640, list + line + aside + 20} {
		m.win.Resize(fyne.NewSize(wide, 500))
		room := wide - list
		if m.scroll.Size().Width > room || m.scroll.Content.MinSize().Width > room || m.column.Size().Width > room {
			t.Errorf("of %g: the text has %g, needs %g and is %g wide", wide, m.scroll.Size().Width, m.scroll.Content.MinSize().Width, m.column.Size().Width)
		}
		for _, o := range m.column.Objects {
			if w := o.MinSize().Width; w > m.column.Size().Width+0.5 {
				t.Errorf("of %g: a %T is %g wide", wide, o, w)
			}
		}
	}
	if got := m.column.MinSize().Height; got != high {
		t.Errorf("broad again the text is %g high, before %g", got, high)
	}
}

func linkIn(c *fyne.Container) *widget.HyperlinkSegment {
	for _, o := range c.Objects {
		if r, is := o.(*widget.RichText); is {
			for _, s := range r.Segments {
				if l, is := s.(*widget.HyperlinkSegment); is {
					return l
				}
			}
		}
	}
	return nil
}

// What a page sets in italics is called so in the window, in its language: a menu with its
// entry, a part of Details, a button, a view, a step's question.
func TestPages_CallThingsAsTheWindowDoes(t *testing.T) {
	for _, file := range []string{"crafting.md", "crafting.de.md", "teaching.md", "teaching.de.md"} {
		tag := "en"
		if strings.HasSuffix(file, ".de.md") {
			tag = "de"
		}
		said := map[string]bool{"2.3": true} // a piece's number
		messages, err := filepath.Glob(filepath.Join("..", "..", "internal", "words", "messages", "*."+tag+".json"))
		if err != nil || len(messages) == 0 {
			t.Fatal(err)
		}
		for _, m := range messages {
			b, err := os.ReadFile(m)
			if err != nil {
				t.Fatal(err)
			}
			for _, text := range regexp.MustCompile(`: "([^"\n]*)"`).FindAllStringSubmatch(string(b), -1) {
				name, _, _ := strings.Cut(text[1], " {{") // 'Merge into', of whatever
				name, _, _ = strings.Cut(name, ":")
				said[strings.TrimRight(name, "….")] = true
				if question, _, is := strings.Cut(name, "? "); is {
					said[question+"?"] = true
				}
			}
		}
		page, err := docs.Files.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		found := regexp.MustCompile(`(?:^|[^*])\*([^*]+)\*(?:[^*]|$)`).FindAllStringSubmatch(string(page), -1)
		if len(found) < 3 {
			t.Errorf("%s names %d things", file, len(found))
		}
		for _, m := range found {
			for _, name := range strings.Split(strings.Join(strings.Fields(m[1]), " "), " › ") {
				if !said[name] {
					t.Errorf("%s: nothing in the window is called %q", file, name)
				}
			}
		}
	}
}
