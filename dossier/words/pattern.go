package words

import (
	"fmt"
	"slices"
	"strings"

	"gallipot/ingredients/finding"
)

// pattern is a text of the table, read.
type pattern []part

// part is one piece of a pattern: letters, a value, or an optional piece.
type part struct {
	text   string // letters
	name   string // of a value
	mode   string // how a list is joined: "", or, ;, ",", +
	one    string // of a count: its noun, or the word that goes with it
	many   string
	bare   bool    // the word without the number
	inside pattern // of an optional piece
	unless string  // the value that an optional piece stands in for
}

// readPattern reads a text of the table.
func readPattern(text string) (pattern, error) {
	p, rest, err := readParts(text, false)
	if err == nil && rest != "" {
		err = fmt.Errorf("a bracket is closed that was not opened, before %q", rest)
	}
	return p, err
}

// readParts reads up to the end, or up to the bracket that closes an optional piece.
func readParts(text string, optional bool) (pattern, string, error) {
	var p pattern
	var letters strings.Builder
	flush := func() {
		if letters.Len() > 0 {
			p = append(p, part{text: letters.String()})
			letters.Reset()
		}
	}
	for text != "" {
		switch {
		case text[0] == '\\' && len(text) > 1:
			letters.WriteByte(text[1])
			text = text[2:]
		case text[0] == '{':
			flush()
			end := strings.IndexByte(text, '}')
			if end < 0 {
				return nil, "", fmt.Errorf("a brace is not closed: %q", text)
			}
			hole, err := readHole(text[1:end])
			if err != nil {
				return nil, "", err
			}
			p, text = append(p, hole), text[end+1:]
		case text[0] == '[':
			flush()
			piece := part{}
			text = text[1:]
			if strings.HasPrefix(text, "!") {
				name, rest, _ := strings.Cut(text[1:], " ")
				piece.unless, text = name, rest
			}
			inside, rest, err := readParts(text, true)
			if err != nil {
				return nil, "", err
			}
			if len(inside) == 0 || piece.unless == "" && len(inside.names()) == 0 {
				return nil, "", fmt.Errorf("an optional piece names no value, before %q", rest)
			}
			piece.inside = inside
			p, text = append(p, piece), rest
		case text[0] == ']':
			if optional {
				flush()
				return p, text[1:], nil
			}
			return nil, text, fmt.Errorf("a bracket is closed that was not opened: %q", text)
		case text[0] == '}':
			return nil, text, fmt.Errorf("a brace is closed that was not opened: %q", text)
		default:
			letters.WriteByte(text[0])
			text = text[1:]
		}
	}
	if optional {
		return nil, "", fmt.Errorf("a bracket is not closed")
	}
	flush()
	return p, "", nil
}

// readHole reads what stands between braces.
func readHole(text string) (part, error) {
	name, how, _ := strings.Cut(text, " ")
	h := part{name: name}
	if name == "" {
		return h, fmt.Errorf("braces name no value: {%s}", text)
	}
	if one, many, ok := strings.Cut(how, "/"); ok {
		h.one, h.bare = strings.CutPrefix(one, "!")
		h.many = many
		return h, nil
	}
	if !slices.Contains([]string{"", "or", ";", ",", "+", "a"}, how) {
		return h, fmt.Errorf("{%s}: %q says nothing about a value", text, how)
	}
	h.mode = how
	return h, nil
}

// names lists the values that a pattern names.
func (p pattern) names() []string {
	var out []string
	for _, x := range p {
		if x.name != "" {
			out = append(out, x.name)
		}
		if x.unless != "" {
			out = append(out, x.unless)
		}
		out = append(out, x.inside.names()...)
	}
	return out
}

// needed lists the values that a pattern names outside its optional pieces.
func (p pattern) needed() []string {
	var out []string
	for _, x := range p {
		if x.name != "" {
			out = append(out, x.name)
		}
	}
	return out
}

// print fills in the values that look gives.
func (p pattern) print(look func(string) (finding.Value, bool), s *speaker) string {
	var b strings.Builder
	for _, x := range p {
		switch {
		case x.name != "":
			v, ok := look(x.name)
			if !ok {
				b.WriteString("{" + x.name + "}") // a test rules this out
				continue
			}
			b.WriteString(x.print(v, s))
		case x.unless != "":
			if _, ok := look(x.unless); !ok {
				b.WriteString(x.inside.print(look, s))
			}
		case x.inside != nil:
			if x.inside.has(look) {
				b.WriteString(x.inside.print(look, s))
			}
		default:
			b.WriteString(x.text)
		}
	}
	return b.String()
}

// has says whether every value named in an optional piece is there; those of pieces
// inside it do not count.
func (p pattern) has(look func(string) (finding.Value, bool)) bool {
	for _, name := range p.needed() {
		if _, ok := look(name); !ok {
			return false
		}
	}
	return true
}

func (x part) print(v finding.Value, s *speaker) string {
	if x.many != "" || x.one != "" {
		n := v.Count()
		if v.Kind == finding.KindList {
			n = len(v.List)
		}
		if x.bare {
			return plural(n, x.one, x.many)
		}
		return Count(n, x.one, x.many)
	}
	if v.Kind != finding.KindList {
		if x.mode == "a" {
			return withArticle(s.value(v))
		}
		return s.value(v)
	}
	list := make([]string, len(v.List))
	for i, e := range v.List {
		list[i] = s.value(e)
	}
	switch x.mode {
	case "or":
		return or(list)
	case ";":
		return strings.Join(list, "; ")
	case ",":
		return JoinNames(list)
	case "+":
		return strings.Join(list, " + ")
	}
	return and(list)
}
