package composition

import (
	"slices"
	"strings"
	"unicode"

	"gallipot/dossier/transcribe/pieces"
	"gallipot/dossier/transcribe/reading"
)

// NamesAbove gives constituents without a name the line above them, where each of them
func (s *Reader) NamesAbove() {
	var open []*reading.Constituent
	above := map[*reading.Constituent]int{}
	for i := range s.Out.Composition {
		c := &s.Out.Composition[i]
		if strings.TrimSpace(c.Name) != "" || len(c.CAS)+len(c.EC) == 0 {
			continue
		}
		open = append(open, c)
		at := slices.IndexFunc(s.Out.NotUnderstood, func(p reading.Passed) bool {
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
			c.Name = strings.TrimSpace(s.Out.NotUnderstood[at].Text)
			c.Rules = append(c.Rules, "name-above")
			if s.Names != nil {
				c.INCI = s.Names.INCI(c.Name, c.CAS, c.EC)
			}
		}
		var rest []reading.Passed
		for i, p := range s.Out.NotUnderstood {
			if !gone[i] {
				rest = append(rest, p)
			}
		}
		s.Out.NotUnderstood = append([]reading.Passed{}, rest...)
		return
	}
	for _, c := range open {
		s.Ask("name-of-number", c.Place, "number", strings.Join(append(slices.Clone(c.CAS), c.EC...), ", "))
	}
}

// isNameAlone says whether a text may be a name: letters, no content and no label.
func isNameAlone(text string) bool {
	letters := 0
	for _, r := range text {
		if unicode.IsLetter(r) {
			letters++
		}
	}
	cas, ec, bad, _ := pieces.Numbers(text)
	return !strings.ContainsAny(text, "%:<>≤≥") && letters >= 3 && len(cas)+len(ec)+len(bad) == 0
}
