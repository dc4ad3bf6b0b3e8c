package workshop

import (
	"context"
	"strings"

	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/words"
)

// KnownBlank is a thing that is often decorated, under the name that the command
// line knows it by. Its sizes are common practice that nobody should trust: they
// are where one begins.
type KnownBlank struct {
	ID string
	job.Blank
}

// KnownBlanks lists them, mugs as 82 and 85 mm across; each has a name of its own in words, ui-blank-ID.
func KnownBlanks() []KnownBlank {
	return []KnownBlank{
		{"mug", job.Blank{WidthMM: 215, HeightMM: 90, AroundMM: 258, SafeMM: 3, Press: job.Pressing{Kind: "mug"}}},
		{"tall-mug", job.Blank{WidthMM: 220, HeightMM: 110, AroundMM: 267, SafeMM: 4, Press: job.Pressing{Kind: "mug"}}},
		{"shirt", job.Blank{WidthMM: 280, HeightMM: 350, SafeMM: 10, Material: job.Polyester, Product: job.Shirt}},
		{"child-shirt", job.Blank{WidthMM: 200, HeightMM: 250, SafeMM: 10, Material: job.Polyester, Product: job.Shirt}},
		{"pocket", job.Blank{WidthMM: 90, HeightMM: 90, SafeMM: 5, Material: job.Polyester, Product: job.Shirt}},
		{"cushion", job.Blank{WidthMM: 400, HeightMM: 400, SafeMM: 25, Material: job.Polyester, Product: job.Cushion}},
		{"tote", job.Blank{WidthMM: 300, HeightMM: 330, SafeMM: 15, Material: job.Polyester, Product: job.Tote}},
		{"round-coaster", job.Blank{WidthMM: 90, HeightMM: 90, Round: true, SafeMM: 3}},
		{"square-coaster", job.Blank{WidthMM: 100, HeightMM: 100, SafeMM: 3}},
		{"tile", job.Blank{WidthMM: 150, HeightMM: 150, SafeMM: 3}},
	}
}

// OnBlank chooses the thing that is decorated and puts it under the middle of
// the art.
func OnBlank(ctx context.Context, j job.Job, b job.Blank) (job.Job, error) {
	all, err := fit.Extent(ctx, j)
	if err != nil {
		return j, err
	}
	if !all.Empty() {
		b.At = j.Items[0].Placement.MapRect(all).Centre()
	}
	return job.SetBlankShape(j, &b)
}

// BlankNamed returns a known blank by its ID.
func BlankNamed(id string) (job.Blank, error) {
	var names []string
	for _, k := range KnownBlanks() {
		if k.ID == strings.ToLower(strings.TrimSpace(id)) {
			k.Name = words.Chosen().Say("ui-blank-"+k.ID, nil)
			return k.Blank, nil
		}
		names = append(names, k.ID)
	}
	return job.Blank{}, fail("blank-unknown", nil, "name", id, "names", strings.Join(names, ", "))
}
