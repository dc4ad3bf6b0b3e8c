// Package system holds what differs between Linux, macOS and Windows: where
// settings and work are kept, what a file may be called, what can be done to one
// that is open, how something is shown, which language is spoken. The rules of each
// system are followed on every other too, so that they can be tested there; only
// what has to ask the system itself is built for it alone.
package system

import (
	"os"
	"runtime"
	"time"

	"github.com/jeandeaual/go-locale"
)

// Names of systems with rules of their own, as runtime.GOOS has them. All others
// are taken for Linux.
const (
	linux   = "linux"
	mac     = "darwin"
	windows = "windows"
)

// System is a system and what it lends to the program.
type System struct {
	// Kind says whose rules are followed.
	Kind string
	// Env reads a variable of the surroundings, empty where it is not set.
	Env func(name string) string
	// Home is the user's own folder, empty where there is none.
	Home string
	// Locale asks for the language that the user has chosen in the system's settings.
	Locale func() (string, error)
	// Files renames and removes, Pause waits: the operating system's own, or what stands
	// for it in a test.
	Files Files
	Pause func(time.Duration)
}

// Here returns the system that the program runs on.
func Here() System {
	home, _ := os.UserHomeDir() // empty with its error
	return System{
		Kind: runtime.GOOS, Env: os.Getenv, Home: home, Locale: locale.GetLocale,
		Files: osFiles{}, Pause: time.Sleep,
	}
}

// HasScreen reports whether there is anything to open a window on, as far as the
// surroundings tell.
func (s System) HasScreen() bool {
	if s.Kind == windows || s.Kind == mac {
		return true
	}
	return s.Env("DISPLAY") != "" || s.Env("WAYLAND_DISPLAY") != ""
}

// Language returns the locale that is asked for: by POSIX's rule the first of LC_ALL,
// LC_MESSAGES and LANG that is set; else, where settings stand for variables, theirs.
// Empty when nothing is asked for.
func (s System) Language() string {
	for _, name := range []string{"LC_ALL", "LC_MESSAGES", "LANG"} {
		if v := s.Env(name); v != "" {
			return v
		}
	}
	if s.Kind == windows || s.Kind == mac {
		chosen, _ := s.Locale() // empty with its error
		return chosen
	}
	return ""
}
