package svgimport

import (
	"go/ast"
	"go/parser"
	"go/token"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// Every id has its sentence, every warning its remedy, and no sentence is
// without an id.
func TestIDs_HaveSentences(t *testing.T) {
	words := sentences(t)
	want := map[string]bool{}
	for name, id := range constants(t, "errors.go", "warnings.go", "textwarnings.go") {
		switch {
		case strings.HasPrefix(name, "Err"):
			want[id] = true
		case strings.HasPrefix(name, "Warn"):
			want[id], want[id+".remedy"] = true, true
		}
	}
	placeholder := regexp.MustCompile(`\{\{[^}]*\}\}`)
	known := regexp.MustCompile(`^\{\{(\.(layer|property|value|name|limit|detail|encoding|target|rule|count|font|used|letters)|if \.(layer|value)|else|end)\}\}$`)
	for id := range want {
		if words[id] == "" {
			t.Errorf("no sentence for %s", id)
		}
		for _, p := range placeholder.FindAllString(words[id], -1) {
			if !known.MatchString(p) {
				t.Errorf("%s has the placeholder %s", id, p)
			}
		}
	}
	for id := range words {
		if !want[id] {
			t.Errorf("sentence %s belongs to no id", id)
		}
	}
}

// constants returns the string constants of source files of this package.
func constants(t *testing.T, files ...string) map[string]string {
	out := map[string]string{}
	for _, f := range files {
		tree, err := parser.ParseFile(token.NewFileSet(), f, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(tree, func(n ast.Node) bool {
			if v, ok := n.(*ast.ValueSpec); ok && len(v.Values) == 1 {
				if lit, ok := v.Values[0].(*ast.BasicLit); ok && lit.Kind == token.STRING {
					s, _ := strconv.Unquote(lit.Value)
					out[v.Names[0].Name] = s
				}
			}
			return true
		})
	}
	return out
}
