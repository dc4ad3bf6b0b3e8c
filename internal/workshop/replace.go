package workshop

import (
	"context"
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"abut/internal/words"
)

// Files in a folder that is there cannot all be replaced in one step, so the
// steps are noted: a process that is killed between them leaves what the next
// one needs to put everything back. The notes are a hidden folder in the target:
//
//	.abut-replacing/new/    new files that are not in place yet
//	.abut-replacing/old/    what was there before
//	.abut-replacing/names   the names of all new files
//
// It comes into being by one renaming, complete, and goes by another one. While
// it is there job.json is not, or is that of the files beside it: the first to
// go and the last to come.
const (
	replacing     = ".abut-replacing"
	replacingNew  = "new"
	replacingOld  = "old"
	replacingList = "names"
)

// replaceIn puts the files into a folder that is there: it replaces what an
// earlier run wrote and touches nothing else. What fails or is stopped leaves
// everything as it was; what is killed does so when the next run begins.
func replaceIn(ctx context.Context, dir string, files []file, unwritable func(error) error) error {
	sweep(dir, "abut")
	if err := putBack(ctx, dir); err != nil {
		return unwritable(err)
	}
	ours := writtenEarlier(dir)
	var clash, names []string
	for _, f := range files {
		names = append(names, f.name)
		if _, err := os.Lstat(filepath.Join(dir, f.name)); err == nil && !slices.Contains(ours, f.name) {
			clash = append(clash, f.name)
		}
	}
	if len(clash) > 0 {
		return fail("target-foreign", nil, "path", dir, "files", words.List(clash))
	}
	staging, err := makeHidden(dir, "abut")
	if err != nil {
		return unwritable(err)
	}
	defer os.RemoveAll(staging) // gone already when all went well
	if err := stageReplacing(ctx, staging, files, names); err != nil {
		return unwritable(err)
	}
	if err := os.Rename(staging, filepath.Join(dir, replacing)); err != nil {
		return unwritable(err)
	}
	done := false
	defer func() { // after a panic too
		if !done {
			_ = putBack(context.WithoutCancel(ctx), dir) // else the next run does
		}
	}()
	syncFolder(dir)
	if err := moveAll(ctx, dir, ours, names); err != nil {
		return unwritable(err)
	}
	if err := os.Rename(filepath.Join(dir, replacing), staging); err != nil {
		return unwritable(err)
	}
	done = true
	syncFolder(dir)
	return nil
}

// stageReplacing makes the hidden folder's contents.
func stageReplacing(ctx context.Context, staging string, files []file, names []string) error {
	list, err := json.Marshal(names)
	if err != nil {
		return err
	}
	if err := os.Mkdir(filepath.Join(staging, replacingOld), 0o777); err != nil {
		return err
	}
	if err := os.Mkdir(filepath.Join(staging, replacingNew), 0o777); err != nil {
		return err
	}
	if err := writeFiles(ctx, filepath.Join(staging, replacingNew), files); err != nil {
		return err
	}
	return writeFiles(ctx, staging, []file{{replacingList, list}})
}

// moveAll moves the old files out and the new ones in.
func moveAll(ctx context.Context, dir string, old, names []string) error {
	move := func(from, to string) error {
		if err := ctx.Err(); err != nil {
			return err
		}
		return os.Rename(from, to)
	}
	aside := filepath.Join(dir, replacing)
	for _, name := range old {
		if err := move(filepath.Join(dir, name), filepath.Join(aside, replacingOld, name)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	for _, name := range names {
		if err := move(filepath.Join(aside, replacingNew, name), filepath.Join(dir, name)); err != nil {
			return err
		}
	}
	return ctx.Err() // the last chance to stop
}

// putBack undoes a replacing that did not come to its end, whether in this
// process or in one that was killed; it may be killed itself and be begun again.
// Where there is none it does nothing.
func putBack(ctx context.Context, dir string) error {
	aside := filepath.Join(dir, replacing)
	list, err := os.ReadFile(filepath.Join(aside, replacingList))
	if errors.Is(err, fs.ErrNotExist) {
		return nil // none, or a folder of somebody else's
	}
	var names []string
	if err == nil {
		err = json.Unmarshal(list, &names)
	}
	if err != nil {
		return err
	}
	move := func(from, to string) error {
		if err := ctx.Err(); err != nil {
			return err
		}
		return os.Rename(from, to)
	}
	for _, name := range slices.Backward(names) {
		if name != filepath.Base(name) {
			return fs.ErrInvalid // no run wrote this list
		}
		back := filepath.Join(aside, replacingNew, name)
		if _, err := os.Lstat(back); err == nil {
			continue // it never came
		}
		// Old files come back after all new ones are, so this is a new one.
		if err := move(filepath.Join(dir, name), back); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	old, err := os.ReadDir(filepath.Join(aside, replacingOld))
	if err != nil {
		return err
	}
	for _, f := range slices.Backward(byArrival(old)) {
		if err := move(filepath.Join(aside, replacingOld, f), filepath.Join(dir, f)); err != nil {
			return err
		}
	}
	gone, err := makeHidden(dir, "abut")
	if err != nil {
		return err
	}
	defer os.RemoveAll(gone)
	return os.Rename(aside, filepath.Join(gone, replacing))
}

// byArrival lists names so that job.json is first, as moveAll moved it.
func byArrival(list []fs.DirEntry) []string {
	var out []string
	for _, f := range list {
		if f.Name() == ManifestFile {
			out = slices.Insert(out, 0, f.Name())
		} else {
			out = append(out, f.Name())
		}
	}
	return out
}
