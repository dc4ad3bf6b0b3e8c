package colour

import (
	"cmp"
	"slices"
	"testing"
)

func TestWord_IsWhatAPersonWouldSay(t *testing.T) {
	for hex, want := range map[string]string{
		"#ff0000": "Red", "#d00010": "Red", "#8b0000": "Dark red", "#0000ff": "Blue", "#87ceeb": "Sky blue", "#ffffff": "White",
		"#000000": "Black", "#111111": "Black", "#808080": "Grey", "#ffa500": "Orange", "#008000": "Green", "#00ff00": "Bright green",
		"#ffff00": "Yellow", "#800080": "Purple", "#ffc0cb": "Light pink", "#8b4513": "Brown", "#000080": "Dark blue", "#00ffff": "Turquoise",
		// CSS gives these names to them.
		"#d3d3d3": "Light grey", "#add8e6": "Light blue", "#90ee90": "Light green", "#00008b": "Dark blue", "#006400": "Dark green",
		"#008080": "Teal", "#ff7f50": "Coral", "#fa8072": "Salmon", "#d2b48c": "Tan", "#ff69b4": "Hot pink", "#ff4500": "Orange-red", "#40e0d0": "Turquoise",
		// The commonest colours of emoji and flags.
		"#dd2e44": "Red", "#be1931": "Dark red", "#662113": "Dark brown", "#c1694f": "Terracotta", "#292f33": "Black", "#66757f": "Blue-grey",
		"#ccd6dd": "Light grey", "#e1e8ed": "Light grey", "#4289c1": "Blue", "#3b88c3": "Blue", "#ffcc4d": "Yellow", "#ffac33": "Orange",
		"#fa743e": "Orange", "#ea596e": "Light red", "#af7e57": "Light brown", "#f7dece": "Peach", "#0039a6": "Blue", "#c10000": "Red",
	} {
		c, err := Parse(hex)
		if err != nil {
			t.Fatal(err)
		}
		if got := Word(c); got != want {
			t.Errorf("%s is %s, want %s", hex, got, want)
		}
	}
}

func TestWords_AreEachThereOnce(t *testing.T) {
	all := Words()
	for i, w := range all {
		if slices.Contains(all[:i], w) {
			t.Errorf("%s is there twice", w)
		}
	}
	if len(all) < 30 {
		t.Errorf("only %d words: %v", len(all), all)
	}
}

func TestNames_NumberTheColoursThatShareAWord(t *testing.T) {
	var n Names
	for i, c := range []struct {
		hex, word string
		number    int
	}{{"#ff0000", "Red", 1}, {"#0000ff", "Blue", 1}, {"#dd2e44", "Red", 2}, {"#ff0000", "Red", 1}, {"#cc0000", "Red", 3}} {
		rgb, err := Parse(c.hex)
		if err != nil {
			t.Fatal(err)
		}
		if word, number := n.Of(rgb); word != c.word || number != c.number {
			t.Errorf("%d: %s is %s %d, want %s %d", i, c.hex, word, number, c.word, c.number)
		}
	}
}

// Most examples are passed over by their lightness: none of them may be nearer.
func TestWord_IsThatOfTheNearestOfAllExamples(t *testing.T) {
	const step = 15
	for r := 0; r < 256; r += step {
		for g := 0; g < 256; g += step {
			for b := 0; b < 256; b += step {
				c := RGB{uint8(r), uint8(g), uint8(b)}
				nearest := slices.MinFunc(examples(), func(x, y example) int { return cmp.Compare(x.lab.DeltaE(c.Lab()), y.lab.DeltaE(c.Lab())) })
				if got := Word(c); got != nearest.word {
					t.Fatalf("%v is %s, but %s is nearer", c, got, nearest.word)
				}
			}
		}
	}
}
