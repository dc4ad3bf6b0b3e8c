package command

import (
	"slices"
	"strings"
)

// Find returns the commands whose words, or those of the menus that they are in, hold
// all words of the text, in any case and order; "layout" is found in "Lay out". What can be run now comes first; of
// that what begins with the text, then what holds it, then what only its menus do.
// Without text they are all there.
func (t *Table) Find(text string) []*Command {
	parts := strings.Fields(strings.ToLower(text))
	var out []*Command
	rank := map[*Command]int{}
	for _, c := range t.list {
		if c.Fades && !c.Enabled() {
			continue
		}
		label := strings.ToLower(t.Label(c.ID))
		lacks := func(in string) bool {
			return slices.ContainsFunc(parts, func(p string) bool { return !holds(in, p) })
		}
		switch {
		case lacks(label + " " + strings.ToLower(t.menus[c.ID])):
			continue
		case lacks(label):
			rank[c] = 2
		case len(parts) > 0 && !strings.HasPrefix(label, parts[0]):
			rank[c] = 1
		}
		if !c.Enabled() {
			rank[c] += 3
		}
		out = append(out, c)
	}
	slices.SortStableFunc(out, func(a, b *Command) int { return rank[a] - rank[b] })
	return out
}

// fewJoined is how many letters a word has at least that is looked for across the spaces of a label: shorter ones are
// found there by chance.
const fewJoined = 5

var unspaced = strings.NewReplacer(" ", "", "-", "")

// holds reports whether a label has a word in it, which may be written apart there.
func holds(label, word string) bool {
	return strings.Contains(label, word) || len(word) >= fewJoined && strings.Contains(unspaced.Replace(label), unspaced.Replace(word))
}
