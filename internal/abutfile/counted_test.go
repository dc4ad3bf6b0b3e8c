package abutfile

import (
	"bytes"
	"compress/gzip"
	"errors"
	"io"
	"strings"
	"testing"
)

// endless is a text that begins somehow and then repeats; read is how much of it
// was asked for.
type endless struct {
	next, again string
	read        int
}

func (e *endless) Read(p []byte) (int, error) {
	n := 0
	for n < len(p) {
		if e.next == "" {
			e.next = e.again
		}
		k := copy(p[n:], e.next)
		e.next = e.next[k:]
		n += k
	}
	e.read += n
	return n, nil
}

// Few bytes become much when they are decoded, so such files are refused while
// they are read, not afterwards. None of these ends by itself.
func TestRead_RefusesWhatGrowsBeforeItFillsTheMemory(t *testing.T) {
	const head = `{"Schema":"abut","Version":1,`
	for what, e := range map[string]*endless{
		"empty items":           {next: head + `"Job":{"Items":[`, again: `{},`},
		"items that are none":   {next: head + `"Job":{"Items":[`, again: `0,`},
		"layers":                {next: head + `"Job":{"Items":[{"Layers":[`, again: `null,`},
		"clips":                 {next: head + `"Clips":[`, again: `{"Shapes":[{}]},`},
		"fields":                {next: head + `"Job":{"Settings":{`, again: `"a":1,`},
		"an outline":            {next: head + `"Clips":[{"Shapes":[{"Path":"M 0 0`, again: ` L 1 1`},
		"an outline in escapes": {next: head + `"Clips":[{"Shapes":[{"Path":"M 0 0`, again: `\u0020\u004c 1 1`},
		"lists in lists":        {next: head + `"Clips":`, again: `[`},
	} {
		_, err := Read(e)
		var ours *Error
		if !errors.As(err, &ours) || ours.ID != TooLarge {
			t.Errorf("%s: %v", what, err)
		}
		if most := 128 << 20; e.read > most {
			t.Errorf("%s: %d MiB were read", what, e.read>>20)
		}
	}
}

// The same zipped: it takes a few hundred KiB.
func TestRead_RefusesAZippedFileOfEmptyItems(t *testing.T) {
	var b bytes.Buffer
	z, _ := gzip.NewWriterLevel(&b, gzip.BestSpeed)
	const items = `{"Schema":"abut","Version":1,"Job":{"Items":[`
	if _, err := io.CopyN(z, io.MultiReader(strings.NewReader(items), &endless{again: "{},"}), 64<<20); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	_, err := Read(&b)
	var ours *Error
	if !errors.As(err, &ours) || ours.ID != TooLarge {
		t.Errorf("%v", err)
	}
	if b.Len() == 0 {
		t.Error("all of it was read")
	}
}

// Parts, fields and segments have bounds of their own, so each is told from the
// others. Capital letters in a name are no outline.
func TestCounted_TellsPartsFieldsAndSegmentsApart(t *testing.T) {
	c := &counted{r: strings.NewReader(`{"Name":"a CALMLY lit day","Shapes":[{"Path":"M 0 0 L 1 1 C 2 2 3 3 4 4"},{"Path":"M 0 0","Rule":1}],"Bands":[0,1,2]}`)}
	if _, err := io.Copy(io.Discard, c); err != nil {
		t.Fatal(err)
	}
	// The C of CALMLY begins a word, as that of a curve does.
	if c.fields != 3+1+2 || c.parts != 2+3 || c.segments != 4+1 || len(c.inList) != 0 {
		t.Errorf("%d fields, %d parts, %d segments, %d open", c.fields, c.parts, c.segments, len(c.inList))
	}
}
