package manual

import (
	"bytes"
	"fmt"
	"image/png"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
	"github.com/yuin/goldmark/ast"
	tables "github.com/yuin/goldmark/extension/ast"

	"abut/ui/controls"
)

// setter sets a section as the toolkit's text and pictures.
type setter struct {
	source []byte
	// wide is how wide lines and pictures are.
	wide float32
	// lead returns what a link does, nil where it leads to no page of the guide.
	lead func(link string) func()

	out  []fyne.CanvasObject
	text []widget.RichTextSegment
	err  error
}

// set returns the objects of a section, one below the other.
func (s *setter) set(nodes []ast.Node) ([]fyne.CanvasObject, error) {
	for _, n := range nodes {
		s.block(n)
	}
	s.flush()
	return s.out, s.err
}

// flush makes one text of what was set since the last picture.
func (s *setter) flush() {
	if len(s.text) == 0 {
		return
	}
	t := widget.NewRichText(s.text...)
	t.Wrapping = fyne.TextWrapWord
	t.Resize(fyne.NewSize(s.wide, t.MinSize().Height)) // how high it is, it knows once it is as wide
	s.out = append(s.out, t)
	s.text = nil
}

// end closes a paragraph.
func (s *setter) end() {
	s.text = append(s.text, &widget.TextSegment{Style: widget.RichTextStyleParagraph})
}

func (s *setter) block(n ast.Node) {
	switch n := n.(type) {
	case *ast.Paragraph:
		if img, is := n.FirstChild().(*ast.Image); is && n.ChildCount() == 1 {
			s.picture(img)
			return
		}
		s.text = append(s.text, s.inline(n)...)
		s.end()
	case *ast.Heading:
		style := widget.RichTextStyleSubHeading
		s.text = append(s.text, &widget.TextSegment{Style: style, Text: plain(n, s.source)})
	case *ast.List:
		list := &widget.ListSegment{Ordered: n.IsOrdered()}
		for item := n.FirstChild(); item != nil; item = item.NextSibling() {
			var texts []widget.RichTextSegment
			for c := item.FirstChild(); c != nil; c = c.NextSibling() {
				if _, is := c.(*ast.List); is {
					s.fail(c)
					continue
				}
				texts = append(texts, s.inline(c)...)
			}
			list.Items = append(list.Items, &widget.ParagraphSegment{Texts: texts})
		}
		s.list(list)
	case *ast.CodeBlock, *ast.FencedCodeBlock:
		var b strings.Builder
		for i := range n.Lines().Len() {
			line := n.Lines().At(i)
			b.Write(line.Value(s.source))
		}
		s.text = append(s.text, &widget.TextSegment{Style: widget.RichTextStyleCodeBlock, Text: strings.TrimRight(b.String(), "\n")})
		s.end()
	case *tables.Table:
		s.table(n)
	case *ast.HTMLBlock: // a remark
	default:
		s.fail(n)
	}
}

// table sets each row as an entry of a list: what it is about in bold, then its other
// cells, each with what stands over it where there is more than one. Beside each other
// they would have no room.
func (s *setter) table(t *tables.Table) {
	var heads []string
	list := &widget.ListSegment{}
	for row := t.FirstChild(); row != nil; row = row.NextSibling() {
		if _, is := row.(*tables.TableHeader); is {
			for c := row.FirstChild(); c != nil; c = c.NextSibling() {
				heads = append(heads, plain(c, s.source))
			}
			continue
		}
		first := row.FirstChild()
		texts := []widget.RichTextSegment{&widget.TextSegment{Style: widget.RichTextStyleStrong, Text: plain(first, s.source) + ": "}}
		for i, c := 1, first.NextSibling(); c != nil; i, c = i+1, c.NextSibling() {
			if len(heads) > 2 {
				lead := heads[i] + " – "
				if i > 1 {
					lead = "; " + lead
				}
				texts = append(texts, &widget.TextSegment{Style: widget.RichTextStyleInline, Text: lead})
			}
			texts = append(texts, s.inline(c)...)
		}
		list.Items = append(list.Items, &widget.ParagraphSegment{Texts: texts})
	}
	s.list(list)
}

// list sets a list with room around it.
func (s *setter) list(l *widget.ListSegment) {
	s.flush()
	s.text = append(s.text, l)
	s.flush()
}

// inline sets what stands in a line.
func (s *setter) inline(n ast.Node) (out []widget.RichTextSegment) {
	add := func(style widget.RichTextStyle, text string) { out = withText(out, style, text) }
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		switch c := c.(type) {
		case *ast.Text:
			text := string(c.Value(s.source))
			if c.SoftLineBreak() || c.HardLineBreak() {
				text += " "
			}
			add(widget.RichTextStyleInline, text)
		case *ast.CodeSpan:
			add(widget.RichTextStyleCodeInline, plain(c, s.source))
		case *ast.Emphasis:
			style := widget.RichTextStyleEmphasis
			if c.Level == 2 {
				style = widget.RichTextStyleStrong
			}
			add(style, plain(c, s.source))
		case *ast.Link:
			label := plain(c, s.source)
			if do := s.lead(string(c.Destination)); do != nil {
				out = append(out, &widget.HyperlinkSegment{Text: label, OnTapped: do})
			} else {
				add(widget.RichTextStyleInline, label)
			}
		default:
			s.fail(c)
		}
	}
	return out
}

// withText adds text to a line. The toolkit breaks lines between any two segments, so
// what belongs together is one: a sentence that the file breaks, and what is set off
// with the mark behind it.
func withText(line []widget.RichTextSegment, style widget.RichTextStyle, text string) []widget.RichTextSegment {
	if n := len(line); n > 0 {
		if last, is := line[n-1].(*widget.TextSegment); is {
			if rest := strings.TrimLeft(text, ".,:;!?)"); style == widget.RichTextStyleInline && rest != text {
				last.Text += text[:len(text)-len(rest)]
				text = rest
			}
			if last.Style == style {
				last.Text += text
				return line
			}
		}
	}
	if text == "" {
		return line
	}
	return append(line, &widget.TextSegment{Style: style, Text: text})
}

// picture sets a picture with what it shows below it, no larger than it is.
func (s *setter) picture(n *ast.Image) {
	s.flush()
	name := string(n.Destination)
	b, err := picture(name)
	if err != nil {
		s.err = err
		return
	}
	size, err := png.DecodeConfig(bytes.NewReader(b))
	if err != nil {
		s.err = fmt.Errorf("%s: %w", name, err)
		return
	}
	img := canvas.NewImageFromResource(fyne.NewStaticResource(name, b))
	img.FillMode = canvas.ImageFillContain
	wide := min(s.wide-2*theme.InnerPadding(), float32(size.Width))
	img.SetMinSize(fyne.NewSize(wide, wide*float32(size.Height)/float32(size.Width)))
	below := controls.NewPara(plain(n, s.source), controls.Quiet)
	below.Wrap(s.wide)
	s.out = append(s.out, inset(img), inset(below))
}

// inset begins where lines of text do, which the toolkit sets so far in.
func inset(o fyne.CanvasObject) fyne.CanvasObject {
	return container.New(&controls.Inset{X: theme.InnerPadding()}, o)
}

// fail notes what cannot be set.
func (s *setter) fail(n ast.Node) { s.err = fmt.Errorf("a page of the guide has a %v", n.Kind()) }
