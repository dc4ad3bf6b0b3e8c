package main

import (
	"context"
	"fmt"
	"math"
	"path/filepath"
	"slices"

	"abut/internal/drawer"
	"abut/internal/words"
	"abut/internal/workshop"
)

// listOf is the list that is filled in: that of a file or, without one, that of a saved
// job unless so many copies are asked for; nil for none.
func listOf(file string, source workshop.Source, copies count) (*drawer.List, error) {
	if file != "" {
		l, err := drawer.OpenList(file)
		return &l, err
	}
	if source.Saved != nil && source.Saved.Settings.List != nil && copies == 0 {
		l := workshop.ListOf(source.Saved.Settings.List)
		return &l, nil
	}
	return nil, nil
}

// wrongRows says why rows cannot be cut, and how many cannot.
func (s streams) wrongRows(rows []workshop.Row) (n int) {
	for _, r := range rows {
		if r.Err != nil {
			text, remedy := workshop.Explain(r.Err)
			fmt.Fprintf(s.err, "%d %s: %s %s\n", r.Number, r.Name, text, remedy)
			n++
		}
	}
	return n
}

// rows tells what came of each that can be cut, and returns what is to be noted: what
// all have once.
func (s streams) rows(rows []workshop.Row) (notes []workshop.ManifestWarning) {
	told := map[string]bool{}
	for _, r := range rows {
		if r.Err != nil || r.Out {
			continue
		}
		share := 1.0
		for _, t := range r.Told.Texts {
			share = min(share, t.Share)
		}
		percent := ""
		if share < 1 {
			percent = words.Number(math.Round(100 * share))
		}
		fmt.Fprintln(s.out, "  "+words.Say("cli-list-row", "row", r.Number, "name", r.Name, "verdict", r.Told.Verdict, "share", percent))
		for _, n := range r.Told.Warnings {
			key := n.Text
			if _, spots := n.Args["kinds"]; spots { // how many a row has is said with it
				key = n.ID
			}
			if !told[key] {
				told[key], notes = true, append(notes, n)
			}
		}
	}
	return notes
}

// checkListReport is what check --list --json prints.
type checkListReport struct {
	Schema string                   `json:"schema"`
	Art    string                   `json:"art"`
	Rows   []workshop.ManifestRow   `json:"rows"`
	Wrong  []wrongRow               `json:"wrong"`
	Layout *workshop.ManifestLayout `json:"layout,omitempty"`
}

// wrongRow is a row that cannot be cut, and why.
type wrongRow struct {
	Row    int    `json:"row"`
	Name   string `json:"name"`
	Text   string `json:"text"`
	Remedy string `json:"remedy"`
}

// checkList tells what would come of each row of a list, and writes nothing.
func (s streams) checkList(ctx context.Context, source workshop.Source, list drawer.List, asJSON bool, o workshop.Options) error {
	rows, err := workshop.CutList(ctx, source, list, true, o)
	if err != nil {
		return err
	}
	out := checkListReport{Schema: "abut-check-list/1", Art: filepath.Base(source.Path), Rows: []workshop.ManifestRow{}, Wrong: []wrongRow{}}
	stacked := false
	for _, r := range rows {
		if r.Out {
			continue
		}
		if r.Err != nil {
			text, remedy := workshop.Explain(r.Err)
			out.Wrong = append(out.Wrong, wrongRow{r.Number, r.Name, text, remedy})
			continue
		}
		out.Rows, out.Layout = append(out.Rows, r.Told), r.Laid
		stacked = stacked || r.StackedMM2 > 0
	}
	if asJSON {
		err = workshop.WriteJSON(s.out, out)
	} else {
		notes := s.rows(rows)
		s.wrongRows(rows)
		if out.Layout != nil {
			s.laidOut(out.Layout)
		}
		s.notes(notes)
	}
	switch {
	case err != nil:
		return err
	case len(out.Wrong) > 0:
		return statusError(exitFailed)
	case stacked:
		return statusError(exitStacked)
	}
	return nil
}

// cutList cuts a copy for each row of a list, and tells what came of each.
func (s streams) cutList(ctx context.Context, source workshop.Source, list drawer.List, skip bool, o workshop.Options) error {
	rows, err := workshop.CutList(ctx, source, list, skip, o)
	wrong, asked := 0, 0
	for _, r := range rows {
		if !r.Out {
			asked++
		}
	}
	if workshop.Is(err, "list-rows-wrong") || err == nil {
		wrong = s.wrongRows(rows)
	}
	if err != nil {
		return err
	}
	notes := s.rows(rows)
	good := slices.IndexFunc(rows, func(r workshop.Row) bool { return r.Err == nil && !r.Out })
	all := rows[good].Manifest
	if all.Layout != nil {
		cut, _ := all.Counts()
		s.say("cli-wrote", "count", words.Count(cut), "dir", o.Folder)
		s.laidOut(all.Layout)
	} else {
		s.say("cli-list-wrote", "count", words.Count(asked-wrong), "dir", o.Folder)
	}
	if wrong > 0 {
		s.say("cli-list-skipped", "count", words.Count(wrong))
	}
	s.say("cli-mirrored")
	s.notes(append(stale(o.Folder, rows), notes...))
	return nil
}
