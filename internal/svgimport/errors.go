package svgimport

import (
	"fmt"
	"sort"
	"strings"

	"abut/internal/message"
)

// Error says why a file cannot be used. Its id has a sentence with the remedy
// in words. Line is 0 when the trouble has no place.
type Error struct {
	message.Message
	Line int
}

// Ids of errors.
const (
	ErrEmpty      = "import-empty"             // nothing in the file
	ErrTooBig     = "import-too-big"           // args: limit
	ErrNotSVG     = "import-not-svg"           // args: element (may be empty)
	ErrXML        = "import-broken-xml"        // args: line, detail
	ErrTruncated  = "import-truncated"         // args: line
	ErrEncoding   = "import-encoding"          // args: encoding
	ErrEntities   = "import-entity-bomb"       // the text entities grow past the limit
	ErrDepth      = "import-too-deep"          // args: limit, line
	ErrElements   = "import-too-many-elements" // args: limit, line
	ErrUseCycle   = "import-use-cycle"         // args: element, line
	ErrTooMany    = "import-too-many"          // args: limit
	ErrComplex    = "import-too-complex"       // args: limit
	ErrWork       = "import-too-much-work"     // what repeats adds up to more than can be read; args: limit
	ErrStyles     = "import-styles"            // style rules that take too long to apply; args: line
	ErrNothing    = "import-nothing"           // no painted shape at all
	ErrHidden     = "import-hidden"            // all that is drawn is hidden, or see-through all over
	ErrUnreadable = "import-unreadable"        // nothing left but what was left out; args: what
	ErrRead       = "import-read-failed"       // args: detail
)

func (e *Error) Error() string {
	keys := make([]string, 0, len(e.Args))
	for k := range e.Args {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	var b strings.Builder
	b.WriteString(e.ID)
	if e.Line > 0 {
		fmt.Fprintf(&b, " at line %d", e.Line)
	}
	for _, k := range keys {
		fmt.Fprintf(&b, ", %s %s", k, e.Args[k])
	}
	return b.String()
}

// fail makes an Error; args are pairs of key and value.
func fail(id string, line int, args ...string) *Error {
	return &Error{Message: message.Of(id, args...), Line: line}
}
