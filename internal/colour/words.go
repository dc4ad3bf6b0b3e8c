package colour

import (
	"cmp"
	"slices"
	"strings"
	"sync"
)

// Word returns the plain English word for a colour: that of the nearest
// example of a small table, by CIEDE2000. It is the only place that makes a
// word of a colour, so that one colour has one name wherever it is met.
func Word(c RGB) string {
	lab, all := c.Lab(), examples()
	near := slices.MinFunc(all, func(x, y example) int { return cmp.Compare(x.lab.squared(lab), y.lab.squared(lab)) })
	best, word := near.lab.DeltaE(lab), ""
	for _, x := range all {
		if x.lab.atLeast(lab) > best {
			continue
		}
		if d := x.lab.DeltaE(lab); d < best || d == best && word == "" {
			best, word = d, x.word
		}
	}
	return word
}

// Words lists every word that Word can return, once each.
func Words() []string {
	var all []string
	for _, line := range strings.Split(strings.TrimSpace(wordTable), "\n") {
		word, _, _ := strings.Cut(line, " #")
		all = append(all, word)
	}
	return all
}

// Names are what the colours of one picture are called: those that share a
// word are told apart by a number, in the order in which they are first asked
// for. The zero value is ready for use.
type Names struct {
	known map[RGB]name
	last  map[string]int
}

type name struct {
	word   string
	number int
}

// Of returns the colour's word, and its number among those with the same word:
// 1 for the first. It is the same each time.
func (n *Names) Of(c RGB) (word string, number int) {
	if k, ok := n.known[c]; ok {
		return k.word, k.number
	}
	if n.known == nil {
		n.known, n.last = map[RGB]name{}, map[string]int{}
	}
	w := Word(c)
	n.last[w]++
	n.known[c] = name{w, n.last[w]}
	return w, n.last[w]
}

type example struct {
	word string
	lab  Lab
}

// wordTable holds words that a person would use for a sheet, each with our own
// examples of what it stands for. They were chosen by eye among the colours of
// flags and emoji: a word needs more of them where the formula's distances
// part from what people say, above all among browns, dark reds and deep blues.
const wordTable = `
White #ffffff
Off-white #f6f3ea #f5f8fa #f1f2f2 #fdf2e8 #eef2ff
Light grey #cfcfcf #e4e7ea #b6bcc2
Grey #8f8f8f #99aab5
Dark grey #4d4d4d #31373d #474a55 #666666
Black #000000 #1c1c1c #20262c #292f33
Red #e3211c #ff0000 #dd2e44 #cc0000 #c8102e
Light red #ea596e #ee5a55
Orange-red #ff4d0d #e8401c #dd551f
Dark red #961414 #be1931 #a0041e #b00000 #6b0000
Wine #661530 #8d1b3d
Pink #f48fb1
Light pink #fbcbd9
Hot pink #eb3c96 #ff69b4
Dark pink #d63a74 #bf345d #dd637f
Salmon #f98b78 #e0aa94
Coral #ff6f59 #ff7f50
Terracotta #c1694f #c36446 #bc715f
Rust #a8431c #963b22 #b55005
Orange #f5831f #ffa500 #fa743e #ff6b00
Light orange #ffb869
Dark orange #cf5a06
Peach #ffd3ae #f7dece #eec2ad
Yellow #ffd91f #ffff00 #ffcc4d #ffc400
Light yellow #fff3a0 #ffd983
Gold #d3a11b #c8b100
Cream #fff6dc #fee9bd
Beige #dcc8a2 #f3d2a2
Tan #d4ab88 #c29b6c #d99e82
Light brown #af7e57 #a97c50
Ochre #c68a35 #b27912
Brown #8a5a2c #7c533e #7b3c1d
Reddish brown #7c3225 #8a4b38
Dark brown #4d2f17 #662113 #4b2a26 #331312
Light green #a8df91 #7fd06f
Green #2f9e3b #008000 #77b255 #00805e #3e8e28
Bright green #35dd35 #00ff00 #00cc00
Lime #a9d722 #d6ec09
Olive #7d7d14 #9ca168
Dark green #13532d #006400 #316116 #2b4a17
Mint #b5ebd0
Teal #108a8c
Teal blue #1f6f8b
Dark teal #0c4e54
Turquoise #36c9c8 #00ffff #2cb4cd
Sky blue #68bfee #55acee #00b9e4
Light blue #b7daf5 #88c9f9 #d4ecec #a8bccc
Blue #2060d4 #0000ff #3b88c3 #1b81b6 #226699 #0039a6 #0000bb
Dark blue #162d6c #00247d #064374 #1d3f5e #000080
Navy #0b1641 #03223d
Blue-grey #62758c #66757f
Dark blue-grey #2a3c4e
Lavender #c5b7ec #aa8dd8
Violet #955ddf #9268ca
Purple #7b3fa6 #800080 #7450a8
Dark purple #43205e #2d2a4a
Magenta #d120ae #ff00ff
Plum #8d2b6a
`

var examples = sync.OnceValue(func() []example {
	var all []example
	for _, line := range strings.Split(strings.TrimSpace(wordTable), "\n") {
		fields := strings.Split(line, " #")
		for _, hex := range fields[1:] {
			c, err := Parse(hex)
			if err != nil {
				panic(err) // the table above is wrong
			}
			all = append(all, example{fields[0], c.Lab()})
		}
	}
	return all
})
