package handout

import (
	"bytes"
	_ "embed"
	"html/template"
	"io"

	"abut/internal/show"
	"abut/internal/words"
)

//go:embed page.html.tmpl
var pageText string

// Lesson is what is taken home.
type Lesson struct {
	Title string
	Show  *show.Show
	// Words are the language; nil is the one that is chosen.
	Words *words.Words
}

// pageFrames is how many pictures a drawing that moves has on the page: with twelve in
// three seconds it moves, and a heavy picture's page stays small enough to be mailed.
const pageFrames = 12

// pageWide is how wide the page's stage is: 16:9.
const pageWide = 1280

// pageView is what the template sees.
type pageView struct {
	Language, Title string
	// Shapes are the outlines that all drawings share.
	Shapes template.HTML
	Wide   int
	High   int
	Steps  []pageStep
}

type pageStep struct {
	Number, Of      int
	Sentence, Notes string
	// Milliseconds is how long it moves through its Frames.
	Milliseconds int
	Frames       []template.HTML
	Labels       []pageLabel
}

type pageLabel struct {
	X, Y float64
	Text string
}

// WritePage writes the lesson as one HTML page that needs no other file and asks for
// none: arrows, space and page keys step through it. Without scripts, and on paper, all
// steps stand below each other.
func (l Lesson) WritePage(w io.Writer) error {
	say := l.words()
	t, err := template.New("page").Funcs(template.FuncMap{"say": func(id string) string { return say.Say(id, nil) }}).Parse(pageText)
	if err != nil {
		return err
	}
	v := pageView{Language: say.Tag(), Title: l.Title, Wide: pageWide, High: show.PictureHeight}
	var known shapes
	for i := range l.Show.Steps {
		s := &l.Show.Steps[i]
		p := pageStep{Number: i + 1, Of: len(l.Show.Steps), Sentence: say.Message(s.Sentence), Notes: say.Message(s.Notes), Milliseconds: int(1000 * s.Seconds)}
		n := 1
		if s.Seconds > 0 {
			n = pageFrames
		}
		for k := range n {
			scene := s.Scene(&show.LightRoom, pageWide, float64(k+1)/float64(n))
			if k == 0 && n > 1 {
				scene = s.Scene(&show.LightRoom, pageWide, 0)
			}
			// It is our own text: numbers, colours and ids of shapes.
			p.Frames = append(p.Frames, template.HTML(known.scene(scene)))
			if k == n-1 {
				for _, x := range scene.Labels {
					p.Labels = append(p.Labels, pageLabel{x.At.X, x.At.Y, words.Capital(say.Put(x.Says))})
				}
			}
		}
		v.Steps = append(v.Steps, p)
	}
	v.Shapes = template.HTML(known.definitions())
	var b bytes.Buffer // so that a template that fails leaves no half a page
	if err := t.Execute(&b, v); err != nil {
		return err
	}
	_, err = w.Write(b.Bytes())
	return err
}

func (l Lesson) words() *words.Words {
	if l.Words == nil {
		return words.Chosen()
	}
	return l.Words
}
