package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"abut/internal/abutfile"
	"abut/internal/job"
)

func TestCut_CopiesAreLaidOutTogetherUnlessAskedToBeLoose(t *testing.T) {
	file := art(t, sized, overlapping)
	for _, c := range []struct {
		args []string
		way  string
	}{{nil, ""}, {[]string{"--copies", "1"}, ""}, {[]string{"--copies", "3"}, "together"}, {[]string{"--roll", "300mm"}, "together"}, {[]string{"--layout", "loose"}, "loose"}} {
		out := filepath.Join(t.TempDir(), "out")
		said := must(t, append([]string{"cut", file, "-o", out, "--tries", "5"}, c.args...)...)
		l := readManifest(t, out).Layout
		_, err := os.Stat(filepath.Join(out, "sheets.html"))
		if laid := c.way != ""; (l != nil) != laid || strings.Contains(said, "Laid out: ") != laid || (err == nil) != laid {
			t.Errorf("%v: %v, %v\n%s", c.args, l, err, said)
		} else if laid && string(l.Way) != c.way {
			t.Errorf("%v: it is laid out %s", c.args, l.Way)
		}
	}
}

func TestCut_WhatALayoutCostsIsATableForPeopleAndSpreadsheets(t *testing.T) {
	file, drawer := art(t, sized, overlapping), filepath.Join(t.TempDir(), "sheets.csv")
	if err := os.WriteFile(drawer, []byte("name,pressed,price\n=Sea,#d03020,2.50\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(t.TempDir(), "out")
	said := must(t, "cut", file, "-o", out, "--copies", "2", "--tries", "5", "--drawer", drawer, "--colors", "1", "--speed", "25 mm/s")
	for _, want := range []string{"1 sheet ", "Offcuts to keep", "2.50, 1.25 each", "at 25 mm/s"} {
		if !strings.Contains(said, want) {
			t.Errorf("it does not say %q:\n%s", want, said)
		}
	}
	b, err := os.ReadFile(filepath.Join(out, "costs.csv"))
	if rows := strings.Split(string(b), "\n"); err != nil || len(rows) != 4 || !strings.HasPrefix(rows[1], "1,'=Sea,#d03020,1,0,0,") {
		t.Errorf("%v\n%s", err, b)
	}
	if said := must(t, "cut", file, "-o", out, "--overwrite", "--copies", "2", "--tries", "5"); !strings.Contains(said, "no price known") {
		t.Error(said)
	}
	for _, speed := range []string{"0", "-3", "fast", "NaN"} {
		if status, _, errs := abut("cut", file, "-o", out, "--speed="+speed); status != exitUsage || !strings.Contains(errs, "speed") {
			t.Errorf("%s: status %d\n%s", speed, status, errs)
		}
	}
}

func TestCheck_SaysWhatALayoutWouldTake(t *testing.T) {
	_, said, errs := abut("check", art(t, sized, overlapping), "--copies", "3", "--tries", "5")
	if !strings.Contains(said, "Laid out: 3 copies on") || !strings.Contains(said, "no price known") {
		t.Errorf("%s\n%s", said, errs)
	}
}

func TestMarkCut_ChangesTheListOfSheetsOnce(t *testing.T) {
	dir, list := filepath.Join(t.TempDir(), "out"), filepath.Join(t.TempDir(), "sheets.csv")
	if err := os.WriteFile(list, []byte("name;pressed;width_mm;height_mm;count;shelf\nSea;#d03020;200;200;3;left\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	must(t, "cut", art(t, sized, overlapping), "-o", dir, "--layout", "together", "--tries", "5", "--drawer", list, "--colors", "1")
	said := must(t, "mark-cut", dir, "--drawer", list)
	b, err := os.ReadFile(list)
	row := strings.Split(string(b), "\n")[1]
	if err != nil || !strings.Contains(said, "Sea, 200 × 200 mm: One whole sheet. Goes back: ") || !strings.HasPrefix(row, "Sea;#d03020;200;200;2;left;") || !strings.Contains(row, "x") {
		t.Errorf("%v\n%s\n%s", err, said, b)
	}
}

func TestCut_ASavedJobIsLaidOutAsItSaysUnlessFlagsSayElse(t *testing.T) {
	file := mug(t)
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	d, err := abutfile.Read(f)
	f.Close()
	if err == nil {
		d.Job, err = job.SetLayout(d.Job, job.Layout{Copies: 3, Loose: true})
	}
	var b bytes.Buffer
	if err == nil {
		err = abutfile.Write(&b, d)
	}
	if err == nil {
		err = os.WriteFile(file, b.Bytes(), 0o644)
	}
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		args   []string
		way    string
		copies int
	}{
		{nil, "loose", 3}, {[]string{"--copies", "2"}, "loose", 2}, {[]string{"--layout", "together"}, "together", 3}, {[]string{"--layout", "none"}, "", 0},
		{[]string{"--list", names(t, "name\nAda\nJürgen\n")}, "loose", 2},
	} {
		out := filepath.Join(t.TempDir(), "out")
		must(t, append([]string{"cut", file, "-o", out, "--tries", "3"}, c.args...)...)
		switch l := readManifest(t, out).Layout; {
		case (l != nil) != (c.way != ""):
			t.Errorf("%v: %+v", c.args, l)
		case l != nil && (string(l.Way) != c.way || l.Copies != c.copies):
			t.Errorf("%v: %d copies %s", c.args, l.Copies, l.Way)
		}
	}
}
