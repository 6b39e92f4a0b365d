package transcribe

import (
	"slices"
	"strings"
)

// namesAbove gives constituents without a name the line above them, where each of them
func (s *composer) namesAbove() {
	var open []*Constituent
	above := map[*Constituent]int{}
	for i := range s.out.Composition {
		c := &s.out.Composition[i]
		if strings.TrimSpace(c.Name) != "" || len(c.CAS)+len(c.EC) == 0 {
			continue
		}
		open = append(open, c)
		at := slices.IndexFunc(s.out.NotUnderstood, func(p Passed) bool {
			return p.Page == c.Page && p.Line == c.Line-1 && p.Line > 0 && isNameAlone(p.Text)
		})
		if at >= 0 {
			above[c] = at
		}
	}
	if len(open) > 0 && len(above) == len(open) {
		gone := map[int]bool{}
		for c, at := range above {
			gone[at] = true
			c.Name = strings.TrimSpace(s.out.NotUnderstood[at].Text)
			c.Rules = append(c.Rules, "name-above")
			if s.names != nil {
				c.INCI = s.names.INCI(c.Name, c.CAS, c.EC)
			}
		}
		var rest []Passed
		for i, p := range s.out.NotUnderstood {
			if !gone[i] {
				rest = append(rest, p)
			}
		}
		s.out.NotUnderstood = append([]Passed{}, rest...)
		return
	}
	for _, c := range open {
		s.ask("name-of-number", c.Place, "number", strings.Join(append(slices.Clone(c.CAS), c.EC...), ", "))
	}
}

// isNameAlone says whether a text may be a name: letters, no content and no label.
func isNameAlone(text string) bool {
	return !strings.ContainsAny(text, "%:<>≤≥") && strings.ContainsFunc(text, func(r rune) bool { return r >= 'a' && r <= 'z' }) &&
		!casNumber.MatchString(text)
}
