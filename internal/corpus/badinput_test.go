//go:build linux

package corpus

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime/debug"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"abut/internal/oracle"
	"abut/internal/words"
)

// maxBytes is what the program may take for whatever is thrown at it.
const maxBytes = 2 << 30

// hangs is when a run counts as one that would not end by itself: only what hangs
// takes as long, on the slowest machine.
const hangs = 20 * time.Minute

// buildAbut builds the command once for the tests of this package's process.
func buildAbut(t *testing.T) string {
	t.Helper()
	bin := filepath.Join(t.TempDir(), "abut")
	cmd := exec.Command("go", "build", "-tags", "migrated_fynedo", "-o", bin, "./cmd/abut")
	cmd.Dir = oracle.Root(t)
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	return bin
}

// forgetPeak has the peak of this process's memory start anew: a program that is
// started has it for its own (Linux, man 5 proc, /proc/pid/clear_refs).
func forgetPeak() {
	debug.FreeOSMemory()
	_ = os.WriteFile("/proc/self/clear_refs", []byte("5"), 0) // else the bound is only looser
}

// ran is how a run of the command ended.
type ran struct {
	status         int
	stdout, stderr string
	took           time.Duration
	bytes          int64
}

func runAbut(t *testing.T, bin, dir string, args ...string) ran {
	t.Helper()
	cmd := exec.Command(bin, args...)
	cmd.Dir = dir
	cmd.Env = append(os.Environ(), "LC_ALL=C") // in English
	var stdout, stderr bytes.Buffer
	cmd.Stdout, cmd.Stderr = &stdout, &stderr
	forgetPeak()
	start := time.Now()
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	stop := time.AfterFunc(hangs, func() { _ = cmd.Process.Kill() })
	err := cmd.Wait()
	if !stop.Stop() {
		t.Errorf("%v: still not done after %v", args, hangs)
	}
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		t.Fatal(err)
	}
	// Where the parent's own peak is higher, the system reports that one.
	usage := cmd.ProcessState.SysUsage().(*syscall.Rusage)
	return ran{cmd.ProcessState.ExitCode(), stdout.String(), stderr.String(), time.Since(start), usage.Maxrss * 1024}
}

func svgOf(body string) string {
	return `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" viewBox="0 0 100 100">` + body + `</svg>`
}

const goodSVG = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100"><path fill="#1f6f8b" d="M10 10H90V90H10Z"/></svg>`

// star has n points on a circle, each joined to the one almost opposite: n·n/2
// crossings or so.
func star(n int) string {
	var b strings.Builder
	b.WriteString(`<path fill="#d9512c" d="`)
	for i := range n {
		s, c := math.Sincos(2 * math.Pi * float64(i*(n/2-1)%n) / float64(n))
		fmt.Fprintf(&b, "%c%.4f %.4f", "ML"[min(i, 1)], 50+49*c, 50+49*s)
	}
	b.WriteString(`Z"/>`)
	return svgOf(b.String())
}

func entityBomb() string {
	var b strings.Builder
	b.WriteString("<?xml version=\"1.0\"?>\n<!DOCTYPE svg [\n<!ENTITY a0 \"ha\">\n")
	for i := 1; i <= 20; i++ {
		fmt.Fprintf(&b, "<!ENTITY a%d \"%s\">\n", i, strings.Repeat(fmt.Sprintf("&a%d;", i-1), 10))
	}
	b.WriteString("]>\n" + svgOf("<title>&a20;</title><rect width=\"10\" height=\"10\"/>"))
	return b.String()
}

func useDoubling() string {
	var b strings.Builder
	b.WriteString(`<defs><rect id="u0" width="1" height="1"/>`)
	for i := 1; i <= 40; i++ {
		fmt.Fprintf(&b, `<g id="u%d"><use xlink:href="#u%d"/><use xlink:href="#u%d" x="1"/></g>`, i, i-1, i-1)
	}
	b.WriteString(`</defs><use xlink:href="#u40"/>`)
	return svgOf(b.String())
}

func TestBadInput_IsRefusedWithARemedyAndLeavesNothing(t *testing.T) {
	if testing.Short() {
		t.Skip("links the whole program and runs it a dozen times: ./run test does")
	}
	bin := buildAbut(t)
	for _, c := range []struct {
		name, art string
		// says is the sentence that names the trouble, empty for any.
		says string
	}{
		{name: "a picture of pixels cut short", art: "\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00\x00\x00\x01", says: "trace-truncated"},
		{name: "a picture of too many pixels", art: "\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00\x01\x00\x00\x00\x01\x00\x00\x08\x02\x00\x00\x00\xad\x42\xde\xdb", says: ""},
		{name: "a web page", art: "<!DOCTYPE html><html><body><p>Hello</p></body></html>", says: "import-not-svg"},
		{name: "plain words", art: "Dear sheet, please be a boat.", says: "import-not-svg"},
		{name: "empty", art: "", says: "import-empty"},
		{name: "truncated", art: goodSVG[:len(goodSVG)-20], says: "import-truncated"},
		{name: "truncated in a tag", art: goodSVG[:60], says: ""},
		{name: "over 64 MiB", art: strings.Replace(goodSVG, "<path", "<!--"+strings.Repeat("x", 64<<20)+"--><path", 1), says: "import-too-big"},
		{name: "entity bomb", art: entityBomb(), says: "import-entity-bomb"},
		{name: "use cycle", art: svgOf(`<g id="a"><use xlink:href="#b"/></g><g id="b"><use xlink:href="#a"/></g>`), says: "import-use-cycle"},
		{name: "use of itself", art: svgOf(`<g id="a"><use xlink:href="#a"/></g>`), says: "import-use-cycle"},
		{name: "use doubling", art: useDoubling(), says: "import-too-many"},
		{name: "20,000 nested groups", art: svgOf(strings.Repeat("<g>", 20000) + `<rect width="10" height="10"/>` + strings.Repeat("</g>", 20000)), says: "import-too-deep"},
		{name: "coordinates that are no numbers", art: svgOf(`<path d="M NaN NaN L NaN 10 L 10 NaN Z"/>`), says: ""},
		{name: "coordinates of 1e30", art: svgOf(`<path d="M1e30 1e30H-1e30V-1e30Z"/>`), says: ""},
		{name: "coordinates past all floats", art: svgOf(`<path d="M1e999 0H-1e999V1e400Z"/>`), says: ""},
		{name: "no fills", art: svgOf(`<path fill="none" d="M10 10H90V90H10Z"/><g fill="none"><circle r="10"/></g>`), says: ""},
		{name: "no shapes", art: svgOf(``), says: ""},
		{name: "a star of 5,000 crossing spikes", art: star(5003), says: "art-too-complex-in-file"},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			name := filepath.Join(dir, "art.svg")
			if err := os.WriteFile(name, []byte(c.art), 0o666); err != nil {
				t.Fatal(err)
			}
			for _, args := range [][]string{{"cut", "art.svg", "-o", "out", "--width", "100mm"}, {"check", "art.svg", "--width", "100mm"}} {
				r := runAbut(t, bin, dir, args...)
				refused(t, r, args)
				if c.says != "" && !sentence(c.says).MatchString(r.stderr) {
					t.Errorf("%v: does not say %q: %s", args, c.says, r.stderr)
				}
				onlyThere(t, dir, "art.svg")
			}
			after, err := os.ReadFile(name)
			if err != nil || string(after) != c.art {
				t.Error("the file itself was changed")
			}
		})
	}
}

// sentence matches an English sentence of the messages, whatever fills it.
func sentence(id string) *regexp.Regexp {
	const filled = "\x00"
	text := words.For("en").Say(id, map[string]string{"limit": filled, "x": filled, "y": filled, "format": filled, "width": filled, "height": filled})
	return regexp.MustCompile(strings.ReplaceAll(regexp.QuoteMeta(text), filled, ".+"))
}

// where is the line of the file that is named after a sentence.
var where = regexp.MustCompile(` \[line \d+(: .*)?\]$`)

// refused checks the way in which a run failed.
func refused(t *testing.T, r ran, args []string) {
	t.Helper()
	if r.status != 1 {
		t.Errorf("%v: status %d, want 1\n%s%s", args, r.status, r.stdout, r.stderr)
	}
	lines := strings.Split(strings.TrimSpace(r.stderr), "\n")
	if sentences := strings.Count(r.stderr, ". ") + strings.Count(r.stderr, ".\n"); sentences < 2 {
		t.Errorf("%v: wants a sentence and a remedy, got %q", args, r.stderr)
	}
	for _, l := range lines {
		l = where.ReplaceAllString(l, "")
		if !strings.HasSuffix(l, ".") && !strings.HasSuffix(l, ":") || len(l) > 400 {
			t.Errorf("%v: no sentence: %.200q", args, l)
		}
	}
	for _, bad := range []string{"panic", "goroutine", "runtime error", "%!", "<no value>", "went wrong"} {
		if strings.Contains(r.stderr, bad) {
			t.Errorf("%v: %q in %.400q", args, bad, r.stderr)
		}
	}
	if r.stdout != "" {
		t.Errorf("%v: wrote to standard output: %s", args, r.stdout)
	}
	if r.bytes > maxBytes {
		t.Errorf("%v: took %d MiB", args, r.bytes>>20)
	}
	t.Logf("%.1f s, %d MiB: %s", r.took.Seconds(), r.bytes>>20, lines[0])
}

// onlyThere checks that the folder holds these names and no others, hidden ones
// counted.
func onlyThere(t *testing.T, dir string, want ...string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, e := range entries {
		got = append(got, e.Name())
	}
	slices.Sort(want)
	if !slices.Equal(got, want) {
		t.Errorf("the folder holds %v, want %v", got, want)
	}
}

func TestBadOutput_IsRefusedAndLeavesNothing(t *testing.T) {
	if testing.Short() {
		t.Skip("links the whole program: ./run test does")
	}
	bin := buildAbut(t)
	dir := t.TempDir()
	write := func(name, data string) {
		t.Helper()
		if err := os.WriteFile(filepath.Join(dir, name), []byte(data), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	write("art.svg", goodSVG)
	write("a-file", "mine")
	if err := os.Mkdir(filepath.Join(dir, "there"), 0o777); err != nil {
		t.Fatal(err)
	}
	write("there/mine.txt", "mine")
	if err := os.Mkdir(filepath.Join(dir, "closed"), 0o555); err != nil {
		t.Fatal(err)
	}
	cases := []struct{ out, says string }{
		{"there", "already"},
		{"a-file", "file"},
		{"a-file/out", "a-file"},
		{"/proc/out", "/proc"}, // not even root can make folders there
	}
	if os.Getuid() != 0 {
		cases = append(cases, struct{ out, says string }{"closed/out", "closed"})
	}
	for _, c := range cases {
		args := []string{"cut", "art.svg", "-o", c.out, "--width", "100mm"}
		r := runAbut(t, bin, dir, args...)
		refused(t, r, args)
		if !strings.Contains(r.stderr, c.says) {
			t.Errorf("%v: does not say %q: %s", args, c.says, r.stderr)
		}
	}
	onlyThere(t, dir, "a-file", "art.svg", "closed", "there")
	onlyThere(t, filepath.Join(dir, "there"), "mine.txt")
	onlyThere(t, filepath.Join(dir, "closed"))
	for _, name := range []string{"a-file", "there/mine.txt"} {
		if b, err := os.ReadFile(filepath.Join(dir, name)); err != nil || string(b) != "mine" {
			t.Errorf("%s was touched", name)
		}
	}
	// Asked to, it writes into the folder and leaves alone what else is in it.
	if r := runAbut(t, bin, dir, "cut", "art.svg", "-o", "there", "--width", "100mm", "--overwrite"); r.status != 0 {
		t.Errorf("--overwrite: status %d\n%s", r.status, r.stderr)
	}
	if b, err := os.ReadFile(filepath.Join(dir, "there", "mine.txt")); err != nil || string(b) != "mine" {
		t.Error("--overwrite touched a file that is not its own")
	}
	if _, err := readWritten(filepath.Join(dir, "there")); err != nil {
		t.Error(err)
	}
}
