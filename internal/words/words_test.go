package words

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"golang.org/x/text/language"

	"abut/internal/job"
)

var kebab = regexp.MustCompile(`^[a-z][a-z0-9]*(-[a-z0-9]+)*$`)

func TestEnglish_EveryMessageParsesAndSpeaks(t *testing.T) {
	w := English()
	args := map[string]string{}
	placeholder := regexp.MustCompile(`\{\{[^}]*\.([a-zA-Z]\w*)`)
	err := fs.WalkDir(messages, ".", func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		b, err := messages.ReadFile(p)
		for _, m := range placeholder.FindAllSubmatch(b, -1) {
			args[string(m[1])] = "2"
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, id := range w.IDs() {
		if base := strings.TrimSuffix(id, RemedySuffix); !kebab.MatchString(base) {
			t.Errorf("id %q is not kebab case", id)
		} else if !w.Has(base) {
			t.Errorf("%q is the remedy of nothing", id)
		}
		s := w.Say(id, args)
		if s == "" || strings.HasPrefix(s, "[") || strings.Contains(s, "<no value>") || strings.Contains(s, "{{") {
			t.Errorf("%s: %q", id, s)
		}
		if strings.TrimSpace(s) != s || strings.Contains(s, "  ") {
			t.Errorf("%s: stray space in %q", id, s)
		}
	}
}

func TestSay_UnknownIDIsShownInBrackets(t *testing.T) {
	if got := English().Say("no-such-id", nil); got != "[no-such-id]" {
		t.Error(got)
	}
}

func TestSay_ChoosesThePluralFormByCount(t *testing.T) {
	w, err := load(fstest.MapFS{"messages/x.en.json": {Data: []byte(
		`{"pieces": {"one": "{{.count}} piece", "other": "{{.count}} pieces"}, "a.remedy": "R {{.x}}", "a": "A"}`)}}, language.English)
	if err != nil {
		t.Fatal(err)
	}
	for n, want := range map[string]string{"1": "1 piece", "2": "2 pieces", "12,000": "12,000 pieces"} {
		if got := w.Say("pieces", map[string]string{"count": n}); got != want {
			t.Errorf("%s: %q", n, got)
		}
	}
	text, remedy := w.Warning(job.Warning{Message: job.Message{ID: "a", Args: map[string]string{"x": "1"}}})
	if text != "A" || remedy != "R 1" {
		t.Errorf("%q, %q", text, remedy)
	}
}

func TestLoad_RefusesAnIDThatIsThereTwice(t *testing.T) {
	m := &fstest.MapFile{Data: []byte(`{"a": "A"}`)}
	if _, err := load(fstest.MapFS{"messages/x.en.json": m, "messages/y.en.json": m}, language.English); err == nil {
		t.Error("no error")
	}
}

// TestCode_EveryIDHasASentence reads the program's own source: the ids in
// job.Message, job.Warning and Error literals, and those given to Say or to a
// function whose name begins with warn or fail, must have sentences; those of
// warnings and errors must have a remedy too.
func TestCode_EveryIDHasASentence(t *testing.T) {
	w := English()
	root := filepath.Join("..", "..")
	fset := token.NewFileSet()
	seen := 0
	err := filepath.WalkDir(root, func(p string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name := d.Name()
		if d.IsDir() {
			if p != root && (strings.HasPrefix(name, ".") || name == "testdata" || name == "tools" || name == "dist") {
				return fs.SkipDir
			}
			return nil
		}
		if !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") {
			return nil
		}
		src, err := os.ReadFile(p)
		if err != nil {
			return err
		}
		file, err := parser.ParseFile(fset, p, src, parser.SkipObjectResolution)
		if err != nil {
			return nil // the compiler says so better
		}
		for _, u := range idsIn(file) {
			seen++
			if !w.Has(u.id) {
				t.Errorf("%s: no sentence for %q", fset.Position(u.pos), u.id)
			} else if u.needsRemedy && !w.Has(u.id+RemedySuffix) {
				t.Errorf("%s: no sentence for %q", fset.Position(u.pos), u.id+RemedySuffix)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if seen == 0 {
		t.Error("no id found: this test looks in the wrong place")
	}
}

type idUse struct {
	id          string
	pos         token.Pos
	needsRemedy bool
}

// idsIn finds the literal message ids of a file.
func idsIn(file *ast.File) []idUse {
	var uses []idUse
	add := func(e ast.Expr, needsRemedy bool) {
		lit, ok := e.(*ast.BasicLit)
		if !ok || lit.Kind != token.STRING {
			return
		}
		id, err := strconv.Unquote(lit.Value)
		if err != nil || !kebab.MatchString(strings.TrimSuffix(id, RemedySuffix)) {
			return
		}
		uses = append(uses, idUse{id, lit.Pos(), needsRemedy})
	}
	// Messages within a warning or an error are theirs.
	remedied := map[*ast.CompositeLit]bool{}
	ast.Inspect(file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.CompositeLit:
			switch name := typeName(n.Type); name {
			case "Warning", "Error":
				ast.Inspect(n, func(m ast.Node) bool {
					if c, ok := m.(*ast.CompositeLit); ok && typeName(c.Type) == "Message" {
						remedied[c] = true
					}
					return true
				})
			case "Message":
				for i, e := range n.Elts {
					if kv, ok := e.(*ast.KeyValueExpr); ok {
						if k, ok := kv.Key.(*ast.Ident); ok && k.Name == "ID" {
							add(kv.Value, remedied[n])
						}
					} else if i == 0 {
						add(e, remedied[n])
					}
				}
			}
		case *ast.CallExpr:
			name := strings.ToLower(funcName(n.Fun))
			warns := strings.HasPrefix(name, "warn") || strings.HasPrefix(name, "fail")
			if name == "say" || warns {
				for _, a := range n.Args {
					if lit, ok := a.(*ast.BasicLit); ok && lit.Kind == token.STRING {
						add(lit, warns)
						break // the id comes first
					}
				}
			}
		}
		return true
	})
	return uses
}

func typeName(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.Ident:
		return e.Name
	case *ast.SelectorExpr:
		return e.Sel.Name
	}
	return ""
}

func funcName(e ast.Expr) string { return typeName(e) }
