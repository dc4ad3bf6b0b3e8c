package command

import (
	"slices"
	"strings"
)

// Find returns the commands whose words hold all words of the text, in any case
// and order; those that can be run now first, and of these those that begin with
// the text. Without text they are all there.
func (t *Table) Find(text string) []*Command {
	parts := strings.Fields(strings.ToLower(text))
	var out []*Command
	rank := map[*Command]int{}
	for _, c := range t.list {
		if c.Fades && !c.Enabled() {
			continue
		}
		label := strings.ToLower(t.Label(c.ID))
		if slices.ContainsFunc(parts, func(p string) bool { return !strings.Contains(label, p) }) {
			continue
		}
		if !c.Enabled() {
			rank[c] = 2
		} else if len(parts) > 0 && !strings.HasPrefix(label, parts[0]) {
			rank[c] = 1
		}
		out = append(out, c)
	}
	slices.SortStableFunc(out, func(a, b *Command) int { return rank[a] - rank[b] })
	return out
}
