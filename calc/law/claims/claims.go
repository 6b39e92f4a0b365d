package claims

import (
	"slices"

	"gallipot/calc/law/rows"
	"gallipot/ingredients/finding"
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
	claimHypo          ClaimKind = "hypoallergenic"
	claimNatural       ClaimKind = "natural"     // natural, organic, vegan
	claimEnvironment   ClaimKind = "environment" // kind to nature
	claimTested        ClaimKind = "tested"      // says that someone tested it
	ClaimAudience      ClaimKind = "audience"    // says whom it suits
	claimPerformance   ClaimKind = "performance" // says how well it works
	claimSun           ClaimKind = "sun"
)

var claimKinds = []string{
	string(ClaimMedicinal), string(ClaimBiocidal), string(ClaimAuthority), string(ClaimCompliance),
	string(ClaimFreeBanned), string(ClaimFreeDenigrate),
	string(ClaimFreeOther), string(ClaimAnimals), string(ClaimAbsolute), string(claimHypo),
	string(claimNatural), string(claimEnvironment),
	string(claimTested), string(ClaimAudience), string(claimPerformance), string(claimSun),
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
	rows.Row
	Kind     ClaimKind
	Severity finding.Severity
	Markets  []rows.Market
	// Directions says that the rule reads directions too; else it reads claims,
	// names and the stated function alone, since directions may warn of what a
	// claim may not promise.
	Directions bool
	Contains   []string // what in the product would contradict the claim: words of INCI names, or @scent and the like
	SettledBy  []string // kinds of paper on the product that answer the question; empty: none does
	Why        string
	Fix        string

	Patterns, unless []ClaimPattern
}

// For says whether the rule holds in a market.
func (c *ClaimRule) For(m rows.Market) bool { return slices.Contains(c.Markets, m.Annexes()) }

var ClaimColumns = rows.Columns{Meaning: []string{"id", "kind", "severity", "market", "reads", "patterns",
	"unless", "contains", "settled_by", "seen"},
	Remarks: []string{"why", "fix", "source", "note"}}

var severityWords = map[string]finding.Severity{"stop": finding.Stop, "ask": finding.Ask,
	"note": finding.Note}

func ReadClaims(file string, text string) ([]*ClaimRule, error) {
	return rows.ReadTable(file, text, ClaimColumns, func(r *rows.Record) *ClaimRule {
		c := &ClaimRule{
			Row: r.Head(r.Text("id")), Kind: ClaimKind(r.Word("kind",
				claimKinds...)), Severity: severityWords[r.Word("severity", "stop", "ask", "note")],
			Markets: r.Markets("market"), Directions: r.Word("reads", "all", "claims") == "all",
			Contains: r.List("contains"), SettledBy: r.List("settled_by"), Why: r.Must("why"), Fix: r.Must("fix"),
		}
		r.Must("patterns")
		c.Patterns, c.unless = claimPatterns(r, "patterns"), claimPatterns(r, "unless")
		for _, word := range c.Contains {
			if word[0] == '@' &&
				!slices.Contains([]string{ContainsScent, ContainsPreservative, ContainsAllergen}, word) {
				r.Fail("contains: %q is not known", word)
			}
		}
		return c
	})
}

func claimPatterns(r *rows.Record, col string) []ClaimPattern {
	var out []ClaimPattern
	for _, text := range r.List(col) {
		p, err := parseClaimPattern(text)
		if err != nil {
			r.Fail("%s: %q: %v", col, text, err)
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

// Find gathers what a rule finds in a text.
func (c *ClaimRule) Find(text string, tokens []ClaimToken, absence AbsenceWords) (ClaimMatch, bool) {
	var excused [][2]int
	for _, p := range c.unless {
		excused = append(excused, p.All(tokens, absence)...)
	}
	var spans [][2]int
	for _, p := range c.Patterns {
		for _, s := range p.All(tokens, absence) {
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
