package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// shades are two reds and two blues, side by side.
const shades = `<rect width="20" height="40" fill="#d03020"/><rect x="20" width="5" height="40" fill="#d83828"/>` +
	`<rect x="25" width="20" height="40" fill="#2040c0"/><rect x="45" width="5" height="40" fill="#2848c8"/>`

func TestCut_ColoursAreMergedToSoManySheets(t *testing.T) {
	file, dir := art(t, sized, shades), filepath.Join(t.TempDir(), "out")
	stdout := must(t, "cut", file, "-o", dir, "--colors", "2")
	m := readManifest(t, dir)
	if len(m.Separations) != 2 || m.StackedAfterMM2 != 0 {
		t.Fatalf("%+v", m.Separations)
	}
	for _, s := range m.Separations {
		if s.Color != "#d03020" && s.Color != "#2040c0" {
			t.Errorf("the larger shade stays: %+v", s)
		}
		if s.Pieces != 1 || s.AreaMM2 != 1000 {
			t.Errorf("both shades are one piece: %+v", s)
		}
	}
	if !strings.Contains(stdout, "#d83828 is cut from") {
		t.Error(stdout)
	}
}

func TestCut_ColoursGoToTheSheetsOfADrawer(t *testing.T) {
	file, dir := art(t, sized, shades), t.TempDir()
	drawer := filepath.Join(dir, "drawer.csv")
	const table = "name,pressed,count,pattern\nTomato,#d02f20,2,\nRoyal,#2141c1,1,\nStripes,#2848c8,4,stripes\nLemon,#ffee00,1,\nGone,#d83828,0,\n"
	if err := os.WriteFile(drawer, []byte(table), 0o644); err != nil {
		t.Fatal(err)
	}
	must(t, "cut", file, "-o", filepath.Join(dir, "out"), "--drawer", drawer)
	var names []string
	for _, s := range readManifest(t, filepath.Join(dir, "out")).Separations {
		names = append(names, s.Name)
	}
	if got := strings.Join(names, " "); got != "Tomato Royal" {
		t.Errorf("cut from %s", got)
	}
	must(t, "cut", file, "-o", filepath.Join(dir, "one"), "--drawer", drawer, "--colors", "1")
	if n := len(readManifest(t, filepath.Join(dir, "one")).Separations); n != 1 {
		t.Errorf("%d sheets", n)
	}
	status, _, errs := abut("cut", file, "-o", filepath.Join(dir, "none"), "--drawer", file)
	if status != exitFailed || !strings.Contains(errs, "file of sheets") {
		t.Errorf("%d %s", status, errs)
	}
}
