package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/abutfile"
	"abut/internal/colour"
	"abut/internal/job"
	"abut/internal/lettering"
)

// mug is a saved job whose text says {name}, in the middle of what may have a colour.
func mug(t *testing.T) string {
	t.Helper()
	plate, err := job.NewPrimitive(job.Primitive{Width: 90, Height: 40})
	if err != nil {
		t.Fatal(err)
	}
	text, _, err := lettering.Set(t.Context(), job.Text{Text: "{name}", SizeMM: 14, Weight: 700, Align: job.TextMiddle})
	if err != nil {
		t.Fatal(err)
	}
	j, _, err := job.Add(job.Job{}, job.Added{Content: plate, Name: "plate"}, geometry.Pt(0, 0))
	if err == nil {
		j, _, err = job.Add(j, job.Added{Content: text, Name: "{name}"}, geometry.Pt(0, 5))
	}
	if err == nil {
		ids := j.LayerIDs()
		if j, err = job.SetColour(j, ids[1:], colour.RGB{R: 0x20, G: 0x40, B: 0xc0}); err == nil {
			j, err = job.KnockOutAll(j)
		}
	}
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "mug.abut")
	f, err := os.Create(path)
	if err == nil {
		err = abutfile.Write(f, abutfile.Document{Job: j})
	}
	if err == nil {
		err = f.Close()
	}
	if err != nil {
		t.Fatal(err)
	}
	return path
}

func names(t *testing.T, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "names.csv")
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestCut_AListMakesACopyOfEachRow(t *testing.T) {
	file, list := mug(t), names(t, "name\nAda\nJürgen\nBartholomew Featherstonehaugh\n")
	out := filepath.Join(t.TempDir(), "fair")
	said := must(t, "cut", file, "--list", list, "-o", out)
	for _, want := range []string{"1 Ada: ", "2 Jürgen: ", "3 Bartholomew Featherstonehaugh: ", "% of the size that is drawn", "Wrote 3 copies"} {
		if !strings.Contains(said, want) {
			t.Errorf("it does not say %q:\n%s", want, said)
		}
	}
	if m := readManifest(t, filepath.Join(out, "02-jürgen")); len(m.Rows) != 1 || m.Rows[0].Name != "Jürgen" {
		t.Errorf("%+v", m.Rows)
	}
	together := filepath.Join(t.TempDir(), "fair")
	said = must(t, "--lang", "de", "cut", file, "--list", list, "-o", together, "--layout", "together", "--tries", "5")
	if m := readManifest(t, together); m.Layout == nil || m.Layout.Copies != 3 || len(m.Rows) != 3 || !strings.Contains(said, "Buchstaben in ") {
		t.Errorf("%+v\n%s", m.Layout, said)
	}
	if status, _, _ := abut("cut", file, "--list", list, "--copies", "3", "-o", together); status != exitUsage {
		t.Errorf("a list and copies: status %d", status)
	}
}

func TestCut_EveryWrongRowIsNamedAndNothingWritten(t *testing.T) {
	file, list := mug(t), names(t, "number,name\n1,Ada\n2,\n3,\U0010fff0\n")
	out := filepath.Join(t.TempDir(), "fair")
	status, _, errs := abut("cut", file, "--list", list, "-o", out)
	if _, err := os.Stat(out); status != exitFailed || err == nil || !strings.Contains(errs, "2 2: ") || !strings.Contains(errs, "3 \U0010fff0: ") || !strings.Contains(errs, "--skip-wrong") {
		t.Errorf("status %d, %v\n%s", status, err, errs)
	}
	if said := must(t, "cut", file, "--list", list, "-o", out, "--skip-wrong"); !strings.Contains(said, "2 rows were left out") {
		t.Error(said)
	}
}

func TestCut_SaysWhatAnEarlierListLeft(t *testing.T) {
	file, out := mug(t), filepath.Join(t.TempDir(), "fair")
	must(t, "cut", file, "--list", names(t, "name\nAda\nBo\n"), "-o", out)
	status, _, errs := abut("cut", file, "--list", names(t, "name\nAda\n"), "-o", out, "--overwrite")
	if status != exitOK || !strings.Contains(errs, "02-bo") || strings.Contains(errs, "01-ada") {
		t.Errorf("status %d\n%s", status, errs)
	}
}

func TestCut_NotesOfRowsAreSaidOnce(t *testing.T) {
	status, _, errs := abut("cut", mug(t), "--list", names(t, "name\nBartholomew Featherstonehaugh\nWolfeschlegelsteinhausen\nAda\n"), "-o", filepath.Join(t.TempDir(), "fair"))
	if n := strings.Count(errs, "weak spots, "); status != exitOK || n != 1 {
		t.Errorf("status %d, weak spots are noted %d times\n%s", status, n, errs)
	}
}

func TestCheck_ReadsASavedJob(t *testing.T) {
	if said := must(t, "check", mug(t)); !strings.Contains(said, "90 × 40 mm") {
		t.Error(said)
	}
}

func TestCheck_AListTellsOfEveryRowAndWritesNothing(t *testing.T) {
	file, list := mug(t), names(t, "number,name\n1,Ada\n2,\n3,Jürgen\n")
	status, said, errs := abut("check", file, "--list", list, "--layout", "together", "--tries", "5")
	if status != exitFailed || !strings.Contains(said, "1 Ada: ") || !strings.Contains(said, "3 Jürgen: ") || !strings.Contains(errs, "2 2: ") || !strings.Contains(said, "Laid out: 2 copies") {
		t.Errorf("status %d\n%s\n%s", status, said, errs)
	}
	status, said, errs = abut("check", file, "--list", names(t, "name\nAda\nJürgen\n"), "--json")
	var r checkListReport
	if err := json.Unmarshal([]byte(said), &r); err != nil || status != exitOK || len(r.Rows) != 2 || r.Rows[1].Name != "Jürgen" || r.Rows[1].Verdict == "" || len(r.Wrong) != 0 {
		t.Errorf("status %d, %v: %+v\n%s", status, err, r, errs)
	}
}
