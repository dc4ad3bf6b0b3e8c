//go:build unix

package session

import (
	"os"
	"syscall"
)

// fileLock says that a process lives: the system lets go of it when the process
// ends, however it ends.
type fileLock struct{ f *os.File }

// lockFile takes a lock, and fails when a living process has it.
func lockFile(name string) (*fileLock, error) {
	for {
		f, err := os.OpenFile(name, os.O_CREATE|os.O_RDWR, 0o600)
		if err != nil {
			return nil, err
		}
		if err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); err != nil {
			_ = f.Close()
			return nil, err
		}
		// Whoever had it removed the file, perhaps since it was opened here: a lock on
		// what has no name any more says nothing to anyone.
		mine, e1 := f.Stat()
		there, e2 := os.Stat(name)
		if e1 == nil && e2 == nil && os.SameFile(mine, there) {
			return &fileLock{f}, nil
		}
		_ = f.Close()
	}
}

// release lets go of the lock and removes its file.
func (l *fileLock) release() {
	if l != nil {
		_ = os.Remove(l.f.Name())
		_ = l.f.Close()
	}
}
