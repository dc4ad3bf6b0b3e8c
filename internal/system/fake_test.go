package system

import (
	"errors"
	"os"
	"time"
)

// fake is a system of a kind, with surroundings of its own.
func fake(kind, home string, env map[string]string) System {
	return System{
		Kind: kind, Home: home, Env: func(name string) string { return env[name] },
		Locale: func() (string, error) { return "", errors.New("no settings") },
	}
}

// busy has a file open for a while: so many times it refuses.
type busy struct {
	times int
	why   error
}

func (b *busy) refuse() error {
	if b.times--; b.times >= 0 {
		return &os.LinkError{Op: "rename", Old: "a", New: "b", Err: b.why}
	}
	return nil
}

func (b *busy) Rename(from, to string) error { return b.refuse() }
func (b *busy) Remove(path string) error     { return b.refuse() }

// open is a system where a file is open for a while; waited gets how long was waited.
func open(kind string, times int, why error, waited *time.Duration) System {
	s := fake(kind, "", nil)
	s.Files = &busy{times, why}
	s.Pause = func(d time.Duration) { *waited += d }
	return s
}
