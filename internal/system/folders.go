package system

import (
	"os"
	"regexp"
	"slices"
	"strings"

	"github.com/adrg/xdg"
)

// program is the folder that is the program's own within those for all programs.
const program = "abut"

// Settings returns the folder for what was chosen once, empty where there is none.
func (s System) Settings() string {
	return s.folder("XDG_CONFIG_HOME", ".config", "Library/Application Support", "APPDATA", `AppData\Roaming`)
}

// Data returns the folder for what is the user's own and must not be lost, empty where
// there is none.
func (s System) Data() string {
	return s.folder("XDG_DATA_HOME", ".local/share", "Library/Application Support", "LOCALAPPDATA", `AppData\Local`)
}

// State returns the folder for what is kept between runs, such as recovered work,
// empty where there is none.
func (s System) State() string {
	return s.folder("XDG_STATE_HOME", ".local/state", "Library/Application Support", "LOCALAPPDATA", `AppData\Local`)
}

// Cache returns the folder for what can be made again, empty where there is none.
func (s System) Cache() string {
	return s.folder("XDG_CACHE_HOME", ".cache", "Library/Caches", "LOCALAPPDATA", `AppData\Local`)
}

// folder returns the program's own folder within one of those for all programs. On
// Linux the XDG Base Directory Specification says which: that of a variable, unless it
// is not a whole path, else one within the home. Apple's File System Programming Guide
// names Mac's, and Windows says in a variable where its own is.
func (s System) folder(xdgVariable, usual, onMac, windowsVariable, onWindows string) string {
	within, separator := usual, "/"
	switch s.Kind {
	case mac:
		within = onMac
	case windows:
		within, separator = onWindows, `\`
		if dir := s.Env(windowsVariable); s.whole(dir) {
			return dir + separator + program
		}
	default:
		if dir := s.Env(xdgVariable); s.whole(dir) {
			return strings.TrimRight(dir, "/") + separator + program
		}
	}
	if !s.whole(s.Home) {
		return ""
	}
	return strings.TrimRight(s.Home, separator) + separator + within + separator + program
}

// whole reports whether a path says by itself where it leads.
func (s System) whole(path string) bool {
	if s.Kind != windows {
		return strings.HasPrefix(path, "/")
	}
	return drive(path) || strings.HasPrefix(path, `\\`)
}

// drive reports whether a path of Windows begins at the top of a drive.
func drive(path string) bool {
	return len(path) > 2 && path[1] == ':' && (path[2] == '\\' || path[2] == '/')
}

// separator is what stands between the names of a path.
func (s System) separator() string {
	if s.Kind == windows {
		return `\`
	}
	return "/"
}

// Typed returns the path that was typed: ~ is the home, as shells have it (POSIX, 2.6.1).
func (s System) Typed(text string) string {
	text = strings.TrimSpace(text)
	if s.Home != "" && (text == "~" || strings.HasPrefix(text, "~"+s.separator())) {
		return strings.TrimRight(s.Home, s.separator()) + text[1:]
	}
	return text
}

// anewBehind is where a whole path begins behind a separator: with another one, at the home or, on Windows, in a drive.
var (
	anewBehind        = regexp.MustCompile(`.*/(/|~/)`)
	anewBehindWindows = regexp.MustCompile(`.+[\\/]([A-Za-z]:[\\/]|\\\\)`)
)

// Anew returns what was typed or pasted without what stood there before a whole path.
func (s System) Anew(text string) string {
	anew := anewBehind
	if s.Kind == windows {
		anew = anewBehindWindows
	}
	if at := anew.FindStringSubmatchIndex(text); at != nil {
		return text[at[2]:]
	}
	return text
}

// Shown returns a path as it is shown, which Typed reads again: short, with ~ for the home, but on
// Windows, where nobody knows that.
func (s System) Shown(path string) string {
	home := strings.TrimRight(s.Home, "/")
	if within, is := strings.CutPrefix(path, home+"/"); is && home != "" && s.Kind != windows {
		return "~/" + within
	}
	return path
}

// Places returns the folders that everyone has and that are there: the home, and what
// the desktop calls its own place, documents, downloads and pictures.
func (s System) Places() []string {
	xdg.Reload() // whoever moves them does not start programs anew
	var out []string
	for _, dir := range []string{s.Home, xdg.UserDirs.Desktop, xdg.UserDirs.Documents, xdg.UserDirs.Download, xdg.UserDirs.Pictures} {
		if i, err := os.Stat(dir); err == nil && i.IsDir() && !slices.Contains(out, dir) {
			out = append(out, dir)
		}
	}
	return out
}
