package architecture

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// bySystem is what differs by system, or asks which one this is.
var bySystem = regexp.MustCompile(`runtime\.GOOS|os\.User(ConfigDir|CacheDir|HomeDir)|"(DISPLAY|WAYLAND_DISPLAY|LC_ALL|LANG|APPDATA|XDG_[A-Z_]+)"|(?m)^//go:build .*\b(windows|darwin|linux|unix)\b`)

// elsewhere are files that may do so outside internal/system: the clipboard is another
// library on each system, --version names the system, the toolkit is told which language
// was chosen, and a referee is only there for one system.
var elsewhere = []string{"cmd/abut/main.go", "ui/clip/system.go", "ui/clip/x11.go", "ui/locale/locale.go", "internal/oracle/tracer.go"}

// What differs by system is in one package, where its rules are tested on every system.
func TestSystem_DiffersInOnePlace(t *testing.T) {
	root := filepath.Join("..", "..")
	looked := 0
	err := filepath.WalkDir(root, func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(root, name)
		if err != nil {
			return err
		}
		rel = filepath.ToSlash(rel)
		if d.IsDir() {
			if rel != "." && strings.HasPrefix(d.Name(), ".") || slices.Contains([]string{"testdata", "node_modules", "tools", "internal/system"}, rel) {
				return filepath.SkipDir
			}
			return nil
		}
		if !strings.HasSuffix(rel, ".go") || strings.HasSuffix(rel, "_test.go") || slices.Contains(elsewhere, rel) {
			return nil
		}
		looked++
		text, err := os.ReadFile(name)
		if err != nil {
			return err
		}
		if found := bySystem.Find(text); found != nil {
			t.Errorf("%s: %s belongs in internal/system", rel, found)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if looked < 100 {
		t.Fatalf("only %d files looked at", looked)
	}
}
