//go:build unix

package whole

import (
	"context"
	"io"
	"os"
	"path/filepath"
	"syscall"
	"testing"
)

func TestWrite_TheUmaskIsHonoured(t *testing.T) {
	defer syscall.Umask(syscall.Umask(0))
	for _, umask := range []int{0o002, 0o022, 0o027, 0o077} {
		syscall.Umask(umask)
		dir := t.TempDir()
		file, out := filepath.Join(dir, "list.csv"), filepath.Join(dir, "out")
		if err := WriteFile(file, func(w io.Writer) error { return nil }); err != nil {
			t.Fatal(err)
		}
		for _, version := range []string{"old", "new"} { // new, and replaced
			if err := write(context.Background(), out, killedFiles(version)); err != nil {
				t.Fatal(err)
			}
			for path, most := range map[string]os.FileMode{file: 0o666, out: 0o777, filepath.Join(out, "job.json"): 0o666} {
				info, err := os.Stat(path)
				if err != nil {
					t.Fatal(err)
				}
				if want := most &^ os.FileMode(umask); info.Mode().Perm() != want {
					t.Errorf("umask %03o: %s has %03o, want %03o", umask, filepath.Base(path), info.Mode().Perm(), want)
				}
			}
		}
	}
}
