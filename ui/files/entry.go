package files

import (
	"cmp"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"abut/internal/system"
)

// entry is a file or folder in the list.
type entry struct {
	path   string
	folder bool
	time   time.Time
}

func (e entry) name() string { return filepath.Base(e.path) }

// list returns what is in a folder, folders first, by their names. What begins with
// a dot is hidden, as everywhere. Errors are the system's.
func list(dir string) ([]entry, error) {
	found, err := os.ReadDir(dir)
	if err != nil {
		return nil, err
	}
	var out []entry
	for _, f := range found {
		if strings.HasPrefix(f.Name(), ".") {
			continue
		}
		path := filepath.Join(dir, f.Name())
		info, err := os.Stat(path) // where a link leads to
		if err != nil {
			continue
		}
		out = append(out, entry{path: path, folder: info.IsDir(), time: info.ModTime()})
	}
	slices.SortFunc(out, func(a, b entry) int {
		if a.folder != b.folder {
			if a.folder {
				return -1
			}
			return 1
		}
		return cmp.Or(cmp.Compare(strings.ToLower(a.name()), strings.ToLower(b.name())), cmp.Compare(a.name(), b.name()))
	})
	return out, nil
}

// typedPath reads what was typed: the folder that it is in, and the name or the part
// of one that comes after. ~ is the home, and what is not whole is in dir.
func typedPath(text, dir string) (folder, name string) {
	text = system.Here().Typed(text)
	if !filepath.IsAbs(text) {
		text = dir + string(filepath.Separator) + text
	}
	folder, name = filepath.Split(text)
	return filepath.Clean(folder), name
}
