package whole

import (
	"bytes"
	"context"
	"errors"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"

	"abut/internal/message"
	"abut/internal/tree"
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
		tree.Put(t, filepath.Join(dir, "out", "job.json"), "steps.html job.json old")
		tree.Put(t, filepath.Join(dir, "out", "steps.html"), "old")
		tree.Put(t, filepath.Join(dir, "out", "mine.txt"), "mine")
		before := tree.Of(t, dir)
		if err := write(c.ctx, filepath.Join(dir, c.target), c.files); err == nil {
			t.Errorf("%s: no error", c.name)
		}
		if after := tree.Of(t, dir); !maps.Equal(before, after) {
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
	old, after := tree.Of(t, earlier(t)), replaced(t)
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
		if got := tree.Of(t, dir); !maps.Equal(got, want) {
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
		got := tree.Of(t, dir)
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
		if !maps.Equal(got, tree.Of(t, earlier(t))) {
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
	if got := tree.Of(t, filepath.Dir(dir)); len(got) != 2 {
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
	tree.Put(t, filepath.Join(dir, "02-green-mirrored.svg"), "my own")
	tree.Put(t, filepath.Join(dir, "file"), "a file")
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
	if err, ok := message.In((Folder{Path: dir}).Check()); !ok || err.ID != ErrExists {
		t.Error(err)
	}
	if err := (Folder{Path: filepath.Join(dir, "none")}).Check(); err != nil {
		t.Error(err)
	}
}

func TestUnmake_RemovesWhatWasMadeAndIsEmpty(t *testing.T) {
	dir := t.TempDir()
	unmake := Unmake(filepath.Join(dir, "a", "b", "c"))
	tree.Put(t, filepath.Join(dir, "a", "b", "c", "d"), "")
	tree.Put(t, filepath.Join(dir, "a", "mine"), "")
	unmake()
	if _, err := os.Stat(filepath.Join(dir, "a", "b", "c", "d")); err != nil {
		t.Error(err)
	}
	if err := os.Remove(filepath.Join(dir, "a", "b", "c", "d")); err != nil {
		t.Fatal(err)
	}
	unmake()
	if got := tree.Of(t, dir); len(got) != 3 || got["a/mine"] != "" {
		t.Errorf("%v", got)
	}
}

// At whatever step the first run is, the second is refused and harms nothing.
func TestFolder_TwoRunsDoNotMix(t *testing.T) {
	for name, start := range map[string]func(*testing.T) string{
		"into a new folder": func(t *testing.T) string { return filepath.Join(t.TempDir(), "above", "out") },
		"into an old one":   earlier,
	} {
		refused := 0
		for n, through := 1, false; !through; n++ {
			dir := start(t)
			var second error
			look := &atLook{context.Background(), n, func() {
				second = write(context.Background(), dir, killedFiles("old"))
			}}
			if err := write(look, dir, killedFiles("new")); err != nil {
				t.Errorf("%s, step %d: %v", name, n, err)
			}
			through = look.n > 0
			var e *Error
			switch {
			case errors.As(second, &e) && e.ID == "target-busy" && e.Args["path"] == dir:
				refused++
			case !through:
				t.Errorf("%s, step %d: the second run: %v", name, n, second)
			}
			got := tree.Of(t, dir)
			delete(got, "mine.txt")
			for _, f := range killedFiles("new") {
				if got[f.Name] != string(f.Data) {
					t.Errorf("%s, step %d: %s holds %q", name, n, f.Name, got[f.Name])
				}
				delete(got, f.Name)
			}
			if len(got) != 1 || len(tree.Of(t, filepath.Dir(dir))) > 7 {
				t.Errorf("%s, step %d: left behind: %v", name, n, tree.Of(t, filepath.Dir(dir)))
			}
		}
		if refused < 5 { // four files, and their renaming
			t.Errorf("%s: only %d steps", name, refused)
		}
	}
}

func TestFolder_ManyRunsAtOnceLeaveOneOfThemWhole(t *testing.T) {
	dir := earlier(t)
	var all sync.WaitGroup
	written := make(chan string, 16)
	for i := range cap(written) {
		all.Go(func() {
			version := "new" + strconv.Itoa(i)
			err := write(context.Background(), dir, killedFiles(version))
			var e *Error
			if err == nil {
				written <- version
			} else if !errors.As(err, &e) || e.ID != "target-busy" {
				t.Error(err)
			}
		})
	}
	all.Wait()
	close(written)
	got := tree.Of(t, dir)
	for version := range written {
		files := killedFiles(version)
		if got["job.json"] != string(files[3].Data) {
			continue
		}
		for _, f := range files {
			if got[f.Name] != string(f.Data) {
				t.Errorf("%s holds %q", f.Name, got[f.Name])
			}
		}
		if len(got) != 6 { // mine.txt and the folder itself
			t.Errorf("%v", got)
		}
		return
	}
	t.Errorf("of no run: %v", got)
}

// 255 bytes is the longest name that common file systems take.
func TestFolder_TakesEveryNameThatTheSystemTakes(t *testing.T) {
	for _, length := range []int{1, 200, 201, 239, 240, 241, 245, 250, 255} {
		parent := t.TempDir()
		dir := filepath.Join(parent, strings.Repeat("n", length))
		for _, version := range []string{"old", "new"} { // new, and there already
			if err := write(context.Background(), dir, killedFiles(version)); err != nil {
				t.Errorf("%d bytes: %v", length, err)
			}
		}
		if got := tree.Of(t, parent); len(got) != 6 {
			t.Errorf("%d bytes: %v", length, got)
		}
	}
}

func TestFolder_ANameOf300BytesIsRefusedWithAReason(t *testing.T) {
	parent := t.TempDir()
	for _, name := range []string{strings.Repeat("n", 300), filepath.Join(strings.Repeat("n", 300), "out"), filepath.Join("above", strings.Repeat("n", 300))} {
		err := write(context.Background(), filepath.Join(parent, name), killedFiles("new"))
		var e *Error
		if !errors.As(err, &e) || e.ID != "target-unwritable" || !errors.Is(err, syscall.ENAMETOOLONG) {
			t.Error(err)
		}
	}
	if got := tree.Of(t, parent); len(got) != 1 {
		t.Errorf("%v", got)
	}
}

// On a file system that minds case these are two folders, on others one: then
// the second run is told that it is there.
func TestFolder_NamesThatDifferByCaseOnlyNeverMix(t *testing.T) {
	parent := t.TempDir()
	lower, upper := to(filepath.Join(parent, "out")), to(filepath.Join(parent, "OUT"))
	lower.Overwrite, upper.Overwrite = false, false
	var second error
	look := &atLook{context.Background(), 3, func() { second = upper.Write(context.Background(), killedFiles("new")) }}
	first := lower.Write(look, killedFiles("old"))
	got := tree.Of(t, parent)
	for _, run := range []struct {
		err     error
		in      string
		version string
	}{{first, "out", "old"}, {second, "OUT", "new"}} {
		if run.err != nil {
			var e *Error
			if !errors.As(run.err, &e) || e.ID != ErrExists {
				t.Error(run.err)
			}
			continue
		}
		for _, f := range killedFiles(run.version) {
			if got[filepath.Join(run.in, f.Name)] != string(f.Data) {
				t.Errorf("%s/%s: %v", run.in, f.Name, got)
			}
		}
	}
	if first != nil && second != nil {
		t.Error(first, second)
	}
}
