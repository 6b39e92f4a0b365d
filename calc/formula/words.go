package formula

import (
	"fmt"
	"strconv"
	"strings"

	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

func PlaceName(portion string) string {
	if portion == "" {
		return "the product"
	}
	return "portion " + portion
}

// String words the arithmetic of a contribution, rounded to four figures.
func (c Contribution) String() string {
	return fmt.Sprintf("%s %% of %s × %s in it = %s %%", c.UsePct.Sig(4), c.Ingredient, givenText(c),
		RangeText(c.Pct))
}

// givenText is the content as typed, with its unit where none was typed, and
// what it comes to where it is the rest to 100.
func givenText(c Contribution) string {
	if givenAsRest(c) {
		return strings.TrimSpace(c.Given) + " (" + RangeText(c.InMaterial) + " %)"
	}
	return givenOnly(c)
}

func RangeText(r exact.Range) string {
	if r.IsExact() {
		return r.Max.Sig(4)
	}
	return r.Min.Sig(4) + " to " + r.Max.Sig(4)
}

// WidestParty is the supplier whose range is widest in the product.
func WidestParty(contributions []Contribution, in *Input) finding.Party {
	var widest exact.Num
	who := finding.TheSupplier
	for _, c := range contributions {
		if w := c.Pct.Max.Sub(c.Pct.Min); widest.Less(w) {
			widest, who = w, in.SupplierOf(c.Ingredient)
		}
	}
	return who
}

// TermsOf is the arithmetic of contributions, a summand each.
func (in *Input) TermsOf(contributions []Contribution) []finding.Term {
	terms := make([]finding.Term, len(contributions))
	for i, c := range contributions {
		v := With().Num("use", c.UsePct, "%", finding.FourDigits).Is("material", in.Material(c.Ingredient)).
			Quote("content", givenOnly(c))
		if givenAsRest(c) {
			v = v.Range("rest", c.InMaterial, "%", finding.FourDigits)
		}
		terms[i] = finding.Term{Pos: c.LinePos, Key: "contribution", Values: v.Range("result", c.Pct, "%",
			finding.FourDigits)}
	}
	return terms
}

// givenAsRest says whether a content is given as the rest to 100.
func givenAsRest(c Contribution) bool {
	return strings.HasPrefix(strings.ToLower(strings.TrimSpace(c.Given)), "q")
}

// givenOnly is the content as typed, with its unit where none was typed.
func givenOnly(c Contribution) string {
	given := strings.TrimSpace(c.Given)
	if given != "" && given[len(given)-1] >= '0' && given[len(given)-1] <= '9' {
		return given + " %"
	}
	return given
}

func Itoa(i int) string { return strconv.Itoa(i) }

var SpecSigns = map[string]string{"<=": "at most", ">=": "at least", "<": "below", ">": "above"}

func HasValue(list finding.Values, x finding.Value) bool {
	return list.Has(&x)
}

const Assessor = "the assessor"

// LowerFirst sets a name into a sentence; abbreviations keep their capitals.
func LowerFirst(s string) string {
	if len(s) > 1 && (s[1] >= 'a' && s[1] <= 'z' || s[1] == ' ' && s[0] == 'A') {
		return strings.ToLower(s[:1]) + s[1:]
	}
	return s
}

func JoinAnd(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

func List(s string) []string {
	if s == "" {
		return nil
	}
	return []string{s}
}

// SheetsIn are the sheets of the whole product's materials, once each.
func SheetsIn(in *Input, comps []*Composition) []*ingredients.Sheet {
	sheets := make([]*ingredients.Sheet, 0, len(comps[0].Uses()))
	for _, u := range comps[0].Uses() {
		if mat := in.Materials[u.Ingredient]; mat != nil {
			sheets = append(sheets, mat.Sheet)
		}
	}
	return sheets
}

// WorstOf returns the content of a substance in the mixture that holds most.
func WorstOf(s *Substance, comps []*Composition) (exact.Range, string, []Contribution) {
	worst, where, from := s.Total, "", s.Contributions
	for _, c := range comps[1:] {
		if t := c.Same(s); t != nil && worst.Max.Less(t.Total.Max) {
			worst, where, from = t.Total, c.Mixture.Name, t.Contributions
		}
	}
	return worst, where, from
}
