package session

import (
	"context"
	"errors"
	"math"
	"slices"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/fit"
	"abut/internal/job"
)

func TestCautions_SayWhatTheBlankSays(t *testing.T) {
	b := newBench(t)
	b.demo("pair") // a disc of 84 mm around (45, 45)
	ids := func(blank *job.Blank, c *colour.RGB) []string {
		t.Helper()
		j, err := job.SetBlankShape(b.Job(), blank)
		if err == nil {
			j, err = job.SetBlank(j, c)
		}
		if err != nil {
			t.Fatal(err)
		}
		plan, err := fit.Compute(context.Background(), j)
		if err != nil {
			t.Fatal(err)
		}
		beyond, cautions := cautions(j, plan)
		var out []string
		for _, w := range append(beyond, cautions...) {
			out = append(out, w.ID)
		}
		return out
	}
	plan, _ := b.Plan()
	at := plan.Extent.Centre()
	coaster := func(size, safe float64, at geometry.Point) *job.Blank {
		return &job.Blank{Name: "Coaster", WidthMM: size, HeightMM: size, Round: true, SafeMM: safe, At: at}
	}
	for _, c := range []struct {
		blank *job.Blank
		want  string
	}{
		{nil, ""}, {coaster(90, 3, at), ""}, {coaster(90, 4, at), "blank-art-unsafe"}, {coaster(80, 0, at), "beyond-blank"},
		{coaster(90, 0, at.Add(geometry.Pt(5, 0))), "beyond-blank"},
		{&job.Blank{WidthMM: 200, HeightMM: 200, At: at, Material: job.Cotton}, "blank-cotton"},
	} {
		got := ids(c.blank, nil)
		if c.want == "" && len(got) > 0 || c.want != "" && (len(got) != 1 || got[0] != c.want) {
			t.Errorf("%+v: %v, want %s", c.blank, got, c.want)
		}
	}
	if got := ids(nil, &colour.RGB{R: 0x22, G: 0x24, B: 0x28}); len(got) != 1 || got[0] != "blank-dark" {
		t.Error(got)
	}
	if got := ids(nil, &colour.RGB{R: 0xCF, G: 0xE3, B: 0xF1}); len(got) != 1 || got[0] != "blank-tinted" {
		t.Error(got)
	}
}

// near tells whether two lengths are the same to a hundredth of a millimetre.
func near(a, b float64) bool { return math.Abs(a-b) < 0.01 }

func (b *bench) extent() geometry.Rect {
	b.t.Helper()
	b.settle()
	plan, exact := b.Plan()
	if plan == nil || !exact {
		b.t.Fatal("no exact plan: ", b.planError)
	}
	return plan.Extent
}

func TestFillBlank_FillsTheSafeAreaWhereTheArtLies(t *testing.T) {
	b := newBench(t)
	b.demo("pair") // as wide as it is high
	before := b.extent()
	b.FillBlank(job.Blank{Name: "Tag", WidthMM: 100, HeightMM: 50, SafeMM: 5})
	after := b.extent()
	if !near(after.Height(), 40) || !near(after.Width(), 40) {
		t.Errorf("the art is %g × %g mm in a safe area of 90 × 40", after.Width(), after.Height())
	}
	blank := b.Job().Settings.BlankShape
	if blank == nil || blank.Name != "Tag" || blank.At != before.Centre() {
		t.Errorf("the blank is %+v, the art lay around %v", blank, before.Centre())
	}
	if d := after.Centre().Sub(before.Centre()); !near(d.Len(), 0) {
		t.Errorf("the art moved by %v", d)
	}
	if labels, done := b.Steps(); len(labels) != 1 || done != 1 || labels[0] != "ui-step-fill-blank" {
		t.Errorf("steps %v", labels)
	}
	b.Undo()
	if got := b.extent(); !near(got.Width(), before.Width()) || b.Job().Settings.BlankShape != nil {
		t.Errorf("after undo %g mm wide, blank %+v", got.Width(), b.Job().Settings.BlankShape)
	}
}

func TestFillBlank_KeepsPicturesWhereTheyAreToEachOther(t *testing.T) {
	b := newBench(t)
	b.svg(`<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm" viewBox="0 0 20 20"><path d="M0 0H20V20H0Z"/></svg>`)
	if err := b.Do("twice", func(j job.Job) (job.Job, error) {
		j, _ = job.AddBeside(j, j)
		return j, nil
	}); err != nil {
		t.Fatal(err)
	}
	wide := b.extent().Width() // two squares and what lies between them
	b.FillBlank(job.Blank{WidthMM: 200, HeightMM: 200})
	if got := b.extent().Width(); !near(got, 200) {
		t.Errorf("both are %g mm wide together", got)
	}
	j := b.Job()
	one, other := job.Bounds(j, j.Items[0].Layers[0].ID), job.Bounds(j, j.Items[1].Layers[0].ID)
	if k := 200 / wide; !near(one.Width(), 20*k) || !near(other.Width(), 20*k) || !near(other.Min.X-one.Max.X, (wide-40)*k) {
		t.Errorf("%v and %v after scaling by %g", one, other, k)
	}
}

func TestFillBlank_RefusesABlankThatCannotBe(t *testing.T) {
	b := newBench(t)
	b.demo("pair")
	b.FillBlank(job.Blank{WidthMM: -5, HeightMM: 50})
	b.settle()
	var edit *job.EditError
	if len(b.errs) != 1 || !errors.As(b.errs[0], &edit) || edit.ID != "edit-bad-blank" || b.CanUndo() {
		t.Errorf("told %v, a step: %v", b.errs, b.CanUndo())
	}
}

// Without a picture there is nothing that could fill anything.
func TestFillBlank_WithoutAPictureDoesNothing(t *testing.T) {
	b := newBench(t)
	if err := b.UseEmpty(job.Blank{Name: "Mug", WidthMM: 200, HeightMM: 90}, nil); err != nil {
		t.Fatal(err)
	}
	b.settle()
	b.FillBlank(job.Blank{Name: "Tile", WidthMM: 100, HeightMM: 100})
	b.Resize(50, 0)
	if b.Busy() || b.CanUndo() || b.Job().Settings.BlankShape.Name != "Mug" {
		t.Errorf("busy: %v, a step: %v, %+v", b.Busy(), b.CanUndo(), b.Job().Settings.BlankShape)
	}
}

// Art that is left out covers nothing: the blank is chosen, and nothing scaled.
func TestFillBlank_ChoosesTheBlankForArtThatIsLeftOut(t *testing.T) {
	b := newBench(t)
	b.demo("pair")
	if err := b.Do("out", func(j job.Job) (job.Job, error) { return job.SetUse(j, j.LayerIDs(), job.LeftOut) }); err != nil {
		t.Fatal(err)
	}
	b.settle()
	before := b.Job().Items[0].Placement
	b.FillBlank(job.Blank{Name: "Tile", WidthMM: 100, HeightMM: 100})
	b.settle()
	if s := b.Job().Settings.BlankShape; len(b.errs) > 0 || s == nil || s.Name != "Tile" || b.Job().Items[0].Placement != before {
		t.Errorf("told %v, blank %+v, placed %v, before %v", b.errs, s, b.Job().Items[0].Placement, before)
	}
}

func TestCautions_SayWhatMaterialAndColourDo(t *testing.T) {
	for _, c := range []struct {
		material job.Material
		colour   *colour.RGB
		want     []string
	}{
		{job.Coated, nil, nil},
		{job.Polyester, &colour.White, nil},
		{job.Polyester, &colour.RGB{R: 250, G: 250, B: 250}, nil}, // no eye sees that
		{job.Blend, nil, []string{"blank-blend"}},
		{job.Cotton, &colour.RGB{R: 20, G: 20, B: 60}, []string{"blank-cotton", "blank-dark"}}, // tinted as well: dark says it
		{job.Coated, &colour.RGB{R: 255, G: 230, B: 200}, []string{"blank-tinted"}},
	} {
		j := job.Job{Settings: job.Settings{BlankShape: &job.Blank{Name: "Bag", WidthMM: 90, HeightMM: 90, Material: c.material}, Blank: c.colour}}
		beyond, cautions := cautions(j, nil)
		var got []string
		for _, w := range cautions {
			got = append(got, w.ID)
		}
		if len(beyond) > 0 || !slices.Equal(got, c.want) {
			t.Errorf("%v, %v: %v and beyond %v, want %v", c.material, c.colour, got, beyond, c.want)
		}
	}
}

func TestCautions_NameTheBlankThatArtComesTooNear(t *testing.T) {
	b := newBench(t)
	b.demo("pair") // a disc of 84 mm
	plan := b.extent()
	j, err := job.SetBlankShape(b.Job(), &job.Blank{Name: "Coaster", WidthMM: 90, HeightMM: 90, Round: true, SafeMM: 4, At: plan.Centre()})
	if err != nil {
		t.Fatal(err)
	}
	p, _ := b.Plan()
	beyond, _ := cautions(j, p)
	if len(beyond) != 1 || beyond[0].ID != "blank-art-unsafe" || beyond[0].Args["blank"] != "Coaster" {
		t.Errorf("%+v", beyond)
	}
}

// Where there is a blank, layers are lined up with it; else with the page that the
// art came on.
func TestCentre_IsThatOfTheBlankOrElseOfThePage(t *testing.T) {
	b := newBench(t)
	b.svg(`<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40"><rect width="10" height="10" fill="#d03020"/><rect x="20" width="10" height="10" fill="#2040c0"/></svg>`)
	ids := b.Job().LayerIDs()[:1]
	at := func() geometry.Point { return job.BoundsOf(b.Job(), ids).Centre() }
	b.Centre(ids)
	if got := at(); got.Sub(geometry.Pt(30, 20)).Len() > 0.001 {
		t.Errorf("in the middle of the page: %v", got)
	}
	b.Align(ids, job.AlignLeft)
	if got := at(); got.Sub(geometry.Pt(5, 20)).Len() > 0.001 {
		t.Errorf("at the page's left: %v", got)
	}
	b.Align(b.Job().LayerIDs(), job.AlignTop)
	if got := at(); got.Sub(geometry.Pt(5, 5)).Len() > 0.001 {
		t.Errorf("several are lined up among themselves: %v", got)
	}
	blank := &job.Blank{Name: "Tag", WidthMM: 80, HeightMM: 50, At: geometry.Pt(100, 70)}
	b.Tried("blank", func(j job.Job) (job.Job, error) { return job.SetBlankShape(j, blank) })
	b.Centre(ids)
	if got := at(); got.Sub(blank.At).Len() > 0.001 || b.Page() != blank.Bounds() {
		t.Errorf("in the middle of the blank: %v, page %v", got, b.Page())
	}
	b.settle()
}

// A frame that was tied to a sheet goes along to the new base; one that is made only
// where it is needed, or not at all, stays so.
func TestSetBase_TakesATiedFrameAlong(t *testing.T) {
	b := newBench(t)
	b.svg(stripes(2))
	one, two := b.Job().Items[0].Layers[0].Colour, b.Job().Items[0].Layers[1].Colour
	for was, want := range map[job.FrameRule]job.FrameMode{
		{Mode: job.FrameOn, Colour: one}: job.FrameAlways,
		{Mode: job.FrameAuto}:            job.FrameAuto,
		{Mode: job.FrameNone}:            job.FrameNone,
	} {
		b.Tried("frame", func(j job.Job) (job.Job, error) { return job.SetFrame(j, was) })
		b.SetBase(&two)
		if got := b.Job().Settings.Frame; got != (job.FrameRule{Mode: want}) || *b.Job().Settings.BaseColour() != two {
			t.Errorf("%+v became %+v on %v", was, got, b.Job().Settings.BaseColour())
		}
	}
	b.settle()
}

// What is added is selected; what cannot be added changes nothing and is said.
func TestAdding_SelectsWhatCame(t *testing.T) {
	b := newBench(t)
	b.demo("pair")
	ids := b.Job().LayerIDs()
	b.Select(ids[:1])
	b.Duplicate(ids[:1])
	if got := b.Selection(); len(got) != 1 || slices.Contains(ids, got[0]) || len(b.errs) > 0 {
		t.Errorf("selected %v of %v, told %v", got, b.Job().LayerIDs(), b.errs)
	}
	was := b.Selection()
	b.Duplicate([]job.LayerID{999})
	if !slices.Equal(b.Selection(), was) || len(b.Job().LayerIDs()) != len(ids)+1 {
		t.Errorf("selected %v of %v", b.Selection(), b.Job().LayerIDs())
	}
	b.settle()
}
