package abutfile

import (
	"bufio"
	"bytes"
	"cmp"
	"compress/gzip"
	"encoding/json"
	"errors"
	"io"
	"slices"

	"abut/internal/job"
)

// Extension is how the files' names end.
const Extension = ".abut"

// Schema and Version stand at the beginning of every file. A file says the
// earliest version that knows all that is in it, so that an older program says that
// the file is too new and not that it is damaged: 3 where a mend is of a thing as
// drawn, 2 where there is lettering, a primitive or a surround, else 1.
const (
	Schema  = "abut"
	Version = 3
)

// sinceMend are the versions that kinds of mends came with.
var sinceMend = map[job.MendKind]int{
	job.Keep: 1, job.Give: 1, job.Drop: 1, job.Widen: 1, job.Join: 1, job.Recolour: 1, job.Broaden: 3, job.Enlarge: 3,
	job.Displace: 3,
}

// plainBytes is how large a file may be before it is compressed: what a person
// might look at with an editor stays readable.
const plainBytes = 64 << 10

// maxBytes is the most that is read, uncompressed: several times what the
// largest picture that can be imported takes, so that a small file cannot fill
// the memory.
const maxBytes = 512 << 20

// Document is what a file holds.
type Document struct {
	Job job.Job
	// Of is set in autosaves only: the file that the work belongs to, empty
	// when it had none yet.
	Of string
	// Pictures are the files that pictures were read from, as far as that is known.
	Pictures []Picture
	// Typed is set in autosaves only: what was typed in dialogs that were open.
	Typed []Typed
}

// Picture is the file that the picture of an item was read from: the way to it, with slashes, from
// the folder of the job's file or beneath; in autosaves from the root on. Bytes and SHA256, in
// hexadecimal digits, tell what it held then. Nothing of this is checked.
type Picture struct {
	Item   job.ItemID
	File   string
	Bytes  int64
	SHA256 string
}

// Typed are the texts of the entries of a dialog, in their order; In is its title.
type Typed struct {
	In    string
	Texts []string
}

// Write writes a document. It fails, before anything is written, for a job that
// Read would refuse.
func Write(w io.Writer, d Document) error {
	f, err := wire(d)
	if err != nil {
		return err
	}
	if _, err := new(decoder).job(&f); err != nil {
		return err
	}
	return f.write(w)
}

// wire puts a document into the form that it has in a file.
func wire(d Document) (file, error) {
	e := encoder{at: map[*job.Clip]int{}, open: map[*job.Clip]bool{}}
	e.needs(1)
	j, err := e.job(d.Job)
	return file{Schema: Schema, Version: e.version, Of: d.Of, Pictures: d.Pictures, Typed: d.Typed, Job: j, Clips: e.table}, err
}

func (f file) write(w io.Writer) error {
	b, err := json.Marshal(f)
	if err != nil {
		return err
	}
	if _, err := io.Copy(io.Discard, &counted{r: bytes.NewReader(b)}); err != nil {
		return err
	}
	if len(b) <= plainBytes {
		_, err = w.Write(append(b, '\n'))
		return err
	}
	z, _ := gzip.NewWriterLevel(w, gzip.BestSpeed)
	if _, err := z.Write(b); err != nil {
		return err
	}
	return z.Close()
}

// Read reads a document. What it returns can be worked on without further
// checks; everything else is an *Error.
func Read(r io.Reader) (Document, error) {
	in := bufio.NewReader(r)
	r = in
	if head, _ := in.Peek(2); bytes.Equal(head, []byte{0x1f, 0x8b}) {
		z, err := gzip.NewReader(in)
		if err != nil {
			return Document{}, fail(NotAJob, err)
		}
		r = z
	}
	b, err := io.ReadAll(&counted{r: r})
	if err != nil {
		return Document{}, asError(NotAJob, err)
	}
	// What it is comes first: a later version may have anything behind that.
	var head struct {
		Schema  string
		Version int
	}
	if err := json.Unmarshal(b, &head); err != nil || head.Schema != Schema || head.Version < 1 {
		return Document{}, fail(NotAJob, err)
	}
	if head.Version > Version {
		return Document{}, fail(TooNew, nil)
	}
	var f file
	if err := json.Unmarshal(b, &f); err != nil {
		return Document{}, fail(Damaged, err)
	}
	var d decoder
	j, err := d.job(&f)
	if err != nil {
		return Document{}, asError(Damaged, err)
	}
	return Document{Job: j, Of: f.Of, Pictures: f.Pictures, Typed: f.Typed}, nil
}

// asError returns err as an *Error: itself, or the cause of one with this id.
func asError(id string, err error) error {
	var ours *Error
	if errors.As(err, &ours) {
		return err
	}
	return fail(id, err)
}

func sortAssign(list []wireAssign) {
	slices.SortFunc(list, func(a, b wireAssign) int {
		return cmp.Or(cmp.Compare(a.Colour.R, b.Colour.R), cmp.Compare(a.Colour.G, b.Colour.G), cmp.Compare(a.Colour.B, b.Colour.B))
	})
}
