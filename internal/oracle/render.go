package oracle

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"image"
	"image/draw"
	"image/png"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
)

// Renderer turns SVG into pixels with another SVG library (resvg). It may be
// used from several goroutines; requests queue. What the library itself breaks at
// is an error of that one picture.
type Renderer struct {
	mu      sync.Mutex
	command func() *exec.Cmd
	cmd     *exec.Cmd
	trouble *strings.Builder
	in      io.WriteCloser
	out     *bufio.Reader
}

// StartRenderer starts the renderer's process, which ends with the test.
func StartRenderer(tb testing.TB) *Renderer {
	tb.Helper()
	lib := modules(tb)
	node, err := exec.LookPath("node")
	if err != nil {
		missing(tb, "node is not installed: ./run test installs it")
	}
	r := &Renderer{command: func() *exec.Cmd {
		cmd := exec.Command(node, filepath.Join(Root(tb), "testdata", "npm", "render.js"))
		cmd.Env = append(os.Environ(), "NODE_PATH="+lib)
		return cmd
	}}
	if err := r.start(); err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() {
		if err := r.end(); err != nil {
			tb.Error(err)
		}
	})
	return r
}

func (r *Renderer) start() (err error) {
	r.cmd, r.trouble = r.command(), new(strings.Builder)
	r.cmd.Stderr = r.trouble
	if r.in, err = r.cmd.StdinPipe(); err != nil {
		return err
	}
	out, err := r.cmd.StdoutPipe()
	if err != nil {
		return err
	}
	r.out = bufio.NewReaderSize(out, 1<<20)
	return r.cmd.Start()
}

// end ends the process; the error is what it had to say.
func (r *Renderer) end() error {
	r.in.Close()
	if err := r.cmd.Wait(); err != nil {
		return fmt.Errorf("the renderer ended with %w\n%s", err, r.trouble)
	}
	return nil
}

// Render draws the SVG with its longer side at side pixels, on nothing: alpha
// is premultiplied and 0 where nothing is drawn. With crisp, edges are not
// smoothed: a pixel has one colour, that at its centre.
func (r *Renderer) Render(svg []byte, side int, crisp bool) (*image.RGBA, error) {
	return r.RenderText(svg, side, crisp)
}

// RenderText is Render for an SVG with text, which is set in the given font
// files and no others.
func (r *Renderer) RenderText(svg []byte, side int, crisp bool, fonts ...string) (*image.RGBA, error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	request, err := json.Marshal(map[string]any{"svg": string(svg), "side": side, "crisp": crisp, "fonts": fonts})
	if err != nil {
		return nil, err
	}
	if _, err := r.in.Write(append(request, '\n')); err != nil {
		return nil, fmt.Errorf("renderer: %w", err)
	}
	line, err := r.out.ReadBytes('\n')
	if err != nil {
		return nil, errors.Join(fmt.Errorf("renderer: %w", err), r.end(), r.start())
	}
	var answer struct {
		Width, Height int
		Error         string
	}
	if err := json.Unmarshal(line, &answer); err != nil {
		return nil, fmt.Errorf("renderer: %w", err)
	}
	if answer.Error != "" {
		return nil, fmt.Errorf("renderer: %s", answer.Error)
	}
	img := image.NewRGBA(image.Rect(0, 0, answer.Width, answer.Height))
	if _, err := io.ReadFull(r.out, img.Pix); err != nil {
		return nil, fmt.Errorf("renderer: %w", err)
	}
	return img, nil
}

// SecondOpinion draws the SVG with yet another library (librsvg), with crisp
// edges, at the given size in pixels. It starts a process for each picture:
// ask it only where the first renderer is in doubt.
func SecondOpinion(svg []byte, width, height int) (*image.RGBA, error) {
	crisp, err := Crisp(svg)
	if err != nil {
		return nil, err
	}
	return SecondSmooth(crisp, width, height)
}

// Crisp returns the SVG with crisp edges, for renderers that have no switch for
// them: its root asks for them, and what is in it inherits that.
func Crisp(svg []byte) ([]byte, error) {
	at := bytes.Index(svg, []byte("<svg"))
	if at < 0 {
		return nil, errors.New("no root element")
	}
	return slices.Concat(svg[:at+4], []byte(` shape-rendering="crispEdges"`), svg[at+4:]), nil
}

// SecondSmooth is SecondOpinion with smooth edges. Both stretch the picture to
// the size, whatever its proportions.
func SecondSmooth(svg []byte, width, height int) (*image.RGBA, error) {
	tool, err := exec.LookPath("rsvg-convert")
	if err != nil {
		return nil, fmt.Errorf("%w: ./run test installs it", err)
	}
	cmd := exec.Command(tool, "-w", strconv.Itoa(width), "-h", strconv.Itoa(height), "-f", "png")
	cmd.Stdin = bytes.NewReader(svg)
	out, err := cmd.Output()
	if err != nil {
		return nil, fmt.Errorf("rsvg-convert: %w", err)
	}
	decoded, err := png.Decode(bytes.NewReader(out))
	if err != nil {
		return nil, err
	}
	img := image.NewRGBA(image.Rect(0, 0, width, height))
	draw.Draw(img, img.Rect, decoded, decoded.Bounds().Min, draw.Src)
	return img, nil
}
