package trace

import (
	"sort"
	"strings"

	"abut/internal/message"
)

// Error says why a picture cannot be traced. Its id has a sentence with the
// remedy in words.
type Error struct {
	message.Message
}

// Ids of errors.
const (
	ErrTooBig      = "trace-too-big"     // args: limit, of the file in MiB
	ErrTooMany     = "trace-too-many"    // args: width, height, limit in millions of pixels
	ErrBroken      = "trace-broken"      // args: format, detail
	ErrTruncated   = "trace-truncated"   // args: format
	ErrUnsupported = "trace-unsupported" // args: format
	ErrNothing     = "trace-nothing"     // all of it is transparent
	ErrGrain       = "trace-grain"       // no colour has an even area or a line: all of it is noise
	ErrRead        = "trace-read-failed" // args: detail
	ErrFormat      = "trace-format"      // no picture of pixels that can be read
)

// Ids of warnings.
const (
	WarnColours = "trace-colours"     // what was decided; args: count
	WarnTones   = "trace-tones"       // a photograph, as a poster; args: count
	WarnSpecks  = "trace-specks"      // given to what is around them; args: count
	WarnFaint   = "trace-faint"       // lines and dots too faint to keep; args: count, x and y of one in pixels, side in pixels that helps
	WarnClear   = "trace-see-through" // see-through colours as they look on white; args: count
	WarnStill   = "trace-still"       // the first picture of several
	WarnDots    = "trace-dots"        // its shades are strewn dots, which were made shades
	WarnSoft    = "trace-soft"        // shadows and glows left out, and edges where something fades out
	WarnHatched = "trace-hatched"     // fine strokes, as of pencils, were made areas
	WarnProfile = "trace-profile"     // its colours are not sRGB, but were taken for it
	WarnSheet   = "trace-sheet"       // it shows a sheet of paper on something else
)

// Error returns the id and its arguments.
func (e *Error) Error() string {
	keys := make([]string, 0, len(e.Args))
	for k := range e.Args {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	var b strings.Builder
	b.WriteString(e.ID)
	for _, k := range keys {
		b.WriteString(", " + k + " " + e.Args[k])
	}
	return b.String()
}

// fail makes an Error; args are pairs of key and value.
func fail(id string, args ...string) *Error {
	return &Error{message.Of(id, args...)}
}
