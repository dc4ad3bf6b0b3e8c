package workshop

import (
	"context"
	"errors"
	"os"

	"abut/internal/colour"
	"abut/internal/drawer"
	"abut/internal/job"
	"abut/internal/words"
)

// Merged says which sheet an art colour is cut from.
type Merged struct {
	Colour colour.RGB
	Sheet  job.Sheet
	// DeltaE is how far the sheet's pressed colour is from it (CIEDE2000).
	DeltaE float64
}

// MergeColours sends the job's colours to at most n sheets, changing as little
// as can be, by area and CIEDE2000: to the colours of the job themselves or,
// when there are any, to sheets of a drawer. Patterned sheets take no colour by
// themselves; what is bare stays bare. n ≤ 0 means any number. What was sent to
// a sheet already goes on as that sheet's colour.
func MergeColours(ctx context.Context, j job.Job, n int, sheets []drawer.Sheet) (job.Job, []Merged, error) {
	whole, err := job.ClearMends(j)
	if err != nil {
		return j, nil, explain(err)
	}
	p, err := Fit(ctx, whole)
	if err != nil {
		return j, nil, err
	}
	var shades []colour.Shade
	var candidates []colour.RGB
	for _, s := range p.Separations {
		shades = append(shades, colour.Shade{Colour: s.Colour, AreaMM2: s.AreaMM2})
		if len(sheets) == 0 {
			candidates = append(candidates, s.Colour)
		}
	}
	var plain []drawer.Sheet
	for _, s := range sheets {
		if s.Pattern == "" && s.Count != 0 {
			plain = append(plain, s)
			candidates = append(candidates, s.Pressed)
		}
	}
	if len(sheets) > 0 && len(plain) == 0 {
		return j, nil, fail("drawer-empty", nil)
	}
	out := j
	made := map[int]job.SheetID{}
	var list []Merged
	to, err := colour.Merge(ctx, shades, candidates, n)
	if err != nil {
		return j, nil, explain(err)
	}
	takers := map[int]int{}
	for _, k := range to {
		takers[k]++
	}
	for i, k := range to {
		c := shades[i].Colour
		if len(sheets) == 0 && takers[k] == 1 {
			continue // it stays its own
		}
		id, ok := made[k]
		if !ok {
			s := job.Sheet{Name: words.Colour(colour.Word(candidates[k])), Pressed: candidates[k], Unpressed: candidates[k]}
			if len(plain) > 0 {
				s = SheetOf(plain[k])
			}
			if out, id, err = job.AddSheet(out, s); err != nil {
				return j, nil, explain(err)
			}
			made[k] = id
		}
		for _, art := range cutFrom(j, c) {
			if out, err = job.Assign(out, art, job.Target{Sheet: id}); err != nil {
				return j, nil, explain(err)
			}
		}
		sheet, _ := out.Sheet(id)
		list = append(list, Merged{c, sheet, c.DeltaE(sheet.Pressed)})
	}
	return out, list, nil
}

// SheetOf returns a kind of sheet of the drawer as one of a job.
func SheetOf(s drawer.Sheet) job.Sheet {
	return job.Sheet{Name: s.Name, Pressed: s.Pressed, Unpressed: s.Unpressed, WidthMM: s.WidthMM, HeightMM: s.HeightMM}
}

// cutFrom lists the art colours that are cut from a separation of this colour.
func cutFrom(j job.Job, c colour.RGB) []colour.RGB {
	out := []colour.RGB{}
	if _, assigned := j.Assign[c]; !assigned {
		out = append(out, c)
	}
	for art, t := range j.Assign {
		if s, ok := j.Sheet(t.Sheet); ok && !t.Bare && s.Pressed == c {
			out = append(out, art)
		}
	}
	return out
}

// OpenDrawer reads a drawer's CSV file.
func OpenDrawer(path string) ([]drawer.Sheet, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fail("file-unreadable", err, "path", path, "detail", cause(err))
	}
	defer f.Close()
	sheets, err := drawer.Read(f)
	var wrong *drawer.Error
	if errors.As(err, &wrong) {
		return nil, &Error{Message: wrong.Message, Err: err}
	}
	return sheets, explain(err)
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
	return words.Chosen().Say(id, nil)
}
