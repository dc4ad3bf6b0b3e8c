// Package words makes the sentences that people read. Inner packages return
// an id and what fills its placeholders (job.Message, job.Warning); here the id
// becomes a sentence in a language.
//
// Sentences live in messages/NAME.LANGUAGE.json, embedded: a flat object from
// id (kebab case) to a text/template over the message's arguments, or to an
// object of plural forms (one, other), chosen by the argument "count". What is
// to be done about a warning or an error with id x is the sentence x.remedy:
// having one is what tells a warning or an error from any other message.
package words
