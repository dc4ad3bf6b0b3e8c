package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// pictureFiles writes pictures under names of their own and returns their paths.
func pictureFiles(t *testing.T, names ...string) []string {
	t.Helper()
	dir := t.TempDir()
	var out []string
	for _, name := range names {
		path := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(`<svg xmlns="http://www.w3.org/2000/svg" `+sized+`>`+overlapping+`</svg>`), 0o644); err != nil {
			t.Fatal(err)
		}
		out = append(out, path)
	}
	return out
}

func TestCut_SeveralFilesGetAFolderEach(t *testing.T) {
	files := pictureFiles(t, "boat.svg", "tea, pot.svg", "more/boat.svg", "BOAT.svg", "boat-2.svg", ".svg", "...svg")
	out := filepath.Join(t.TempDir(), "shop")
	text := must(t, append([]string{"cut", "-o", out}, files...)...)
	// No two of them are one folder where large letters count as small ones.
	for _, name := range []string{"boat", "tea, pot", "boat-2", "BOAT-3", "boat-2-2", "picture", "picture-2"} {
		if m := readManifest(t, filepath.Join(out, name)); len(m.Separations) != 2 {
			t.Errorf("%s: %+v", name, m)
		}
	}
	if list, err := os.ReadDir(out); err != nil || len(list) != len(files) {
		t.Error(list, err)
	}
	for _, want := range append(files, "7 of 7 pictures are in "+out) {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not said: %s", want, text)
		}
	}
}

// Whatever the pictures are called, every system can have the folders, and none takes
// two of them for one.
func TestPictures_FoldersCanBeHadEverywhere(t *testing.T) {
	names := pictures{"con.svg", "a:b.svg", "a/b.svg", "B.svg", "ends..svg", "Mo\u0308we.svg", "MÖWE.svg", "möwe.svg", "-"}
	want := []string{"con-", "a-b", "b", "B-2", "ends", "Möwe", "MÖWE-2", "möwe-3", stdin}
	for i, got := range names.folders("shop") {
		if got != filepath.Join("shop", want[i]) {
			t.Errorf("%q: %s, want %s", names[i], got, want[i])
		}
	}
}

func TestCut_AFileThatFailsStopsNoOther(t *testing.T) {
	files := pictureFiles(t, "boat.svg", "broken.svg", "teapot.svg")
	if err := os.WriteFile(files[1], []byte("<svg"), 0o644); err != nil {
		t.Fatal(err)
	}
	files = append(files, filepath.Join(filepath.Dir(files[0]), "none.svg"))
	out := filepath.Join(t.TempDir(), "shop")
	status, text, errs := abut(append([]string{"cut", "-o", out}, files...)...)
	if status != exitFailed || !strings.Contains(text, "2 of 4 pictures are in") || !strings.Contains(text, files[1]+" and "+files[3]) || !strings.Contains(errs, "abut: "+files[1]+": ") {
		t.Errorf("%d\n%s\n%s", status, text, errs)
	}
	list, err := os.ReadDir(out)
	if err != nil || len(list) != 2 || list[0].Name() != "boat" || list[1].Name() != "teapot" {
		t.Error(list, err)
	}
	// Once more: those that are there are left alone, and said to be.
	status, text, errs = abut("cut", "-o", out, files[0], files[2], "--overwrite")
	if status != exitOK {
		t.Errorf("%d\n%s\n%s", status, text, errs)
	}
	status, text, errs = abut("cut", "-o", out, files[0], files[2])
	if status != exitFailed || !strings.Contains(text, "0 of 2") || strings.Count(errs, "already there") != 2 {
		t.Errorf("%d\n%s\n%s", status, text, errs)
	}
}

func TestRun_SeveralFilesEndWithTheWorstOfThem(t *testing.T) {
	files := pictureFiles(t, "boat.svg", "flat.svg", "none.svg")
	if err := os.WriteFile(files[1], []byte(`<svg xmlns="http://www.w3.org/2000/svg" `+sized+`><rect width="9" height="9" fill="red"/></svg>`), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Remove(files[2]); err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(t.TempDir(), "out")
	for _, c := range []struct {
		args []string
		want int
	}{
		{[]string{"check", files[1], files[1]}, exitOK},
		{[]string{"check", files[1], files[0]}, exitStacked},
		{[]string{"check", files[2], files[0]}, exitFailed},
		{[]string{"check", files[0], files[2]}, exitFailed},
		{[]string{"cut", "-o", out, "--knockout=none", files[0], files[1]}, exitStacked},
		{[]string{"cut", "-o", out + "2", "--knockout=none", files[2], files[0]}, exitFailed},
	} {
		if status, text, errs := abut(c.args...); status != c.want {
			t.Errorf("%q: %d, want %d\n%s\n%s", c.args, status, c.want, text, errs)
		}
	}
}

func TestCheck_SeveralFilesAsJSONAreOneObjectEach(t *testing.T) {
	files := pictureFiles(t, "boat.svg", "teapot.svg")
	_, text, _ := abut("check", "--json", files[0], files[1])
	d := json.NewDecoder(strings.NewReader(text))
	var names []string
	for {
		var r checkReport
		err := d.Decode(&r)
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		names = append(names, r.Art)
	}
	if !slices.Equal(names, []string{"boat.svg", "teapot.svg"}) {
		t.Error(names)
	}
}

func TestRun_ReadsAPictureFromStandardInput(t *testing.T) {
	picture := `<svg xmlns="http://www.w3.org/2000/svg" ` + sized + `>` + overlapping + `</svg>`
	dir := t.TempDir()
	with := func(args ...string) (int, string) {
		var o, e bytes.Buffer
		return run(context.Background(), args, streams{strings.NewReader(picture), &o, &e}), o.String() + e.String()
	}
	if status, text := with("check", "-"); status != exitStacked || !strings.Contains(text, "100 mm²") {
		t.Error(status, text)
	}
	if status, text := with("cut", "-", "-o", filepath.Join(dir, "one")); status != exitOK {
		t.Error(status, text)
	}
	if m := readManifest(t, filepath.Join(dir, "one")); m.Art != "stdin" || len(m.Separations) != 2 {
		t.Errorf("%+v", m)
	}
	file := art(t, sized, overlapping)
	if status, text := with("cut", file, "-", "-o", filepath.Join(dir, "two")); status != exitOK {
		t.Error(status, text)
	}
	one, two := readManifest(t, filepath.Join(dir, "two", "art")), readManifest(t, filepath.Join(dir, "two", "stdin"))
	if one.WidthMM != two.WidthMM || len(one.Separations) != len(two.Separations) {
		t.Errorf("%+v\n%+v", one, two)
	}
}

// afterFirst is a context that ends when the second picture is begun.
type afterFirst struct {
	*bytes.Buffer
	file string
	end  context.CancelFunc
}

func (a afterFirst) Write(b []byte) (int, error) {
	if strings.Contains(string(b), a.file) {
		a.end()
	}
	return a.Buffer.Write(b)
}

func TestCut_StoppedBetweenFilesKeepsTheFirstAndBeginsNoMore(t *testing.T) {
	files := pictureFiles(t, "boat.svg", "teapot.svg", "tide.svg")
	out := filepath.Join(t.TempDir(), "shop")
	ctx, end := context.WithCancel(context.Background())
	defer end()
	var o, e bytes.Buffer
	status := run(ctx, append([]string{"cut", "-o", out}, files...), streams{nil, afterFirst{&o, files[1], end}, &e})
	if status != exitStopped || !strings.Contains(o.String(), "1 of 3") || strings.Contains(o.String(), files[2]+":") {
		t.Errorf("%d\n%s\n%s", status, &o, &e)
	}
	if list, err := os.ReadDir(out); err != nil || len(list) != 1 || list[0].Name() != "boat" {
		t.Error(list, err)
	}
}

func TestRun_SaysItsVersion(t *testing.T) {
	for _, args := range [][]string{{"--version"}, {"cut", "--version"}} {
		status, text, errs := abut(args...)
		if status != exitOK || !strings.HasPrefix(text, "abut ") || !strings.Contains(text, "go1.") || strings.Count(text, "\n") != 1 || errs != "" {
			t.Errorf("%q: %d %q %q", args, status, text, errs)
		}
	}
}
