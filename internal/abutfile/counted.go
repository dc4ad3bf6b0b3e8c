package abutfile

import "io"

// What a file may ask for before anything is made of it. Decoded, a few bytes
// become hundreds, so what counts is not how long a file is but how much there
// is in it. Each bound is some three times what the largest picture that can be
// imported has, and holds what is made of a file below half a GiB.
const (
	// maxParts bounds the elements of lists: items, layers, shapes, stops.
	maxParts = 1_000_000
	// maxFields bounds the fields of all of them.
	maxFields = 16_000_000
	// maxSegments bounds the lines and curves of all outlines.
	maxSegments = 6_000_000
	// maxNesting bounds how deep lists and parts nest; ours do nine deep.
	maxNesting = 64
)

// counted reads JSON and ends with an *Error as soon as there is more in it than
// could be worked on.
type counted struct {
	r io.Reader
	// inList says for each part that is open whether it is a list.
	inList                         []bool
	inString, escaped              bool
	last                           byte
	bytes, parts, fields, segments int
}

// Read implements io.Reader.
func (c *counted) Read(p []byte) (int, error) {
	n, err := c.r.Read(p)
	for _, b := range p[:n] {
		c.take(b)
	}
	c.bytes += n
	if c.bytes > maxBytes || c.parts > maxParts || c.fields > maxFields || c.segments > maxSegments || len(c.inList) > maxNesting {
		return 0, fail(TooLarge, nil)
	}
	return n, err
}

func (c *counted) take(b byte) {
	before := c.last
	c.last = b
	switch {
	case c.escaped:
		c.escaped = false
	case c.inString:
		switch b {
		case '"':
			c.inString = false
		case '\\':
			c.escaped = true
			c.segments++ // an escape may spell a letter of an outline
		case 'L', 'C', 'M':
			if before == ' ' || before == '"' {
				c.segments++
			}
		}
	case b == '"':
		c.inString = true
	case b == '[', b == '{':
		c.inList = append(c.inList, b == '[')
		c.count()
	case b == ']', b == '}':
		c.inList = c.inList[:max(len(c.inList)-1, 0)]
	case b == ',':
		c.count()
	}
}

// count takes note of the element or field that begins.
func (c *counted) count() {
	if n := len(c.inList); n > 0 && c.inList[n-1] {
		c.parts++
	} else {
		c.fields++
	}
}
