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

	"abut/internal/words"
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
// follows is renaming only; a step that fails undoes those before it.
func place(ctx context.Context, dir string, files []file, overwrite bool) (err error) {
	unwritable := func(err error) error {
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
	return nil
}

// replaceIn puts the files into a folder that is there: it replaces what an
// earlier run wrote and touches nothing else.
func replaceIn(ctx context.Context, dir string, files []file, unwritable func(error) error) error {
	ours := writtenEarlier(dir)
	var clash []string
	for _, f := range files {
		if _, err := os.Lstat(filepath.Join(dir, f.name)); err == nil && !slices.Contains(ours, f.name) {
			clash = append(clash, f.name)
		}
	}
	if len(clash) > 0 {
		return fail("target-foreign", nil, "path", dir, "files", words.List(clash))
	}
	staging, err := stage(ctx, dir, "abut", files, unwritable)
	defer os.RemoveAll(staging)
	if err != nil {
		return err
	}
	aside, err := makeHidden(dir, "abut")
	if err != nil {
		return unwritable(err)
	}
	var moved [][2]string
	done := false
	defer func() { // after a panic too
		if !done {
			for _, m := range slices.Backward(moved) {
				if os.Rename(m[1], m[0]) != nil {
					return // leave aside what can't be put back
				}
			}
		}
		os.RemoveAll(aside)
	}()
	move := func(from, to string) error {
		err := os.Rename(from, to)
		if err == nil {
			moved = append(moved, [2]string{from, to})
		}
		return err
	}
	for _, name := range ours {
		if err := move(filepath.Join(dir, name), filepath.Join(aside, name)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return unwritable(err)
		}
	}
	for _, f := range files {
		if err := move(filepath.Join(staging, f.name), filepath.Join(dir, f.name)); err != nil {
			return unwritable(err)
		}
	}
	done = true
	return nil
}

// stage writes the files into a new hidden folder in parent. It returns the
// folder even when it fails, empty when there is none.
func stage(ctx context.Context, parent, base string, files []file, unwritable func(error) error) (string, error) {
	staging, err := makeHidden(parent, base)
	if err != nil {
		return "", unwritable(err)
	}
	for _, f := range files {
		if err := ctx.Err(); err != nil {
			return staging, err
		}
		if err := os.WriteFile(filepath.Join(staging, f.name), f.data, 0o666); err != nil {
			return staging, unwritable(err)
		}
	}
	return staging, nil
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
