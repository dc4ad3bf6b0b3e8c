package oracle

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"testing"
	"time"
)

// Tracer makes drawings of pictures of pixels with another library, in its usual
// way: shapes stacked over each other.
type Tracer struct{ node, script, lib string }

// StartTracer returns it; the test is skipped where it is missing.
func StartTracer(tb testing.TB) *Tracer {
	tb.Helper()
	lib := modules(tb)
	if _, err := os.Stat(filepath.Join(lib, "@neplex", "vectorizer-linux-x64-gnu")); err != nil {
		if runtime.GOOS+runtime.GOARCH != "linuxamd64" {
			tb.Skip("the other tracer is fetched for Linux on x86-64 alone")
		}
		missing(tb, "no other tracer in .work: ./run test fetches it")
	}
	node, err := exec.LookPath("node")
	if err != nil {
		missing(tb, "node is not installed: ./run test installs it")
	}
	return &Tracer{node, filepath.Join(Root(tb), "testdata", "npm", "trace.js"), lib}
}

// Trace returns the drawing as SVG, and how long it took.
func (t *Tracer) Trace(file []byte) (svg []byte, took time.Duration, err error) {
	cmd := exec.Command(t.node, t.script)
	cmd.Env = append(os.Environ(), "NODE_PATH="+t.lib)
	cmd.Stdin = bytes.NewReader(file)
	out, err := cmd.Output()
	if err != nil {
		return nil, 0, fmt.Errorf("the other tracer: %w", err)
	}
	var answer struct {
		SVG string  `json:"svg"`
		MS  float64 `json:"ms"`
	}
	if err := json.Unmarshal(out, &answer); err != nil {
		return nil, 0, fmt.Errorf("the other tracer: %w", err)
	}
	return []byte(answer.SVG), time.Duration(answer.MS * float64(time.Millisecond)), nil
}
