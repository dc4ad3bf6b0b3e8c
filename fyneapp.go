// Package abut holds what must lie at the top of the tree: the window
// toolkit's description of the program. The program itself is cmd/abut.
package abut

import _ "embed"

// FyneApp is the program's description: its id, name, version and the
// toolkit's migrations that it has made. The toolkit looks for the file beside
// the binary, where a built program has none, so it is embedded.
//
//go:embed FyneApp.toml
var FyneApp []byte
