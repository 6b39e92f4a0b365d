package terms

import (
	"regexp"
	"strings"

	"gallipot/dossier/transcribe/lexicon"
)

var percentTitle = regexp.MustCompile(`(?i)(^|\s)(in|amounts|all)\s+%|%\s+(by|w|of the whole)`)

// UnitInTitle finds the words of a title that say what all amounts are.
func (d *Terms) UnitInTitle(s string) string {
	f := " " + lexicon.Fold(s) + " "
	for _, w := range []string{"grams", "gram", "gramm", "grammes", "grammi", "gramos"} {
		if strings.Contains(f, " "+w+" ") && !strings.ContainsAny(beforeWord(f, w), "0123456789") {
			return "g"
		}
	}
	switch {
	case strings.Contains(f, " in g ") || strings.Contains(f, " all in g ") || strings.Contains(s, "(g)"):
		return "g"
	case strings.Contains(f, " percent ") || strings.Contains(f, " per cent ") ||
		strings.Contains(f, " prozent ") || strings.Contains(s, "(%)") || percentTitle.MatchString(s) || strings.Contains(s, "% w/w") ||
		strings.Contains(f, " pourcent ") || strings.Contains(f, " in percent "):
		return "%"
	case strings.Contains(f, " in parts ") || strings.Contains(f, " parts by weight ") ||
		strings.Contains(f, " in teilen "):
		return "parts"
	}
	return ""
}

func beforeWord(f, w string) string {
	i := strings.Index(f, " "+w+" ")
	words := strings.Fields(f[:i+1])
	if len(words) == 0 {
		return ""
	}
	return words[len(words)-1]
}
