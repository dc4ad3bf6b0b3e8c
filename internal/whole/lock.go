package whole

import (
	"errors"
	"os"

	"github.com/gofrs/flock"
)

// Lock is held in one place at a time, in this process or another. The system
// lets go of it when the process ends, however it ends.
type Lock struct{ f *flock.Flock }

// ErrLocked says that a lock is held elsewhere.
var ErrLocked = errors.New("locked")

// TakeLock takes the lock that a file stands for, and makes that file. It does
// not wait: a lock that is held elsewhere is ErrLocked. Other errors are the
// system's.
func TakeLock(path string) (*Lock, error) {
	for {
		f := flock.New(path, flock.SetPermissions(0o644)) // others must be able to open what was left behind
		switch got, err := f.TryLock(); {
		case err != nil:
			return nil, err
		case !got:
			return nil, ErrLocked
		}
		mine, err := f.Stat()
		there, missing := os.Stat(path)
		if err == nil && missing == nil && os.SameFile(mine, there) {
			return &Lock{f}, nil
		}
		_ = f.Unlock() // it was let go of and removed after we had opened it
	}
}

// Release lets go of the lock and removes its file; nil holds none.
func (l *Lock) Release() {
	if l == nil {
		return
	}
	// First removed, so that nobody takes a lock whose file then goes. Where what is open
	// cannot be removed, nobody else can do so either.
	stays := here.Files.Remove(l.f.Path()) != nil
	_ = l.f.Unlock()
	if stays {
		_ = here.Files.Remove(l.f.Path())
	}
}

const lockSuffix = ".lock"

// lock keeps other runs from the folder. A file system that has no locks is no
// reason not to write, and what else is in the way is found at the next step.
func (f Folder) lock(path string) (*Lock, error) {
	lock, err := TakeLock(path)
	if errors.Is(err, ErrLocked) {
		return nil, fail("target-busy", f.Path)
	}
	return lock, nil
}
