package words

import (
	"embed"
	"encoding/json"
	"fmt"
	"io/fs"
	"maps"
	"slices"
	"strconv"

	"github.com/nicksnyder/go-i18n/v2/i18n"
	"golang.org/x/text/language"

	"abut/internal/job"
	"abut/internal/message"
)

//go:embed messages/*.json
var messages embed.FS

// RemedySuffix follows the id of a warning or an error to make the id of the
// sentence that says what can be done about it.
const RemedySuffix = ".remedy"

// Words says things in one language, with lengths and areas in one kind of
// unit. It is safe for concurrent use.
type Words struct {
	localizer *i18n.Localizer
	// known holds every id; true when it has plural forms.
	known map[string]bool
	tag   language.Tag
	// decimal stands before decimals, group between thousands.
	decimal, group string
	units          job.Units
}

// Tag returns the language's BCP 47 tag, "en".
func (w *Words) Tag() string { return w.tag.String() }

// In returns the same words with lengths and areas in other units.
func (w *Words) In(u job.Units) *Words {
	if w.units == u {
		return w
	}
	c := *w
	c.units = u
	return &c
}

// load reads every message file of fsys into one bundle.
func load(fsys fs.FS, tag language.Tag) (*Words, error) {
	bundle := i18n.NewBundle(tag)
	bundle.RegisterUnmarshalFunc("json", json.Unmarshal)
	paths, err := fs.Glob(fsys, "messages/*."+tag.String()+".json")
	if err != nil {
		return nil, err
	}
	w := &Words{known: map[string]bool{}, tag: tag, decimal: ".", group: ","}
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
	return w.Message(message.Message{ID: id, Args: args})
}

// Message returns m's sentence, empty for the zero message; see Say.
func (w *Words) Message(m message.Message) string {
	if m.ID == "" {
		return ""
	}
	plural, ok := w.known[m.ID]
	if !ok {
		return "[" + m.ID + "]"
	}
	args := make(map[string]string, len(m.Args)+len(m.Values))
	maps.Copy(args, m.Args)
	for k, v := range m.Values {
		args[k] = w.Put(v)
	}
	if l := args["layer"]; l != "" {
		args["layer"] = Capital(l) // as the list of layers has it
	}
	if d := args["detail"]; d != "" {
		args["detail"] = w.cause(d)
	}
	c := &i18n.LocalizeConfig{MessageID: m.ID, TemplateData: args}
	if plural {
		c.PluralCount = args["count"]
		if n, ok := m.Values["count"].(message.Count); ok {
			c.PluralCount = int(n)
		}
	}
	s, err := w.localizer.Localize(c)
	if err != nil {
		return "[" + m.ID + "]"
	}
	return s
}

// Remedy returns what can be done about m, empty when no sentence says so.
func (w *Words) Remedy(m message.Message) string {
	if !w.Has(m.ID + RemedySuffix) {
		return ""
	}
	m.ID += RemedySuffix
	return w.Message(m)
}

// Warning returns a warning's sentence and what can be done about it.
func (w *Words) Warning(v job.Warning) (text, remedy string) {
	return w.Message(v.Message), w.Remedy(v.Message)
}

// Say returns a sentence in the language that is chosen; see Pairs.
func Say(id string, pairs ...any) string { return Chosen().Message(Pairs(id, pairs...)) }

// Pairs makes a message of an id and pairs of a placeholder's name and what
// fills it: a text as it is, or one of the kinds that job.Message lists.
func Pairs(id string, pairs ...any) message.Message {
	m := message.Message{ID: id}
	for i := 0; i+1 < len(pairs); i += 2 {
		name, ok := pairs[i].(string)
		if !ok {
			name = fmt.Sprint(pairs[i])
		}
		if s, ok := pairs[i+1].(string); ok {
			if m.Args == nil {
				m.Args = map[string]string{}
			}
			m.Args[name] = s
			continue
		}
		if m.Values == nil {
			m.Values = map[string]any{}
		}
		m.Values[name] = pairs[i+1]
	}
	return m
}

// Put writes one value of a message.
func (w *Words) Put(v any) string {
	switch v := v.(type) {
	case string:
		return v
	case message.MM:
		return w.Length(float64(v))
	case message.Fine:
		return w.Fine(float64(v))
	case message.MM2:
		return w.Area(float64(v))
	case message.Size:
		return w.Size(v.Width, v.Height)
	case message.Count:
		return w.Number(float64(v))
	case int:
		return strconv.Itoa(v) // an ordinal or a line, not a quantity
	case message.Number:
		return w.Number(float64(v))
	case message.Exact:
		return w.fixed(v.Value, v.Decimals)
	case message.Few:
		return w.few(v)
	case message.List:
		names := make([]string, len(v))
		for i, x := range v {
			names[i] = w.Put(x)
		}
		return w.List(names)
	case message.ColourName:
		return w.Colour(v)
	case message.Message:
		return w.Message(v)
	}
	return fmt.Sprint(v)
}

// Has reports whether the id has a sentence.
func (w *Words) Has(id string) bool {
	_, ok := w.known[id]
	return ok
}

// IDs returns every id, sorted.
func (w *Words) IDs() []string { return slices.Sorted(maps.Keys(w.known)) }
