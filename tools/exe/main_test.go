package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// built is a small program for Windows, with the resources of build.sh's kind or
// without any.
func built(t *testing.T, resources string, flags ...string) string {
	t.Helper()
	for _, tool := range []string{"x86_64-w64-mingw32-windres", "convert"} {
		if _, err := exec.LookPath(tool); err != nil {
			t.Skip("no tools for Windows here: ", err)
		}
	}
	dir := t.TempDir()
	run := func(name string, args ...string) {
		t.Helper()
		c := exec.Command(name, args...)
		c.Dir, c.Env = dir, append(os.Environ(), "GOOS=windows", "GOARCH=amd64", "CGO_ENABLED=0", "GOFLAGS=")
		if out, err := c.CombinedOutput(); err != nil {
			t.Fatalf("%s: %v\n%s", name, err, out)
		}
	}
	put := func(name, text string) {
		t.Helper()
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	put("go.mod", "module small\n\ngo 1.26\n")
	put("main.go", "package main\n\nfunc main() {}\n")
	if resources != "" {
		run("convert", "-size", "256x256", "xc:red", "-define", "icon:auto-resize=256,48,32,24,16", "small.ico")
		put("small.manifest", `<assembly>longPathAware PerMonitorV2 UTF-8</assembly>`)
		put("small.rc", resources)
		run("x86_64-w64-mingw32-windres", "-O", "coff", "-i", "small.rc", "-o", "small_windows_amd64.syso")
	}
	run("go", append([]string{"build", "-o", "small.exe"}, flags...)...)
	return filepath.Join(dir, "small.exe")
}

const good = `1 ICON "small.ico"
1 24 "small.manifest"
1 VERSIONINFO
FILEVERSION 1,2,3,0
BEGIN
  BLOCK "StringFileInfo"
  BEGIN
    BLOCK "040904b0"
    BEGIN
      VALUE "ProductName", "Abut"
      VALUE "FileVersion", "v1.2.3"
      VALUE "ProductVersion", "v1.2.3"
      VALUE "OriginalFilename", "abut.exe"
    END
  END
END
`

func TestExe_ReadsBackWhatTheResourcesSay(t *testing.T) {
	p, err := read(built(t, good, "-ldflags", "-H=windowsgui"))
	if err != nil {
		t.Fatal(err)
	}
	if err := p.check("v1.2.3"); err != nil {
		t.Error(err)
	}
	err = p.check("v2")
	if err == nil || !strings.Contains(err.Error(), "v1.2.3") {
		t.Errorf("another version is not told: %v", err)
	}
	p.libraries = append(p.libraries, "libwinpthread-1.dll")
	if err := p.check("v1.2.3"); err == nil || !strings.Contains(err.Error(), "libwinpthread-1.dll") {
		t.Errorf("a library of the compiler's is not told: %v", err)
	}
}

func TestExe_TellsWhatIsMissing(t *testing.T) {
	p, err := read(built(t, ""))
	if err != nil {
		t.Fatal(err)
	}
	err = p.check("v1.2.3")
	for _, want := range []string{"console", "256 × 256", "FileVersion", "manifest"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q is not told: %v", want, err)
		}
	}
}
