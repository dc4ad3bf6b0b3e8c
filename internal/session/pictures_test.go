package session

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"abut/internal/abutfile"
	"abut/internal/job"
)

// relaid moves what is in a folder to another.
func relaid(t *testing.T, from, to string, names ...string) {
	t.Helper()
	for _, name := range names {
		if err := os.MkdirAll(filepath.Dir(filepath.Join(to, name)), 0o700); err != nil {
			t.Fatal(err)
		}
		if err := os.Rename(filepath.Join(from, name), filepath.Join(to, name)); err != nil {
			t.Fatal(err)
		}
	}
}

// at writes a picture into a folder that need not be there yet.
func (b *bench) at(folder, name, text string) string {
	b.t.Helper()
	path := filepath.Join(folder, filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		b.t.Fatal(err)
	}
	b.drawn(path, text)
	return path
}

// savedWith saves a job of a picture, and returns the job's file.
func savedWith(t *testing.T, folder, picture string) string {
	t.Helper()
	b := newBench(t)
	b.Open(b.at(folder, picture, nest))
	b.settle()
	b.rename("Nest box")
	path := filepath.Join(folder, "job.abut")
	if err := b.save(path); err != nil {
		t.Fatal(err)
	}
	return path
}

// Who opens a job again reads its picture again without looking for it, wherever both lie by now.
func TestOpen_KnowsTheFileOfAPictureThatLiesByTheJob(t *testing.T) {
	for picture, elsewhere := range map[string]string{"nest.svg": "nest.svg", "art/nest.svg": "art/nest.svg", "drawings/nest.svg": "nest.svg"} {
		folder, other := t.TempDir(), t.TempDir()
		savedWith(t, folder, picture)
		relaid(t, folder, other, "job.abut")
		b := newBench(t)
		path := b.at(other, elsewhere, nest)
		b.Open(filepath.Join(other, "job.abut"))
		b.settle()
		if !b.HasSource(1) || b.outdated() != "" || b.Changed() {
			t.Errorf("%s: known %v, changed %v", picture, b.HasSource(1), b.Changed())
			continue
		}
		b.drawn(path, twoInNest)
		if got := b.outdated(); got != "nest.svg" {
			t.Errorf("%s is changed, and told of %q", picture, got)
		}
		b.Renew(1, func(string, job.Redrawn) {})
		b.settle()
		if l := b.Job().Items[0].Layers; len(b.errs) > 0 || len(l) != 3 || l[0].Name != "Nest box" || b.outdated() != "" {
			t.Errorf("%s: %v, %d layers, the first is %q", picture, b.errs, len(l), l[0].Name)
		}
	}
}

// What was drawn on while the job was closed is told.
func TestOpen_TellsThatAPictureWasChangedSince(t *testing.T) {
	folder := t.TempDir()
	path := savedWith(t, folder, "nest.svg")
	b := newBench(t)
	b.at(folder, "nest.svg", twoInNest)
	b.Open(path)
	b.settle()
	if got := b.outdated(); got != "nest.svg" {
		t.Errorf("told of %q", got)
	}
}

// A job is given to others: it says nothing of folders that are not its own.
func TestSave_TellsNothingOfTheMakersFolders(t *testing.T) {
	home := t.TempDir()
	b := newBench(t)
	b.Open(b.at(home, "secret/nest.svg", nest))
	b.settle()
	for folder, want := range map[string]string{
		home: "secret/nest.svg", filepath.Join(home, "secret"): "nest.svg", filepath.Join(home, "jobs"): "nest.svg",
	} {
		if err := os.MkdirAll(folder, 0o700); err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(folder, "job.abut")
		if err := b.save(path); err != nil {
			t.Fatal(err)
		}
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		d, err := abutfile.Read(bytes.NewReader(text))
		if err != nil || len(d.Pictures) != 1 || d.Pictures[0].File != want || strings.Contains(string(text), filepath.Base(filepath.Dir(home))) {
			t.Errorf("in %s: %v, %+v", folder, err, d.Pictures)
		}
	}
}

// A job whose picture is not there says so to whoever has it, as often as it is saved on the way.
func TestSave_KeepsWhatItSaysOfAPictureThatIsNotThere(t *testing.T) {
	folder, other := t.TempDir(), t.TempDir()
	savedWith(t, folder, "nest.svg")
	relaid(t, folder, other, "job.abut")
	b := newBench(t)
	b.Open(filepath.Join(other, "job.abut"))
	b.settle()
	b.rename("Bird box")
	if err := b.save(filepath.Join(other, "job.abut")); err != nil {
		t.Fatal(err)
	}
	relaid(t, other, folder, "job.abut")
	b = newBench(t)
	b.drawn(filepath.Join(folder, "nest.svg"), twoInNest)
	b.Open(filepath.Join(folder, "job.abut"))
	b.settle()
	if !b.HasSource(1) || b.outdated() != "nest.svg" {
		t.Error("the picture is not known")
	}
}

// Whatever a job file says, nothing outside its folder is looked at for it.
func TestOpen_LooksForPicturesInItsFolderOnly(t *testing.T) {
	root := t.TempDir()
	b := newBench(t)
	outside := b.at(root, "nest.svg", nest)
	inside := filepath.Join(root, "jobs")
	saved := savedWith(t, inside, "egg.svg")
	if err := os.Remove(filepath.Join(inside, "egg.svg")); err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(saved)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.MkdirAll(filepath.Join(inside, "folder"), 0o700); err != nil {
		t.Fatal(err)
	}
	for _, way := range []string{"../nest.svg", outside, "x/../../nest.svg", "folder", "job.abut", "", ".", "..", "\\\\host\\nest.svg"} {
		d, err := abutfile.Read(bytes.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		d.Pictures[0].File, d.Job.Items[0].Source = way, way
		for _, said := range [][]abutfile.Picture{d.Pictures, nil, {{Item: 7, File: "egg.svg", Bytes: -1, SHA256: "x"}}} {
			d.Pictures = said
			if err := writeWhole(saved, d); err != nil {
				t.Fatal(err)
			}
			b := newBench(t)
			b.Open(saved)
			b.settle()
			if len(b.errs) > 0 || !b.Opened() || b.HasSource(1) {
				t.Errorf("%q: %v, known %v", way, b.errs, b.HasSource(1))
			}
		}
	}
}

// Rescued work is this computer's: its picture is where it was, whatever folder that is.
func TestRecover_KnowsTheFileOfAPicture(t *testing.T) {
	dir := t.TempDir()
	b := newBench(t)
	path := b.at(t.TempDir(), "nest.svg", nest)
	leave(t, dir, path, "Nest box")
	b.KeepIn(dir)
	b.drawn(path, twoInNest)
	b.Recover(b.lost()[0])
	b.settle()
	if !b.HasSource(1) || b.outdated() != "nest.svg" {
		t.Error("the picture is not known")
	}
}
