package whole

import (
	"abut/internal/message"
	"context"
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
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
// it is there, the file that tells of the others is not, or is that of the files
// beside it: the first to go and the last to come.
const (
	replacing     = ".abut-replacing"
	replacingNew  = "new"
	replacingOld  = "old"
	replacingList = "names"
)

// replace puts the files into a folder that is there: it replaces what an
// earlier run wrote and touches nothing else. What fails or is stopped leaves
// everything as it was; what is killed does so when the next run begins.
func replace(ctx context.Context, dir string, files []File, earlier func(dir string) []string) error {
	sweep(dir, "abut")
	if err := putBack(ctx, dir); err != nil {
		return err
	}
	ours := earlier(dir)
	var names []string
	var foreign message.List
	for _, f := range files {
		names = append(names, f.Name)
		if _, err := os.Lstat(filepath.Join(dir, f.Name)); err == nil && !slices.Contains(ours, f.Name) {
			foreign = append(foreign, f.Name)
		}
	}
	if len(foreign) > 0 {
		clash := fail("target-foreign", dir)
		clash.Values = map[string]any{"files": foreign}
		return clash
	}
	staging, err := makeHidden(dir, "abut")
	if err != nil {
		return err
	}
	defer os.RemoveAll(staging) // gone already when all went well
	if err := stageReplacing(ctx, staging, files, names); err != nil {
		return err
	}
	aside := filepath.Join(dir, replacing)
	if err := os.Rename(staging, aside); err != nil {
		return err
	}
	// Nothing once all went well; where it fails, the next run does it.
	defer func() { _ = putBack(context.WithoutCancel(ctx), dir) }()
	syncFolder(dir)
	for _, name := range ours {
		if err := rename(ctx, filepath.Join(dir, name), filepath.Join(aside, replacingOld, name)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	for _, name := range names {
		if err := rename(ctx, filepath.Join(aside, replacingNew, name), filepath.Join(dir, name)); err != nil {
			return err
		}
	}
	if err := rename(ctx, aside, staging); err != nil { // the last chance to stop
		return err
	}
	syncFolder(dir)
	return nil
}

// stageReplacing makes the hidden folder's contents.
func stageReplacing(ctx context.Context, staging string, files []File, names []string) error {
	list, err := json.Marshal(names)
	if err != nil {
		return err
	}
	for _, sub := range []string{replacingOld, replacingNew} {
		if err := os.Mkdir(filepath.Join(staging, sub), 0o777); err != nil {
			return err
		}
	}
	if err := writeFiles(ctx, filepath.Join(staging, replacingNew), files); err != nil {
		return err
	}
	return writeFiles(ctx, staging, []File{{replacingList, list}})
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
	for _, name := range slices.Backward(names) {
		if name != filepath.Base(name) {
			return fs.ErrInvalid // no run wrote this list
		}
		back := filepath.Join(aside, replacingNew, name)
		if _, err := os.Lstat(back); err == nil {
			continue // it never came
		}
		// Old files come back after all new ones are, so this is a new one.
		if err := rename(ctx, filepath.Join(dir, name), back); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	old, err := os.ReadDir(filepath.Join(aside, replacingOld))
	if err != nil {
		return err
	}
	last := func(f fs.DirEntry) int { // the first to go is the last to come back
		if len(names) > 0 && f.Name() == names[len(names)-1] {
			return 1
		}
		return 0
	}
	slices.SortStableFunc(old, func(a, b fs.DirEntry) int { return last(a) - last(b) })
	for _, f := range old {
		if err := rename(ctx, filepath.Join(aside, replacingOld, f.Name()), filepath.Join(dir, f.Name())); err != nil {
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
