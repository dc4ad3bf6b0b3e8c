package whole

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"abut/internal/tree"
)

// killAt is a context that kills the process, as the system would, when it is
// asked for the n-th time whether to go on: before each step.
type killAt struct {
	context.Context
	n int
}

func (k *killAt) Err() error {
	if k.n--; k.n == 0 {
		p, err := os.FindProcess(os.Getpid())
		if err == nil {
			err = p.Kill()
		}
		if err != nil {
			panic(err)
		}
		select {}
	}
	return nil
}

func killedFiles(version string) []File {
	list := []File{
		{"01-red-mirrored.svg", []byte("red " + version)},
		{"02-blue-mirrored.svg", []byte("blue " + version)},
		{"steps.html", []byte("steps " + version)},
	}
	if version == "new" { // one comes, one goes
		list[1].Name = "02-green-mirrored.svg"
	}
	list = append(list, File{"job.json", nil})
	for _, f := range list {
		list[3].Data = fmt.Appendln(list[3].Data, f.Name)
	}
	list[3].Data = append(list[3].Data, version...)
	return list
}

// earlierFiles reads what killedFiles writes into job.json: the names of all
// files, job.json's own last, and the version.
func earlierFiles(dir string) []string {
	b, err := os.ReadFile(filepath.Join(dir, "job.json"))
	if err != nil {
		return nil
	}
	lines := strings.Fields(string(b))
	return append([]string{"job.json"}, lines[:len(lines)-2]...)
}

// to is a folder that such files are written to.
func to(dir string) Folder {
	names := regexp.MustCompile(`^(\d\d-\w+-mirrored\.svg|steps\.html|job\.json)$`)
	return Folder{Path: dir, Overwrite: true, Earlier: earlierFiles, Writes: names.MatchString}
}

// write writes a version's files.
func write(ctx context.Context, dir string, files []File) error { return to(dir).Write(ctx, files) }

// undo is what the next run begins with.
func undo(ctx context.Context, dir string) error {
	lock, err := TakeLock(filepath.Join(dir, replacing+lockSuffix))
	if err != nil {
		return err
	}
	defer lock.Release()
	sweep(dir, "abut")
	return to(dir).putBack(ctx, dir)
}

const killEnv = "ABUT_TEST_KILL" // what:step:folder

// TestMain is the process that is killed when a test has started it as that.
func TestMain(m *testing.M) {
	what, rest, ok := strings.Cut(os.Getenv(killEnv), ":")
	if !ok {
		os.Exit(m.Run())
	}
	step, dir, _ := strings.Cut(rest, ":")
	n, err := strconv.Atoi(step)
	ctx := &killAt{context.Background(), n}
	switch {
	case err != nil:
	case what == "write":
		err = write(ctx, dir, killedFiles("new"))
	default:
		err = undo(ctx, dir)
	}
	if err != nil {
		fmt.Println("FAIL:", err)
		os.Exit(1)
	}
	os.Exit(0)
}

// killed runs something in a process that is killed before its n-th step. False
// when it came to its end before.
func killed(t *testing.T, what string, n int, dir string) bool {
	t.Helper()
	c := exec.Command(os.Args[0])
	c.Env = append(os.Environ(), killEnv+"="+what+":"+strconv.Itoa(n)+":"+dir)
	out, err := c.CombinedOutput()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) || strings.Contains(string(out), "FAIL") {
		t.Fatalf("%s, step %d: %v\n%s", what, n, err, out)
	}
	return err != nil
}

// earlier makes a folder with an earlier export and a file of the user's.
func earlier(t *testing.T) string {
	dir := filepath.Join(t.TempDir(), "out")
	tree.Put(t, filepath.Join(dir, "mine.txt"), "mine")
	for _, f := range killedFiles("old") {
		tree.Put(t, filepath.Join(dir, f.Name), string(f.Data))
	}
	return dir
}

// replaced is the tree that overwriting an earlier export ends in.
func replaced(t *testing.T) map[string]string {
	dir := earlier(t)
	if err := write(context.Background(), dir, killedFiles("new")); err != nil {
		t.Fatal(err)
	}
	return tree.Of(t, dir)
}

// belongTogether checks that what a program finds that reads job.json is of one
// version.
func belongTogether(t *testing.T, step int, now, old, after map[string]string) {
	t.Helper()
	if now["job.json"] == "" {
		return
	}
	whole := old
	if now["job.json"] == after["job.json"] {
		whole = after
	}
	for name, data := range whole {
		if now[name] != data {
			t.Errorf("step %d: job.json lies beside %q in %s", step, now[name], name)
		}
	}
}

func TestReplace_AKilledRunIsUndoneByTheNext(t *testing.T) {
	old, after := tree.Of(t, earlier(t)), replaced(t)
	if maps.Equal(old, after) {
		t.Fatal("nothing was replaced")
	}
	for n := 1; ; n++ {
		dir := earlier(t)
		if !killed(t, "write", n, dir) {
			if n < 12 { // four files to write, two moves each, and some
				t.Errorf("only %d steps", n)
			}
			if got := tree.Of(t, dir); !maps.Equal(got, after) {
				t.Errorf("unharmed: %v", got)
			}
			return
		}
		belongTogether(t, n, tree.Of(t, dir), old, after)
		if err := undo(context.Background(), dir); err != nil {
			t.Errorf("step %d: %v", n, err)
		}
		if got := tree.Of(t, dir); !maps.Equal(got, old) {
			t.Errorf("step %d: %v", n, got)
		}
	}
}

func TestReplace_TheNextRunReplacesAfterAKilledOne(t *testing.T) {
	after := replaced(t)
	for n := 1; ; n++ {
		dir := earlier(t)
		done := !killed(t, "write", n, dir)
		if err := write(context.Background(), dir, killedFiles("new")); err != nil {
			t.Errorf("step %d: %v", n, err)
		}
		if got := tree.Of(t, dir); !maps.Equal(got, after) {
			t.Errorf("step %d: %v", n, got)
		}
		if done {
			return
		}
	}
}

func TestReplace_PuttingBackMayBeKilledToo(t *testing.T) {
	old, after := tree.Of(t, earlier(t)), replaced(t)
	last := 0
	for killed(t, "write", last+1, earlier(t)) {
		last++
	}
	for n := 1; ; n++ {
		dir := earlier(t)
		if !killed(t, "write", last, dir) {
			t.Fatal("not killed")
		}
		done := !killed(t, "putBack", n, dir)
		belongTogether(t, n, tree.Of(t, dir), old, after)
		if err := undo(context.Background(), dir); err != nil {
			t.Errorf("step %d: %v", n, err)
		}
		if got := tree.Of(t, dir); !maps.Equal(got, old) {
			t.Errorf("step %d: %v", n, got)
		}
		if done {
			if n < 8 { // four new files out, four old ones back
				t.Errorf("only %d steps", n)
			}
			return
		}
	}
}

func TestFolder_SweepsWhatAKilledRunLeftBesideANewFolder(t *testing.T) {
	parent := t.TempDir()
	dir := filepath.Join(parent, "out[1]")
	if !killed(t, "write", 2, dir) {
		t.Fatal("not killed")
	}
	if list, err := os.ReadDir(parent); err != nil || len(list) != 2 { // files, and a lock
		t.Fatalf("the killed run left %v, %v", list, err)
	}
	if err := write(context.Background(), dir, killedFiles("new")); err != nil {
		t.Fatal(err)
	}
	if list, err := os.ReadDir(parent); err != nil || len(list) != 1 || list[0].Name() != "out[1]" {
		t.Errorf("%v, %v", list, err)
	}
}

// A run that was killed while it swept left folders that are called so already.
func TestSweep_RemovesWhatASweepLeft(t *testing.T) {
	dir := earlier(t)
	want := tree.Of(t, dir)
	tree.Put(t, filepath.Join(dir, ".abut.0123abcd.gone", "old", "01-red-mirrored.svg"), "red")
	tree.Put(t, filepath.Join(dir, ".abut.4567abcd.part", "new", "01-red-mirrored.svg"), "red")
	sweep(dir, "abut")
	if got := tree.Of(t, dir); !maps.Equal(got, want) {
		t.Errorf("%v", got)
	}
}

// Whoever can put files into the folder could plant a list of what a killed run
// was about to replace.
func TestFolder_APlantedListMovesNobodysFiles(t *testing.T) {
	for name, plant := range map[string]map[string]string{
		"as new":           {"names": `["mine.txt"]`, "new/x": "", "old/job.json": "planted"},
		"as old":           {"names": `["job.json"]`, "new/job.json": "", "old/mine.txt": "planted"},
		"as a folder":      {"names": `["job.json"]`, "new/job.json": "", "old/mine.txt/x": "planted"},
		"elsewhere":        {"names": `["../outside.txt"]`, "new/x": "", "old/job.json": "planted"},
		"no list at all":   {"names": `{`, "new/x": "", "old/job.json": "planted"},
		"of another depth": {"names": `["sub/job.json"]`, "new/x": "", "old/job.json": "planted"},
	} {
		dir := earlier(t)
		tree.Put(t, filepath.Join(dir, "..", "outside.txt"), "outside")
		tree.Put(t, filepath.Join(dir, "sub", "job.json"), "theirs")
		for path, text := range plant {
			tree.Put(t, filepath.Join(dir, replacing, path), text)
		}
		before := tree.Of(t, filepath.Dir(dir))
		err := write(context.Background(), dir, killedFiles("new"))
		var e *Error
		if !errors.As(err, &e) || e.ID != "target-planted" || e.Args["path"] != filepath.Join(dir, replacing) {
			t.Errorf("%s: %v", name, err)
		}
		if after := tree.Of(t, filepath.Dir(dir)); !maps.Equal(before, after) {
			t.Errorf("%s: %v", name, after)
		}
	}
}

// A folder of notes that is a link would have files of these names moved in the
// folder that it points to.
func TestFolder_APlantedLinkIsNotFollowed(t *testing.T) {
	dir, other := earlier(t), t.TempDir()
	for path, text := range map[string]string{"names": `["job.json"]`, "new/x": "", "old/job.json": "theirs"} {
		tree.Put(t, filepath.Join(other, path), text)
	}
	if err := os.Symlink(other, filepath.Join(dir, replacing)); err != nil {
		t.Skip(err)
	}
	before := tree.Of(t, other)
	if err := write(context.Background(), dir, killedFiles("new")); err == nil {
		t.Error("it was written beside the link")
	}
	if after := tree.Of(t, other); !maps.Equal(before, after) {
		t.Errorf("%v", after)
	}
	if old, _ := os.ReadFile(filepath.Join(dir, "01-red-mirrored.svg")); string(old) != "red old" {
		t.Errorf("%q", old)
	}
}
