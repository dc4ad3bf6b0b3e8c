package colour

import "testing"

func TestWord_IsWhatAPersonWouldSay(t *testing.T) {
	for hex, want := range map[string]string{
		"#ff0000": "Red", "#d00010": "Red", "#8b0000": "Dark red", "#0000ff": "Bright blue", "#87ceeb": "Sky blue", "#ffffff": "White",
		"#000000": "Black", "#111111": "Black", "#808080": "Grey", "#ffa500": "Orange", "#008000": "Green", "#00ff00": "Bright green",
		"#ffff00": "Yellow", "#800080": "Purple", "#ffc0cb": "Light pink", "#8b4513": "Brown", "#000080": "Dark blue", "#00ffff": "Turquoise",
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
