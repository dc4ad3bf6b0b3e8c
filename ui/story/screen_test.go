package story

import (
	"bufio"
	"bytes"
	"cmp"
	"fmt"
	"image"
	"image/draw"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"
	"unicode"

	"abut/internal/colour"
	"abut/internal/words"
)

// patience is how often a story finds program and display at rest before it gives
// up what it waits for. As long as either has something to do it goes on, however
// slow the machine is: only looks at both at rest count. What comes without being
// asked for, such as work that is kept some seconds later, has come long before.
const patience = 1500

// inEach tells a story in each language that the guide has pictures in. The program
// says and is told what the chosen one calls things.
func inEach(t *testing.T, story func(*testing.T)) {
	for _, l := range words.Languages() {
		t.Run(l.Tag, func(t *testing.T) {
			words.Use(words.For(l.Tag))
			defer words.Use(words.English())
			story(t)
		})
	}
}

// inLanguage is the name of a picture in the chosen language; English ones bear none.
func inLanguage(name string) string {
	if tag := words.Chosen().Tag(); name != "" && tag != words.English().Tag() {
		return name + "." + tag
	}
	return name
}

// screen is a display with the program on it.
type screen struct {
	t       *testing.T
	display string
	home    string
	program *exec.Cmd
	server  *exec.Cmd
	ended   chan error
	// words are what the program said, bar that it is ready, since it was started.
	words *strings.Builder
}

// built is the program, built once for all stories.
var built struct {
	sync.Once
	dir, path string
	err       error
}

func TestMain(m *testing.M) {
	status := m.Run()
	if built.dir != "" {
		_ = os.RemoveAll(built.dir)
	}
	os.Exit(status)
}

// build builds the program and returns its path.
func build(t *testing.T) string {
	t.Helper()
	built.Do(func() {
		if built.dir, built.err = os.MkdirTemp("", "abut-story-"); built.err != nil {
			return
		}
		built.path = filepath.Join(built.dir, "abut")
		if out, err := exec.Command("go", "build", "-tags", "migrated_fynedo", "-o", built.path, "abut/cmd/abut").CombinedOutput(); err != nil {
			built.err = fmt.Errorf("building: %w\n%s", err, out)
		}
	})
	if built.err != nil {
		t.Fatal(built.err)
	}
	return built.path
}

// open builds the program, starts it on a fresh display and waits until its
// first picture is on screen.
func open(t *testing.T, args ...string) *screen {
	t.Helper()
	return opened(t, func(string) []string { return args })
}

// opened is open with what is in the home folder before: prepare puts it there and returns
// the arguments.
func opened(t *testing.T, prepare func(home string) []string) *screen {
	t.Helper()
	if testing.Short() {
		t.Skip("drives the real window; run without -short")
	}
	for _, tool := range []string{"Xvfb", "xdotool", "import"} {
		if _, err := exec.LookPath(tool); err != nil {
			if os.Getenv("ABUT_STORY") != "" {
				t.Fatalf("%s is missing", tool)
			}
			t.Skipf("%s is missing", tool)
		}
	}
	dir := t.TempDir()
	s := &screen{t: t, home: filepath.Join(dir, "home")}
	if err := os.MkdirAll(s.home, 0o755); err != nil {
		t.Fatal(err)
	}
	args := prepare(s.home)
	s.startDisplay()
	s.start(args...)
	return s
}

// start starts the program and waits until its first picture is on screen.
func (s *screen) start(args ...string) {
	t := s.t
	t.Helper()
	s.ended = make(chan error, 1)
	s.program = exec.Command(build(t), args...)
	s.program.Env = append(os.Environ(), "LC_ALL="+words.Chosen().Tag(), "DISPLAY="+s.display, "HOME="+s.home, "XDG_CONFIG_HOME="+filepath.Join(s.home, ".config"),
		"XDG_STATE_HOME="+filepath.Join(s.home, "state"), "XDG_DATA_HOME="+filepath.Join(s.home, "data"), "FYNE_THEME=light", "FYNE_SCALE=1")
	errs, err := s.program.StderrPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := s.program.Start(); err != nil {
		t.Fatal(err)
	}
	said := new(strings.Builder)
	s.words = said
	program, ended := s.program, s.ended
	ready := make(chan string, 1)
	go func() {
		lines := bufio.NewScanner(errs)
		for lines.Scan() {
			if line := lines.Text(); strings.HasPrefix(line, "ready") {
				ready <- line
			} else {
				t.Log("the program says: ", line)
				said.WriteString(line + "\n")
			}
		}
		ended <- program.Wait()
	}()
	t.Cleanup(func() {
		if program.ProcessState == nil {
			_ = program.Process.Kill()
		}
	})
	if !s.wait(func() bool {
		select {
		case <-ready:
			return true
		case err := <-s.ended:
			t.Fatal("the program ended: ", err)
		default:
		}
		return false
	}) {
		t.Fatal("no line that begins with ready")
	}
}

// said returns what the program, which has ended, said beside that it is ready.
func (s *screen) said() string { return s.words.String() }

// working reports whether the display or the program has anything to do: some
// thread runs, or would if it had its turn.
func (s *screen) working() bool {
	for _, c := range []*exec.Cmd{s.program, s.server} {
		list, _ := filepath.Glob(fmt.Sprintf("/proc/%d/task/*/stat", c.Process.Pid))
		for _, name := range list {
			stat, err := os.ReadFile(name)
			if err != nil {
				continue // it ended just now
			}
			// The state follows the name, which is in brackets: R runs, D waits for a disk.
			_, state, _ := strings.Cut(string(stat[bytes.LastIndexByte(stat, ')'):]), " ")
			if strings.HasPrefix(state, "R") || strings.HasPrefix(state, "D") {
				return true
			}
		}
	}
	return false
}

// wait asks until done says so, and reports false when nothing is left that could
// bring that about.
func (s *screen) wait(done func() bool) bool {
	for rests := 0; rests < patience; {
		if done() {
			return true
		}
		if !s.working() {
			rests++
		}
		time.Sleep(20 * time.Millisecond)
	}
	return false
}

// end waits until the program has ended and returns how.
func (s *screen) end() error {
	s.t.Helper()
	var err error
	ended := func() bool {
		select {
		case err = <-s.ended:
			return true
		default:
			return false
		}
	}
	if !s.wait(ended) {
		s.keep("failed")
		s.t.Fatal("the program does not end")
	}
	return err
}

// endUnsaved leaves work that was exported and not saved, which is asked about.
func (s *screen) endUnsaved() error {
	s.t.Helper()
	before := s.still("")
	s.key("ctrl+q")
	s.until("whether to save", func(img image.Image) bool { return differ(before, img, image.Rectangle{}) > 20_000 })
	s.key("shift+Tab") // from Save over Cancel to Don't save
	s.key("shift+Tab")
	s.key("Return")
	return s.end()
}

func (s *screen) startDisplay() {
	s.t.Helper()
	r, w, err := os.Pipe()
	if err != nil {
		s.t.Fatal(err)
	}
	x := exec.Command("Xvfb", "-displayfd", "3", "-screen", "0", "1280x800x24", "-nolisten", "tcp")
	x.ExtraFiles = []*os.File{w}
	if err := x.Start(); err != nil {
		s.t.Fatal(err)
	}
	s.server = x
	w.Close()
	s.t.Cleanup(func() { _ = x.Process.Kill(); _ = x.Wait() })
	number, err := bufio.NewReader(r).ReadString('\n')
	if err != nil {
		s.t.Fatal("no display: ", err)
	}
	s.display = ":" + strings.TrimSpace(number)
}

func (s *screen) do(args ...string) {
	s.t.Helper()
	c := exec.Command("xdotool", args...)
	c.Env = append(os.Environ(), "DISPLAY="+s.display)
	if out, err := c.CombinedOutput(); err != nil {
		s.t.Fatalf("xdotool %v: %v\n%s", args, err, out)
	}
}

// typeName types the name of an action, as much of it as the keys of a display have that
// nobody sits at: no umlauts.
func (s *screen) typeName(id string) {
	s.t.Helper()
	runs := strings.FieldsFunc(words.Say(id), func(r rune) bool { return r > unicode.MaxASCII })
	s.do("type", slices.MaxFunc(runs, func(a, b string) int { return cmp.Compare(len(a), len(b)) }))
}

func (s *screen) click(p image.Point) { s.move(p); s.do("click", "1") }
func (s *screen) move(p image.Point)  { s.do("mousemove", strconv.Itoa(p.X), strconv.Itoa(p.Y)) }
func (s *screen) key(k string)        { s.do("key", k) }

// look returns what is on screen.
func (s *screen) look() image.Image {
	s.t.Helper()
	c := exec.Command("import", "-window", "root", "png:-")
	c.Env = append(os.Environ(), "DISPLAY="+s.display)
	out, err := c.Output()
	if err != nil {
		s.t.Fatal("looking: ", err)
	}
	img, err := png.Decode(bytes.NewReader(out))
	if err != nil {
		s.t.Fatal(err)
	}
	return plain(img)
}

// plain returns a copy of a picture that is quick to look at.
func plain(img image.Image) *image.NRGBA {
	out := image.NewNRGBA(img.Bounds())
	draw.Draw(out, out.Rect, img, img.Bounds().Min, draw.Src)
	return out
}

// until looks until f is content with what it sees.
func (s *screen) until(what string, f func(image.Image) bool) image.Image {
	s.t.Helper()
	var img image.Image
	seen := s.wait(func() bool {
		select {
		case err := <-s.ended:
			s.t.Fatalf("the program ended before this was seen: %s: %v", what, err)
		default:
		}
		img = s.look()
		return f(img)
	})
	if !seen {
		s.save("failed", img)
		s.t.Fatal("never seen: ", what)
	}
	return img
}

// still waits until the picture no longer changes, and keeps it under a name if
// it has one.
func (s *screen) still(name string) image.Image {
	s.t.Helper()
	return s.rests(name, 1)
}

// steady is how many looks in a row are alike where work goes on behind a picture that is
// there already. A look takes as long as some hundred tries of a layout, and longer where
// those do, too.
const steady = 12

// steadily is still for what is being worked at, whether or not that is told.
func (s *screen) steadily(name string) {
	s.t.Helper()
	s.rests(name, steady)
}

// rests waits until the picture is the same for so many looks.
func (s *screen) rests(name string, looks int) image.Image {
	s.t.Helper()
	var last image.Image
	alike := 0
	img := s.until("a picture at rest", func(img image.Image) bool {
		if alike++; last == nil || !equal(last, img) {
			alike = 0
		}
		last = img
		return alike >= looks
	})
	s.save(name, img)
	s.published(name, img)
	return img
}

func (s *screen) keep(name string) { s.save(name, s.look()) }

func (s *screen) save(name string, img image.Image) {
	dir := os.Getenv("ABUT_PICTURES")
	if dir == "" || name == "" {
		return
	}
	s.write(filepath.Join(dir, inLanguage(name)+".png"), img)
}

func (s *screen) write(file string, img image.Image) {
	f, err := os.Create(file)
	if err != nil {
		s.t.Error(err)
		return
	}
	defer f.Close()
	if err := png.Encode(f, img); err != nil {
		s.t.Error(err)
	}
}

func equal(a, b image.Image) bool {
	return a.Bounds() == b.Bounds() && bytes.Equal(a.(*image.NRGBA).Pix, b.(*image.NRGBA).Pix)
}

func at(img image.Image, x, y int) colour.RGB {
	c := img.(*image.NRGBA).NRGBAAt(x, y)
	return colour.RGB{R: c.R, G: c.G, B: c.B}
}

// count returns how many pixels have exactly this colour.
func count(img image.Image, c colour.RGB) int {
	n := 0
	r := img.Bounds()
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			if at(img, x, y) == c {
				n++
			}
		}
	}
	return n
}

// largest returns the bounds of the largest connected patch of this colour
// below line top, and how many pixels it has.
func largest(img image.Image, c colour.RGB, top int) (image.Rectangle, int) {
	r := img.Bounds()
	r.Min.Y = top
	seen := make([]bool, r.Dx()*r.Dy())
	index := func(p image.Point) int { return (p.Y-r.Min.Y)*r.Dx() + p.X - r.Min.X }
	var best image.Rectangle
	most := 0
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			p := image.Pt(x, y)
			if seen[index(p)] || at(img, x, y) != c {
				continue
			}
			patch := image.Rectangle{p, p.Add(image.Pt(1, 1))}
			n := 0
			todo := []image.Point{p}
			seen[index(p)] = true
			for len(todo) > 0 {
				q := todo[len(todo)-1]
				todo = todo[:len(todo)-1]
				n++
				patch = patch.Union(image.Rectangle{q, q.Add(image.Pt(1, 1))})
				for _, d := range []image.Point{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
					o := q.Add(d)
					if o.In(r) && !seen[index(o)] && at(img, o.X, o.Y) == c {
						seen[index(o)] = true
						todo = append(todo, o)
					}
				}
			}
			if n > most {
				best, most = patch, n
			}
		}
	}
	return best, most
}

func middle(r image.Rectangle) image.Point { return r.Min.Add(r.Max).Div(2) }
