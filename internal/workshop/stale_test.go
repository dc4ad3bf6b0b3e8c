package workshop

import (
	"path/filepath"
	"slices"
	"testing"

	"abut/internal/tree"
)

// What an earlier list or an earlier picture left beside what is written is told; nothing else is.
func TestStale_TellsWhatEarlierRunsLeft(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "fair")
	cut := func(list string, o WriteOptions) []Row {
		t.Helper()
		o.Overwrite = true
		rows, err := CutList(t.Context(), mug(t), listOf(t, list), false, Options{Folder: dir, WriteOptions: o})
		if err != nil {
			t.Fatal(err)
		}
		return rows
	}
	check := func(when string, rows []Row, want ...string) {
		t.Helper()
		if got := Stale(dir, rows); !slices.Equal(got, want) {
			t.Errorf("%s: %v, want %v", when, got, want)
		}
	}
	check("before anything is there", nil)
	check("the first list", cut(keepers, WriteOptions{}))
	tree.Put(t, filepath.Join(dir, "mine", "01-mine-mirrored.svg"), "mine")
	tree.Put(t, filepath.Join(dir, "02-mine-mirrored.svg"), "mine")
	check("the same list", cut(keepers, WriteOptions{}))
	check("another list", cut("number,name\n7,Ada\n8,Bo\n", WriteOptions{}), "02-jürgen", "03-bartholomew-featherstonehaugh")
	if _, err := Cut(t.Context(), mug(t), Options{Folder: dir, WriteOptions: WriteOptions{Overwrite: true}}); err != nil {
		t.Fatal(err)
	}
	check("one picture", nil, "01-ada", "02-bo", "02-jürgen", "03-bartholomew-featherstonehaugh")
	m := jobJSON(t, dir).(map[string]any)["separations"].([]any)
	var files []string
	for _, s := range m {
		files = append(files, s.(map[string]any)["file"].(string))
	}
	check("a list after a picture", cut(keepers, WriteOptions{}), append(files, "02-bo")...)
}
