package whole

import (
	"abut/internal/message"
	"bytes"
	"context"
	"errors"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"
)

func TestFolder_AFailureLeavesEverythingAsItWas(t *testing.T) {
	ctx := context.Background()
	stopped, cancel := context.WithCancel(ctx)
	cancel()
	good := File{"steps.html", []byte("new")}
	bad := File{"no-such-folder/x", nil} // cannot be written
	for _, c := range []struct {
		name   string
		ctx    context.Context
		target string
		files  []File
	}{
		{"cannot be written", ctx, "new/deep/out", []File{good, bad}},
		{"stopped", stopped, "new/deep/out", []File{good}},
		{"cannot be written, into a folder", ctx, "out", []File{good, bad}},
		{"stopped, into a folder", stopped, "out", []File{good}},
	} {
		dir := t.TempDir()
		put(t, filepath.Join(dir, "out", "job.json"), "steps.html job.json old")
		put(t, filepath.Join(dir, "out", "steps.html"), "old")
		put(t, filepath.Join(dir, "out", "mine.txt"), "mine")
		before := tree(t, dir)
		if err := write(c.ctx, filepath.Join(dir, c.target), c.files); err == nil {
			t.Errorf("%s: no error", c.name)
		}
		if after := tree(t, dir); !maps.Equal(before, after) {
			t.Errorf("%s: %v\nbefore %v", c.name, after, before)
		}
	}
}

// atLook is a context that does something when it is looked at for the n-th time.
type atLook struct {
	context.Context
	n  int
	do func()
}

func (a *atLook) Err() error {
	if a.n--; a.n == 0 {
		a.do()
	}
	return a.Context.Err()
}

// Stopped at any step, a run either leaves everything as it was or was through.
func TestFolder_StoppedAtAnyStepLeavesAllOrNothing(t *testing.T) {
	old, after := tree(t, earlier(t)), replaced(t)
	for n, through := 1, false; !through; n++ {
		dir := earlier(t)
		ctx, cancel := context.WithCancel(context.Background())
		look := &atLook{ctx, n, cancel}
		err := write(look, dir, killedFiles("new"))
		through = look.n > 0
		cancel()
		want := old
		if through {
			want = after
		}
		if through != (err == nil) || !through && !errors.Is(err, context.Canceled) {
			t.Errorf("step %d: %v", n, err)
		}
		if got := tree(t, dir); !maps.Equal(got, want) {
			t.Errorf("step %d: %v", n, got)
		}
		if through && n < 12 { // four files to write, two moves each, and some
			t.Errorf("only %d steps", n)
		}
	}
}

// What fails on the way is undone like what is stopped: here a file is in the
// way that came meanwhile.
func TestFolder_AFailureAtAnyStepIsUndone(t *testing.T) {
	for n := 1; ; n++ {
		dir := earlier(t)
		blocked := filepath.Join(dir, "02-green-mirrored.svg")
		came := false // unless the new file is there already
		look := &atLook{context.Background(), n, func() {
			came = os.Mkdir(blocked, 0o755) == nil && os.WriteFile(filepath.Join(blocked, "theirs"), nil, 0o644) == nil
		}}
		err := write(look, dir, killedFiles("new"))
		if look.n > 0 {
			return // never reached
		}
		got := tree(t, dir)
		if _, is := got["02-green-mirrored.svg/theirs"]; is != came || came == (err == nil) {
			t.Errorf("step %d: %v, %v", n, err, got)
		}
		if !came {
			continue
		}
		var e *Error
		if !errors.As(err, &e) || e.Says().Args["path"] != dir {
			t.Errorf("step %d: %v", n, err)
		}
		delete(got, "02-green-mirrored.svg/theirs")
		delete(got, "02-green-mirrored.svg/")
		if !maps.Equal(got, tree(t, earlier(t))) {
			t.Errorf("step %d: %v, %v", n, err, got)
		}
	}
}

// A folder that came meanwhile is somebody else's.
func TestFolder_WhatAppearsMeanwhileIsLeftAlone(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	look := &atLook{context.Background(), 2, func() {
		if err := os.Mkdir(dir, 0o755); err != nil {
			t.Error(err)
		}
	}}
	err := write(look, dir, killedFiles("new"))
	var e *Error
	if !errors.As(err, &e) || e.ID != ErrExists {
		t.Error(err)
	}
	if got := tree(t, filepath.Dir(dir)); len(got) != 2 {
		t.Errorf("%v", got)
	}
}

func TestFolder_FilesOfEverySizeAreWrittenToTheLastByte(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	var files []File
	for _, n := range []int{0, 1, writeAtOnce - 1, writeAtOnce, writeAtOnce + 1, 3*writeAtOnce + 7} {
		files = append(files, File{strconv.Itoa(n), bytes.Repeat([]byte{byte(n)}, n)})
	}
	if err := write(context.Background(), dir, files); err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if b, err := os.ReadFile(filepath.Join(dir, f.Name)); err != nil || !bytes.Equal(b, f.Data) {
			t.Errorf("%s: %d bytes, %v", f.Name, len(b), err)
		}
	}
}

func TestFolder_SaysWhatIsInTheWay(t *testing.T) {
	dir := earlier(t)
	put(t, filepath.Join(dir, "02-green-mirrored.svg"), "my own")
	put(t, filepath.Join(dir, "file"), "a file")
	for path, id := range map[string]string{dir: "target-foreign", filepath.Join(dir, "file"): "target-is-file", filepath.Join(dir, "file", "out"): "target-unwritable"} {
		err := write(context.Background(), path, killedFiles("new"))
		var e *Error
		if !errors.As(err, &e) || e.ID != id || e.Args["path"] == "" || id == "target-unwritable" && (e.Args["detail"] == "" || strings.Contains(e.Args["detail"], path)) {
			t.Errorf("%s: %v", path, err)
		}
		if id == "target-foreign" && !reflect.DeepEqual(e.Values["files"], message.List{"02-green-mirrored.svg"}) {
			t.Errorf("%+v", e.Message)
		}
	}
	if err := (Folder{Path: dir}).Check(); message.Of(ErrExists, "path", dir).ID != err.(*Error).ID {
		t.Error(err)
	}
	if err := (Folder{Path: filepath.Join(dir, "none")}).Check(); err != nil {
		t.Error(err)
	}
}

func TestUnmake_RemovesWhatWasMadeAndIsEmpty(t *testing.T) {
	dir := t.TempDir()
	unmake := Unmake(filepath.Join(dir, "a", "b", "c"))
	put(t, filepath.Join(dir, "a", "b", "c", "d"), "")
	put(t, filepath.Join(dir, "a", "mine"), "")
	unmake()
	if _, err := os.Stat(filepath.Join(dir, "a", "b", "c", "d")); err != nil {
		t.Error(err)
	}
	if err := os.Remove(filepath.Join(dir, "a", "b", "c", "d")); err != nil {
		t.Fatal(err)
	}
	unmake()
	if got := tree(t, dir); len(got) != 3 || got["a/mine"] != "" {
		t.Errorf("%v", got)
	}
}
