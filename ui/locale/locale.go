// Package locale names a language where the surroundings name none: the toolkit
// complains about that otherwise, and does so before main begins. The package
// is imported for that effect; as it needs next to nothing and its path sorts
// before the toolkit's, the language puts it first.
package locale

import (
	"os"
	"runtime"
	"strings"
)

func init() {
	if runtime.GOOS == "windows" || runtime.GOOS == "darwin" {
		return // their settings name one, which a variable would hide
	}
	for _, name := range []string{"LC_ALL", "LC_MESSAGES", "LANG"} {
		v := os.Getenv(name)
		if v == "" {
			continue
		}
		if v != "C" && v != "POSIX" && !strings.HasPrefix(v, "C.") {
			return
		}
		break // the first that is set counts, and it names no language
	}
	_ = os.Setenv("LC_ALL", "en_US.UTF-8")
}
