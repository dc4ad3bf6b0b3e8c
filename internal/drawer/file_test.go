package drawer

import (
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"abut/internal/colour"
)

func TestDrawer_IsKeptWholeOrNotAtAll(t *testing.T) {
	path := filepath.Join(t.TempDir(), "state", "drawer.csv")
	if got, err := Kept(path); err != nil || got != nil {
		t.Error("before it was written: ", got, err)
	}
	want := []Sheet{{Name: "Tomato", Pressed: colour.RGB{R: 0xd1}, Unpressed: colour.RGB{R: 0x80}, Count: 2, Offcuts: []Size{{WidthMM: 40, HeightMM: 50}}}}
	if err := Save(path, want); err != nil {
		t.Fatal(err)
	}
	if got, err := Kept(path); err != nil || !reflect.DeepEqual(got, want) {
		t.Error(got, err)
	}
	files, _ := os.ReadDir(filepath.Dir(path))
	if len(files) != 1 {
		t.Errorf("%v", files)
	}
	err := Save(filepath.Join(path, "below", "drawer.csv"), want)
	var wrong *Error
	if !errors.As(err, &wrong) || wrong.ID != "drawer-unwritable" {
		t.Error(err)
	}
}
