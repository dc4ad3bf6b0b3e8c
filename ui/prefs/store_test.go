package prefs

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"abut/internal/message"
)

// filled returns a file that keeps a value of each kind.
func filled(t *testing.T) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "new", "preferences.json")
	s, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	s.SetBool("grid", true)
	s.SetInt("units", 1)
	s.SetFloat("width", 1240.5)
	s.SetFloat("whole", 60)
	s.SetString("language", "de")
	s.SetStringList("recent", []string{"a.svg", "b.abut"})
	s.SetString("gone", "x")
	s.RemoveValue("gone")
	s.Wait()
	return path
}

func TestStore_KeepsEachKindOfValue(t *testing.T) {
	s, err := Open(filled(t))
	if err != nil {
		t.Fatal(err)
	}
	if !s.Bool("grid") || s.Int("units") != 1 || s.Float("width") != 1240.5 || s.Float("whole") != 60 || s.Int("whole") != 60 ||
		s.String("language") != "de" || !slices.Equal(s.StringList("recent"), []string{"a.svg", "b.abut"}) {
		t.Errorf("%v", s.values)
	}
	if s.String("gone") != "" || s.StringWithFallback("gone", "other") != "other" {
		t.Error("what was removed is still there")
	}
}

func TestStore_AnotherKindIsTheFallback(t *testing.T) {
	s, _ := Open(filled(t))
	if s.Bool("language") || s.IntWithFallback("language", 7) != 7 || s.IntWithFallback("width", 7) != 7 || len(s.StringList("grid")) != 0 {
		t.Error("a value is read as what it is not")
	}
}

// A file that ends too early, as one that was not written whole would, is told,
// put aside as it is, and replaced by what is set next.
func TestOpen_PutsADamagedFileAside(t *testing.T) {
	whole, err := os.ReadFile(filled(t))
	if err != nil {
		t.Fatal(err)
	}
	for n := range len(whole) {
		path := filepath.Join(t.TempDir(), "preferences.json")
		if err := os.WriteFile(path, whole[:n], 0o600); err != nil {
			t.Fatal(err)
		}
		s, err := Open(path)
		var damaged *Error
		if !errors.As(err, &damaged) || !is(err, "prefs-damaged") {
			t.Fatalf("the first %d of %d bytes: %v", n, len(whole), err)
		}
		if kept, err := os.ReadFile(damaged.Aside); err != nil || string(kept) != string(whole[:n]) {
			t.Fatalf("the first %d bytes are not kept: %q, %v", n, kept, err)
		}
		s.SetInt("units", 1)
		s.Wait()
		if again, err := Open(path); err != nil || again.Int("units") != 1 {
			t.Fatalf("after %d bytes: %v", n, err)
		}
	}
}

// Whoever reads the file while it is written finds one of the tables, whole.
func TestStore_IsWholeAtAnyMoment(t *testing.T) {
	path := filled(t)
	s, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	done := make(chan bool)
	go func() {
		defer close(done)
		for i := range 200 {
			s.SetString("last", fmt.Sprint(i))
			s.SetInt("units", i)
		}
		s.Wait()
	}()
	for reading := true; reading; {
		select {
		case <-done:
			reading = false
		default:
		}
		if seen, err := Open(path); err != nil || seen.String("language") != "de" {
			t.Fatal(err)
		}
	}
	if seen, _ := Open(path); seen.String("last") != "199" || seen.Int("units") != 199 {
		t.Errorf("the last change is lost: %v", seen.values)
	}
	if list, _ := os.ReadDir(filepath.Dir(path)); len(list) != 1 {
		t.Errorf("left behind: %v", list)
	}
}

func TestStore_SaysWhatCannotBeKept(t *testing.T) {
	inTheWay := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(inTheWay, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	s := &Store{path: filepath.Join(inTheWay, "preferences.json"), values: map[string]any{}}
	s.written.L = &s.mu
	told := make(chan error, 1)
	s.OnTrouble = func(err error) { told <- err }
	s.SetBool("grid", true)
	if err := <-told; !is(err, "prefs-not-kept") || !s.Bool("grid") {
		t.Error("nothing is said, or the choice is lost for now, too")
	}
	s.Wait()
}

func TestStore_TellsWhoListens(t *testing.T) {
	s, _ := Open("")
	n := 0
	s.AddChangeListener(func() { n += s.Int("units") })
	s.SetInt("units", 2)
	if n != 2 || len(s.ChangeListeners()) != 1 {
		t.Errorf("told %d", n)
	}
}

func is(err error, id string) bool {
	m, _ := message.In(err)
	return m.ID == id
}
