package law

import (
	"slices"

	"gallipot/calc/law/claims"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
)

// ReadClaim looks for the wordings of the table in a text, in the order of the
// table. directions says that the text tells how to use the product. A rule
// gives one match, however often its words stand there.
func ReadClaim(t *table.Tables, m rows.Market, text string, directions bool) []claims.ClaimMatch {
	tokens := claims.ClaimTokens(text)
	may := map[*claims.ClaimRule]bool{}
	for _, token := range tokens {
		for _, c := range claimsFrom(t, token.Word) {
			may[c] = true
		}
	}
	var out []claims.ClaimMatch
	for _, c := range t.Claims {
		if !may[c] || !c.For(m) || directions && !c.Directions {
			continue
		}
		if match, ok := c.Find(text, tokens, t.Absence); ok {
			out = append(out, match)
		}
	}
	return out
}

// claimsFrom returns the rules of which a pattern may begin with a word,
// remembered by word: texts share most of theirs.
func claimsFrom(t *table.Tables, word string) []*claims.ClaimRule {
	if found, ok := t.Memory.Claims.Load(word); ok {
		return found.([]*claims.ClaimRule)
	}
	var found []*claims.ClaimRule
	for _, c := range t.Claims {
		if slices.ContainsFunc(c.Patterns,
			func(p claims.ClaimPattern) bool { return p.Steps[0].Is(claims.ClaimToken{Word: word}) }) {
			found = append(found, c)
		}
	}
	t.Memory.Claims.Store(word, found)
	return found
}
