// Package abut holds what must lie at the top of the tree: the window
// toolkit's description of the program, and which version this is. The program
// itself is cmd/abut.
package abut

import (
	_ "embed"
	"strings"
)

// FyneApp is the program's description: its id, name, version and the
// toolkit's migrations that it has made. The toolkit looks for the file beside
// the binary, where a built program has none, so it is embedded.
//
//go:embed FyneApp.toml
var FyneApp []byte

// stamp is the version that a package was built from, written by the linker.
var stamp string

// Version says which version this is: that of the package, else the one in FyneApp
// with a note that it was built from sources.
func Version() string {
	if stamp != "" {
		return stamp
	}
	for line := range strings.Lines(string(FyneApp)) {
		if key, value, ok := strings.Cut(line, "="); ok && strings.TrimSpace(key) == "Version" {
			return strings.Trim(strings.TrimSpace(value), `"`) + "+source"
		}
	}
	return "source"
}
