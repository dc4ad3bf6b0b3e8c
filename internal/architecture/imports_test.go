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
// standard library: each by name, and none that it has no use for. A folder with
// Go files that is not listed fails the test: decide where it stands before it
// grows. Paths are below the module; "." is the top.
var may = map[string][]string{
	".":                     {},
	"assets":                {},
	"cmd/abut":              {".", "assets", "internal/abutfile", "internal/colour", "internal/drawer", "internal/fit", "internal/handout", "internal/job", "internal/layout", "internal/message", "internal/print", "internal/show", "internal/system", "internal/whole", "internal/words", "internal/workshop", "ui"},
	"docs":                  {},
	"geometry":              {},
	"geometry/boxes":        {"geometry"},
	"geometry/packing":      {"geometry", "geometry/planar"},
	"geometry/pairwise":     {"geometry", "geometry/parallel"},
	"geometry/parallel":     {},
	"geometry/planar":       {"geometry", "geometry/parallel"},
	"geometry/weak":         {"geometry", "geometry/parallel", "geometry/planar"},
	"internal/abutfile":     {"geometry", "internal/colour", "internal/job", "internal/message"},
	"internal/architecture": {},
	"internal/bench":        {"geometry/planar", "internal/fit", "internal/fit/mend", "internal/job", "internal/workshop", "ui/paint"},
	"internal/colour":       {},
	"internal/corpus":       {},
	"internal/cutfile":      {"geometry", "geometry/boxes", "geometry/parallel", "geometry/planar", "internal/colour", "internal/fit", "internal/fit/assemble", "internal/job"},
	"internal/cutfile/dxf":  {"geometry", "internal/colour", "internal/cutfile"},
	"internal/cutfile/pdf":  {"internal/colour", "internal/cutfile"},
	"internal/cutfile/png":  {"geometry", "internal/colour", "internal/cutfile"},
	"internal/cutfile/svg":  {"internal/cutfile"},
	"internal/drawer":       {"internal/colour", "internal/message", "internal/whole"},
	"internal/exchange":     {"geometry", "internal/abutfile", "internal/colour", "internal/job"},
	"internal/fillin":       {"geometry", "internal/colour", "internal/drawer", "internal/job", "internal/lettering", "internal/message"},
	"internal/fit":          {"geometry", "geometry/parallel", "geometry/planar", "internal/colour", "internal/fit/assemble", "internal/fit/mend", "internal/fit/own", "internal/fit/thing", "internal/job", "internal/message"},
	"internal/fit/assemble": {"geometry", "geometry/planar", "internal/colour", "internal/fit/own", "internal/job", "internal/message"},
	"internal/fit/mend":     {"geometry", "geometry/boxes", "geometry/parallel", "geometry/planar", "geometry/weak", "internal/colour", "internal/fit/own", "internal/fit/thing", "internal/job", "internal/message"},
	"internal/fit/own":      {"geometry", "geometry/parallel", "geometry/planar", "internal/colour", "internal/fit/thing", "internal/job", "internal/message"},
	"internal/fit/sketch":   {"geometry", "internal/colour", "internal/job"},
	"internal/fit/thing":    {"geometry", "geometry/boxes", "geometry/planar", "internal/job"},
	"internal/gradient":     {"geometry", "internal/colour"},
	"internal/guide":        {"geometry", "geometry/parallel", "internal/colour", "internal/cutfile", "internal/fit", "internal/fit/assemble", "internal/job", "internal/layout", "internal/message", "internal/press", "internal/print", "internal/words"},
	"internal/handout":      {"geometry", "geometry/parallel", "internal/colour", "internal/message", "internal/print", "internal/show", "internal/whole", "internal/words"},
	"internal/history":      {},
	"internal/job":          {"geometry", "internal/colour", "internal/gradient", "internal/message"},
	"internal/layering":     {"geometry", "internal/colour", "internal/job"},
	"internal/layout":       {"geometry", "geometry/packing", "geometry/planar", "internal/colour", "internal/cutfile", "internal/drawer", "internal/job"},
	"internal/lettering":    {"geometry", "internal/job", "internal/message", "internal/typeset"},
	"internal/message":      {},
	"internal/motif":        {"geometry"},
	"internal/oracle":       {"geometry"},
	"internal/press":        {"internal/job", "internal/message"},
	"internal/print":        {"geometry", "internal/colour", "internal/typeset"},
	"internal/session":      {"geometry", "geometry/parallel", "internal/abutfile", "internal/colour", "internal/drawer", "internal/exchange", "internal/fit", "internal/fit/mend", "internal/fit/own", "internal/handout", "internal/history", "internal/job", "internal/lettering", "internal/message", "internal/show", "internal/system", "internal/trace", "internal/whole", "internal/words", "internal/workshop"},
	"internal/settle":       {},
	"internal/show":         {"geometry", "internal/colour", "internal/fit", "internal/fit/assemble", "internal/fit/mend", "internal/job", "internal/message"},
	"internal/strip":        {"geometry", "internal/fit", "internal/fit/assemble", "internal/message"},
	"internal/svgimport":    {"geometry", "geometry/parallel", "internal/colour", "internal/gradient", "internal/job", "internal/layering", "internal/lettering", "internal/message", "internal/typeset"},
	"internal/trace":        {"geometry", "geometry/parallel", "internal/colour", "internal/job", "internal/layering", "internal/message"},
	"internal/system":       {},
	"internal/tree":         {},
	"internal/typeset":      {"geometry", "internal/system"},
	"internal/watched":      {},
	"internal/whole":        {"internal/message", "internal/system"},
	"internal/words":        {"internal/job", "internal/message"},
	"internal/workshop":     {"geometry", "geometry/pairwise", "geometry/parallel", "geometry/planar", "geometry/weak", "internal/colour", "internal/cutfile", "internal/cutfile/dxf", "internal/cutfile/pdf", "internal/cutfile/png", "internal/cutfile/svg", "internal/drawer", "internal/fillin", "internal/fit", "internal/fit/assemble", "internal/fit/mend", "internal/guide", "internal/job", "internal/layout", "internal/message", "internal/print", "internal/strip", "internal/svgimport", "internal/trace", "internal/whole", "internal/words"},
	"ui":                    {".", "assets", "internal/drawer", "internal/system", "internal/words", "ui/ask", "ui/clip", "ui/prefs", "ui/theme", "ui/window"},
	"ui/add":                {"internal/colour", "internal/job", "internal/lettering", "internal/session", "internal/words", "ui/board", "ui/command", "ui/controls", "ui/pick"},
	"ui/aids":               {"internal/job", "internal/words", "ui/board", "ui/command"},
	"ui/ask":                {"geometry", "internal/abutfile", "internal/colour", "internal/fit", "internal/handout", "internal/job", "internal/message", "internal/press", "internal/print", "internal/session", "internal/show", "internal/system", "internal/trace", "internal/whole", "internal/words", "internal/workshop", "ui/command", "ui/controls", "ui/dialogs", "ui/entry", "ui/paint", "ui/pick", "ui/theme"},
	"ui/board":              {"geometry", "internal/colour", "internal/cutfile", "internal/fit", "internal/job", "internal/words", "ui/controls", "ui/paint", "ui/theme"},
	"ui/class":              {"geometry", "internal/colour", "internal/show", "internal/words", "ui/controls", "ui/paint", "ui/theme"},
	"ui/clip":               {"geometry/parallel"},
	"ui/command":            {"internal/words", "ui/controls"},
	"ui/controls":           {"internal/colour", "ui/theme"},
	"ui/dialogs":            {"internal/words", "ui/controls", "ui/theme"},
	"ui/entry":              {"internal/job", "internal/words", "ui/controls"},
	"ui/files":              {"internal/message", "internal/session", "internal/system", "internal/words", "internal/workshop", "ui/controls", "ui/dialogs", "ui/paint", "ui/theme"},
	"ui/inspect":            {"geometry", "internal/colour", "internal/fit", "internal/fit/assemble", "internal/fit/mend", "internal/job", "internal/lettering", "internal/message", "internal/session", "internal/words", "internal/workshop", "ui/board", "ui/command", "ui/controls", "ui/entry", "ui/theme"},
	"ui/layers":             {"internal/colour", "internal/fit", "internal/job", "internal/words", "ui/controls", "ui/paint", "ui/theme"},
	"ui/locale":             {},
	"ui/manual":             {"docs", "internal/words", "ui/controls", "ui/theme"},
	"ui/paint":              {"geometry", "geometry/parallel", "internal/colour", "internal/job", "internal/show"},
	"ui/pick":               {"internal/colour", "internal/session", "internal/words", "internal/workshop", "ui/controls", "ui/dialogs", "ui/files", "ui/theme"},
	"ui/prefs":              {"internal/message", "internal/whole"},
	"ui/sheets":             {"geometry", "internal/colour", "internal/drawer", "internal/fit", "internal/job", "internal/layout", "internal/message", "internal/session", "internal/whole", "internal/words", "internal/workshop", "ui/board", "ui/controls", "ui/dialogs", "ui/entry", "ui/files", "ui/pick", "ui/theme"},
	"ui/start":              {"assets", "geometry", "internal/job", "internal/session", "internal/words", "internal/workshop", "ui/controls", "ui/paint", "ui/theme"},
	"ui/story":              {},
	"ui/theme":              {"assets", "ui/locale"},
	"ui/toolkit":            {"internal/words", "ui/locale"},
	"ui/verdict":            {"internal/fit", "internal/job", "internal/session", "internal/words", "ui/command", "ui/controls", "ui/theme"},
	"ui/window":             {"assets", "geometry", "internal/fit", "internal/job", "internal/session", "internal/show", "internal/words", "internal/workshop", "ui/add", "ui/aids", "ui/ask", "ui/board", "ui/class", "ui/command", "ui/controls", "ui/dialogs", "ui/files", "ui/inspect", "ui/layers", "ui/manual", "ui/pick", "ui/sheets", "ui/start", "ui/theme", "ui/toolkit", "ui/verdict"},
}

// tests lists what test files may import in addition to what their package may.
// Every test may use the referees and the motifs.
var tests = map[string][]string{
	"cmd/abut":             {"geometry", "internal/fit/mend", "internal/lettering"},
	"geometry/pairwise":    {"geometry/planar"},
	"geometry/planar":      {"geometry/pairwise", "internal/motif"},
	"geometry/weak":        {"internal/motif"},
	"internal/abutfile":    {"assets", "internal/gradient", "internal/workshop"},
	"internal/corpus":      {"assets", "geometry", "geometry/pairwise", "geometry/planar", "internal/abutfile", "internal/colour", "internal/cutfile", "internal/fit", "internal/fit/mend", "internal/job", "internal/svgimport", "internal/trace", "internal/typeset", "internal/words", "internal/workshop"},
	"internal/cutfile/dxf": {"internal/fit", "internal/fit/assemble"},
	"internal/cutfile/pdf": {"geometry", "internal/fit", "internal/fit/assemble"},
	"internal/cutfile/png": {"internal/fit", "internal/fit/assemble"},
	"internal/cutfile/svg": {"geometry", "internal/colour", "internal/fit", "internal/fit/assemble"},
	"internal/exchange":    {"assets", "internal/fit", "internal/lettering", "internal/svgimport", "internal/workshop"},
	"internal/fit":         {"internal/abutfile", "internal/fit/sketch", "internal/gradient", "internal/motif"},
	"internal/fit/mend":    {"internal/fit/sketch"},
	"internal/fit/own":     {"internal/fit/sketch"},
	"internal/guide":       {"internal/fit/own", "internal/svgimport"},
	"internal/layout":      {"geometry/planar"},
	"internal/press":       {"internal/words"},
	"internal/handout":     {"assets", "internal/fit", "internal/workshop"},
	"internal/session":     {"assets", "internal/fit/assemble", "internal/settle"},
	"internal/show":        {"assets", "internal/words", "internal/workshop"},
	"internal/strip":       {"internal/colour", "internal/cutfile", "internal/fit/own"},
	"internal/trace":       {"geometry/planar"},
	"internal/words":       {"internal/colour"},
	"internal/workshop":    {"assets", "internal/gradient", "internal/lettering", "internal/system"},
	"ui/ask":               {"assets", "internal/settle"},
	"ui/board":             {"internal/fit/own"},
	"ui/class":             {"assets", "internal/fit", "internal/job", "internal/workshop"},
	"ui/dialogs":           {"internal/colour", "ui/entry"},
	"ui/files":             {"internal/settle"},
	"ui/story":             {"assets", "geometry", "internal/abutfile", "internal/colour", "internal/drawer", "internal/job", "internal/lettering", "internal/svgimport", "internal/words", "internal/workshop", "ui/board", "ui/paint", "ui/theme"},
	"ui/window":            {"internal/abutfile", "internal/colour", "internal/drawer", "internal/fit/mend", "internal/lettering", "internal/message", "internal/settle", "ui/entry", "ui/paint", "ui/prefs"},
}

// foreign says who alone may use a module that is not ours, by the beginning of
// its import path.
var foreign = map[string][]string{
	"fyne.io/":                        {"ui", "ui/add", "ui/aids", "ui/ask", "ui/board", "ui/class", "ui/command", "ui/controls", "ui/dialogs", "ui/entry", "ui/files", "ui/inspect", "ui/layers", "ui/manual", "ui/pick", "ui/prefs", "ui/sheets", "ui/start", "ui/theme", "ui/toolkit", "ui/verdict", "ui/window"},
	"github.com/ctessum/polyclip-go":  {"geometry/pairwise"},
	"github.com/yuin/goldmark":        {"ui/manual"},
	"github.com/srwiley/":             {"assets", "ui/paint", "ui/theme"},
	"github.com/twpayne/go-geos":      {"internal/oracle"},
	"github.com/alecthomas/kong":      {"cmd/abut"},
	"github.com/nicksnyder/go-i18n":   {"internal/words"},
	"github.com/tdewolff/parse":       {"internal/svgimport"},
	"github.com/go-text/":             {"internal/typeset"},
	"codeberg.org/go-pdf/":            {"internal/cutfile/pdf", "internal/print"},
	"github.com/gofrs/flock":          {"internal/whole"},
	"github.com/adrg/xdg":             {"internal/system"},
	"github.com/jeandeaual/go-locale": {"internal/system"},
	"github.com/jezek/xgb":            {"ui/clip"},
	"golang.design/x/clipboard":       {"ui/clip"},
	"github.com/santhosh-tekuri/":     {"internal/workshop"},
	"github.com/tidwall/rtree":        {"geometry/boxes"},
	"golang.org/x/image/bmp":          {"internal/trace"},
	"golang.org/x/image/webp":         {"internal/trace"},
}

// standardOnly use nothing that is not ours besides the standard library.
var standardOnly = []string{"geometry", "geometry/packing", "geometry/parallel", "geometry/planar", "geometry/weak", "internal/message", "internal/colour", "internal/gradient", "internal/history"}

func TestImports_RunOneWay(t *testing.T) {
	root := filepath.Join("..", "..")
	if _, err := os.Stat(filepath.Join(root, "go.mod")); err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	used := map[[2]string]bool{} // whether code, not only tests, needs what it may import
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
		allowed, listed := may[pkg]
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
			check(t, rel, pkg, imp, allowed, used, isTest)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for pkg, list := range may {
		for _, own := range list {
			if !used[[2]string{pkg, own}] {
				t.Errorf("%s may import %s and does not", pkg, own)
			}
		}
	}
	if files < 10 {
		t.Fatalf("only %d Go files found: the test looks in the wrong place", files)
	}
	if !seen["geometry"] || !seen["internal/job"] {
		t.Error("geometry or internal/job has no Go files")
	}
}

// aids are what any test may use.
var aids = []string{"internal/motif", "internal/oracle", "internal/settle", "internal/tree", "internal/watched"}

func check(t *testing.T, file, pkg, imp string, allowed []string, used map[[2]string]bool, isTest bool) {
	t.Helper()
	if own, ok := ours(imp); ok {
		if own == pkg {
			return
		}
		if slices.Contains(allowed, own) {
			used[[2]string{pkg, own}] = used[[2]string{pkg, own}] || !isTest
			return
		}
		if isTest && (slices.Contains(aids, own) || slices.Contains(tests[pkg], own)) {
			return
		}
		t.Errorf("%s imports %s, which %s may not", file, imp, pkg)
		return
	}
	if !strings.Contains(strings.Split(imp, "/")[0], ".") {
		return // the standard library
	}
	if slices.Contains(standardOnly, pkg) && !isTest {
		t.Errorf("%s imports %s: %s uses the standard library only", file, imp, pkg)
	}
	for prefix, who := range foreign {
		if strings.HasPrefix(imp, prefix) && !slices.Contains(who, pkg) {
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
