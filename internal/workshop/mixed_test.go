package workshop

import (
	"context"
	"strings"
	"testing"

	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/words"
)

// What is told about mixed colours follows what was decided, with its line,
// element, layers and remedy; of several gradients in one layer once.
func TestWarnings_FollowWhatIsDecidedAboutMixedColours(t *testing.T) {
	j, err := OpenSVG(context.Background(), "art.svg", strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100"><linearGradient id="g"><stop stop-color="#103080"/><stop offset="1" stop-color="#f0c040"/></linearGradient>
<radialGradient id="r"><stop stop-color="#fff0a0"/><stop offset="1" stop-color="#c05030"/></radialGradient>
<rect id="sky" width="60" height="20" fill="url(#g)"/><rect id="sea" y="30" width="60" height="20" fill="url(#g)"/>
<circle id="sun" cx="80" cy="20" r="10" fill="url(#r)"/>
<rect id="glass" x="70" y="10" width="20" height="10" fill="#2040c0" opacity=".5"/></svg>`))
	if err != nil {
		t.Fatal(err)
	}
	ids := func(j job.Job) string {
		t.Helper()
		p, err := fit.Compute(context.Background(), j)
		if err != nil {
			t.Fatal(err)
		}
		var out []string
		for _, w := range Warnings(j, p) {
			if !IsGradient(w) && w.ID != WarnSeeThrough && w.ID != WarnSolid {
				continue
			}
			out = append(out, w.ID)
			text, remedy := words.English().Warning(w)
			if text == "" || remedy == "" || strings.Contains(text, "[") || len(w.Layers) == 0 {
				t.Errorf("%+v: %q, %q", w, text, remedy)
			}
			if IsGradient(w) && (w.Line == 0 || w.Element == "") {
				t.Errorf("no place: %+v", w)
			}
		}
		return strings.Join(out, " ")
	}
	if got := ids(j); got != "import-gradients import-gradient see-through-mixes" {
		t.Errorf("as imported: %s", got)
	}
	if j, err = Mixed(j, 3, true); err != nil {
		t.Fatal(err)
	}
	if got := ids(j); got != "import-gradients-bands import-gradient-bands see-through-solid" {
		t.Errorf("in bands and solid: %s", got)
	}
	if j, err = Mixed(j, 1, false); err != nil {
		t.Fatal(err)
	}
	if got := ids(j); got != "import-gradients import-gradient see-through-mixes" {
		t.Errorf("taken back: %s", got)
	}
}
