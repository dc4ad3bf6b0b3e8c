package workshop

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"abut/internal/fit"
)

func TestForetell_IsWhatIsWritten(t *testing.T) {
	j := inked(t)
	for _, o := range []WriteOptions{{}, {Formats: Formats()}, {Formats: []Format{DXF, PNG}, WeedingLines: true}} {
		f, err := Foretell(context.Background(), new(fit.Cache), j, o, 300)
		if err != nil {
			t.Fatal(err)
		}
		dir := filepath.Join(t.TempDir(), "out")
		m := written(t, j, dir, o)
		bytes := 0
		for _, x := range m.Files {
			info, err := os.Stat(filepath.Join(dir, x.File))
			if err != nil {
				t.Fatal(err)
			}
			bytes += int(info.Size())
		}
		if f.Files != len(m.Files) || f.Bytes != bytes || f.WidthMM != m.PageMM[0] || f.HeightMM != m.PageMM[1] {
			t.Errorf("%+v; written %d files, %d bytes, %v mm", f, len(m.Files), bytes, m.PageMM)
		}
		if f.Sheet.Bounds().Dx() != 300 {
			t.Errorf("a picture of %v", f.Sheet.Bounds())
		}
	}
}

func TestCanCut_APictureAloneIsNotEnough(t *testing.T) {
	if CanCut(nil) || CanCut([]Format{PNG}) || !CanCut([]Format{SVG}) || !CanCut([]Format{PDFLayers, PNG}) {
		t.Error("wrong")
	}
	j := inked(t)
	_, err := Write(context.Background(), new(fit.Cache), j, fitted(t, j), filepath.Join(t.TempDir(), "out"), WriteOptions{Formats: []Format{PNG}})
	if !Is(err, "format-cuts-nothing") {
		t.Error(err)
	}
}
