package workshop

import (
	"cmp"
	"context"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
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
		return nil, explain(err)
	}
	j.Assign, j.Settings.Bare = nil, job.BareRule{Mode: job.BareNone}
	p, err := Fit(ctx, j)
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

// AssignColours sends art colours to sheets; those that are not named stay as
// they are. Sheets of the job that no colour goes to any more are forgotten, and
// mends go along with the colours that they gave something to.
func AssignColours(j job.Job, choices map[colour.RGB]SheetChoice) (job.Job, error) {
	out := j
	colours := make([]colour.RGB, 0, len(choices))
	for c := range choices {
		colours = append(colours, c)
	}
	slices.SortFunc(colours, func(a, b colour.RGB) int {
		return cmp.Or(cmp.Compare(a.R, b.R), cmp.Compare(a.G, b.G), cmp.Compare(a.B, b.B))
	})
	var err error
	for _, c := range colours {
		choice := choices[c]
		byRule := j.Settings.Bare.LeavesBare(c)
		switch {
		case choice.Bare && !byRule:
			out, err = job.Assign(out, c, job.Target{Bare: true})
		case choice.Bare || choice.Sheet == nil && !byRule:
			out, err = job.Unassign(out, c)
		default:
			sheet := choice.Sheet
			if sheet == nil { // white, cut all the same
				own := ownSheet(c, 0)
				sheet = &own
			}
			out, err = assign(out, c, *sheet)
		}
		if err != nil {
			return j, explain(err)
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
		for _, s := range out.Sheets {
			if used[s.ID] && s == ownSheet(c, s.ID) {
				if out, err = job.Assign(out, c, job.Target{Sheet: s.ID}); err != nil {
					return j, explain(err)
				}
			}
		}
	}
	out.Sheets = slices.DeleteFunc(slices.Clone(out.Sheets), func(s job.Sheet) bool { return !used[s.ID] })
	return retargeted(j, out), nil
}

// resized gives a sheet of the job the size of another one, which may have been
// measured since.
func resized(j job.Job, id job.SheetID, as job.Sheet) job.Job {
	j.Sheets = slices.Clone(j.Sheets)
	for i := range j.Sheets {
		if j.Sheets[i].ID == id {
			j.Sheets[i].WidthMM, j.Sheets[i].HeightMM = as.WidthMM, as.HeightMM
		}
	}
	return j
}

// assign sends a colour to a sheet, which is put into the job unless it is there.
func assign(j job.Job, c colour.RGB, s job.Sheet) (job.Job, error) {
	for _, o := range j.Sheets {
		if o.Name == s.Name && o.Pressed == s.Pressed && o.Unpressed == s.Unpressed {
			j = resized(j, o.ID, s)
			return job.Assign(j, c, job.Target{Sheet: o.ID})
		}
	}
	j, id, err := job.AddSheet(j, s)
	if err != nil {
		return j, err
	}
	return job.Assign(j, c, job.Target{Sheet: id})
}

// retargeted returns job next with the mends that were given to a colour of job
// was given to what that colour is cut from now.
func retargeted(was, next job.Job) job.Job {
	if !slices.ContainsFunc(next.Items, func(it job.Item) bool { return len(it.Mends) > 0 }) {
		return next
	}
	now := func(to colour.RGB) colour.RGB {
		for _, art := range cutFrom(was, to) {
			t, assigned := next.Assign[art]
			if s, ok := next.Sheet(t.Sheet); ok && !t.Bare {
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
		return nil, explain(err)
	}
	var out []Trim
	for i := range page.Separations {
		s := &page.Separations[i]
		w, h := s.TrimMM()
		out = append(out, Trim{words.Chosen().Put(p.Separations[i].Called()), p.Separations[i].Colour, w, h})
	}
	return out, nil
}

// SaveDrawer writes a drawer's CSV file, all of it or nothing, and makes the
// folder that it is in.
func SaveDrawer(path string, sheets []drawer.Sheet) error {
	err := os.MkdirAll(filepath.Dir(path), 0o755)
	if err == nil {
		err = WriteWhole(path, func(w io.Writer) error { return drawer.Write(w, sheets) })
	}
	if err != nil {
		return fail("drawer-unwritable", err, "path", path, "detail", cause(err))
	}
	return nil
}

// KeptDrawer reads the drawer that is kept across jobs; one that was never
// written is empty.
func KeptDrawer(path string) ([]drawer.Sheet, error) {
	sheets, err := OpenDrawer(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return sheets, err
}
