package ask

import "path/filepath"

// prefRecent names the preference.
const prefRecent = "recent"

// maxRecent is how many files are remembered.
const maxRecent = 8

// Recent returns the files that were opened or saved, the last one first.
func (h *Host) Recent() []string { return h.Prefs.StringList(prefRecent) }

// NoteRecent remembers a file.
func (h *Host) NoteRecent(path string) { h.note(prefRecent, path) }

// RecentName is what the i-th of them is called: its name and, where another has
// the same, its folder. Where there are not so many it is called after all of them.
func (h *Host) RecentName(i int) string {
	list := h.Recent()
	if i >= len(list) {
		return say("ui-start-recent")
	}
	name := filepath.Base(list[i])
	for k, path := range list {
		if k != i && filepath.Base(path) == name {
			return name + " · " + filepath.Base(filepath.Dir(list[i]))
		}
	}
	return name
}

// note puts a path before those that a preference remembers.
func (h *Host) note(pref, path string) {
	if path == "" {
		return
	}
	if abs, err := filepath.Abs(path); err == nil {
		path = abs
	}
	list := []string{path}
	for _, p := range h.Prefs.StringList(pref) {
		if p != path && len(list) < maxRecent {
			list = append(list, p)
		}
	}
	h.Prefs.SetStringList(pref, list)
}
