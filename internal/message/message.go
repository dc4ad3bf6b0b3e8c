// Package message is what is said before it is a sentence: an id and what fills
// its placeholders. Package words makes sentences of it, in any language.
package message

import "errors"

// Message is something to say: an id (kebab case) and what fills the sentence's
// placeholders. Package words makes the sentence.
type Message struct {
	ID string
	// Args stand in every language as they are: names, paths, ids.
	Args map[string]string
	// Values are what each language, or the user's units, write in their own
	// way: an MM, MM2, Fine, Size, Count, Number, Exact, Few, List, ColourName or another
	// Message. They are worked out anew and not kept with a job: what importing
	// a file warns of is made of Args.
	Values map[string]any `json:"-"`
}

// What Message.Values are made of.
type (
	// MM is a length in millimetres.
	MM float64
	// MM2 is an area in square millimetres.
	MM2 float64
	// Fine is an MM that matters to a hundredth.
	Fine float64
	// Size is a width and a height in millimetres.
	Size struct{ Width, Height float64 }
	// Count is a number of things; the one named count chooses the plural form.
	Count int
	// Number is a bare number that needs one decimal at most.
	Number float64
	// Few are names of which only the first few need to be said.
	Few []string
	// List is said with an 'and' before the last: texts, or any of these.
	List []any
)

// Exact is a number that is written with all of its decimals.
type Exact struct {
	Value    float64
	Decimals int
}

// ColourName is a name made from a colour: a plain English word, and a number
// from 2 on where several have the same.
type ColourName struct {
	Word   string
	Number int
}

// Of returns a message with arguments, given as pairs of name and text.
func Of(id string, args ...string) Message {
	m := Message{ID: id}
	if len(args) > 0 {
		m.Args = make(map[string]string, len(args)/2)
		for i := 0; i+1 < len(args); i += 2 {
			m.Args[args[i]] = args[i+1]
		}
	}
	return m
}

// Says returns the message itself: what embeds one, as errors do, has something
// to say.
func (m Message) Says() Message { return m }

// In returns the message of an error: of the first in its chain that has
// something to say. False when none has.
func In(err error) (Message, bool) {
	var e interface{ Says() Message }
	if errors.As(err, &e) {
		return e.Says(), true
	}
	return Message{}, false
}
