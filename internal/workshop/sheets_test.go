package workshop

import (
	"context"
	"math"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"abut/assets"
	"abut/internal/colour"
	"abut/internal/drawer"
	"abut/internal/fit"
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
	spots, err := new(fit.Cache).Weak(ctx, p, j)
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
	// And back, once it has a sheet of its own again.
	if j, err = OwnColours(j); err != nil {
		t.Fatal(err)
	}
	if got := fitted(t, j); len(got.Separations) != 2 || got.Mends[0].State != 0 || got.Mends[0].To != red {
		t.Errorf("on sheets of their own: %+v", got.Mends)
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

// What a colour was locked to by hand stays, also where few sheets are to be
// enough.
func TestMergeColours_LeavesALockedColourAlone(t *testing.T) {
	ctx := context.Background()
	j := knockedOut(t, open(t, twoReds))
	small := colour.RGB{R: 0xd8, G: 0x38, B: 0x28}
	for _, locked := range []bool{false, true} {
		if locked {
			j.Settings.Hues.Locked = []colour.RGB{small}
		}
		_, merged, err := MergeColours(ctx, j, 2, nil)
		if err != nil {
			t.Fatal(err)
		}
		if moved := slices.ContainsFunc(merged, func(m Merged) bool { return m.Colour == small && m.Sheet.Pressed != small }); moved == locked {
			t.Errorf("locked: %v, merged %+v", locked, merged)
		}
	}
}

// A sheet of the job is the one that is asked for only when name and both colours
// are; its size is the one that was measured last.
func TestAssignColours_TellsSheetsApart(t *testing.T) {
	j := knockedOut(t, open(t, twoReds))
	tomato := job.Sheet{Name: "Tomato", Pressed: colour.RGB{R: 0xd1}, Unpressed: colour.RGB{R: 0x80}, WidthMM: 100, HeightMM: 50}
	grown := tomato
	grown.WidthMM, grown.HeightMM = 300, 200
	renamed, brighter, paler := tomato, tomato, tomato
	renamed.Name, brighter.Pressed.R, paler.Unpressed.R = "Ketchup", 0xff, 0xff
	red, other := colour.RGB{R: 0xd0, G: 0x30, B: 0x20}, colour.RGB{R: 0xd8, G: 0x38, B: 0x28}
	for _, c := range []struct {
		second job.Sheet
		sheets int
	}{{tomato, 1}, {grown, 1}, {renamed, 2}, {brighter, 2}, {paler, 2}} {
		out, err := AssignColours(j, map[colour.RGB]SheetChoice{red: {Sheet: &tomato}, other: {Sheet: &c.second}})
		if err != nil || len(out.Sheets) != c.sheets {
			t.Errorf("%+v: %+v, %v", c.second, out.Sheets, err)
		}
		if got := ChoiceOf(out, other).Sheet; got.WidthMM != c.second.WidthMM || got.HeightMM != c.second.HeightMM || got.Name != c.second.Name {
			t.Errorf("%+v is cut from %+v", c.second, got)
		}
	}
}

func TestAssignColours_AColourOfItsOwnJoinsWhatIsCutFromItsSheet(t *testing.T) {
	j := knockedOut(t, open(t, twoReds))
	red, other := colour.RGB{R: 0xd0, G: 0x30, B: 0x20}, colour.RGB{R: 0xd8, G: 0x38, B: 0x28}
	own := ownSheet(red, 0)
	j, err := AssignColours(j, map[colour.RGB]SheetChoice{other: {Sheet: &own}, red: {}})
	if err != nil {
		t.Fatal(err)
	}
	if p := fitted(t, j); len(p.Separations) != 2 {
		t.Errorf("%+v", p.Separations)
	}
	if ChoiceOf(j, red) != (SheetChoice{}) {
		t.Errorf("%+v", ChoiceOf(j, red))
	}
	// Once nothing else is cut from it, it is a colour of its own again.
	j, err = AssignColours(j, map[colour.RGB]SheetChoice{other: {}, red: {}})
	if err != nil || len(j.Sheets) != 0 || len(j.Assign) != 0 {
		t.Errorf("%+v, %+v, %v", j.Sheets, j.Assign, err)
	}
}

// White that is bare by the rule does not join what is cut from a white sheet.
func TestAssignColours_BareStaysBareBesideItsSheet(t *testing.T) {
	j := knockedOut(t, open(t, twoReds))
	white := ownSheet(colour.White, 0)
	j, err := AssignColours(j, map[colour.RGB]SheetChoice{{R: 0xd8, G: 0x38, B: 0x28}: {Sheet: &white}, colour.White: {Bare: true}})
	if err != nil || !ChoiceOf(j, colour.White).Bare || len(j.Assign) != 1 {
		t.Errorf("%+v, %v", j.Assign, err)
	}
}

func TestChoiceOf_ASheetThatIsGoneIsNoChoice(t *testing.T) {
	red := colour.RGB{R: 0xd0, G: 0x30, B: 0x20}
	j := job.Job{Assign: map[colour.RGB]job.Target{red: {Sheet: 7}}}
	if got := ChoiceOf(j, red); got != (SheetChoice{}) {
		t.Errorf("%+v", got)
	}
}

// What goes to a sheet already goes on as that sheet's colour, and what is bare
// stays bare.
func TestMergeColours_GoesOnFromWhatWasChosen(t *testing.T) {
	ctx := context.Background()
	red, other, blue := colour.RGB{R: 0xd0, G: 0x30, B: 0x20}, colour.RGB{R: 0xd8, G: 0x38, B: 0x28}, colour.RGB{R: 0x20, G: 0x40, B: 0xc0}
	tomato := job.Sheet{Name: "Tomato", Pressed: colour.RGB{R: 0xd1, G: 0x30, B: 0x20}}
	j, err := AssignColours(knockedOut(t, open(t, twoReds)), map[colour.RGB]SheetChoice{red: {Sheet: &tomato}, other: {Bare: true}})
	if err != nil {
		t.Fatal(err)
	}
	brick := drawer.Sheet{Name: "Brick", Pressed: colour.RGB{R: 0xc0, G: 0x40, B: 0x30}, Unpressed: colour.RGB{R: 2}, WidthMM: 30, HeightMM: 40, Count: -1}
	sea := drawer.Sheet{Name: "Sea", Pressed: colour.RGB{R: 0x10, G: 0x40, B: 0xb0}, Count: 1}
	out, list, err := MergeColours(ctx, j, 0, []drawer.Sheet{{Name: "Stripes", Pattern: "stripes", Count: 1}, {Name: "Gone"}, brick, sea})
	if err != nil {
		t.Fatal(err)
	}
	if len(list) != 2 || list[0].Colour != tomato.Pressed || list[1].Colour != blue || list[1].Sheet.Name != "Sea" || list[1].DeltaE != blue.DeltaE(sea.Pressed) {
		t.Errorf("%+v", list)
	}
	if s := ChoiceOf(out, red).Sheet; s == nil || s.Name != "Brick" || s.Unpressed.R != 2 || s.WidthMM != 30 || s.HeightMM != 40 {
		t.Errorf("red goes to %+v", s)
	}
	if s := ChoiceOf(out, blue).Sheet; s == nil || s.Name != "Sea" {
		t.Errorf("blue goes to %+v", s)
	}
	if !ChoiceOf(out, other).Bare || len(out.Sheets) != 2 {
		t.Errorf("%+v, %+v", out.Assign, out.Sheets)
	}
	for _, none := range [][]drawer.Sheet{{{Name: "Stripes", Pattern: "stripes", Count: 1}}, {{Name: "Gone"}}} {
		if _, _, err := MergeColours(ctx, j, 0, none); !Is(err, "drawer-empty") {
			t.Error(err)
		}
	}
}

func TestMergeColours_WhatStaysItsOwnIsNotNamed(t *testing.T) {
	j := knockedOut(t, open(t, twoReds))
	out, list, err := MergeColours(context.Background(), j, 2, nil)
	if err != nil || len(list) != 2 || list[0].Sheet != list[1].Sheet || len(out.Assign) != 2 {
		t.Errorf("%+v, %+v, %v", list, out.Assign, err)
	}
	out, list, err = MergeColours(context.Background(), j, 9, nil)
	if err != nil || len(list) != 0 || len(out.Assign) != 0 || len(out.Sheets) != 0 {
		t.Errorf("%+v, %+v, %v", list, out.Assign, err)
	}
}

func TestLikeness_HasAWordForEveryDifference(t *testing.T) {
	var all []string
	for _, deltaE := range []float64{0, 0.9, 1.1, 2.9, 3.1, 6.9, 7.1, 14.9, 15.1, 90} {
		all = append(all, Likeness(deltaE))
	}
	for i, word := range all {
		if same := i%2 == 1; i > 0 && (word == all[i-1]) != same || word == "" || word[0] == '[' {
			t.Errorf("%d: %q", i, all)
		}
	}
	slices.Sort(all)
	if n := len(slices.Compact(all)); n != 5 {
		t.Errorf("%d words for five kinds of likeness", n)
	}
}

// What is bare is cut from no sheet, so not from a black one either.
func TestMergeColours_LeavesBareWhatIsBareBesideBlack(t *testing.T) {
	j := knockedOut(t, open(t, strings.ReplaceAll(twoReds, "#2040c0", "#000000")))
	red, black := colour.RGB{R: 0xd0, G: 0x30, B: 0x20}, colour.RGB{}
	j, err := AssignColours(j, map[colour.RGB]SheetChoice{red: {Bare: true}})
	if err != nil {
		t.Fatal(err)
	}
	out, list, err := MergeColours(context.Background(), j, 1, nil)
	if err != nil || len(list) != 2 || !ChoiceOf(out, red).Bare || ChoiceOf(out, black).Sheet == nil {
		t.Errorf("%+v, %+v, %v", list, out.Assign, err)
	}
}

// The demo picture of a lighthouse, on five sheets: of its reds none turned grey,
// and of its six reds, browns and orange no second one was kept.
func TestMergeColours_TheLighthouseStaysRed(t *testing.T) {
	var art []byte
	for _, d := range assets.Demos() {
		if d.ID == "rich" {
			art = d.SVG
		}
	}
	j := knockedOut(t, open(t, string(art)))
	for n, mine := range map[int][]string{5: {"red"}, 6: {"red", "yellow"}} {
		out, _, err := MergeColours(context.Background(), j, n, nil)
		if err != nil {
			t.Fatal(err)
		}
		p := fitted(t, out)
		if len(p.Separations) != n {
			t.Errorf("%d sheets, not %d", len(p.Separations), n)
		}
		near := map[string]int{}
		for _, s := range p.Separations {
			lab := s.Colour.Lab()
			switch hue := math.Atan2(lab.B, lab.A) * 180 / math.Pi; {
			case math.Hypot(lab.A, lab.B) < 25:
			case hue > 0 && hue < 65:
				near["red"]++
			case hue >= 65 && hue < 110:
				near["yellow"]++
			}
		}
		for _, hue := range mine {
			if near[hue] != 1 {
				t.Errorf("%d sheets: %d of them %s", n, near[hue], hue)
			}
		}
	}
}

// A wave across a sea that is darker: with three sheets for four colours it is the
// two creams that become one, though they differ more.
func TestMergeColours_KeepsAThingOnItsGround(t *testing.T) {
	j := knockedOut(t, open(t, `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">
<rect width="60" height="20" fill="#f3e3c2"/><rect y="20" width="60" height="20" fill="#1f6f8b"/><rect x="40" width="20" height="20" fill="#ebd6ac"/>
<path d="M0 28h60v1h-60z" fill="#2f7f99"/></svg>`))
	out, _, err := MergeColours(context.Background(), j, 3, nil)
	if err != nil {
		t.Fatal(err)
	}
	sheet := func(c colour.RGB) colour.RGB {
		if s := ChoiceOf(out, c).Sheet; s != nil {
			return s.Pressed
		}
		return c
	}
	sea, wave := colour.RGB{R: 0x1f, G: 0x6f, B: 0x8b}, colour.RGB{R: 0x2f, G: 0x7f, B: 0x99}
	sand, stone := colour.RGB{R: 0xf3, G: 0xe3, B: 0xc2}, colour.RGB{R: 0xeb, G: 0xd6, B: 0xac}
	if sheet(sea) == sheet(wave) || sheet(sand) != sheet(stone) {
		t.Error(sheet(sea), sheet(wave), sheet(sand), sheet(stone))
	}
}
