package svgimport

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"
)

// largeFiles are files of 50 MB of one thing each. Whatever it is, they are read
// or refused within seconds.
func largeFiles() map[string]func() string {
	const size = 50 << 20
	fill := func(before, unit, after string) func() string {
		return func() string {
			return page100(before + strings.Repeat(unit, size/len(unit)) + after + `<rect width="9" height="9"/>`)
		}
	}
	return map[string]func() string{
		"shapes": func() string {
			var b strings.Builder
			for i := 0; b.Len() < size; i++ {
				fmt.Fprintf(&b, `<path id="p%d" fill="#%06x" stroke="none" stroke-width="1" style="fill-opacity:1;display:inline" d="M%d %dh1.234v5.678l0.25 0.5c1 2 3 4 5 6z" transform="translate(1 2)"/>`+"\n", i, i%7*40000, i%100, i/100%100)
			}
			return page100(b.String())
		},
		"one path":      fill(`<path d="M0 0`, "l1.2345 6.789c1 2 3 4 5 6 ", `"/>`),
		"points":        fill(`<polygon points="`, "1.5,2.5 ", `"/>`),
		"photo":         fill(`<image href="data:image/png;base64,`, "Abcde", `"/>`),
		"comment":       fill(`<!--`, "word ", `-->`),
		"text":          fill(`<text>`, "word ", `</text>`),
		"title":         fill(`<g><title>`, "word ", `</title></g>`),
		"style sheet":   fill(`<style>`, ".a{fill:red}\n", `</style>`),
		"style":         fill(`<g style="`, "fill:rgb(1,2,3);", `"/>`),
		"classes":       fill(`<style>.a{fill:red}</style><g class="`, "a b c ", `"/>`),
		"dashes":        fill(`<path stroke="red" d="M0 0h9" stroke-dasharray="`, "1 ", `"/>`),
		"transforms":    fill(`<path d="M0 0h9" transform="`, "scale(1)", `"/>`),
		"polygon()":     fill(`<rect width="9" height="9" clip-path="polygon(`, "1 2,", `3 4)"/>`),
		"elements":      fill("", "<g/>", ""),
		"open elements": fill("", "<g>", ""),
	}
}

// Files of 50 MB, cancelled at any time, give up within 0.2 s; the test itself
// leaves room for a busy machine.
func TestImport_LargeFilesAndCancel(t *testing.T) {
	if testing.Short() {
		t.Skip("reads some gigabytes")
	}
	files := largeFiles()
	if os.Getenv("ABUT_CORPUS") != "all" {
		files = map[string]func() string{"photo": files["photo"], "one path": files["one path"], "text": files["text"]}
	}
	for name, make := range files {
		t.Run(name, func(t *testing.T) {
			svg := make()
			start := time.Now()
			_, err := Import(context.Background(), strings.NewReader(svg), Options{})
			whole := time.Since(start)
			var e *Error
			if err != nil && !errors.As(err, &e) {
				t.Errorf("got %v", err)
			}
			worst := time.Duration(0)
			for _, share := range []float64{0.1, 0.5, 0.9} {
				ctx, cancel := context.WithCancel(context.Background())
				var at time.Time
				timer := time.AfterFunc(time.Duration(share*float64(whole)), func() { at = time.Now(); cancel() })
				if _, err := Import(ctx, strings.NewReader(svg), Options{}); errors.Is(err, context.Canceled) {
					worst = max(worst, time.Since(at))
				}
				timer.Stop()
				cancel()
			}
			t.Logf("figures: %v, cancelled within %v, result: %v", whole.Round(time.Millisecond), worst.Round(time.Millisecond), err)
		})
	}
}
