package source

import (
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"
)

// Canonical returns the content of the file in a form that stays the same when
// only comments, blank lines, quotes, line breaks or the order of keys change.
// The outermost keys named in skip are left out; "a.b" leaves key b of the group a
// out, and a itself when nothing else is in it. The order of lists counts.
//
// A file that does not parse is its own canonical form.
func (s *Source) Canonical(skip ...string) []byte {
	key := strings.Join(skip, "\n")
	if b, ok := s.canonical[key]; ok {
		return b
	}
	b := s.Bytes
	if root, _ := s.parse(); root != nil {
		b = canonical(make([]byte, 0, len(b)), root, skip)
	}
	if s.parsed != nil {
		s.canonical[key] = b
	}
	return b
}

func canonical(b []byte, n *yaml.Node, skip []string) []byte {
	switch n.Kind {
	case yaml.MappingNode:
		type pair struct{ key, value *yaml.Node }
		var pairs []pair
		for i := 0; i+1 < len(n.Content); i += 2 {
			key, value := n.Content[i], n.Content[i+1]
			if !slices.Contains(skip, key.Value) && !emptied(value, below(skip, key.Value)) {
				pairs = append(pairs, pair{key, value})
			}
		}
		slices.SortStableFunc(pairs, func(x, y pair) int {
			switch {
			case x.key.Value < y.key.Value:
				return -1
			case x.key.Value > y.key.Value:
				return 1
			}
			return 0
		})
		b = append(b, '{')
		for _, p := range pairs {
			b = append(canonical(b, p.key, nil), ": "...)
			b = append(canonical(b, p.value, below(skip, p.key.Value)), ", "...)
		}
		return append(b, '}')
	case yaml.SequenceNode:
		b = append(b, '[')
		for _, c := range n.Content {
			b = append(canonical(b, c, nil), ", "...)
		}
		return append(b, ']')
	case yaml.ScalarNode:
		if n.Tag == "!!null" {
			return append(b, '~')
		}
	}
	return strconv.AppendQuote(b, n.Value)
}

// below returns the keys to leave out of a group.
func below(skip []string, group string) (keys []string) {
	for _, s := range skip {
		if rest, ok := strings.CutPrefix(s, group+"."); ok {
			keys = append(keys, rest)
		}
	}
	return keys
}

// emptied says whether leaving keys out takes everything out of a group.
func emptied(n *yaml.Node, skip []string) bool {
	if len(skip) == 0 || n.Kind != yaml.MappingNode || len(n.Content) == 0 {
		return false
	}
	for i := 0; i < len(n.Content); i += 2 {
		if !slices.Contains(skip, n.Content[i].Value) {
			return false
		}
	}
	return true
}
