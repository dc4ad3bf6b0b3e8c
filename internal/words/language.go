package words

import (
	"strings"
	"sync"
	"sync/atomic"

	"golang.org/x/text/language"
)

// languages are those that every sentence is written in, the one to fall back
// on first. Decimal marks and marks between thousands are Unicode CLDR's.
var languages = []struct {
	tag            language.Tag
	name           string
	decimal, group string
}{
	{language.English, "English", ".", ","},
	{language.German, "Deutsch", ",", "."},
}

// Language is a language that can be chosen.
type Language struct {
	// Tag is its BCP 47 tag, Name what it calls itself.
	Tag, Name string
}

// Languages lists the languages that can be chosen.
func Languages() []Language {
	var out []Language
	for _, l := range languages {
		out = append(out, Language{l.tag.String(), l.name})
	}
	return out
}

// loaded reads the sentences of a language when they are asked for first: a process
// mostly speaks one.
var loaded = func() []func() *Words {
	var out []func() *Words
	for _, l := range languages {
		out = append(out, sync.OnceValue(func() *Words {
			w, err := load(messages, l.tag)
			if err != nil {
				panic(err) // embedded and tested: a broken build
			}
			w.decimal, w.group = l.decimal, l.group
			return w
		}))
	}
	return out
}()

// matcher knows which language is nearest to one that is asked for.
var matcher = sync.OnceValue(func() language.Matcher {
	var tags []language.Tag
	for _, l := range languages {
		tags = append(tags, l.tag)
	}
	return language.NewMatcher(tags)
})

// For returns the sentences in the language nearest to a BCP 47 tag or the name
// of a POSIX locale ("de-AT", "de_AT.UTF-8"): English when none is near.
func For(locale string) *Words {
	tag := strings.ReplaceAll(strings.SplitN(strings.SplitN(locale, ".", 2)[0], "@", 2)[0], "_", "-")
	_, i := language.MatchStrings(matcher(), tag)
	return loaded[i]()
}

// English returns the sentences in English, whatever was chosen: for what
// programs and programmers read.
func English() *Words { return loaded[0]() }

var chosen atomic.Pointer[func() *Words]

// Use makes w what Chosen returns. One process serves one person: what is said
// in the window, on the command line and in files is in one language.
func Use(w *Words) {
	f := func() *Words { return w }
	chosen.Store(&f)
}

// UseFor is Use of For, which is read aside: Chosen waits for it.
func UseFor(locale string) {
	f := sync.OnceValue(func() *Words { return For(locale) })
	chosen.Store(&f)
	go f()
}

// Chosen returns the sentences in the language that the person in front of the
// program reads: English until Use says otherwise.
func Chosen() *Words {
	if f := chosen.Load(); f != nil {
		return (*f)()
	}
	return English()
}
