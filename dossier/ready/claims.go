package ready

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/calc/law/table"
	"gallipot/dossier/evidence"
	"gallipot/dossier/words"
	"gallipot/ingredients/finding"
)

// claimCodes are the codes of findings by the kind of wording. Kinds that are
// not named here call for proof.
var claimCodes = map[table.ClaimKind]string{
	table.ClaimMedicinal:     "claim-medicinal",
	table.ClaimBiocidal:      "claim-biocidal",
	table.ClaimAuthority:     "claim-authority",
	table.ClaimCompliance:    "claim-authority",
	table.ClaimFreeBanned:    "claim-free-from",
	table.ClaimFreeDenigrate: "claim-free-from",
	table.ClaimFreeOther:     "claim-free-from",
	table.ClaimAnimals:       "claim-animal-testing",
	table.ClaimAbsolute:      "claim-absolute",
}

// presentation is one text that a product is presented by.
type presentation struct {
	text       string
	what       string // claim, directions, name …
	pos        finding.Pos
	directions bool
	variant    string // the one it names; "" for all
}

// claims reads what the product says of itself for wordings that make a medicine
// or a biocide of it, that the common criteria restrict, or that need proof.
//
// Findings: stop or ask "claim-medicinal", "claim-biocidal", "claim-authority",
// "claim-free-from", "claim-absolute", "claim-animal-testing", "claim-proof".
// Source: claims.csv, which names its sources row by row.
func claims(f *evidence.Filing) []finding.Finding {
	if f.Read {
		return f.Wording
	}
	f.Read = true
	for _, s := range presentations(f) {
		for _, m := range readClaim(f, s) {
			if x, ok := claimFinding(f, s, m); ok {
				f.Wording = append(f.Wording, x)
			}
		}
	}
	if x, ok := unprovenClaims(f); ok {
		f.Wording = append(f.Wording, x)
	}
	return f.Wording
}

// presentations lists claims, directions and names.
func presentations(f *evidence.Filing) []presentation {
	var list []presentation
	for _, c := range f.P.Claims {
		list = append(list, presentation{text: c.Text, what: "the claim", pos: c.Pos})
	}
	list = append(list, presentation{text: f.P.Name, what: "the name", pos: f.P.NamePos},
		presentation{text: f.P.Function.Text, what: "the function", pos: f.P.Function.Pos},
		presentation{text: f.P.Directions.Text, what: "the directions", pos: f.P.Directions.Pos, directions: true})
	for _, v := range f.P.Variants {
		if v.Name != "" && v.Name != f.P.Name {
			list = append(list, presentation{text: v.Name, what: "the name", pos: v.NamePos, variant: v.ID})
		}
	}
	return slices.DeleteFunc(list, func(s presentation) bool { return s.text == "" })
}

// readClaim reads a text under the rules of every market, each rule once.
func readClaim(f *evidence.Filing, s presentation) []table.ClaimMatch {
	var list []table.ClaimMatch
	for _, m := range f.A.Markets {
		for _, x := range f.Law.ReadClaim(m, s.text, s.directions) {
			if !slices.ContainsFunc(list, func(y table.ClaimMatch) bool { return y.Rule == x.Rule }) {
				list = append(list, x)
			}
		}
	}
	return list
}

// claimFinding words one match. A question that a paper on the product answers
// is none.
func claimFinding(f *evidence.Filing, s presentation, m table.ClaimMatch) (finding.Finding, bool) {
	r := m.Rule
	against := Contradicting(f, r.Contains, s.variant)
	if r.Severity == finding.Ask && len(against) == 0 && len(r.SettledBy) > 0 {
		if _, ok := f.Document(r.SettledBy...); ok {
			return finding.Finding{}, false
		}
	}
	if r.Kind == table.ClaimAudience && f.P.IntendedFor == formula.UnderThree {
		return finding.Finding{}, false
	}
	quoted := make([]string, len(m.Words))
	for i, w := range m.Words {
		quoted[i] = "“" + w + "”"
	}
	x := finding.Findingf(r.Severity, cmp.Or(claimCodes[r.Kind], "claim-proof"), within(f, s, m), "%s says %s", s.what, words.JoinNames(quoted)).On(s.text)
	if len(against) > 0 {
		x.Severity = finding.Stop
		x.Message += ", and the product holds " + words.JoinNames(against)
	}
	if s.variant != "" {
		x.Variants = []string{f.P.ID + "/" + s.variant}
	}
	if r.Kind == table.ClaimFreeOther && len(r.Contains) > 0 && len(against) == 0 {
		x.Severity = finding.Note
		x.Message += "; nothing in the formula contradicts it"
	}
	if r.Kind == table.ClaimAnimals && f.Answer("P5").State == evidence.ReadyPresent {
		x.Severity = finding.Note
	}
	x.Fix = r.Fix
	x.Why = r.Why + "; " + r.Source + " (" + r.File + ", row " + r.Key + ")"
	if r.FromMemory() {
		x.Why += "; not, or not wholly, read in the source"
	}
	if x.Severity == finding.Ask {
		x = x.AskOf(words.Maker)
	}
	return x, true
}

// within narrows the place of a text to the words found, where they stand on
// its line as typed.
func within(f *evidence.Filing, s presentation, m table.ClaimMatch) finding.Pos {
	pos := s.pos
	if pos.IsZero() || f.P.Source == nil {
		return pos
	}
	line := []rune(f.P.Source.Line(pos.Line))
	words := []rune(s.text[m.From:m.To])
	for at := max(pos.Col-1, 0); at+len(words) <= len(line); at++ {
		if string(line[at:at+len(words)]) == string(words) {
			pos.Col, pos.Len = at+1, len(words)
			return pos
		}
	}
	return pos
}

// Contradicting names what the product, or the variant named, holds of what a
// claim says it does not.
func Contradicting(f *evidence.Filing, contains []string, variant string) []string {
	var names []string
	for _, word := range contains {
		f.EachResult(func(r *calc.Result) {
			if variant != "" && r.Input.Variant.ID != variant {
				return
			}
			for _, name := range holding(r, word) {
				names = words.AddOnce(names, name)
			}
		})
	}
	return names
}

// holding names what a result holds of a word of the table: a word of an INCI
// name, or one of the marks.
func holding(r *calc.Result, word string) []string {
	var names []string
	switch word {
	case table.ContainsScent:
		for _, u := range r.Fragrances {
			names = words.AddOnce(names, u.Ingredient)
		}
	case table.ContainsAllergen:
		for _, t := range r.Allergens {
			if t.OnLabel() {
				names = words.AddOnce(names, t.LabelName)
			}
		}
	case table.ContainsPreservative:
		for _, l := range r.Limits {
			if l.Row.Annex == "V" && l.Content.Max.Sign() > 0 {
				for _, s := range l.Substances {
					names = words.AddOnce(names, s)
				}
			}
		}
	default:
		for _, s := range r.Whole().Substances {
			if s.IsIngredient() && s.Total.Max.Sign() > 0 && namesSubstance(word, s.INCI) {
				names = words.AddOnce(names, s.INCI)
			}
		}
	}
	return names
}

// fattyAlcohols begin the names of alcohols that nobody means by the word.
var fattyAlcohols = []string{"cetyl", "cetearyl", "stearyl", "behenyl", "lanolin", "benzyl", "myristyl", "arachidyl", "oleyl", "phenethyl", "isostearyl", "lauryl"}

// namesSubstance says whether an INCI name holds the words of a claim, each as a
// word of its own or at the end of one.
func namesSubstance(word, inci string) bool {
	have := evidence.WordsOf(inci)
	for _, w := range strings.Fields(word) {
		if !slices.ContainsFunc(have, func(h string) bool { return h == w || len(w) > 4 && strings.HasSuffix(h, w) }) {
			return false
		}
	}
	return !(word == "alcohol" && slices.Contains(fattyAlcohols, have[0]))
}

// unprovenClaims asks for proof where claims are made and no paper supports any.
func unprovenClaims(f *evidence.Filing) (finding.Finding, bool) {
	if len(f.P.Claims) == 0 {
		return finding.Finding{}, false
	}
	if _, ok := f.Document("claim", "user-test"); ok {
		return finding.Finding{}, false
	}
	x := finding.Findingf(finding.Ask, "claim-proof", f.P.Claims[0].Pos, "%s made, and no paper supports any", words.Count(len(f.P.Claims), "claim is", "claims are")).
		On(f.P.ID).AskOf(words.Maker).
		WithWhy("a claim, spoken out or implied, is supported by adequate and verifiable evidence; Regulation (EU) 655/2013 Annex, evidential support; Regulation (EC) 1223/2009 Article 11(2)(d) (dossier-contents.csv, row P4)").
		WithFix("keep a paper that gives the evidence for each claim and enter it under documents, kind claim")
	for _, c := range f.P.Claims {
		x.Sum = append(x.Sum, finding.Term{Pos: c.Pos, Text: c.Text})
	}
	return x, true
}
