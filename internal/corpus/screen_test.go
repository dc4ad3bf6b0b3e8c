//go:build linux

package corpus

import (
	"bufio"
	"encoding/binary"
	"errors"
	"fmt"
	"image"
	"image/png"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"abut/internal/oracle"
)

// screen is a display of its own with nothing on it but what a test starts.
type screen struct {
	t       *testing.T
	display string
	buffer  string // the file in which the display keeps its pixels
}

const patience = 30 * time.Second

func startScreen(t *testing.T, width, height int) *screen {
	t.Helper()
	for _, tool := range []string{"Xvfb", "xdotool"} {
		if _, err := exec.LookPath(tool); err != nil {
			if os.Getenv("ABUT_ORACLES") == "required" {
				t.Fatalf("%s is not installed", tool)
			}
			t.Skipf("%s is not installed: ./run test installs it", tool)
		}
	}
	dir := t.TempDir()
	cmd := exec.Command("Xvfb", "-displayfd", "1", "-screen", "0", fmt.Sprintf("%dx%dx24", width, height), "-fbdir", dir, "-nolisten", "tcp")
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = cmd.Process.Signal(os.Interrupt); _ = cmd.Wait() }) // it says that it was interrupted
	number, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		t.Fatalf("no display: %v", err)
	}
	return &screen{t, ":" + strings.TrimSpace(number), filepath.Join(dir, "Xvfb_screen0")}
}

// start runs the program on the screen, in a home of its own, and waits for the
// line that begins with "ready".
func (s *screen) start(home string, args ...string) *exec.Cmd {
	s.t.Helper()
	cmd := exec.Command(args[0], args[1:]...)
	cmd.Dir = home
	cmd.Env = append(os.Environ(), "DISPLAY="+s.display, "HOME="+home, "XDG_CONFIG_HOME="+home+"/.config",
		"WAYLAND_DISPLAY=", "LIBGL_ALWAYS_SOFTWARE=1", "FYNE_SCALE=1", "FYNE_THEME=light")
	stderr, err := cmd.StderrPipe()
	if err != nil {
		s.t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		s.t.Fatal(err)
	}
	s.t.Cleanup(func() { _ = cmd.Process.Kill(); _ = cmd.Wait() }) // done already when all went well
	ready := make(chan string, 1)
	go func() {
		var said strings.Builder
		lines := bufio.NewScanner(stderr)
		for lines.Scan() {
			if strings.HasPrefix(lines.Text(), "ready") {
				ready <- ""
			}
			fmt.Fprintln(&said, lines.Text())
		}
		select {
		case ready <- "it ended: " + said.String():
		default:
		}
		_, _ = io.Copy(io.Discard, stderr)
	}()
	select {
	case trouble := <-ready:
		if trouble != "" {
			s.t.Fatal(trouble)
		}
	case <-time.After(patience):
		s.t.Fatal("not ready in time")
	}
	return cmd
}

// do has xdotool press keys or the pointer's button.
func (s *screen) do(args ...string) {
	s.t.Helper()
	cmd := exec.Command("xdotool", args...)
	cmd.Env = append(os.Environ(), "DISPLAY="+s.display)
	if out, err := cmd.CombinedOutput(); err != nil {
		s.t.Fatalf("xdotool %v: %v\n%s", args, err, out)
	}
}

func (s *screen) click(p image.Point) {
	s.t.Helper()
	s.do("mousemove", strconv.Itoa(p.X), strconv.Itoa(p.Y), "click", "1")
}

// waitFor looks at the screen until what is wanted is there.
func (s *screen) waitFor(what string, seen func(*image.RGBA) bool) *image.RGBA {
	s.t.Helper()
	until := time.Now().Add(patience)
	for {
		img, err := s.picture()
		if err == nil && seen(img) {
			return img
		}
		if time.Now().After(until) {
			if err == nil {
				s.keep(img, "trouble")
			}
			s.t.Fatalf("waited %v for %s (%v)", patience, what, err)
		}
		time.Sleep(50 * time.Millisecond) // between two looks
	}
}

// picture reads the display's pixels: an XWD file that it keeps up to date (the
// X Window Dump format, XWDFile.h, version 7).
func (s *screen) picture() (*image.RGBA, error) {
	b, err := os.ReadFile(s.buffer)
	if err != nil {
		return nil, err
	}
	if len(b) < 100 {
		return nil, errors.New("no header yet")
	}
	field := func(i int) int { return int(binary.BigEndian.Uint32(b[4*i:])) }
	if field(1) != 7 || field(11) != 32 {
		return nil, fmt.Errorf("version %d, %d bits a pixel", field(1), field(11))
	}
	w, h, stride, at := field(4), field(5), field(12), field(0)+12*field(19)
	if len(b) < at+h*stride {
		return nil, errors.New("pixels are missing")
	}
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			p := b[at+y*stride+4*x:]
			i := img.PixOffset(x, y)
			img.Pix[i], img.Pix[i+1], img.Pix[i+2], img.Pix[i+3] = p[2], p[1], p[0], 255 // least byte first: blue, green, red
		}
	}
	return img, nil
}

// keep stores a picture where ABUT_PICTURES says, to be looked at.
func (s *screen) keep(img *image.RGBA, name string) {
	s.t.Helper()
	dir := os.Getenv("ABUT_PICTURES")
	if dir == "" {
		return
	}
	if !filepath.IsAbs(dir) {
		dir = filepath.Join(oracle.Root(s.t), dir)
	}
	if err := os.MkdirAll(dir, 0o777); err != nil {
		s.t.Fatal(err)
	}
	f, err := os.Create(filepath.Join(dir, name+".png"))
	if err != nil {
		s.t.Fatal(err)
	}
	if err := errors.Join(png.Encode(f, img), f.Close()); err != nil {
		s.t.Fatal(err)
	}
}

// blob returns the bounds of the largest connected area of a colour, to within
// 6 of 255, and how many pixels it has.
func blob(img *image.RGBA, want [3]uint8) (image.Rectangle, int) {
	w, h := img.Rect.Dx(), img.Rect.Dy()
	is := func(i int) bool {
		for k := range want {
			if d := int(img.Pix[4*i+k]) - int(want[k]); d > 6 || d < -6 {
				return false
			}
		}
		return true
	}
	seen := make([]bool, w*h)
	var best image.Rectangle
	most := 0
	for i := range seen {
		if seen[i] || !is(i) {
			continue
		}
		seen[i] = true
		stack, count := []int{i}, 0
		bounds := image.Rect(w, h, 0, 0)
		bounds.Min, bounds.Max = image.Pt(w, h), image.Pt(0, 0)
		for len(stack) > 0 {
			k := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			count++
			x, y := k%w, k/w
			bounds.Min.X, bounds.Min.Y = min(bounds.Min.X, x), min(bounds.Min.Y, y)
			bounds.Max.X, bounds.Max.Y = max(bounds.Max.X, x+1), max(bounds.Max.Y, y+1)
			for _, n := range [4][2]int{{x - 1, y}, {x + 1, y}, {x, y - 1}, {x, y + 1}} {
				if m := n[1]*w + n[0]; n[0] >= 0 && n[1] >= 0 && n[0] < w && n[1] < h && !seen[m] && is(m) {
					seen[m] = true
					stack = append(stack, m)
				}
			}
		}
		if count > most {
			best, most = bounds, count
		}
	}
	return best, most
}

func middle(r image.Rectangle) image.Point { return r.Min.Add(r.Max).Div(2) }
