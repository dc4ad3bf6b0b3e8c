package story

import (
	"context"
	"encoding/json"
	"image"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/abutfile"
	"abut/internal/colour"
	"abut/internal/drawer"
	"abut/internal/job"
	"abut/internal/lettering"
	"abut/internal/words"
	"abut/internal/workshop"
)

// The mug of the fair: a buoy between waves, and room for a name. The waves reach round
// all the rest, so nothing needs a frame.
const fairArt = `<svg xmlns="http://www.w3.org/2000/svg" width="190mm" height="76mm" viewBox="0 0 190 76">
<path id="Waves" fill="#1f3f6f" d="M0 0H190V8H180.5Q171 16 161.5 8T142.5 8T123.5 8T104.5 8T85.5 8T66.5 8T47.5 8T28.5 8T9.5 8H0ZM0 76H190V68H180.5Q171 60 161.5 68T142.5 68T123.5 68T104.5 68T85.5 68T66.5 68T47.5 68T28.5 68T9.5 68H0Z"/>
<path id="Buoy" fill="#d03a2c" fill-rule="evenodd" d="M30 20a18 18 0 1 0 .01 0ZM30 29a9 9 0 1 1 -.01 0Z"/>
</svg>`

var (
	navy = colour.RGB{R: 0x1f, G: 0x3f, B: 0x6f}
	buoy = colour.RGB{R: 0xd0, G: 0x3a, B: 0x2c}
)

// fair puts the mug, the list and the shop's own sheets into the home folder: of red no
// more than an offcut is left.
func fair(t *testing.T, home string) []string {
	t.Helper()
	ctx := context.Background()
	sheets := []drawer.Sheet{
		{Name: "Navy", Pressed: navy, Unpressed: navy, Count: 6, Price: 1.4, WidthMM: 210, HeightMM: 297},
		{Name: "Buoy red", Pressed: buoy, Unpressed: buoy, Count: 0, Price: 1.4, WidthMM: 210, HeightMM: 297, Offcuts: []drawer.Size{{WidthMM: 150, HeightMM: 110}}},
	}
	j, err := workshop.OpenSVG(ctx, "Harbour mug", strings.NewReader(fairArt))
	if err != nil {
		t.Fatal(err)
	}
	b, err := workshop.BlankNamed("mug")
	if err == nil {
		j, err = workshop.OnBlank(ctx, j, b)
	}
	if err != nil {
		t.Fatal(err)
	}
	text, _, err := lettering.Set(ctx, job.Text{Text: "{name}", SizeMM: 30, Weight: 700, Align: job.TextMiddle})
	if err == nil {
		j, _, err = job.Add(j, job.Added{Content: text, Name: "Name", Colour: navy}, geometry.Pt(115, 48))
	}
	if err == nil {
		j, err = job.KnockOutAll(j)
	}
	choices := map[colour.RGB]workshop.SheetChoice{}
	for _, s := range sheets {
		sheet := workshop.SheetOf(s)
		choices[s.Pressed] = workshop.SheetChoice{Sheet: &sheet}
	}
	if err == nil {
		j, err = workshop.AssignColours(j, choices)
	}
	if err == nil {
		j, err = job.SetLayout(j, job.Layout{Copies: 1, Loose: true})
	}
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(home, "Harbour mug.abut")
	f, err := os.Create(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := abutfile.Write(f, abutfile.Document{Job: j}); err != nil {
		t.Fatal(err)
	}
	own := filepath.Join(home, "data", "abut")
	if err := os.MkdirAll(own, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := drawer.Save(filepath.Join(own, "drawer.csv"), sheets); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(home, "fair.csv"), []byte("name\n"+strings.Join(keepers, "\n")+"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	return []string{file}
}

var keepers = []string{"Ada", "Moira", "Oban", "Ebbe", "Bartholomew"}

// TestFair makes one mug design five mugs for a fair, each with its own name from a list,
// laid out on two sheets and an offcut, and exports them.
func TestFair(t *testing.T) { inEach(t, makeNamedMugs) }

func makeNamedMugs(t *testing.T) {
	s := opened(t, func(home string) []string { return fair(t, home) })
	s.move(image.Pt(640, 790))
	s.steadily("fair-1-design")

	// Where a caret blinks nothing is ever at rest: another dialog is another picture.
	then := func(what string, do func()) {
		before := s.still("")
		do()
		s.until(what, func(img image.Image) bool { return differ(before, img, image.Rectangle{}) > 20_000 })
	}
	then("where actions are found", func() { s.key("ctrl+shift+p") })
	s.typeName("ui-menu-list")
	then("which names", func() { s.key("Return") })
	s.key("Tab") // to whether there are headings, and on to the file
	s.key("Tab")
	then("which file", func() { s.key("Return") })
	s.do("type", "fair.csv")
	s.until("that it can be opened", asked)
	s.key("Return")
	// All rows are ticked before they are looked at, and the button is filled after that.
	s.until("five rows that can be cut", func(img image.Image) bool { return ticked(img) >= 5 && asked(img) })
	s.steadily("fair-2-names")

	s.key("Return")
	s.until("the list gone", func(img image.Image) bool { return ticked(img) < 5 })
	s.steadily("fair-3-laid-out") // once every try is made
	s.key("Next")                 // page down: the second sheet of navy, and the offcut of red
	s.key("Next")
	s.key("space")
	s.key("p")
	s.steadily("fair-4-offcut")

	s.key("Return")
	s.until("the design", func(img image.Image) bool { return !asked(img) })
	s.key("ctrl+e")
	s.until("the dialog", asked)
	s.steadily("fair-5-export")
	s.key("Return")
	folder := filepath.Join(s.home, "Harbour mug "+words.Say("ui-export-folder-suffix")+", "+words.Say("ui-blank-mug"))
	s.until("job.json", func(image.Image) bool { _, err := os.Stat(filepath.Join(folder, "job.json")); return err == nil })
	s.until("the end of it", asked)
	s.steadily("fair-6-written")

	var m struct {
		Layout struct {
			Copies int
			Sheets []struct {
				Kind   string
				Files  []string
				Placed []struct{ Copy, Piece int }
			}
		}
		Rows []struct {
			Name  string
			Texts []struct{ Share float64 }
		}
	}
	b, err := os.ReadFile(filepath.Join(folder, "job.json"))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(b, &m); err != nil {
		t.Fatal(err)
	}
	kinds, copies := map[string]int{}, map[int]bool{}
	for _, x := range m.Layout.Sheets {
		kinds[x.Kind]++
		for _, p := range x.Placed {
			copies[p.Copy] = true
		}
		for _, f := range x.Files {
			if _, err := os.Stat(filepath.Join(folder, f)); err != nil {
				t.Error(err)
			}
		}
	}
	var names []string
	for _, r := range m.Rows {
		names = append(names, r.Name)
		if long := r.Name == "Bartholomew"; long != (r.Texts[0].Share < 1) {
			t.Errorf("%s: letters at %g of their size", r.Name, r.Texts[0].Share)
		}
	}
	if m.Layout.Copies != 5 || len(copies) != 5 || kinds["sheet"] != 2 || kinds["offcut"] != 1 || !slices.Equal(names, keepers) {
		t.Errorf("%d copies of %v on %v", m.Layout.Copies, names, kinds)
	}
}

// ticked is how many boxes at the left of a list are ticked.
func ticked(img image.Image) int {
	n, in := 0, 0
	for y := 150; y < 740; y++ {
		row := 0
		for x := 215; x < 300; x++ {
			if at(img, x, y) == accent {
				row++
			}
		}
		if row >= 10 {
			if in++; in == 8 {
				n++
			}
		} else if row == 0 {
			in = 0
		}
	}
	return n
}
