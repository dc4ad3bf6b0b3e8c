package workshop

import (
	"os"
	"path/filepath"
	"slices"
)

// Stale returns what earlier runs wrote to cut into the folder dir and one that wrote into the
// folders of these rows, or into dir itself where there are none, did not: names of files in dir
// and of folders in it, each for a row of a list. They can be cut by mistake. What a run replaces
// in a folder that it writes into is never among them.
func Stale(dir string, rows []Row) (names []string) {
	fresh := []string{filepath.Clean(dir)}
	if len(rows) > 0 {
		fresh = nil
	}
	for _, r := range rows {
		if r.Folder != "" {
			fresh = append(fresh, filepath.Clean(r.Folder))
		}
	}
	if !slices.Contains(fresh, filepath.Clean(dir)) {
		for _, name := range writtenEarlier(dir) {
			if _, err := os.Lstat(filepath.Join(dir, name)); err == nil && cutFileName.MatchString(name) && !slices.Contains(names, name) {
				names = append(names, name)
			}
		}
	}
	list, err := os.ReadDir(dir)
	if err != nil {
		return names // what cannot be read was not written into either
	}
	for _, e := range list {
		if in := filepath.Join(dir, e.Name()); e.IsDir() && !slices.Contains(fresh, in) && ofRow(in) {
			names = append(names, e.Name())
		}
	}
	return names
}

// ofRow reports whether a folder was written for a row of a list.
func ofRow(dir string) bool {
	m, ok := readEarlier(dir)
	return ok && len(m.Rows) == 1 && m.Layout == nil
}
