package main

import (
	"context"
	"fmt"
	"math"

	"abut/internal/drawer"
	"abut/internal/words"
	"abut/internal/workshop"
)

// cutList cuts a copy for each row of a list, and tells what came of each.
func (s streams) cutList(ctx context.Context, source workshop.Source, file string, skip bool, o workshop.Options) error {
	list, err := drawer.OpenList(file)
	if err != nil {
		return err
	}
	rows, err := workshop.CutList(ctx, source, list, skip, o)
	if workshop.Is(err, "list-rows-wrong") || err == nil {
		for _, r := range rows {
			if r.Err != nil {
				text, remedy := workshop.Explain(r.Err)
				fmt.Fprintf(s.err, "%d %s: %s %s\n", r.Number, r.Name, text, remedy)
			}
		}
	}
	if err != nil {
		return err
	}
	done := 0
	var notes []workshop.ManifestWarning
	var all *workshop.Manifest
	told := map[string]bool{}
	for _, r := range rows {
		if r.Err != nil {
			continue
		}
		done, all = done+1, r.Manifest
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
			if !told[key] { // what all rows have is said once
				told[key], notes = true, append(notes, n)
			}
		}
	}
	if all.Layout != nil {
		s.say("cli-wrote", "count", words.Count(len(all.Files)), "dir", o.Folder)
		s.laidOut(all.Layout)
	} else {
		s.say("cli-list-wrote", "count", words.Count(done), "dir", o.Folder)
	}
	if done < len(rows) {
		s.say("cli-list-skipped", "count", words.Count(len(rows)-done))
	}
	s.say("cli-mirrored")
	s.notes(notes)
	return nil
}
