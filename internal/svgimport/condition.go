package svgimport

import "strings"

// verdict is whether a condition of a style sheet holds: what is not understood
// is neither, and with 'not', 'and' and 'or' stays so unless the rest decides
// (Media Queries 4, 3.1).
type verdict int8

const (
	fails  verdict = -1
	unsure verdict = 0
	holds  verdict = 1
)

func verdictOf(ok bool) verdict {
	if ok {
		return holds
	}
	return fails
}

// maxNested bounds the brackets of a condition.
const maxNested = 32

// condition reads a condition of @media and @supports: terms with 'not', 'and' or
// 'or', and brackets around them. term says whether one holds; it is given without
// its brackets, or with its name where it is a function.
func condition(s string, term func(string) verdict) verdict {
	return nestedCondition(s, term, 0)
}

func nestedCondition(s string, term func(string) verdict, depth int) verdict {
	words := bracketedWords(s)
	one := func(w string) verdict {
		if depth > maxNested {
			return unsure
		}
		inner, open := strings.CutPrefix(w, "(")
		if !open || !strings.HasSuffix(inner, ")") {
			return term(w)
		}
		inner = strings.TrimSpace(strings.TrimSuffix(inner, ")"))
		if strings.HasPrefix(inner, "(") || strings.HasPrefix(inner, "not ") {
			return nestedCondition(inner, term, depth+1)
		}
		return term(inner)
	}
	switch {
	case len(words) == 2 && words[0] == "not":
		return -one(words[1])
	case len(words)%2 == 0:
		return unsure
	}
	v := one(words[0])
	for i := 1; i < len(words); i += 2 {
		switch w := one(words[i+1]); {
		case words[i] != words[1]:
			return unsure
		case words[i] == "and":
			v = min(v, w)
		case words[i] == "or":
			v = max(v, w)
		default:
			return unsure
		}
	}
	return v
}

// bracketedWords splits at the white space that is in no brackets.
func bracketedWords(s string) (out []string) {
	depth, from := 0, -1
	for i := range len(s) {
		switch c := s[i]; {
		case isSpace(c) && depth == 0:
			if from >= 0 {
				out = append(out, s[from:i])
				from = -1
			}
			continue
		case c == '(':
			depth++
		case c == ')':
			depth--
		}
		if from < 0 {
			from = i
		}
	}
	if from >= 0 {
		out = append(out, s[from:])
	}
	return out
}

// supported reads the condition of an @supports rule (CSS Conditional 4, 2).
func supported(rule string) verdict {
	return condition(strings.ToLower(rule), supportedTerm)
}

// supportedTerm reports whether a browser understands a declaration or a selector, as far as
// the table of properties knows: of a property that is not in it nothing is known.
func supportedTerm(s string) verdict {
	if sel, ok := strings.CutPrefix(s, "selector("); ok {
		if _, ok := parseSelector(cssTokens(strings.TrimSuffix(sel, ")"))); ok {
			return holds
		}
		return unsure
	}
	name, v, ok := strings.Cut(s, ":")
	if !ok {
		return unsure
	}
	if strings.HasPrefix(name, "--") {
		return holds
	}
	d := newDeclaration(name, v)
	switch {
	case d.property == nil || d.value == "":
		return unsure
	case leftOut[d.name]:
		return holds // by a browser, not here: each use of it is told
	}
	st := initialStyle()
	return verdictOf(st.set(d, initialStyle()))
}

// leftOut are the names of leftOutProperties.
var leftOut = func() map[string]bool {
	m := map[string]bool{}
	for _, p := range leftOutProperties {
		m[p.name] = true
	}
	return m
}()
