package colour

import (
	"strings"
	"sync"
)

// Word returns the plain English word for a colour: the nearest of a
// small table by CIEDE2000.
func Word(c RGB) string {
	lab := c.Lab()
	best, word := 0.0, ""
	for _, w := range wordTable() {
		if d := w.lab.DeltaE(lab); word == "" || d < best {
			best, word = d, w.word
		}
	}
	return word
}

type tableWord struct {
	word string
	lab  Lab
}

// wordTable are words that a person would use for a sheet, with our own idea
// of what each stands for.
var wordTable = sync.OnceValue(func() []tableWord {
	const table = `
White #ffffff
Off-white #f6f3ea
Light grey #cfcfcf
Grey #8f8f8f
Dark grey #4d4d4d
Black #000000
Black #1c1c1c
Red #e3211c
Red #ff0000
Dark red #961414
Wine #661530
Pink #f48fb1
Light pink #fbcbd9
Dark pink #d63a74
Salmon #f98b78
Coral #ff6f59
Rust #a8431c
Orange #f5831f
Orange #ffa500
Light orange #ffb869
Dark orange #cf5a06
Peach #ffd3ae
Yellow #ffd91f
Yellow #ffff00
Light yellow #fff3a0
Gold #d3a11b
Cream #fff6dc
Beige #dcc8a2
Tan #c29b6c
Ochre #c68a35
Brown #8a5a2c
Dark brown #4d2f17
Light green #a8df91
Green #2f9e3b
Green #008000
Bright green #35dd35
Bright green #00ff00
Lime #a9d722
Olive #7d7d14
Dark green #13532d
Mint #b5ebd0
Teal #108a8c
Teal blue #1f6f8b
Dark teal #0c4e54
Turquoise #36c9c8
Turquoise #00ffff
Sky blue #68bfee
Light blue #b7daf5
Blue #2060d4
Bright blue #0000ff
Dark blue #162d6c
Navy #0b1641
Grey blue #62758c
Dark grey blue #2a3c4e
Lavender #c5b7ec
Violet #955ddf
Purple #7b3fa6
Purple #800080
Dark purple #43205e
Magenta #d120ae
Magenta #ff00ff
Plum #8d2b6a
`
	var words []tableWord
	for _, line := range strings.Split(strings.TrimSpace(table), "\n") {
		i := strings.LastIndexByte(line, ' ')
		c, err := Parse(line[i+1:])
		if err != nil {
			panic(err) // the table above is wrong
		}
		words = append(words, tableWord{line[:i], c.Lab()})
	}
	return words
})
