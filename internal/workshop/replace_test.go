package workshop

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
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

func killedFiles(version string) []file {
	list := []file{
		{"01-red-mirrored.svg", []byte("red " + version)},
		{"02-blue-mirrored.svg", []byte("blue " + version)},
		{"steps.html", []byte("steps " + version)},
	}
	if version == "new" { // one comes, one goes
		list[1].name = "02-green-mirrored.svg"
	}
	manifest := `{"schema":"abut-job/1","verdict":"` + version + `","separations":[{"file":"` + list[0].name + `"},{"file":"` + list[1].name + `"}]}`
	return append(list, file{"job.json", []byte(manifest)})
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
	case what == "place":
		err = place(ctx, dir, killedFiles("new"), true)
	default:
		err = putBack(ctx, dir)
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
	put(t, filepath.Join(dir, "mine.txt"), "mine")
	for _, f := range killedFiles("old") {
		put(t, filepath.Join(dir, f.name), string(f.data))
	}
	return dir
}

// replaced is the tree that overwriting an earlier export ends in.
func replaced(t *testing.T) map[string]string {
	dir := earlier(t)
	if err := place(context.Background(), dir, killedFiles("new"), true); err != nil {
		t.Fatal(err)
	}
	return tree(t, dir)
}

func TestReplace_AKilledRunIsUndoneByTheNext(t *testing.T) {
	old, after := tree(t, earlier(t)), replaced(t)
	if maps.Equal(old, after) {
		t.Fatal("nothing was replaced")
	}
	for n := 1; ; n++ {
		dir := earlier(t)
		if !killed(t, "place", n, dir) {
			if n < 12 { // four files to write, two moves each, and some
				t.Errorf("only %d steps", n)
			}
			if got := tree(t, dir); !maps.Equal(got, after) {
				t.Errorf("unharmed: %v", got)
			}
			return
		}
		// What a program finds that reads job.json belongs together.
		if now := tree(t, dir); now["job.json"] != "" {
			whole := old
			if now["job.json"] == after["job.json"] {
				whole = after
			}
			for name, data := range whole {
				if now[name] != data {
					t.Errorf("step %d: job.json lies beside %q in %s", n, now[name], name)
				}
			}
		}
		if err := putBack(context.Background(), dir); err != nil {
			t.Errorf("step %d: %v", n, err)
		}
		sweep(dir, "abut")
		if got := tree(t, dir); !maps.Equal(got, old) {
			t.Errorf("step %d: %v", n, got)
		}
	}
}

func TestReplace_TheNextRunReplacesAfterAKilledOne(t *testing.T) {
	after := replaced(t)
	for n := 1; ; n++ {
		dir := earlier(t)
		done := !killed(t, "place", n, dir)
		if err := place(context.Background(), dir, killedFiles("new"), true); err != nil {
			t.Errorf("step %d: %v", n, err)
		}
		if got := tree(t, dir); !maps.Equal(got, after) {
			t.Errorf("step %d: %v", n, got)
		}
		if done {
			return
		}
	}
}

func TestReplace_PuttingBackMayBeKilledToo(t *testing.T) {
	old := tree(t, earlier(t))
	last := 0
	for killed(t, "place", last+1, earlier(t)) {
		last++
	}
	for n := 1; ; n++ {
		dir := earlier(t)
		if !killed(t, "place", last, dir) {
			t.Fatal("not killed")
		}
		done := !killed(t, "putBack", n, dir)
		if err := putBack(context.Background(), dir); err != nil {
			t.Errorf("step %d: %v", n, err)
		}
		sweep(dir, "abut")
		if got := tree(t, dir); !maps.Equal(got, old) {
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

func TestPlace_SweepsWhatAKilledRunLeftBesideANewFolder(t *testing.T) {
	parent := t.TempDir()
	dir := filepath.Join(parent, "out[1]")
	if !killed(t, "place", 2, dir) {
		t.Fatal("not killed")
	}
	if list, err := os.ReadDir(parent); err != nil || len(list) != 1 {
		t.Fatalf("the killed run left %v, %v", list, err)
	}
	if err := place(context.Background(), dir, killedFiles("new"), false); err != nil {
		t.Fatal(err)
	}
	if list, err := os.ReadDir(parent); err != nil || len(list) != 1 || list[0].Name() != "out[1]" {
		t.Errorf("%v, %v", list, err)
	}
}
