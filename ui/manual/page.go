// Package manual shows the pages of the guide in a window of their own: the same
// files that lie in docs, with their pictures, offline.
package manual

import (
	"fmt"
	"io/fs"
	"strings"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/text"

	"abut/docs"
)

// names are the pages in the order in which they are listed.
var names = []string{"crafting", "teaching", "mended", "command-line"}

// page is a page of the guide, cut up at its headings.
type page struct {
	name, title string
	source      []byte
	sections    []section
}

// section is what stands under one heading; the first is what comes before any, and
// bears the page's title.
type section struct {
	title, anchor string
	nodes         []ast.Node
}

// open reads all pages, each in a language where there is one, else in English.
func open(language string) ([]*page, error) {
	var out []*page
	for _, name := range names {
		source, err := docs.Files.ReadFile(name + "." + language + ".md")
		if err != nil {
			source, err = docs.Files.ReadFile(name + ".md")
		}
		if err != nil {
			return nil, err
		}
		out = append(out, parse(name, source))
	}
	return out, nil
}

func parse(name string, source []byte) *page {
	p := &page{name: name, source: source}
	root := goldmark.New(goldmark.WithExtensions(extension.Table)).Parser().Parse(text.NewReader(source))
	for n := root.FirstChild(); n != nil; n = n.NextSibling() {
		h, is := n.(*ast.Heading)
		switch {
		case is && h.Level == 1:
			p.title = plain(n, source)
			p.sections = append(p.sections, section{title: p.title})
		case is && h.Level == 2:
			t := plain(n, source)
			p.sections = append(p.sections, section{title: t, anchor: docs.Anchor(t)})
		case len(p.sections) > 0:
			last := &p.sections[len(p.sections)-1]
			last.nodes = append(last.nodes, n)
		}
	}
	return p
}

// plain is a node's text without what sets it off.
func plain(n ast.Node, source []byte) string {
	var b strings.Builder
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		if t, is := c.(*ast.Text); is {
			b.Write(t.Value(source))
			if t.SoftLineBreak() || t.HardLineBreak() {
				b.WriteByte(' ')
			}
			continue
		}
		b.WriteString(plain(c, source))
	}
	return b.String()
}

// place is a section of a page, by their numbers.
type place struct{ page, section int }

// find returns where a link leads: "crafting.md#weed", "teaching.md", "#weed" from page
// from. Headings are those of the English pages, whose sections the others follow.
func find(pages []*page, from int, link string) (place, bool) {
	file, heading, _ := strings.Cut(link, "#")
	for i, p := range pages {
		if file != p.name+".md" && !(file == "" && i == from) {
			continue
		}
		if heading == "" {
			return place{i, 0}, true
		}
		english, err := docs.Files.ReadFile(p.name + ".md")
		if err != nil {
			return place{}, false
		}
		for k, s := range parse(p.name, english).sections {
			if s.anchor == heading && k < len(p.sections) {
				return place{i, k}, true
			}
		}
	}
	return place{}, false
}

// picture reads a picture of the guide.
func picture(name string) ([]byte, error) {
	b, err := fs.ReadFile(docs.Files, name)
	if err != nil {
		return nil, fmt.Errorf("a picture of the guide is missing: %w", err)
	}
	return b, nil
}
