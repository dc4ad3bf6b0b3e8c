package svgimport

import (
	"bytes"
	"compress/gzip"
	"context"
	"encoding/xml"
	"errors"
	"io"
	"strconv"
	"strings"

	"abut/geometry/parallel"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

const (
	nsSVG   = "http://www.w3.org/2000/svg"
	nsXLink = "http://www.w3.org/1999/xlink"
	nsXML   = "http://www.w3.org/XML/1998/namespace"
)

// xmlSpace names the attribute that keeps white space as it is.
const xmlSpace = "xml:space"

// editorLabel names an attribute "label" of any editor's own namespace: several
// keep there what people called a layer.
const editorLabel = "editor:label"

// maxElements bounds the tree: a million elements take some 400 MB and a few
// seconds, and the largest real pictures have a tenth of that.
const maxElements = 1_000_000

// maxAttrs bounds the attributes of one element, which are searched one by one.
const maxAttrs = 256

// maxValue bounds the text of one attribute, save those that hold outlines and
// references. Real ones have a few hundred bytes; without a bound, reading a
// style attribute of 50 MB takes minutes that nobody can interrupt.
const maxValue = 1 << 16

// maxText bounds the character data kept of an element that is no style sheet.
const maxText = 4096

// ctxReader ends a read when its context ends.
type ctxReader struct {
	ctx context.Context
	r   io.Reader
}

func (c ctxReader) Read(p []byte) (int, error) {
	if err := c.ctx.Err(); err != nil {
		return 0, err
	}
	if len(p) > 1<<16 {
		p = p[:1<<16]
	}
	return c.r.Read(p)
}

// slurp reads all of r as UTF-8, unzipped, within the limit of bytes.
func slurp(ctx context.Context, r io.Reader, limit int64) ([]byte, error) {
	read := func(r io.Reader) ([]byte, error) {
		data, err := io.ReadAll(io.LimitReader(ctxReader{ctx, r}, limit+1))
		switch {
		case ctx.Err() != nil:
			return nil, ctx.Err()
		case err != nil:
			return nil, fail(ErrRead, 0, "detail", err.Error())
		case int64(len(data)) > limit:
			return nil, fail(ErrTooBig, 0, "limit", strconv.FormatInt(limit>>20, 10))
		}
		return data, nil
	}
	data, err := read(r)
	if err != nil {
		return nil, err
	}
	if bytes.HasPrefix(data, []byte{0x1f, 0x8b}) {
		z, err := gzip.NewReader(bytes.NewReader(data))
		if err != nil {
			return nil, fail(ErrRead, 0, "detail", err.Error())
		}
		if data, err = read(z); err != nil {
			return nil, err
		}
	}
	switch {
	case bytes.HasPrefix(data, []byte{0xef, 0xbb, 0xbf}):
		data = data[3:]
	case bytes.HasPrefix(data, []byte{0xff, 0xfe}), bytes.HasPrefix(data, []byte{0xfe, 0xff}),
		bytes.HasPrefix(data, []byte{'<', 0}), bytes.HasPrefix(data, []byte{0, '<'}):
		order := unicode.LittleEndian
		if data[0] == 0 {
			order = unicode.BigEndian
		}
		if data, err = unicode.UTF16(order, unicode.UseBOM).NewDecoder().Bytes(data); err != nil {
			return nil, fail(ErrEncoding, 0, "encoding", "UTF-16")
		}
	}
	if len(bytes.TrimSpace(data)) == 0 {
		return nil, fail(ErrEmpty, 0)
	}
	return data, nil
}

// charset decodes the encodings that old drawing programs wrote. UTF-16 has
// been decoded before by its byte-order mark.
func charset(label string, in io.Reader) (io.Reader, error) {
	switch l := strings.ToLower(strings.ReplaceAll(label, "_", "-")); l {
	case "utf-8", "utf8", "us-ascii", "ascii", "utf-16", "utf-16le", "utf-16be", "unicode":
		return in, nil
	case "iso-8859-1", "latin1", "windows-1252", "cp1252":
		return charmap.Windows1252.NewDecoder().Reader(in), nil
	case "iso-8859-15":
		return charmap.ISO8859_15.NewDecoder().Reader(in), nil
	case "iso-8859-2":
		return charmap.ISO8859_2.NewDecoder().Reader(in), nil
	case "windows-1250":
		return charmap.Windows1250.NewDecoder().Reader(in), nil
	case "windows-1251":
		return charmap.Windows1251.NewDecoder().Reader(in), nil
	case "koi8-r":
		return charmap.KOI8R.NewDecoder().Reader(in), nil
	}
	return nil, fail(ErrEncoding, 1, "encoding", label)
}

// readTree is parseTree that returns as soon as its context ends: the decoder
// checks a text or an attribute as a whole, which for 50 MB of it takes longer
// than someone who cancels should wait.
func readTree(ctx context.Context, data []byte, maxDepth int) (*document, error) {
	return parallel.Aside(ctx, func() (*document, error) { return parseTree(ctx, data, maxDepth) })
}

// parseTree reads the tree. Elements nested deeper than maxDepth are an error:
// everything after this may recurse.
func parseTree(ctx context.Context, data []byte, maxDepth int) (*document, error) {
	p := treeReader{doc: &document{byID: map[string]*node{}}, maxDepth: maxDepth, data: data, nameless: map[string]int{}}
	dec := xml.NewDecoder(ctxReader{ctx, bytes.NewReader(data)})
	dec.CharsetReader = charset
	p.dec = dec
	for i := 0; ; i++ {
		if i&0x3ff == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		line, _ := dec.InputPos()
		tok, err := dec.Token()
		if err == io.EOF && p.doc.root != nil && p.at == nil {
			return p.doc, nil
		}
		if err != nil {
			return nil, p.xmlError(ctx, err, line)
		}
		if err := p.token(tok, line); err != nil {
			return nil, err
		}
	}
}

type treeReader struct {
	dec      *xml.Decoder
	doc      *document
	data     []byte
	at       *node
	depth    int
	skip     int // nesting inside an element of another namespace
	maxDepth int
	// nameless counts the elements without an id that begin on line counted, by kind.
	nameless map[string]int
	counted  int
}

// xmlError turns the decoder's error into ours. line is where the token began.
func (p *treeReader) xmlError(ctx context.Context, err error, line int) error {
	var ours *Error
	var syntax *xml.SyntaxError
	switch {
	case ctx.Err() != nil:
		return ctx.Err()
	case errors.As(err, &ours):
		return ours
	case err == io.EOF || errors.Is(err, io.ErrUnexpectedEOF):
		if p.doc.root == nil {
			return fail(ErrNotSVG, 0, "element", "")
		}
		return fail(ErrTruncated, line, "line", strconv.Itoa(line))
	case errors.As(err, &syntax):
		if p.doc.root == nil && p.depth == 0 {
			return fail(ErrNotSVG, 0, "element", "")
		}
		if strings.Contains(syntax.Msg, "unexpected EOF") {
			return fail(ErrTruncated, syntax.Line, "line", strconv.Itoa(syntax.Line))
		}
		return fail(ErrXML, syntax.Line, "line", strconv.Itoa(syntax.Line), "detail", syntax.Msg)
	}
	return fail(ErrXML, line, "line", strconv.Itoa(line), "detail", err.Error())
}

func (p *treeReader) token(tok xml.Token, line int) error {
	switch t := tok.(type) {
	case xml.StartElement:
		return p.start(t, line)
	case xml.EndElement:
		p.end()
	case xml.CharData:
		return p.text(t, line)
	case xml.ProcInst:
		if t.Target == "xml-stylesheet" {
			p.doc.linked = append(p.doc.linked, string(t.Inst))
		}
	case xml.Directive:
		entities, err := readEntities(string(t), p.data)
		if err != nil {
			return err
		}
		if entities != nil {
			p.dec.Entity = entities
		}
	}
	return nil
}

func (p *treeReader) end() {
	p.depth--
	if p.skip > 0 {
		p.skip--
	} else if p.at != nil {
		p.at.text, p.at.raw = string(p.at.raw), nil
		p.at = p.at.parent
	}
}

func (p *treeReader) text(t xml.CharData, line int) error {
	if p.at == nil {
		if p.doc.root == nil && len(bytes.TrimSpace(t)) > 0 {
			return fail(ErrNotSVG, line, "element", "")
		}
		return nil
	}
	if p.skip > 0 {
		return nil
	}
	if p.at.name == "style" || len(p.at.raw)+len(t) <= maxText {
		p.at.raw = append(p.at.raw, t...)
	}
	p.at.addText(string(t))
	return nil
}

func (p *treeReader) start(t xml.StartElement, line int) error {
	p.depth++
	if p.depth > p.maxDepth {
		return fail(ErrDepth, line, "limit", strconv.Itoa(p.maxDepth), "line", strconv.Itoa(line))
	}
	foreign := t.Name.Space != nsSVG && t.Name.Space != "" && t.Name.Space != "svg"
	if p.doc.root == nil && (foreign || t.Name.Local != "svg") {
		return fail(ErrNotSVG, line, "element", t.Name.Local)
	}
	pastRoot := p.doc.root != nil && p.at == nil // the decoder allows it, nothing is drawn
	if p.skip > 0 || foreign || pastRoot {
		p.skip++
		return nil
	}
	if p.doc.count++; p.doc.count > maxElements {
		return fail(ErrElements, line, "limit", strconv.Itoa(maxElements), "line", strconv.Itoa(line))
	}
	n := &node{name: t.Name.Local, parent: p.at, line: line}
	p.attributes(n, t.Attr[:min(len(t.Attr), maxAttrs)])
	p.tellApart(n)
	p.add(n)
	return nil
}

// tellApart numbers the elements on a line that nobody named: web tools write a whole
// picture as one line.
func (p *treeReader) tellApart(n *node) {
	if n.line != p.counted {
		p.counted, p.nameless = n.line, map[string]int{}
	}
	if n.id == "" {
		n.twin = p.nameless[n.name]
		p.nameless[n.name]++
	}
}

// add puts an element into the tree and goes on within it.
func (p *treeReader) add(n *node) {
	if n.id != "" && p.doc.byID[n.id] == nil {
		p.doc.byID[n.id] = n
	}
	if p.at == nil {
		p.doc.root = n
	} else {
		n.nth = len(p.at.children)
		p.at.children = append(p.at.children, n)
		p.at.addInline(n)
	}
	if n.name == "style" {
		p.doc.sheets = append(p.doc.sheets, n)
	}
	p.at = n
}

// attributes keeps those of an element's attributes that mean something here.
func (p *treeReader) attributes(n *node, attrs []xml.Attr) {
	n.attrs = make([]attr, 0, len(attrs))
	for _, a := range attrs {
		name := known(a.Name)
		if name == "" {
			continue
		}
		if len(a.Value) > maxValue && name != "d" && name != "points" && name != "href" {
			p.doc.cut = append(p.doc.cut, cutAttr{n, name})
			continue
		}
		if name == "href" {
			if _, has := n.attr("href"); !has || a.Name.Space == "" { // plain href wins (SVG 2, 5.5)
				n.setHref(a.Value)
			}
			continue
		}
		if name == "id" && n.id == "" {
			n.id = strings.TrimSpace(a.Value)
		}
		n.attrs = append(n.attrs, attr{name, a.Value})
		if name != "d" && name != "points" { // those count by their lines and curves
			n.weight += len(a.Value)
		}
	}
	if href, has := n.attr("href"); has {
		n.weight += len(href)
	}
}

// known is what an attribute is called here, by its name space; empty where it means
// nothing.
func known(name xml.Name) string {
	switch name.Space {
	case "":
		return name.Local
	case nsXLink, "xlink":
		if name.Local == "href" {
			return name.Local
		}
	case nsXML, "xml":
		switch name.Local {
		case "space":
			return xmlSpace
		case "lang":
			return name.Local
		}
	default:
		if name.Local == "label" {
			return editorLabel
		}
	}
	return ""
}

// setHref keeps the reference; a later plain href replaces xlink:href.
func (n *node) setHref(v string) {
	for i := range n.attrs {
		if n.attrs[i].name == "href" {
			n.attrs[i].value = v
			return
		}
	}
	n.attrs = append(n.attrs, attr{"href", v})
}
