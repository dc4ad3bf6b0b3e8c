//go:build !unix

package session

import "os"

// fileLock says that a process lives. Where files cannot be locked, one that is
// open cannot be removed.
type fileLock struct{ f *os.File }

// lockFile takes a lock, and fails when a living process has it.
func lockFile(name string) (*fileLock, error) {
	if err := os.Remove(name); err != nil && !os.IsNotExist(err) {
		return nil, err
	}
	f, err := os.OpenFile(name, os.O_CREATE|os.O_EXCL|os.O_RDWR, 0o600)
	if err != nil {
		return nil, err
	}
	return &fileLock{f}, nil
}

// release lets go of the lock and removes its file.
func (l *fileLock) release() {
	if l != nil {
		_ = l.f.Close()
		_ = os.Remove(l.f.Name())
	}
}
