package condition

import (
	"fmt"
	"slices"
	"strings"

	"gallipot/ingredients/exact"
	"gallipot/ingredients/source"
)

// Condition says when a limit holds: all its clauses must. Its zero value holds
// nowhere; read one with [Parse].
type Condition struct {
	Text    string // as the table words it
	Clauses []Clause
}

// Clause is one part of a condition: one of its terms holds, or, behind
// except=, none of them does.
type Clause struct {
	Except bool
	Terms  []Term
}

// Term is one fact a clause asks for.
type Term struct {
	Kind  string // area, product, population, function, claim, or a bare word such as leave-on
	Value string // word behind the kind; empty for bare words
	// Over is the figure in % behind released-formaldehyde> and butadiene>=.
	Over exact.Num
}

// The words of the vocabulary. Product codes stand in product-codes.csv.
var (
	bareWords = []string{
		"all", "rinse-off", "leave-on", "spray", "aerosol", "propellant-spray", "pump-spray", "inhalable",
		"loose-powder", "nano", "massive",
		"professional", "natural-content", "refining-history-unknown",
	}
	AreaWords       = []string{"skin", "face", "hand", "body", "hair", "eye", "lip", "mucous", "nappy", "nail"}
	populationWords = []string{"under-3", "under-6", "under-10", "0.5-1", "6-10", "3-10", "1-plus", "3-plus",
		"6-plus", "10-plus", "children"}
	FunctionWords = []string{
		"preservative", "non-preservative", "fragrance", "ph-adjuster", "rust-inhibitor", "denaturant",
		"peroxide-stabiliser", "non-colorant",
	}
	ClaimWords = []string{"sun-protection", "bronzing", "uv-exposure"}
)

// Parse reads a condition in the vocabulary of limits.csv: clauses joined by
// "&", alternatives by "|", exceptions behind "except=".
//
// Errors: an *ingredients.ValueError for any word that is not in the
// vocabulary; an unknown word must never pass as "always" or "never".
func Parse(text string) (Condition, error) {
	c := Condition{Text: strings.TrimSpace(text)}
	if c.Text == "" {
		return c, &exact.ValueError{What: "the condition is empty",
			Fix: "write all where the limit holds for every product"}
	}
	for part := range strings.SplitSeq(c.Text, "&") {
		clause, err := parseClause(strings.TrimSpace(part))
		if err != nil {
			return Condition{Text: c.Text}, err
		}
		c.Clauses = append(c.Clauses, clause)
	}
	return c, nil
}

func parseClause(text string) (Clause, error) {
	if list, ok := strings.CutPrefix(text, "except="); ok {
		return parseTerms(Clause{Except: true}, list, func(item string) (Term, error) {
			if kind, value, keyed := strings.Cut(item, ":"); keyed {
				return keyedTerm(kind, value)
			}
			return bareTerm(item)
		})
	}
	if kind, list, ok := strings.Cut(text, "="); ok && !strings.Contains(text, ">") {
		return parseTerms(Clause{}, list, func(item string) (Term, error) { return keyedTerm(kind, item) })
	}
	return parseTerms(Clause{}, text, bareTerm)
}

func parseTerms(c Clause, list string, term func(string) (Term, error)) (Clause, error) {
	for item := range strings.SplitSeq(list, "|") {
		t, err := term(strings.TrimSpace(item))
		if err != nil {
			return Clause{}, err
		}
		c.Terms = append(c.Terms, t)
	}
	return c, nil
}

func keyedTerm(kind, value string) (Term, error) {
	var words []string
	switch kind {
	case "area":
		words = AreaWords
	case "population":
		words = populationWords
	case "function":
		words = FunctionWords
	case "claim":
		words = ClaimWords
	case "product":
		if CodeTable()[value] == nil {
			return Term{}, unknownWord("product="+value, codeWords())
		}
		return Term{Kind: kind, Value: value}, nil
	default:
		return Term{}, unknownWord(kind, []string{"area", "population", "function", "claim", "product"})
	}
	if !slices.Contains(words, value) {
		return Term{}, unknownWord(kind+"="+value, words)
	}
	return Term{Kind: kind, Value: value}, nil
}

func codeWords() []string {
	var out []string
	for c := range CodeTable() {
		out = append(out, c)
	}
	slices.Sort(out)
	return out
}

func bareTerm(item string) (Term, error) {
	for _, kind := range []string{"released-formaldehyde>", "butadiene>="} {
		if figure, ok := strings.CutPrefix(item, kind); ok {
			n, err := exact.ParseNum(figure)
			if err != nil || n.Sign() < 0 {
				return Term{}, &exact.ValueError{What: fmt.Sprintf("%q has no figure in %% behind %s", item, kind),
					Fix: "write for example " + kind + "0.001"}
			}
			return Term{Kind: kind, Over: n}, nil
		}
	}
	if !slices.Contains(bareWords, item) {
		return Term{}, unknownWord(item, bareWords)
	}
	return Term{Kind: item}, nil
}

func unknownWord(word string, words []string) error {
	_, bare, keyed := strings.Cut(word, "=")
	if !keyed {
		bare = word
	}
	fix := "use one of " + strings.Join(words, ", ")
	if near := source.Nearest(bare, words); near != "" {
		fix = "did you mean " + near + "?"
	}
	return &exact.ValueError{What: fmt.Sprintf("unknown condition %q", word), Fix: fix}
}

// String returns the condition in the vocabulary, spaces made even.
func (c Condition) String() string {
	var parts []string
	for _, cl := range c.Clauses {
		parts = append(parts, cl.String())
	}
	return strings.Join(parts, " & ")
}

// Always says whether the condition is the one word "all".
func (c Condition) Always() bool {
	return len(c.Clauses) == 1 && !c.Clauses[0].Except && len(c.Clauses[0].Terms) == 1 &&
		c.Clauses[0].Terms[0].Kind == "all"
}

// String returns the clause in the vocabulary.
func (c Clause) String() string {
	var items []string
	prefix := ""
	for _, t := range c.Terms {
		switch {
		case c.Except && t.Value != "":
			items = append(items, t.Kind+":"+t.Value)
		case t.Value != "":
			prefix, items = t.Kind+"=", append(items, t.Value)
		default:
			items = append(items, t.String())
		}
	}
	if c.Except {
		prefix = "except="
	}
	return prefix + strings.Join(items, "|")
}

// String returns the term as it stands alone.
func (t Term) String() string {
	switch {
	case t.Value != "":
		return t.Kind + "=" + t.Value
	case strings.HasSuffix(t.Kind, ">") || strings.HasSuffix(t.Kind, ">="):
		return t.Kind + t.Over.Exact()
	}
	return t.Kind
}

// Mentions says whether the condition asks for a fact of the given kind, such
// as population or professional.
func (c Condition) Mentions(kind string) bool {
	for _, cl := range c.Clauses {
		if slices.ContainsFunc(cl.Terms, func(t Term) bool { return t.Kind == kind }) {
			return true
		}
	}
	return false
}
