package system

import (
	"errors"
	"os"
	"syscall"
	"time"
)

// Files does to files what is refused on some systems while they are open.
type Files interface {
	Rename(from, to string) error
	Remove(path string) error
}

type osFiles struct{}

func (osFiles) Rename(from, to string) error { return os.Rename(from, to) }
func (osFiles) Remove(path string) error     { return os.Remove(path) }

// What Windows answers where somebody has a file open, from its list of system error
// codes. The first is its answer, too, to who may not write there at all.
const (
	accessDenied     = syscall.Errno(5)  // ERROR_ACCESS_DENIED
	sharingViolation = syscall.Errno(32) // ERROR_SHARING_VIOLATION
)

// patience is how long Rename waits for others to let go of a file: whoever stops an
// export is kept waiting no longer than half a second.
const patience = 500 * time.Millisecond

// Rename gives a file or folder another name, and replaces a file that has it. Windows
// refuses while either is open in whatever program, and scanners for viruses open what
// has just been written; so there it tries again for half a second. Errors are the
// system's.
func (s System) Rename(from, to string) error {
	err := s.Files.Rename(from, to)
	for wait, waited := time.Millisecond, time.Duration(0); s.mayPass(err) && waited < patience; wait *= 2 {
		wait = min(wait, patience-waited)
		s.Pause(wait)
		waited += wait
		err = s.Files.Rename(from, to)
	}
	return err
}

func (s System) mayPass(err error) bool {
	return s.Kind == windows && (errors.Is(err, accessDenied) || errors.Is(err, sharingViolation))
}
