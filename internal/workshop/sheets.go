package workshop

import (
	"cmp"
	"context"
	"maps"
	"slices"

	"abut/internal/colour"
	"abut/internal/cutfile"
	"abut/internal/drawer"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/words"
)

// ArtColour is a colour of the art as it was drawn, mixed ones too.
type ArtColour struct {
	Colour  colour.RGB
	Name    string
	AreaMM2 float64
}

// ArtColours lists the art's colours, whatever they are cut from and whether or
// not they stay bare; the one with the largest area first.
func ArtColours(ctx context.Context, j job.Job) ([]ArtColour, error) {
	j, err := job.ClearMends(j)
	if err != nil {
		return nil, err
	}
	j.Assign, j.Settings.Bare = nil, job.BareRule{Mode: job.BareNone}
	p, err := fit.Compute(ctx, j)
	if err != nil {
		return nil, err
	}
	out := make([]ArtColour, len(p.Separations))
	for i, s := range p.Separations {
		out[i] = ArtColour{s.Colour, words.Chosen().Put(s.Called()), s.AreaMM2}
	}
	slices.SortStableFunc(out, func(a, b ArtColour) int { return cmp.Compare(b.AreaMM2, a.AreaMM2) })
	return out, nil
}

// SheetChoice is what an art colour is cut from: a sheet, nothing (Bare), or,
// with neither, a sheet of its own colour.
type SheetChoice struct {
	Bare  bool
	Sheet *job.Sheet
}

// ChoiceOf returns what a colour of the job is cut from now.
func ChoiceOf(j job.Job, c colour.RGB) SheetChoice {
	t, assigned := j.Assign[c]
	switch s, there := j.Sheet(t.Sheet); {
	case !assigned:
		return SheetChoice{Bare: j.Settings.Bare.LeavesBare(c)}
	case !there || t.Bare || s == ownSheet(c, s.ID):
		return SheetChoice{Bare: t.Bare}
	default:
		return SheetChoice{Sheet: &s}
	}
}

// ownSheet is the sheet of an art colour's own colour.
func ownSheet(c colour.RGB, id job.SheetID) job.Sheet {
	return job.Sheet{ID: id, Name: words.Colour(colour.Word(c)), Pressed: c, Unpressed: c}
}

// SheetOf returns a kind of sheet of the drawer as one of a job.
func SheetOf(s drawer.Sheet) job.Sheet {
	return job.Sheet{Name: s.Name, Pressed: s.Pressed, Unpressed: s.Unpressed, WidthMM: s.WidthMM, HeightMM: s.HeightMM}
}

// AssignColours sends art colours to sheets; those that are not named stay as
// they are. Sheets of the job that no colour goes to any more are forgotten, and
// mends go along with the colours that they gave something to.
func AssignColours(j job.Job, choices map[colour.RGB]SheetChoice) (job.Job, error) {
	out := j
	colours := slices.SortedFunc(maps.Keys(choices), func(a, b colour.RGB) int { return cmp.Compare(a.String(), b.String()) })
	var err error
	for _, c := range colours {
		if out, err = assignChoice(out, c, choices[c], j.Settings.Bare.LeavesBare(c)); err != nil {
			return j, err
		}
	}
	used := map[job.SheetID]bool{}
	for _, t := range out.Assign {
		used[t.Sheet] = true
	}
	// A colour of its own joins others that are cut from its sheet.
	for _, c := range colours {
		if _, assigned := out.Assign[c]; assigned || choices[c].Bare {
			continue
		}
		if i := slices.IndexFunc(out.Sheets, func(s job.Sheet) bool { return used[s.ID] && s == ownSheet(c, s.ID) }); i >= 0 {
			if out, err = job.Assign(out, c, job.Target{Sheet: out.Sheets[i].ID}); err != nil {
				return j, err
			}
		}
	}
	out.Sheets = slices.DeleteFunc(slices.Clone(out.Sheets), func(s job.Sheet) bool { return !used[s.ID] })
	return retargeted(j, out), nil
}

// assignChoice does what was chosen for a colour; byRule says that it is left bare
// unless something else is said.
func assignChoice(j job.Job, c colour.RGB, choice SheetChoice, byRule bool) (job.Job, error) {
	switch {
	case choice.Bare && !byRule:
		return job.Assign(j, c, job.Target{Bare: true})
	case choice.Bare || choice.Sheet == nil && !byRule:
		return job.Unassign(j, c)
	case choice.Sheet == nil: // white, cut all the same
		return assign(j, c, ownSheet(c, 0))
	}
	return assign(j, c, *choice.Sheet)
}

// assign sends a colour to a sheet, which is put into the job unless it is
// there; its size may have been measured since.
func assign(j job.Job, c colour.RGB, s job.Sheet) (job.Job, error) {
	j.Sheets = slices.Clone(j.Sheets)
	for i := range j.Sheets {
		if o := &j.Sheets[i]; o.Name == s.Name && o.Pressed == s.Pressed && o.Unpressed == s.Unpressed {
			o.WidthMM, o.HeightMM = s.WidthMM, s.HeightMM
			return job.Assign(j, c, job.Target{Sheet: o.ID})
		}
	}
	j, id, err := job.AddSheet(j, s)
	if err != nil {
		return j, err
	}
	return job.Assign(j, c, job.Target{Sheet: id})
}

// cutFrom lists the art colours that are cut from a separation of this colour, the
// likest to it first. Where there is a sheet of the colour, the art need not have
// it: so it comes last itself.
func cutFrom(j job.Job, c colour.RGB) []colour.RGB {
	out := []colour.RGB{}
	for art, t := range j.Assign {
		if s, ok := j.Sheet(t.Sheet); ok && s.Pressed == c { // what is bare has none
			out = append(out, art)
		}
	}
	slices.SortFunc(out, func(a, b colour.RGB) int {
		return cmp.Or(cmp.Compare(a.DeltaE(c), b.DeltaE(c)), cmp.Compare(a.String(), b.String()))
	})
	if _, assigned := j.Assign[c]; !assigned {
		out = append(out, c)
	}
	return out
}

// retargeted returns job next with the mends that were given to a colour of job
// was given to what that colour is cut from now.
func retargeted(was, next job.Job) job.Job {
	now := func(to colour.RGB) colour.RGB {
		for _, art := range cutFrom(was, to) {
			t, assigned := next.Assign[art]
			if s, ok := next.Sheet(t.Sheet); ok {
				return s.Pressed
			} else if !assigned {
				return art
			}
		}
		return to
	}
	next.Items = slices.Clone(next.Items)
	for i := range next.Items {
		it := &next.Items[i]
		it.Mends = slices.Clone(it.Mends)
		for k := range it.Mends {
			if m := &it.Mends[k]; m.Chosen {
				m.To = now(m.To)
			}
		}
	}
	return next
}

// OwnColours returns the job with every art colour cut from a sheet of its own;
// what is bare stays bare.
func OwnColours(j job.Job) (job.Job, error) {
	choices := map[colour.RGB]SheetChoice{}
	for c, t := range j.Assign {
		if !t.Bare {
			choices[c] = SheetChoice{}
		}
	}
	return AssignColours(j, choices)
}

// Merged says which sheet an art colour is cut from.
type Merged struct {
	Colour colour.RGB
	Sheet  job.Sheet
	// DeltaE is how far the sheet's pressed colour is from it (CIEDE2000).
	DeltaE float64
}

// MergeColours sends the job's colours to at most n sheets, as colour.Merge
// chooses them: to the colours of the job themselves or, when there are any, to
// sheets of a drawer. What the job's Hues say goes first, with more than n sheets
// where more are locked. Patterned sheets take no colour by themselves; what is
// bare stays bare. n ≤ 0 means any number. What was sent to
// a sheet already goes on as that sheet's colour.
func MergeColours(ctx context.Context, j job.Job, n int, sheets []drawer.Sheet) (job.Job, []Merged, error) {
	return mergeColours(ctx, new(fit.Cache), j, n, sheets)
}

func mergeColours(ctx context.Context, cache *fit.Cache, j job.Job, n int, sheets []drawer.Sheet) (job.Job, []Merged, error) {
	whole, err := job.ClearMends(j)
	if err != nil {
		return j, nil, err
	}
	p, err := cache.Compute(ctx, whole)
	if err != nil {
		return j, nil, err
	}
	seen, err := cache.Things(ctx, whole, leastThingMM2)
	if err != nil {
		return j, nil, err
	}
	offered := plain(sheets)
	if len(sheets) > 0 && len(offered) == 0 {
		return j, nil, fail("drawer-empty", nil)
	}
	var shades []colour.Shade
	for _, s := range p.Separations {
		shades = append(shades, colour.Shade{Colour: s.Colour, AreaMM2: s.AreaMM2})
		if len(sheets) == 0 {
			offered = append(offered, ownSheet(s.Colour, 0))
		}
	}
	candidates := make([]colour.RGB, len(offered))
	for i, s := range offered {
		candidates[i] = s.Pressed
	}
	q := colour.Merging{Shades: shades, Candidates: candidates, Most: n, Things: things(p, seen)}
	byHand(&q, j)
	to, err := colour.Merge(ctx, q)
	if err != nil {
		return j, nil, err
	}
	takers := make([]int, len(offered))
	for _, k := range to {
		takers[k]++
	}
	choices := map[colour.RGB]SheetChoice{}
	var list []Merged
	for i, k := range to {
		if len(sheets) == 0 && takers[k] == 1 {
			continue // it stays its own
		}
		c, sheet := shades[i].Colour, offered[k]
		for _, art := range cutFrom(j, c) {
			choices[art] = SheetChoice{Sheet: &sheet}
		}
		list = append(list, Merged{c, sheet, c.DeltaE(sheet.Pressed)})
	}
	out, err := AssignColours(j, choices)
	return out, list, err
}

// plain are the sheets of a drawer of which some are left, without patterns.
func plain(sheets []drawer.Sheet) (out []job.Sheet) {
	for _, s := range sheets {
		if s.Pattern == "" && s.Count != 0 {
			out = append(out, SheetOf(s))
		}
	}
	return out
}

// SheetColours are the pressed colours that a picture can be made of with the sheets
// of a drawer: patterned ones and those that are used up give none.
func SheetColours(sheets []drawer.Sheet) (out []colour.RGB) {
	for _, s := range plain(sheets) {
		out = append(out, s.Pressed)
	}
	return out
}

// byHand adds what was decided by hand, as far as it is about shades that are there.
func byHand(q *colour.Merging, j job.Job) {
	shade := map[colour.RGB]int{}
	for i, s := range q.Shades {
		for _, art := range cutFrom(j, s.Colour) {
			shade[art] = i
		}
	}
	for _, c := range j.Settings.Hues.Locked {
		if i, there := shade[c]; there {
			q.Locked = append(q.Locked, i)
		}
	}
	pairs := func(list []job.Pair) (out [][2]int) {
		for _, p := range list {
			a, there := shade[p.A]
			b, too := shade[p.B]
			if there && too && a != b {
				out = append(out, [2]int{a, b})
			}
		}
		return out
	}
	q.Together, q.Apart = pairs(j.Settings.Hues.Together), pairs(j.Settings.Hues.Apart)
}

// leastThingMM2 is the area from which a part of the picture is a thing: half a
// millimetre square, below which nothing can be weeded anyway.
const leastThingMM2 = 0.25

// restShare is the share of its border that a thing may keep and be gone all the
// same: a stripe across a shape ends at the shape's outline.
const restShare = 0.1

// things returns what must not vanish, by the separations of the plan. What lies
// along the blank always shows.
func things(p *fit.Plan, seen []fit.Thing) []colour.Thing {
	shade := map[fit.Material]int{}
	for i := range p.Separations {
		shade[p.Separations[i].Of] = i
	}
	var out []colour.Thing
	for _, t := range seen {
		of, cut := shade[t.Of]
		if !cut {
			continue
		}
		thing, left := colour.Thing{Of: of, AreaMM2: t.AreaMM2}, 1.0
		for _, b := range t.Beside {
			if left <= restShare {
				break
			}
			i, cut := shade[b.Of]
			if !cut {
				thing.Beside = nil
				break
			}
			thing.Beside = append(thing.Beside, i)
			left -= b.Share
		}
		if len(thing.Beside) > 0 {
			out = append(out, thing)
		}
	}
	return out
}

// Likeness is the word for a colour difference.
func Likeness(deltaE float64) string {
	id := "likeness-other"
	switch {
	case deltaE < 1:
		id = "likeness-same"
	case deltaE < 3:
		id = "likeness-hardly"
	case deltaE < 7:
		id = "likeness-close"
	case deltaE < 15:
		id = "likeness-similar"
	}
	return words.Say(id)
}

// Trim is how much of a sheet a separation needs.
type Trim struct {
	Name              string
	Colour            colour.RGB
	WidthMM, HeightMM float64
}

// Trims lists how much of which sheet is needed for what is cut, as the cut
// files say it.
func Trims(p *fit.Plan) ([]Trim, error) {
	page, err := cutfile.New(p)
	if err != nil {
		return nil, err
	}
	var out []Trim
	for i := range page.Separations {
		w, h := page.Separations[i].TrimMM()
		out = append(out, Trim{words.Chosen().Put(p.Separations[i].Called()), p.Separations[i].Colour, w, h})
	}
	return out, nil
}
