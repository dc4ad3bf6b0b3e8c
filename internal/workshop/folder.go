package workshop

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
)

// checkTarget says early whether dir can be written to as asked.
func checkTarget(dir string, overwrite bool) error {
	info, err := os.Stat(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return fail("target-unwritable", err, "path", dir, "detail", cause(err))
	case !info.IsDir():
		return fail("target-is-file", nil, "path", dir)
	case !overwrite:
		return fail(ErrTargetExists, nil, "path", dir)
	}
	return nil
}

// place puts the files into the folder dir, all of them or none. They are
// first written to a hidden folder on the same file system, so that what
// follows is renaming only: one for a new folder, several where it is there.
func place(ctx context.Context, dir string, files []file, overwrite bool) (err error) {
	unwritable := func(err error) error {
		if ctx.Err() != nil && errors.Is(err, ctx.Err()) {
			return err
		}
		return fail("target-unwritable", err, "path", dir, "detail", cause(err))
	}
	target, err := filepath.Abs(dir)
	if err != nil {
		return unwritable(err)
	}
	if err := checkTarget(target, overwrite); err != nil {
		return err
	}
	if real, err := filepath.EvalSymlinks(target); err == nil {
		return replaceIn(ctx, real, files, unwritable)
	}

	made, err := makeFolders(filepath.Dir(target))
	done := false
	defer func() { // after a panic too
		if !done {
			removeFolders(made)
		}
	}()
	if err != nil {
		return unwritable(err)
	}
	sweep(filepath.Dir(target), filepath.Base(target))
	staging, err := stage(ctx, filepath.Dir(target), filepath.Base(target), files, unwritable)
	defer os.RemoveAll(staging) // gone already when all went well
	if err != nil {
		return err
	}
	if err := checkTarget(target, false); err != nil {
		return err // it appeared meanwhile
	}
	if err := os.Rename(staging, target); err != nil {
		return unwritable(err)
	}
	done = true
	syncFolder(filepath.Dir(target))
	return nil
}

// stage writes the files into a new hidden folder in parent. It returns the
// folder even when it fails, empty when there is none.
func stage(ctx context.Context, parent, base string, files []file, unwritable func(error) error) (string, error) {
	staging, err := makeHidden(parent, base)
	if err != nil {
		return "", unwritable(err)
	}
	if err := writeFiles(ctx, staging, files); err != nil {
		return staging, unwritable(err)
	}
	return staging, nil
}

// writeFiles writes files into a folder and returns when they are on disk.
func writeFiles(ctx context.Context, dir string, files []file) error {
	for _, f := range files {
		if err := ctx.Err(); err != nil {
			return err
		}
		if err := writeOnDisk(filepath.Join(dir, f.name), f.data); err != nil {
			return err
		}
	}
	syncFolder(dir)
	return nil
}

func writeOnDisk(path string, data []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Sync(), f.Close())
}

// makeFolders makes path and what is missing above it, and returns what it
// made, outermost first, whether or not it failed.
func makeFolders(path string) (made []string, err error) {
	var missing []string
	for p := path; ; p = filepath.Dir(p) {
		if _, err := os.Stat(p); err == nil || !errors.Is(err, fs.ErrNotExist) || p == filepath.Dir(p) {
			break
		}
		missing = append(missing, p)
	}
	for _, p := range slices.Backward(missing) {
		if err := os.Mkdir(p, 0o777); err != nil {
			if errors.Is(err, fs.ErrExist) {
				continue
			}
			return made, err
		}
		made = append(made, p)
	}
	return made, nil
}

// removeFolders removes folders that makeFolders made, if they are empty.
func removeFolders(made []string) {
	for _, p := range slices.Backward(made) {
		_ = os.Remove(p)
	}
}

// makeHidden makes a new hidden folder beside a target of this name. Unlike
// os.MkdirTemp's it has the permissions that the user's other folders have,
// for it becomes the target.
func makeHidden(parent, base string) (string, error) {
	for try := 0; ; try++ {
		p := filepath.Join(parent, fmt.Sprintf(".%s.%08x.part", base, rand.Uint32()))
		err := os.Mkdir(p, 0o777)
		if err == nil || !errors.Is(err, fs.ErrExist) || try == 100 {
			return p, err
		}
	}
}

// sweep removes what processes that were killed left of makeHidden's folders.
// Each gets another name first: should its process live after all, that fails
// where it would else put half of its files in place.
func sweep(parent, base string) {
	left := regexp.MustCompile(`^\.` + regexp.QuoteMeta(base) + `\.[0-9a-f]{8}\.(part|gone)$`)
	list, _ := os.ReadDir(parent)
	for _, f := range list {
		if !f.IsDir() || !left.MatchString(f.Name()) {
			continue
		}
		p := filepath.Join(parent, f.Name())
		gone := strings.TrimSuffix(p, filepath.Ext(p)) + ".gone"
		if os.Rename(p, gone) == nil {
			_ = os.RemoveAll(gone)
		}
	}
}

// cutFileName is what cut files are called; see cutfile.Separation.FileName.
var cutFileName = regexp.MustCompile(`^\d{2,}-[a-z0-9-]+-mirrored\.[a-z]+$`)

// writtenEarlier returns the files in dir that an earlier run wrote, as its
// job.json lists them; none when there is no such list. Names that no run would
// write are not believed.
func writtenEarlier(dir string) []string {
	b, err := os.ReadFile(filepath.Join(dir, ManifestFile))
	if err != nil {
		return nil
	}
	var m Manifest
	if json.Unmarshal(b, &m) != nil || m.Schema != Schema {
		return nil
	}
	ours := []string{ManifestFile, StepsFile}
	for _, s := range m.Separations {
		if cutFileName.MatchString(s.File) && !slices.Contains(ours, s.File) {
			ours = append(ours, s.File)
		}
	}
	for _, d := range m.Drawings {
		if cutFileName.MatchString(d.File) && !slices.Contains(ours, d.File) {
			ours = append(ours, d.File)
		}
	}
	return ours
}
