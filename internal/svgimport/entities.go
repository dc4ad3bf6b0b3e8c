package svgimport

import (
	"bytes"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Entities from a DOCTYPE: older drawing programs keep their namespaces in
// them. The limits are far above what those write; what a 'billion laughs'
// file asks for is far beyond.
const (
	maxEntities   = 1000
	maxEntity     = 1 << 16 // bytes of one value
	maxExpansion  = 4 << 20 // bytes that all uses add up to
	maxEntityNest = 16
)

// readEntities returns the general entities that a DOCTYPE directive declares,
// nil when it declares none. External ones are left undeclared: nothing is
// fetched. data is the whole file, to count what the uses add up to.
func readEntities(directive string, data []byte) (map[string]string, error) {
	if !strings.HasPrefix(directive, "DOCTYPE") {
		return nil, nil
	}
	raw := map[string]string{}
	rest := directive
	for {
		i := strings.Index(rest, "<!ENTITY")
		if i < 0 {
			break
		}
		rest = rest[i+len("<!ENTITY"):]
		f := strings.TrimLeft(rest, " \t\r\n")
		end := strings.IndexAny(f, " \t\r\n")
		if end < 0 {
			break
		}
		name := f[:end]
		f = strings.TrimLeft(f[end:], " \t\r\n")
		if strings.IndexAny(f, `"'`) != 0 {
			continue // a parameter entity, or an external one
		}
		close := strings.IndexByte(f[1:], f[0])
		if close < 0 {
			break
		}
		if _, has := raw[name]; !has {
			raw[name] = f[1 : 1+close]
		}
		rest = f[close+2:]
		if len(raw) > maxEntities {
			return nil, fail(ErrEntities, 1)
		}
	}
	if len(raw) == 0 {
		return nil, nil
	}
	out := make(map[string]string, len(raw))
	total := 0
	for name := range raw {
		v, ok := expandEntity(raw, raw[name], 0)
		total += len(v)
		if !ok || total > maxExpansion {
			return nil, fail(ErrEntities, 1)
		}
		out[name] = v
	}
	return out, countUses(out, data)
}

// expandEntity replaces references in an entity's value. False: too long, too
// deep or circular.
func expandEntity(raw map[string]string, v string, depth int) (string, bool) {
	if depth > maxEntityNest || len(v) > maxEntity {
		return "", false
	}
	if !strings.Contains(v, "&") {
		return v, true
	}
	var b strings.Builder
	for {
		i := strings.IndexByte(v, '&')
		if i < 0 {
			b.WriteString(v)
			break
		}
		b.WriteString(v[:i])
		v = v[i:]
		semi := strings.IndexByte(v, ';')
		if semi < 0 {
			b.WriteString(v)
			break
		}
		if inner, has := raw[v[1:semi]]; has {
			text, ok := expandEntity(raw, inner, depth+1)
			if !ok {
				return "", false
			}
			b.WriteString(text)
		} else {
			b.WriteString(predefined(v[:semi+1]))
		}
		v = v[semi+1:]
		if b.Len() > maxEntity {
			return "", false
		}
	}
	return b.String(), b.Len() <= maxEntity
}

// predefined returns what a reference to no declared entity stands for: a
// character by its number, or one of those that XML knows. Any other stays.
func predefined(ref string) string {
	switch ref {
	case "&amp;":
		return "&"
	case "&lt;":
		return "<"
	case "&gt;":
		return ">"
	case "&quot;":
		return `"`
	case "&apos;":
		return "'"
	}
	if number, is := strings.CutPrefix(ref[:len(ref)-1], "&#"); is {
		base := 10
		if hex, is := strings.CutPrefix(number, "x"); is {
			number, base = hex, 16
		}
		if r, err := strconv.ParseInt(number, base, 32); err == nil && utf8.ValidRune(rune(r)) {
			return string(rune(r))
		}
	}
	return ref
}

// countUses refuses a file whose references to the entities add up to more
// than maxExpansion.
func countUses(entities map[string]string, data []byte) error {
	total := 0
	for {
		i := bytes.IndexByte(data, '&')
		if i < 0 {
			return nil
		}
		data = data[i+1:]
		semi := bytes.IndexByte(data[:min(len(data), 256)], ';')
		if semi < 0 {
			continue
		}
		total += len(entities[string(data[:semi])])
		if total > maxExpansion {
			return fail(ErrEntities, 1)
		}
	}
}
