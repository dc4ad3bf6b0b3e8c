package architecture

import (
	"errors"
	"go/ast"
	"go/build"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// order lists the files of the core's packages from what is told to what tells:
// a file calls functions and methods of itself and of those before it, so that a
// reader goes down the list and never up. doc.go counts for nothing.
var order = map[string]string{
	"geometry":              "point affine path arc flatten offset sample nearest enclosure pole simplify",
	"geometry/planar":       "types pace predicates radix scratch input runs cells covers crossings fan index columns fragments number settle snap status sweep slabs map locate regions division seams rings divide outline curves union offset",
	"geometry/packing":      "packing climb slabs nest settle shapes rectangles",
	"geometry/weak":         "pace lengths sides grid walls nearby pinch medial shape spot overlay shallow within beyond across opening walk remember near banks bars border spine measure find",
	"internal/message":      "message",
	"internal/colour":       "colour spaces mix median cost heaps alike merge words",
	"internal/gradient":     "gradient divide cone strip",
	"internal/job":          "id error shape primitive text content layer band mend pressing blank hues lesson laid layout list settings job edit doubtful choice mending surround folder order arrange lettering size graft add copy replace tracing redraw",
	"internal/cutfile":      "page start grid order care",
	"internal/fit/own":      "set place figures error surround overlay material rules claims divide places vanished",
	"internal/fit/mend":     "outlines spots map along lost beneath share tip limb blunt chisel grown opened whole smooth taper layer new todo remedies front run turning parted attempt picture eaten spaces together displaced sidestep redrawing covered redraw attempts drawn mover aside things window spare halves rays mirror rounds allowed try follow solve commit settle partial all",
	"internal/fit/thing":    "slant look alike grow dots fine strands runs thing finder rhythm dashes rays ground rim baseline spacing displace draw",
	"internal/fit/assemble": "separation name room frame carry base marks assembly",
	"internal/fit":          "plan extent surround parts pen drawn verdict warnings compute overlap things clearance weak weakthings",
	"internal/show":         "scene ease art props step stack fit make show ready steps",
	"internal/layout":       "move stock turns left parts pinned least drawn layout obstacle",
	"internal/trace":        "errors picture tiff exif profile webp read blend light palette resolution shadow even dither sums screen matte soft areas label regions refine strokes leaks faint discover specks choose network stairs edge rows course sheet texture curve join cross beneath svg trace",
	"internal/whole":        "error lock staging file replace folder",
	"internal/workshop":     "error blanks open size sheets places weak smallest warnings formats manifest describe costs layout taken opinion row write laid foretell strip cut list stale trace",
}

// filesNamed are the files that a package's comment tells of, none where there is no such
// comment.
func filesNamed(t *testing.T, doc string) (names []string) {
	t.Helper()
	b, err := os.ReadFile(doc)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		t.Fatal(err)
	}
	for _, m := range regexp.MustCompile(`\b(\w+)\.go\b`).FindAllStringSubmatch(string(b), -1) {
		names = append(names, m[1])
	}
	return names
}

func TestFiles_NeverCallUpwards(t *testing.T) {
	root := filepath.Join("..", "..")
	fset := token.NewFileSet()
	imp := importer.ForCompiler(fset, "source", nil)
	for _, pkg := range slices.Sorted(maps.Keys(order)) {
		found, err := build.ImportDir(filepath.Join(root, pkg), 0)
		if err != nil {
			t.Fatal(err)
		}
		place := map[string]int{"doc.go": 0}
		for i, name := range strings.Fields(order[pkg]) {
			place[name+".go"] = i + 1
		}
		var files []*ast.File
		for _, name := range found.GoFiles {
			if _, listed := place[name]; !listed {
				t.Errorf("%s/%s has no place in the order of its package", pkg, name)
			}
			f, err := parser.ParseFile(fset, filepath.Join(root, pkg, name), nil, parser.SkipObjectResolution)
			if err != nil {
				t.Fatal(err)
			}
			files = append(files, f)
		}
		if named := filesNamed(t, filepath.Join(root, pkg, "doc.go")); len(named) > 0 && !slices.Equal(named, strings.Fields(order[pkg])) {
			t.Errorf("%s/doc.go tells of %v, in order there are %v", pkg, named, strings.Fields(order[pkg]))
		}
		if len(place) != len(found.GoFiles) && len(place) != len(found.GoFiles)+1 {
			t.Errorf("%s: %d files in the order, %d in the folder", pkg, len(place), len(found.GoFiles))
		}
		info := &types.Info{Uses: map[*ast.Ident]types.Object{}}
		conf := types.Config{Importer: imp}
		if _, err := conf.Check(module+"/"+pkg, fset, files, info); err != nil {
			t.Fatal(err)
		}
		for id, obj := range info.Uses {
			f, isFunc := obj.(*types.Func)
			if !isFunc || f.Pkg() == nil || f.Pkg().Path() != module+"/"+pkg {
				continue
			}
			from, to := fset.Position(id.Pos()), fset.Position(f.Pos())
			if a, b := filepath.Base(from.Filename), filepath.Base(to.Filename); place[a] < place[b] {
				t.Errorf("%s/%s:%d calls %s of %s, which comes after it", pkg, a, from.Line, f.Name(), b)
			}
		}
	}
}
