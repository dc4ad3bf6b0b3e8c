package architecture

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// machine is a folder that is all of a PATH: the few tools that ./run itself is made of,
// and programs that say what a machine would.
func machine(t *testing.T, programs map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	for _, tool := range []string{"sh", "dirname", "sed", "tr", "grep", "cat", "id"} {
		at, err := exec.LookPath(tool)
		if err == nil {
			err = os.Symlink(at, filepath.Join(dir, tool))
		}
		if err != nil {
			t.Skip("a shell's tools are missing: ", err)
		}
	}
	all := map[string]string{"go": `echo go1.26.0`, "uname": "echo Linux"}
	for name, text := range programs {
		all[name] = text
	}
	for name, text := range all {
		// What is run is noted, so that a test sees that nothing was.
		script := "#!/bin/sh\necho \"" + name + " $*\" >>" + filepath.Join(dir, "log") + "\n" + text + "\n"
		if err := os.WriteFile(filepath.Join(dir, name), []byte(script), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// runOn runs ./run on such a machine, and returns what it said and what it ran.
func runOn(t *testing.T, dir, release string, args ...string) (said, ran string, status int) {
	t.Helper()
	file := filepath.Join(t.TempDir(), "os-release")
	if err := os.WriteFile(file, []byte(release), 0o644); err != nil {
		t.Fatal(err)
	}
	script, err := filepath.Abs(filepath.Join("..", "..", "run"))
	if err != nil {
		t.Fatal(err)
	}
	c := exec.Command(filepath.Join(dir, "sh"), append([]string{script}, args...)...)
	c.Env = []string{"PATH=" + dir, "ABUT_OS_RELEASE=" + file, "HOME=" + dir}
	out, err := c.CombinedOutput()
	if failed := (*exec.ExitError)(nil); err != nil && !errors.As(err, &failed) {
		t.Fatal(err)
	}
	log, _ := os.ReadFile(filepath.Join(dir, "log"))
	return string(out), string(log), c.ProcessState.ExitCode()
}

// On a system other than Debian ./run says exactly what to type, and installs nothing.
// The names are those that the toolkit's own page on what it needs has for each system.
func TestRun_SaysWhatToTypeAndInstallsNothing(t *testing.T) {
	// A machine with a compiler and nothing to build windows with.
	bare := map[string]string{"cc": "", "pkg-config": "exit 1", "dpkg-query": "exit 1", "sudo": "", "apt-get": "", "dnf": "", "pacman": "", "zypper": ""}
	for _, x := range []struct {
		name, release string
		verb          string
		programs      map[string]string
		want          []string
		not           []string
	}{
		{"Fedora", "NAME=\"Fedora Linux\"\nID=fedora\n", "demo", bare, []string{"sudo dnf install mesa-libGL-devel libX11-devel libXcursor-devel libXrandr-devel libXinerama-devel libXi-devel libXxf86vm-devel\n"}, []string{"gcc", "apt"}},
		{"made of Fedora", "ID=\"rocky\"\nID_LIKE=\"rhel centos fedora\"\n", "demo", bare, []string{"sudo dnf install mesa-libGL-devel"}, nil},
		{"Arch", "ID=arch\n", "demo", bare, []string{"sudo pacman -S --needed libglvnd libx11 libxcursor libxrandr libxinerama libxi libxxf86vm\n"}, nil},
		{"made of Arch", "ID=manjaro\nID_LIKE=arch\n", "demo", bare, []string{"sudo pacman -S"}, nil},
		{"openSUSE", "ID_LIKE=\"suse opensuse\"\nID=\"opensuse-tumbleweed\"\n", "demo", bare, []string{"sudo zypper install Mesa-libGL-devel libX11-devel libXcursor-devel libXrandr-devel libXinerama-devel libXi-devel libXxf86vm-devel\n"}, nil},
		{"Ubuntu", "ID=ubuntu\nID_LIKE=debian\n", "demo", bare, []string{"sudo apt-get update && sudo apt-get install gcc libc6-dev pkg-config", "libxxf86vm-dev"}, []string{"installing"}},
		{"made of Ubuntu", "ID=linuxmint\nID_LIKE=\"ubuntu debian\"\n", "check", bare, []string{"sudo apt-get update && sudo apt-get install gcc"}, nil},
		{"macOS", "", "demo", map[string]string{"uname": "echo Darwin", "xcode-select": "exit 2"}, []string{"xcode-select --install"}, []string{"apt", "sudo"}},
		{"macOS, all tests", "", "test", map[string]string{"uname": "echo Darwin", "xcode-select": ""}, []string{"only Linux has", "./run check"}, []string{"apt", "sudo"}},
		{"no system that is known", "ID=plan9\n", "demo", bare, []string{"not known here", "gl x11 xcursor"}, []string{"sudo"}},
		{"what tests need", "ID=arch\n", "install", map[string]string{"cc": "", "pkg-config": "", "python3": "exit 1", "node": "", "npm": ""},
			[]string{"sudo pacman -S --needed harfbuzz-utils ttf-dejavu xorg-server-xvfb xorg-xauth xdotool imagemagick librsvg geos groff poppler\n", "python3 -m pip install --user ezdxf"}, []string{"libx11", "nodejs"}},
		{"packages", "ID=fedora\n", "packages", bare, []string{"Debian or Ubuntu"}, nil},
	} {
		t.Run(x.name, func(t *testing.T) {
			said, ran, status := runOn(t, machine(t, x.programs), x.release, x.verb)
			if status != 1 {
				t.Errorf("status %d", status)
			}
			for _, w := range x.want {
				if !strings.Contains(said, w) {
					t.Errorf("it does not say %q:\n%s", w, said)
				}
			}
			for _, w := range x.not {
				if strings.Contains(said, w) {
					t.Errorf("it says %q:\n%s", w, said)
				}
			}
			for _, installer := range []string{"sudo", "apt-get", "dnf", "pacman", "zypper", "npm", "go build"} {
				if strings.Contains("\n"+ran, "\n"+installer+" ") {
					t.Errorf("it ran %s:\n%s", installer, ran)
				}
			}
		})
	}
}

// On Debian it installs what is missing, and on Ubuntu when it is asked to: as root by
// itself, else by sudo, here one that asks for nothing.
func TestRun_InstallsOnDebianAndWhereAsked(t *testing.T) {
	programs := map[string]string{
		"dpkg-query": "for p; do :; done; [ $p != gcc ] || exit 1; echo ii", "id": "echo 0", "env": `while [ "${1#*=}" != "$1" ]; do shift; done; exec "$@"`, "apt-get": "",
		"node": "", "npm": "",
	}
	for _, x := range []struct{ name, release, verb string }{
		{"Debian", "ID=debian\n", "check"},
		{"Ubuntu, asked", "ID=ubuntu\nID_LIKE=debian\n", "install"},
	} {
		dir := machine(t, nil)
		if err := os.Remove(filepath.Join(dir, "id")); err != nil {
			t.Fatal(err)
		}
		for name, text := range programs {
			script := "#!/bin/sh\necho \"" + name + " $*\" >>" + filepath.Join(dir, "log") + "\n" + text + "\n"
			if err := os.WriteFile(filepath.Join(dir, name), []byte(script), 0o755); err != nil {
				t.Fatal(err)
			}
		}
		said, ran, _ := runOn(t, dir, x.release, x.verb)
		if !strings.Contains(said, "installing gcc") || !strings.Contains(ran, "apt-get install -y -q --no-install-recommends gcc\n") {
			t.Errorf("%s: it says\n%sand ran\n%s", x.name, said, ran)
		}
		if !strings.Contains(said, "still missing after installing: gcc") { // this apt does nothing
			t.Errorf("%s: it goes on:\n%s", x.name, said)
		}
	}
}

// What is there is asked for by no one.
func TestRun_AsksForNothingThatIsThere(t *testing.T) {
	said, _, status := runOn(t, machine(t, nil), "ID=fedora\n", "help")
	if status != 0 || !strings.Contains(said, "./run demo") {
		t.Errorf("help: status %d\n%s", status, said)
	}
	full := map[string]string{"cc": "", "pkg-config": "", "go": `case "$*" in *env*) echo go1.26.0 ;; *) exit 1 ;; esac`, "gofmt": "", "find": "", "mkdir": ""}
	said, ran, _ := runOn(t, machine(t, full), "ID=fedora\n", "check")
	if strings.Contains(said, "missing") || !strings.Contains(ran, "go -C tools vet") {
		t.Errorf("it does not begin:\n%s%s", said, ran)
	}
}
