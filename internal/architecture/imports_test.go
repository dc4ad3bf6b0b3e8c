package architecture

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// module is the project's own import path.
const module = "abut"

// may lists, for every package, which of ours it may import besides the
// standard library. A folder with Go files that is not listed fails the test:
// decide where it stands before it grows. Paths are below the module; "." is
// the top.
var may = map[string][]string{
	".":                     {},
	"assets":                {},
	"geometry":              {},
	"geometry/planar":       {"geometry"},
	"geometry/pairwise":     {"geometry"},
	"geometry/weak":         {"geometry", "geometry/planar"},
	"internal/history":      {},
	"internal/job":          {"geometry"},
	"internal/svgimport":    {"geometry", "internal/job", "internal/typeset"},
	"internal/typeset":      {"geometry"},
	"internal/abutfile":     {"geometry", "internal/job"},
	"internal/exchange":     {"geometry", "internal/abutfile", "internal/job"},
	"internal/drawer":       {"internal/job"},
	"internal/fit":          {"geometry", "geometry/planar", "geometry/weak", "internal/job"},
	"internal/words":        {"internal/job"},
	"internal/cutfile":      {"geometry", "geometry/planar", "internal/fit", "internal/job"},
	"internal/cutfile/svg":  {"geometry", "internal/cutfile"},
	"internal/guide":        {"geometry", "internal/cutfile", "internal/fit", "internal/job", "internal/words"},
	"internal/workshop":     {"geometry", "geometry/pairwise", "geometry/planar", "internal/cutfile", "internal/cutfile/svg", "internal/drawer", "internal/fit", "internal/guide", "internal/job", "internal/svgimport", "internal/typeset", "internal/words"},
	"internal/session":      {"geometry", "internal/abutfile", "internal/exchange", "internal/drawer", "internal/fit", "internal/history", "internal/job", "internal/words", "internal/workshop"},
	"ui":                    window,
	"cmd/abut":              {".", "assets", "internal/drawer", "internal/fit", "internal/job", "internal/words", "internal/workshop", "ui"},
	"internal/oracle":       {"geometry"},
	"internal/corpus":       {},
	"internal/architecture": {},
}

// window lists what every package of the window may import: what the session
// hands it, the pictures, and its own parts.
var window = []string{".", "assets", "geometry", "internal/abutfile", "internal/cutfile", "internal/drawer", "internal/fit", "internal/history", "internal/job",
	"internal/session", "internal/words", "internal/workshop", "ui/*"}

// tests lists what test files may import in addition to what their package may.
// Every test may use the referees.
var tests = map[string][]string{
	"geometry/planar":      {"geometry/pairwise"},
	"geometry/pairwise":    {"geometry/planar"},
	"internal/cutfile/svg": {"internal/fit", "internal/job"},
	"internal/fit":         {"geometry/pairwise", "internal/svgimport", "assets"},
	"internal/svgimport":   {"geometry/planar", "assets"},
	"internal/cutfile":     {"assets", "internal/svgimport", "internal/workshop"},
	"internal/guide":       {"assets", "internal/svgimport", "internal/workshop"},
	"internal/workshop":    {"assets", "geometry/planar"},
	"internal/session":     {"assets"},
	"internal/exchange":    {"assets", "internal/fit", "internal/svgimport", "internal/workshop"},
	"internal/abutfile":    {"assets", "internal/workshop"},
	"cmd/abut":             {"geometry", "geometry/planar"},
	"internal/corpus":      {"assets", "geometry", "geometry/pairwise", "geometry/planar", "internal/fit", "internal/job", "internal/svgimport", "internal/words", "internal/workshop"},
}

// foreign says who alone may use a module that is not ours, by the beginning of
// its import path.
var foreign = map[string][]string{
	"fyne.io/":                       {"ui", "ui/*", "cmd/abut"},
	"github.com/ctessum/polyclip-go": {"geometry/pairwise"},
	"github.com/srwiley/":            {"ui", "ui/*", "assets"},
	"github.com/twpayne/go-geos":     {"internal/oracle"},
	"github.com/alecthomas/kong":     {"cmd/abut"},
	"github.com/nicksnyder/go-i18n":  {"internal/words"},
	"github.com/tdewolff/parse":      {"internal/svgimport"},
	"github.com/go-text/":            {"internal/typeset"},
	"github.com/lucasb-eyer/":        {"internal/job"},
}

func TestImports_RunOneWay(t *testing.T) {
	root := filepath.Join("..", "..")
	if _, err := os.Stat(filepath.Join(root, "go.mod")); err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	files := 0
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
			if rel != "." && (strings.HasPrefix(d.Name(), ".") || d.Name() == "testdata" || d.Name() == "node_modules" || rel == "tools") {
				return filepath.SkipDir
			}
			return nil
		}
		if !strings.HasSuffix(rel, ".go") {
			return nil
		}
		pkg := path.Dir(rel)
		seen[pkg] = true
		files++
		allowed, listed := lookup(pkg)
		if !listed {
			t.Errorf("%s: package %s is not in the list; say what it may import", rel, pkg)
			return nil
		}
		f, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		isTest := strings.HasSuffix(rel, "_test.go")
		for _, spec := range f.Imports {
			imp, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				return err
			}
			check(t, rel, pkg, imp, allowed, isTest)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if files < 10 {
		t.Fatalf("only %d Go files found: the test looks in the wrong place", files)
	}
	if !seen["geometry"] || !seen["internal/job"] {
		t.Error("geometry or internal/job has no Go files")
	}
}

func check(t *testing.T, file, pkg, imp string, allowed []string, isTest bool) {
	t.Helper()
	if own, ok := ours(imp); ok {
		if own == pkg || matches(own, allowed) {
			return
		}
		if isTest && (own == "internal/oracle" || matches(own, tests[pkg])) {
			return
		}
		t.Errorf("%s imports %s, which %s may not", file, imp, pkg)
		return
	}
	if !strings.Contains(strings.Split(imp, "/")[0], ".") {
		return // the standard library
	}
	if (pkg == "geometry" || pkg == "geometry/planar" || pkg == "geometry/weak" || pkg == "internal/history") && !isTest {
		t.Errorf("%s imports %s: %s uses the standard library only", file, imp, pkg)
	}
	for prefix, who := range foreign {
		if strings.HasPrefix(imp, prefix) && !matches(pkg, who) {
			t.Errorf("%s imports %s, which only %v may", file, imp, who)
		}
	}
}

func ours(imp string) (string, bool) {
	if imp == module {
		return ".", true
	}
	return strings.CutPrefix(imp, module+"/")
}

// lookup returns what the package may import. Parts of the window share the
// window's list.
func lookup(pkg string) ([]string, bool) {
	if strings.HasPrefix(pkg, "ui/") {
		pkg = "ui"
	}
	allowed, ok := may[pkg]
	return allowed, ok
}

func matches(pkg string, list []string) bool {
	return slices.ContainsFunc(list, func(entry string) bool {
		if parent, ok := strings.CutSuffix(entry, "/*"); ok {
			return strings.HasPrefix(pkg, parent+"/")
		}
		return pkg == entry
	})
}

// The lists themselves must not contradict the design: nothing may be allowed
// to import what may, directly or not, import it.
func TestImports_ListsHaveNoCycle(t *testing.T) {
	state := map[string]int{}
	var visit func(pkg string, trail []string)
	visit = func(pkg string, trail []string) {
		switch state[pkg] {
		case 1:
			t.Fatalf("cycle: %s", strings.Join(append(trail, pkg), " → "))
		case 2:
			return
		}
		state[pkg] = 1
		for _, next := range may[pkg] {
			if strings.HasSuffix(next, "/*") {
				continue
			}
			if _, ok := may[next]; !ok {
				t.Errorf("%s may import %s, which is not in the list", pkg, next)
			}
			visit(next, append(trail, pkg))
		}
		state[pkg] = 2
	}
	for pkg := range may {
		visit(pkg, nil)
	}
}
