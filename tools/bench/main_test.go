package main

import (
	"os"
	"path/filepath"
	"slices"
	"testing"
)

func TestMiddle_OfPairs(t *testing.T) {
	list := []float64{9, 1, 3, 2, 100, 4, 5, 6}
	if m := median(list); m != 4.5 {
		t.Errorf("median %g", m)
	}
	if low, high := quartiles(list); low != 3 || high != 6 {
		t.Errorf("quartiles %g and %g", low, high)
	}
	if low, high := quartiles([]float64{7}); median([]float64{7}) != 7 || low != 7 || high != 7 {
		t.Error("one alone has no middle")
	}
}

func TestBySize_TakesTheSmallestFirst(t *testing.T) {
	dir := t.TempDir()
	for name, n := range map[string]int{"a": 30, "b": 10, "c": 20, "d": 10} {
		if err := os.WriteFile(filepath.Join(dir, name+".svg"), make([]byte, n), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	files, err := bySize(filepath.Join(dir, "*.svg"))
	var names []string
	for _, f := range files {
		names = append(names, filepath.Base(f))
	}
	if want := []string{"b.svg", "d.svg", "c.svg", "a.svg"}; err != nil || !slices.Equal(names, want) {
		t.Errorf("%v, %v", names, err)
	}
	if _, err := bySize(filepath.Join(dir, "*.png")); err == nil {
		t.Error("no art is no error")
	}
}
