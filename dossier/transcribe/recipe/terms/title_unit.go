package terms

import (
	"strings"

	"gallipot/dossier/transcribe/lexicon"
)

var percentTitle = lexicon.Pattern(`(?i)(^|\s)<<percent title>>\s+%|%\s+<<percent of>>`)

// UnitInTitle finds the words of a title that say what all amounts are.
func (d *Terms) UnitInTitle(s string) string {
	f := lexicon.Fold(s)
	for _, e := range d.Words.Each("formula title unit") {
		if e.Key == "g" && lexicon.Holds(f, e.Word) && !strings.ContainsAny(beforeWord(f, e.Word),
			"0123456789") {
			return "g"
		}
	}
	switch {
	case d.Holds("formula title unit", "in-g", f) || strings.Contains(s, "(g)"):
		return "g"
	case d.Holds("formula title unit", "%", f) || strings.Contains(s, "(%)") ||
		percentTitle().MatchString(s) ||
		strings.Contains(s, "% w/w"):
		return "%"
	case d.Holds("formula title unit", "parts", f):
		return "parts"
	}
	return ""
}

func beforeWord(f, w string) string {
	before, _, _ := strings.Cut(" "+f+" ", " "+w+" ")
	words := strings.Fields(before)
	if len(words) == 0 {
		return ""
	}
	return words[len(words)-1]
}
