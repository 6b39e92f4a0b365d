package desk

import (
	"strings"

	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/pieces"
)

// Materials gives the labels that name a material, the first of each: more than one
// where a paper holds several materials one after the other. What a safety data sheet
// or a mail names besides is no material of its own.
func (s *Desk) Materials() []Label {
	if s.HasKind("sds") || s.HasKind("mail") {
		return nil
	}
	var out []Label
	seen := map[string]bool{}
	for _, l := range s.Labels {
		if l.Key != "trade-name" || !l.Sign || len(out) > 0 && l.word != out[0].word {
			continue
		}
		name := lexicon.Fold(pieces.PlainName(strings.SplitN(l.Value, "  ", 2)[0]))
		if name == "" || seen[name] {
			continue
		}
		seen[name] = true
		out = append(out, l)
	}
	return out
}
