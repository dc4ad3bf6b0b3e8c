// Package assets holds what the program brings along: its icons and a handful
// of small pictures from the gift shop of a lighthouse museum, all drawn for
// it. It knows nothing of the rest of the program.
package assets

import (
	"embed"
	"fmt"
	"sort"
	"strings"
)

//go:embed demos/*.svg icons/*.svg icon.png
var files embed.FS

// Demo is a picture to try things on.
type Demo struct {
	// ID is short, lower case and stable: it names files.
	ID string
	// Name is a title, Line the one sentence that says what there is to see.
	Name, Line string
	// SVG is the picture; callers must not change it.
	SVG []byte
}

// demos lists the pictures in the order in which they teach.
var demos = []Demo{
	{ID: "spread", Name: "Beach finds", Line: "Five colours that keep apart: nothing stacks, but a frame has to hold them together."},
	{ID: "pair", Name: "Little boat", Line: "Two shapes lie on a third: knock them out and all three lie side by side."},
	{ID: "nested", Name: "Compass rose", Line: "Six solids, each inside the next: five become rings and one stays whole."},
	{ID: "bracket", Name: "Open day", Line: "Two towers hold everything between them, so their own backing carries the rest and no frame is needed."},
	{ID: "rich", Name: "The museum's point", Line: "The lot: thin rails and rigging, white and nearly white, a gradient, a stroke and lettering."},
}

// Demos returns the pictures, the simplest first.
func Demos() []Demo {
	out := make([]Demo, len(demos))
	for i, d := range demos {
		d.SVG = mustRead("demos/" + d.ID + ".svg")
		out[i] = d
	}
	return out
}

// Icon returns the icon of that name as an SVG on a 24 grid, filled in
// IconColour, or nil when there is none. Names are those of the files in
// assets/icons without their ending. Those are drawn as strokes; what is
// returned has the same lines as filled outlines.
func Icon(name string) []byte {
	b, err := files.ReadFile("icons/" + name + ".svg")
	if err != nil {
		return nil
	}
	b, err = outlined(b)
	if err != nil {
		panic(fmt.Sprintf("icon %s: %v", name, err)) // embedded, and a test reads every one
	}
	return b
}

// IconColour is the one colour that every icon is drawn in: replace it in the
// bytes to recolour an icon.
const IconColour = "#000"

// IconIn returns the icon of that name drawn in another colour, #rrggbb, or nil
// when there is none.
func IconIn(name, colour string) []byte {
	b := Icon(name)
	if b == nil {
		return nil
	}
	return []byte(strings.ReplaceAll(string(b), `"`+IconColour+`"`, `"`+colour+`"`))
}

// IconNames returns the names of all icons, sorted.
func IconNames() []string {
	entries, err := files.ReadDir("icons")
	if err != nil {
		panic(err) // the folder is embedded: it cannot be missing
	}
	names := make([]string, len(entries))
	for i, e := range entries {
		names[i] = strings.TrimSuffix(e.Name(), ".svg")
	}
	sort.Strings(names)
	return names
}

// AppIcon returns the program's own icon, a PNG of 512 pixels a side.
func AppIcon() []byte { return mustRead("icon.png") }

func mustRead(name string) []byte {
	b, err := files.ReadFile(name)
	if err != nil {
		panic(err) // embedded and listed above: a missing one is a broken build
	}
	return b
}
