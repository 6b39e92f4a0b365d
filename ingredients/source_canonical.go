package ingredients

import (
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"
)

// Canonical returns the content of the file in a form that stays the same when
// only comments, blank lines, quotes, line breaks or the order of keys change.
// The outermost keys named in skip are left out. The order of lists counts.
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
			if !slices.Contains(skip, n.Content[i].Value) {
				pairs = append(pairs, pair{n.Content[i], n.Content[i+1]})
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
			b = append(canonical(b, p.value, nil), ", "...)
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
