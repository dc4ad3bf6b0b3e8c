package workshop

import (
	"path/filepath"
	"strings"
	"testing"

	"abut/internal/job"
	"abut/internal/tree"
)

func TestWrite_DrawnLayersHaveFilesOfTheirOwn(t *testing.T) {
	j := knockedOut(t, open(t, `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">
<rect width="50" height="40" fill="#d03020"/><path id="line" d="M10 20H60" fill="none" stroke="#202020" stroke-width="0.7"/></svg>`))
	ids := j.LayerIDs()
	j, err := job.SetUse(j, ids[len(ids)-1:], job.Drawn)
	if err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(t.TempDir(), "out")
	m := written(t, j, out, WriteOptions{})
	if len(m.Separations) != 1 || len(m.Drawings) != 1 || m.Drawings[0].File != "01-red-drawn-black-mirrored.svg" || m.Drawings[0].Color != "#202020" {
		t.Fatalf("%+v", m.Drawings)
	}
	// 40 of its 50 mm lie on red; a pen's reach is forgiven.
	if d := m.Drawings[0].LengthMM - 40; d < -0.1 || d > 0.1 || m.DrawnOffMM < 9.9 || m.DrawnOffMM > 10.1 {
		t.Errorf("%g, %g", m.Drawings[0].LengthMM, m.DrawnOffMM)
	}
	files := tree.Of(t, out)
	// The centre line on the page, mirrored: the art is 60 mm wide.
	if got := files[m.Drawings[0].File]; !strings.Contains(got, "M50 20L") || strings.Contains(got, "Z") {
		t.Error(got)
	}
	for _, want := range []string{"Draw first.", m.Drawings[0].File, `class="drawn"`} {
		if !strings.Contains(files["steps.html"], want) {
			t.Errorf("steps.html lacks %s", want)
		}
	}
	// An earlier run's drawing is replaced with the rest.
	j, err = job.SetUse(j, ids[len(ids)-1:], job.Cut)
	if err != nil {
		t.Fatal(err)
	}
	written(t, j, out, WriteOptions{Overwrite: true})
	if _, there := tree.Of(t, out)["01-red-drawn-black-mirrored.svg"]; there {
		t.Error("a drawing of an earlier run is still there")
	}
}
