package workshop

import (
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/fit"
	"abut/internal/fit/mend"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/words"
)

// spots are two open necks and an open speck, and of each that is kept one more
// than of the one before.
func spots() []fit.WeakSpot {
	list := []fit.WeakSpot{
		{Kind: job.Gap, Kept: true, At: geometry.Pt(1, 1)}, {Kind: job.Neck, At: geometry.Pt(2, 2)}, {Kind: job.Neck, At: geometry.Pt(3, 3)}, {Kind: job.Speck, At: geometry.Pt(4, 4)},
	}
	for range 2 {
		list = append(list, fit.WeakSpot{Kind: job.Sliver, Kept: true, Reason: mend.ReasonTooDense})
	}
	for range 3 {
		list = append(list, fit.WeakSpot{Kind: job.Gap, Kept: true, Reason: mend.ReasonNowhere})
	}
	return list
}

// stuck are those of the spots that cannot be mended and that nobody accepted.
func stuck(all []fit.WeakSpot) (out []fit.WeakSpot) {
	for i := range all {
		if all[i].Stuck() {
			out = append(out, all[i])
		}
	}
	return out
}

// each are things of a spot each.
func each(spots []fit.WeakSpot) (out []fit.WeakThing) {
	for i := range spots {
		out = append(out, fit.WeakThing{Spots: []int{i}})
	}
	return out
}

func TestVerdict_CountsThingsAndNotTheirSpots(t *testing.T) {
	p := &fit.Plan{Verdict: fit.Verdict{State: fit.Ready, Message: message.Message{ID: "verdict-ready"}}}
	list := stuck(spots())
	v := Verdict(p, list, []fit.WeakThing{{Spots: []int{0, 2, 3}}, {Spots: []int{1, 4}}}, nil)
	if v.Values["count"] != message.Count(2) {
		t.Errorf("%v things", v.Values["count"])
	}
}

// A pen is not advised where there is nothing that it could draw.
func TestVerdict_NamesAPenWhereItHelps(t *testing.T) {
	p := &fit.Plan{Verdict: fit.Verdict{State: fit.Ready, Message: message.Message{ID: "verdict-ready"}}}
	list := stuck(spots())
	for _, pen := range []bool{false, true} {
		v := Verdict(p, list, []fit.WeakThing{{Layer: 1, Pen: pen, Spots: []int{0, 1, 2, 3, 4}}}, nil)
		for _, l := range words.Languages() {
			said := words.For(l.Tag).Remedy(v.Message)
			if strings.Contains(said, " pen") != pen && strings.Contains(said, "Stift") != pen {
				t.Errorf("pen %v: %s", pen, said)
			}
		}
	}
}

func TestWeakWarnings_CountEachKindByWhatBecomesOfIt(t *testing.T) {
	got := map[string]message.Count{}
	for _, w := range weakWarnings(spots(), job.Settings{}) {
		got[w.ID] = w.Values["count"].(message.Count)
		if w.ID == "weak-spots" && *w.At != geometry.Pt(2, 2) {
			t.Errorf("the first is at %v", *w.At)
		}
		if text, _ := words.English().Warning(w); text == "" || text[0] == '[' {
			t.Error(text)
		}
	}
	want := map[string]message.Count{"weak-spots": 3, "spots-kept": 1, mend.ReasonTooDense: 2, mend.ReasonNowhere: 3}
	for id, n := range want {
		if got[id] != n || len(got) != len(want) {
			t.Errorf("%v, want %v", got, want)
		}
	}
	if w := weakWarnings(spots()[:1], job.Settings{}); len(w) != 1 || w[0].ID != "spots-kept" {
		t.Errorf("%+v", w)
	}
}

func TestVerdict_SaysWhatIsWeakOnceNothingElseIsInTheWay(t *testing.T) {
	for _, c := range []struct {
		state, then fit.VerdictState
		id, want    string
		spots       []fit.WeakSpot
		open        message.Count
	}{
		{fit.Ready, fit.Trouble, "verdict-ready", "verdict-weak", spots(), 3},
		{fit.Ready, fit.Trouble, "verdict-ready-left-out", "verdict-weak-left-out", spots()[1:2], 1},
		{fit.Ready, fit.Ready, "verdict-ready", "verdict-ready", spots()[:1], 0},
		{fit.Ready, fit.Trouble, "verdict-ready", "verdict-stuck", stuck(spots()), 5},
		{fit.Trouble, fit.Trouble, "verdict-stacked", "verdict-stacked", spots(), 0},
	} {
		p := &fit.Plan{Verdict: fit.Verdict{State: c.state, Message: message.Message{ID: c.id, Values: map[string]any{"left": "sky"}}}}
		v := Verdict(p, c.spots, each(c.spots), nil)
		count, _ := v.Values["count"].(message.Count)
		if v.State != c.then || v.ID != c.want || count != c.open || v.Values["left"] != "sky" || p.Verdict.ID != c.id {
			t.Errorf("%+v, want %+v", v, c)
		}
		if text := words.English().Message(v.Message); c.state == fit.Ready && (strings.HasPrefix(text, "[") || strings.Contains(text, "<no value>")) {
			t.Error(text)
		}
	}
}

// What nobody could look for is not ready for one press.
func TestVerdict_IsNotReadyWhereNobodyLooked(t *testing.T) {
	p := &fit.Plan{Verdict: fit.Verdict{State: fit.Ready, Message: message.Message{ID: "verdict-ready"}}}
	crowded := []job.Warning{{Message: message.Message{ID: "lettering"}}, {Message: message.Message{ID: notLookedFor}}}
	if v := Verdict(p, nil, nil, crowded); v.State != fit.Trouble || v.ID != "verdict-weak-many" {
		t.Errorf("%+v", v)
	}
	if v := Verdict(p, nil, nil, crowded[:1]); v.State != fit.Ready {
		t.Errorf("another note: %+v", v)
	}
	p.LeftOut = []string{"Sun"}
	if v := Verdict(p, nil, nil, crowded); !strings.Contains(words.Chosen().Message(v.Message), "Left out: Sun.") {
		t.Errorf("it does not name what is left out: %+v", v)
	}
}
