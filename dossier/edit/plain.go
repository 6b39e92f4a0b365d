package edit

import (
	"fmt"
	"strings"
	"unicode"

	"go.yaml.in/yaml/v3"
)

// reading returns how a single value without quotes reads in its place: its tag, and
// whether it comes back as the same text and nothing else.
func reading(s string, flow bool) (tag string, same bool) {
	if s == "" || strings.ContainsAny(s, "\n\r") {
		return "", false
	}
	sample := "k: " + s + "\n"
	if flow {
		sample = "k: [" + s + "]\nl: {k: " + s + "}\n"
	}
	doc, err := decode([]byte(sample))
	if err != nil || doc == nil || doc.Kind != yaml.MappingNode {
		return "", false
	}
	n := doc.Content[1]
	if flow {
		if len(doc.Content) != 4 || n.Kind != yaml.SequenceNode || len(n.Content) != 1 {
			return "", false
		}
		inner := doc.Content[3]
		if inner.Kind != yaml.MappingNode || len(inner.Content) != 2 || inner.Content[1].Value != s {
			return "", false
		}
		n = n.Content[0]
	} else if len(doc.Content) != 2 {
		return "", false
	}
	bare := n.Kind == yaml.ScalarNode && n.Style == 0 && n.Anchor == ""
	noted := n.HeadComment + n.LineComment + n.FootComment + doc.FootComment
	return n.Tag, bare && n.Value == s && noted == ""
}

// otherReaders are words that older readers of YAML take for true or false.
var otherReaders = map[string]bool{"y": true, "n": true, "yes": true, "no": true, "on": true, "off": true}

// plain says that the value may be written without quotes.
func (v Value) plain(flow bool) bool {
	tag, same := reading(v.text, flow)
	if v.mode == text {
		return same && tag == "!!str" && !otherReaders[strings.ToLower(v.text)]
	}
	return same && tag != "!!null" && tag != "!!merge"
}

// written returns the text of a new single value.
func (v Value) written(flow bool) string {
	switch {
	case v.mode == empty:
		return "null"
	case v.plain(flow):
		return v.text
	}
	return double(v.text)
}

// rewritten returns the text of a single value that takes the place of another: its
// quotes stay where the maker chose them.
func (v Value) rewritten(old *node, flow bool) string {
	switch {
	case v.mode == empty:
		return "null"
	case old.style&yaml.DoubleQuotedStyle != 0:
		return double(v.text)
	case old.style&yaml.SingleQuotedStyle != 0 && singleable(v.text):
		before := v
		before.text = old.text
		if before.plain(flow) || !v.plain(flow) {
			return single(v.text)
		}
	}
	switch {
	case v.plain(flow):
		return v.text
	case singleable(v.text):
		return single(v.text)
	}
	return double(v.text)
}

func singleable(s string) bool {
	for _, r := range s {
		if !unicode.IsPrint(r) {
			return false
		}
	}
	return true
}

func single(s string) string { return "'" + strings.ReplaceAll(s, "'", "''") + "'" }

// double returns the text in double quotes, with what cannot be seen written as escapes.
func double(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == '\n':
			b.WriteString(`\n`)
		case r == '\t':
			b.WriteString(`\t`)
		case unicode.IsPrint(r):
			b.WriteRune(r)
		case r < 0x100:
			fmt.Fprintf(&b, `\x%02x`, r)
		case r < 0x10000:
			fmt.Fprintf(&b, `\u%04x`, r)
		default:
			fmt.Fprintf(&b, `\U%08x`, r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

// keyText returns a key as it is written.
func keyText(s string) string {
	if tag, same := reading(s, true); same && tag == "!!str" && !strings.HasPrefix(s, "?") {
		return s
	}
	return double(s)
}
