package svgimport

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"abut/geometry"
	"abut/internal/job"
	"abut/internal/typeset"
)

// inline is a bit of an element of text: characters, or an element.
type inline struct {
	text string
	node *node
}

// textual reports whether an element holds text to draw.
func textual(name string) bool {
	return name == "text" || name == "tspan" || name == "a" || name == "textPath"
}

func (n *node) addText(s string) {
	if textual(n.name) {
		n.inline = append(n.inline, inline{text: s})
	}
}

func (n *node) addInline(c *node) {
	if textual(n.name) {
		n.inline = append(n.inline, inline{node: c})
	}
}

// placedText is a stretch of text of one style, or a line under, over or
// through it, as an outline in user space.
type placedText struct {
	n    *node
	st   *style
	path geometry.Path
	text string // what it says; "" for a line
}

// laidText is a whole text element.
type laidText struct {
	parts []placedText
	// box bounds the letters' cells: from advance to advance, ascent to descent.
	// To paint servers, clips and masks that is the element's bounding box.
	box geometry.Rect
}

// textElement draws a text element.
func (im *importer) textElement(n *node, st *style, in scope) error {
	if !n.hasText() {
		return nil
	}
	laid, err := im.layText(n, st, in.view)
	if err != nil {
		return err
	}
	if im.boxOnly != 0 {
		if laid.box.Empty() || !within(laid.box.Path(), maxCoordinate) {
			return nil
		}
		return im.emit(n, laid.box.Path(), geometry.NonZero, black, 1, in)
	}
	in.box = &laid.box
	if in.text, err = im.marked(n, laid, in.label); err != nil {
		return err
	}
	whole, named := onePaint(laid.parts), n.label() != ""
	for _, p := range laid.parts {
		if !p.st.visible {
			continue
		}
		if !within(p.path, maxCoordinate) {
			im.warn(WarnRange, n)
			continue
		}
		in := in
		if !named {
			in.label = labelOf(n, p, whole, in.label)
		}
		draw := func() error { return im.paintText(p, in) }
		if p.n == n {
			if err := draw(); err != nil {
				return err
			}
		} else if err := im.faded(p.n, p.st, draw); err != nil {
			return err
		}
	}
	return nil
}

// labelOf is what a part of a text is called after what it says, or what all of the text does where it is painted alike.
func labelOf(n *node, p placedText, whole bool, label string) string {
	says := p.text
	if whole {
		says = n.wholeText()
	}
	if s := textLabel(says); s != "" {
		return s
	}
	return label
}

// cutByPage reports whether part of a text is lost beyond the canvas' edge: another
// font than that of its drawing may be wider.
func (im *importer) cutByPage(b geometry.Rect) bool {
	slack := 1e-3 * math.Hypot(im.canvas.Width(), im.canvas.Height()) // letters reach a little past round ends
	return !im.canvas.Empty() && !b.Intersect(im.canvas).Empty() && !im.canvas.Grow(slack).Encloses(b)
}

// onePaint reports whether all parts are painted alike, so that one name fits
// them all.
func onePaint(parts []placedText) bool {
	for _, p := range parts[:max(len(parts)-1, 0)] {
		a, b := p.st, parts[len(parts)-1].st
		if !samePaint(a.fill, b.fill) || !samePaint(a.stroke, b.stroke) || a.color != b.color ||
			a.fillOpacity != b.fillOpacity || a.strokeOpacity != b.strokeOpacity || a.own.opacity != b.own.opacity {
			return false
		}
	}
	return true
}

func samePaint(a, b paint) bool {
	return a.kind == b.kind && a.colour == b.colour && a.target == b.target
}

func (im *importer) paintText(p placedText, in scope) error {
	// Letters are filled as their fonts mean them, whatever the fill-rule.
	st := *p.st
	st.fillRule = geometry.NonZero
	if im.cutByPage(p.path.Transform(in.ctm).Bounds()) {
		im.warn(WarnTextCut, p.n)
	}
	return st.inOrder([3]func() error{
		stageFill:    func() error { return im.fill(p.n, &st, p.path, in) },
		stageStroke:  func() error { return im.stroke(p.n, &st, p.path, in) },
		stageMarkers: func() error { return nil },
	})
}

// clipText adds a text element to a clip.
func (im *importer) clipText(c *job.Clip, n *node, st *style, sc scope) error {
	laid, err := im.layText(n, st, sc.view)
	if err != nil {
		return err
	}
	for _, p := range laid.parts {
		if !p.st.visible {
			continue
		}
		path := p.path.Transform(sc.ctm)
		if !within(path, maxCoordinate) {
			im.warn(WarnRange, n)
			continue
		}
		c.Shapes = append(c.Shapes, job.Shape{Path: path, Rule: geometry.NonZero, Clips: sc.clips, Element: n.describe(), Line: n.line})
	}
	return nil
}

// wholeText returns the characters of an element and of what is in it.
func (n *node) wholeText() string {
	var b strings.Builder
	n.writeText(&b)
	return b.String()
}

func (n *node) writeText(b *strings.Builder) {
	for _, i := range n.inline {
		if i.node != nil {
			i.node.writeText(b)
		} else {
			b.WriteString(i.text)
		}
	}
}

// textLabel returns the start of a text that is to be a name.
func textLabel(s string) string {
	const most = 30
	if len(s) > 1000 {
		s = strings.ToValidUTF8(s[:1000], "")
	}
	s = strings.Join(strings.Fields(s), " ")
	if utf8.RuneCountInString(s) <= most {
		return s
	}
	return string([]rune(s)[:most-1]) + "…"
}

// fonts are found when the first text is met, not before: looking for them
// takes time.
func (im *importer) fonts() (*typeset.Fonts, error) {
	if im.opt.Fonts == nil {
		f, err := typeset.System(im.ctx)
		if err != nil {
			return nil, err
		}
		im.opt.Fonts = f
	}
	return im.opt.Fonts, nil
}

// maxLetters bounds the characters of one import, copies counted each time:
// setting them takes some seconds.
const maxLetters = 1 << 18

// countLetters polls the context and holds the bound.
func (im *importer) countLetters(k int, n *node) error {
	if im.letters += k; im.letters > maxLetters {
		return fail(ErrLetters, n.line, "limit", strconv.Itoa(maxLetters), "line", strconv.Itoa(n.line))
	}
	return im.ctx.Err()
}

// noteText warns about what could not be set as asked: once for each font or set
// of letters, at the first element concerned. A picture full of labels in one
// missing font needs one line, not hundreds.
func (im *importer) noteText(notes []typeset.Note, at func(r int) *node) {
	for _, note := range notes {
		n := at(note.Rune)
		used := strings.Join(note.Used, ", ")
		told := warnKey{id: fmt.Sprintf("text %d %q %q %q", note.Kind, note.Wanted, used, note.Letters)}
		if im.quiet > 0 || im.warned[told] {
			continue
		}
		im.warned[told] = true
		switch note.Kind {
		case typeset.FontMissing:
			im.warn(WarnFont, n, "font", shorten(note.Wanted), "used", used)
		case typeset.LettersElsewhere:
			im.warn(WarnLetters, n, "font", shorten(note.Wanted), "used", used, "letters", note.Letters)
		case typeset.LettersLost:
			im.warn(WarnLettersLost, n, "letters", note.Letters)
		}
	}
}
