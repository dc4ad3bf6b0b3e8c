package words

import (
	"embed"
	"encoding/json"
	"fmt"
	"io/fs"
	"maps"
	"slices"
	"strings"
	"sync"

	"github.com/nicksnyder/go-i18n/v2/i18n"
	"golang.org/x/text/language"

	"abut/internal/job"
)

//go:embed messages/*.json
var messages embed.FS

// RemedySuffix follows the id of a warning or an error to make the id of the
// sentence that says what can be done about it.
const RemedySuffix = ".remedy"

// Words says things in one language. It is safe for concurrent use.
type Words struct {
	localizer *i18n.Localizer
	// known holds every id; true when it has plural forms.
	known map[string]bool
}

// English returns the sentences in English, the language that is complete.
func English() *Words { return english() }

var english = sync.OnceValue(func() *Words {
	w, err := load(messages, language.English)
	if err != nil {
		panic(err) // embedded and tested: a broken build
	}
	return w
})

// load reads every message file of fsys into one bundle.
func load(fsys fs.FS, tag language.Tag) (*Words, error) {
	bundle := i18n.NewBundle(tag)
	bundle.RegisterUnmarshalFunc("json", json.Unmarshal)
	paths, err := fs.Glob(fsys, "messages/*."+tag.String()+".json")
	if err != nil {
		return nil, err
	}
	w := &Words{known: map[string]bool{}}
	for _, p := range paths {
		file, err := bundle.LoadMessageFileFS(fsys, p)
		if err != nil {
			return nil, fmt.Errorf("reading %s: %w", p, err)
		}
		for _, m := range file.Messages {
			if _, twice := w.known[m.ID]; twice {
				return nil, fmt.Errorf("%s: id %q is there twice", p, m.ID)
			}
			w.known[m.ID] = m.One != ""
		}
	}
	w.localizer = i18n.NewLocalizer(bundle, tag.String())
	return w, nil
}

// Say returns the sentence with this id, its placeholders filled from args. An
// id without a sentence gives itself in brackets; a placeholder that args are
// silent about is left empty.
func (w *Words) Say(id string, args map[string]string) string {
	plural, ok := w.known[id]
	if !ok {
		return "[" + id + "]"
	}
	if args == nil {
		args = map[string]string{}
	}
	c := &i18n.LocalizeConfig{MessageID: id, TemplateData: args}
	if plural {
		c.PluralCount = strings.ReplaceAll(args["count"], ",", "")
	}
	s, err := w.localizer.Localize(c)
	if err != nil {
		return "[" + id + "]"
	}
	return s
}

// Message returns m's sentence, empty for the zero message.
func (w *Words) Message(m job.Message) string {
	if m.ID == "" {
		return ""
	}
	return w.Say(m.ID, m.Args)
}

// Remedy returns what can be done about m, empty when no sentence says so.
func (w *Words) Remedy(m job.Message) string {
	if !w.Has(m.ID + RemedySuffix) {
		return ""
	}
	return w.Say(m.ID+RemedySuffix, m.Args)
}

// Warning returns a warning's sentence and what can be done about it.
func (w *Words) Warning(v job.Warning) (text, remedy string) {
	return w.Message(v.Message), w.Remedy(v.Message)
}

// Has reports whether the id has a sentence.
func (w *Words) Has(id string) bool {
	_, ok := w.known[id]
	return ok
}

// IDs returns every id, sorted.
func (w *Words) IDs() []string { return slices.Sorted(maps.Keys(w.known)) }
