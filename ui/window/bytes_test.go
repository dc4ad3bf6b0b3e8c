package window

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"

	"abut/assets"
	"abut/internal/drawer"
	"abut/ui/controls"
	"abut/ui/theme"
)

// sixSheets is a drawer for the rich demo.
const sixSheets = "../../testdata/sheets/six.csv"

// The window and the command line write the same bytes for the same choices:
// size, knocking out, six sheets of a drawer, narrowest part, mends, clearance.
func TestExport_WritesTheBytesOfTheCommandLine(t *testing.T) {
	if testing.Short() {
		t.Skip("builds the program; run without -short")
	}
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	program := at("abut")
	if out, err := exec.Command("go", "build", "-tags", "migrated_fynedo", "-o", program, "abut/cmd/abut").CombinedOutput(); err != nil {
		t.Fatalf("building: %v\n%s", err, out)
	}
	art, sheets := at("Harbour.svg"), at("sheets.csv")
	for _, d := range assets.Demos() {
		if d.ID == "rich" {
			if err := os.WriteFile(art, d.SVG, 0o600); err != nil {
				t.Fatal(err)
			}
		}
	}
	six, err := drawer.Open(sixSheets)
	if err != nil {
		t.Fatal(err)
	}
	if err := drawer.Save(sheets, six); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command(program, "cut", art, "-o", at("line"), "--width", "60mm", "--drawer", sheets, "--colors", "5",
		"--min-width", "0.8mm", "--mend", "--clearance", "0.1mm").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}

	s := newStage(t, usual, theme.AlwaysLight)
	s.session.KeepDrawerIn(sheets)
	s.Open(art)
	s.settle()
	s.look()
	s.session.Resize(60, 0)
	s.settle()
	s.knockOut()
	s.settle()
	s.sheets.Fewer()
	s.settle()
	overlay[*controls.Entry](s)[0].SetText("5")
	s.settle()
	s.press(say("ui-colours-use")).Tapped(nil)
	s.settle()
	s.enter(s.field("ui-narrowest", 0), "0.8")
	s.mendAll()
	s.settle()
	s.enter(s.field("ui-clearance", 0), "0.1")
	s.ask.Export()
	overlay[*controls.Entry](s)[0].SetText(at("window"))
	s.press(say("ui-export-write")).Tapped(nil)
	s.settle()

	names := func(folder string) []string {
		files, err := os.ReadDir(folder)
		if err != nil {
			t.Fatal(err)
		}
		var out []string
		for _, f := range files {
			out = append(out, f.Name())
		}
		return out
	}
	want := names(at("line"))
	if got := names(at("window")); !slices.Equal(got, want) || len(want) != 11 { // five sheets, steps, guide and press card on two papers, job.json
		t.Errorf("the window wrote %v, the command line %v", got, want)
	}
	for _, name := range want {
		a, _ := os.ReadFile(filepath.Join(at("line"), name))
		b, _ := os.ReadFile(filepath.Join(at("window"), name))
		if !bytes.Equal(a, b) {
			t.Errorf("%s differs%s", name, firstDifference(a, b))
		}
	}
}

// firstDifference shows where two texts begin to differ.
func firstDifference(a, b []byte) string {
	i := 0
	for i < len(a) && i < len(b) && a[i] == b[i] {
		i++
	}
	part := func(t []byte) string { return string(t[max(0, i-60):min(len(t), i+60)]) }
	return fmt.Sprintf(":\n%s\nand\n%s", part(a), part(b))
}
