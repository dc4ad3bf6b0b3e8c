package workshop

import (
	"fmt"
	"strings"

	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/layout"
	"abut/internal/words"
)

// copyOf is a row with what is cut for it.
type copyOf struct {
	design
	planned *fit.Plan
	row     ManifestRow
	notes   []job.Warning // of the letters
	told    []job.Warning // all
	spots   []fit.WeakSpot
}

// tell says in the manifest what came of a row; of the first that is told already.
func (c *copyOf) tell(w *words.Words, first bool, spots []fit.WeakSpot, m *Manifest) {
	notes := describeWarnings(w, job.Job{}, c.notes)
	if first {
		m.Warnings = append(m.Warnings, notes...)
		c.row.WeakSpots, c.row.Warnings, c.row.Verdict = len(spots), m.Warnings, m.Verdict
		return
	}
	c.row.WeakSpots = len(c.spots)
	c.row.Warnings = append(describeWarnings(w, c.job, c.told), notes...)
	c.row.Verdict = w.Message(Verdict(c.cut, c.spots).Message)
}

// called is a row's number and name.
func (r ManifestRow) called() string { return strings.TrimSpace(fmt.Sprintf("%d %s", r.Row, r.Name)) }

// describeOthers adds the separations of a layout that the first design has not.
func (m *Manifest) describeOthers(w *words.Words, l *layout.Layout, rows []copyOf) {
	for i := range l.Sheets {
		s := &l.Sheets[i]
		if order := s.Page.Separations[0].Order; order > len(m.Separations) {
			d := rows[s.From].design
			m.describeSeparation(w, order, &d.page.Separations[s.Of], d.cut.Separations[s.Of].CarryReason)
		}
	}
}
