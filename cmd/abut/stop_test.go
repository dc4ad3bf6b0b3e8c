package main

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"abut/internal/watched"
)

// heavyArt is art that keeps the program busy. Pictures are smaller with
// -short.
func heavyArt() []string {
	size := func(full, short int) int {
		if testing.Short() {
			return short
		}
		return full
	}
	return []string{
		sunburst(size(100, 20)),
		sunburst(size(1200, 50)),
		sunburst(size(3000, 100)),
		`<path fill="#d03020" d="` + strings.Join(rays(size(100_000, 100)), "") + `"/>`,
		many(size(1000, 60), func(i int) string { return fmt.Sprintf("#%02x%02x%02x", i*83%256, i*57%251, i*29%253) }),
		stack(size(50, 8)),
		many(size(200_000, 1000), func(i int) string { return palette[i%len(palette)] }),
	}
}

var palette = []string{"#d03020", "#2040c0", "#20a040", "#f0c000", "#802080"}

// rays are n triangles around one centre, as path data.
func rays(n int) []string {
	out := make([]string, n)
	for i := range out {
		at := func(k float64) string {
			y, x := math.Sincos(2 * math.Pi * k / float64(n))
			return fmt.Sprintf("L%.4f %.4f", 50+49*x, 50+49*y)
		}
		out[i] = "M50 50" + at(float64(i)) + at(float64(i)+0.5) + "Z"
	}
	return out
}

func sunburst(n int) string {
	var b strings.Builder
	for i, d := range rays(n) {
		fmt.Fprintf(&b, `<path fill="%s" d="%s"/>`, palette[i%len(palette)], d)
	}
	return b.String()
}

// many is n squares side by side.
func many(n int, colour func(i int) string) string {
	var b strings.Builder
	side := int(math.Ceil(math.Sqrt(float64(n))))
	step := 100 / float64(side)
	for i := range n {
		fmt.Fprintf(&b, `<rect x="%.3f" y="%.3f" width="%.3f" height="%.3f" fill="%s"/>`,
			float64(i%side)*step, float64(i/side)*step, 0.8*step, 0.8*step, colour(i))
	}
	return b.String()
}

// stack is n discs over each other.
func stack(n int) string {
	var b strings.Builder
	for i := range n {
		y, x := math.Sincos(float64(i))
		fmt.Fprintf(&b, `<circle cx="%.3f" cy="%.3f" r="%.3f" fill="#%02x%02x%02x"/>`, 50+3*x, 50+3*y, 45-40*float64(i)/float64(n), i*83%256, i*57%251, i*29%253)
	}
	return b.String()
}

func TestRun_EveryVerbStopsWheneverItIsAsked(t *testing.T) {
	const (
		tries = 3
		// Each goroutine may look once more, and so may those that called them; work
		// that nobody waits for any longer looks on until it comes upon it. What does
		// not stop looks thousands of times.
		maxLooks = 500
		// What a pass may still make between two looks; the heaviest jobs make
		// gigabytes.
		maxBytes = 64 << 20
	)
	mostLooks := 20_000.0 // jobs that look less often come to their end
	if testing.Short() {
		mostLooks = 2000
	}
	dir := t.TempDir()
	out := filepath.Join(dir, "above", "out")
	jobs := [][]string{{"demo", "-o", out}}
	for _, body := range heavyArt() {
		file := art(t, sized, body)
		jobs = append(jobs, []string{"check", file}, []string{"check", file, "--mend", "--json"},
			[]string{"cut", file, "-o", out, "--allow-oversize"},
			[]string{"cut", file, "-o", out, "--allow-oversize", "--width", "90mm", "--colors", "6", "--mend", "--clearance", "0.2mm", "--blank", "mug"})
	}
	for _, args := range jobs {
		for range tries {
			n := int(math.Exp(rand.Float64() * math.Log(mostLooks))) // soon as often as late
			before := runtime.NumGoroutine()
			w := watched.New(n)
			var stdout, stderr bytes.Buffer
			status := run(w, args, streams{nil, &stdout, &stderr})
			after := w.Looks() - n
			if after < 0 { // it was through before
				if err := os.RemoveAll(filepath.Dir(out)); err != nil {
					t.Fatal(err)
				}
				continue
			}
			if status != exitStopped || !strings.Contains(stderr.String(), "abut: Stopped") || after > maxLooks {
				t.Errorf("abut %q, stopped at look %d: status %d after %d more\n%s", args, n, status, after, &stderr)
			}
			if got := listing(t, dir); len(got) != 1 {
				t.Errorf("abut %q, stopped at look %d, left behind: %v", args, n, got)
			}
			for runtime.NumGoroutine() > before {
				runtime.Gosched() // what it no longer waits for comes to its end as well
			}
			if more := w.BytesSince(); more > maxBytes {
				t.Errorf("abut %q, stopped at look %d: %d MiB were made afterwards", args, n, more>>20)
			}
		}
	}
}
