package workshop

import (
	"context"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"abut/internal/fit"
	"abut/internal/gradient"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/svgimport"
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
	if j, err = (Options{Bands: 3, Solid: true}).choose(context.Background(), j); err != nil {
		t.Fatal(err)
	}
	if got := ids(j); got != "import-gradients-bands import-gradient-bands see-through-solid" {
		t.Errorf("in bands and solid: %s", got)
	}
	if j, err = (Options{Bands: 1}).choose(context.Background(), j); err != nil {
		t.Fatal(err)
	}
	if got := ids(j); got != "import-gradients import-gradient see-through-mixes" {
		t.Errorf("taken back: %s", got)
	}
}

// A sentence about see-through layers counts the colours that only mixing makes,
// and names a few layers.
func TestWarnings_CountWhatMixingMakes(t *testing.T) {
	warned := func(n int, opacity string, o Options) (layers string, count message.Count) {
		t.Helper()
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, `<rect id="pane %d" x="%d" y="5" width="8" height="10" fill="#%02x40c0" %s/>`, i+1, 10*i, 16*i, opacity)
		}
		r := mustCut(t, `<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="20mm" viewBox="0 0 100 20"><rect width="100" height="10" fill="#d03020"/>`+b.String()+`</svg>`, o)
		for _, w := range seeThrough(r.Job, r.Plan) {
			if want := map[bool]string{false: WarnSeeThrough, true: WarnSolid}[o.Solid]; w.ID != want || len(w.Layers) != n {
				t.Errorf("%+v", w)
			}
			layers = words.English().Put(w.Values["layers"])
			count, _ = w.Values["count"].(message.Count)
		}
		return layers, count
	}
	for _, c := range []struct {
		n       int
		opacity string
		o       Options
		layers  string
		count   message.Count
	}{
		// Each pane mixes with red in one half and with the blank in the other.
		{1, `opacity=".5"`, Options{}, "pane 1", 2},
		{4, `opacity=".5"`, Options{}, "pane 1, pane 2, pane 3, pane 4", 8},
		{5, `opacity=".5"`, Options{}, "pane 1, pane 2, pane 3, pane 4 … (5)", 10},
		{2, `opacity=".5"`, Options{Solid: true}, "pane 1, pane 2", 0},
		{2, ``, Options{}, "", 0},
	} {
		if layers, count := warned(c.n, c.opacity, c.o); layers != c.layers || count != c.count {
			t.Errorf("%d panes, %+v: %q, %d", c.n, c.o, layers, count)
		}
	}
}

// More sheets than anybody has are told, with how to have fewer.
func TestWarnings_ManySheetsAreTold(t *testing.T) {
	for _, n := range []int{manySheets, manySheets + 1} {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, `<rect x="%d" width="8" height="10" fill="#%02x40c0"/>`, 10*i, 10*i)
		}
		told := false
		r := mustCut(t, `<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="20mm" viewBox="0 0 200 20">`+b.String()+`</svg>`, Options{})
		for _, w := range Warnings(r.Job, r.Plan) {
			told = told || w.ID == warnManySheets
		}
		if told != (n > manySheets) {
			t.Errorf("%d sheets: %v", n, told)
		}
	}
}

// What the import says of anything but gradients stays as it is; gradients of a
// layer are told where the first of them was, with how many there are.
func TestWarnings_GradientsAreToldOnceALayer(t *testing.T) {
	r := mustCut(t, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100"><linearGradient id="g"><stop stop-color="#103080"/><stop offset="1" stop-color="#f0c040"/></linearGradient>
<rect id="sky" width="60" height="20" fill="url(#g)"/><image href="photo.png" width="9" height="9"/>
<rect id="sea" y="30" width="60" height="20" fill="url(#g)"/></svg>`, Options{Bands: 4})
	var ids []string
	for _, w := range r.Warnings {
		ids = append(ids, w.ID)
	}
	if len(ids) < 2 || ids[0] != "import-gradients-bands" || ids[1] != svgimport.WarnExternal {
		t.Fatal(ids)
	}
	w := r.Warnings[0]
	if w.Line != 2 || !strings.Contains(w.Text, "2 gradients") || !strings.Contains(w.Text, "4") {
		t.Errorf("%+v", w)
	}
}

// A gradient of nothing that is there, left out with its shape say, is told as
// the import told it; so is what only lies in the same place.
func TestWarnings_OfGradientsThatNoLayerHasStayAsTheyAre(t *testing.T) {
	lone := job.Warning{Message: message.Of(svgimport.WarnGradient, "element", "gone"), Element: "gone", Line: 9}
	beside := job.Warning{Message: message.Of(svgimport.WarnImage), Element: "sky", Line: 2}
	ramp := job.Outlines{Shapes: []job.Shape{{Element: "sky", Line: 2, Gradient: &gradient.Gradient{}}}}
	it := job.Item{Layers: []job.Layer{{ID: 1, Name: "first"}, {ID: 2, Name: "sky", Content: ramp}}, Warnings: []job.Warning{lone, beside, lone}}
	if got := artWarnings(it); !reflect.DeepEqual(got, it.Warnings) {
		t.Errorf("%+v", got)
	}
}

// A clip by a group hides what it clips, as the standard has it, until someone
// chooses otherwise; both are told of the layers concerned.
func TestWarnings_ADoubtfulClipIsAChoice(t *testing.T) {
	const svg = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 60 60"><rect x="40" width="9" height="9" fill="gold"/><g id="k"/><clipPath id="c"><use href="#k"/></clipPath><rect id="sail" width="20" height="20" fill="red" clip-path="url(#c)"/></svg>`
	j, err := OpenSVG(context.Background(), "sail.svg", strings.NewReader(svg))
	if err != nil {
		t.Fatal(err)
	}
	for _, ignored := range []bool{false, true} {
		if j, err = (Options{IgnoreClips: ignored}).choose(context.Background(), j); err != nil {
			t.Fatal(err)
		}
		told := artWarnings(j.Items[0])
		if len(told) != 1 || len(told[0].Layers) != 1 {
			t.Fatalf("%+v", told)
		}
		if is, now := IsClip(told[0]); !is || now != ignored {
			t.Errorf("ignored %v: %s", ignored, told[0].ID)
		}
	}
}

// What is missing, or looks otherwise than it was drawn, is told apart from what is only to be known.
func TestWarnings_TellWhatIsNotAsDrawn(t *testing.T) {
	r := mustCut(t, `<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100"><linearGradient id="g"><stop stop-color="#103080"/><stop offset="1" stop-color="#f0c040"/></linearGradient>
<rect width="60" height="20" fill="url(#g)"><animate/></rect>
<rect y="30" width="60" height="20" filter="url(#f)" fill="#a0f"/>
<rect y="30" x="200" width="60" height="20"/>
<rect y="60" x="10" width="30" height=".001" fill="#0a0"/><image href="photo.png" width="9" height="9"/></svg>`, Options{})
	var changed, known []string
	for _, w := range Warnings(r.Job, r.Plan) {
		if IsNotAsDrawn(w) {
			changed = append(changed, w.ID)
		} else {
			known = append(known, w.ID)
		}
	}
	if got := strings.Join(changed, " "); got != "import-filter import-off-page import-external lines-vanish" {
		t.Error(got)
	}
	if got := strings.Join(known, " "); got != "import-animation import-gradient" {
		t.Error(got)
	}
}
