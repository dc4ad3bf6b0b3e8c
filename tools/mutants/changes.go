package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"slices"
	"strings"
)

// A change replaces one piece of a file by another: one operator, one small
// constant, or one assignment that is skipped.
type change struct {
	file     string
	src      []byte // of the whole file: it may be edited meanwhile
	line, at int    // at: bytes
	old, new string
	class    string
	source   string // the whole line, for people
}

// What moves a mere boundary says where exactly a threshold lies, as `<` to
// `<=` does. Many such changes are seen only where two numbers are equal.
const boundary = "boundary"

// An assignment that is skipped gives what it was given to `_`.
const skipped = "assignment skipped"

// swaps has, by class, pairs of words that take each other's place; `*` takes
// that of `%`, and keeps to `/` itself.
var swaps = []struct{ class, pairs string }{
	{"arithmetic", "+ - += -= * / *= /= ++ -- & | << >> % *"},
	{"comparison", "== != < > <= >="},
	{boundary, "< <= > >="},
	{"logic", "&& ||"},
	{"branch", "continue break"},
	{"min and max", "min max Min Max"},
	{"constant", "true false 0 1"},
	{skipped, ""},
}

// changes returns all changes of a file, those of one place together. A place
// is an operator, a constant, a `min` or `max`, or an assignment.
func changes(file string) ([][]change, error) {
	src, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	set := token.NewFileSet()
	tree, err := parser.ParseFile(set, file, src, parser.SkipObjectResolution)
	if err != nil {
		return nil, err
	}
	lines := strings.Split(string(src), "\n")
	made := func(at token.Pos, old, to, class string) change {
		p := set.Position(at)
		return change{file, src, p.Line, p.Offset, old, to, class, strings.TrimSpace(lines[p.Line-1])}
	}
	var places [][]change
	swap := func(at token.Pos, word string) {
		var place []change
		for _, s := range swaps {
			pairs := strings.Fields(s.pairs)
			if i := slices.Index(pairs, word); i >= 0 {
				place = append(place, made(at, word, pairs[i^1], s.class))
			}
		}
		if place != nil {
			places = append(places, place)
		}
	}
	drop := func(at token.Pos, old, to, class string) {
		places = append(places, []change{made(at, old, to, class)})
	}
	ast.Inspect(tree, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.BinaryExpr:
			if !isText(n) {
				swap(n.OpPos, n.Op.String())
			}
		case *ast.UnaryExpr:
			if n.Op == token.NOT {
				drop(n.OpPos, "!", "", "logic")
			} else if n.Op == token.SUB {
				drop(n.OpPos, "-", "", "arithmetic")
			}
		case *ast.IncDecStmt:
			swap(n.TokPos, n.Tok.String())
		case *ast.BranchStmt:
			swap(n.TokPos, n.Tok.String())
		case *ast.AssignStmt:
			if n.Tok != token.ASSIGN {
				swap(n.TokPos, n.Tok.String())
			} else if to := string(src[set.Position(n.Pos()).Offset:set.Position(n.Lhs[0].End()).Offset]); len(n.Lhs) == 1 && to != "_" {
				drop(n.Pos(), to, "_", skipped)
			}
		case *ast.Ident:
			swap(n.Pos(), n.Name)
		case *ast.BasicLit:
			if n.Kind == token.INT {
				swap(n.Pos(), n.Value)
			}
		}
		return true
	})
	return places, nil
}

// isText tells whether something is added to a quoted text: `-` does not build there.
func isText(e ast.Expr) bool {
	switch e := e.(type) {
	case *ast.BasicLit:
		return e.Kind == token.STRING
	case *ast.BinaryExpr:
		return e.Op == token.ADD && (isText(e.X) || isText(e.Y))
	}
	return false
}
