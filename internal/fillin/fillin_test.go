package fillin

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/drawer"
	"abut/internal/job"
	"abut/internal/lettering"
)

func listOf(t *testing.T, text string) drawer.List {
	t.Helper()
	l, err := drawer.ReadList(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// with makes a job of a text in the font that comes along.
func with(t *testing.T, text job.Text) (job.Job, job.LayerID) {
	t.Helper()
	text.SizeMM, text.Weight = 10, 400
	text, _, err := lettering.Set(t.Context(), text)
	if err != nil {
		t.Fatal(err)
	}
	j, id, err := job.Add(job.Job{}, job.Added{Content: text, Name: job.TextName(text.Text), Colour: colour.RGB{B: 0x80}}, geometry.Pt(30, 40))
	if err != nil {
		t.Fatal(err)
	}
	return j, id
}

func textOf(j job.Job, id job.LayerID) job.Text {
	l, _, _ := j.Layer(id)
	return l.Content.(job.Text)
}

func TestFill_LongNamesStayWithinTheirPlaceAndShortOnesAreNotSetLarger(t *testing.T) {
	arc := &job.Arc{RadiusMM: 40}
	for _, text := range []job.Text{
		{Text: "{name}"}, {Text: "{name}", Align: job.TextMiddle}, {Text: "{name}", Align: job.TextEnd, SpacingMM: 1}, {Text: "Puffin {name}\nsince 1874"},
		{Text: "{name}", Align: job.TextMiddle, Arc: arc},
	} {
		j, id := with(t, text)
		j, err := job.Turn(j, []job.LayerID{id}, 0.3) // its own line may lie any way
		if err != nil {
			t.Fatal(err)
		}
		place := textOf(j, id)
		drawn, _ := extent(t.Context(), place)
		for _, name := range []string{"Jo", "Wolfeschlegelsteinhausen-Bergerdorff"} {
			out, filled, err := Fill(t.Context(), j, listOf(t, "name\n"+name+"\n"), 0)
			if err != nil {
				t.Fatal(err)
			}
			got := textOf(out, id)
			now, _ := extent(t.Context(), got)
			if long := len(name) > 10; long != (filled.Texts[0].Share < 1) || got.SizeMM > 10 || long && now.Width() < 0.999*drawn.Width() {
				t.Errorf("%q in %+v: size %v, share %v, %v mm of %v", name, text, got.SizeMM, filled.Texts[0].Share, now.Width(), drawn.Width())
			}
			if text.Arc != nil { // where it lies follows from the middle of the arc
				if now.Width() > drawn.Width()+1e-6 {
					t.Errorf("%q takes %v mm of the arc, its place is %v", name, now.Width(), drawn.Width())
				}
				continue
			}
			was, _, _ := j.Layer(id)
			is, _, _ := out.Layer(id)
			// Both in the units of the text, along its line.
			by := is.Transform.Apply(geometry.Point{}).Sub(was.Transform.Apply(geometry.Point{}))
			along, across := by.X*math.Cos(0.3)+by.Y*math.Sin(0.3), by.Y*math.Cos(0.3)-by.X*math.Sin(0.3)
			if now.Min.X+along < drawn.Min.X-1e-6 || now.Max.X+along > drawn.Max.X+1e-6 || math.Abs(across) > 1e-9 {
				t.Errorf("%q in %+v lies from %v to %v, moved %v, its place from %v to %v", name, text, now.Min.X, now.Max.X, by, drawn.Min.X, drawn.Max.X)
			}
		}
	}
}

func TestFill_AColumnGivesLayersTheirColour(t *testing.T) {
	j, buoy := with(t, job.Text{Text: "{name}"})
	round, err := job.NewPrimitive(job.Primitive{Form: job.Ellipse, Width: 20, Height: 20})
	if err != nil {
		t.Fatal(err)
	}
	j, id, err := job.Add(j, job.Added{Content: round, Name: "{colour}", Colour: colour.RGB{R: 1}}, geometry.Pt(0, 0))
	if err != nil {
		t.Fatal(err)
	}
	list := listOf(t, "name\tcolour\nAda\t#d03020\nBo\tpuffin\n")
	out, _, err := Fill(t.Context(), j, list, 0)
	if l, _, _ := out.Layer(id); err != nil || l.Colour != (colour.RGB{R: 0xd0, G: 0x30, B: 0x20}) {
		t.Errorf("%v, %v", l.Colour, err)
	}
	if l, _, _ := out.Layer(buoy); l.Colour != (colour.RGB{B: 0x80}) {
		t.Errorf("the text is %v", l.Colour)
	}
	var e *Error
	if _, _, err := Fill(t.Context(), j, list, 1); !errors.As(err, &e) || e.ID != "list-no-colour" {
		t.Error(err)
	}
}

func TestFill_SaysWhatIsInTheWay(t *testing.T) {
	marked, _ := with(t, job.Text{Text: "{name}"})
	plain, _ := with(t, job.Text{Text: "Keeper"})
	for _, c := range []struct {
		j          job.Job
		list, want string
	}{
		{plain, "name\nAda\n", "list-nothing-marked"},
		{marked, "first\nAda\n", "list-no-column"},
		{marked, "name,number\n,3\n", "list-empty-text"},
		// A letter for private use, which no font has unless it is made for that.
		{marked, "name\nAda \U0010fff0\n", "list-letters-lost"},
		{marked, "name\n\U0010fff0\n", "list-letters-lost"}, // and nothing else
	} {
		var e *Error
		if _, _, err := Fill(t.Context(), c.j, listOf(t, c.list), 0); !errors.As(err, &e) || e.ID != c.want {
			t.Errorf("%q: %v, want %s", c.list, err, c.want)
		}
	}
}

func TestMarks_AreWhatFillFillsIn(t *testing.T) {
	j, _ := with(t, job.Text{Text: "{name} of { class }"})
	if m := Marks(j); !slices.Equal(m, []string{"name", "class"}) {
		t.Errorf("%+v", m)
	}
	round, err := job.NewPrimitive(job.Primitive{Form: job.Ellipse, Width: 20, Height: 20})
	if err != nil {
		t.Fatal(err)
	}
	j, id, err := job.Add(j, job.Added{Content: round, Name: "{colour}", Colour: colour.RGB{R: 1}}, geometry.Pt(0, 0))
	if err != nil {
		t.Fatal(err)
	}
	if m := Marks(j); !slices.Equal(m, []string{"name", "class", "colour"}) {
		t.Errorf("%+v", m)
	}
	if j, err = job.Arrange(j, []job.LayerID{id}, job.ToBottom); err != nil || !slices.Equal(Marks(j), []string{"name", "class", "colour"}) {
		t.Errorf("%v; beneath the text it is %+v", err, Marks(j)) // names that are typed go to texts
	}
	if j, err = job.SetUse(j, []job.LayerID{id}, job.LeftOut); err != nil || len(Marks(j)) != 2 {
		t.Errorf("%v, %+v", err, Marks(j))
	}
	// Without any of them nothing could be filled in.
	list := listOf(t, "name,class\nAda,3b\n")
	if out, _, err := Fill(t.Context(), j, list, 0); err != nil || len(Marks(out)) != 0 {
		t.Errorf("%v, %+v", err, Marks(out))
	}
}
