package svgimport

import (
	"strings"

	"github.com/tdewolff/parse/v2"
	"github.com/tdewolff/parse/v2/css"
)

// declaration is one property of a rule, a style attribute or a presentation
// attribute.
type declaration struct {
	name, value string
	important   bool
	// property is its row of the table, nil for a name that is not there.
	property *property
}

// newDeclaration looks the property up. Attributes of old that no style sheet
// may hold are unknown there.
func newDeclaration(name, value string) declaration {
	d := declaration{name: strings.TrimSpace(name), value: strings.TrimSpace(value)}
	if !strings.HasPrefix(d.name, "--") {
		d.name = strings.ToLower(d.name)
	}
	if p := properties[d.name]; p != nil && p.where&inSheets != 0 {
		d.property = p
	}
	return d
}

// rule is one selector with its declarations; a rule with a selector list is
// several of these.
type rule struct {
	selector selector
	decls    []declaration
	order    int
}

// styleSheet holds the rules of all style elements, found by what their last
// compound asks for.
type styleSheet struct {
	byID, byClass, byType map[string][]*rule
	rest                  []*rule
	count                 int
	// external are the targets of @import rules, which are never followed;
	// odd are selectors that are not understood.
	external, odd []string
	// steps counts the work of matching; past maxSteps nothing matches and the
	// import is given up.
	steps int
}

// maxSteps bounds the work of matching selectors in one import: a few seconds.
// Real files stay below a million.
const maxSteps = 50_000_000

// maxSheet bounds the text of all style elements together, in bytes. Real ones
// have a few thousand.
const maxSheet = 4 << 20

// maxRules bounds a sheet: matching is linear in the rules that share a key.
const maxRules = 5000

type cssToken struct {
	kind css.TokenType
	text string
}

// cssTokens splits CSS into tokens without comments.
func cssTokens(s string) []cssToken {
	lex := css.NewLexer(parse.NewInputString(s))
	var out []cssToken
	for {
		kind, text := lex.Next()
		switch kind {
		case css.ErrorToken:
			return out // at the end: reading from memory does not fail
		case css.CommentToken, css.CDOToken, css.CDCToken:
			continue
		}
		out = append(out, cssToken{kind, string(text)})
	}
}

// addSheet reads a style element's text into the sheet.
func (s *styleSheet) addSheet(text string) {
	s.rules(cssTokens(text))
}

func (s *styleSheet) rules(t []cssToken) {
	for i := 0; i < len(t); {
		switch t[i].kind {
		case css.WhitespaceToken, css.SemicolonToken, css.RightBraceToken:
			i++
		case css.AtKeywordToken:
			i = s.atRule(t, i)
		default:
			open := find(t, i, css.LeftBraceToken)
			if open < 0 {
				return
			}
			close := matching(t, open)
			s.add(t[i:open], declarations(t[open+1:close]))
			i = close + 1
		}
	}
}

func find(t []cssToken, from int, kind css.TokenType) int {
	for i := from; i < len(t); i++ {
		if t[i].kind == kind {
			return i
		}
	}
	return -1
}

// matching returns the index of the brace that closes the one at open, or the
// end.
func matching(t []cssToken, open int) int {
	depth := 0
	for i := open; i < len(t); i++ {
		switch t[i].kind {
		case css.LeftBraceToken:
			depth++
		case css.RightBraceToken:
			if depth--; depth == 0 {
				return i
			}
		}
	}
	return len(t)
}

func join(t []cssToken) string {
	var b strings.Builder
	for _, x := range t {
		b.WriteString(x.text)
	}
	return b.String()
}

// declarations reads the inside of a block or a style attribute. A nested
// block, which plain SVG never has, is skipped with its declaration.
func declarations(t []cssToken) []declaration {
	var out []declaration
	for i := 0; i < len(t); {
		end, depth := i, 0
		for end < len(t) && (depth > 0 || t[end].kind != css.SemicolonToken) {
			switch t[end].kind {
			case css.LeftBraceToken:
				depth++
			case css.RightBraceToken:
				depth--
			}
			end++
		}
		if d, ok := oneDeclaration(t[i:end]); ok {
			out = append(out, d)
		}
		i = end + 1
	}
	return out
}

func oneDeclaration(t []cssToken) (declaration, bool) {
	colon := find(t, 0, css.ColonToken)
	if colon < 0 {
		return declaration{}, false
	}
	d := newDeclaration(join(t[:colon]), join(t[colon+1:]))
	if bang := strings.LastIndexByte(d.value, '!'); bang >= 0 &&
		strings.EqualFold(strings.TrimSpace(d.value[bang+1:]), "important") {
		d.important = true
		d.value = strings.TrimSpace(d.value[:bang])
	}
	return d, d.name != "" && d.value != ""
}

// parseStyle reads a style attribute.
func parseStyle(s string) []declaration {
	if !strings.ContainsAny(s, `"'(\/{`) {
		return plainStyle(s)
	}
	return declarations(cssTokens(s))
}

// plainStyle is parseStyle for text without strings, functions and comments:
// nearly all of them, several times as fast.
func plainStyle(s string) []declaration {
	var out []declaration
	for _, part := range strings.Split(s, ";") {
		name, value, ok := strings.Cut(part, ":")
		if !ok {
			continue
		}
		d := newDeclaration(name, value)
		if v, bang, has := strings.Cut(d.value, "!"); has {
			d.value = strings.TrimSpace(v)
			d.important = strings.EqualFold(strings.TrimSpace(bang), "important")
		}
		if d.name != "" && d.value != "" {
			out = append(out, d)
		}
	}
	return out
}
