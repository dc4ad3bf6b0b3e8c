package words

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"testing/fstest"

	"golang.org/x/text/language"

	"abut/internal/job"
	"abut/internal/message"
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
		if strings.TrimSpace(s) != s || strings.Contains(strings.ReplaceAll(s, "\n  ", "\n"), "  ") { // examples are indented
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
	for n, want := range map[int]string{1: "1 piece", 2: "2 pieces", 12000: "12,000 pieces"} {
		if got := w.Message(Pairs("pieces", "count", Count(n))); got != want {
			t.Errorf("%d: %q", n, got)
		}
	}
	text, remedy := w.Warning(job.Warning{Message: message.Message{ID: "a", Args: map[string]string{"x": "1"}}})
	if text != "A" || remedy != "R 1" {
		t.Errorf("%q, %q", text, remedy)
	}
}

// Files call layers "beak"; on screen they begin like any name.
func TestMessage_LayersHaveACapital(t *testing.T) {
	m := message.Message{ID: "edit-layer-locked", Args: map[string]string{"layer": "östlicher Turm"}}
	if got := English().Message(m); got != "Östlicher Turm is locked." || m.Args["layer"] != "östlicher Turm" {
		t.Errorf("%q, %v", got, m.Args)
	}
}

func TestLoad_RefusesAnIDThatIsThereTwice(t *testing.T) {
	m := &fstest.MapFile{Data: []byte(`{"a": "A"}`)}
	if _, err := load(fstest.MapFS{"messages/x.en.json": m, "messages/y.en.json": m}, language.English); err == nil {
		t.Error("no error")
	}
}

// The button of a mend, and its line in the list of what was mended.
func TestMends_EveryKindHasWords(t *testing.T) {
	kinds := []string{"fine"}
	for k := job.Keep; k.Known(); k++ {
		kinds = append(kinds, k.String())
	}
	for _, of := range loaded {
		w := of()
		for _, k := range kinds {
			for _, id := range []string{"ui-mend-" + k, "ui-mended-" + k} {
				if _, ok := w.known[id]; !ok {
					t.Errorf("%s: no %s", w.Tag(), id)
				}
			}
		}
	}
}

// TestCode_EveryIDHasASentence reads the program's own source: the ids in
// job.Message, job.Warning and Error literals, and those given first to Say, Of or
// Pairs, or to a function whose name begins with warn, fail or refuse, must have sentences; those
// of warnings must have a remedy too, those of errors have one or name it
// themselves. An id may be a literal or a
// constant of its package.
func TestCode_EveryIDHasASentence(t *testing.T) {
	w := English()
	fset := token.NewFileSet()
	seen := 0
	for _, files := range parseProgram(t, fset) {
		consts := map[string]string{}
		for _, f := range files {
			stringConstants(f, consts)
		}
		for _, f := range files {
			for _, u := range idsIn(f, consts) {
				seen++
				if !w.Has(u.id) {
					t.Errorf("%s: no sentence for %q", fset.Position(u.pos), u.id)
				} else if u.needsRemedy && !w.Has(u.id+RemedySuffix) {
					t.Errorf("%s: no sentence for %q", fset.Position(u.pos), u.id+RemedySuffix)
				}
			}
		}
	}
	if seen == 0 {
		t.Error("no id found: this test looks in the wrong place")
	}
}

// parseProgram returns the program's source files, tests left out, by folder.
func parseProgram(t *testing.T, fset *token.FileSet) map[string][]*ast.File {
	t.Helper()
	root := filepath.Join("..", "..")
	out := map[string][]*ast.File{}
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
		f, err := parser.ParseFile(fset, p, nil, parser.SkipObjectResolution)
		if err != nil {
			return nil //nolint:nilerr // the compiler says so better
		}
		out[filepath.Dir(p)] = append(out[filepath.Dir(p)], f)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// stringConstants adds the string constants that a file declares.
func stringConstants(f *ast.File, out map[string]string) {
	ast.Inspect(f, func(n ast.Node) bool {
		v, ok := n.(*ast.ValueSpec)
		if !ok || len(v.Names) != len(v.Values) {
			return true
		}
		for i, e := range v.Values {
			if s, ok := stringLit(e); ok {
				out[v.Names[i].Name] = s
			}
		}
		return true
	})
}

func stringLit(e ast.Expr) (string, bool) {
	lit, ok := e.(*ast.BasicLit)
	if !ok || lit.Kind != token.STRING {
		return "", false
	}
	s, err := strconv.Unquote(lit.Value)
	return s, err == nil
}

type idUse struct {
	id          string
	pos         token.Pos
	needsRemedy bool
}

// idsIn finds the message ids of a file.
func idsIn(file *ast.File, consts map[string]string) []idUse {
	var uses []idUse
	add := func(e ast.Expr, needsRemedy bool) {
		id, ok := stringLit(e)
		if name := typeName(e); !ok && name != "" {
			id, ok = consts[name]
		}
		if ok && kebab.MatchString(strings.TrimSuffix(id, RemedySuffix)) {
			uses = append(uses, idUse{id, e.Pos(), needsRemedy})
		}
	}
	// Messages within a warning are its own.
	remedied := map[*ast.CompositeLit]bool{}
	ast.Inspect(file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.CompositeLit:
			switch name := typeName(n.Type); {
			case name == "Warning":
				ast.Inspect(n, func(m ast.Node) bool {
					if c, ok := m.(*ast.CompositeLit); ok && typeName(c.Type) == "Message" {
						remedied[c] = true
					}
					return true
				})
			case name == "Message":
				for i, e := range n.Elts {
					if kv, ok := e.(*ast.KeyValueExpr); ok {
						if typeName(kv.Key) == "ID" {
							add(kv.Value, remedied[n])
						}
					} else if i == 0 {
						add(e, remedied[n])
					}
				}
			}
		case *ast.CallExpr:
			name := strings.ToLower(typeName(n.Fun))
			warns := strings.HasPrefix(name, "warn")
			errs := strings.HasPrefix(name, "fail") || strings.HasPrefix(name, "refuse")
			if len(n.Args) > 0 && (name == "say" || name == "of" || name == "pairs" || warns || errs) {
				add(n.Args[0], warns)
			}
		}
		return true
	})
	return uses
}

// typeName returns the last name of x or pkg.x, empty for anything else.
func typeName(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.Ident:
		return e.Name
	case *ast.SelectorExpr:
		return e.Sel.Name
	}
	return ""
}

// What the system says is said in the language that is spoken, wherever it stands in a sentence.
func TestMessage_SaysWhatTheSystemSaysInTheLanguage(t *testing.T) {
	for _, err := range []syscall.Errno{syscall.EACCES, syscall.EPERM, syscall.ENOSPC, syscall.EROFS, syscall.ENOENT, syscall.ENOTDIR, syscall.EISDIR, syscall.ENAMETOOLONG, syscall.EIO} {
		if runtime.GOOS == "windows" {
			t.Skip("it says so itself")
		}
		m := message.Of("target-unwritable", "path", "/there", "detail", err.Error())
		if got := For("de").Message(m); strings.Contains(got, err.Error()) || strings.Contains(got, "[") {
			t.Errorf("%v: %s", err, got)
		}
	}
	if got := For("de").Message(message.Of("target-unwritable", "path", "/there", "detail", "kaputt")); !strings.Contains(got, "kaputt") {
		t.Error("what is not known is lost: ", got)
	}
}
