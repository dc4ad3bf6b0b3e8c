package job

// List is a table that a design is filled in from: a copy is made for each row.
type List struct {
	// File is the name of the file that it was read from, empty where it was typed.
	File    string
	Columns []string
	Rows    []ListRow
}

// ListRow is one row, with the line of the file that it begins on.
type ListRow struct {
	Line  int
	Cells []string
	// Out: no copy is made of it.
	Out bool `json:",omitempty"`
}

// Count is how many copies are made.
func (l *List) Count() (n int) {
	for _, r := range l.Rows {
		if !r.Out {
			n++
		}
	}
	return n
}

// SetList has a copy made for each row of a list, nil for none. There are at most
// MaxCopies rows, and copies of at least one.
func SetList(j Job, l *List) (Job, error) {
	if l != nil && (len(l.Columns) == 0 || len(l.Rows) > MaxCopies || l.Count() == 0) {
		return j, refuse("edit-bad-list")
	}
	j.Settings.List, j.Settings.Laid = l, j.Settings.Laid.Decided()
	return j, nil
}

// Copies is how many copies of the design are made: one for each row of a list that is not
// left out, or as many as are laid out; 0 where nothing of the kind was asked for.
func (s Settings) Copies() int {
	if s.List != nil {
		return s.List.Count()
	}
	return s.Layout.Copies
}
