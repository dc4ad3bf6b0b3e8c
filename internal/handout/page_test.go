package handout

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"abut/assets"
	"abut/internal/fit"
	"abut/internal/print"
	"abut/internal/show"
	"abut/internal/words"
	"abut/internal/workshop"
)

func demo(t testing.TB, id string) Lesson {
	t.Helper()
	for _, d := range assets.Demos() {
		if d.ID != id {
			continue
		}
		j, err := workshop.OpenSVG(context.Background(), d.ID, bytes.NewReader(d.SVG))
		if err != nil {
			t.Fatal(err)
		}
		s, err := show.Make(context.Background(), new(fit.Cache), j)
		if err != nil {
			t.Fatal(err)
		}
		return Lesson{Title: d.Name, Show: s, Words: words.English()}
	}
	t.Fatalf("no demo %s", id)
	return Lesson{}
}

func page(t testing.TB, l Lesson) string {
	t.Helper()
	var b bytes.Buffer
	if err := l.WritePage(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestPage_HasEveryStepAndAsksForNothing(t *testing.T) {
	for _, tag := range []string{"en", "de"} {
		l := demo(t, "pair")
		l.Title, l.Words = `Boat & "sea" <1>`, words.For(tag)
		p := page(t, l)
		if n := strings.Count(p, "<section"); n != len(l.Show.Steps) {
			t.Errorf("%d sections for %d steps", n, len(l.Show.Steps))
		}
		// What is between quotes in href and src, and in url().
		for _, m := range regexp.MustCompile(`(?:href|src)="([^"]*)"|url\(([^)]*)\)`).FindAllStringSubmatch(p, -1) {
			if at := m[1] + m[2]; !strings.HasPrefix(at, "#") && at != "data:," {
				t.Errorf("the page asks for %q", at)
			}
		}
		if strings.Contains(p, "http") || strings.Contains(p, "@import") {
			t.Error("the page names an address")
		}
		if strings.Contains(p, "<1>") || strings.Contains(p, "NaN") {
			t.Error("something was written as it is")
		}
	}
}

// The page in a browser, with keys: it steps there and back, and complains of nothing.
func TestPage_StepsByKeysInABrowser(t *testing.T) {
	tool, err := exec.LookPath("chromium")
	if err != nil {
		t.Skip("no chromium here")
	}
	l := demo(t, "pair")
	// The script presses keys and writes down where it is, and whatever goes wrong.
	const keys = `<script>
var said = [];
window.addEventListener('error', function (e) { said.push('error ' + e.message); });
function now() { var all = [].slice.call(document.querySelectorAll('section')); return all.map(function (s, i) { return s.classList.contains('now') ? i : ''; }).join(''); }
function press(k) { document.dispatchEvent(new KeyboardEvent('keydown', {key: k, cancelable: true})); said.push(now()); }
said.push(now());
['ArrowRight', ' ', 'PageDown', 'ArrowLeft', 'PageUp', 'End', 'ArrowRight', 'Home', 'ArrowLeft'].forEach(press);
said.push(performance.getEntriesByType('resource').length + ' requests');
document.title = said.join(',');
document.body.setAttribute('data-said', said.join(','));
</script></body>`
	dir := t.TempDir()
	file := filepath.Join(dir, "page.html")
	if err := os.WriteFile(file, []byte(strings.Replace(page(t, l), "</body>", keys, 1)), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(tool, "--headless", "--no-sandbox", "--disable-gpu", "--user-data-dir="+filepath.Join(dir, "home"), "--dump-dom", "file://"+file).Output()
	if err != nil {
		t.Fatal(err)
	}
	last := len(l.Show.Steps) - 1
	want := fmt.Sprintf(`data-said="0,1,2,3,2,1,%d,%d,0,0,0 requests"`, last, last)
	if !strings.Contains(string(out), want) {
		t.Errorf("not found: %s in %s", want, regexp.MustCompile(`data-said="[^"]*"`).FindString(string(out)))
	}
}

// The text is read back with pdftotext, where it is
// installed.
func TestPaper_HasTheSentencesAndTheAnswers(t *testing.T) {
	tool, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("no pdftotext here")
	}
	for _, id := range []string{"pair", "rich", "spread"} {
		l := demo(t, id)
		for _, p := range print.Papers {
			for name, write := range map[string]func(*bytes.Buffer) error{
				"4":         func(b *bytes.Buffer) error { return l.WriteHandout(b, p, 4) },
				"6":         func(b *bytes.Buffer) error { return l.WriteHandout(b, p, 6) },
				"notes":     func(b *bytes.Buffer) error { return l.WriteNotes(b, p) },
				"worksheet": func(b *bytes.Buffer) error { return l.WriteWorksheet(b, p) },
			} {
				var b bytes.Buffer
				if err := write(&b); err != nil {
					t.Fatal(err)
				}
				dir := t.TempDir()
				if keep := os.Getenv("CLASS_PICTURES"); keep != "" {
					dir = keep
				}
				file := filepath.Join(dir, id+"-"+p.Name+"-"+name+".pdf")
				if err := os.WriteFile(file, b.Bytes(), 0o600); err != nil {
					t.Fatal(err)
				}
				out, err := exec.Command(tool, "-layout", file, "-").Output()
				if err != nil {
					t.Fatal(err)
				}
				text := strings.Join(strings.Fields(string(out)), " ")
				if name == "worksheet" {
					if n := strings.Count(string(out), "\f"); n != 2 {
						t.Errorf("%s %s: %d pages of worksheet, want 2", id, p.Name, n)
					}
					if !strings.Contains(text, l.Words.Say("class-answers", nil)) {
						t.Errorf("%s: no answers", id)
					}
					continue
				}
				for i := range l.Show.Steps {
					first := strings.Fields(l.Words.Message(l.Show.Steps[i].Sentence))
					if want := fmt.Sprintf("%d. %s", i+1, strings.Join(first[:2], " ")); !strings.Contains(text, want) {
						t.Errorf("%s %s %s: no %q", id, p.Name, name, want)
					}
				}
			}
		}
	}
}
