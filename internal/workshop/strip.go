package workshop

import (
	"context"
	"io"

	"abut/internal/fit"
	"abut/internal/guide"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/strip"
	"abut/internal/words"
)

// StripFolder is where the test strip of what goes to a folder goes: beside it.
func StripFolder(dir string) string { return dir + "-test-strip" }

// writeStrip writes the test strip of plan p, the job's, beside the folder dir: a
// mirrored cut file for each sheet, in every format, steps.html and job.json.
func writeStrip(ctx context.Context, j job.Job, p *fit.Plan, dir string, o WriteOptions) error {
	_, err := carryOut(ctx, StripFolder(dir), o, func() (m made, err error) {
		var d drawn
		if d.design, err = newDesign(j, strip.Of(p)); err != nil {
			return m, err
		}
		if err = d.cutFiles(ctx, o); err != nil {
			return m, err
		}
		w := words.Chosen().In(j.Settings.Units)
		notes := []job.Warning{{Message: message.Of("strip-squares")}}
		if len(d.cut.Separations) > 1 {
			notes = append(notes, job.Warning{Message: message.Of("strip-comb")})
		}
		list := describe(j, d.cut, d.page, d.listed)
		g := &guide.Guide{Words: w, Title: w.Say("strip-title", map[string]string{"name": title(j)}), Plan: d.cut, Page: d.page, Warnings: notes, FileOf: list.fileOf}
		if err = d.add(ctx, GuideFile, g.Write); err == nil {
			err = d.add(ctx, manifestFile, func(b io.Writer) error { return WriteJSON(b, list) })
		}
		return made{files: d.files}, err
	})
	return err
}
