package workshop

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"abut/internal/colour"
	"abut/internal/drawer"
	"abut/internal/job"
)

const twoReds = `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">
<rect width="30" height="40" fill="#d03020"/><rect x="30" width="20" height="40" fill="#d83828"/><rect x="50" width="10" height="40" fill="#fff"/>
<rect x="10" y="10" width="12" height="0.5" fill="#2040c0"/></svg>`

func TestArtColours_AreThoseThatWereDrawn(t *testing.T) {
	ctx := context.Background()
	j := knockedOut(t, open(t, twoReds))
	want, err := ArtColours(ctx, j)
	if err != nil {
		t.Fatal(err)
	}
	var colours []string
	for _, c := range want {
		colours = append(colours, c.Colour.String())
	}
	if !reflect.DeepEqual(colours, []string{"#d03020", "#d83828", "#ffffff", "#2040c0"}) {
		t.Error(colours)
	}
	merged, _, err := MergeColours(ctx, j, 1, nil)
	if err != nil {
		t.Fatal(err)
	}
	if got, _ := ArtColours(ctx, merged); !reflect.DeepEqual(got, want) {
		t.Errorf("merged: %+v", got)
	}
}

func TestAssignColours_ToSheetsBareAndBack(t *testing.T) {
	red, other, white := colour.RGB{R: 0xd0, G: 0x30, B: 0x20}, colour.RGB{R: 0xd8, G: 0x38, B: 0x28}, colour.White
	tomato := job.Sheet{Name: "Tomato", Pressed: colour.RGB{R: 0xd1, G: 0x30, B: 0x20}, Unpressed: colour.RGB{R: 0x80}}
	j := knockedOut(t, open(t, twoReds))
	out, err := AssignColours(j, map[colour.RGB]SheetChoice{red: {Sheet: &tomato}, other: {Sheet: &tomato}, white: {}})
	if err != nil {
		t.Fatal(err)
	}
	if len(out.Sheets) != 2 { // Tomato and one for white
		t.Errorf("%+v", out.Sheets)
	}
	p := fitted(t, out)
	if len(p.Separations) != 3 || p.Separations[0].Name != "Tomato" {
		t.Errorf("%+v", p.Separations)
	}
	for c, want := range map[colour.RGB]SheetChoice{red: {Sheet: &tomato}, white: {}, {R: 1}: {}} {
		got := ChoiceOf(out, c)
		if got.Sheet != nil {
			got.Sheet.ID = 0
		}
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%v: %+v", c, got)
		}
	}
	if !ChoiceOf(j, white).Bare {
		t.Error("white is bare unless someone says otherwise")
	}
	back, err := AssignColours(out, map[colour.RGB]SheetChoice{red: {}, other: {Bare: true}, white: {Bare: true}})
	if err != nil || len(back.Sheets) != 0 || len(back.Assign) != 1 || !ChoiceOf(back, other).Bare || !ChoiceOf(back, white).Bare {
		t.Errorf("%+v, %+v, %v", back.Sheets, back.Assign, err)
	}
	own, err := OwnColours(out)
	if err != nil || len(fitted(t, own).Separations) != 4 || ChoiceOf(own, red).Sheet != nil {
		t.Errorf("%+v, %v", own.Assign, err)
	}
}

// What was given to a colour goes along when that colour is cut from another
// sheet.
func TestAssignColours_TakesMendsAlong(t *testing.T) {
	ctx := context.Background()
	red := colour.RGB{R: 0xd0, G: 0x30, B: 0x20}
	j := knockedOut(t, open(t, twoReds))
	p := fitted(t, j)
	spots, err := Weak(ctx, nil, p, j)
	if err != nil || len(spots) != 1 {
		t.Fatal(spots, err)
	}
	line := j.Items[0].Layers[3]
	j, err = job.AddMend(j, job.Mend{Layer: line.ID, At: spots[0].At, Spot: spots[0].Kind, Do: job.Give, To: red, Chosen: true})
	if err != nil {
		t.Fatal(err)
	}
	if n := len(fitted(t, j).Separations); n != 2 {
		t.Fatalf("%d separations before", n)
	}
	tomato := job.Sheet{Name: "Tomato", Pressed: colour.RGB{R: 0xe0, G: 0x30, B: 0x20}}
	j, err = AssignColours(j, map[colour.RGB]SheetChoice{red: {Sheet: &tomato}})
	if err != nil {
		t.Fatal(err)
	}
	if got := fitted(t, j); len(got.Separations) != 2 || got.Mends[0].State != 0 || got.Mends[0].To != tomato.Pressed {
		t.Errorf("%+v", got.Mends)
	}
}

func TestDrawer_IsKeptWholeOrNotAtAll(t *testing.T) {
	path := filepath.Join(t.TempDir(), "state", "drawer.csv")
	if got, err := KeptDrawer(path); err != nil || got != nil {
		t.Error("before it was written: ", got, err)
	}
	want := []drawer.Sheet{{Name: "Tomato", Pressed: colour.RGB{R: 0xd1}, Unpressed: colour.RGB{R: 0x80}, Count: 2, Offcuts: []drawer.Size{{WidthMM: 40, HeightMM: 50}}}}
	if err := SaveDrawer(path, want); err != nil {
		t.Fatal(err)
	}
	if got, err := KeptDrawer(path); err != nil || !reflect.DeepEqual(got, want) {
		t.Error(got, err)
	}
	files, _ := os.ReadDir(filepath.Dir(path))
	if len(files) != 1 {
		t.Errorf("%v", files)
	}
	err := SaveDrawer(filepath.Join(path, "below", "drawer.csv"), want)
	var wrong *Error
	if !errors.As(err, &wrong) || wrong.ID != "drawer-unwritable" {
		t.Error(err)
	}
}

func TestTrims_AreThoseOfTheManifest(t *testing.T) {
	j := knockedOut(t, open(t, discInSquare))
	p := fitted(t, j)
	trims, err := Trims(p)
	if err != nil {
		t.Fatal(err)
	}
	m := written(t, j, filepath.Join(t.TempDir(), "out"), WriteOptions{})
	for i, s := range m.Separations {
		if trims[i].Name != s.Name || trims[i].WidthMM != s.TrimMM[0] || trims[i].HeightMM != s.TrimMM[1] {
			t.Errorf("%+v, the manifest says %+v", trims[i], s)
		}
	}
}
