package svgimport

import (
	"slices"
	"strconv"
	"strings"

	"github.com/tdewolff/parse/v2/css"
)

// selector is compounds joined by combinators, first to last.
type selector struct {
	parts []compound
	// spec is the specificity: ids, classes and attributes, types, a byte each.
	spec uint32
}

// compound is what one element must be. join says how it hangs on the compound
// before it: ' ' descendant, '>' child, '+' next sibling, '~' later sibling.
type compound struct {
	join    byte
	typ, id string
	classes []string
	attrs   []attrTest
	first   bool
	last    bool
	root    bool
	// never: it is about a pointer or a keyboard, which a still picture has not.
	never bool
	// not are what the element must not be, none of them.
	not []compound
	// nth are what the element's place among its siblings must be.
	nth []places
}

// places are those of step·n + from for n from 0 on, counted from 1 (Selectors Level 3, 6.6.5).
type places struct{ step, from int }

func (p places) holds(place int) bool {
	if p.step == 0 {
		return place == p.from
	}
	return (place-p.from)%p.step == 0 && (place-p.from)/p.step >= 0
}

type attrTest struct {
	name, value string
	op          css.TokenType // 0: just there; DelimToken: =
}

// add files a rule under each selector of its list.
func (s *styleSheet) add(prelude []cssToken, decls []declaration) {
	for _, one := range splitList(prelude) {
		sel, ok := parseSelector(one)
		if !ok {
			s.odd = append(s.odd, strings.TrimSpace(join(one)))
			continue
		}
		if s.count >= maxRules {
			s.odd = append(s.odd, "…")
			return
		}
		r := &rule{selector: sel, decls: decls, order: s.count}
		s.count++
		switch last := sel.parts[len(sel.parts)-1]; {
		case last.id != "":
			s.byID = file(s.byID, last.id, r)
		case len(last.classes) > 0:
			s.byClass = file(s.byClass, last.classes[0], r)
		case last.typ != "":
			s.byType = file(s.byType, last.typ, r)
		default:
			s.rest = append(s.rest, r)
		}
	}
}

func file(m map[string][]*rule, key string, r *rule) map[string][]*rule {
	if m == nil {
		m = map[string][]*rule{}
	}
	m[key] = append(m[key], r)
	return m
}

func splitList(t []cssToken) [][]cssToken {
	var out [][]cssToken
	from := 0
	deep := 0
	for i := range t {
		switch t[i].kind {
		case css.FunctionToken, css.LeftParenthesisToken:
			deep++
		case css.RightParenthesisToken:
			deep--
		}
		if t[i].kind == css.CommaToken && deep <= 0 {
			out = append(out, t[from:i])
			from = i + 1
		}
	}
	return append(out, t[from:])
}

// parseSelector reads one complex selector. False for anything beyond type,
// class, id, attribute, :first-child, :last-child, :nth-child(), :root, :not(), and what
// is about a pointer.
func parseSelector(t []cssToken) (selector, bool) {
	var sel selector
	cur, open := compound{join: ' '}, false
	push := func() {
		if open {
			sel.parts = append(sel.parts, cur)
		}
	}
	next := byte(' ')
	for i := 0; i < len(t); i++ {
		k := t[i]
		if k.kind == css.WhitespaceToken {
			if open {
				push()
				open = false
			}
			continue
		}
		if k.kind == css.DelimToken && (k.text == ">" || k.text == "+" || k.text == "~") {
			push()
			if len(sel.parts) == 0 || next != ' ' {
				return sel, false
			}
			open = false
			next = k.text[0]
			continue
		}
		if !open {
			cur, open = compound{join: next}, true
			next = ' '
		}
		n, ok := cur.read(t[i:], &sel.spec)
		if !ok {
			return sel, false
		}
		i += n - 1
	}
	push()
	return sel, len(sel.parts) > 0 && next == ' '
}

// read takes one simple selector off t into the compound and returns how many
// tokens it was.
func (c *compound) read(t []cssToken, spec *uint32) (int, bool) {
	switch k := t[0]; {
	case k.kind == css.IdentToken:
		c.typ = k.text
		*spec++
		return 1, true
	case k.kind == css.DelimToken && k.text == "*":
		return 1, true
	case k.kind == css.HashToken:
		c.id = k.text[1:]
		*spec += 1 << 16
		return 1, true
	case k.kind == css.DelimToken && k.text == "." && len(t) > 1 && t[1].kind == css.IdentToken:
		c.classes = append(c.classes, t[1].text)
		*spec += 1 << 8
		return 2, true
	case k.kind == css.ColonToken && len(t) > 1:
		return c.readPseudo(t, spec)
	case k.kind == css.LeftBracketToken:
		end := find(t, 0, css.RightBracketToken)
		if end < 0 {
			return 0, false
		}
		a, ok := parseAttrTest(t[1:end])
		c.attrs = append(c.attrs, a)
		*spec += 1 << 8
		return end + 1, ok
	}
	return 0, false
}

// readPseudo takes a pseudo-class off t as read does. One :not() in another is not understood.
func (c *compound) readPseudo(t []cssToken, spec *uint32) (int, bool) {
	if t[1].kind == css.IdentToken {
		*spec += 1 << 8
		return 2, c.pseudo(strings.ToLower(t[1].text))
	}
	end := find(t, 2, css.RightParenthesisToken)
	if end < 0 || t[1].kind != css.FunctionToken {
		return 0, false
	}
	switch strings.ToLower(t[1].text) {
	case "nth-child(":
		p, ok := parsePlaces(join(t[2:end]))
		c.nth = append(c.nth, p)
		*spec += 1 << 8
		return end + 1, ok
	case "not(":
		most := uint32(0)
		for _, one := range splitList(t[2:end]) {
			other, weight, ok := parseCompound(one)
			if !ok {
				return 0, false
			}
			c.not = append(c.not, other)
			most = max(most, weight)
		}
		*spec += most
		return end + 1, true
	}
	return 0, false
}

// parseCompound reads one compound alone, and its specificity.
func parseCompound(t []cssToken) (c compound, spec uint32, ok bool) {
	for len(t) > 0 && t[0].kind == css.WhitespaceToken {
		t = t[1:]
	}
	for len(t) > 0 && t[len(t)-1].kind == css.WhitespaceToken {
		t = t[:len(t)-1]
	}
	if len(t) == 0 {
		return c, 0, false
	}
	for len(t) > 0 {
		n, ok := c.read(t, &spec)
		if !ok || len(c.not) > 0 {
			return c, 0, false
		}
		t = t[n:]
	}
	return c, spec, true
}

// parsePlaces reads an argument of :nth-child().
func parsePlaces(v string) (places, bool) {
	v = strings.ToLower(strings.Join(strings.Fields(v), ""))
	switch v {
	case "odd":
		return places{2, 1}, true
	case "even":
		return places{2, 0}, true
	}
	step, from, has := strings.Cut(v, "n")
	if !has {
		step, from = "0", v
	}
	switch step {
	case "", "+", "-":
		step += "1"
	}
	if has && from == "" {
		from = "0"
	}
	a, err := strconv.Atoi(step)
	b, err2 := strconv.Atoi(from)
	return places{a, b}, err == nil && err2 == nil
}

// pseudo takes a pseudo-class, false when it is none that can be true of a picture.
func (c *compound) pseudo(name string) bool {
	switch name {
	case "first-child":
		c.first = true
	case "last-child":
		c.last = true
	case "root":
		c.root = true
	case "hover", "active", "focus", "focus-visible", "focus-within", "visited", "target":
		c.never = true
	default:
		return false
	}
	return true
}

func parseAttrTest(t []cssToken) (attrTest, bool) {
	var k []cssToken
	for _, x := range t {
		if x.kind != css.WhitespaceToken {
			k = append(k, x)
		}
	}
	if len(k) == 0 || k[0].kind != css.IdentToken {
		return attrTest{}, false
	}
	a := attrTest{name: k[0].text}
	if len(k) == 1 {
		return a, true
	}
	if len(k) < 3 {
		return a, false
	}
	a.op = k[1].kind
	a.value = k[2].text
	if k[2].kind == css.StringToken && len(a.value) >= 2 {
		a.value = a.value[1 : len(a.value)-1]
	}
	return a, true
}

func (a attrTest) matches(n *node) bool {
	v, has := n.attr(a.name)
	if !has {
		return false
	}
	switch a.op {
	case 0:
		return true
	case css.DelimToken:
		return v == a.value
	case css.IncludeMatchToken:
		for _, f := range strings.Fields(v) {
			if f == a.value {
				return true
			}
		}
		return false
	case css.DashMatchToken:
		return v == a.value || strings.HasPrefix(v, a.value+"-")
	case css.PrefixMatchToken:
		return a.value != "" && strings.HasPrefix(v, a.value)
	case css.SuffixMatchToken:
		return a.value != "" && strings.HasSuffix(v, a.value)
	case css.SubstringMatchToken:
		return a.value != "" && strings.Contains(v, a.value)
	}
	return false
}

func (c *compound) matches(n *node) bool {
	if c.typ != "" && c.typ != n.name || c.id != "" && c.id != n.id {
		return false
	}
	for _, k := range c.classes {
		if !n.hasClass(k) {
			return false
		}
	}
	for _, a := range c.attrs {
		if !a.matches(n) {
			return false
		}
	}
	return c.allows(n) && (!c.last || n.parent == nil || n.nth == len(n.parent.children)-1)
}

// allows reports whether an element is where :root, :first-child and :nth-child() say, and
// nothing that :not() excludes.
func (c *compound) allows(n *node) bool {
	if c.never || c.root && n.parent != nil || c.first && n.nth != 0 {
		return false
	}
	return !slices.ContainsFunc(c.not, func(o compound) bool { return o.matches(n) }) &&
		!slices.ContainsFunc(c.nth, func(p places) bool { return !p.holds(n.nth + 1) })
}

// matches reports whether the selector's last compound is n and the rest
// stands around it.
// steps counts the work: chains of descendants are tried in every way, which
// grows fast with their length.
func (s selector) matches(n *node, steps *int) bool { return matchFrom(s.parts, n, steps) }

func matchFrom(parts []compound, n *node, steps *int) bool {
	last := len(parts) - 1
	if *steps++; *steps > maxSteps {
		return false
	}
	if !parts[last].matches(n) || last > 0 && n.parent == nil {
		return false
	}
	if last == 0 {
		return true
	}
	switch rest := parts[:last]; parts[last].join {
	case '>':
		return matchFrom(rest, n.parent, steps)
	case '+':
		return n.nth > 0 && matchFrom(rest, n.parent.children[n.nth-1], steps)
	case '~':
		for i := n.nth - 1; i >= 0; i-- {
			if matchFrom(rest, n.parent.children[i], steps) {
				return true
			}
		}
	default:
		for p := n.parent; p != nil; p = p.parent {
			if matchFrom(rest, p, steps) {
				return true
			}
		}
	}
	return false
}
