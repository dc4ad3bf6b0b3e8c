package svgimport

import "strings"

// node is one element of the file. Elements of other namespaces (editor data)
// are not in the tree.
type node struct {
	name     string
	id       string
	attrs    []attr
	parent   *node
	children []*node
	// text is the character data of style and title elements, and the first
	// bit of it for others.
	text string
	raw  []byte // text while the element is open
	// inline is what an element of text holds, in order: characters and
	// elements.
	inline  []inline
	line    int
	weight  int  // bytes of its attributes
	checked bool // its lengths have been looked at
	// twin is the number of the nameless elements of its kind that begin on its line
	// before it.
	twin int
	// nth is the place among the parent's children, from 0.
	nth int
}

type attr struct{ name, value string }

// attr returns the attribute's value, and whether there is one.
func (n *node) attr(name string) (string, bool) {
	for i := range n.attrs {
		if n.attrs[i].name == name {
			return n.attrs[i].value, true
		}
	}
	return "", false
}

// get returns the attribute's value without white space around it, "" when
// there is none.
func (n *node) get(name string) string {
	v, _ := n.attr(name)
	return strings.TrimSpace(v)
}

// length returns the attribute as a length, false when it is missing, auto or
// nonsense.
func (n *node) length(name string) (length, bool) {
	v, ok := n.attr(name)
	if !ok {
		return length{}, false
	}
	return parseLength(v)
}

// hasClass reports whether the class attribute lists c.
func (n *node) hasClass(c string) bool {
	v, _ := n.attr("class")
	for _, f := range strings.Fields(v) {
		if f == c {
			return true
		}
	}
	return false
}

// title returns the text of the element's own title, if it has one.
func (n *node) title() string {
	for _, c := range n.children {
		if c.name == "title" {
			return strings.Join(strings.Fields(c.text), " ")
		}
	}
	return ""
}

// document is a file's tree with its elements by id. Of elements that share
// an id the first counts.
type document struct {
	root   *node
	byID   map[string]*node
	sheets []*node
	count  int
	// linked are style sheets in other files, as the file names them.
	linked []string
	// cut are the attributes that were too long to be read.
	cut []cutAttr
}

type cutAttr struct {
	n    *node
	name string
}

// standAt has all elements of a drawing inside a file be found where that holds it.
func (n *node) standAt(line int) {
	n.line = line
	for _, c := range n.children {
		c.standAt(line)
	}
}

// href returns what the element refers to: the id, and false when the
// reference leaves the file.
func (n *node) href() (id string, inside bool) {
	v := n.get("href")
	if strings.HasPrefix(v, "#") {
		return v[1:], true
	}
	return v, v == ""
}
