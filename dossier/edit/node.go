package edit

import (
	"bytes"
	"errors"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"
)

type kind int

const (
	scalar kind = iota
	mapping
	list
)

// node is a value with its place in the bytes of the file.
type node struct {
	kind  kind
	tag   string
	text  string
	style yaml.Style
	flow  bool // in brackets
	bare  bool // a group of one pair in a list in brackets, without braces of its own

	// start and end bound the value itself: the quotes, the brackets, from the first key
	// or dash to the end of the last value. An empty value has both behind its colon.
	start, end int

	keys []*node // of a group
	vals []*node
	// marks are the places behind each colon of a group, or of the dashes of a block list;
	// -1 where there is none.
	marks []int
}

// blank says that nothing is written.
func (n *node) blank() bool { return n.kind == scalar && n.start == n.end }

// File is one YAML file as bytes and as a tree that knows its places. It does not change.
type File struct {
	// Name is used in refusals.
	Name string
	// Order returns the preferred order of the keys of the group at a path, where indices
	// of lists are "*". It may be nil. What it does not name is left where it is.
	Order func(Path) []string

	data     []byte
	root     *node
	eol      string
	lines    []int // offsets of the starts of the lines
	comments []span
}

type span struct{ from, to int }

// Largest file that is edited, in bytes.
const largest = 4 << 20

// Bytes returns the bytes of the file; they may not be changed.
func (f *File) Bytes() []byte { return f.data }

// Parse reads a file and finds the place of every value.
//
// Errors: a *Refusal for what cannot be read or what no edit may touch.
func Parse(name string, data []byte) (*File, error) {
	f := &File{Name: name, data: data}
	if err := f.parse(); err != nil {
		return nil, f.placed(err)
	}
	return f, nil
}

// placed gives a refusal its file and place.
func (f *File) placed(err error) error {
	var r *Refusal
	if !errors.As(err, &r) {
		return err
	}
	r.File = f.Name
	if r.Line == 0 && len(f.lines) > 0 {
		r.Line, r.Col = f.place(r.offset)
	}
	return r
}

func (f *File) parse() error {
	switch {
	case len(f.data) > largest:
		return refuse("too-large", 0, "most", strconv.Itoa(largest))
	case !utf8.Valid(f.data):
		return refuse("not-utf8", 0)
	}
	if err := f.splitLines(); err != nil {
		return err
	}
	doc, err := decode(f.data)
	if err != nil {
		return err
	}
	if doc == nil { // nothing but comments
		f.root = &node{kind: scalar, tag: "!!null", start: len(f.data), end: len(f.data)}
		f.comments = f.commentsOutside(nil)
		return nil
	}
	f.root, err = f.locate(doc, -1, false)
	if err != nil {
		return err
	}
	if rest := f.skip(f.root.end); rest < len(f.data) && !bytes.HasPrefix(f.data[rest:], []byte("...")) {
		return refuse("odd-layout", rest)
	}
	f.comments = f.commentsOutside(f.root.scalars(nil))
	return nil
}

// decode returns the root of the only document; nil where there is none.
func decode(data []byte) (*yaml.Node, error) {
	d := yaml.NewDecoder(bytes.NewReader(data))
	var doc, more yaml.Node
	if err := d.Decode(&doc); err == io.EOF {
		return nil, nil
	} else if err != nil {
		return nil, syntax(err)
	}
	if err := d.Decode(&more); err != io.EOF {
		return nil, refuse("documents", 0)
	}
	return doc.Content[0], nil
}

// syntax turns an error of the YAML library into a refusal with its line.
func syntax(err error) *Refusal {
	msg := strings.TrimPrefix(err.Error(), "yaml: ")
	r := refuse("syntax", 0)
	if rest, ok := strings.CutPrefix(msg, "line "); ok {
		number, reason, _ := strings.Cut(rest, ": ")
		if n, err := strconv.Atoi(number); err == nil {
			r.Line, r.Col, msg = n, 1, reason
		}
	}
	r.Values["reason"] = msg
	return r
}

// locate finds the bytes of a value. parent is the column, from 0, of the key or dash
// that the value belongs to; -1 at the root.
func (f *File) locate(y *yaml.Node, parent int, inFlow bool) (*node, error) {
	start := f.offset(y.Line, y.Column)
	n := &node{tag: y.Tag, text: y.Value, style: y.Style, start: start}
	switch {
	case y.Anchor != "" || y.Kind == yaml.AliasNode:
		return nil, refuse("anchor", start)
	case y.Style&yaml.TaggedStyle != 0:
		return nil, refuse("tag", start)
	}
	switch y.Kind {
	case yaml.ScalarNode:
		n.kind = scalar
		return n, f.locateScalar(n, parent)
	case yaml.MappingNode:
		n.kind, n.flow = mapping, y.Style&yaml.FlowStyle != 0
		n.bare = n.flow && f.at(start) != '{'
		return n, f.locateGroup(n, y.Content, inFlow)
	case yaml.SequenceNode:
		n.kind, n.flow = list, y.Style&yaml.FlowStyle != 0
		return n, f.locateList(n, y.Content)
	}
	return nil, refuse("odd-layout", start)
}

func (f *File) locateGroup(n *node, content []*yaml.Node, inFlow bool) error {
	at := n.start
	if n.flow && !n.bare {
		at++
	}
	for i := 0; i+1 < len(content); i += 2 {
		if content[i].Kind != yaml.ScalarNode {
			return refuse("odd-key", f.offset(content[i].Line, content[i].Column))
		}
		if n.flow && i > 0 {
			if at = f.skip(at); f.at(at) != ',' {
				return refuse("odd-layout", at)
			}
			at++
		}
		key, err := f.locate(content[i], f.column(n.start), n.flow)
		if err != nil {
			return err
		}
		if f.skip(at) != key.start || key.blank() || key.style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0 {
			return refuse("odd-key", key.start)
		}
		if !n.flow && f.column(key.start) != f.column(n.start) {
			return refuse("odd-layout", key.start)
		}
		val, mark, err := f.locateBehind(content[i+1], key.end, f.column(n.start), n.flow)
		if err != nil {
			return err
		}
		n.keys, n.vals, n.marks = append(n.keys, key), append(n.vals, val), append(n.marks, mark)
		at = val.end
	}
	return f.closed(n, at, '}')
}

// locateBehind finds the value behind the colon that follows a key.
func (f *File) locateBehind(y *yaml.Node, from, parent int, flow bool) (*node, int, error) {
	colon := f.skip(from)
	nothing := y.Kind == yaml.ScalarNode && y.Tag == "!!null" && y.Value == "" && y.Style == 0 && y.Anchor == ""
	if f.at(colon) != ':' {
		if !flow || !nothing {
			return nil, 0, refuse("odd-layout", colon)
		}
		return &node{kind: scalar, tag: y.Tag, start: from, end: from}, -1, nil
	}
	if nothing {
		return &node{kind: scalar, tag: y.Tag, start: colon + 1, end: colon + 1}, colon + 1, nil
	}
	val, err := f.locate(y, parent, flow)
	if err != nil {
		return nil, 0, err
	}
	if f.skip(colon+1) != val.start {
		return nil, 0, refuse("odd-layout", colon)
	}
	return val, colon + 1, nil
}

func (f *File) locateList(n *node, content []*yaml.Node) error {
	at := n.start
	if n.flow {
		at++
	}
	for i, c := range content {
		mark := -1
		if n.flow {
			if i > 0 {
				if at = f.skip(at); f.at(at) != ',' {
					return refuse("odd-layout", at)
				}
				at++
			}
		} else {
			if mark = f.skip(at); f.at(mark) != '-' || f.column(mark) != f.column(n.start) {
				return refuse("odd-layout", mark)
			}
			at = mark + 1
		}
		val := &node{kind: scalar, tag: c.Tag, start: at, end: at}
		if n.flow || c.Tag != "!!null" || c.Value != "" || c.Style != 0 || c.Anchor != "" {
			var err error
			if val, err = f.locate(c, f.column(n.start), n.flow); err != nil {
				return err
			}
			if f.skip(at) != val.start {
				return refuse("odd-layout", at)
			}
		}
		n.vals, n.marks = append(n.vals, val), append(n.marks, mark)
		at = val.end
	}
	return f.closed(n, at, ']')
}

// closed finds the closing bracket behind the last entry.
func (f *File) closed(n *node, at int, bracket byte) error {
	n.end = at
	if !n.flow || n.bare {
		return nil
	}
	at = f.skip(at)
	if f.at(at) == ',' {
		at = f.skip(at + 1)
	}
	if f.at(at) != bracket {
		return refuse("odd-layout", at)
	}
	n.end = at + 1
	return nil
}

// scalars appends the places of all single values and keys, in order.
func (n *node) scalars(to []span) []span {
	if n.kind == scalar {
		return append(to, span{n.start, n.end})
	}
	for i, v := range n.vals {
		if n.kind == mapping {
			to = n.keys[i].scalars(to)
		}
		to = v.scalars(to)
	}
	return to
}
