package press

import (
	"encoding/csv"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"abut/internal/job"
	"abut/internal/words"
)

// published returns what testdata/published.csv says of a kind: figures in the order in
// which they stand there, and the source. The file is a copy of the project's table of
// facts on heat transfer, each with its source.
func published(t *testing.T, id string) (figures []float64, value, source string) {
	t.Helper()
	f, err := os.Open("testdata/published.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range lines {
		if l[0] != id {
			continue
		}
		for _, n := range regexp.MustCompile(`\d+`).FindAllString(l[2], -1) {
			v, err := strconv.ParseFloat(n, 64)
			if err != nil {
				t.Fatal(err)
			}
			figures = append(figures, v)
		}
		return figures, l[2], l[3]
	}
	t.Fatalf("nothing is published of %q", id)
	return nil, "", ""
}

func TestRows_AreWhatIsPublishedWithItsSource(t *testing.T) {
	if len(rows()) != 4 {
		t.Errorf("%d rows", len(rows()))
	}
	for _, r := range Rows() {
		figures, value, source := published(t, r.ID)
		got := []float64{r.LowC, r.HighC, r.LowS, r.HighS}
		if strings.HasPrefix(value, "about") {
			got = got[1:]
		}
		if strings.Contains(value, "min") {
			got[len(got)-2], got[len(got)-1] = r.LowS/60, r.HighS/60
		}
		for i, v := range got {
			if len(figures) != len(got) || figures[i] != v {
				t.Errorf("%s: %v, published is %s", r.ID, got, value)
				break
			}
		}
		if r.Source != source || source == "" {
			t.Errorf("%s: source %q, not %q", r.ID, r.Source, source)
		}
	}
	if f, _, _ := published(t, "melting"); softC != f[1] || meltsC != f[2] {
		t.Errorf("polyester's window is %v", f)
	}
}

// By definition of the two scales water freezes and boils at 32 and 212 °F, and they meet
// at −40.
func TestFahrenheit_MeetsTheFixedPoints(t *testing.T) {
	for c, f := range map[float64]float64{0: 32, 100: 212, -40: -40, 180: 356} {
		if Fahrenheit(c) != f || Celsius(f) != c {
			t.Errorf("%g °C is %g °F and back %g", c, Fahrenheit(c), Celsius(f))
		}
	}
}

func TestWords_SayHeatAndTimeInBothUnits(t *testing.T) {
	w := words.English()
	for id, want := range map[string]string{
		"cloth":   "180–210 °C (356–410 °F), 30–60 s",
		"metal":   "about 204 °C (399 °F), 30–75 s",
		"ceramic": "about 204 °C (399 °F), 4–8 min",
		"mug":     "177–204 °C (351–399 °F), 4–5 min",
	} {
		for _, r := range Rows() {
			if r.ID == id && w.Message(r.Heat())+", "+w.Message(r.Time()) != want {
				t.Errorf("%s: %s, %s", id, w.Message(r.Heat()), w.Message(r.Time()))
			}
		}
	}
}

func TestDoubts_FlagWhatLiesOutside(t *testing.T) {
	for _, c := range []struct {
		name     string
		material job.Material
		v        job.Pressing
		want     []string
	}{
		{"nothing yet", job.Coated, job.Pressing{}, nil},
		{"cloth, usual", job.Polyester, job.Pressing{HeatC: 190, Seconds: 45}, nil},
		{"cloth, ends of the range", job.Polyester, job.Pressing{HeatC: 210, Seconds: 30}, nil},
		{"cloth, hotter", job.Polyester, job.Pressing{HeatC: 211, Seconds: 45}, []string{"press-heat-outside"}},
		{"cloth, a mug's time", job.Polyester, job.Pressing{HeatC: 190, Seconds: 240}, []string{"press-time-outside"}},
		{"too cool for polyester", job.Polyester, job.Pressing{HeatC: 85}, []string{"press-too-cool"}},
		{"melts", job.Polyester, job.Pressing{HeatC: 242}, []string{"press-too-hot"}},
		{"about 204", job.Coated, job.Pressing{Kind: "metal", HeatC: 200, Seconds: 60}, nil},
		{"not about 204", job.Coated, job.Pressing{Kind: "metal", HeatC: 190, Seconds: 60}, []string{"press-heat-outside"}},
		{"any coated one", job.Coated, job.Pressing{HeatC: 180, Seconds: 300}, nil},
		{"cotton", job.Cotton, job.Pressing{HeatC: 190}, []string{"blank-cotton"}},
	} {
		b := job.Blank{Material: c.material, Press: c.v}
		var got []string
		for _, m := range Doubts(b) {
			got = append(got, m.ID)
		}
		if strings.Join(got, " ") != strings.Join(c.want, " ") {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}

// README gives the same figures as the table.
func TestReadme_AgreesWithTheTable(t *testing.T) {
	data, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Join(strings.Fields(string(data)), " ")
	for _, r := range Rows() {
		w := words.English()
		if want := strings.ToLower(w.Message(r.Name())) + " " + w.Message(r.Heat()) + ", " + w.Message(r.Time()); !strings.Contains(text, want) {
			t.Errorf("README does not say %q", want)
		}
	}
}
