package assets

import (
	"bytes"
	"encoding/xml"
	"errors"
	"go/ast"
	"go/parser"
	"go/token"
	"image"
	"image/png"
	"io"
	"io/fs"
	"math"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/srwiley/oksvg"
	"github.com/srwiley/rasterx"
)

// The set that the window's design names. More may be added; none of these may
// go without the code that asks for it.
var wantIcons = strings.Fields(`open save undo redo knock-out frame mend export class layers
	eye eye-off lock unlock up down plus minus fit zoom-in zoom-out sheet blade film press blank
	warning ready nothing trouble drop drag light-dark help about cut bare drawn left-out`)

func TestIcons_AreAllThere(t *testing.T) {
	for _, name := range wantIcons {
		if Icon(name) == nil {
			t.Errorf("icon %q is missing", name)
		}
	}
	if Icon("no-such-icon") != nil {
		t.Error("an unknown name must give nil")
	}
}

// paint draws an icon as the window does and returns the picture.
func paint(t *testing.T, svg []byte, size int) *image.RGBA {
	t.Helper()
	icon, err := oksvg.ReadIconStream(bytes.NewReader(svg), oksvg.StrictErrorMode)
	if err != nil {
		t.Fatalf("the window's SVG reader refuses it: %v", err)
	}
	icon.SetTarget(0, 0, float64(size), float64(size))
	img := image.NewRGBA(image.Rect(0, 0, size, size))
	icon.Draw(rasterx.NewDasher(size, size, rasterx.NewScannerGV(size, size, img, img.Bounds())), 1)
	return img
}

func TestIcons_PaintInsideTheirGrid(t *testing.T) {
	for _, name := range IconNames() {
		t.Run(name, func(t *testing.T) {
			const size = 96
			img := paint(t, Icon(name), size)
			inked, edge := 0, 0
			for y := 0; y < size; y++ {
				for x := 0; x < size; x++ {
					if img.RGBAAt(x, y).A < 128 {
						continue
					}
					inked++
					if x < 2 || y < 2 || x >= size-2 || y >= size-2 {
						edge++
					}
				}
			}
			// The faintest is a single stroke of 16.75 × 1.75 of 24 × 24 units: 5 %,
			// less the half-covered pixels along it.
			if share := float64(inked) / (size * size); share < 0.04 || share > 0.6 {
				t.Errorf("paints %.1f %% of its square", 100*share)
			}
			if edge > 0 {
				t.Errorf("%d pixels lie at the rim of the grid: it would be cut off", edge)
			}
		})
	}
}

func TestIcons_KeepTheirWeightAtEverySize(t *testing.T) {
	share := func(name string, size int) float64 {
		img, sum := paint(t, Icon(name), size), 0
		for i := 3; i < len(img.Pix); i += 4 {
			sum += int(img.Pix[i])
		}
		return float64(sum) / 255 / float64(size*size)
	}
	for _, name := range []string{"minus", "eye", "press", "zoom-in"} {
		small, large := share(name, 24), share(name, 192)
		if math.Abs(small-large) > 0.1*large {
			t.Errorf("%s: inks %.1f %% at 24 pixels, %.1f %% at 192", name, 100*small, 100*large)
		}
	}
}

func TestIcons_RecolourWhole(t *testing.T) {
	for _, name := range IconNames() {
		b := IconIn(name, "#6a3a7c")
		if bytes.Contains(b, []byte(`"#000"`)) || !bytes.Contains(b, []byte(`"#6a3a7c"`)) {
			t.Errorf("%s: not every mark took the colour", name)
		}
	}
	if IconIn("no-such-icon", "#fff") != nil {
		t.Error("an unknown name must give nil")
	}
}

// The window's SVG reader knows no CSS, loses arcs after the first in a command
// and ignores clip paths, so icons keep to what it draws right.
func TestIcons_UseOnlyWhatTheWindowDraws(t *testing.T) {
	plainPath := regexp.MustCompile(`^[MLCZ0-9 .\-]*$`)
	for _, name := range IconNames() {
		walk(t, name, mustRead("icons/"+name+".svg"), func(e xml.StartElement) {
			switch e.Name.Local {
			case "svg", "path", "circle":
			default:
				t.Errorf("%s: element %s", name, e.Name.Local)
			}
			for _, a := range e.Attr {
				if a.Name.Local == "d" && !plainPath.MatchString(a.Value) {
					t.Errorf("%s: path %q uses more than M, L, C and Z", name, a.Value)
				}
				if a.Name.Local == "style" || a.Name.Local == "class" || a.Name.Local == "clip-path" {
					t.Errorf("%s: attribute %s", name, a.Name.Local)
				}
				if a.Name.Local == "stroke-width" && a.Value != "1.75" {
					t.Errorf("%s: stroke of %s", name, a.Value)
				}
			}
		})
	}
}

func walk(t *testing.T, name string, svg []byte, visit func(xml.StartElement)) {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader(svg))
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			return
		}
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if e, ok := tok.(xml.StartElement); ok {
			visit(e)
		}
	}
}

func TestDemos_AreWellFormedAndTellOneThing(t *testing.T) {
	want := []string{"spread", "pair", "nested", "bracket", "rich"}
	got := Demos()
	if len(got) != len(want) {
		t.Fatalf("%d demos, want %d", len(got), len(want))
	}
	for i, d := range got {
		if d.ID != want[i] {
			t.Errorf("demo %d is %q, want %q", i, d.ID, want[i])
		}
		if d.Name == "" || !strings.HasSuffix(d.Line, ".") || strings.Contains(d.Line, "\n") {
			t.Errorf("%s: name %q, line %q", d.ID, d.Name, d.Line)
		}
		fills := map[string]bool{}
		drawn, root := 0, false
		walk(t, d.ID, d.SVG, func(e xml.StartElement) {
			for _, a := range e.Attr {
				switch {
				case e.Name.Local == "svg" && a.Name.Local == "viewBox":
					root = true
				case a.Name.Local == "fill" && a.Value != "none", a.Name.Local == "stroke" && a.Value != "none":
					fills[a.Value] = true
				}
			}
			if e.Name.Local == "path" || e.Name.Local == "circle" {
				drawn++
			}
		})
		if !root {
			t.Errorf("%s: the root has no viewBox", d.ID)
		}
		least := map[string]int{"spread": 5, "pair": 3, "nested": 6, "bracket": 4, "rich": 15}[d.ID]
		if len(fills) < least || drawn < least {
			t.Errorf("%s: %d colours, %d shapes, want at least %d", d.ID, len(fills), drawn, least)
		}
	}
}

func TestAppIcon_IsA512Picture(t *testing.T) {
	c, err := png.DecodeConfig(bytes.NewReader(AppIcon()))
	if err != nil || c.Width != 512 || c.Height != 512 {
		t.Errorf("%v %d × %d", err, c.Width, c.Height)
	}
}

// Every name that the program asks for as a literal is embedded.
func TestIcons_EveryNameUsedIsEmbedded(t *testing.T) {
	fset := token.NewFileSet()
	err := filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && path != ".." && (strings.HasPrefix(d.Name(), ".") || d.Name() == "testdata" || d.Name() == "node_modules") {
			return filepath.SkipDir
		}
		if !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return nil
		}
		f, err := parser.ParseFile(fset, path, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		ast.Inspect(f, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok || len(call.Args) == 0 {
				return true
			}
			sel, ok := call.Fun.(*ast.SelectorExpr)
			if !ok || sel.Sel.Name != "Icon" && sel.Sel.Name != "IconIn" {
				return true
			}
			if pkg, ok := sel.X.(*ast.Ident); !ok || pkg.Name != "assets" {
				return true
			}
			if lit, ok := call.Args[0].(*ast.BasicLit); ok && lit.Kind == token.STRING {
				if name, err := strconv.Unquote(lit.Value); err == nil && Icon(name) == nil {
					t.Errorf("%s asks for icon %q, which is not embedded", fset.Position(call.Pos()), name)
				}
			}
			return true
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}
