package sheets

import (
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/internal/drawer"
	"abut/internal/job"
	"abut/internal/words"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/dialogs"
	"abut/ui/files"
	"abut/ui/theme"
)

// namesDialog has a list typed, pasted or chosen as a file, and shows how it is read.
type namesDialog struct {
	*dialogs.Dialog
	h     *Host
	entry *controls.Entry
	// headed: the first line has headings. It is guessed until it was chosen.
	headed   *controls.Check
	headings drawer.Headings
	guessing bool
	reads    *fyne.Container
	next     *controls.Press
	// was is the list that is changed, nil where another begins; list what is typed now,
	// nil where that is none.
	was, list *job.List
}

// Rows of the entry, and names of a column that are shown.
const (
	namesRows  = 8
	namesShown = 5
)

// typeNames asks for the names of a list. was is the one to change, nil for none; taken
// is called before what comes of it is shown.
func (h *Host) typeNames(was *job.List, taken func()) {
	if taken == nil {
		taken = func() {}
	}
	d := &namesDialog{Dialog: h.Desk.New(620, words.Say("ui-list-title")), h: h, was: was, headings: h.headings}
	d.SetHelp("copies-and-names")
	text := h.names
	if was != nil {
		var headed bool
		text, headed = workshop.ListText(h.Session.Job(), was)
		d.headings = drawer.HeadingsNone
		if headed {
			d.headings = drawer.HeadingsFirst
		}
	}
	d.Body.Add(controls.NewPara(words.Say("ui-names-why"), controls.Quiet))
	d.entry = controls.NewEntry(text)
	d.entry.MultiLine, d.entry.Wrapping = true, fyne.TextWrapOff
	d.entry.SetPlaceHolder(words.Say("ui-names-example"))
	d.entry.SetMinRowsVisible(max(3, min(namesRows, int((h.Desk.Room().Height-theme.Scaled(380))/theme.Scaled(20)))))
	d.entry.OnChanged = func(string) { d.read() }
	d.Body.Add(d.entry)
	d.headed = controls.NewCheck(words.Say("ui-names-headed"), func(on bool) {
		if d.guessing {
			return
		}
		d.headings = drawer.HeadingsNone
		if on {
			d.headings = drawer.HeadingsFirst
		}
		d.read()
	})
	file := controls.NewFramed("open", words.Say("ui-names-file"), words.Say("ui-list-hint"), func() {
		h.Files.Open(files.Lists, func(path string) {
			d.Hide()
			taken()
			h.List(path)
		})
	})
	d.Body.Add(container.New(&controls.Flow{Gap: 12}, d.headed, file))
	d.reads = container.New(&controls.Stack{Gap: 4})
	d.Body.Add(d.reads)
	d.next = dialogs.Button(words.Say("ui-names-next"), func() {
		d.keep()
		d.Hide()
		taken()
		h.showList(d.list, true)
	})
	d.OnCancel = func() { // what was typed is kept, so nothing is lost
		d.keep()
		d.Close()
	}
	d.SetButtons(dialogs.Button(words.Say("ui-cancel"), d.OnCancel), d.next)
	d.read()
	d.Show(d.entry)
}

// keep has what is typed be there when names are asked for the next time.
func (d *namesDialog) keep() { d.h.names, d.h.headings = d.entry.Text, d.headings }

// read shows how what is typed is read, and where it goes.
func (d *namesDialog) read() {
	j := d.h.Session.Job()
	l, headed, err := workshop.TypeList(j, d.entry.Text, d.headings)
	d.guessing = true
	d.headed.SetChecked(headed)
	d.guessing = false
	d.list = l
	d.reads.RemoveAll()
	if err == nil {
		d.keepOut()
		d.tell(j)
	} else if strings.TrimSpace(d.entry.Text) != "" {
		text, remedy := workshop.Explain(err)
		d.reads.Add(controls.NewPara(text+" "+remedy, controls.Care))
	}
	d.next.SetEnabled(l != nil && len(workshop.Asked(j)) > 0)
	d.Fit()
}

// keepOut leaves out the rows that were left out before.
func (d *namesDialog) keepOut() {
	if d.was == nil {
		return
	}
	for i, r := range d.list.Rows {
		d.list.Rows[i].Out = slices.ContainsFunc(d.was.Rows, func(o job.ListRow) bool { return o.Out && slices.Equal(o.Cells, r.Cells) })
	}
	if sameCells(d.was, d.list) { // then it is the file's still
		d.list.File = d.was.File
	}
}

// tell says what each column of the list has, and what the design asks for besides.
func (d *namesDialog) tell(j job.Job) {
	asked := workshop.Asked(j)
	in := func(all []string, column string) bool {
		return slices.ContainsFunc(all, func(c string) bool { return strings.EqualFold(c, column) })
	}
	d.reads.Add(controls.NewHeading(words.Say("ui-names-reads", "count", words.Count(len(d.list.Rows)))))
	for k, column := range d.list.Columns {
		switch {
		case column == "":
		case in(asked, column):
			d.reads.Add(controls.NewPara("{"+column+"}: "+d.cells(k), controls.Text))
		default:
			d.reads.Add(controls.NewPara(words.Say("ui-names-unused", "column", column, "cells", d.cells(k)), controls.Quiet))
		}
	}
	for _, column := range asked {
		if !in(d.list.Columns, column) {
			d.reads.Add(controls.NewPara(words.Say("ui-names-missing", "mark", "{"+column+"}"), controls.Care))
		}
	}
	if len(asked) == 0 {
		d.reads.Add(controls.NewPara(words.Say("ui-names-unmarked", "mark", "{"+d.list.Columns[0]+"}"), controls.Care))
	}
}

// cells are the first of a column.
func (d *namesDialog) cells(k int) string {
	var out []string
	for i, r := range d.list.Rows {
		if i == namesShown {
			out = append(out, "…")
			break
		}
		cell := ""
		if k < len(r.Cells) {
			cell = r.Cells[k]
		}
		if cell == "" {
			cell = "–"
		}
		out = append(out, cell)
	}
	return strings.Join(out, " · ")
}

func sameCells(a, b *job.List) bool {
	return slices.Equal(a.Columns, b.Columns) && slices.EqualFunc(a.Rows, b.Rows, func(x, y job.ListRow) bool { return slices.Equal(x.Cells, y.Cells) })
}
