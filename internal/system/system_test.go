package system

import (
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"syscall"
	"testing"
	"time"
)

// Where the XDG Base Directory Specification 0.8, Apple's File System Programming Guide
// and Microsoft's list of known folders have them.
func TestFolders_AreWhereEachSystemHasThem(t *testing.T) {
	for name, c := range map[string]struct {
		s                            System
		settings, data, state, cache string
	}{
		"Linux": {fake(linux, "/home/ada", nil),
			"/home/ada/.config/abut", "/home/ada/.local/share/abut", "/home/ada/.local/state/abut", "/home/ada/.cache/abut"},
		"Linux, moved": {fake(linux, "/home/ada", map[string]string{"XDG_CONFIG_HOME": "/etc/ada/", "XDG_DATA_HOME": "/srv/ada", "XDG_STATE_HOME": "relative", "XDG_CACHE_HOME": ""}),
			"/etc/ada/abut", "/srv/ada/abut", "/home/ada/.local/state/abut", "/home/ada/.cache/abut"},
		"Linux, no home": {fake(linux, "", map[string]string{"XDG_DATA_HOME": "/srv"}), "", "/srv/abut", "", ""},
		"a BSD":          {fake("freebsd", "/home/ada", nil), "/home/ada/.config/abut", "/home/ada/.local/share/abut", "/home/ada/.local/state/abut", "/home/ada/.cache/abut"},
		"macOS": {fake(mac, "/Users/ada", map[string]string{"XDG_DATA_HOME": "/srv"}),
			"/Users/ada/Library/Application Support/abut", "/Users/ada/Library/Application Support/abut", "/Users/ada/Library/Application Support/abut", "/Users/ada/Library/Caches/abut"},
		"Windows": {fake(windows, `C:\Users\Ada`, map[string]string{"APPDATA": `C:\Users\Ada\AppData\Roaming`, "LOCALAPPDATA": `D:\Local`}),
			`C:\Users\Ada\AppData\Roaming\abut`, `D:\Local\abut`, `D:\Local\abut`, `D:\Local\abut`},
		"Windows, a home on another computer": {fake(windows, `\\server\ada`, map[string]string{"LOCALAPPDATA": `C:Local`}),
			`\\server\ada\AppData\Roaming\abut`, `\\server\ada\AppData\Local\abut`, `\\server\ada\AppData\Local\abut`, `\\server\ada\AppData\Local\abut`},
		"Windows, no home": {fake(windows, "", map[string]string{"APPDATA": `C:\R`}), `C:\R\abut`, "", "", ""},
	} {
		got := []string{c.s.Settings(), c.s.Data(), c.s.State(), c.s.Cache()}
		if want := []string{c.settings, c.data, c.state, c.cache}; !slices.Equal(got, want) {
			t.Errorf("%s:\n%q, want\n%q", name, got, want)
		}
	}
}

// The folders for settings and cache are those of Go's library, too.
func TestFolders_AreThoseOfTheLibrary(t *testing.T) {
	for what, c := range map[string]struct {
		library func() (string, error)
		ours    string
	}{"settings": {os.UserConfigDir, Here().Settings()}, "cache": {os.UserCacheDir, Here().Cache()}} {
		if dir, err := c.library(); err == nil && c.ours != filepath.Join(dir, "abut") {
			t.Errorf("%s: %q, the library's %q", what, c.ours, dir)
		}
	}
}

// Addresses as RFC 8089, appendix E, has them for drives and folders of other computers.
func TestFileURL_LeadsToTheFile(t *testing.T) {
	for _, c := range []struct{ kind, path, want string }{
		{linux, "/home/ada/Tasse für 50 %", "file:///home/ada/Tasse%20f%C3%BCr%2050%20%25"},
		{linux, "/tmp/a#b?c", "file:///tmp/a%23b%3Fc"},
		{linux, `/tmp/a\b`, "file:///tmp/a%5Cb"},
		{mac, "/Users/ada/mug", "file:///Users/ada/mug"},
		{windows, `C:\Users\Ada\My mug`, "file:///C:/Users/Ada/My%20mug"},
		{windows, `d:/art/mug#2`, "file:///d:/art/mug%232"},
		{windows, `\\server\art\mug`, "file://server/art/mug"},
		{windows, `\\?\C:\long\path`, "file:///C:/long/path"},
		{windows, `\\?\UNC\server\art`, "file://server/art"},
	} {
		if got := fake(c.kind, "", nil).FileURL(c.path).String(); got != c.want {
			t.Errorf("%s: %s: %s, want %s", c.kind, c.path, got, c.want)
		}
	}
}

func TestRename_WaitsOnWindowsForWhoHasItOpen(t *testing.T) {
	for _, c := range []struct {
		name   string
		kind   string
		times  int
		why    error
		passes bool
		waits  time.Duration
	}{
		{"nobody has it", windows, 0, sharingViolation, true, 0},
		{"a scanner has it for a moment", windows, 5, sharingViolation, true, 31 * time.Millisecond},
		{"and answers that it is denied", windows, 3, accessDenied, true, 7 * time.Millisecond},
		{"another program keeps it", windows, 1 << 20, sharingViolation, false, patience},
		{"the disk is full", windows, 1 << 20, syscall.Errno(112), false, 0},
		{"the same number on Linux is something else", linux, 1, sharingViolation, false, 0},
	} {
		var waited time.Duration
		err := open(c.kind, c.times, c.why, &waited).Rename("a", "b")
		if (err == nil) != c.passes || waited != c.waits {
			t.Errorf("%s: %v after %v", c.name, err, waited)
		}
		if err != nil && !errors.Is(err, c.why) {
			t.Errorf("%s: the system's error is lost: %v", c.name, err)
		}
	}
}

func TestHere_RenamesAndRemoves(t *testing.T) {
	s := Here()
	a, b := filepath.Join(t.TempDir(), "a"), filepath.Join(t.TempDir(), "b")
	for _, p := range []string{a, b} {
		if err := os.WriteFile(p, []byte(p), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.Rename(a, b); err != nil {
		t.Fatal(err)
	}
	if got, err := os.ReadFile(b); err != nil || string(got) != a {
		t.Errorf("%q, %v", got, err)
	}
	if err := s.Files.Remove(b); err != nil {
		t.Error(err)
	}
	if s.Kind != runtime.GOOS {
		t.Error(s.Kind)
	}
}

func TestLanguage_IsThatOfTheUser(t *testing.T) {
	settings := func(kind, chosen string, env map[string]string) System {
		s := fake(kind, "", env)
		s.Locale = func() (string, error) { return chosen, nil }
		return s
	}
	for _, c := range []struct {
		s    System
		want string
	}{
		{fake(linux, "", map[string]string{"LC_ALL": "de_DE.UTF-8", "LANG": "en_GB"}), "de_DE.UTF-8"},
		{fake(linux, "", map[string]string{"LC_MESSAGES": "de", "LANG": "en_GB"}), "de"},
		{settings(linux, "de", nil), ""},
		{settings(windows, "de-AT", nil), "de-AT"},
		{settings(mac, "de-AT", map[string]string{"LANG": "en_GB.UTF-8"}), "en_GB.UTF-8"},
		{fake(windows, "", nil), ""},
	} {
		if got := c.s.Language(); got != c.want {
			t.Errorf("%s: %q, want %q", c.s.Kind, got, c.want)
		}
	}
}

func TestHasScreen_AsTheSurroundingsTell(t *testing.T) {
	for _, c := range []struct {
		kind string
		env  map[string]string
		want bool
	}{
		{linux, nil, false}, {linux, map[string]string{"DISPLAY": ":0"}, true}, {linux, map[string]string{"WAYLAND_DISPLAY": "wayland-0"}, true},
		{windows, nil, true}, {mac, nil, true}, {"openbsd", nil, false},
	} {
		if got := fake(c.kind, "", c.env).HasScreen(); got != c.want {
			t.Errorf("%s, %v: %v", c.kind, c.env, got)
		}
	}
}

// What is shown is read again as it was, and what a shell reads as the home is that.
func TestTyped_ReadsWhatIsShown(t *testing.T) {
	for _, c := range []struct {
		s           System
		path, shown string
	}{
		{fake(linux, "/home/ada", nil), "/home/ada/Mugs/Boat", "~/Mugs/Boat"},
		{fake(linux, "/home/ada/", nil), "/home/ada/Mugs", "~/Mugs"},
		{fake(mac, "/Users/ada", nil), "/Users/adam/Mugs", "/Users/adam/Mugs"},
		{fake(linux, "", nil), "/srv/Mugs", "/srv/Mugs"},
		{fake(linux, "/", nil), "/srv/Mugs", "/srv/Mugs"},
		{fake(windows, `C:\Users\Ada`, nil), `C:\Users\Ada\Mugs`, `C:\Users\Ada\Mugs`},
	} {
		if got := c.s.Shown(c.path); got != c.shown || c.s.Typed(" "+got) != c.path {
			t.Errorf("%s is shown as %s, want %s, and read as %s", c.path, got, c.shown, c.s.Typed(got))
		}
	}
	for _, c := range []struct {
		s          System
		text, want string
	}{
		{fake(linux, "/home/ada", nil), "~", "/home/ada"}, {fake(linux, "/home/ada", nil), "~bob/Mugs", "~bob/Mugs"}, {fake(linux, "", nil), "~/Mugs", "~/Mugs"},
		{fake(windows, `C:\Users\Ada`, nil), `~\Mugs`, `C:\Users\Ada\Mugs`},
	} {
		if got := c.s.Typed(c.text); got != c.want {
			t.Errorf("%s is read as %s, want %s", c.text, got, c.want)
		}
	}
}

func TestAnew_LeavesTheWholePathThatWasTypedLast(t *testing.T) {
	unix, win := fake(linux, "/home/ada", nil), fake(windows, `C:\Users\Ada`, nil)
	for _, c := range []struct {
		s          System
		text, want string
	}{
		{unix, "~/Mugs/Boat.svg", "~/Mugs/Boat.svg"}, {unix, "~/Mugs//srv/Boat.svg", "/srv/Boat.svg"}, {unix, "/srv/~/Mugs/", "~/Mugs/"}, {unix, "~/a//b//c", "/c"},
		{unix, `/srv/C:\Boat.svg`, `/srv/C:\Boat.svg`},
		{win, `C:\Mugs\Boat.svg`, `C:\Mugs\Boat.svg`}, {win, `C:\Mugs\D:\Boat.svg`, `D:\Boat.svg`}, {win, `C:\Mugs\D:/Boat.svg`, `D:/Boat.svg`},
		{win, `\\server\mugs\Boat.svg`, `\\server\mugs\Boat.svg`}, {win, `C:\Mugs\\\server\mugs`, `\\server\mugs`},
	} {
		if got := c.s.Anew(c.text); got != c.want {
			t.Errorf("%s: of %s is left %s, want %s", c.s.Kind, c.text, got, c.want)
		}
	}
}
