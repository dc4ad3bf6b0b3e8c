package whole

import (
	"context"
	"errors"
	"fmt"
	"hash/fnv"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
)

// File is one of the files of a folder.
type File struct {
	Name string
	Data []byte
}

// maxStem leaves what is put around it in hidden names enough of the 255 bytes
// that file systems take.
const maxStem = 200

// stem is what the hidden names that belong to a target have of its own: all of
// it, or what stands for a long one.
func stem(base string) string {
	if len(base) <= maxStem {
		return base
	}
	h := fnv.New64a()
	_, _ = h.Write([]byte(base)) // never fails
	return fmt.Sprintf("abut-%016x", h.Sum64())
}

// makeHidden makes a new hidden folder beside a target of this name. Unlike
// os.MkdirTemp's it has the permissions that the user's other folders have,
// for it becomes the target.
func makeHidden(parent, base string) (path string, err error) {
	err = underNewName(func(number uint32) error {
		path = filepath.Join(parent, fmt.Sprintf(".%s.%08x.part", stem(base), number))
		return os.Mkdir(path, 0o777)
	})
	return path, err
}

// underNewName makes something under a name with a random number in it, and with
// another one where that is taken.
func underNewName(make func(number uint32) error) (err error) {
	for range 100 {
		if err = make(rand.Uint32()); !errors.Is(err, fs.ErrExist) {
			break
		}
	}
	return err
}

// leftOver is how names of staging folders end, after that of the folder that is to be.
var leftOver = regexp.MustCompile(`^\.[0-9a-f]{8}\.(part|gone)$`)

// sweep removes what processes that were killed left of makeHidden's folders.
// Each gets another name first: should its process live after all, that fails
// where it would else put half of its files in place.
func sweep(parent, base string) {
	// Names are any bytes, so that of the folder is no part of the pattern.
	begin := "." + stem(base)
	list, _ := os.ReadDir(parent)
	for _, f := range list {
		if rest, is := strings.CutPrefix(f.Name(), begin); !is || !f.IsDir() || !leftOver.MatchString(rest) {
			continue
		}
		p := filepath.Join(parent, f.Name())
		gone := strings.TrimSuffix(p, filepath.Ext(p)) + ".gone"
		if p == gone || here.Rename(p, gone) == nil { // or its sweeping was killed
			remove(gone)
		}
	}
}

// remove removes a hidden folder. What cannot be removed now, the next run sweeps.
func remove(hidden string) { _ = os.RemoveAll(hidden) }

const (
	// writeAtOnce is how much is written between two looks at the context: a slow
	// card takes a fifth of a second for it.
	writeAtOnce = 1 << 20
	// openAtOnce is how many files wait for the disk side by side, which writes all that
	// it is asked for in one go. So many may be open everywhere.
	openAtOnce = 64
)

// writeFiles writes files into a folder and returns when they are on disk.
func writeFiles(ctx context.Context, dir string, files []File) error {
	for len(files) > 0 {
		n, bytes := 1, len(files[0].Data)
		for n < min(len(files), openAtOnce) && bytes+len(files[n].Data) <= writeAtOnce {
			bytes += len(files[n].Data)
			n++
		}
		if err := writeOnDisk(ctx, dir, files[:n]); err != nil {
			return err
		}
		files = files[n:]
	}
	syncFolder(dir)
	return nil
}

func writeOnDisk(ctx context.Context, dir string, files []File) (err error) {
	open := make([]*os.File, 0, len(files))
	defer func() {
		for _, f := range open {
			err = errors.Join(err, f.Close())
		}
	}()
	for _, file := range files {
		f, err := os.OpenFile(filepath.Join(dir, file.Name), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
		if err != nil {
			return err
		}
		open = append(open, f)
		for some := range slices.Chunk(file.Data, writeAtOnce) {
			if err := ctx.Err(); err != nil {
				return err
			}
			if _, err := f.Write(some); err != nil {
				return err
			}
		}
	}
	errs := make([]error, len(open))
	var wg sync.WaitGroup
	for i, f := range open {
		wg.Go(func() { errs[i] = f.Sync() })
	}
	wg.Wait()
	return errors.Join(errs...)
}

// rename renames, unless the context has ended.
func rename(ctx context.Context, from, to string) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	return here.Rename(from, to)
}

// renameIfThere renames what need not be there.
func renameIfThere(ctx context.Context, from, to string) error {
	if err := rename(ctx, from, to); !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}

// syncFolder has a folder's list of names put on disk. Some file systems cannot
// be asked to, and do so in their own time; so nothing is said of failures.
func syncFolder(dir string) {
	if f, err := os.Open(dir); err == nil {
		_ = f.Sync()
		_ = f.Close()
	}
}
