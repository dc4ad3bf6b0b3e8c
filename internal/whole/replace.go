package whole

import (
	"context"
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"abut/internal/message"
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
func (f Folder) replace(ctx context.Context, dir string, files []File) error {
	lock, err := f.lock(filepath.Join(dir, replacing+lockSuffix))
	if err != nil {
		return err
	}
	defer lock.Release()
	sweep(dir, "abut")
	if err := f.putBack(ctx, dir); err != nil {
		return err
	}
	ours := slices.DeleteFunc(f.Earlier(dir), func(name string) bool { return !f.Writes(name) })
	names, err := namesOf(files, dir, ours)
	if err != nil {
		return err
	}
	staging, err := makeHidden(dir, "abut")
	if err != nil {
		return err
	}
	defer remove(staging) // gone already when all went well
	if err := stageReplacing(ctx, staging, files, names); err != nil {
		return err
	}
	aside := filepath.Join(dir, replacing)
	if err := here.Rename(staging, aside); err != nil {
		return err
	}
	// Nothing once all went well; where it fails, the next run does it.
	defer func() { _ = f.putBack(context.WithoutCancel(ctx), dir) }()
	syncFolder(dir)
	for _, name := range ours {
		if err := renameIfThere(ctx, filepath.Join(dir, name), filepath.Join(aside, replacingOld, name)); err != nil {
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

// namesOf lists the names of files, unless somebody else has one of them in the folder.
func namesOf(files []File, dir string, ours []string) (names []string, err error) {
	var foreign message.List
	for _, file := range files {
		names = append(names, file.Name)
		if _, err := os.Lstat(filepath.Join(dir, file.Name)); err == nil && !slices.Contains(ours, file.Name) {
			foreign = append(foreign, file.Name)
		}
	}
	if len(foreign) > 0 {
		clash := fail("target-foreign", dir)
		clash.Values = map[string]any{"files": foreign}
		return nil, clash
	}
	return names, nil
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
// Where there is none it does nothing. What no run leaves behind is an error, and
// nothing is moved.
func (f Folder) putBack(ctx context.Context, dir string) error {
	aside := filepath.Join(dir, replacing)
	if info, err := os.Lstat(aside); errors.Is(err, fs.ErrNotExist) || err == nil && !info.IsDir() {
		return nil // none, or somebody else's
	}
	list, err := os.ReadFile(filepath.Join(aside, replacingList))
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	names, old, err := f.notes(aside, list)
	if err != nil {
		return err
	}
	for _, name := range slices.Backward(names) {
		back := filepath.Join(aside, replacingNew, name)
		if _, err := os.Lstat(back); err == nil {
			continue // it never came
		}
		// Old files come back after all new ones are, so this is a new one.
		if err := renameIfThere(ctx, filepath.Join(dir, name), back); err != nil {
			return err
		}
	}
	last := func(o fs.DirEntry) int { // the first to go is the last to come back
		if len(names) > 0 && o.Name() == names[len(names)-1] {
			return 1
		}
		return 0
	}
	slices.SortStableFunc(old, func(a, b fs.DirEntry) int { return last(a) - last(b) })
	for _, o := range old {
		if err := rename(ctx, filepath.Join(aside, replacingOld, o.Name()), filepath.Join(dir, o.Name())); err != nil {
			return err
		}
	}
	gone, err := makeHidden(dir, "abut")
	if err != nil {
		return err
	}
	defer remove(gone)
	return here.Rename(aside, filepath.Join(gone, replacing))
}

// notes reads which files a replacing that was begun was to write, and which it has put
// aside. What no run notes is an error.
func (f Folder) notes(aside string, list []byte) (names []string, old []fs.DirEntry, err error) {
	if json.Unmarshal(list, &names) != nil || slices.ContainsFunc(names, func(name string) bool { return !f.Writes(name) }) {
		return nil, nil, fail("target-planted", aside)
	}
	if old, err = os.ReadDir(filepath.Join(aside, replacingOld)); err != nil {
		return nil, nil, err
	}
	if slices.ContainsFunc(old, func(o fs.DirEntry) bool { return !f.Writes(o.Name()) }) {
		return nil, nil, fail("target-planted", aside)
	}
	return names, old, nil
}
