package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestCut_CopiesAreLaidOutTogetherUnlessAskedToBeLoose(t *testing.T) {
	file := art(t, sized, overlapping)
	for _, c := range []struct {
		args []string
		way  string
	}{{nil, ""}, {[]string{"--copies", "1"}, ""}, {[]string{"--copies", "3"}, "together"}, {[]string{"--roll", "300mm"}, "together"}, {[]string{"--layout", "loose"}, "loose"}} {
		out := filepath.Join(t.TempDir(), "out")
		said := must(t, append([]string{"cut", file, "-o", out, "--tries", "5"}, c.args...)...)
		l := readManifest(t, out).Layout
		_, err := os.Stat(filepath.Join(out, "sheets.html"))
		if laid := c.way != ""; (l != nil) != laid || strings.Contains(said, "Laid out: ") != laid || (err == nil) != laid {
			t.Errorf("%v: %v, %v\n%s", c.args, l, err, said)
		} else if laid && string(l.Way) != c.way {
			t.Errorf("%v: it is laid out %s", c.args, l.Way)
		}
	}
}
