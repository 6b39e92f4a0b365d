package law

import (
	"slices"

	"gallipot/ingredients"
)

// ClaimKind says what is wrong with a wording, or what it calls for.
type ClaimKind string

// The kinds of wording that the table knows.
const (
	ClaimMedicinal     ClaimKind = "medicinal"            // presents the product as a medicine
	ClaimBiocidal      ClaimKind = "biocidal"             // presents it as a biocide
	ClaimAuthority     ClaimKind = "authority"            // names an authority as having approved it
	ClaimCompliance    ClaimKind = "compliance"           // boasts of what the law asks of every product
	ClaimFreeBanned    ClaimKind = "free-from-banned"     // absence of what no cosmetic may contain
	ClaimFreeDenigrate ClaimKind = "free-from-denigrates" // absence that runs down what others use lawfully
	ClaimFreeOther     ClaimKind = "free-from"            // absence that may help a choice, if it is true
	ClaimAnimals       ClaimKind = "animal-testing"
	ClaimAbsolute      ClaimKind = "absolute" // promises without limit
	ClaimHypo          ClaimKind = "hypoallergenic"
	ClaimNatural       ClaimKind = "natural"     // natural, organic, vegan
	ClaimEnvironment   ClaimKind = "environment" // kind to nature
	ClaimTested        ClaimKind = "tested"      // says that someone tested it
	ClaimAudience      ClaimKind = "audience"    // says whom it suits
	ClaimPerformance   ClaimKind = "performance" // says how well it works
	ClaimSun           ClaimKind = "sun"
)

var claimKinds = []string{
	string(ClaimMedicinal), string(ClaimBiocidal), string(ClaimAuthority), string(ClaimCompliance), string(ClaimFreeBanned), string(ClaimFreeDenigrate),
	string(ClaimFreeOther), string(ClaimAnimals), string(ClaimAbsolute), string(ClaimHypo), string(ClaimNatural), string(ClaimEnvironment),
	string(ClaimTested), string(ClaimAudience), string(ClaimPerformance), string(ClaimSun),
}

// What a claim of absence may be contradicted by, besides words of INCI names.
const (
	ContainsScent        = "@scent"        // a fragrance or essential oil
	ContainsPreservative = "@preservative" // a substance of the preservative annex
	ContainsAllergen     = "@allergen"     // a fragrance allergen that the label has to name
)

// ClaimRule is one wording to look for in what a product says of itself.
//
// Source: claims.csv. The words of a rule are a help for finding a wording; that
// a text has none of them does not make it lawful.
type ClaimRule struct {
	Row
	Kind     ClaimKind
	Severity ingredients.Severity
	Markets  []Market
	// Directions says that the rule reads directions too; else it reads claims,
	// names and the stated function alone, since directions may warn of what a
	// claim may not promise.
	Directions bool
	Contains   []string // what in the product would contradict the claim: words of INCI names, or @scent and the like
	SettledBy  []string // kinds of paper on the product that answer the question; empty: none does
	Why        string
	Fix        string

	patterns, unless []claimPattern
}

// For says whether the rule holds in a market.
func (c *ClaimRule) For(m Market) bool { return slices.Contains(c.Markets, m.Annexes()) }

var claimColumns = columns{meaning: []string{"id", "kind", "severity", "market", "reads", "patterns", "unless", "contains", "settled_by", "seen"},
	remarks: []string{"why", "fix", "source", "note"}}

var severityWords = map[string]ingredients.Severity{"stop": ingredients.Stop, "ask": ingredients.Ask, "note": ingredients.Note}

func readClaims(file string, data []byte) ([]*ClaimRule, error) {
	return readTable(file, data, claimColumns, func(r *record) *ClaimRule {
		c := &ClaimRule{
			Row: r.head(r.text("id")), Kind: ClaimKind(r.word("kind", claimKinds...)), Severity: severityWords[r.word("severity", "stop", "ask", "note")],
			Markets: r.markets("market"), Directions: r.word("reads", "all", "claims") == "all",
			Contains: r.list("contains"), SettledBy: r.list("settled_by"), Why: r.must("why"), Fix: r.must("fix"),
		}
		r.must("patterns")
		c.patterns, c.unless = r.claimPatterns("patterns"), r.claimPatterns("unless")
		for _, word := range c.Contains {
			if word[0] == '@' && !slices.Contains([]string{ContainsScent, ContainsPreservative, ContainsAllergen}, word) {
				r.fail("contains: %q is not known", word)
			}
		}
		return c
	})
}

func (r *record) claimPatterns(col string) []claimPattern {
	var out []claimPattern
	for _, text := range r.list(col) {
		p, err := parseClaimPattern(text)
		if err != nil {
			r.fail("%s: %q: %v", col, text, err)
			continue
		}
		out = append(out, p)
	}
	return out
}

// ClaimMatch is one wording found in a text.
type ClaimMatch struct {
	Rule  *ClaimRule
	Words []string // as they stand in the text, each once, in the order of the text
	From  int      // place of the first one in the text, in bytes
	To    int
}

// Claims returns the rules on wording, in the order of the table.
func (t *Tables) Claims() []*ClaimRule { return slices.Clone(t.claims) }

// ReadClaim looks for the wordings of the table in a text, in the order of the
// table. directions says that the text tells how to use the product. A rule
// gives one match, however often its words stand there.
func (t *Tables) ReadClaim(m Market, text string, directions bool) []ClaimMatch {
	tokens := claimTokens(text)
	may := map[*ClaimRule]bool{}
	for _, token := range tokens {
		for _, c := range t.claimsFrom(token.word) {
			may[c] = true
		}
	}
	var out []ClaimMatch
	for _, c := range t.claims {
		if !may[c] || !c.For(m) || directions && !c.Directions {
			continue
		}
		if match, ok := c.find(text, tokens, t.absence); ok {
			out = append(out, match)
		}
	}
	return out
}

// claimsFrom returns the rules of which a pattern may begin with a word,
// remembered by word: texts share most of theirs.
func (t *Tables) claimsFrom(word string) []*ClaimRule {
	if found, ok := t.memory.claims.Load(word); ok {
		return found.([]*ClaimRule)
	}
	var found []*ClaimRule
	for _, c := range t.claims {
		if slices.ContainsFunc(c.patterns, func(p claimPattern) bool { return p.steps[0].is(claimToken{word: word}) }) {
			found = append(found, c)
		}
	}
	t.memory.claims.Store(word, found)
	return found
}

// find gathers what a rule finds in a text.
func (c *ClaimRule) find(text string, tokens []claimToken, absence absenceWords) (ClaimMatch, bool) {
	var excused [][2]int
	for _, p := range c.unless {
		excused = append(excused, p.all(tokens, absence)...)
	}
	var spans [][2]int
	for _, p := range c.patterns {
		for _, s := range p.all(tokens, absence) {
			inside := func(e [2]int) bool { return s[0] < e[1] && e[0] < s[1] }
			if !slices.ContainsFunc(excused, inside) {
				spans = append(spans, s)
			}
		}
	}
	if len(spans) == 0 {
		return ClaimMatch{}, false
	}
	slices.SortFunc(spans, func(a, b [2]int) int {
		if a[0] != b[0] {
			return a[0] - b[0]
		}
		return b[1] - a[1]
	})
	m := ClaimMatch{Rule: c, From: tokens[spans[0][0]].from, To: tokens[spans[0][1]-1].to}
	end := 0
	for _, s := range spans {
		if s[0] < end {
			continue // inside what is quoted already
		}
		end = s[1]
		if words := text[tokens[s[0]].from:tokens[s[1]-1].to]; !slices.Contains(m.Words, words) {
			m.Words = append(m.Words, words)
		}
	}
	return m, true
}
